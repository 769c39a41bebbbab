"""HEIF, HEIC and AVIF (ISO/IEC 23008-12): the items of the ``meta`` box.

The Exif item begins with a 4-byte offset to its TIFF header; 0 is as legal as 6.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from typing import Final

from ldapp.evidence.boxes import Box, Cursor, boxes, child, content
from ldapp.evidence.found import Found
from ldapp.evidence.source import LARGEST_METADATA, Bytes, Held

_MOST_ITEMS: Final = 4000
_MOST_EXTENTS: Final = 8000
"""Extents of all items together; each may take no bytes at all."""
_CREDENTIALS: Final = bytes.fromhex("d8fec3d61b0e483c92975828877ec481")


@dataclass(slots=True)
class Item:
    """One item of the ``meta`` box: what it is and where its bytes lie."""

    kind: bytes = b""
    media: bytes = b""
    method: int = 0
    extents: list[tuple[int, int]] = field(default_factory=list)


def read_heif(data: Bytes, kind: str) -> Found:
    """Read the items with tags and the size of the main picture."""
    found = Found(kind=kind, upright_by_container=True)
    meta: Box | None = None
    for box in boxes(data, 0, data.size):
        found.complete = found.complete and not box.cut
        if box.kind == b"meta" and meta is None:
            meta = box
        elif _holds_credentials(data, box):
            found.content_credentials = True
    if meta is None:
        found.complete = False
        return found
    parts = {box.kind: box for box in boxes(data, meta.start + 4, meta.end)}
    items = items_of(data, parts)
    _size(data, parts, found)
    main = main_item(data, parts)
    # Several pictures may each have their own tags: those of the main one count.
    others = _describing_others(data, parts, main) if main is not None else frozenset()
    for _, item in sorted(items.items(), key=lambda pair: pair[0] in others):
        if item.kind == b"Exif" and not found.cameras:
            _exif(data, parts, item, found)
        elif item.kind == b"mime" and item.media == b"application/rdf+xml" and found.xmp is None:
            found.xmp = joined(data, parts, item) or None
    _extents_inside(data, items, found)
    return found


def _holds_credentials(data: Bytes, box: Box) -> bool:
    if box.kind == b"uuid":
        return data.read(box.start, 16) == _CREDENTIALS
    return box.kind == b"jumb" and b"c2pa" in data.read(box.start, 256)


def items_of(data: Bytes, parts: dict[bytes, Box]) -> dict[int, Item]:
    """Return the items by number; ``parts`` are the boxes inside ``meta``."""
    items: dict[int, Item] = {}
    if (iinf := parts.get(b"iinf")) is not None:
        version = data.read(iinf.start, 1)
        skip = 6 if version == b"\0" else 8
        for box in boxes(data, iinf.start + skip, iinf.end):
            if box.kind == b"infe":
                _information(content(data, box, 4096), items)
    if (iloc := parts.get(b"iloc")) is not None:
        _locations(content(data, iloc), items)
    return items


def _information(body: bytes, items: dict[int, Item]) -> None:
    cursor = Cursor(body)
    version = cursor.take(1)
    cursor.take(3)
    if version < 2:
        return
    number = cursor.take(2 if version == 2 else 4)
    cursor.take(2)
    kind = body[cursor.position : cursor.position + 4]
    cursor.take(4)
    cursor.word()
    media = cursor.word() if kind == b"mime" else b""
    if len(kind) == 4:
        items.setdefault(number, Item(kind=kind, media=media))


def _locations(body: bytes, items: dict[int, Item]) -> None:
    cursor = Cursor(body)
    version = cursor.take(1)
    cursor.take(3)
    sizes = cursor.take(2)
    offset_size, length_size = sizes >> 12, sizes >> 8 & 15
    base_size, index_size = sizes >> 4 & 15, sizes & 15 if version in (1, 2) else 0
    left = _MOST_EXTENTS
    for _ in range(min(cursor.take(4 if version == 2 else 2), _MOST_ITEMS)):
        number = cursor.take(4 if version == 2 else 2)
        method = cursor.take(2) & 15 if version in (1, 2) else 0
        cursor.take(2)
        base = cursor.take(base_size)
        extents = []
        count = min(cursor.take(2), left)
        left -= count
        for _ in range(count):
            cursor.take(index_size)
            offset = cursor.take(offset_size)
            extents.append((base + offset, cursor.take(length_size)))
        if cursor.over:
            return
        if (item := items.get(number)) is not None:
            item.method, item.extents = method, extents


def joined(data: Bytes, parts: dict[bytes, Box], item: Item) -> bytes:
    """Return an item's bytes from the file (method 0) or from ``idat`` (method 1)."""
    inside = parts.get(b"idat") if item.method == 1 else None
    if item.method > 1 or (item.method == 1 and inside is None):
        return b""
    start = inside.start if inside else 0
    body = bytearray()
    for offset, length in item.extents:
        if len(body) + length > LARGEST_METADATA:
            break
        body += data.read(start + offset, length)
    return bytes(body)


def _exif(data: Bytes, parts: dict[bytes, Box], item: Item, found: Found) -> None:
    body = joined(data, parts, item)
    if len(body) < 12:
        return
    found.exif_segments = 1
    (stated,) = struct.unpack(">I", body[:4])
    # The stated place first, then those that careless writers mean.
    for place in (4 + stated, 4, 10, 0, 6):
        if body[place : place + 2] not in (b"II", b"MM"):
            continue
        single = item.method == 0 and len(item.extents) == 1
        starts_at = item.extents[0][0] + place if single else None
        if found.add_block(Held(body[place:]), starts_at):
            return


def _extents_inside(data: Bytes, items: dict[int, Item], found: Found) -> None:
    for item in items.values():
        if item.method == 0 and any(at + length > data.size for at, length in item.extents):
            found.complete = False


def _describing_others(data: Bytes, parts: dict[bytes, Box], main: int) -> frozenset[int]:
    """Return the items that describe (``cdsc``) other pictures than the main one."""
    iref = parts.get(b"iref")
    if iref is None:
        return frozenset()
    wide = 4 if data.read(iref.start, 1) == b"\1" else 2
    found = set()
    for box in boxes(data, iref.start + 4, iref.end):
        if box.kind != b"cdsc":
            continue
        cursor = Cursor(content(data, box, 4096))
        item = cursor.take(wide)
        if main not in [cursor.take(wide) for _ in range(min(cursor.take(2), 256))]:
            found.add(item)
    return frozenset(found)


def main_item(data: Bytes, parts: dict[bytes, Box]) -> int | None:
    """Return the number of the item that is the picture (``pitm``)."""
    pitm = parts.get(b"pitm")
    if pitm is None:
        return None
    cursor = Cursor(content(data, pitm, 16))
    version = cursor.take(1)
    cursor.take(3)
    return cursor.take(2 if version == 0 else 4)


def properties_of(data: Bytes, parts: dict[bytes, Box], item: int) -> list[Box]:
    """Return the properties of an item (``ipma``) in the order in which they apply."""
    return properties_by_item(data, parts).get(item, [])


def properties_by_item(data: Bytes, parts: dict[bytes, Box]) -> dict[int, list[Box]]:
    """Return the properties of every item: read once for pictures of hundreds of tiles."""
    iprp = parts.get(b"iprp")
    ipco = child(data, iprp, b"ipco") if iprp else None
    ipma = child(data, iprp, b"ipma") if iprp else None
    if ipco is None or ipma is None:
        return {}
    properties = list(boxes(data, ipco.start, ipco.end))
    cursor = Cursor(content(data, ipma))
    version, flags = cursor.take(1), cursor.take(3)
    found: dict[int, list[Box]] = {}
    for _ in range(min(cursor.take(4), _MOST_ITEMS)):
        number = cursor.take(2 if version == 0 else 4)
        for _ in range(cursor.take(1)):
            index = cursor.take(2) & 0x7FFF if flags & 1 else cursor.take(1) & 0x7F
            if 0 < index <= len(properties):
                found.setdefault(number, []).append(properties[index - 1])
        if cursor.over:
            break
    return found


def _size(data: Bytes, parts: dict[bytes, Box], found: Found) -> None:
    """Find the ``ispe`` property of the main item."""
    main = main_item(data, parts)
    if main is None:
        return
    for box in properties_of(data, parts, main):
        body = content(data, box, 12) if box.kind == b"ispe" else b""
        if len(body) == 12:
            found.width, found.height = struct.unpack(">II", body[4:])
