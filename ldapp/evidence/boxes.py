"""ISO base media files (ISO/IEC 14496-12): the boxes, by position and without decoding."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from ldapp.evidence.source import LARGEST_METADATA, Bytes

_MOST_BOXES: Final = 4000


@dataclass(frozen=True, slots=True)
class Box:
    """One box: its kind and where its content lies.  ``cut`` if it leaves its parent."""

    kind: bytes
    start: int
    end: int
    cut: bool = False


def boxes(data: Bytes, start: int, end: int) -> Iterator[Box]:
    """Yield the boxes between two places; stops where the structure is broken."""
    position = start
    for _ in range(_MOST_BOXES):
        head = data.read(position, 16)
        if position + 8 > end or len(head) < 8:
            return
        size, kind = struct.unpack(">I4s", head[:8])
        content = position + 8
        if size == 1:
            if len(head) < 16:
                return
            (size,) = struct.unpack(">Q", head[8:16])
            content = position + 16
        elif size == 0:
            size = end - position
        if size < content - position:
            return
        after = position + size
        yield Box(kind, content, min(after, end), after > end)
        position = after


def child(data: Bytes, parent: Box, kind: bytes, skip: int = 0) -> Box | None:
    """Return the first child of a kind; ``skip`` bytes of the parent stand before."""
    for box in boxes(data, parent.start + skip, parent.end):
        if box.kind == kind:
            return box
    return None


def content(data: Bytes, box: Box, most: int = LARGEST_METADATA) -> bytes:
    """Return the bytes of a box, at most ``most``."""
    return data.read(box.start, min(box.end - box.start, most))


class Cursor:
    """Reads big-endian numbers of stated sizes one after the other.

    Past the end every number is 0 and :attr:`over` is True.
    """

    def __init__(self, data: bytes, position: int = 0) -> None:
        self.data = data
        self.position = position

    @property
    def over(self) -> bool:
        """Whether more was asked for than there is."""
        return self.position > len(self.data)

    def take(self, size: int) -> int:
        """Return the next number of ``size`` bytes."""
        piece = self.data[self.position : self.position + size]
        self.position += size
        return int.from_bytes(piece, "big") if len(piece) == size else 0

    def word(self) -> bytes:
        """Return the bytes up to the next NUL."""
        after = self.data.find(b"\0", self.position)
        if after < 0:
            after = len(self.data)
        piece = self.data[self.position : after]
        self.position = after + 1
        return piece
