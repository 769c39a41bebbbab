"""Movies and raw files."""

from __future__ import annotations

import struct

import pytest

from ldapp.evidence.read import read_photo
from tests.evidence.saying import LOCAL, XMP

DATE = "2026:02:14 10:15:30"
MAKE, MODEL, SOFTWARE, ORIENTATION, CHANGED = 0x010F, 0x0110, 0x0131, 0x0112, 0x0132
TAKEN, DIGITIZED, OFFSET, DIGITS = 0x9003, 0x9004, 0x9011, 0x9291


def block(build, **options):
    exif = {TAKEN: build.ascii(DATE), DIGITIZED: build.ascii(DATE)}
    return build.tiff({MAKE: build.ascii("Invented Optics")}, exif, **options)


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
        elsewhere = {0x0111: (4, [0xFFFFFFFF]), 0x0117: (4, [10**6])}
        raw = build.tiff(elsewhere, {TAKEN: build.ascii(DATE)})
        assert read_photo(save("c.rw2", b"IIU\0" + raw[4:])).complete

    def test_xmp_in_a_tiff(self, build, save):
        data = build.tiff({0x02BC: (1, XMP.encode())})
        assert read_photo(save("a.tif", data)).xmp is not None
        odd = build.tiff({0x02BC: (3, [1, 2, 3])})
        assert read_photo(save("b.tif", odd)).xmp is None
