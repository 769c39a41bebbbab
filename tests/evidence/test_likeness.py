"""Pictures that look alike have likenesses that are near; others have not."""

from __future__ import annotations

import io
import random

import pytest
from PIL import ImageEnhance

from ldapp.errors import LdappError
from ldapp.evidence.likeness import ALIKE_BITS, apart, groups_alike, likeness, likeness_of_grey
from ldapp.evidence.read import read_photo


def of(save, image, name="a.jpg", quality=90):
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality)
    path = save(name, out.getvalue())
    return likeness(path, read_photo(path))


def test_a_smaller_darker_or_poorer_copy_looks_alike_and_another_picture_does_not(build, save):
    picture = build.drawn(1600, 1200)
    own = of(save, picture)
    assert len(own) == 16
    copies = (
        of(save, picture.resize((800, 600)), "small.jpg"),
        of(save, picture, "poor.jpg", quality=20),
        of(save, ImageEnhance.Brightness(picture).enhance(0.8), "dark.jpg"),
    )
    assert all(apart(own, copy) <= ALIKE_BITS for copy in copies)
    other = picture.transpose(0)
    assert apart(own, of(save, other, "mirrored.jpg")) > ALIKE_BITS


def test_the_bits_are_those_of_the_grey_averages():
    rising = bytes(range(9)) * 8
    falling = bytes(reversed(range(9))) * 8
    assert likeness_of_grey(rising, 9, 8) == "0" * 16
    assert likeness_of_grey(falling, 9, 8) == "f" * 16
    # One row that falls at its first step only.
    steps = bytes([9, 1, 2, 3, 4, 5, 6, 7, 8]) + rising[9:]
    assert likeness_of_grey(steps, 9, 8) == "80" + "0" * 14
    assert likeness_of_grey(b"\7", 1, 1) == "0" * 16


def test_what_is_no_picture_has_no_likeness(save):
    path = save("a.jpg", b"words")
    with pytest.raises(LdappError):
        likeness(path, read_photo(path))


def test_groups_hold_all_that_look_like_their_first_and_nothing_else():
    chance = random.Random(4)
    firsts = [chance.getrandbits(64) for _ in range(300)]
    given = [(f"{number}-first", f"{bits:016x}") for number, bits in enumerate(firsts)]
    for number, bits in enumerate(firsts[:100]):
        for copy in range(2):
            changed = bits
            for place in chance.sample(range(64), ALIKE_BITS):
                changed ^= 1 << place
            given.append((f"{number}-copy-{copy}", f"{changed:016x}"))
        far = bits
        for place in chance.sample(range(64), ALIKE_BITS + 1):
            far ^= 1 << place
        given.append((f"{number}-far", f"{far:016x}"))
    groups = groups_alike(given)
    by_first = {group[0]: group for group in groups}
    for number in range(100):
        group = by_first[f"{number}-first"]
        assert group == (f"{number}-first", f"{number}-copy-0", f"{number}-copy-1")
    assert len(groups) == 100
    assert groups_alike(()) == ()
    assert groups_alike([("a", "0" * 16), ("b", "0" * 16)]) == (("a", "b"),)
