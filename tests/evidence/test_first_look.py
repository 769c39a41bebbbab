"""One decoding gives the small picture, the likeness, and what the camera's own one shows."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from ldapp.evidence import pictures
from ldapp.evidence.first_look import first_look
from ldapp.evidence.likeness import likeness
from ldapp.evidence.pictures import GRID_EDGE, preview_jpeg
from ldapp.evidence.read import read_photo
from tests.evidence.test_pictures import encoded, with_preview


def test_the_look_is_that_of_the_single_functions_and_decodes_once(build, save, monkeypatch):
    large = build.drawn(1600, 1200)
    path = save("a.jpg", with_preview(build, encoded(large.resize((160, 120))), encoded(large), 6))
    facts = read_photo(path)
    opened = []
    real = pictures.Image.open

    def counted(source, **options):
        opened.append(source)
        return real(source, **options)

    monkeypatch.setattr(pictures.Image, "open", counted)
    look = first_look(path, facts)
    assert opened.count(path) == 1
    monkeypatch.undo()
    assert look.small == preview_jpeg(path, facts, GRID_EDGE)
    assert Image.open(io.BytesIO(look.small)).size == (360, 480)
    assert look.likeness == likeness(path, facts)
    assert look.facts.preview_match == "same"


def test_a_foreign_small_picture_is_found_and_never_shown(build, save):
    large = Image.new("RGB", (1600, 1200), (20, 160, 20))
    large.paste((240, 240, 240), (200, 200, 900, 1000))
    foreign = Image.new("RGB", (160, 120), (200, 10, 10))
    foreign.paste((0, 0, 90), (80, 0, 160, 120))
    path = save("a.jpg", with_preview(build, encoded(foreign), encoded(large)))
    look = first_look(path, read_photo(path))
    assert look.facts.preview_match == "differs"
    red, green, _ = Image.open(io.BytesIO(look.small)).getpixel((5, 5))
    assert green > 120 > red


def test_what_cannot_be_decoded_is_shown_by_its_small_picture(build, save):
    large = encoded(build.drawn(1600, 1200))[:20_000]
    path = save("a.jpg", with_preview(build, encoded(build.drawn(160, 120)), large))
    facts = read_photo(path)
    look = first_look(path, facts)
    assert Image.open(io.BytesIO(look.small)).size == (160, 120)
    assert (look.facts, len(look.likeness)) == (facts, 16)


def test_raw_files_are_shown_by_the_jpeg_that_the_camera_put_in(build, save):
    whole = encoded(build.drawn(800, 600))
    header = bytearray(b"FUJIFILMCCD-RAW 0201FF000000Invented".ljust(100, b"\0"))
    header[84:92] = (100).to_bytes(4, "big") + len(whole).to_bytes(4, "big")
    path = save("a.raf", bytes(header) + whole)
    look = first_look(path, read_photo(path))
    assert Image.open(io.BytesIO(look.small)).size == (480, 360)


@pytest.mark.parametrize("data", [b"words", b"\xff\xd8\xff\xe0\x00\x10JFIF\0"])
def test_what_is_no_picture_gives_nothing_and_raises_nothing(save, data):
    path = save("a.jpg", data)
    look = first_look(path, read_photo(path))
    assert (look.small, look.likeness) == (b"", "")


def test_a_picture_without_a_small_one_is_not_compared(build, save):
    path = save("a.jpg", build.drawn_jpeg(640, 480))
    assert first_look(path, read_photo(path)).facts.preview_match is None
