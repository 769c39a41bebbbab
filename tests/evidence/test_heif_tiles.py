"""Large HEIF pictures come tile by tile, and look as the decoder's own."""

from __future__ import annotations

import base64
import struct
import zlib
from itertools import product

import pytest
from PIL import Image, ImageChops

from ldapp.errors import InputError
from ldapp.evidence import heif_tiles, pictures
from ldapp.evidence.boxes import boxes, child, content
from ldapp.evidence.first_look import first_look
from ldapp.evidence.heif import items_of, joined, properties_of
from ldapp.evidence.heif_tiles import _one_picture, draw_by_tiles, draw_small_one
from ldapp.evidence.pictures import shown_picture, upright
from ldapp.evidence.read import read_photo
from ldapp.evidence.source import Held
from tests.evidence.test_pictures import TURNED_HEIC


def one_tile() -> tuple[bytes, bytes]:
    """Return a coded picture of 64 by 64 pixels and its decoder's configuration."""
    data = Held(zlib.decompress(base64.b64decode(TURNED_HEIC)))
    meta = next(box for box in boxes(data, 0, data.size) if box.kind == b"meta")
    parts = {box.kind: box for box in boxes(data, meta.start + 4, meta.end)}
    items = items_of(data, parts)
    number = next(number for number, item in items.items() if item.kind == b"hvc1")
    (configuration,) = (
        content(data, box) for box in properties_of(data, parts, number) if box.kind == b"hvcC"
    )
    return joined(data, parts, items[number]), configuration


def tiled(build, rows: int, columns: int, *, turn: bytes = b"", wide: bool = False, **odd) -> bytes:
    """Return an HEIC whose picture is a grid of equal tiles; ``odd`` breaks one part."""
    coded, configuration = one_tile()
    box, count = build.box, rows * columns
    width, height = odd.get("size", (64 * columns - 4, 64 * rows - 2))
    sizes = struct.pack(">II" if wide else ">HH", width, height)
    grid = bytes([0, int(wide), rows - 1, columns - 1]) + sizes

    def infe(number: int, kind: bytes) -> bytes:
        return box(b"infe", b"\2\0\0\0", struct.pack(">HH", number, 0), kind, b"\0")

    main = infe(1, odd.get("kind", b"grid"))
    infes = [main, *(infe(number, b"hvc1") for number in range(2, count + 2))]
    iinf = box(b"iinf", bytes(4), struct.pack(">H", len(infes)), *infes)
    ids = struct.pack(f">HH{count}H", 1, count, *range(2, count + 2))
    iref = box(b"iref", bytes(4), box(b"cdsc", struct.pack(">HHH", 2, 1, 1)), box(b"dimg", ids))
    size_of_tile = odd.get("size_box", b"ispe")
    ispe = [struct.pack(">IIII", 0, 0, 0, 0)[:4] + struct.pack(">II", width, height)]
    ispe.append(bytes(4) + struct.pack(">II", *odd.get("tile", (64, 64))))
    properties = [
        box(b"ispe", ispe[0]),
        box(size_of_tile, ispe[1]),
        box(b"hvcC", configuration),
        turn,
    ]
    uses = struct.pack(">IHB", count + 1, 1, 2 if turn else 1) + (b"\x81\x84" if turn else b"\x81")
    for number in range(2, count + 2):
        uses += struct.pack(">HB", number, 2) + b"\x82\x83"
    iprp = box(b"iprp", box(b"ipco", *properties), box(b"ipma", bytes(4), uses))
    ftyp = box(b"ftyp", b"heic", bytes(4), b"mif1", b"heic")
    handler = box(b"hdlr", bytes(8), b"pict", bytes(13))
    pitm = box(b"pitm", bytes(4), struct.pack(">H", 1))

    def meta(at: int) -> bytes:
        rows_ = struct.pack(">HHHII", 1, 0, 1, at, len(grid))
        for number in range(2, count + 2):
            rows_ += struct.pack(">HHHII", number, 0, 1, at + len(grid), len(coded))
        iloc = box(b"iloc", bytes(4), b"\x44\x00", struct.pack(">H", count + 1), rows_)
        references = b"" if odd.get("lonely") else iref
        if "small" in odd:
            small = struct.pack(">HHH", odd["small"], 1, odd.get("small_of", 1))
            references = box(b"iref", bytes(4), box(b"dimg", ids), box(b"thmb", small))
        if odd.get("other"):
            references = box(b"iref", b"\1\0\0\0", box(b"thmb", bytes(10)))
        return box(b"meta", bytes(4), handler, pitm, iinf, references, iprp, iloc)

    at = len(ftyp) + len(meta(0)) + 8
    return ftyp + meta(at) + box(b"mdat", grid + coded)


TURNS = [b""] + [
    struct.pack(">I4sB", 9, kind, value)
    for kind, value in (*product([b"irot"], range(4)), *product([b"imir"], range(2)))
]


@pytest.mark.parametrize("turn", TURNS)
def test_tiles_look_as_the_whole(build, save, turn):
    path = save("a.heic", tiled(build, 3, 2, turn=turn))
    pictures._register()
    with Image.open(path) as image:
        whole = image.convert("RGB")
    tiles = draw_by_tiles(path, 1000)
    assert tiles is not None
    # The decoder smooths colours over the edges of tiles or leaves it: a level or two.
    cut = tiles.crop((0, 0, *whole.size)) if tiles.size != whole.size else tiles
    assert cut.size == whole.size
    levels = max(high for _, high in ImageChops.difference(cut, whole).getextrema())
    assert levels <= 24


def test_a_picture_above_the_bound_is_drawn_by_tiles_and_others_are_refused(
    build, save, monkeypatch
):
    large = save("a.heic", tiled(build, 4, 4, wide=True, size=(256, 256)))
    small = upright(large, read_photo(large), 60)
    monkeypatch.setattr(pictures, "MOST_BYTES", 100_000)
    by_tiles = upright(large, read_photo(large), 60)
    assert by_tiles.size == small.size == (60, 60)
    differences = ImageChops.difference(by_tiles, small).convert("L").histogram()
    assert sum(differences[40:]) < 20
    coded, configuration = one_tile()
    size = build.box(b"ispe", bytes(4), struct.pack(">II", 64, 64))
    one = _one_picture(b"hvc1", [build.box(b"hvcC", configuration), size], coded)
    plain = save("b.heic", one)
    assert upright(plain, read_photo(plain), 60).size == (60, 60)
    monkeypatch.setattr(pictures, "MOST_BYTES", 10_000)
    with pytest.raises(InputError, match=r"b\.heic: the picture is too large to show .64 × 64."):
        upright(plain, read_photo(plain), 60)


@pytest.fixture
def bounds_are_low(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the small pictures of these tests hold is far too large, and a tile is not."""
    monkeypatch.setattr(pictures, "MOST_BYTES", 100_000)
    monkeypatch.setattr(heif_tiles, "MOST_PIXELS_BY_TILES", 64 * 64)


@pytest.mark.usefixtures("bounds_are_low")
@pytest.mark.parametrize("turn", [b"", struct.pack(">I4sB", 9, b"irot", 1)])
def test_a_picture_of_too_many_tiles_is_shown_by_its_small_one(build, save, turn):
    path = save("a.heic", tiled(build, 4, 4, turn=turn, small=2, size=(256, 256)))
    facts = read_photo(path)
    with pytest.raises(InputError, match=r"a\.heic: the picture is too large to show"):
        upright(path, facts, 60)
    shown = shown_picture(path, facts, 60)
    coded, configuration = one_tile()
    size = build.box(b"ispe", bytes(4), struct.pack(">II", 64, 64))
    alone = save("b.heic", _one_picture(b"hvc1", [build.box(b"hvcC", configuration), size], coded))
    tile = upright(alone, read_photo(alone), 60)
    wanted = tile.transpose(Image.Transpose.ROTATE_90) if turn else tile
    assert shown.size == (60, 60)
    levels = ImageChops.difference(shown, wanted).convert("L").histogram()
    assert sum(levels[40:]) < 20
    assert first_look(path, facts).small


@pytest.mark.usefixtures("bounds_are_low")
@pytest.mark.parametrize(
    "odd",
    [
        {}, {"lonely": True}, {"small": 1}, {"small": 99}, {"small": 2, "small_of": 7},
        {"small": 2, "tile": (0, 0)}, {"small": 2, "tile": (9000, 9000)},
        {"small": 2, "size_box": b"free"}, {"small": 2, "turn": struct.pack(">I4s", 8, b"clap")},
    ],
)  # fmt: skip
def test_what_is_no_sound_small_picture_is_left(build, save, odd):
    path = save("a.heic", tiled(build, 4, 4, **{"size": (256, 256), **odd}))
    assert draw_small_one(path) is None


@pytest.mark.usefixtures("bounds_are_low")
def test_a_damaged_small_picture_is_left(build, save):
    coded, _ = one_tile()
    whole = tiled(build, 4, 4, small=2, size=(256, 256))
    path = save("a.heic", whole[: -len(coded)] + bytes(len(coded)))
    with pytest.raises(InputError, match="too large to show"):
        shown_picture(path, read_photo(path), 60)
    empty = save("b.heic", whole[:16])
    assert draw_small_one(empty) is None


@pytest.mark.parametrize(
    "odd",
    [
        {"kind": b"hvc1"}, {"lonely": True}, {"other": True}, {"size_box": b"free"},
        {"tile": (0, 0)}, {"tile": (9000, 9000)},
        {"size": (500, 90)}, {"size": (0, 0)},
    ],
)  # fmt: skip
def test_what_is_no_sound_grid_is_left(build, save, odd):
    assert draw_by_tiles(save("a.heic", tiled(build, 3, 2, **odd)), 100) is None


def test_a_picture_cut_out_of_a_larger_one_is_left(build, save):
    cut = build.box(b"clap", bytes(32))
    assert draw_by_tiles(save("a.heic", tiled(build, 3, 2, turn=cut)), 100) is None


def test_files_without_items_are_left(build, save):
    assert draw_by_tiles(save("a.heic", build.box(b"ftyp", b"heic", bytes(4))), 100) is None
    empty = build.box(b"ftyp", b"heic", bytes(4)) + build.box(b"meta", bytes(4))
    assert draw_by_tiles(save("b.heic", empty), 100) is None
    assert child(Held(empty), next(boxes(Held(empty), 0, len(empty))), b"none") is None


def test_a_file_of_several_pictures_is_shown_by_its_main_one(build, save):
    """The reader decodes such files anew at each step, at another size than asked for."""
    path = save("a.heic", tiled(build, 4, 4, size=(256, 256)))
    assert upright(path, read_photo(path), 60).size == (60, 60)
    assert upright(path, read_photo(path), 1000).size == (256, 256)


def with_two_sets_of_tags(build, main: int, wide: bool = False) -> bytes:
    """Return an HEIC of two pictures whose tags say different dates."""
    box = build.box
    blocks = [
        bytes(4) + build.tiff({}, {0x9003: build.ascii(f"202{number}:02:14 10:15:30")})
        for number in (5, 6)
    ]

    def infe(number: int, kind: bytes) -> bytes:
        return box(b"infe", b"\2\0\0\0", struct.pack(">HH", number, 0), kind, b"\0")

    kinds = ((1, b"hvc1"), (2, b"hvc1"), (3, b"Exif"), (4, b"Exif"))
    iinf = box(b"iinf", bytes(4), struct.pack(">H", 4), *(infe(*one) for one in kinds))
    form = ">IHI" if wide else ">HHH"
    describes = [box(b"cdsc", struct.pack(form, 2 + one, 1, one)) for one in (1, 2)]
    iref = box(b"iref", bytes([int(wide)]) + bytes(3), box(b"thmb", bytes(6)), *describes)
    pitm = box(b"pitm", bytes(4), struct.pack(">H", main))
    ftyp = box(b"ftyp", b"heic", bytes(4), b"mif1", b"heic")

    def meta(at: int) -> bytes:
        rows = struct.pack(">HHHII", 3, 0, 1, at, len(blocks[0]))
        rows += struct.pack(">HHHII", 4, 0, 1, at + len(blocks[0]), len(blocks[1]))
        iloc = box(b"iloc", bytes(4), b"\x44\x00", struct.pack(">H", 2), rows)
        return box(b"meta", bytes(4), pitm, iinf, iref, iloc)

    at = len(ftyp) + len(meta(0)) + 8
    return ftyp + meta(at) + box(b"mdat", *blocks)


@pytest.mark.parametrize("wide", [False, True])
@pytest.mark.parametrize(("main", "year"), [(1, "2025"), (2, "2026")])
def test_the_tags_of_the_main_picture_count(build, save, main, year, wide):
    facts = read_photo(save("a.heic", with_two_sets_of_tags(build, main, wide)))
    assert facts.taken is not None
    assert facts.taken.local == f"{year}-02-14T10:15:30"
