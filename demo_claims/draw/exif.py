"""Camera data for the drawn photos, written as a TIFF structure (Exif 2.32, CIPA DC-008).

An own writer, so that the bytes depend on nothing but the values.
"""

from __future__ import annotations

import datetime as dt
import io
import struct
from dataclasses import dataclass
from fractions import Fraction

from PIL import Image

BYTE, ASCII, SHORT, LONG, RATIONAL, UNDEFINED = 1, 2, 3, 4, 5, 7
Entry = tuple[int, int, bytes]  # type, count, value


@dataclass(frozen=True)
class Device:
    make: str
    model: str
    software: str
    prefix: str
    serial: str = ""
    lens: str = ""
    focal: tuple[int, int] = (24, 1)
    f_number: tuple[int, int] = (28, 10)
    little_endian: bool = False
    writes_offset: bool = True
    writes_subseconds: bool = True
    satellite: bool = True
    clock_error_s: int = 0  # camera minus true time


@dataclass(frozen=True)
class Stamp:
    """What one photo's camera data say; `true_time` is aware, the device's error is added."""

    device: Device
    true_time: dt.datetime
    counter: int
    position: tuple[float, float] | None = None
    altitude: float = 4.0
    offset_as_written: dt.timedelta | None = None  # where the camera stands on another zone
    exposure: tuple[int, int] = (1, 60)
    iso: int = 400
    edited_with: str = ""
    edited_at: str = ""  # as Exif writes it, the computer's wall-clock time
    milliseconds: int = 0


def _ascii(text: str) -> Entry:
    raw = text.encode("ascii") + b"\0"
    return ASCII, len(raw), raw


class _Writer:
    def __init__(self, little: bool) -> None:
        self.order = "<" if little else ">"

    def short(self, *values: int) -> Entry:
        return SHORT, len(values), struct.pack(f"{self.order}{len(values)}H", *values)

    def long(self, *values: int) -> Entry:
        return LONG, len(values), struct.pack(f"{self.order}{len(values)}I", *values)

    def ratio(self, *values: tuple[int, int]) -> Entry:
        flat = [n for pair in values for n in pair]
        return RATIONAL, len(values), struct.pack(f"{self.order}{len(flat)}I", *flat)

    def directory(self, entries: dict[int, Entry], start: int, following: int = 0) -> bytes:
        head = struct.pack(self.order + "H", len(entries))
        body, values = b"", b""
        place = start + 2 + 12 * len(entries) + 4
        for tag in sorted(entries):
            kind, count, value = entries[tag]
            body += struct.pack(self.order + "HHI", tag, kind, count)
            if len(value) <= 4:
                body += value.ljust(4, b"\0")
            else:
                body += struct.pack(self.order + "I", place + len(values))
                values += value + b"\0" * (len(value) % 2)
        return head + body + struct.pack(self.order + "I", following) + values


def _degrees(value: float) -> tuple[tuple[int, int], ...]:
    seconds = Fraction(str(abs(value))) * 3600
    d, rest = divmod(seconds, 3600)
    m, s = divmod(rest, 60)
    return ((int(d), 1), (int(m), 1), (int(s * 10_000), 10_000))


def local_time(stamp: Stamp) -> dt.datetime:
    """What the camera's clock shows, wall-clock time without a zone."""
    aware = stamp.true_time
    if stamp.offset_as_written is not None:
        aware = aware.astimezone(dt.timezone(stamp.offset_as_written))
    return aware.replace(tzinfo=None) + dt.timedelta(seconds=stamp.device.clock_error_s)


def _offset_text(stamp: Stamp) -> str:
    offset = stamp.true_time.utcoffset() or dt.timedelta(0)
    minutes = int(offset.total_seconds()) // 60
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def thumbnail(image: Image.Image) -> bytes:
    small = image.convert("RGB").resize((160, 120), Image.Resampling.LANCZOS)
    stream = io.BytesIO()
    small.save(stream, "JPEG", quality=70, subsampling=2)
    return stream.getvalue()


def block(stamp: Stamp, image: Image.Image, orientation: int = 1) -> bytes:
    """The content of the APP1 segment, `Exif` identifier included."""
    device = stamp.device
    w = _Writer(device.little_endian)
    taken = local_time(stamp)
    text = taken.strftime("%Y:%m:%d %H:%M:%S")
    changed = stamp.edited_at or text
    first: dict[int, Entry] = {
        0x010F: _ascii(device.make),
        0x0110: _ascii(device.model),
        0x0112: w.short(orientation),
        0x011A: w.ratio((72, 1)),
        0x011B: w.ratio((72, 1)),
        0x0128: w.short(2),
        0x0131: _ascii(stamp.edited_with or device.software),
        0x0132: _ascii(changed),
        0x0213: w.short(1),
    }
    exif: dict[int, Entry] = {
        0x829A: w.ratio(stamp.exposure),
        0x829D: w.ratio(device.f_number),
        0x8822: w.short(2),
        0x8827: w.short(stamp.iso),
        0x9000: (UNDEFINED, 4, b"0232"),
        0x9003: _ascii(text),
        0x9004: _ascii(text),
        0x9101: (UNDEFINED, 4, b"\1\2\3\0"),
        0x9207: w.short(5),
        0x9209: w.short(16),
        0x920A: w.ratio(device.focal),
        0x927C: (UNDEFINED, 24, b"DEMO-NOTE\0" + struct.pack(">I", stamp.counter) + b"\0" * 10),
        0xA000: (UNDEFINED, 4, b"0100"),
        0xA001: w.short(1),
        0xA002: w.long(image.width),
        0xA003: w.long(image.height),
        0xA402: w.short(0),
        0xA403: w.short(0),
    }
    if device.serial:
        exif[0xA431] = _ascii(device.serial)
    if device.lens:
        exif[0xA434] = _ascii(device.lens)
    if device.writes_offset:
        for tag in (0x9010, 0x9011, 0x9012):
            exif[tag] = _ascii(_offset_text(stamp))
    if device.writes_subseconds:
        for tag in (0x9290, 0x9291, 0x9292):
            exif[tag] = _ascii(f"{stamp.milliseconds:03d}")
    satellite: dict[int, Entry] = {}
    if device.satellite and stamp.position:
        north, east = stamp.position
        utc = stamp.true_time.astimezone(dt.UTC)
        satellite = {
            0: (BYTE, 4, b"\2\3\0\0"),
            1: _ascii("N" if north >= 0 else "S"),
            2: w.ratio(*_degrees(north)),
            3: _ascii("E" if east >= 0 else "W"),
            4: w.ratio(*_degrees(east)),
            5: (BYTE, 1, b"\0"),
            6: w.ratio((int(stamp.altitude * 10), 10)),
            7: w.ratio((utc.hour, 1), (utc.minute, 1), (utc.second, 1)),
            29: _ascii(utc.strftime("%Y:%m:%d")),
            31: w.ratio((60, 10)),
        }
        first[0x8825] = w.long(0)
    first[0x8769] = w.long(0)
    small = thumbnail(image)
    length = lambda d: len(w.directory(d, 0)) + len(w.directory(d, 0)) % 2  # noqa: E731
    at_exif = 8 + length(first)
    at_satellite = at_exif + length(exif)
    at_second = at_satellite + (length(satellite) if satellite else 0)
    second: dict[int, Entry] = {
        0x0103: w.short(6),
        0x011A: w.ratio((72, 1)),
        0x011B: w.ratio((72, 1)),
        0x0128: w.short(2),
        0x0201: w.long(0),
        0x0202: w.long(len(small)),
    }
    first[0x8769] = w.long(at_exif)
    if satellite:
        first[0x8825] = w.long(at_satellite)
    second[0x0201] = w.long(at_second + length(second))
    pad = lambda raw: raw + b"\0" * (len(raw) % 2)  # noqa: E731
    header = (b"II*\0" if device.little_endian else b"MM\0*") + struct.pack(w.order + "I", 8)
    tiff = header + pad(w.directory(first, 8, at_second)) + pad(w.directory(exif, at_exif))
    if satellite:
        tiff += pad(w.directory(satellite, at_satellite))
    tiff += pad(w.directory(second, at_second)) + small
    return b"Exif\0\0" + tiff


def with_camera_data(jpeg: bytes, content: bytes) -> bytes:
    """Put the APP1 segment first, where cameras write it, in place of the JFIF header."""
    rest = jpeg[2:]
    if rest[:2] == b"\xff\xe0":
        rest = rest[2 + struct.unpack(">H", rest[2:4])[0] :]
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(content) + 2) + content + rest
