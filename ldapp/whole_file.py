"""Writing a file whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ldapp.errors import MachineError

if TYPE_CHECKING:
    from pathlib import Path


def write_whole(target: Path, data: bytes, says: str, remedy: str) -> None:
    """Write ``data`` to ``target``; what was there before stays until the new file is complete.

    Raises:
        MachineError: the file cannot be written; the sentence is ``says``, the system's
            reason, and ``remedy``.
    """
    unfinished = target.with_name(f".writing-{target.name}")
    try:
        unfinished.write_bytes(data)
        unfinished.replace(target)
    except OSError as error:
        unfinished.unlink(missing_ok=True)
        raise MachineError(f"{says}: {error.strerror or error}. {remedy}") from error
