"""Upright previews, and the comparison with the camera's own small picture."""

from __future__ import annotations

import base64
import io
import zlib
from dataclasses import replace

import pytest
from PIL import Image, ImageOps

from ldapp.claim.photo_facts import EmbeddedPreview
from ldapp.errors import InputError
from ldapp.evidence.pictures import (
    MOST_PIXELS,
    embedded_preview,
    picture_as_stored,
    picture_size,
    preview_jpeg,
    upright,
)
from ldapp.evidence.previews import compare_preview
from ldapp.evidence.read import read_photo

ORIENTATION = 0x0112


def encoded(image: Image.Image, form: str = "JPEG", **options) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **options)
    return out.getvalue()


def with_preview(build, small: bytes, body: bytes, orientation: int = 1) -> bytes:
    """Return a JPEG of ``body`` whose tags hold a small picture."""
    main = {ORIENTATION: (3, [orientation]), 0x010F: build.ascii("Invented Optics")}
    exif = {0x9003: build.ascii("2026:02:14 10:15:30")}
    place = {0x0201: (4, [0]), 0x0202: (4, [len(small)])}
    at = len(build.tiff(main, exif, preview=place))
    place[0x0201] = (4, [at])
    return build.jpeg(build.tiff(main, exif, preview=place, after=small), body=body)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_comes_upright(build, save, orientation):
    """The corner that is upper left when upright is marked."""
    wanted = Image.new("RGB", (80, 40), (90, 90, 90))
    wanted.paste((250, 20, 20), (0, 0, 20, 10))
    stored = _stored_as(wanted, orientation)
    data = with_preview(build, b"", encoded(stored, quality=95), orientation)
    path = save("a.jpg", data)
    facts = read_photo(path)
    shown = upright(path, facts, 80)
    assert shown.size == (80, 40)
    assert shown.getpixel((8, 4))[0] > 200
    assert shown.getpixel((70, 4))[0] < 130
    assert shown.getpixel((8, 35))[0] < 130
    assert picture_size(path, facts) == (80, 40)
    assert picture_as_stored(path, 80).size == stored.size


def _stored_as(wanted: Image.Image, orientation: int) -> Image.Image:
    """Undo a turn: find the stored picture that the library's own turning makes upright."""
    for method in (None, *Image.Transpose):
        candidate = wanted if method is None else wanted.transpose(method)
        tagged = candidate.copy()
        tagged.getexif()[ORIENTATION] = orientation
        if _same_pixels(ImageOps.exif_transpose(tagged), wanted):
            return candidate
    raise AssertionError(orientation)


def _same_pixels(one: Image.Image, other: Image.Image) -> bool:
    return one.size == other.size and one.tobytes() == other.tobytes()


@pytest.mark.parametrize(
    ("mode", "form", "options"),
    [
        ("L", "JPEG", {}), ("CMYK", "JPEG", {}), ("RGBA", "PNG", {}), ("LA", "PNG", {}),
        ("P", "PNG", {}), ("1", "PNG", {}), ("I;16", "PNG", {}), ("I;16", "TIFF", {}),
        ("F", "TIFF", {}), ("RGB", "TIFF", {"compression": "tiff_lzw"}), ("RGB", "WEBP", {}),
        ("RGB", "MPO", {"save_all": True}),
    ],
)  # fmt: skip
def test_every_kind_of_picture_becomes_a_jpeg(build, tmp_path, mode, form, options):
    path = tmp_path / "a.pic"
    image = build.drawn(300, 200)
    if mode == "I;16":
        image = image.convert("L").convert("I").point(lambda v: v * 200).convert("I;16")
    elif mode != "RGB":
        image = image.convert(mode)
    if form == "MPO":
        options = options | {"append_images": [build.drawn(300, 200, 2)]}
    image.save(path, form, **options)
    shown = Image.open(io.BytesIO(preview_jpeg(path, read_photo(path), 150)))
    assert (shown.format, shown.mode, shown.size) == ("JPEG", "RGB", (150, 100))
    low, high = shown.convert("L").getextrema()
    assert high - low > 60


def test_flat_sixteen_bit_and_transparent_pictures(tmp_path):
    Image.new("F", (20, 10), 3.5).save(tmp_path / "a.tif")
    flat = tmp_path / "a.tif"
    assert upright(flat, read_photo(flat), 20).size == (20, 10)
    clear = tmp_path / "b.png"
    Image.new("RGBA", (20, 10), (0, 0, 0, 0)).save(clear)
    assert upright(clear, read_photo(clear), 20).getpixel((5, 5)) == (255, 255, 255)


def test_pictures_are_never_enlarged(build, save):
    path = save("a.jpg", build.drawn_jpeg(50, 30))
    assert upright(path, read_photo(path), 320).size == (50, 30)


def test_damaged_tags_do_not_cost_the_picture(build, save):
    path = save("a.jpg", build.jpeg(b"\xff\xff\xff\xff" + bytes(40)))
    assert upright(path, read_photo(path), 100).size == (100, 75)


def test_avif_is_turned_once(build, tmp_path):
    path = tmp_path / "a.avif"
    tags = Image.Exif()
    tags[ORIENTATION] = 6
    build.drawn(80, 40).save(path, "AVIF", exif=tags)
    facts = read_photo(path)
    assert upright(path, facts, 80).size == (40, 80)
    assert picture_size(path, facts) == (40, 80)


TURNED_HEIC = """
eNpjYGCQSSupLMhIzUxmAILczDRDEDs3MzGNgYHxdW5qSSIDBChmpOQUQdkMBZnJJQxogK8gsyQXzGICYoHMlESIEg
cGBSDpk5mTn8wIZLg4MDAzMEK0MPHDWAx+QF0wNozmAKqEqIuFi8kBsW9mZl4amAeSFwVyUplAuoBqMsqSDRmQBMGO
SS/KTGFAUQnU51qRCTbjfmZBUQGQ3pNZkJwPpIuBRjgzMhfA/SX3geHP3x8/GBj4mRWAWiUcGHkY//8HKWBmmAB2Aj
OD3C4mB0WgpLoTIyOazAKFRtZpr54s27lBAcQHE4pKQLVsLowHiw90Am0QySwuSIXa5gDF6GKgMBQoyKzIBHubg4MD
SHFmFuWXgIJAOrMgFxZPwGBkamRiYGJmbmkFcjUyi1LTYDGUkpmbDg5nUGjyJacUJ4PjAhROJbmQ+PLSYFzP+SDd5e
LxhzGXF8+WubZA+Wq/buX+s9uPX/z3592fn694HkR52Bduywi9uFZEzLP2tPfWFlN+5+29Ei/DJ888wMA+b+qPQs+F
8jd/gKz09WXQAsckI6MQOLaA/oY4BgDqCni/"""
"""A grey picture of 64 by 32 pixels drawn here, a red corner, turned by its container."""


def test_heic_is_turned_once_though_its_tags_say_so_too(save):
    path = save("a.heic", zlib.decompress(base64.b64decode(TURNED_HEIC)))
    facts = read_photo(path)
    assert (facts.width, facts.height, facts.orientation) == (64, 32, 6)
    shown = upright(path, facts, 64)
    assert shown.size == picture_size(path, facts) == (32, 64)
    assert shown.getpixel((28, 4))[0] > 200
    assert shown.getpixel((4, 4))[0] < 130
    assert Image.open(io.BytesIO(preview_jpeg(path, facts, 32))).size == (16, 32)


@pytest.mark.parametrize("turns", range(-1, 5))
def test_previews_turned_by_hand(build, save, turns):
    path = save("a.jpg", build.drawn_jpeg(80, 40))
    shown = Image.open(io.BytesIO(preview_jpeg(path, read_photo(path), 80, turns)))
    assert shown.size == ((80, 40) if turns % 2 == 0 else (40, 80))


def test_a_cut_picture_is_one_sentence(build, save):
    path = save("a.jpg", build.drawn_jpeg(800, 600)[:3000])
    with pytest.raises(InputError, match=r"a\.jpg: the picture cannot be decoded"):
        preview_jpeg(path, read_photo(path), 100)


def test_text_is_one_sentence(save):
    path = save("a.jpg", b"line;quantity\n")
    with pytest.raises(InputError, match="the picture cannot be opened"):
        picture_size(path, read_photo(path))


def test_a_cut_picture_is_shown_by_its_small_one(build, save):
    small = encoded(build.drawn(40, 30))
    data = with_preview(build, small, encoded(build.drawn(800, 600)), orientation=6)
    path = save("a.jpg", data[: len(data) // 2])
    shown = Image.open(io.BytesIO(preview_jpeg(path, read_photo(path), 20)))
    assert shown.size == (15, 20)


def test_raw_files_are_shown_by_the_largest_jpeg_inside(build, save):
    small, large = encoded(build.drawn(40, 30)), encoded(build.drawn(400, 300))
    make = {0x010F: build.ascii("SONY"), 0xC634: (1, b"abcd"), 0x0112: (3, [8])}
    place = {0x0111: (4, [1]), 0x0117: (4, [1]), 0x014A: (4, [1])}

    def raw(at: int) -> bytes:
        main = make | {0x0111: (4, [at]), 0x0117: (4, [len(small)])}
        below = at + len(small) + len(large)
        main |= {0x014A: (4, [below])}
        inner = build.tiff({0x0201: (4, [at + len(small)]), 0x0202: (4, [len(large)])})[8:]
        return build.tiff(main, after=small + large + inner)

    at = len(build.tiff(make | place))
    path = save("a.arw", raw(at))
    facts = read_photo(path)
    assert facts.kind == "image/x-sony-arw"
    assert facts.preview == EmbeddedPreview(offset=at + len(small), length=len(large))
    assert Image.open(io.BytesIO(preview_jpeg(path, facts, 200))).size == (150, 200)
    bare = save("b.arw", build.tiff(make))
    with pytest.raises(InputError):
        preview_jpeg(bare, read_photo(bare), 200)


def test_boxed_raw_files_are_shown_by_their_preview(build, save):
    large = encoded(build.drawn(400, 300))
    identity = bytes.fromhex("eaf42b5e1c984b88b9fbb7dc406e4d16")
    head = bytes(12) + len(large).to_bytes(4, "big")

    def raw(*parts: bytes) -> bytes:
        return build.box(b"ftyp", b"crx ") + build.box(b"uuid", identity, bytes(8), *parts)

    path = save("a.cr3", raw(build.box(b"PRVW", head, large)))
    facts = read_photo(path)
    assert Image.open(io.BytesIO(preview_jpeg(path, facts, 200))).size == (200, 150)
    for number, odd in enumerate((raw(), raw(build.box(b"PRVW", head, large[:50])))):
        assert read_photo(save(f"{number}.cr3", odd)).preview is None


def test_raf_files_are_shown_by_their_jpeg(build, save):
    jpeg = build.drawn_jpeg(400, 300)
    head = b"FUJIFILMCCD-RAW 0201".ljust(84, b"\0") + (92).to_bytes(4, "big")
    path = save("a.raf", head + len(jpeg).to_bytes(4, "big") + jpeg + bytes(100))
    assert Image.open(io.BytesIO(preview_jpeg(path, read_photo(path), 200))).size == (200, 150)


def test_an_enormous_picture_is_refused_by_its_size(save, tmp_path):
    side = int(MOST_PIXELS**0.5) + 10
    path = tmp_path / "a.png"
    Image.new("1", (side, side)).save(path)
    with pytest.raises(InputError, match=f"too large to show \\({side} × {side}\\)"):
        upright(path, read_photo(path), 100)


def test_a_large_picture_is_shown_but_not_compared(tmp_path):
    path = tmp_path / "a.png"
    Image.new("1", (4100, 4100), 1).save(path)
    assert upright(path, read_photo(path), 100).size == (100, 100)
    with pytest.raises(InputError, match="too large"):
        picture_as_stored(path, 100)


def test_decoders_warn_nobody(tmp_path):
    """A picture whose tags the library complains about is shown all the same."""
    path = tmp_path / "a.tif"
    Image.new("RGB", (40, 30), (200, 10, 10)).save(path)
    data = bytearray(path.read_bytes())
    at = data.index((0x011C).to_bytes(2, "little") + (3).to_bytes(2, "little"))
    data[at + 4 : at + 8] = (40_000).to_bytes(4, "little")
    path.write_bytes(bytes(data))
    assert upright(path, read_photo(path), 40).getpixel((5, 5))[0] > 150


def test_embedded_previews(build, save):
    small = encoded(build.drawn(40, 30))
    path = save("a.jpg", with_preview(build, small, encoded(build.drawn(80, 60))))
    facts = read_photo(path)
    shown = embedded_preview(path, facts)
    assert shown is not None
    assert shown.size == (40, 30)
    assert embedded_preview(path, read_photo(save("b.jpg", build.drawn_jpeg()))) is None
    damaged = save("c.jpg", with_preview(build, b"no jpeg", encoded(build.drawn(80, 60))))
    assert embedded_preview(damaged, read_photo(damaged)) is None


class TestComparison:
    def compared(self, build, save, small: Image.Image, large: Image.Image, **options) -> str:
        data = with_preview(build, encoded(small, quality=80), encoded(large), **options)
        path = save("a.jpg", data)
        return compare_preview(path, read_photo(path))

    def test_same(self, build, save):
        large = build.drawn(640, 480)
        assert self.compared(build, save, large.resize((160, 120)), large) == "same"

    def test_black_bars_are_cut_first(self, build, save):
        large = build.drawn(600, 400)
        boxed = Image.new("RGB", (160, 120))
        boxed.paste(large.resize((160, 106)), (0, 7))
        assert self.compared(build, save, boxed, large) == "same"

    def test_dark_small_pictures_are_compared_whole(self, build, save):
        large = build.drawn(640, 480)
        dark = Image.linear_gradient("L").resize((160, 120)).point(lambda level: level // 12)
        assert self.compared(build, save, dark.convert("RGB"), large) == "differs"
        lamp = Image.new("RGB", (160, 120))
        lamp.paste((255, 255, 255), (70, 50, 90, 70))
        assert self.compared(build, save, lamp, large) == "differs"

    def test_wide_bars_are_cut_first(self, build, save):
        large = Image.new("RGB", (640, 240), (30, 30, 30))
        large.paste((250, 250, 250), (0, 0, 320, 240))
        large.paste((120, 120, 120), (400, 60, 600, 200))
        boxed = Image.new("RGB", (160, 120))
        boxed.paste(large.resize((160, 64)), (0, 28))
        assert self.compared(build, save, boxed, large) == "same"

    @pytest.mark.parametrize("turn", [Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_270])
    def test_turned(self, build, save, turn):
        large = build.drawn(640, 480)
        small = large.resize((160, 120))
        assert self.compared(build, save, small, large.transpose(turn)) == "turned"

    def test_a_container_that_turns_is_no_sign(self, build, save):
        large = build.drawn(640, 480)
        turned = large.transpose(Image.Transpose.ROTATE_270)
        path = save(
            "a.jpg", with_preview(build, encoded(large.resize((160, 120))), encoded(turned))
        )
        facts = read_photo(path)
        assert compare_preview(path, facts) == "turned"
        assert compare_preview(path, replace(facts, upright_by_container=True)) == "same"

    def test_upside_down_counts_as_turned(self, build, save):
        large = build.drawn(640, 480)
        turned = large.transpose(Image.Transpose.ROTATE_180)
        assert self.compared(build, save, large.resize((160, 120)), turned) == "turned"

    def test_another_picture(self, build, save):
        other = build.drawn(160, 120, seed=9)
        assert self.compared(build, save, other, build.drawn(640, 480)) == "differs"

    def test_a_crop(self, build, save):
        large = build.drawn(640, 480)
        part = large.crop((300, 200, 640, 390))
        assert self.compared(build, save, large.resize((160, 120)), part) == "differs"

    def test_flat_pictures_say_nothing(self, build, save):
        grey = Image.new("RGB", (160, 120), (90, 90, 90))
        black = Image.new("RGB", (160, 120))
        assert self.compared(build, save, black, build.drawn(640, 480)) == "unknown"
        assert self.compared(build, save, build.drawn(160, 120), grey) == "unknown"
        dull = Image.blend(build.drawn(640, 480), Image.new("RGB", (640, 480), "grey"), 0.9)
        assert self.compared(build, save, grey, dull) == "unknown"

    def test_an_empty_bright_preview_of_a_lively_picture(self, build, save):
        page = Image.new("RGB", (160, 120), (250, 250, 250))
        assert self.compared(build, save, page, build.drawn(640, 480)) == "differs"

    def test_dark_edges_are_no_bars(self, build, save):
        """The edges of a night scene lie just below and just above black."""
        night = Image.new("RGB", (640, 480), (26, 26, 26))
        night.paste(build.drawn(400, 300), (40, 100))
        small = night.resize((160, 120)).point(lambda level: max(0, level - 6))
        assert self.compared(build, save, small, night) == "same"

    def test_a_mostly_dark_picture_keeps_its_dark(self, build, save):
        night = Image.new("RGB", (640, 480))
        night.paste((250, 250, 250), (300, 200, 360, 260))
        assert self.compared(build, save, night.resize((160, 120)), night) == "same"

    def test_between_same_and_different_nothing_is_said(self, build, save):
        large = build.drawn(640, 480)
        mixed = Image.blend(large.resize((160, 120)), build.drawn(160, 120, seed=9), 0.5)
        assert self.compared(build, save, mixed, large) == "unknown"

    def test_without_a_small_picture_or_a_large_one(self, build, save):
        plain = save("a.jpg", build.drawn_jpeg())
        assert compare_preview(plain, read_photo(plain)) == "unknown"
        data = with_preview(build, encoded(build.drawn(40, 30)), encoded(build.drawn(800, 600)))
        cut = save("b.jpg", data[: len(data) // 2])
        assert compare_preview(cut, read_photo(cut)) == "unknown"


def test_a_small_picture_of_absurd_length_is_left(build, save, photo):
    path = save("a.jpg", build.drawn_jpeg())
    large = photo(preview=EmbeddedPreview(offset=0, length=64 << 20))
    assert embedded_preview(path, large) is None
