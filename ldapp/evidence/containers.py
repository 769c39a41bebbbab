"""The container of a file, decided by its first bytes and never by its name."""

from __future__ import annotations

import struct
from typing import Final

from ldapp.evidence.exif_block import (
    SUB_DIRECTORIES,
    Directory,
    TiffBlock,
)
from ldapp.evidence.found import CameraData, Found
from ldapp.evidence.heif import read_heif
from ldapp.evidence.jpeg import read_jpeg
from ldapp.evidence.movie import read_boxed_raw, read_movie
from ldapp.evidence.png import read_png, read_webp
from ldapp.evidence.source import Bytes, Part

_JPEG_INSIDE: Final = 0x002E
_STRIPS, _STRIP_LENGTHS = 0x0111, 0x0117
_TILES, _TILE_LENGTHS = 0x0144, 0x0145
_ELSEWHERE: Final = 0xFFFFFFFF
"""Where the picture data of a raw file lies at a place that a tag of its own states."""

_MOVIE_BOXES: Final = (b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot")
_HEIF_BRANDS: Final = {
    b"heic": "image/heic", b"heix": "image/heic", b"heim": "image/heic", b"heis": "image/heic",
    b"hevc": "image/heic-sequence", b"hevx": "image/heic-sequence",
    b"mif1": "image/heif", b"mif2": "image/heif", b"msf1": "image/heif-sequence",
    b"avif": "image/avif", b"avis": "image/avif",
}  # fmt: skip


def read_container(data: Bytes) -> Found | None:
    """Return what the container holds; None where the first bytes are no known ones."""
    head = data.read(0, 64)
    if head.startswith(b"\xff\xd8\xff"):
        return read_jpeg(data)
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return read_png(data)
    if head[4:8] == b"ftyp":
        return _by_brand(data, head)
    if head[4:8] in _MOVIE_BOXES:
        return read_movie(data, "video/quicktime")
    if head.startswith(b"RIFF") and head[8:12] == b"WEBP":
        return read_webp(data)
    if head.startswith(b"FUJIFILMCCD-RAW"):
        return _read_raf(data)
    if head[:2] in (b"II", b"MM"):
        return _read_tiff(data, head)
    if head[:6] in (b"GIF87a", b"GIF89a") and len(head) >= 10:
        width, height = struct.unpack("<HH", head[6:10])
        return Found(kind="image/gif", width=width, height=height)
    return None


def _by_brand(data: Bytes, head: bytes) -> Found:
    brand = head[8:12]
    (size,) = struct.unpack(">I", head[:4])
    compatible = {head[at : at + 4] for at in range(16, min(size, len(head)), 4)}
    if brand == b"crx ":
        return read_boxed_raw(data)
    if brand in _HEIF_BRANDS:
        return read_heif(data, _HEIF_BRANDS[brand])
    if brand == b"qt  ":
        return read_movie(data, "video/quicktime")
    for other, kind in _HEIF_BRANDS.items():
        if other in compatible and not brand.startswith((b"iso", b"mp4")):
            return read_heif(data, kind)
    if brand.startswith(b"3g"):
        return read_movie(data, "video/3gpp")
    return read_movie(data, "video/mp4")


def _read_raf(data: Bytes) -> Found:
    """Read a raw file that carries a whole JPEG, at the place its header states."""
    places = data.read(84, 8)
    offset, length = struct.unpack(">II", places) if len(places) == 8 else (0, 0)
    found = read_jpeg(Part(data, offset, length), offset)
    found.complete = found.complete and offset + length <= data.size
    found.kind = "image/x-fujifilm-raf"
    found.has_jfif = False
    found.first_segment = found.quantisation = None
    if found.complete:
        found.jpeg_inside = offset, length
    return found


def _read_tiff(data: Bytes, head: bytes) -> Found | None:
    found = Found(kind="image/tiff")
    if not found.add_block(data, 0):
        return None
    camera = found.cameras[0]
    if camera.main is None or not camera.main[1]:
        found.complete = False
        return found
    block, main = camera.main
    found.exif_segments = 1 if camera.exif else 0
    found.xmp = _xmp(block, main)
    found.kind = _tiff_kind(head, block, main)
    found.width, found.height = block.integer(main, 0x100), block.integer(main, 0x101)
    found.complete = _all_inside(block, main)
    if found.kind != "image/tiff":
        found.jpeg_inside = _largest_jpeg(data, block, main, camera)
    if found.kind == "image/x-panasonic-rw2":
        _add_jpeg_inside(data, block, main, found, camera)
    return found


def _largest_jpeg(
    data: Bytes, block: TiffBlock, main: Directory, camera: CameraData
) -> tuple[int, int] | None:
    """Find the largest whole JPEG that a raw file carries for showing."""
    directories = [main, camera.preview[1] if camera.preview else {}]
    directories += [block.directory(place)[0] for place in block.integers(main, SUB_DIRECTORIES, 8)]
    places = [
        (offset, length)
        for directory in directories
        for at, size in ((0x0201, 0x0202), (_STRIPS, _STRIP_LENGTHS))
        if (offset := block.integer(directory, at)) and (length := block.integer(directory, size))
    ]
    if (entry := main.get(_JPEG_INSIDE)) is not None:
        places.append((entry.offset, entry.count))
    whole = [
        (length, offset)
        for offset, length in places
        if length > 0 and offset + length <= data.size and data.read(offset, 3) == b"\xff\xd8\xff"
    ]
    if not whole:
        return None
    length, offset = max(whole)
    return offset, length


def _xmp(block: TiffBlock, main: Directory) -> bytes | None:
    entry = main.get(0x02BC)
    if entry is None or entry.kind not in (1, 7):
        return None
    return block.bytes_of(entry, 1 << 20) or None


def _tiff_kind(head: bytes, block: TiffBlock, main: Directory) -> str:
    """Tell a camera's raw file from a TIFF by what it holds."""
    if head[2:4] == b"U\0":
        return "image/x-panasonic-rw2"
    if head[2:4] in (b"RO", b"RS", b"OR", b"SR"):
        return "image/x-olympus-orf"
    if head[8:10] == b"CR" and head[10:11] == b"\2":
        return "image/x-canon-cr2"
    if 0xC612 in main:
        return "image/x-adobe-dng"
    make = (block.text(main, 0x010F) or "").upper()
    compression = block.integer(main, 0x0103)
    if make.startswith("SONY") and 0xC634 in main:
        return "image/x-sony-arw"
    if make.startswith("NIKON") and (SUB_DIRECTORIES in main or compression == 34713):
        return "image/x-nikon-nef"
    if make.startswith(("PENTAX", "RICOH")) and compression == 65535:
        return "image/x-pentax-pef"
    return "image/tiff"


def _all_inside(block: TiffBlock, main: Directory) -> bool:
    """Say whether all picture data of the main directory lies inside the file."""
    if block.broken:
        return False
    for places, lengths in ((_STRIPS, _STRIP_LENGTHS), (_TILES, _TILE_LENGTHS)):
        pairs = zip(
            block.integers(main, places, 4000), block.integers(main, lengths, 4000), strict=False
        )
        if any(at + length > block.data.size for at, length in pairs if at != _ELSEWHERE):
            return False
    return True


def _add_jpeg_inside(
    data: Bytes, block: TiffBlock, main: Directory, found: Found, camera: CameraData
) -> None:
    """Fill what the raw file's own directories lack from the JPEG inside."""
    entry = main.get(_JPEG_INSIDE)
    if entry is None:
        return
    inner = read_jpeg(Part(data, entry.offset, entry.count), entry.offset)
    if not inner.cameras:
        return
    other = inner.cameras[0]
    camera.exif = other.exif or camera.exif
    camera.satellite = camera.satellite or other.satellite
    found.cameras.append(other)
