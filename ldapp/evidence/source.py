"""Random access to a file that was hashed in one streaming pass.

The hash is made at the first touch, before anything interprets the file.  Head and tail
stay in memory from that pass, so an ordinary photo is read once; the few bytes that lie
elsewhere are fetched singly.  A file is never mapped into memory: a card that is pulled
out would then end the whole program.
"""

from __future__ import annotations

import hashlib
import os
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Protocol, Self

from ldapp.language import said

_CHUNK = 1 << 18
_HEAD = 1 << 20
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

LARGEST_METADATA = 8 << 20
"""Bytes of metadata that are read from one file at most."""


class Bytes(Protocol):
    """Anything that gives bytes by position; what lies outside comes back short."""

    size: int

    def read(self, offset: int, length: int) -> bytes:
        """Return up to ``length`` bytes from ``offset``."""


class Held:
    """Bytes that are already in memory."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self.size = len(data)

    def read(self, offset: int, length: int) -> bytes:
        """Return up to ``length`` bytes from ``offset``; nothing for a negative place."""
        if offset < 0 or length <= 0:
            return b""
        return self._data[offset : offset + length]


class Part:
    """A stretch of other bytes, with its own count from nought."""

    def __init__(self, whole: Bytes, offset: int, length: int) -> None:
        self._whole = whole
        self._offset = offset
        self.size = max(0, min(length, whole.size - offset))

    def read(self, offset: int, length: int) -> bytes:
        """Return up to ``length`` bytes from ``offset`` of this part."""
        if offset < 0 or length <= 0:
            return b""
        return self._whole.read(self._offset + offset, min(length, self.size - offset))


def modified(status: os.stat_result) -> datetime:
    """Return when a file was last changed, in UTC."""
    # By whole microseconds since the epoch: a float would lose the last digits.
    return _EPOCH + timedelta(microseconds=status.st_mtime_ns // 1000)


class OpenPhoto:
    """One file, opened, hashed, and ready to be asked for bytes.

    A file whose ``sha256`` is known already is not read through for it.  Raises
    :class:`OSError` where the file cannot be opened or read, and for anything that is not
    an ordinary file (a pipe would never end).
    """

    def __init__(self, path: Path, sha256: str = "") -> None:
        if not stat.S_ISREG(path.stat().st_mode):
            raise OSError(said("not an ordinary file"))
        self._file: BinaryIO = path.open("rb", buffering=0)
        try:
            self._take_in(sha256)
        except BaseException:
            self._file.close()
            raise

    def _take_in(self, sha256: str) -> None:
        status = os.fstat(self._file.fileno())
        self.modified = modified(status)
        if sha256:
            self.sha256, self.size = sha256, status.st_size
            self._head = self._file.read(_HEAD)
            self._tail, self._tail_starts = b"", self.size
            tail = self.read(max(0, self.size - 2 * _CHUNK), 2 * _CHUNK)
            self._tail, self._tail_starts = tail, self.size - len(tail)
            return
        digest = hashlib.sha256()
        head = bytearray()
        previous = chunk = b""
        size = 0
        while piece := self._file.read(_CHUNK):
            digest.update(piece)
            size += len(piece)
            if len(head) < _HEAD:
                head += piece
            previous, chunk = chunk, piece
        self.size = size
        self.sha256 = digest.hexdigest()
        self._head = bytes(head)
        self._tail = previous + chunk
        self._tail_starts = size - len(self._tail)

    def read(self, offset: int, length: int) -> bytes:
        """Return up to ``length`` bytes from ``offset``."""
        if offset < 0 or length <= 0 or offset >= self.size:
            return b""
        length = min(length, self.size - offset)
        if offset + length <= len(self._head):
            return self._head[offset : offset + length]
        if offset >= self._tail_starts:
            start = offset - self._tail_starts
            return self._tail[start : start + length]
        self._file.seek(offset)
        found = bytearray()
        while len(found) < length and (piece := self._file.read(length - len(found))):
            found += piece
        return bytes(found)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._file.close()
