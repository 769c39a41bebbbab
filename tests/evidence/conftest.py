"""Files built byte by byte, and small drawn pictures, for the tests of evidence."""

from __future__ import annotations

import io
import random
import shutil
import struct
import subprocess
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from ldapp.claim.photo_facts import PhotoFacts, RecordedTime, SatelliteFix
from ldapp.evidence.times import read_date

Value = tuple[int, object]
"""A TIFF type and what goes with it: bytes, numbers or fractions."""

_FORMATS = {1: "B", 3: "H", 4: "I", 6: "b", 8: "h", 9: "i", 13: "I"}
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 13: 4, 129: 1, 99: 1}


class Build:
    """Builds blocks, containers and pictures."""

    def ascii(self, text: str) -> Value:
        return 2, text.encode() + b"\0"

    def tiff(
        self,
        main: Mapping[int, Value],
        exif: Mapping[int, Value] | None = None,
        satellite: Mapping[int, Value] | None = None,
        preview: Mapping[int, Value] | None = None,
        *,
        order: str = "II",
        pointer_type: int = 4,
        after: bytes = b"",
    ) -> bytes:
        """Return a TIFF block; directories one after the other, values behind each."""
        mark = "<" if order == "II" else ">"
        head = order.encode() + struct.pack(mark + "HI", 42, 8)
        main = dict(main)
        place = 8
        # Pointers have a fixed width, so sizes are known before places are.
        if exif is not None:
            main[0x8769] = (pointer_type, [0])
        if satellite is not None:
            main[0x8825] = (pointer_type, [0])
        length = len(self._directory(main, 0, mark))
        parts: list[bytes] = []
        position = place + length
        for tag, directory in ((0x8769, exif), (0x8825, satellite)):
            if directory is not None:
                body = self._directory(directory, position, mark)
                main[tag] = (pointer_type, [position])
                parts.append(body)
                position += len(body)
        following = position if preview is not None else 0
        if preview is not None:
            parts.append(self._directory(preview, position, mark))
        return head + self._directory(main, place, mark, following) + b"".join(parts) + after

    def _directory(
        self, entries: Mapping[int, Value], place: int, mark: str, following: int = 0
    ) -> bytes:
        head = struct.pack(mark + "H", len(entries))
        values = b""
        start = place + 2 + 12 * len(entries) + 4
        for tag, (kind, value) in entries.items():
            data = self._packed(kind, value, mark)
            count = len(data) // _SIZES[kind]
            if len(data) <= 4:
                field = data.ljust(4, b"\0")
            else:
                field = struct.pack(mark + "I", start + len(values))
                values += data + b"\0" * (len(data) % 2)
            head += struct.pack(mark + "HHI", tag, kind, count) + field
        return head + struct.pack(mark + "I", following) + values

    def _packed(self, kind: int, value: object, mark: str) -> bytes:
        if isinstance(value, bytes):
            return value
        assert isinstance(value, list)
        if kind in (5, 10):
            code = "I" if kind == 5 else "i"
            pairs = [v if isinstance(v, tuple) else Fraction(v).as_integer_ratio() for v in value]
            return b"".join(struct.pack(mark + 2 * code, *pair) for pair in pairs)
        return struct.pack(f"{mark}{len(value)}{_FORMATS[kind]}", *value)

    def segment(self, marker: int, body: bytes) -> bytes:
        return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body

    def jpeg(
        self, *blocks: bytes, before: bytes = b"", body: bytes | None = None, end: bytes = b""
    ) -> bytes:
        """Return a drawn JPEG with the given Exif blocks right after its start."""
        picture = body if body is not None else self.drawn_jpeg()
        segments = b"".join(self.segment(0xE1, b"Exif\0\0" + block) for block in blocks)
        # The library's own JFIF segment goes: cameras write none.
        (length,) = struct.unpack(">H", picture[4:6])
        rest = picture[4 + length :] if picture[2:4] == b"\xff\xe0" else picture[2:]
        return b"\xff\xd8" + before + segments + rest + end

    def drawn(self, width: int = 160, height: int = 120, seed: int = 1) -> Image.Image:
        """Return a picture with an orange case, a stand and a lamp on a grey floor."""
        rng = random.Random(seed)
        image = Image.new("RGB", (width, height), (90 + seed % 40, 92, 96))
        pen = ImageDraw.Draw(image)
        for _ in range(12):
            x, y = rng.randrange(width), rng.randrange(height)
            w, h = rng.randrange(8, width // 2), rng.randrange(8, height // 2)
            pen.rectangle((x, y, x + w, y + h), fill=tuple(rng.randrange(256) for _ in range(3)))
        pen.ellipse((width // 8, height // 8, width // 3, height // 3), fill=(250, 240, 200))
        return image

    def drawn_jpeg(self, width: int = 160, height: int = 120, seed: int = 1) -> bytes:
        out = io.BytesIO()
        self.drawn(width, height, seed).save(out, "JPEG", quality=88)
        return out.getvalue()

    def box(self, kind: bytes, *parts: bytes) -> bytes:
        body = b"".join(parts)
        return struct.pack(">I4s", len(body) + 8, kind) + body

    def heif(
        self,
        exif_item: bytes,
        *,
        brand: bytes = b"heic",
        xmp: bytes = b"",
        inside: bool = False,
        size: tuple[int, int] = (640, 480),
        extra: bytes = b"",
    ) -> bytes:
        """Return an HEIF file with an Exif item (in mdat, or inside meta) and no picture."""
        box = self.box

        def infe(number: int, kind: bytes, tail: bytes = b"") -> bytes:
            return box(b"infe", b"\2\0\0\0", struct.pack(">HH", number, 0), kind, b"\0", tail)

        infes = [infe(1, b"hvc1"), infe(2, b"Exif")]
        if xmp:
            infes.append(infe(3, b"mime", b"application/rdf+xml\0"))
        iinf = box(b"iinf", b"\0\0\0\0", struct.pack(">H", len(infes)), *infes)
        ispe = box(b"ispe", b"\0\0\0\0", struct.pack(">II", *size))
        ipma = box(b"ipma", b"\0\0\0\0", struct.pack(">IHBB", 1, 1, 1, 0x81))
        iprp = box(b"iprp", box(b"ipco", ispe), ipma)
        pitm = box(b"pitm", b"\0\0\0\0", struct.pack(">H", 1))
        idat = box(b"idat", exif_item) if inside else b""
        ftyp = box(b"ftyp", brand, b"\0\0\0\0", b"mif1", brand)

        def meta(at: int) -> bytes:
            rows = struct.pack(">HHHHII", 2, 1 if inside else 0, 0, 1, at, len(exif_item))
            count = 1
            if xmp:
                rows += struct.pack(">HHHHII", 3, 0, 0, 1, at + len(exif_item), len(xmp))
                count = 2
            iloc = box(b"iloc", b"\1\0\0\0", b"\x44\x00", struct.pack(">H", count), rows)
            return box(b"meta", b"\0\0\0\0", pitm, iinf, iprp, iloc, idat)

        at = 0 if inside else len(ftyp) + len(meta(0)) + 8
        payload = (b"" if inside else exif_item) + xmp
        return ftyp + meta(at) + box(b"mdat", payload) + extra

    def movie(
        self,
        seconds: int,
        *,
        brand: bytes = b"qt  ",
        keys: Mapping[str, str] | None = None,
        version: int = 0,
        duration: int = 5000,
        user: bytes = b"",
        iso_meta: bool = False,
    ) -> bytes:
        """Return a movie with a header and metadata keys, and no pictures."""
        box = self.box
        if version:
            head = struct.pack(">IQQIQ", 1 << 24, seconds, seconds, 1000, duration)
        else:
            head = struct.pack(">IIIII", 0, seconds, seconds, 1000, duration)
        parts = [box(b"mvhd", head + bytes(80))]
        tkhd = struct.pack(">I", 0) + bytes(72) + struct.pack(">II", 1920 << 16, 1080 << 16)
        parts.append(box(b"trak", box(b"tkhd", tkhd)))
        if keys:
            names = [box(b"mdta", f"com.apple.quicktime.{key}".encode()) for key in keys]
            values = [
                box(struct.pack(">I", index), box(b"data", struct.pack(">II", 1, 0), text.encode()))
                for index, text in enumerate(keys.values(), 1)
            ]
            hdlr = box(b"hdlr", bytes(24))
            body = (
                hdlr,
                box(b"keys", bytes(4), struct.pack(">I", len(names)), *names),
                box(b"ilst", *values),
            )
            parts.append(box(b"meta", bytes(4) if iso_meta else b"", *body))
        if user:
            parts.append(box(b"udta", user))
        return box(b"ftyp", brand, bytes(4), brand) + box(b"moov", *parts)


@pytest.fixture
def build() -> Build:
    return Build()


@pytest.fixture
def save(tmp_path: Path) -> Callable[[str, bytes], Path]:
    """Write bytes under a name in a fresh folder."""

    def write(name: str, data: bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(data)
        return path

    return write


Photo = Callable[..., PhotoFacts]


@pytest.fixture
def photo() -> Photo:
    """Make the facts of an ordinary photo, with what a test wants otherwise.

    Dates are given as Exif writes them; ``fix`` is latitude, longitude, date, time.
    """

    def make(
        taken: str | None = "2026:02:14 10:15:30",
        *,
        offset: str | None = None,
        digits: str | None = None,
        digitized: str | None = "same",
        changed: str | None = None,
        changed_offset: str | None = None,
        fix: Sequence[object] | None = None,
        **others: object,
    ) -> PhotoFacts:
        def field(raw: str | None, its_offset: str | None = None) -> RecordedTime | None:
            return None if raw is None else read_date(raw, digits, its_offset)

        values: dict[str, object] = {
            "file_name": "DSC_0001.JPG",
            "sha256": "0" * 64,
            "bytes": 1000,
            "kind": "image/jpeg",
            "width": 4000,
            "height": 3000,
            "make": "Invented Optics",
            "model": "IO-1",
            "exif_segments": 1,
            "first_segment": "APP1:Exif",
        }
        values |= {
            "taken": field(taken, offset),
            "digitized": field(taken if digitized == "same" else digitized),
            "changed": field(changed, changed_offset),
        }
        if fix is not None:
            latitude, longitude, date, time = fix
            values["satellite"] = SatelliteFix(
                latitude=latitude,  # type: ignore[arg-type]
                longitude=longitude,  # type: ignore[arg-type]
                date_raw=date,  # type: ignore[arg-type]
                date=date,  # type: ignore[arg-type]
                time_raw=time,  # type: ignore[arg-type]
                time=time,  # type: ignore[arg-type]
            )
        return PhotoFacts(**(values | others))  # type: ignore[arg-type]

    return make


@pytest.fixture
def tag() -> Callable[..., None]:
    """Write tags into files with the general-purpose tag writer, as an independent hand."""
    program = shutil.which("exiftool")
    assert program, "install the reference tag writer: exiftool"

    def write(path: Path, *assignments: str) -> None:
        subprocess.run(
            [program, "-q", "-overwrite_original", *assignments, str(path)],
            check=True,
            capture_output=True,
        )

    return write
