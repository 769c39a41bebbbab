"""JPEG (ITU-T T.81, annex B): the segments from SOI to SOS, and whether the file ends.

Unknown APPn segments are skipped wherever they stand; content credentials may come
before the camera's data.
"""

from __future__ import annotations

import hashlib
import re
import struct
from typing import Final

from ldapp.evidence.found import Found
from ldapp.evidence.source import LARGEST_METADATA, Bytes, Part

_NAMES: Final = {
    0xC4: "DHT", 0xCC: "DAC", 0xD8: "SOI", 0xD9: "EOI", 0xDA: "SOS", 0xDB: "DQT",
    0xDC: "DNL", 0xDD: "DRI", 0xFE: "COM",
}  # fmt: skip
_WITHOUT_LENGTH: Final = frozenset({0x01, *range(0xD0, 0xD9)})
_FRAMES: Final = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_XMP: Final = b"http://ns.adobe.com/xap/1.0/\0"
_MOST_SEGMENTS: Final = 4000
_MOST_JUNK: Final = 64 << 10
_MARKER: Final = re.compile(rb"\xff[^\x00\xff]")
_PIECE: Final = 1 << 16


def read_jpeg(data: Bytes, starts_at: int = 0) -> Found:
    """Walk the segments of a JPEG that begins at the start of ``data``.

    ``starts_at`` is where ``data`` itself begins in the file.
    """
    found = Found(kind="image/jpeg", complete=False)
    tables = hashlib.sha256()
    has_tables = False
    position = 2
    spent = 0
    for _ in range(_MOST_SEGMENTS):
        marker_at = _next_marker(data, position)
        spent += marker_at - position
        position = marker_at
        head = data.read(position, 4)
        if len(head) < 2:
            break
        marker = head[1]
        if marker == 0xD9:
            break
        if marker in _WITHOUT_LENGTH:
            position += 2
            continue
        length = struct.unpack(">H", head[2:4])[0] if len(head) == 4 else 0
        start, size = position + 4, length - 2
        if size < 0:
            position += 2
            continue
        if marker == 0xDA:
            found.complete = _ends(data, start)
            _name(found, "SOS")
            break
        spent += size
        if spent > LARGEST_METADATA:
            break
        if marker == 0xDB:
            tables.update(data.read(start, size))
            has_tables = True
            _name(found, "DQT")
        elif marker in _FRAMES:
            frame = data.read(start, min(size, 5))
            if len(frame) == 5 and found.width is None:
                found.height, found.width = struct.unpack(">HH", frame[1:])
            _name(found, f"SOF{marker - 0xC0}")
        elif 0xE0 <= marker <= 0xEF:
            _application(found, data, marker - 0xE0, start, size, starts_at)
        else:
            _name(found, _NAMES.get(marker, f"{marker:02X}"))
        position = start + size
    if has_tables:
        found.quantisation = tables.hexdigest()[:16]
    return found


def _name(found: Found, name: str) -> None:
    if found.first_segment is None:
        found.first_segment = name


def _next_marker(data: Bytes, position: int) -> int:
    """Return the place of the next marker: at once in a sound file, else past the junk."""
    ahead = data.read(position, 2)
    if len(ahead) == 2 and ahead[0] == 0xFF and ahead[1] not in (0x00, 0xFF):
        return position
    found = _MARKER.search(data.read(position, _MOST_JUNK))
    return data.size if found is None else position + found.start()


def _application(
    found: Found, data: Bytes, number: int, start: int, size: int, starts_at: int
) -> None:
    head = data.read(start, min(size, 40))
    label = "other"
    if number == 0 and head.startswith(b"JFIF\0"):
        found.has_jfif = True
        label = "JFIF"
    elif number == 1 and head.startswith(b"Exif\0"):
        found.exif_segments += 1
        found.add_block(Part(data, start + 6, size - 6), starts_at + start + 6)
        label = "Exif"
    elif number == 1 and head.startswith(_XMP):
        if found.xmp is None:
            found.xmp = data.read(start + len(_XMP), size - len(_XMP))
        label = "XMP"
    elif number == 2 and head.startswith(b"ICC_PROFILE\0"):
        label = "ICC"
    elif number == 11 and head.startswith(b"JP"):
        # JUMBF boxes of content credentials name their kind near the beginning.
        if b"c2pa" in data.read(start, min(size, 256)):
            found.content_credentials = True
        label = "JUMBF"
    _name(found, f"APP{number}:{label}")


def _ends(data: Bytes, start: int) -> bool:
    """Say whether an end marker follows the picture data.

    FF D9 cannot occur inside entropy-coded data, where FF is followed by 00.  Further
    pictures or a movie may stand behind the end, so the search goes backwards over the
    whole rest of the file, from where the marker usually is.
    """
    after = data.size
    while after > start:
        before = max(start, after - _PIECE)
        # One byte of overlap, for a marker that straddles two pieces.
        if b"\xff\xd9" in data.read(before, after - before + 1):
            return True
        after = before
    return False
