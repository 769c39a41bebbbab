"""JPEG files made fit to travel: the picture's own bytes, without what was written about it.

Nothing is decoded.  All application segments and comments are dropped, so neither a
position nor a serial number, name or preview goes along; kept are the colour profile
(APP2 ``ICC_PROFILE``) and the Adobe marker (APP14), without which colours would change.
Everything behind the end of the first picture is cut off as well.
Source of the segment structure: ITU-T T.81, annex B.
"""

from __future__ import annotations

from dataclasses import dataclass

_START = 0xD8
_END = 0xD9
_SCAN = 0xDA
_COMMENT = 0xFE
_APP0 = 0xE0
_APP2 = 0xE2
_APP14 = 0xEE
_APP15 = 0xEF
_FRAMES = frozenset({0xC0, 0xC1, 0xC2})
"""Baseline, extended and progressive, all with Huffman coding."""
_OTHER_FRAMES = frozenset({0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF})


class NotPlainJpegError(Exception):
    """The file is no JPEG, or one that a PDF viewer need not be able to show."""


@dataclass(frozen=True, slots=True)
class PlainJpeg:
    """A JPEG without its metadata; ``complete`` is False where the file broke off."""

    data: bytes
    width: int
    height: int
    components: int
    complete: bool


def strip_metadata(data: bytes) -> PlainJpeg:
    """Return the picture of a JPEG file without metadata segments, byte for byte.

    Raises:
        NotPlainJpegError: it is no 8-bit grey or three-colour Huffman-coded JPEG.
    """
    if data[:2] != b"\xff\xd8":
        raise NotPlainJpegError
    kept = [data[:2]]
    width = height = components = 0
    names: set[int] = set()
    adobe = False
    place = 2
    while True:
        marker, place = _next_marker(data, place)
        if marker == _END or marker is None:
            break
        if 0xD0 <= marker <= 0xD7 or marker == 0x01:
            kept.append(bytes((0xFF, marker)))
            continue
        length = int.from_bytes(data[place : place + 2], "big")
        segment = data[place : place + length]
        if length < 2 or len(segment) < length:
            marker = None
            break
        place += length
        if marker in _FRAMES:
            if segment[2] != 8:
                raise NotPlainJpegError
            height, width = (int.from_bytes(segment[i : i + 2], "big") for i in (3, 5))
            components = segment[7]
            names = set(segment[8 : 8 + 3 * components : 3])
            if components not in (1, 3) or _is_plain_rgb(segment, adobe=adobe):
                raise NotPlainJpegError
        elif marker in _OTHER_FRAMES:
            raise NotPlainJpegError
        if _APP0 <= marker <= _APP15 or marker == _COMMENT:
            adobe = adobe or (marker == _APP14 and segment[2:7] == b"Adobe")
            if not _travels(marker, segment):
                continue
        kept.append(bytes((0xFF, marker)) + segment)
        if marker == _SCAN:
            if not names.issuperset(segment[3 : 3 + 2 * segment[2] : 2]):
                raise NotPlainJpegError
            end = _end_of_scan(data, place)
            kept.append(data[place:end])
            place = end
    if not (width and height):
        raise NotPlainJpegError
    kept.append(b"\xff\xd9")
    return PlainJpeg(
        data=b"".join(kept),
        width=width,
        height=height,
        components=components,
        complete=marker == _END,
    )


def _travels(marker: int, segment: bytes) -> bool:
    if marker == _APP2:
        return segment[2:14] == b"ICC_PROFILE\0"
    return marker == _APP14 and segment[2:7] == b"Adobe"


def _is_plain_rgb(segment: bytes, *, adobe: bool) -> bool:
    """Return whether decoders take the components for red, green and blue by their names."""
    names = bytes(segment[8 + 3 * index] for index in range(min(3, segment[7])))
    return names == b"RGB" and not adobe


def _next_marker(data: bytes, place: int) -> tuple[int | None, int]:
    """Return the next marker and the place behind it; None where the file has ended."""
    place = data.find(b"\xff", place)
    while 0 <= place < len(data) - 1:
        if data[place + 1] not in (0x00, 0xFF):
            return data[place + 1], place + 2
        place = data.find(b"\xff", place + 1)
    return None, len(data)


def _end_of_scan(data: bytes, place: int) -> int:
    """Return where the coded picture ends: at the next marker that is no restart."""
    while True:
        place = data.find(b"\xff", place)
        if place < 0 or place + 1 >= len(data):
            return len(data)
        following = data[place + 1]
        if following == 0x00 or 0xD0 <= following <= 0xD7:
            place += 2
        elif following == 0xFF:
            place += 1
        else:
            return place
