"""A tolerant reader of the bare TIFF block that holds Exif tags.

Structure: TIFF 6.0 (1992), section 2, and Exif (CIPA DC-008).  Written here because the
tags decide about dates: text type 129 of Exif 3.0, a missing NUL, rationals n/0 and odd
pointer types must not cost a date, and a damaged file must not cost time or memory.
Limits: 64 directories, 4,000 entries in each, 8 MiB of values, no directory twice,
every value inside the block.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, Literal

from ldapp.evidence.source import LARGEST_METADATA, Bytes

MOST_DIRECTORIES: Final = 64
MOST_ENTRIES: Final = 4000
LONGEST_TEXT: Final = 64 << 10

ByteOrder = Literal["II", "MM"]

_SIZES: Final = {
    1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 129: 1,
}  # fmt: skip
_INTEGERS: Final = {1: "B", 3: "H", 4: "I", 6: "b", 8: "h", 9: "i", 13: "I"}
_RATIONALS: Final = {5: "I", 10: "i"}
_TEXTS: Final = frozenset({1, 2, 7, 129})

EXIF_POINTER: Final = 0x8769
GPS_POINTER: Final = 0x8825
SUB_DIRECTORIES: Final = 0x014A


@dataclass(frozen=True, slots=True)
class Entry:
    """One directory entry: where its value lies, not the value itself."""

    kind: int
    count: int
    offset: int


Directory = dict[int, Entry]


def decode_text(data: bytes) -> tuple[str, bool]:
    """Return the text up to the first NUL without trailing blanks, and whether it was odd.

    Odd is text that is not UTF-8 (of which ASCII is a part) and was read as Latin-1.
    """
    data = data.split(b"\0", 1)[0]
    try:
        return data.decode("utf-8").rstrip(), False
    except UnicodeDecodeError:
        return data.decode("latin-1").rstrip(), True


@dataclass(slots=True)
class TiffBlock:
    """A TIFF block and what was met while reading it."""

    data: Bytes
    order: ByteOrder
    first: int
    odd_text: bool = False
    broken: bool = False
    _seen: set[int] = field(default_factory=set)
    _spent: int = 0

    @property
    def _mark(self) -> str:
        return "<" if self.order == "II" else ">"

    def directory(self, offset: int) -> tuple[Directory, int]:
        """Return the directory at ``offset`` and the offset of the next one (0: none).

        The first of two entries with the same tag counts.  A directory that was read
        before is not read again: two may point to one, or one to itself.
        """
        if offset in self._seen:
            return {}, 0
        if len(self._seen) >= MOST_DIRECTORIES:
            self.broken = True
            return {}, 0
        self._seen.add(offset)
        head = self.data.read(offset, 2)
        if len(head) < 2:
            self.broken = True
            return {}, 0
        (count,) = struct.unpack(self._mark + "H", head)
        if count > MOST_ENTRIES:
            self.broken = True
            return {}, 0
        body = self.data.read(offset + 2, 12 * count + 4)
        whole = len(body) // 12
        if whole < count:
            self.broken = True
        found: Directory = {}
        entries = struct.Struct(self._mark + "HHII")
        for index in range(min(count, whole)):
            tag, kind, length, value = entries.unpack_from(body, 12 * index)
            size = _SIZES.get(kind)
            if size is None or tag in found:
                continue
            inline = offset + 2 + 12 * index + 8
            found[tag] = Entry(kind, length, inline if size * length <= 4 else value)
        following = body[12 * count : 12 * count + 4]
        if len(following) < 4:
            return found, 0
        (after,) = struct.unpack(self._mark + "I", following)
        return found, int(after)

    def bytes_of(self, entry: Entry, most: int = LONGEST_TEXT) -> bytes:
        """Return the value's bytes, at most ``most``; nothing if it lies outside."""
        length = min(_SIZES[entry.kind] * entry.count, most)
        if self._spent + length > LARGEST_METADATA:
            self.broken = True
            return b""
        value = self.data.read(entry.offset, length)
        self._spent += len(value)
        if len(value) < length:
            self.broken = True
            return b""
        return value

    def text(self, directory: Directory, tag: int) -> str | None:
        """Return a text value; None where absent, empty of meaning or numeric."""
        entry = directory.get(tag)
        if entry is None or entry.kind not in _TEXTS or entry.count == 0:
            return None
        value = self.bytes_of(entry)
        if not value:
            return None
        text, odd = decode_text(value)
        self.odd_text = self.odd_text or odd
        return text

    def raw_text(self, directory: Directory, tag: int) -> str | None:
        """Return a date-like text with its blanks kept: they mean "unknown"."""
        entry = directory.get(tag)
        if entry is None or entry.kind not in _TEXTS or entry.count == 0:
            return None
        value = self.bytes_of(entry, 256)
        return value.split(b"\0", 1)[0].decode("latin-1") if value else None

    def integers(self, directory: Directory, tag: int, most: int = 64) -> tuple[int, ...]:
        """Return whole numbers; nothing where absent or of another type."""
        entry = directory.get(tag)
        if entry is None or entry.kind not in _INTEGERS:
            return ()
        count = min(entry.count, most)
        value = self.bytes_of(Entry(entry.kind, count, entry.offset))
        if not value:
            return ()
        return struct.unpack(f"{self._mark}{count}{_INTEGERS[entry.kind]}", value)

    def integer(self, directory: Directory, tag: int) -> int | None:
        """Return the first whole number."""
        found = self.integers(directory, tag, 1)
        return found[0] if found else None

    def rationals(self, directory: Directory, tag: int, most: int = 3) -> tuple[Fraction, ...]:
        """Return rationals (or whole numbers); nothing if any has the denominator 0."""
        entry = directory.get(tag)
        if entry is None:
            return ()
        if entry.kind in _INTEGERS:
            return tuple(Fraction(number) for number in self.integers(directory, tag, most))
        if entry.kind not in _RATIONALS:
            return ()
        count = min(entry.count, most)
        value = self.bytes_of(Entry(entry.kind, count, entry.offset))
        if not value:
            return ()
        numbers = struct.unpack(f"{self._mark}{2 * count}{_RATIONALS[entry.kind]}", value)
        pairs = tuple(zip(numbers[::2], numbers[1::2], strict=True))
        if any(below == 0 for _, below in pairs):
            return ()
        return tuple(Fraction(above, below) for above, below in pairs)

    def pointed(self, directory: Directory, tag: int) -> Directory:
        """Return the directory that ``tag`` points to, of whatever integer type it is."""
        offset = self.integer(directory, tag)
        if offset is None or offset <= 0:
            return {}
        return self.directory(offset)[0]


_RAW_MAGIC: Final = (b"*\0", b"U\0", b"RO", b"RS")


def open_block(data: Bytes) -> TiffBlock | None:
    """Return the block where ``data`` begins with a TIFF header, else None.

    Some camera makers put their own word in place of the 42; those are accepted too.
    """
    head = data.read(0, 8)
    if len(head) < 8 or head[:2] not in (b"II", b"MM"):
        return None
    order: ByteOrder = "II" if head[:2] == b"II" else "MM"
    magic = head[2:4] if order == "II" else head[3:1:-1]
    if magic not in _RAW_MAGIC:
        return None
    (first,) = struct.unpack(("<" if order == "II" else ">") + "I", head[4:8])
    return TiffBlock(data, order, first)
