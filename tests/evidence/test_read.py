"""What is read from files: containers by their first bytes, tags as the standards say."""

from __future__ import annotations

import binascii
import hashlib
import os
import struct
import zlib
from fractions import Fraction
from pathlib import Path

import pytest
from PIL import Image

from ldapp.evidence.read import read_photo

DATE = "2026:02:14 10:15:30"
LOCAL = "2026-02-14T10:15:30"
MAKE, MODEL, SOFTWARE, ORIENTATION, CHANGED = 0x010F, 0x0110, 0x0131, 0x0112, 0x0132
TAKEN, DIGITIZED, OFFSET, DIGITS = 0x9003, 0x9004, 0x9011, 0x9291


def block(build, **options):
    exif = {TAKEN: build.ascii(DATE), DIGITIZED: build.ascii(DATE)}
    return build.tiff({MAKE: build.ascii("Invented Optics")}, exif, **options)


class TestTagsByTheReferenceWriter:
    """Pictures drawn here and tagged by an independent program."""

    def test_jpeg(self, build, save, tag):
        path = save("DSC_0001.JPG", build.drawn_jpeg())
        tag(
            path,
            "-Make=Invented Optics", "-Model=IO-1", "-SerialNumber=00417", "-Software=Ver.1.01",
            f"-DateTimeOriginal={DATE}", f"-CreateDate={DATE}", "-ModifyDate=2026:02:14 10:15:31",
            "-SubSecTimeOriginal=070", "-OffsetTimeOriginal=+05:45", "-Orientation#=6",
            "-GPSDateStamp=2026:02:14", "-GPSTimeStamp=04:30:28.5", "-GPSLatitude=27.7",
            "-GPSLatitudeRef=N", "-GPSLongitude=85.3", "-GPSLongitudeRef=E", "-ExifVersion=0232",
            "-UserComment=left of the truck", "-ExifImageWidth=160", "-ExifImageHeight=120",
        )  # fmt: skip
        facts = read_photo(path)
        assert facts.error is None
        assert (facts.kind, facts.width, facts.height) == ("image/jpeg", 160, 120)
        assert (facts.make, facts.model, facts.serial) == ("Invented Optics", "IO-1", "00417")
        assert (facts.software, facts.orientation) == ("Ver.1.01", 6)
        assert facts.taken is not None
        assert (facts.taken.raw, facts.taken.local) == (DATE, LOCAL)
        assert (facts.taken.digits, facts.taken.offset) == ("070", "+05:45")
        assert facts.changed is not None
        assert facts.changed.local == "2026-02-14T10:15:31"
        fix = facts.satellite
        assert fix is not None
        assert (fix.date, fix.time, fix.usable) == ("2026-02-14", "04:30:28.5", True)
        assert fix.latitude == pytest.approx(27.7)
        assert fix.longitude == pytest.approx(85.3)
        assert (facts.exif_version, facts.user_comment) == ("0232", "left of the truck")
        assert (facts.pixel_width, facts.pixel_height) == (160, 120)
        assert facts.complete
        assert facts.has_jfif
        assert facts.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
        assert facts.bytes == path.stat().st_size

    @pytest.mark.parametrize("form", ["PNG", "TIFF", "WEBP"])
    def test_other_pictures(self, build, save, tag, tmp_path, form):
        path = tmp_path / "odd_name.jpg"
        build.drawn().save(path, form)
        plain = path.rename(tmp_path / f"a.{form.lower()}")
        tag(plain, f"-EXIF:DateTimeOriginal={DATE}", "-EXIF:Make=Invented Optics")
        path = plain.rename(tmp_path / "odd_name.jpg")
        facts = read_photo(path)
        assert facts.kind == f"image/{form.lower()}"
        assert (facts.width, facts.height, facts.complete) == (160, 120, True)
        assert facts.make == "Invented Optics"
        assert facts.taken is not None
        assert facts.taken.local == LOCAL

    def test_xmp(self, build, save, tag):
        path = save("a.jpg", build.drawn_jpeg())
        tag(
            path,
            f"-XMP-exif:DateTimeOriginal={DATE}+01:00", "-XMP-xmp:CreatorTool=Invented Editor",
            "-XMP-xmp:ModifyDate=2026:02:15 10:00:00",
            "-XMP-xmpMM:HistoryAction=saved", "-XMP-xmpMM:HistoryWhen=2026:02:15 10:00:00",
            "-XMP-xmpMM:HistorySoftwareAgent=Invented Editor",
        )  # fmt: skip
        facts = read_photo(path)
        assert facts.xmp is not None
        assert facts.xmp.taken == f"{LOCAL}+01:00"
        assert facts.xmp.creator_tool == "Invented Editor"
        assert [(s.action, s.program) for s in facts.xmp.history] == [("saved", "Invented Editor")]


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


class TestTags:
    @pytest.mark.parametrize("order", ["II", "MM"])
    @pytest.mark.parametrize("pointer_type", [4, 9, 13])
    def test_pointers_of_any_integer_type(self, build, save, order, pointer_type):
        data = block(
            build,
            order=order,
            pointer_type=pointer_type,
            satellite={0x1D: build.ascii("2026:02:14"), 7: (5, [9, 15, 30])},
        )
        facts = read_photo(save("a.jpg", build.jpeg(data)))
        assert facts.byte_order == order
        assert facts.taken is not None
        assert facts.taken.local == LOCAL
        assert facts.satellite is not None
        assert facts.satellite.time == "09:15:30"

    def test_a_missing_nul_takes_nothing_away(self, build, save):
        data = build.tiff({MAKE: (2, b"Invented")}, {TAKEN: (2, DATE.encode())})
        facts = read_photo(save("a.jpg", build.jpeg(data)))
        assert facts.make == "Invented"
        assert facts.taken is not None
        assert facts.taken.raw == DATE

    def test_utf8_type_of_exif_3(self, build, save):
        data = build.tiff(
            {MAKE: (129, "光学 発明".encode() + b"\0"), 0xC000: (99, b"unknown type")},
            {TAKEN: build.ascii(DATE), 0xA43B: (129, "Bildwerk Größe".encode())},
        )
        facts = read_photo(save("a.jpg", build.jpeg(data)))
        assert facts.make == "光学 発明"
        assert facts.taken is not None
        assert facts.editing_programs == ("Bildwerk Größe",)

    def test_latin_1_is_said_to_be_unusual(self, build, save):
        data = build.tiff({MAKE: (2, b"Caf\xe9 Optique\0")}, {TAKEN: build.ascii(DATE)})
        facts = read_photo(save("a.jpg", build.jpeg(data)))
        assert (facts.make, facts.unusual_characters) == ("Café Optique", True)

    def test_numbers_are_no_text(self, build, save):
        data = build.tiff({MAKE: (3, [12336, 7]), MODEL: (2, b""), SOFTWARE: (2, b"\0\0")})
        facts = read_photo(save("a.jpg", build.jpeg(data)))
        assert (facts.make, facts.model, facts.software) == (None, None, None)

    @pytest.mark.parametrize(("value", "wanted"), [(0, None), (1, 1), (8, 8), (9, None)])
    def test_orientation_is_one_to_eight(self, build, save, value, wanted):
        data = build.tiff({ORIENTATION: (3, [value])})
        assert read_photo(save("a.jpg", build.jpeg(data))).orientation == wanted

    def test_satellite_time_with_denominator_nought_is_not_given(self, build, save):
        odd = {7: (5, [(0, 0), (0, 0), (13, 1)]), 0x1D: build.ascii("2026:02:14")}
        fix = read_photo(save("a.jpg", build.jpeg(block(build, satellite=odd)))).satellite
        assert fix is not None
        assert (fix.time, fix.time_raw, fix.usable) == (None, "undefined", False)

    @pytest.mark.parametrize(
        ("date", "time", "usable"),
        [
            ("2026:02:14", [9, 15, 30], True),
            ("2026:02:14", [9, 15, Fraction(121, 2)], True),  # a leap second
            ("2026:02:14", [24, 0, 0], False),
            ("2026:02:14", [9, 60, 0], False),
            ("2026:02:14", [9, 15], False),
            ("2026:02:14", [Fraction(19, 2), 15, 0], False),
            ("2026:02:259", [9, 15, 30], False),
            ("0000:00:00", [0, 0, 0], False),
            ("2026:02:30", [9, 15, 30], False),
            ("    :  :  ", [9, 15, 30], True),
        ],
    )
    def test_satellite_dates_and_times(self, build, save, date, time, usable):
        fix = {0x1D: build.ascii(date), 7: (5, time)}
        found = read_photo(save("a.jpg", build.jpeg(block(build, satellite=fix)))).satellite
        assert found is not None
        assert found.usable is usable

    def test_satellite_digits_are_kept_to_the_microsecond(self, build, save):
        for seconds, wanted in (
            (Fraction(5862, 100), "17:17:58.62"),
            (Fraction(59_999_999_9, 10**7), "17:17:59.999999"),
        ):
            fix = {0x1D: build.ascii("2026:02:14"), 7: (5, [17, 17, seconds])}
            found = read_photo(save("a.jpg", build.jpeg(block(build, satellite=fix)))).satellite
            assert found is not None
            assert found.time == wanted

    @pytest.mark.parametrize(
        ("latitude", "longitude", "wanted"),
        [
            ([33, 51, 54], [151, 12, 36], (-33.865, 151.21)),
            ([Fraction(3387, 100)], [Fraction(15121, 100)], (-33.87, 151.21)),
            ([0, 0, 0], [0, 0, 0], None),
            ([91, 0, 0], [0, 0, 0], None),
            ([], [0, 0, 0], None),
        ],
    )
    def test_positions(self, build, save, latitude, longitude, wanted):
        fix = {
            1: build.ascii("S"), 2: (5, latitude), 3: build.ascii("E"), 4: (5, longitude),
        }  # fmt: skip
        found = read_photo(save("a.jpg", build.jpeg(block(build, satellite=fix)))).satellite
        if wanted is None:
            assert found is None
        else:
            assert found is not None
            assert (found.latitude, found.longitude) == (pytest.approx(wanted[0]), wanted[1])

    def test_whole_numbers_and_signed_rationals_are_positions_too(self, build, save):
        fix = {2: (4, [48, 30, 0]), 3: build.ascii("W"), 4: (10, [4, 30, 0])}
        found = read_photo(save("a.jpg", build.jpeg(block(build, satellite=fix)))).satellite
        assert found is not None
        assert (found.latitude, found.longitude) == (48.5, -4.5)
        odd = {2: (2, b"48"), 4: (5, [4, 30, 0])}
        assert read_photo(save("b.jpg", build.jpeg(block(build, satellite=odd)))).satellite is None

    @pytest.mark.parametrize(
        ("kind", "body", "wanted"),
        [
            (7, b"ASCII\0\0\0Screenshot\0", "Screenshot"),
            (7, b"UNICODE\0" + "Gerät".encode("utf-16-le"), "Gerät"),
            (7, bytes(8) + b"  ", None),
            (2, b"Screenshot\0", None),
        ],
    )
    def test_comments(self, build, save, kind, body, wanted):
        data = build.tiff({}, {0x9286: (kind, body)})
        assert read_photo(save("a.jpg", build.jpeg(data))).user_comment == wanted

    def test_comments_in_the_other_byte_order(self, build, save):
        data = build.tiff({}, {0x9286: (7, b"UNICODE\0" + "x".encode("utf-16-be"))}, order="MM")
        assert read_photo(save("a.jpg", build.jpeg(data))).user_comment == "x"

    @pytest.mark.parametrize(("body", "wanted"), [(b"0232", "0232"), (b"\0\0\0\0", None)])
    def test_exif_version(self, build, save, body, wanted):
        data = build.tiff({}, {0x9000: (7, body)})
        assert read_photo(save("a.jpg", build.jpeg(data))).exif_version == wanted

    def test_the_satellite_directory_may_hang_under_exif(self, build, save):
        inner = build.tiff({}, {TAKEN: build.ascii(DATE), 0x8825: (4, [0])})
        at = len(inner)
        tail = build.tiff({0x1D: build.ascii("2026:02:14"), 7: (5, [9, 0, 0])})
        data = build.tiff(
            {}, {TAKEN: build.ascii(DATE), 0x8825: (4, [at])}, after=_moved(tail[8:], at - 8)
        )
        fix = read_photo(save("a.jpg", build.jpeg(data))).satellite
        assert fix is not None
        assert fix.time == "09:00:00"


def _moved(directory: bytes, by: int) -> bytes:
    """Shift the value offsets of a little-endian directory that was built for place 8."""
    (count,) = struct.unpack("<H", directory[:2])
    out = bytearray(directory)
    for index in range(count):
        at = 2 + 12 * index
        tag, kind, length, value = struct.unpack("<HHII", directory[at : at + 12])
        if length * {2: 1, 5: 8}[kind] > 4:
            out[at : at + 12] = struct.pack("<HHII", tag, kind, length, value + by)
    return bytes(out)


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


XMP = f"""<?xpacket begin='' id='W5M0MpCehiHzreSzNTczkc9d'?>
<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF
 xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>
<rdf:Description xmlns:photoshop='http://ns.adobe.com/photoshop/1.0/'
 photoshop:DateCreated='{LOCAL}'/></rdf:RDF></x:xmpmeta><?xpacket end='w'?>"""


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


class TestMovies:
    def test_header_and_keys(self, build, save):
        keys = {
            "creationdate": "2026-02-10T08:30:00+0100", "make": "Invented Phones",
            "model": "IP-2", "software": "14.3", "location.ISO6709": "+52.5200+013.4050/",
        }  # fmt: skip
        for name, iso_meta, version in (("a.mov", False, 0), ("b.mov", True, 1)):
            data = build.movie(3853553400, keys=keys, iso_meta=iso_meta, version=version)
            facts = read_photo(save(name, data))
            assert (facts.kind, facts.width, facts.height) == ("video/quicktime", 1920, 1080)
            assert facts.movie is not None
            assert facts.movie.header_seconds == 3853553400
            assert facts.movie.creation_date == "2026-02-10T08:30:00+0100"
            assert facts.movie.duration_s == 5.0
            assert (facts.make, facts.model) == ("Invented Phones", "IP-2")
            assert facts.software == "14.3"
            assert facts.satellite is not None
            assert facts.satellite.latitude == 52.52

    def test_user_data(self, build, save):
        def text(kind: bytes, value: bytes) -> bytes:
            return build.box(kind, struct.pack(">HH", len(value), 0), value)

        user = text(b"\xa9mak", b"Invented Phones") + text(b"\xa9mod", b"IP-2")
        user += text(b"\xa9swr", b"2") + text(b"\xa9xyz", b"+200.0+013.4/") + text(b"\xa9cmt", b"x")
        user += build.box(b"\xa9mod", b"x")
        facts = read_photo(save("a.mp4", build.movie(5, brand=b"isom", user=user)))
        assert facts.kind == "video/mp4"
        assert (facts.make, facts.model, facts.software) == ("Invented Phones", "IP-2", "2")
        assert facts.satellite is None

    def test_kinds(self, build, save):
        assert read_photo(save("a.3gp", build.movie(5, brand=b"3gp4"))).kind == "video/3gpp"
        bare = build.movie(5)
        facts = read_photo(save("b.mov", bare[struct.unpack(">I", bare[:4])[0] :]))
        assert facts.kind == "video/quicktime"
        assert facts.complete

    def test_credentials_and_xmp_in_boxes(self, build, save):
        data = build.movie(5)
        data += build.box(b"uuid", bytes.fromhex("d8fec3d61b0e483c92975828877ec481"))
        data += build.box(b"uuid", bytes.fromhex("be7acfcb97a942e89c71999491e3afac"), XMP.encode())
        data += build.box(b"uuid", bytes(16))
        facts = read_photo(save("a.mov", data))
        assert facts.content_credentials
        assert facts.xmp is not None

    def test_credentials_inside_the_movie_box(self, build, save):
        inner = build.box(b"uuid", bytes.fromhex("d8fec3d61b0e483c92975828877ec481"))
        data = build.box(b"ftyp", b"qt  ") + build.box(b"moov", inner)
        assert read_photo(save("a.mov", data)).content_credentials

    def test_cut_movies_are_incomplete(self, build, save):
        whole = build.movie(5)
        assert not read_photo(save("a.mov", whole[:-10])).complete
        no_header = whole[: struct.unpack(">I", whole[:4])[0]]
        assert not read_photo(save("b.mov", no_header)).complete

    def test_odd_boxes(self, build, save):
        odd = build.box(b"moov", build.box(b"mvhd", bytes(10)), build.box(b"trak"))
        odd += struct.pack(">I4s", 4, b"bad ")
        facts = read_photo(save("a.mov", build.box(b"ftyp", b"qt  ") + odd))
        assert facts.movie is not None
        assert facts.movie.header_seconds is None
        large = struct.pack(">I4sQ", 1, b"mdat", 16) + struct.pack(">I4s", 0, b"free") + b"x"
        facts = read_photo(save("b.mov", build.movie(5) + large))
        assert facts.complete
        short = struct.pack(">I4s", 1, b"mdat")
        assert read_photo(save("c.mov", build.movie(5) + short)).movie is not None

    def test_keys_without_values(self, build, save):
        keys = build.box(b"keys", bytes(4), struct.pack(">I", 0))
        stray = build.box(struct.pack(">I", 7), build.box(b"data", bytes(9)))
        bare = build.box(struct.pack(">I", 1))
        for name, parts in (
            ("a.mov", (keys,)),
            ("b.mov", (keys, build.box(b"ilst", stray, bare))),
        ):
            meta = build.box(b"meta", build.box(b"hdlr", bytes(24)), *parts)
            head = build.box(b"mvhd", struct.pack(">IIIII", 0, 5, 5, 0, 9) + bytes(80))
            trak = build.box(b"trak", build.box(b"tkhd", bytes(92)))
            moov = build.box(b"moov", head, trak, meta, build.box(b"udta", meta))
            facts = read_photo(save(name, build.box(b"ftyp", b"qt  ") + moov))
            assert facts.movie is not None
            assert facts.movie.creation_date is None
            assert facts.movie.duration_s is None


class TestRawFiles:
    def test_boxed_raw(self, build, save):
        main = build.tiff({MAKE: build.ascii("Invented Optics"), 0x100: (4, [6000])})
        exif = build.tiff({TAKEN: build.ascii(DATE), 0xA431: build.ascii("99")})
        fix = build.tiff({0x1D: build.ascii("2026:02:14"), 7: (5, [9, 0, 0])})
        inner = b"".join(
            build.box(kind, data)
            for kind, data in (
                (b"CMT1", main), (b"CMT2", exif), (b"CMT4", fix), (b"CMT3", b"note"),
            )
        )  # fmt: skip
        identity = bytes.fromhex("85c0b687820f11e08111f4ce462b6a48")
        moov = build.box(b"moov", build.box(b"uuid", identity, inner), build.box(b"mvhd"))
        data = build.box(b"ftyp", b"crx ") + moov + build.box(b"mdat")
        facts = read_photo(save("a.cr3", data))
        assert facts.kind == "image/x-canon-cr3"
        assert (facts.make, facts.serial, facts.width) == ("Invented Optics", "99", 6000)
        assert facts.taken is not None
        assert facts.satellite is not None
        assert facts.complete
        empty = build.box(b"uuid", identity, build.box(b"CMT1", b"nothing"))
        none = build.box(b"ftyp", b"crx ") + build.box(b"moov", empty)
        assert not read_photo(save("b.cr3", none)).complete

    def test_raw_with_a_jpeg_inside(self, build, save):
        jpeg = build.jpeg(block(build))
        head = b"FUJIFILMCCD-RAW 0201".ljust(84, b"\0") + struct.pack(">II", 120, len(jpeg))
        facts = read_photo(save("a.raf", head.ljust(120, b"\0") + jpeg + bytes(50)))
        assert facts.kind == "image/x-fujifilm-raf"
        assert facts.taken is not None
        assert facts.taken.local == LOCAL
        assert facts.complete
        assert not read_photo(save("b.raf", head[:90])).complete

    def test_raw_whose_exif_is_in_its_jpeg(self, build, save):
        jpeg = build.jpeg(block(build))
        size = len(build.tiff({MAKE: build.ascii("Invented"), 0x2E: (7, bytes(9))}))
        plain = build.tiff({MAKE: build.ascii("Invented"), 0x2E: (7, bytes(9))}, after=jpeg)
        at = plain.index(struct.pack("<HHI", 0x2E, 7, 9))
        data = bytearray(plain)
        data[at + 4 : at + 12] = struct.pack("<II", len(jpeg), size)
        data[2:4] = b"U\0"
        facts = read_photo(save("a.rw2", bytes(data)))
        assert facts.kind == "image/x-panasonic-rw2"
        assert facts.make == "Invented"
        assert facts.taken is not None
        bare = build.tiff({MAKE: build.ascii("Invented")})
        for name, tail in (("b.rw2", b""), ("c.rw2", b"")):
            found = read_photo(save(name, b"IIU\0" + bare[4:] + tail))
            assert found.taken is None
        no_tags = bytearray(data)
        no_tags[size:] = build.drawn_jpeg()
        assert read_photo(save("d.rw2", bytes(no_tags))).taken is None

    @pytest.mark.parametrize(
        ("make", "extra", "kind"),
        [
            ("SONY", {0xC634: (1, b"abcd")}, "image/x-sony-arw"),
            ("NIKON CORPORATION", {0x014A: (4, [8])}, "image/x-nikon-nef"),
            ("PENTAX", {0x0103: (3, [65535])}, "image/x-pentax-pef"),
            ("Invented", {0xC612: (1, b"\1\4\0\0")}, "image/x-adobe-dng"),
            ("Invented", {}, "image/tiff"),
        ],
    )
    def test_kinds_by_what_they_hold(self, build, save, make, extra, kind):
        data = build.tiff({MAKE: build.ascii(make)} | extra, {TAKEN: build.ascii(DATE)})
        facts = read_photo(save("a.tif", data))
        assert facts.kind == kind
        assert facts.taken is not None

    def test_kinds_by_their_first_bytes(self, build, save):
        data = block(build)
        assert read_photo(save("a", b"IIRO" + data[4:])).kind == "image/x-olympus-orf"
        large = block(build, order="MM")
        assert read_photo(save("b", b"MMOR" + large[4:])).kind == "image/x-olympus-orf"
        entry = struct.pack("<HHHII", 1, 0x0112, 3, 1, 1) + bytes(4)
        moved = b"II*\0\x10\0\0\0CR\2\0\0\0\0\0" + entry
        assert read_photo(save("c", moved)).kind == "image/x-canon-cr2"

    def test_the_original_date_in_the_main_directory(self, build, save):
        data = build.tiff({TAKEN: build.ascii(DATE)}, {DIGITS: build.ascii("12")})
        taken = read_photo(save("a.tif", data)).taken
        assert taken is not None
        assert (taken.local, taken.digits) == (LOCAL, "12")
        bare = build.tiff({CHANGED: build.ascii(DATE)})
        changed = read_photo(save("b.tif", bare)).changed
        assert changed is not None
        assert changed.local == LOCAL

    def test_strips_outside_the_file_are_incomplete(self, build, save):
        data = build.tiff({0x0111: (4, [8]), 0x0117: (4, [10**6])}, {TAKEN: build.ascii(DATE)})
        assert not read_photo(save("a.tif", data)).complete
        sound = build.tiff({0x0111: (4, [8]), 0x0117: (4, [10])}, {TAKEN: build.ascii(DATE)})
        assert read_photo(save("b.tif", sound)).complete

    def test_xmp_in_a_tiff(self, build, save):
        data = build.tiff({0x02BC: (1, XMP.encode())})
        assert read_photo(save("a.tif", data)).xmp is not None
        odd = build.tiff({0x02BC: (3, [1, 2, 3])})
        assert read_photo(save("b.tif", odd)).xmp is None


class TestNoPhotos:
    def test_text_is_no_photo(self, save):
        facts = read_photo(save("count.jpg", b"line;description;quantity\n"))
        assert facts.kind is None
        assert facts.error == (
            "count.jpg is not a photo or movie: its first bytes are those of no picture format. "
            "Choose the camera's own file."
        )

    def test_an_empty_file(self, save):
        facts = read_photo(save("a.jpg", b""))
        assert facts.error == "a.jpg is empty. Copy it from the camera again."

    def test_a_file_that_is_gone(self, tmp_path):
        facts = read_photo(tmp_path / "gone.jpg")
        assert facts.error is not None
        assert facts.error.startswith("gone.jpg could not be read (")

    def test_a_card_that_cannot_be_read_to_the_end(self):
        """The own memory as a file is an ordinary one whose first bytes cannot be read."""
        facts = read_photo(Path("/proc/self/mem"))
        assert facts.error == (
            "mem could not be read (Input/output error). Check the file or the card and try again."
        )

    def test_what_is_no_ordinary_file(self, tmp_path):
        os.mkfifo(tmp_path / "pipe.jpg")
        assert "not an ordinary file" in (read_photo(tmp_path / "pipe.jpg").error or "")
        assert read_photo(tmp_path).error is not None

    def test_pictures_of_other_kinds(self, tmp_path):
        Image.new("P", (5, 4)).save(tmp_path / "a.gif")
        facts = read_photo(tmp_path / "a.gif")
        assert (facts.kind, facts.width, facts.height) == ("image/gif", 5, 4)

    def test_headers_alone(self, save):
        for name, data in (
            ("a", b"II*\0\xff\xff\xff\x7f"), ("b", b"II"), ("c", b"II\x99\0\0\0\0\0"),
            ("d", b"GIF89a"), ("e", b"RIFF\0\0\0\0WEBP"), ("f", b"\0\0\0\x0cftyp"),
        ):  # fmt: skip
            facts = read_photo(save(name, data))
            assert facts.error is not None or facts.kind is not None


def test_large_files_are_read_from_both_ends(build, save):
    """The movie's header lies behind more data than stays in memory."""
    movie = build.movie(3853553400, keys={"creationdate": "2026-02-10T08:30:00+01:00"})
    (head,) = struct.unpack(">I", movie[:4])
    filler = build.box(b"mdat", bytes(3 << 20))
    data = movie[:head] + build.box(b"mdat", b"x") + filler + movie[head:] + filler
    facts = read_photo(save("a.mov", data))
    assert facts.movie is not None
    assert facts.movie.creation_date == "2026-02-10T08:30:00+01:00"
    assert facts.sha256 == hashlib.sha256(data).hexdigest()
