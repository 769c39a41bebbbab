"""Large HEIF pictures, tile by tile, so that memory stays bounded.

Phones store a picture of fifty megapixels as a grid of small coded tiles (ISO/IEC
23008-12, item type ``grid``).  Decoders put them together at full size, which takes
hundreds of megabytes; here every tile is decoded alone, as a file of one picture, and
reduced before it takes its place.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PIL import Image

from ldapp.evidence.boxes import Box, Cursor, boxes, content
from ldapp.evidence.heif import Item, items_of, joined, main_item, properties_by_item, properties_of
from ldapp.evidence.source import Bytes

_MOST_TILES: Final = 1024
_LARGEST_TILE: Final = 4 << 20
"""Pixels; a larger tile would not save what this is for."""
MOST_PIXELS_BY_TILES: Final = 64_000_000
"""Above this the small picture beside it is shown: tiles take 17 ms for a million pixels."""
_OF_A_TILE: Final = (b"hvcC", b"av1C", b"ispe", b"pixi", b"colr")
_CODED: Final = (b"hvc1", b"av01")
_ANTICLOCKWISE: Final = (
    None,
    Image.Transpose.ROTATE_90,
    Image.Transpose.ROTATE_180,
    Image.Transpose.ROTATE_270,
)


@dataclass(frozen=True, slots=True)
class Grid:
    """How the tiles lie, and what turns the whole."""

    columns: int
    width: int
    height: int
    tiles: tuple[int, ...]
    tile_size: tuple[int, int]
    turns: tuple[Image.Transpose, ...]


class _Whole:
    """A file, asked for bytes by position."""

    def __init__(self, path: Path) -> None:
        self._file = path.open("rb")
        self.size = path.stat().st_size

    def read(self, offset: int, length: int) -> bytes:
        """Return up to ``length`` bytes from ``offset``."""
        self._file.seek(offset)
        return self._file.read(length)

    def close(self) -> None:
        """Close the file."""
        self._file.close()


def draw_by_tiles(path: Path, long_edge: int) -> Image.Image | None:
    """Return the upright picture, not below ``long_edge``.

    None where it has no such grid, or one above :data:`MOST_PIXELS_BY_TILES`.
    Raises what the picture library raises for damaged tiles.
    """
    with _items(path) as (data, parts, items):
        grid = _grid(data, parts, items)
        if grid is None or grid.width * grid.height > MOST_PIXELS_BY_TILES:
            return None
        return _drawn(data, parts, items, grid, long_edge)


def draw_small_one(path: Path) -> Image.Image | None:
    """Return the small picture that stands beside the main one (``thmb``), upright, or None.

    Raises what the picture library raises for a damaged one.
    """
    with _items(path) as (data, parts, items):
        main = main_item(data, parts)
        small = None if main is None else _small_of(data, parts, main)
        turns = None if main is None else _turns(data, parts, main)
        if small is None or turns is None or items.get(small, Item()).kind not in _CODED:
            return None
        wide, high = _tile_size(data, parts, small)
        if not 0 < wide * high <= _LARGEST_TILE:
            return None
        drawn = _tile(data, parts, items, small, properties_of(data, parts, small))
        for turn in turns:
            drawn = drawn.transpose(turn)
        return drawn


@contextmanager
def _items(path: Path) -> Iterator[tuple[Bytes, dict[bytes, Box], dict[int, Item]]]:
    data = _Whole(path)
    try:
        meta = next((box for box in boxes(data, 0, data.size) if box.kind == b"meta"), None)
        parts = (
            {} if meta is None else {box.kind: box for box in boxes(data, meta.start + 4, meta.end)}
        )
        yield data, parts, items_of(data, parts)
    finally:
        data.close()


def _small_of(data: Bytes, parts: dict[bytes, Box], main: int) -> int | None:
    """Return the item that is a small picture of the main one (``thmb`` references)."""
    iref = parts.get(b"iref")
    if iref is None:
        return None
    wide = 4 if data.read(iref.start, 1) == b"\1" else 2
    for box in boxes(data, iref.start + 4, iref.end):
        if box.kind != b"thmb":
            continue
        cursor = Cursor(content(data, box, 4096))
        small = cursor.take(wide)
        if main in [cursor.take(wide) for _ in range(min(cursor.take(2), 256))]:
            return small
    return None


def _grid(data: Bytes, parts: dict[bytes, Box], items: dict[int, Item]) -> Grid | None:
    main = main_item(data, parts)
    item = items.get(main) if main is not None else None
    if main is None or item is None or item.kind != b"grid":
        return None
    cursor = Cursor(joined(data, parts, item))
    cursor.take(1)
    wide = 4 if cursor.take(1) & 1 else 2
    rows, columns = cursor.take(1) + 1, cursor.take(1) + 1
    width, height = cursor.take(wide), cursor.take(wide)
    tiles = _made_of(data, parts, main)
    size = _tile_size(data, parts, tiles[0]) if tiles else (0, 0)
    turns = _turns(data, parts, main)
    sound = (
        not cursor.over
        and len(tiles) == rows * columns <= _MOST_TILES
        and 0 < size[0] * size[1] <= _LARGEST_TILE
        and 0 < width <= size[0] * columns
        and 0 < height <= size[1] * rows
    )
    return Grid(columns, width, height, tiles, size, turns) if sound and turns is not None else None


def _made_of(data: Bytes, parts: dict[bytes, Box], main: int) -> tuple[int, ...]:
    """Return the items that the main one is made of (``dimg`` references)."""
    iref = parts.get(b"iref")
    if iref is None:
        return ()
    wide = 4 if data.read(iref.start, 1) == b"\1" else 2
    for box in boxes(data, iref.start + 4, iref.end):
        cursor = Cursor(content(data, box, 8 * _MOST_TILES))
        if box.kind == b"dimg" and cursor.take(wide) == main:
            return tuple(cursor.take(wide) for _ in range(min(cursor.take(2), _MOST_TILES)))
    return ()


def _tile_size(data: Bytes, parts: dict[bytes, Box], tile: int) -> tuple[int, int]:
    for box in properties_of(data, parts, tile):
        body = content(data, box, 12) if box.kind == b"ispe" else b""
        if len(body) == 12:
            return struct.unpack(">II", body[4:])
    return 0, 0


def _turns(data: Bytes, parts: dict[bytes, Box], main: int) -> tuple[Image.Transpose, ...] | None:
    """Return what turns the whole picture; None where it is also cut out of a larger one."""
    turns: list[Image.Transpose] = []
    for box in properties_of(data, parts, main):
        value = Cursor(content(data, box, 1)).take(1)
        if box.kind == b"clap":
            return None
        if box.kind == b"irot" and (turn := _ANTICLOCKWISE[value & 3]) is not None:
            turns.append(turn)
        elif box.kind == b"imir":
            left_right, up_down = Image.Transpose.FLIP_LEFT_RIGHT, Image.Transpose.FLIP_TOP_BOTTOM
            turns.append(left_right if value & 1 else up_down)
    return tuple(turns)


def _drawn(
    data: Bytes, parts: dict[bytes, Box], items: dict[int, Item], grid: Grid, long_edge: int
) -> Image.Image:
    wide, high = grid.tile_size
    factor = 1
    while (
        max(grid.width, grid.height) // (factor * 2) >= long_edge
        and wide % (factor * 2) == high % (factor * 2) == 0
    ):
        factor *= 2
    properties = properties_by_item(data, parts)
    canvas = Image.new("RGB", (-(-grid.width // factor), -(-grid.height // factor)))
    for index, tile in enumerate(grid.tiles):
        row, column = divmod(index, grid.columns)
        small = _tile(data, parts, items, tile, properties.get(tile, [])).reduce(factor)
        canvas.paste(small, (column * wide // factor, row * high // factor))
    for turn in grid.turns:
        canvas = canvas.transpose(turn)
    return canvas


def _tile(
    data: Bytes, parts: dict[bytes, Box], items: dict[int, Item], tile: int, properties: list[Box]
) -> Image.Image:
    """Decode one coded picture of the file alone, not turned."""
    item = items.get(tile, Item())
    its = [_box_of(data, box) for box in properties if box.kind in _OF_A_TILE]
    alone = _one_picture(item.kind, its, joined(data, parts, item))
    with Image.open(io.BytesIO(alone)) as picture:
        return picture.convert("RGB")


def _box_of(data: Bytes, box: Box) -> bytes:
    return _box(box.kind, content(data, box, 1 << 16))


def _box(kind: bytes, *parts: bytes) -> bytes:
    body = b"".join(parts)
    return struct.pack(">I4s", len(body) + 8, kind) + body


def _one_picture(kind: bytes, properties: list[bytes], coded: bytes) -> bytes:
    """Return an HEIF file whose only item is one coded picture with its properties."""
    ftyp = _box(b"ftyp", b"mif1", bytes(4), b"mif1", b"heic", b"avif")
    handler = _box(b"hdlr", bytes(8), b"pict", bytes(13))
    main = _box(b"pitm", bytes(4), struct.pack(">H", 1))
    information = _box(b"infe", b"\2\0\0\0", struct.pack(">HH", 1, 0), kind, b"\0")
    items = _box(b"iinf", bytes(4), struct.pack(">H", 1), information)
    uses = struct.pack(">IHB", 1, 1, len(properties))
    uses += bytes(0x80 | number for number in range(1, len(properties) + 1))
    its = _box(b"iprp", _box(b"ipco", *properties), _box(b"ipma", bytes(4), uses))

    def meta(at: int) -> bytes:
        place = struct.pack(">HHHHII", 1, 1, 0, 1, at, len(coded))
        where = _box(b"iloc", bytes(4), b"\x44\x00", place)
        return _box(b"meta", bytes(4), handler, main, items, its, where)

    at = len(ftyp) + len(meta(0)) + 8
    return ftyp + meta(at) + _box(b"mdat", coded)
