"""Movies (MOV, MP4; ISO/IEC 14496-12) and the raw format that is built the same way.

``mvhd`` counts seconds since 1904-01-01, by the standard in UTC.  The key
``creationdate`` holds the start of the recording with its offset.
"""

from __future__ import annotations

import re
import struct
from typing import Final

from ldapp.evidence.boxes import Box, boxes, child, content
from ldapp.evidence.exif_block import open_block
from ldapp.evidence.found import CameraData, Found
from ldapp.evidence.source import Bytes, Part

_RAW_TAGS: Final = bytes.fromhex("85c0b687820f11e08111f4ce462b6a48")
_RAW_PREVIEW: Final = bytes.fromhex("eaf42b5e1c984b88b9fbb7dc406e4d16")
_CREDENTIALS: Final = bytes.fromhex("d8fec3d61b0e483c92975828877ec481")
_XMP: Final = bytes.fromhex("be7acfcb97a942e89c71999491e3afac")
_KEY_PREFIX: Final = b"com.apple.quicktime."
_CONTENT_DATE: Final = b"content date"
_USER_NAMES: Final = {
    b"\xa9mak": b"make", b"\xa9mod": b"model", b"\xa9swr": b"software",
    b"\xa9xyz": b"location.ISO6709", b"\xa9day": _CONTENT_DATE,
}  # fmt: skip
"""Old names of what the keys say in words; ``\xa9day`` is the date of the content."""
_POSITION: Final = re.compile(r"([+-]\d{1,2}(?:\.\d+)?)([+-]\d{1,3}(?:\.\d+)?)")


def read_movie(data: Bytes, kind: str) -> Found:
    """Read the times, makers and place of a movie."""
    found = Found(kind=kind, is_movie=True)
    has_movie = False
    for box in boxes(data, 0, data.size):
        found.complete = found.complete and not box.cut
        if box.kind == b"moov":
            has_movie = True
            _movie(data, box, found)
        elif box.kind == b"uuid":
            _user_box(data, box, found)
    found.complete = found.complete and has_movie
    return found


def _user_box(data: Bytes, box: Box, found: Found) -> None:
    identity = data.read(box.start, 16)
    if identity == _CREDENTIALS:
        found.content_credentials = True
    elif identity == _XMP and found.xmp is None:
        found.xmp = content(data, box)[16:]


def _movie(data: Bytes, moov: Box, found: Found) -> None:
    for box in boxes(data, moov.start, moov.end):
        if box.kind == b"mvhd":
            _header(content(data, box, 32), found)
        elif box.kind == b"trak":
            _track(data, box, found)
        elif box.kind == b"meta":
            _keys(data, box, found)
        elif box.kind == b"udta":
            _user_data(data, box, found)
        elif box.kind == b"uuid":
            _user_box(data, box, found)


def _header(body: bytes, found: Found) -> None:
    if len(body) < 32:
        return
    if body[0] == 1:
        created, _, scale, duration = struct.unpack(">QQIQ", body[4:32])
    else:
        created, _, scale, duration = struct.unpack(">IIII", body[4:20])
    found.movie_seconds = created
    if scale and duration not in (0xFFFFFFFF, 0xFFFFFFFFFFFFFFFF):
        found.movie_duration_s = round(duration / scale, 3)


def _track(data: Bytes, trak: Box, found: Found) -> None:
    tkhd = child(data, trak, b"tkhd")
    if tkhd is None:
        return
    body = content(data, tkhd, 104)
    place = 88 if body[:1] == b"\1" else 76
    size = body[place : place + 8]
    if len(size) == 8:
        width, height = (number >> 16 for number in struct.unpack(">II", size))
        if width and height and found.width is None:
            found.width, found.height = width, height


def _keys(data: Bytes, meta: Box, found: Found) -> None:
    # In QuickTime ``meta`` has no version word, in ISO files it has four bytes of it.
    skip = 0 if data.read(meta.start + 4, 4) in (b"hdlr", b"keys", b"ilst") else 4
    keys, ilst = child(data, meta, b"keys", skip), child(data, meta, b"ilst", skip)
    if ilst is None:
        return
    names = dict(_USER_NAMES)
    if keys is not None:
        for number, box in enumerate(boxes(data, keys.start + 8, keys.end), start=1):
            name = data.read(box.start, min(box.end - box.start, 256))
            names[number.to_bytes(4, "big")] = name.removeprefix(_KEY_PREFIX)
    for box in boxes(data, ilst.start, ilst.end):
        value = child(data, box, b"data")
        if value is None or box.kind not in names:
            continue
        name = names[box.kind]
        text = content(data, value, 4096)[8:].split(b"\0", 1)[0].decode("utf-8", "replace").strip()
        _keep(name, text, found)


def _keep(name: bytes, text: str, found: Found) -> None:
    if name == b"creationdate":
        found.movie_creation_date = text
    elif name == _CONTENT_DATE:
        found.movie_content_date = found.movie_content_date or text
    elif name == b"make":
        found.movie_make = text
    elif name == b"model":
        found.movie_model = text
    elif name == b"software":
        found.movie_software = text
    elif name == b"location.ISO6709":
        _position(text, found)


def _position(text: str, found: Found) -> None:
    """Keep a position in the form of ISO 6709 (degrees with decimals)."""
    match = _POSITION.match(text)
    if match and abs(float(match[1])) <= 90 and abs(float(match[2])) <= 180:
        found.movie_position = float(match[1]), float(match[2])


def _user_data(data: Bytes, udta: Box, found: Found) -> None:
    for box in boxes(data, udta.start, udta.end):
        if box.kind == b"meta":
            _keys(data, box, found)
        elif box.kind == b"XMP_" and found.xmp is None:
            found.xmp = content(data, box)
        elif box.kind == b"date":
            # Some makers write the date of the content as bare text.
            text = content(data, box, 64).split(b"\0", 1)[0].decode("utf-8", "replace").strip()
            _keep(_CONTENT_DATE, text, found)
        elif box.kind in _USER_NAMES:
            # A length and a language code stand before the text.
            body = content(data, box, 1024)
            if len(body) > 4:
                (size,) = struct.unpack(">H", body[:2])
                _keep(
                    _USER_NAMES[box.kind],
                    body[4 : 4 + size].decode("utf-8", "replace").strip(),
                    found,
                )


def read_boxed_raw(data: Bytes) -> Found:
    """Read a camera's raw file whose Exif directories lie in boxes of their own."""
    found = Found(kind="image/x-canon-cr3")
    camera = CameraData()
    for box in boxes(data, 0, data.size):
        found.complete = found.complete and not box.cut
        if box.kind == b"uuid" and data.read(box.start, 16) == _RAW_PREVIEW:
            found.jpeg_inside = _preview_box(data, box)
        if box.kind != b"moov":
            continue
        for inner in boxes(data, box.start, box.end):
            if inner.kind == b"uuid" and data.read(inner.start, 16) == _RAW_TAGS:
                _raw_directories(data, inner, camera, found)
    if camera.places():
        found.cameras.append(camera)
        found.exif_segments = 1
    else:
        found.complete = False
    return found


def _preview_box(data: Bytes, parent: Box) -> tuple[int, int] | None:
    """Return the JPEG of a preview box: its length stands right before it."""
    # The parent's identity and a version word stand before the box itself.
    box = child(data, parent, b"PRVW", 24)
    if box is None:
        return None
    body = content(data, box, 16)
    length = int.from_bytes(body[12:16], "big")
    start = box.start + 16
    sound = data.read(start, 3) == b"\xff\xd8\xff" and start + length <= box.end
    return (start, length) if sound else None


def _raw_directories(data: Bytes, parent: Box, camera: CameraData, found: Found) -> None:
    for box in boxes(data, parent.start + 16, parent.end):
        if box.kind not in (b"CMT1", b"CMT2", b"CMT4"):
            continue
        block = open_block(Part(data, box.start, box.end - box.start))
        if block is None:
            found.complete = False
            continue
        place = block, block.directory(block.first)[0]
        if box.kind == b"CMT1":
            camera.main = place
        elif box.kind == b"CMT2":
            camera.exif = place
        else:
            camera.satellite = place
