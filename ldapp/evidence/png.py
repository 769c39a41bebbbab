"""PNG (ISO/IEC 15948) and WebP (RFC 9649): chunks with tags.

``eXIf`` is the registered place of Exif in PNG; the text profiles are an older custom.
"""

from __future__ import annotations

import binascii
import struct
import zlib
from typing import Final

from ldapp.evidence.found import Found
from ldapp.evidence.source import LARGEST_METADATA, Bytes, Held, Part

_MOST_CHUNKS: Final = 100_000
_MOST_PROFILES: Final = 8
_LONGEST_PROFILE: Final = 1 << 20
_XMP_KEY: Final = b"XML:com.adobe.xmp"
_PROFILES: Final = frozenset(
    {b"Raw profile type exif", b"Raw profile type APP1", b"Raw profile type xmp"}
)


def read_png(data: Bytes) -> Found:
    """Walk the chunks of a PNG."""
    found = Found(kind="image/png", complete=False)
    profiles: list[bytes] = []
    position = 8
    for _ in range(_MOST_CHUNKS):
        head = data.read(position, 8)
        if len(head) < 8:
            break
        size, name = struct.unpack(">I4s", head)
        start = position + 8
        if name == b"IEND":
            found.complete = True
            break
        if start + size > data.size:
            break
        if name == b"IHDR":
            frame = data.read(start, min(size, 8))
            if len(frame) == 8:
                found.width, found.height = struct.unpack(">II", frame)
        elif name == b"eXIf" and found.exif_segments == 0:
            found.exif_segments = 1
            _add_exif(found, data, start, size)
        elif name == b"caBX":
            found.content_credentials = True
        elif name in (b"tEXt", b"zTXt", b"iTXt") and size <= LARGEST_METADATA:
            _text(found, profiles, name, data.read(start, size))
        position = start + size + 4
    if not found.cameras:
        for profile in profiles:
            if found.add_block(Held(profile), None):
                found.exif_segments = 1
                break
    return found


def _add_exif(found: Found, data: Bytes, start: int, size: int) -> None:
    # A few writers put the JPEG prefix before the TIFF header.
    skip = 6 if data.read(start, 6) == b"Exif\0\0" else 0
    found.add_block(Part(data, start + skip, size - skip), start + skip)


def _inflate(data: bytes) -> bytes:
    """Unpack at most :data:`_LONGEST_PROFILE` bytes; nothing if the data is damaged."""
    try:
        return zlib.decompressobj().decompress(data, _LONGEST_PROFILE)
    except zlib.error:
        return b""


def _text(found: Found, profiles: list[bytes], name: bytes, body: bytes) -> None:
    """Keep an XMP packet, or the bytes of a text profile, from a text chunk."""
    key, _, rest = body.partition(b"\0")
    if key == _XMP_KEY:
        if found.xmp is None:
            found.xmp = _unpacked(name, rest)
        return
    if key not in _PROFILES or len(profiles) == _MOST_PROFILES:
        return
    profile = _profile(_unpacked(name, rest))
    for prefix in (b"Exif\0\0", b"http://ns.adobe.com/xap/1.0/\0"):
        profile = profile.removeprefix(prefix)
    if found.xmp is None and profile.lstrip()[:1] == b"<":
        found.xmp = profile
    else:
        profiles.append(profile)


def _unpacked(name: bytes, rest: bytes) -> bytes:
    """Return the text of a chunk of one of the three kinds, after its keyword."""
    if name == b"tEXt":
        return rest
    if name == b"zTXt":
        return _inflate(rest[1:])
    packed = rest[:1] == b"\1"
    _, _, rest = rest[2:].partition(b"\0")
    _, _, text = rest.partition(b"\0")
    return _inflate(text) if packed else text


def _profile(text: bytes) -> bytes:
    """Return the bytes of a text profile: a blank line, name, length, then hexadecimal."""
    words = text.split(None, 2)
    if len(words) < 3:
        return b""
    try:
        return binascii.unhexlify(b"".join(words[2].split()))
    except (binascii.Error, ValueError):
        return b""


def read_webp(data: Bytes) -> Found:
    """Walk the chunks of a WebP file."""
    found = Found(kind="image/webp")
    (stated,) = struct.unpack("<I", data.read(4, 4))
    found.complete = stated + 8 <= data.size
    position = 12
    for _ in range(_MOST_CHUNKS):
        head = data.read(position, 8)
        if len(head) < 8:
            break
        name, size = struct.unpack("<4sI", head)
        start = position + 8
        if name == b"EXIF" and found.exif_segments == 0:
            found.exif_segments = 1
            _add_exif(found, data, start, size)
        elif name == b"XMP " and found.xmp is None:
            found.xmp = data.read(start, min(size, LARGEST_METADATA))
        elif name == b"C2PA":
            found.content_credentials = True
        elif found.width is None:
            _webp_size(found, name, data.read(start, min(size, 10)))
        position = start + size + (size & 1)
    return found


def _webp_size(found: Found, name: bytes, body: bytes) -> None:
    if len(body) < 10:
        return
    if name == b"VP8X":
        found.width = 1 + int.from_bytes(body[4:7], "little")
        found.height = 1 + int.from_bytes(body[7:10], "little")
    elif name == b"VP8 " and body[3:6] == b"\x9d\x01\x2a":
        width, height = struct.unpack("<HH", body[6:10])
        found.width, found.height = width & 0x3FFF, height & 0x3FFF
    elif name == b"VP8L" and body[0] == 0x2F:
        (bits,) = struct.unpack("<I", body[1:5])
        found.width, found.height = 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
