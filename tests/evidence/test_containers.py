"""Rare but legal forms of the containers, and those that are almost legal."""

from __future__ import annotations

import struct

import pytest

from ldapp.evidence.read import read_photo
from ldapp.evidence.xmp import read_xmp

DATE = "2026:02:14 10:15:30"


def heif(build, *, infe: bytes, iloc: bytes, before: bytes = b"", more: bytes = b"") -> bytes:
    """Return an HEIF file from given boxes, in the order of the standard."""
    box = build.box
    head = box(b"ftyp", b"heic", bytes(4), b"heic")
    meta = box(b"meta", bytes(4), before, infe, iloc, more)
    return head + meta


def test_items_with_wide_numbers_and_several_pieces(build, save):
    """Item numbers of four bytes, a base offset, an index, and two extents."""
    item = struct.pack(">I", 0) + build.tiff({}, {0x9003: build.ascii(DATE)})
    box = build.box
    infe = box(b"infe", b"\3\0\0\0", struct.pack(">IH", 70_000, 0), b"Exif\0")
    iinf = box(b"iinf", b"\1\0\0\0", struct.pack(">I", 1), infe)

    def iloc(base: int) -> bytes:
        row = struct.pack(">IHHIH", 70_000, 0, 0, base, 2)
        row += struct.pack(">IHH", 0, 0, 40) + struct.pack(">IHH", 0, 40, len(item) - 40)
        return box(b"iloc", b"\2\0\0\0", b"\x22\x44", struct.pack(">I", 1), row)

    place = len(heif(build, infe=iinf, iloc=iloc(0))) + 8
    data = heif(build, infe=iinf, iloc=iloc(place)) + box(b"mdat", item)
    facts = read_photo(save("a.heic", data))
    assert facts.taken is not None
    assert facts.taken.local == "2026-02-14T10:15:30"
    assert facts.preview is None


def test_items_that_cannot_be_followed(build, save):
    box = build.box
    old = box(b"infe", b"\1\0\0\0", struct.pack(">HH", 1, 0), b"old\0")
    short = box(b"infe", b"\2\0\0\0", struct.pack(">HH", 3, 0), b"Ex")
    exif = box(b"infe", b"\2\0\0\0", struct.pack(">HH", 2, 0), b"Exif\0")
    iinf = box(b"iinf", bytes(4), struct.pack(">H", 3), old, short, exif, box(b"free"))
    for method in (1, 2):
        row = struct.pack(">HHHHII", 2, method, 0, 1, 0, 30)
        iloc = box(b"iloc", b"\1\0\0\0", b"\x44\0", struct.pack(">H", 1), row)
        facts = read_photo(save("a.heic", heif(build, infe=iinf, iloc=iloc)))
        assert facts.taken is None
        assert facts.complete
    cut = box(b"iloc", b"\1\0\0\0", b"\x44\0", struct.pack(">H", 1), row[:-3])
    assert read_photo(save("b.heic", heif(build, infe=iinf, iloc=cut))).taken is None
    huge = struct.pack(">HHHHII", 2, 0, 0, 1, 0, 0x7FFFFFFF)
    iloc = box(b"iloc", b"\1\0\0\0", b"\x44\0", struct.pack(">H", 1), huge)
    facts = read_photo(save("c.heic", heif(build, infe=iinf, iloc=iloc)))
    assert facts.taken is None
    assert not facts.complete
    other = struct.pack(">HHHHII", 9, 0, 0, 1, 0, 5)
    iloc = box(b"iloc", b"\1\0\0\0", b"\x44\0", struct.pack(">H", 1), other)
    assert read_photo(save("d.heic", heif(build, infe=iinf, iloc=iloc))).taken is None


def test_too_many_items_are_left(build, save):
    infes = b"".join(
        build.box(b"infe", b"\2\0\0\0", struct.pack(">HH", number, 0), b"hvc1\0")
        for number in range(4100)
    )
    iinf = build.box(b"iinf", bytes(4), struct.pack(">H", 4100), infes)
    assert read_photo(save("a.heic", heif(build, infe=iinf, iloc=b""))).kind == "image/heic"


def test_sizes_by_wide_indices(build, save):
    box = build.box
    pitm = box(b"pitm", b"\1\0\0\0", struct.pack(">I", 70_000))
    ispe = box(b"ispe", bytes(4), struct.pack(">II", 4032, 3024))
    ipco = box(b"ipco", box(b"hvcC", b"x"), ispe, box(b"ispe", b"x"))
    rows = struct.pack(">IB", 5, 1) + struct.pack(">H", 2)
    rows += struct.pack(">IB", 70_000, 4) + struct.pack(">HHHH", 1, 0x8002, 3, 77)
    ipma = box(b"ipma", b"\1\0\0\1", struct.pack(">I", 2), rows)
    iprp = box(b"iprp", ipco, ipma)
    facts = read_photo(save("a.heic", heif(build, infe=b"", iloc=b"", before=pitm + iprp)))
    assert (facts.width, facts.height) == (4032, 3024)
    cut = box(b"iprp", ipco, box(b"ipma", b"\1\0\0\1", struct.pack(">I", 2), rows[:8]))
    facts = read_photo(save("b.heic", heif(build, infe=b"", iloc=b"", before=pitm + cut)))
    assert facts.width is None
    bare = box(b"iprp", ipco)
    facts = read_photo(save("c.heic", heif(build, infe=b"", iloc=b"", before=pitm + bare)))
    assert facts.width is None


def test_a_compatible_brand_decides_where_the_main_one_is_unknown(build, save):
    head = build.box(b"ftyp", b"XXXX", bytes(4), b"abcd", b"avif")
    assert read_photo(save("a", head)).kind == "image/avif"
    movie = build.box(b"ftyp", b"isom", bytes(4), b"mif1")
    assert read_photo(save("b", movie)).kind == "video/mp4"
    raw = build.box(b"ftyp", b"abcd")
    assert read_photo(save("c", raw)).kind == "video/mp4"


def webp(*chunks: tuple[bytes, bytes]) -> bytes:
    body = b"".join(
        name + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)
        for name, data in chunks
    )
    return b"RIFF" + struct.pack("<I", len(body) + 4) + b"WEBP" + body


@pytest.mark.parametrize(
    ("chunk", "size"),
    [
        ((b"VP8X", bytes(4) + b"\x9f\x0f\0" + b"\xcf\x0b\0"), (4000, 3024)),
        ((b"VP8 ", b"\0\0\0\x9d\x01\x2a" + struct.pack("<HH", 640, 480)), (640, 480)),
        ((b"VP8L", b"\x2f" + struct.pack("<I", 639 | 479 << 14) + bytes(5)), (640, 480)),
        ((b"VP8L", b"\0" * 10), (None, None)),
        ((b"VP8 ", b"short"), (None, None)),
    ],
)
def test_webp_sizes(save, chunk, size):
    facts = read_photo(save("a.webp", webp(chunk)))
    assert (facts.kind, facts.width, facts.height) == ("image/webp", *size)
    assert facts.complete


def test_webp_tags(build, save):
    block = build.tiff({}, {0x9003: build.ascii(DATE)})
    packet = (
        b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-"
        b"rdf-syntax-ns#'><rdf:Description xmlns:xmp='http://ns.adobe.com/xap/1.0/'>"
        b"<xmp:CreatorTool>Invented Photo Editor</xmp:CreatorTool><xmp:Rating/>"
        b"</rdf:Description></rdf:RDF></x:xmpmeta>"
    )
    data = webp(
        (b"VP8X", bytes(10)), (b"EXIF", block), (b"EXIF", b"again"), (b"XMP ", packet),
        (b"XMP ", b"again"), (b"C2PA", b"jumb"),
    )  # fmt: skip
    facts = read_photo(save("a.webp", data))
    assert facts.taken is not None
    assert facts.xmp is not None
    assert facts.xmp.creator_tool == "Invented Photo Editor"
    assert facts.content_credentials
    assert not read_photo(save("b.webp", data[:-10])).complete


def test_jpeg_frames_and_segments_that_say_little(build, save):
    short = build.segment(0xC0, b"\x08\0")
    plain = build.segment(0xEB, b"JP\0\1" + bytes(40))
    xmp = build.segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x/>")
    other = build.segment(0xE1, b"something else")
    data = build.jpeg(before=short + plain + xmp + xmp + other)
    facts = read_photo(save("a.jpg", data))
    assert (facts.width, facts.height) == (160, 120)
    assert not facts.content_credentials
    assert facts.xmp is None
    assert facts.first_segment == "SOF0"


@pytest.mark.parametrize(
    "packet",
    [
        b"",
        b"<x",
        b"<!DOCTYPE x [<!ENTITY a 'aaaa'>]><x>&a;</x>",
        b"<x/>",
        b"\xff\xfe\xff",
        b"<?xml version='1.0' encoding='no-such'?><x/>",
    ],
)
def test_packets_that_say_nothing(packet):
    assert read_xmp(packet) is None


def test_history_in_both_spellings():
    head = (
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#' "
        "xmlns:m='http://ns.adobe.com/xap/1.0/mm/' "
        "xmlns:e='http://ns.adobe.com/xap/1.0/sType/ResourceEvent#'><rdf:Description><m:History>"
        "<rdf:Seq>"
    )
    tail = "</rdf:Seq></m:History></rdf:Description></rdf:RDF><!-- a comment -->"
    short = "<rdf:li e:action='saved' e:when='2026-02-15T10:00:00'/>"
    long = (
        "<rdf:li rdf:parseType='Resource'><e:action>converted</e:action>"
        "<e:softwareAgent>Invented</e:softwareAgent></rdf:li>"
    )
    facts = read_xmp((head + short + long + "<rdf:li/>" + tail).encode())
    assert facts is not None
    assert [(s.action, s.when, s.program) for s in facts.history] == [
        ("saved", "2026-02-15T10:00:00", None), ("converted", None, "Invented"),
    ]  # fmt: skip
