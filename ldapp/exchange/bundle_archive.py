"""The ZIP archive of a bundle: written without compression or time, read with distrust."""

from __future__ import annotations

import hashlib
import stat
import unicodedata
import zipfile
from pathlib import Path, PurePosixPath
from types import TracebackType
from typing import IO, Protocol

from ldapp.errors import Fault, InputError
from ldapp.language import said

MOST_ENTRIES = 100_000
MOST_UNPACKED = 200
"""How many times its packed size a compressed entry may have."""
_SMALL = 10 * 1024 * 1024
_CHUNK = 1024 * 1024
_NO_TIME = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a ZIP archive can state."""


class Written(Protocol):
    """What an archive is written to: it takes bytes, one behind the other."""

    def write(self, data: bytes | bytearray | memoryview, /) -> int:
        """Take bytes and return how many."""

    def flush(self) -> None:
        """Let go of what is held back."""


class _Appended:
    """Hands bytes on and never goes back, so that the archive is written straight through."""

    def __init__(self, target: Written) -> None:
        self._target = target

    def write(self, data: bytes | bytearray | memoryview) -> int:
        return self._target.write(data)

    def flush(self) -> None:
        self._target.flush()


class ArchiveWriter:
    """Writes files one behind the other; the same files give the same bytes."""

    def __init__(self, target: Written) -> None:
        # Closing, which the type asks for, is left to whoever opened the file.
        self._archive = zipfile.ZipFile(_Appended(target), "w", zipfile.ZIP_STORED)  # type: ignore[call-overload]

    def __enter__(self) -> ArchiveWriter:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self._archive.close()

    def add(self, name: str, source: IO[bytes], size: int) -> str:
        """Add one file of ``size`` bytes and return its SHA-256."""
        entry = zipfile.ZipInfo(name, _NO_TIME)
        entry.external_attr = (stat.S_IFREG | 0o644) << 16
        entry.create_system = 3
        entry.file_size = size
        digest = hashlib.sha256()
        with self._archive.open(entry, "w", force_zip64=size > 2**31 - 1) as target:
            while chunk := source.read(_CHUNK):
                digest.update(chunk)
                target.write(chunk)
        return digest.hexdigest()


def check_entries(path: Path, archive: zipfile.ZipFile) -> str:
    """Return the one folder in which everything lies.

    Raises:
        InputError: an entry has a path outside it, is a link, stands twice, is locked, lies
            over another, or unpacks to more than a file of its size can.
    """
    entries = archive.infolist()
    faults: list[Fault] = []

    def refuse(entry: zipfile.ZipInfo, wrong: str) -> None:
        name = entry.filename[:200]
        faults.append(
            Fault(
                file=path.name, place=name, wrong=wrong, expected=said("a bundle as it was written")
            )
        )

    if len(entries) > MOST_ENTRIES:
        raise _refusal(
            path,
            said("it holds {number} files", number=len(entries)),
            said("at most {most_entries}", most_entries=MOST_ENTRIES),
        )
    seen: set[str] = set()
    for entry in entries:
        key = unicodedata.normalize("NFC", entry.filename).casefold()
        if not _is_inside(entry.orig_filename):
            refuse(entry, said("the path leads outside the bundle"))
        if key in seen:
            refuse(entry, said("the name stands twice"))
        seen.add(key)
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in {0, stat.S_IFREG}:
            refuse(entry, said("it is a link or another special file"))
        if entry.flag_bits & 1:
            refuse(entry, said("it is locked by a password"))
        if entry.file_size > max(_SMALL, entry.compress_size * MOST_UNPACKED):
            refuse(entry, said("it unpacks to far more than a file of its size can"))
    behind = 0
    for entry in sorted(entries, key=lambda one: one.header_offset):
        if entry.header_offset < behind:
            refuse(entry, said("it lies over another file of the archive"))
        behind = entry.header_offset + entry.compress_size
    if faults:
        raise InputError(tuple(faults))
    roots = {entry.filename.split("/")[0] for entry in entries if "/" in entry.filename}
    if len(roots) != 1 or any("/" not in entry.filename for entry in entries):
        raise _refusal(
            path, said("this is a ZIP file, but no bundle"), said("a bundle as a ZIP file")
        )
    (root,) = roots
    if f"{root}/bagit.txt" not in archive.namelist():
        raise _refusal(
            path, said("this is a ZIP file, but no bundle"), said("a bundle as a ZIP file")
        )
    return root


def _is_inside(name: str) -> bool:
    plain = PurePosixPath(name)
    return (
        bool(name)
        and not plain.is_absolute()
        and not name.endswith("/")
        and not any(part in {"", ".", ".."} for part in name.split("/"))
        and not any(one in name for one in '\\:\0<>"|?*')
        and not any(unicodedata.category(one).startswith("C") for one in name)
    )


def _refusal(path: Path, wrong: str, expected: str) -> InputError:
    return InputError((Fault(file=path.name, place="", wrong=wrong, expected=expected),))


class _Compared:
    """Compares what is written to it with a file, and remembers the first other byte."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._position = 0
        self.differs_at: int | None = None

    def write(self, data: bytes | bytearray | memoryview) -> int:
        wanted = bytes(data)
        if self.differs_at is None:
            found = self._file.read(len(wanted))
            if found != wanted:
                same = next(
                    (index for index, pair in enumerate(zip(found, wanted, strict=False))
                     if pair[0] != pair[1]),
                    min(len(found), len(wanted)),
                )  # fmt: skip
                self.differs_at = self._position + same
            self._position += len(wanted)
        return len(wanted)

    def flush(self) -> None:
        """Nothing is held back."""


def first_other_byte(path: Path, folder: Path) -> int | None:
    """Write the archive of the files in ``folder`` anew and compare it with ``path``.

    Returns the first byte that differs, counted from 0; None where all are the same.
    """
    with zipfile.ZipFile(path) as archive:
        names = [entry.filename for entry in archive.infolist()]
    with path.open("rb") as file:
        compared = _Compared(file)
        with ArchiveWriter(compared) as writer:
            for name in names:
                source = folder / name
                with source.open("rb") as stream:
                    writer.add(name, stream, source.stat().st_size)
        if compared.differs_at is None and file.read(1):
            return file.tell() - 1
    return compared.differs_at
