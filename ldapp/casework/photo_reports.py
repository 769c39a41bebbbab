"""Photo files read and verified without importing them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from ldapp.casework.papers import check_zone
from ldapp.errors import Fault, InputError
from ldapp.evidence.report import photo_reports as read_reports


def photo_reports(
    paths: Iterable[Path], *, zone: str | None, with_pictures: bool
) -> Iterator[dict[str, Any]]:
    """Yield one object a file, in path order; a file that cannot be read says so in ``error``.

    Raises:
        InputError: a path does not exist; nothing was read then.
        LdappError: the zone does not exist.
    """
    named = list(paths)
    if zone is not None:
        check_zone(zone)
    faults = tuple(
        Fault(str(path), "", "there is no such file or folder", "a photo file or a folder")
        for path in named
        if not path.exists()
    )
    if faults:
        raise InputError(faults)
    return read_reports(named, zone=zone, with_pictures=with_pictures)
