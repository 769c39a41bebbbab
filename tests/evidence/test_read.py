"""What is read from files: tags as the standards say, and files that are no photos."""

from __future__ import annotations

import hashlib
import os
import struct
from fractions import Fraction
from pathlib import Path

import pytest
from PIL import Image

from ldapp.evidence.read import read_photo
from tests.evidence.saying import LOCAL

DATE = "2026:02:14 10:15:30"
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


def test_a_file_whose_hash_is_known_gives_the_same_facts(build, save):
    block = build.tiff({0x010F: build.ascii("Invented")}, {0x9003: build.ascii(DATE)})
    for name, data in (
        ("a.jpg", build.jpeg(block)),
        ("b.jpg", build.jpeg(block) + bytes(3 << 20)),
        ("c.mov", build.movie(5)),
        ("d.jpg", b""),
    ):
        path = save(name, data)
        plain = read_photo(path)
        assert read_photo(path, sha256=plain.sha256) == plain
    assert read_photo(path, "other.jpg").file_name == "other.jpg"
