"""Pictures that look alike: a small number made from each, near for near pictures.

A difference hash of 64 bits: the picture in 9 x 8 grey averages, one bit for every two
neighbours in a row.  Whole numbers only, so the same picture gives the same bits on
every machine.  That two pictures are alike says nothing about their times, and nothing
is ever left out because of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from pathlib import Path
from typing import Final

from PIL import Image

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.pictures import GRID_EDGE, GRID_MOST, shown_picture

ALIKE_BITS: Final = 6
"""Pictures are called alike where at most so many of the 64 bits differ (our choice)."""

_EDGE: Final = 144
_COLUMNS: Final = 9
_ROWS: Final = 8
_BITS: Final = 64
_BANDS: Final = ALIKE_BITS + 1
"""With one band more than bits may differ, alike pictures have one band in common."""


def likeness(path: Path, facts: PhotoFacts) -> str:
    """Return the bits of a picture as 16 hexadecimal digits.

    Raises:
        LdappError: the picture cannot be opened or decoded.
    """
    return likeness_of(shown_picture(path, facts, GRID_EDGE, GRID_MOST))


def likeness_of(picture: Image.Image) -> str:
    """Return the bits of a picture that was reduced for the grid."""
    grey = picture.convert("L")
    grey.thumbnail((_EDGE, _EDGE), Image.Resampling.BILINEAR, reducing_gap=2.0)
    return likeness_of_grey(grey.tobytes(), *grey.size)


def likeness_of_grey(pixels: bytes, width: int, height: int) -> str:
    """Return the bits of a picture of one byte a pixel, row after row."""
    bits = 0
    for row in range(_ROWS):
        top, below = _span(row, _ROWS, height)
        averages = []
        for column in range(_COLUMNS):
            left, right = _span(column, _COLUMNS, width)
            total = sum(
                sum(pixels[y * width + left : y * width + right]) for y in range(top, below)
            )
            averages.append(total // ((right - left) * (below - top)))
        for before, after in pairwise(averages):
            bits = bits << 1 | (before > after)
    return f"{bits:016x}"


def _span(part: int, parts: int, length: int) -> tuple[int, int]:
    """Return where a part begins and ends; in a very narrow picture parts share pixels."""
    begin = min(part * length // parts, length - 1)
    return begin, max((part + 1) * length // parts, begin + 1)


def apart(one: str, other: str) -> int:
    """Return how many of the 64 bits of two pictures differ."""
    return (int(one, 16) ^ int(other, 16)).bit_count()


def groups_alike(pictures: Iterable[tuple[str, str]]) -> tuple[tuple[str, ...], ...]:
    """Return the groups of two and more keys whose pictures look like the first of the group.

    ``pictures`` are keys with their likenesses; the first of a group is the first that
    was given, so the same pictures in the same order give the same groups.
    """
    groups: list[list[str]] = []
    first_bits: list[int] = []
    known: dict[int, int] = {}
    by_band: dict[tuple[int, int], list[int]] = {}
    for key, digits in pictures:
        bits = int(digits, 16)
        group = known.get(bits)
        if group is None:
            bands = _bands(bits)
            near = (one for band in bands for one in by_band.get(band, ()))
            group = next(
                (one for one in near if (first_bits[one] ^ bits).bit_count() <= ALIKE_BITS), None
            )
            if group is None:
                group = len(groups)
                groups.append([])
                first_bits.append(bits)
                for band in bands:
                    by_band.setdefault(band, []).append(group)
            known[bits] = group
        groups[group].append(key)
    return tuple(tuple(group) for group in groups if len(group) > 1)


def _bands(bits: int) -> list[tuple[int, int]]:
    found = []
    for band in range(_BANDS):
        begin, end = band * _BITS // _BANDS, (band + 1) * _BITS // _BANDS
        found.append((band, bits >> begin & (1 << (end - begin)) - 1))
    return found
