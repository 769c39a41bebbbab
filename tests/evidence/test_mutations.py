"""Damaged files: no crash, no hang, always a record with a verdict or a sentence."""

from __future__ import annotations

import random
import struct
import time

import pytest

from ldapp.evidence.context import VerifyContext
from ldapp.evidence.read import read_photo
from ldapp.evidence.verify import verify


@pytest.fixture
def seeds(build, tmp_path):
    """One file of each kind of container, small enough to be hit everywhere."""
    fix = {
        0x1D: build.ascii("2026:02:14"), 7: (5, [9, 15, 30]), 1: build.ascii("N"),
        2: (5, [52, 31, 12]), 3: build.ascii("E"), 4: (5, [13, 24, 18]),
    }  # fmt: skip
    exif = {
        0x9003: build.ascii("2026:02:14 10:15:30"), 0x9004: build.ascii("2026:02:14 10:15:30"),
        0x9011: build.ascii("+01:00"), 0x9291: build.ascii("070"), 0xA002: (3, [160]),
        0x9286: (7, b"ASCII\0\0\0note"),
    }  # fmt: skip
    main = {
        0x010F: build.ascii("Invented Optics"), 0x0132: build.ascii("2026:02:14 10:15:31"),
        0x0112: (3, [6]), 0x0111: (4, [8]), 0x0117: (4, [4]),
    }  # fmt: skip
    small = {0x0201: (4, [8]), 0x0202: (4, [50])}
    blocks = [build.tiff(main, exif, fix, small, order=order) for order in ("II", "MM")]
    keys = {"creationdate": "2026-02-10T08:30:00+0100", "location.ISO6709": "+52.5+013.4/"}
    png = tmp_path / "seed.png"
    build.drawn(40, 20).save(png, exif=b"Exif\0\0" + blocks[0])
    webp = tmp_path / "seed.webp"
    build.drawn(40, 20).save(webp, exif=b"Exif\0\0" + blocks[1])
    return [
        build.jpeg(blocks[0], blocks[1], body=build.drawn_jpeg(40, 20)),
        build.jpeg(blocks[1], body=build.drawn_jpeg(40, 20)),
        build.heif(struct.pack(">I", 0) + blocks[0], xmp=b"<x/>"),
        build.heif(struct.pack(">I", 6) + b"Exif\0\0" + blocks[1], inside=True),
        build.movie(3853553400, keys=keys),
        build.movie(3853553400, keys=keys, version=1, iso_meta=True, brand=b"isom"),
        *blocks,
        png.read_bytes(),
        webp.read_bytes(),
    ]


def damaged(rng: random.Random, seeds: list[bytes]) -> bytes:
    """Flip bits, overwrite, cut, repeat or splice."""
    data = bytearray(rng.choice(seeds))
    for _ in range(rng.randint(1, 6)):
        if not data:
            break
        at = rng.randrange(len(data))
        match rng.randrange(6):
            case 0:
                data[at] ^= 1 << rng.randrange(8)
            case 1:
                data[at : at + 4] = rng.choice((b"\xff\xff\xff\xff", b"\0\0\0\0", b"\x7f\xff"))
            case 2:
                del data[at:]
            case 3:
                del data[at : at + rng.randint(1, 40)]
            case 4:
                data[at:at] = data[at : at + rng.randint(1, 60)]
            case _:
                other = rng.choice(seeds)
                data[at:] = other[rng.randrange(len(other)) :]
    return bytes(data)


@pytest.mark.parametrize("series", range(8))
def test_no_damage_crashes_or_hangs(seeds, save, series):
    rng = random.Random(20_260_214 + series)
    for number in range(150):
        path = save("a.jpg", damaged(rng, seeds))
        began = time.monotonic()
        facts = read_photo(path)
        for context in (VerifyContext(), VerifyContext(zone="Europe/Berlin")):
            verdict = verify(facts, context)
            assert verdict.summary, (series, number)
        assert time.monotonic() - began < 2
        assert facts.kind is not None or (facts.error or "").endswith(".")
