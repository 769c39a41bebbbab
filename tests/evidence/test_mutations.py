"""Damaged files: no crash, no hang, always a record with a verdict or a sentence."""

from __future__ import annotations

import random
import struct
import time
import zlib

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


class TestBuiltToBeSlow:
    """Files made to cost time or memory out of all proportion to their size."""

    def read(self, save, data: bytes) -> None:
        path = save("a.jpg", data)
        began = time.monotonic()
        verify(read_photo(path), VerifyContext(zone="Europe/Berlin"))
        assert time.monotonic() - began < 2

    def test_a_program_name_of_digits(self, build, save):
        name = b"1" * 60_000 + b"!\0"
        self.read(save, build.tiff({0x0131: (2, name)}, {0x9003: build.ascii("x")}))

    def test_extents_that_take_no_bytes(self, build, save):
        infe = build.box(b"infe", b"\2\0\0\0", struct.pack(">HH", 1, 0), b"Exif\0")
        iinf = build.box(b"iinf", bytes(4), struct.pack(">H", 1), infe)
        rows = struct.pack(">HHHH", 1, 0, 0, 0xFFFF) * 60_000
        iloc = build.box(b"iloc", b"\1\0\0\0", b"\0\0", struct.pack(">H", 60_000), rows)
        meta = build.box(b"meta", bytes(4), iinf, iloc)
        self.read(save, build.box(b"ftyp", b"heic", bytes(4)) + meta)

    def test_junk_without_end(self, build, save):
        self.read(save, b"\xff\xd8\xff\xfe\0\2" + (b"\xff" * 65_000 + b"\xff\xfe\0\2") * 300)
        self.read(save, b"\xff\xd8\xff\xfe\0\2" + b"\0" * (20 << 20))

    def test_packed_texts_that_swell(self, save):
        packed = zlib.compress(bytes(1 << 20), 9)
        body = b"Raw profile type exif\0\0" + packed
        chunk = struct.pack(">I", len(body)) + b"zTXt" + body + bytes(4)
        self.read(save, b"\x89PNG\r\n\x1a\n" + chunk * 3000)

    def test_deep_packets(self, build, save):
        packet = b"http://ns.adobe.com/xap/1.0/\0" + b"<a>" * 20_000 + b"</a>" * 1000
        self.read(save, build.jpeg(before=build.segment(0xE1, packet[:65_000])))
        tiff = build.tiff({0x02BC: (1, b"<a>" * 100_000 + b"</a>" * 100_000)})
        self.read(save, tiff)
