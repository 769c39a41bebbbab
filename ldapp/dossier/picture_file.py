"""Coded pictures on disk while a dossier is made, so that memory holds one at a time.

The file is a PDF without pages: each picture is an image stream of it.  A volume takes a
picture over by copying the stream from file to file, never through memory.
Source of the file structure: ISO 32000-1, 7.5 and 8.9.5.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import pikepdf

_CATALOG_AND_NO_PAGES = (
    b"1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n",
    b"2 0 obj\n<</Type/Pages/Kids[]/Count 0>>\nendobj\n",
)


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


class PictureFile:
    """Pictures written one after the other; each is kept once, however often it is put."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: BinaryIO = path.open("w+b")
        self._starts: list[int] = []
        self._numbers: dict[str, int] = {}
        self._file.write(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
        for one in _CATALOG_AND_NO_PAGES:
            self._starts.append(self._file.tell())
            self._file.write(one)

    def put(self, coded: CodedPicture) -> Picture:
        """Keep a picture and return what the pages need to know of it.

        Raises:
            OSError: there is no room for it.
        """
        name = hashlib.sha256(coded.data).hexdigest()
        if name not in self._numbers:
            self._starts.append(self._file.tell())
            self._numbers[name] = len(self._starts)
            colours = "DeviceGray" if coded.components == 1 else "DeviceRGB"
            head = (
                f"{len(self._starts)} 0 obj\n<</Type/XObject/Subtype/Image/Width {coded.width}"
                f"/Height {coded.height}/BitsPerComponent 8/ColorSpace/{colours}"
                f"/Filter/DCTDecode/Length {len(coded.data)}>>\nstream\n"
            )
            self._file.write(head.encode("ascii"))
            self._file.write(coded.data)
            self._file.write(b"\nendstream\nendobj\n")
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
        return len(self._numbers)

    def back_to(self, mark: int) -> None:
        """Forget the pictures that were put after a mark."""
        kept = dict(list(self._numbers.items())[:mark])
        if len(kept) == len(self._numbers):
            return
        first_gone = len(_CATALOG_AND_NO_PAGES) + mark
        self._file.seek(self._starts[first_gone])
        self._file.truncate()
        del self._starts[first_gone:]
        self._numbers = kept

    @contextmanager
    def as_streams(self) -> Iterator[PictureStreams]:
        """Open what has been put for copying; the streams are read when a volume is saved."""
        end = self._file.tell()
        self._file.write(f"xref\n0 {len(self._starts) + 1}\n0000000000 65535 f \n".encode("ascii"))
        for start in self._starts:
            self._file.write(f"{start:010d} 00000 n \n".encode("ascii"))
        trailer = f"trailer\n<</Size {len(self._starts) + 1}/Root 1 0 R>>\nstartxref\n{end}\n"
        self._file.write(trailer.encode("ascii") + b"%%EOF\n")
        self._file.flush()
        try:
            # Not mapped into memory: a mapped file counts as memory while it is copied.
            with pikepdf.open(self._path, access_mode=pikepdf.AccessMode.stream) as pdf:
                yield PictureStreams(pdf, self._numbers)
        finally:
            self._file.seek(end)
            self._file.truncate()

    def close(self) -> None:
        """Close the file; whoever made it removes it."""
        self._file.close()


class PictureStreams:
    """The pictures of a file, to be copied into other PDFs by name."""

    def __init__(self, pdf: pikepdf.Pdf, numbers: dict[str, int]) -> None:
        self._pdf = pdf
        self._numbers = numbers

    def copied_into(self, pdf: pikepdf.Pdf, name: str) -> pikepdf.Object:
        """Return the image of that name as an object of ``pdf``."""
        return pdf.copy_foreign(self._pdf.get_object(self._numbers[name], 0))
