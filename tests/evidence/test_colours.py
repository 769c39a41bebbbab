"""Colours come right: profiles, four inks, sixteen bits."""

from __future__ import annotations

import io
import struct

import pytest
from PIL import Image, ImageCms

from ldapp.evidence.colours import in_screen_colours
from ldapp.evidence.pictures import preview_jpeg, upright
from ldapp.evidence.read import read_photo


def swapped_profile() -> bytes:
    """Return a profile whose red and green primaries are exchanged: easy to see."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    (tags,) = struct.unpack_from(">I", data, 128)
    places = {}
    for number in range(tags):
        at = 132 + number * 12
        places[bytes(data[at : at + 4])] = at
    red, green = places[b"rXYZ"], places[b"gXYZ"]
    data[red : red + 4], data[green : green + 4] = b"gXYZ", b"rXYZ"
    # The description must not say that these are the usual colours.
    return bytes(data).replace("sRGB".encode("utf-16-be"), "abcd".encode("utf-16-be"))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_a_profile_says_what_the_numbers_mean(tmp_path, form):
    path = tmp_path / "a.pic"
    Image.new("RGB", (64, 48), (230, 30, 30)).save(path, form, icc_profile=swapped_profile())
    red, green, blue = upright(path, read_photo(path), 64).getpixel((30, 20))
    assert green > 200
    assert red < 100
    assert blue < 100
    shown = Image.open(io.BytesIO(preview_jpeg(path, read_photo(path), 64)))
    assert shown.getpixel((30, 20))[1] > 200


def test_the_usual_colours_and_what_is_no_profile_change_nothing():
    picture = Image.new("RGB", (8, 8), (230, 30, 30))
    usual = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    grey = Image.new("L", (8, 8), 90)
    for image, profile in (
        (picture, None),
        (picture, b""),
        (picture, usual),
        (picture, b"no profile at all"),
        (picture, usual[:200]),
        (picture, bytes(5 << 20)),
        (grey, swapped_profile()),
    ):
        assert in_screen_colours(image, profile) is image


def test_transparent_parts_stay_transparent():
    picture = Image.new("RGBA", (8, 8), (230, 30, 30, 77))
    changed = in_screen_colours(picture, swapped_profile())
    assert changed.getpixel((1, 1))[3] == 77
    assert changed.getpixel((1, 1))[1] > 200


def test_four_inks_become_their_colours(tmp_path):
    path = tmp_path / "a.jpg"
    Image.new("CMYK", (64, 48), (0, 255, 255, 0)).save(path, quality=95)
    red, green, blue = upright(path, read_photo(path), 64).getpixel((30, 20))
    assert red > 230
    assert max(green, blue) < 30


@pytest.mark.parametrize("form", ["PNG", "TIFF"])
def test_a_dark_picture_of_sixteen_bits_stays_dark(tmp_path, form):
    path = tmp_path / "a.pic"
    levels = Image.linear_gradient("L").resize((64, 64)).convert("I")
    levels.point(lambda level: level * 64).convert("I;16").save(path, form)
    low, high = upright(path, read_photo(path), 64).convert("L").getextrema()
    assert low == 0
    assert 60 <= high <= 64
