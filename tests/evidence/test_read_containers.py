"""Containers by their first bytes: where each keeps its tags."""

from __future__ import annotations

import binascii
import struct
import zlib
from pathlib import Path

import pytest

from ldapp.evidence.read import read_photo
from tests.evidence.saying import LOCAL, XMP

DATE = "2026:02:14 10:15:30"
MAKE, MODEL, SOFTWARE, ORIENTATION, CHANGED = 0x010F, 0x0110, 0x0131, 0x0112, 0x0132
TAKEN, DIGITIZED, OFFSET, DIGITS = 0x9003, 0x9004, 0x9011, 0x9291


def block(build, **options):
    exif = {TAKEN: build.ascii(DATE), DIGITIZED: build.ascii(DATE)}
    return build.tiff({MAKE: build.ascii("Invented Optics")}, exif, **options)


class TestJpeg:
    def test_content_credentials_before_the_tags_cost_no_date(self, build, save):
        credentials = build.segment(0xEB, b"JP\0\1\0\0\0\1" + b"\0\0\0\x20jumb" + b"c2pa" * 3)
        facts = read_photo(save("a.jpg", build.jpeg(block(build), before=credentials)))
        assert facts.content_credentials
        assert facts.first_segment == "APP11:JUMBF"
        assert facts.taken is not None
        assert facts.taken.local == LOCAL

    def test_of_two_blocks_the_first_counts(self, build, save):
        second = build.tiff({}, {TAKEN: build.ascii("2026:02:09 16:00:00")})
        facts = read_photo(save("a.jpg", build.jpeg(block(build), second)))
        assert facts.taken is not None
        assert facts.taken.local == LOCAL
        assert facts.second_taken == "2026:02:09 16:00:00"
        assert facts.exif_segments == 2

    def test_a_second_block_without_a_date_says_nothing(self, build, save):
        second = build.tiff({MAKE: build.ascii("x")})
        third = build.tiff({}, {DIGITS: build.ascii("1")})
        facts = read_photo(save("a.jpg", build.jpeg(block(build), second, third)))
        assert facts.second_taken is None

    def test_a_block_without_a_header_is_refused(self, build, save):
        facts = read_photo(save("a.jpg", build.jpeg(b"\xff\xff\xff\xff" + block(build)[4:])))
        assert facts.taken is None
        assert facts.exif_segments == 1

    def test_the_end_may_stand_before_other_things(self, build, save):
        facts = read_photo(save("a.jpg", build.jpeg(block(build), end=bytes(200_000))))
        assert facts.complete

    @pytest.mark.parametrize("kept", [0.97, 0.5, 0.2])
    def test_a_cut_file_is_incomplete_and_keeps_its_tags(self, build, save, kept):
        whole = build.jpeg(block(build))
        facts = read_photo(save("a.jpg", whole[: int(len(whole) * kept)]))
        assert not facts.complete
        assert facts.taken is not None
        assert facts.taken.local == LOCAL

    def test_junk_and_fill_bytes_between_segments(self, build, save):
        data = build.jpeg(
            block(build), before=build.segment(0xFE, b"note") + b"\x00junk\xff\xff\xff"
        )
        facts = read_photo(save("a.jpg", data))
        assert facts.taken is not None
        assert facts.complete

    def test_markers_without_length_and_odd_ones(self, build, save):
        before = b"\xff\x01" + build.segment(0xFE, b"note") + build.segment(0xF0, b"x")
        before += build.segment(0xE2, b"ICC_PROFILE\0") + b"\xff\xe9\x00\x00"
        facts = read_photo(save("a.jpg", build.jpeg(block(build), before=before)))
        assert facts.first_segment == "COM"
        assert facts.taken is not None

    def test_an_end_before_any_picture(self, build, save):
        facts = read_photo(save("a.jpg", b"\xff\xd8\xff\xd9"))
        assert (facts.kind, facts.complete, facts.width) == ("image/jpeg", False, None)

    def test_nothing_after_the_start(self, save):
        facts = read_photo(save("a.jpg", b"\xff\xd8\xff"))
        assert (facts.kind, facts.complete) == ("image/jpeg", False)

    def test_too_much_metadata_is_left(self, build, save):
        large = build.segment(0xE5, bytes(65_000)) * 140
        facts = read_photo(save("a.jpg", build.jpeg(block(build), before=large)))
        assert facts.taken is None

    def test_endless_small_segments_are_left(self, build, save):
        facts = read_photo(save("a.jpg", build.jpeg(block(build), before=b"\xff\x01" * 5000)))
        assert facts.taken is None

    def test_the_preview_lies_in_the_file(self, build, save):
        small = build.drawn_jpeg(40, 30)
        first = block(build, preview={0x0201: (4, [0]), 0x0202: (4, [len(small)])})
        at = len(first)
        whole = block(build, preview={0x0201: (4, [at]), 0x0202: (4, [len(small)])}, after=small)
        path = save("a.jpg", build.jpeg(whole))
        facts = read_photo(path)
        assert facts.preview is not None
        data = path.read_bytes()
        place = facts.preview
        assert data[place.offset : place.offset + place.length] == small

    @pytest.mark.parametrize("length", [0, 1 << 30])
    def test_a_preview_outside_the_file_is_none(self, build, save, length):
        odd = block(build, preview={0x0201: (4, [300]), 0x0202: (4, [length])})
        assert read_photo(save("a.jpg", build.jpeg(odd))).preview is None


class TestPng:
    def png(self, *chunks: bytes) -> bytes:
        head = struct.pack(">IIBBBBB", 3, 2, 8, 2, 0, 0, 0)
        parts = [self.chunk(b"IHDR", head), *chunks, self.chunk(b"IEND", b"")]
        return b"\x89PNG\r\n\x1a\n" + b"".join(parts)

    def chunk(self, name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    def profile(self, data: bytes) -> bytes:
        return b"\nexif\n%8d\n" % len(data) + binascii.hexlify(data) + b"\n"

    def taken(self, path: Path) -> str | None:
        facts = read_photo(path)
        assert facts.kind == "image/png"
        return facts.taken.local if facts.taken else None

    def test_registered_chunk(self, build, save):
        data = self.png(self.chunk(b"eXIf", block(build)), self.chunk(b"eXIf", b"again"))
        assert self.taken(save("a.png", data)) == LOCAL
        prefixed = self.png(self.chunk(b"eXIf", b"Exif\0\0" + block(build)))
        assert self.taken(save("b.png", prefixed)) == LOCAL

    def test_text_profiles(self, build, save):
        text = self.profile(b"Exif\0\0" + block(build))
        plain = self.png(self.chunk(b"tEXt", b"Raw profile type APP1\0" + text))
        packed = self.png(self.chunk(b"zTXt", b"Raw profile type exif\0\0" + zlib.compress(text)))
        long = self.png(
            self.chunk(b"iTXt", b"Raw profile type exif\0\1\0\0\0" + zlib.compress(text))
        )
        for name, data in (("a.png", plain), ("b.png", packed), ("c.png", long)):
            assert self.taken(save(name, data)) == LOCAL

    @pytest.mark.parametrize("body", [b"\nexif\n 4\nzz", b"x", b"\nexif\n 2\n4949"])
    def test_damaged_profiles_are_left(self, save, body):
        data = self.png(self.chunk(b"tEXt", b"Raw profile type exif\0" + body))
        assert self.taken(save("a.png", data)) is None
        packed = self.png(self.chunk(b"zTXt", b"Raw profile type exif\0\0" + body))
        assert self.taken(save("b.png", packed)) is None

    def test_the_chunk_goes_before_the_profile(self, build, save):
        other = build.tiff({}, {TAKEN: build.ascii("2001:01:01 00:00:00")})
        data = self.png(
            self.chunk(b"tEXt", b"Raw profile type exif\0" + self.profile(other)),
            self.chunk(b"eXIf", block(build)),
        )
        assert self.taken(save("a.png", data)) == LOCAL

    def test_xmp_and_credentials(self, save):
        packet = XMP.encode()
        facts = read_photo(
            save("a.png", self.png(
                self.chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + packet),
                self.chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0<x/>"),
                self.chunk(b"tEXt", b"Title\0something"),
                self.chunk(b"caBX", b"jumb"),
            ))
        )  # fmt: skip
        assert facts.xmp is not None
        assert facts.xmp.taken == LOCAL
        assert facts.content_credentials
        text = self.profile(b"http://ns.adobe.com/xap/1.0/\0" + packet)
        profile = save("b.png", self.png(self.chunk(b"tEXt", b"Raw profile type xmp\0" + text)))
        found = read_photo(profile)
        assert found.xmp is not None

    def test_endless_chunks_and_short_headers(self, build, save):
        many = self.chunk(b"abCd", b"") * 100_001
        endless = b"\x89PNG\r\n\x1a\n" + self.chunk(b"IHDR", b"short") + many
        facts = read_photo(save("a.png", endless))
        assert (facts.width, facts.complete) == (None, False)
        webp = b"RIFF" + bytes(4) + b"WEBP" + (b"none" + bytes(4)) * 100_001
        assert read_photo(save("b.webp", webp)).kind == "image/webp"

    def test_cut_files_are_incomplete(self, build, save):
        whole = self.png(self.chunk(b"eXIf", block(build)))
        assert not read_photo(save("a.png", whole[:-12])).complete
        assert not read_photo(save("b.png", whole[:60])).complete
        assert not read_photo(save("c.png", whole[:20])).complete


class TestHeif:
    @pytest.mark.parametrize(
        ("brand", "kind"),
        [
            (b"heic", "image/heic"), (b"heix", "image/heic"), (b"mif1", "image/heif"),
            (b"avif", "image/avif"), (b"msf1", "image/heif-sequence"), (b"1pic", "image/heif"),
        ],
    )  # fmt: skip
    @pytest.mark.parametrize("inside", [False, True])
    def test_any_brand(self, build, save, brand, kind, inside):
        item = struct.pack(">I", 6) + b"Exif\0\0" + block(build)
        facts = read_photo(save("a.jpg", build.heif(item, brand=brand, inside=inside)))
        assert facts.kind == kind
        assert (facts.width, facts.height, facts.complete) == (640, 480, True)
        assert facts.upright_by_container
        assert facts.taken is not None
        assert facts.taken.local == LOCAL

    @pytest.mark.parametrize(
        "head",
        [struct.pack(">I", 0), struct.pack(">I", 6) + b"Exif\0\0", struct.pack(">I", 99), b""],
    )
    def test_where_the_item_begins(self, build, save, head):
        facts = read_photo(save("a.heic", build.heif(head + block(build))))
        assert facts.taken is not None
        assert facts.taken.local == LOCAL

    def test_an_item_without_a_block(self, build, save):
        assert read_photo(save("a.heic", build.heif(bytes(40)))).taken is None
        assert read_photo(save("b.heic", build.heif(b"short"))).taken is None
        assert read_photo(save("c.heic", build.heif(b"\0\0\0\0II*\1" + bytes(9)))).taken is None

    def test_xmp_and_credentials(self, build, save):
        item = struct.pack(">I", 0) + block(build)
        uuid = build.box(b"uuid", bytes.fromhex("d8fec3d61b0e483c92975828877ec481"), b"x")
        facts = read_photo(save("a.heic", build.heif(item, xmp=XMP.encode(), extra=uuid)))
        assert facts.xmp is not None
        assert facts.content_credentials
        other = build.box(b"jumb", b"c2pa")
        assert read_photo(save("b.heic", build.heif(item, extra=other))).content_credentials
        plain = build.box(b"jumb", b"else") + build.box(b"uuid", bytes(16))
        assert not read_photo(save("c.heic", build.heif(item, extra=plain))).content_credentials

    def test_cut_files_are_incomplete(self, build, save):
        whole = build.heif(struct.pack(">I", 0) + block(build))
        assert not read_photo(save("a.heic", whole[:-20])).complete
        assert not read_photo(save("b.heic", whole[:40])).complete
