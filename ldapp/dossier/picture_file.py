"""Coded pictures on disk while a dossier is made, so that memory holds one at a time.

Pages are drawn with stand-ins.  The pictures are then appended to the drawn file as an
incremental update (ISO 32000-1, 7.5.6), from file to file, each in the place of its
stand-in; whoever saves that file once more gets it whole and in order.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, NamedTuple

import pikepdf

STAND_IN = b"picture "
"""How the stream of a stand-in begins; the name of its picture follows."""

_AT_ONCE = 1 << 20
_XREF_PLACE = re.compile(rb"startxref\s+(\d+)\s+%%EOF\s*\Z")


@dataclass(frozen=True, slots=True)
class CodedPicture:
    """A picture as a JPEG file; ``turn`` is the Exif orientation still to be made."""

    data: bytes
    width: int
    height: int
    components: int
    turn: int
    passed_through: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture that is kept in a :class:`PictureFile` under the SHA-256 of its data."""

    name: str
    bytes: int
    width: int
    height: int
    components: int
    turn: int
    passed_through: bool

    @property
    def upright_size(self) -> tuple[int, int]:
        """Width and height as seen, in pixels."""
        return (self.height, self.width) if self.turn >= 5 else (self.width, self.height)


class _Kept(NamedTuple):
    start: int
    bytes: int


class PictureFile:
    """Pictures written one after the other; each is kept once, however often it is put."""

    def __init__(self, path: Path) -> None:
        self._file: BinaryIO = path.open("w+b")
        self._kept: dict[str, _Kept] = {}
        self._end = 0

    def put(self, coded: CodedPicture) -> Picture:
        """Keep a picture and return what the pages need to know of it.

        Raises:
            OSError: there is no room for it.
        """
        name = hashlib.sha256(coded.data).hexdigest()
        if name not in self._kept:
            self._file.seek(self._end)
            self._file.write(coded.data)
            self._kept[name] = _Kept(self._end, len(coded.data))
            self._end += len(coded.data)
        return Picture(
            name=name,
            bytes=len(coded.data),
            width=coded.width,
            height=coded.height,
            components=coded.components,
            turn=coded.turn,
            passed_through=coded.passed_through,
        )

    def mark(self) -> int:
        """Return how many pictures there are, to come :meth:`back_to`."""
        return len(self._kept)

    def back_to(self, mark: int) -> None:
        """Forget the pictures that were put after a mark."""
        self._kept = dict(list(self._kept.items())[:mark])
        self._end = max((one.start + one.bytes for one in self._kept.values()), default=0)

    def copy_to(self, target: BinaryIO, name: str) -> None:
        """Copy the data of one picture to another file."""
        start, left = self._kept[name]
        self._file.seek(start)
        while left:
            data = self._file.read(min(left, _AT_ONCE))
            target.write(data)
            left -= len(data)

    def bytes_of(self, name: str) -> int:
        """Return how many bytes a picture has."""
        return self._kept[name].bytes

    def close(self) -> None:
        """Close the file; whoever made it removes it."""
        self._file.close()


class _StandIn(NamedTuple):
    number: int
    name: str
    words: bytes
    """The entries of the image that are the same for the picture."""


def append_pictures(drawn: Path, pictures: PictureFile) -> None:
    """Append to a drawn PDF every picture that one of its images stands in for."""
    with pikepdf.open(drawn) as pdf:
        found = _stand_ins(pdf)
        size = int(pdf.trailer.Size)
        trailer = {
            name: pdf.trailer[name].objgen for name in ("/Root", "/Info") if name in pdf.trailer
        }
    if not found:
        return
    with drawn.open("r+b") as file:
        before = _place_of_references(file)
        file.seek(0, 2)
        places: dict[int, int] = {}
        for one in found:
            places[one.number] = file.tell()
            file.write(b"%d 0 obj\n<<%b" % (one.number, one.words))
            file.write(b"/Length %d>>\nstream\n" % pictures.bytes_of(one.name))
            pictures.copy_to(file, one.name)
            file.write(b"\nendstream\nendobj\n")
        here = file.tell()
        file.write(b"xref\n")
        for number, place in sorted(places.items()):
            file.write(b"%d 1\n%010d 00000 n \n" % (number, place))
        file.write(b"trailer\n<</Size %d/Prev %d" % (size, before))
        for name, (number, generation) in trailer.items():
            file.write(b"%b %d %d R" % (name.encode("ascii"), number, generation))
        file.write(b">>\nstartxref\n%d\n%%%%EOF\n" % here)


def _place_of_references(file: BinaryIO) -> int:
    file.seek(0, 2)
    file.seek(max(0, file.tell() - 64))
    found = _XREF_PLACE.search(file.read())
    assert found is not None
    return int(found[1])


def _stand_ins(pdf: pikepdf.Pdf) -> list[_StandIn]:
    found: dict[int, _StandIn] = {}
    for page in pdf.pages:
        drawn: Any = page.obj.get("/Resources", pikepdf.Dictionary()).get("/XObject", {})
        for one in drawn.values():
            number = one.objgen[0]
            if number in found or one.get("/Subtype") != pikepdf.Name.Image:
                continue
            says = one.read_raw_bytes()
            if says.startswith(STAND_IN):
                words = b"/Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8" % (
                    int(one.Width),
                    int(one.Height),
                )
                colours = str(one.ColorSpace).encode("ascii")
                words += b"/ColorSpace%b/Filter/DCTDecode" % colours
                found[number] = _StandIn(number, says[len(STAND_IN) :].decode("ascii"), words)
    return list(found.values())
