"""Originals: photos and documents kept once, under the hash of their bytes.

A file ``originals/ab/cd…`` has the SHA-256 ``abcd…``.  It is written beside, brought to
the disk, made read-only and then renamed, so that a name that exists always has its
whole content; after that it is never written again.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import re
import stat
import threading
import time
import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import BinaryIO, NamedTuple

from ldapp.errors import LdappError, MachineError, UnreadableFileError
from ldapp.language import said
from ldapp.store.faults import from_system

BLOCK = 1 << 20
"""Bytes read at a time: large enough that hashing is not interrupted often."""
MOST_HELD = 32 << 20
"""A copy up to this size is compared with what was read, byte for byte; a larger one by its
hash, so that memory stays bounded."""
INCOMING = ".incoming"
ABANDONED_AFTER_S = 24 * 3600
"""A file that is still incoming after this time belongs to a program that was killed."""

_SHA256 = re.compile(r"[0-9a-f]{64}")

Progress = Callable[[int, int], None]
"""Called with how many are done and how many there are; may raise Cancelled."""


class StoredOriginal(NamedTuple):
    """What was put in: its hash and its size in bytes."""

    sha256: str
    bytes: int


class Incoming(NamedTuple):
    """A file on its way in: a copy that is no original yet."""

    path: Path
    """The copy, to be read only."""
    sha256: str
    """Of what was read from the source."""
    bytes: int
    keep: Callable[[], StoredOriginal]
    """Bring the copy to the disk and make it an original."""


class KnownOriginal(NamedTuple):
    """An original that claims refer to, and how they call it."""

    sha256: str
    name: str


def _no_progress(_done: int, _of: int) -> None:
    return None


class Originals:
    """The originals of one library; any thread may use it."""

    def __init__(self, folder: Path, known: Callable[[], Iterable[KnownOriginal]]) -> None:
        """``known`` gives the originals that must be there, for :meth:`check`."""
        self.folder = folder
        self._known = known
        self._folders_made: set[str] = set()
        self._lock = threading.Lock()

    @contextlib.contextmanager
    def incoming(self, path: Path) -> Iterator[Incoming]:
        """Copy a file beside the originals, hashing it in the same read, and verify the copy.

        Within the block the copy may be read; it is an original once it was kept, and
        gone after the block if it was not.

        Raises:
            UnreadableFileError: the file cannot be read.
            MachineError: the originals cannot be written, or give other bytes back.
        """
        self._require_folder()
        try:
            if not stat.S_ISREG(path.stat().st_mode):
                raise OSError(errno.EINVAL, said("it is not an ordinary file"))
            source = path.open("rb", buffering=0)
        except OSError as error:
            raise _unreadable(path, error) from error
        with source, self._copied(lambda: _read(source, path)) as copy:
            yield copy

    def put_file(self, path: Path) -> StoredOriginal:
        """Take in a copy of a file, hashing it in the same read; twice the same is one.

        Raises:
            MachineError: the file cannot be read or the originals cannot be written.
        """
        with self.incoming(path) as copy:
            return copy.keep()

    def put_bytes(self, content: bytes) -> StoredOriginal:
        """Take in a file whose content is at hand."""
        self._require_folder()
        blocks = iter((content, b""))
        with self._copied(lambda: next(blocks)) as copy:
            return copy.keep()

    @contextlib.contextmanager
    def _copied(self, read: Callable[[], bytes]) -> Iterator[Incoming]:
        incoming = self.folder / INCOMING / f"{uuid.uuid4().hex}.part"
        digest = hashlib.sha256()
        held: list[bytes] = []
        size = 0
        try:
            try:
                self._make_folder(incoming.parent)
                with incoming.open("xb", buffering=0) as target:
                    while block := read():
                        digest.update(block)
                        size += len(block)
                        if size <= MOST_HELD:
                            held.append(block)
                        _write_all(target, block)
                stored = StoredOriginal(digest.hexdigest(), size)
                whole = _same(incoming, held) if size <= MOST_HELD else _hash_of(incoming)
            except OSError as error:
                raise from_system(error, self.folder) from error
            if whole not in (True, stored.sha256):
                raise MachineError(
                    said(
                        "What was written into {folder} is not what was to be written: the disk "
                        "gives other bytes back. Check the disk before you go on.",
                        folder=self.folder,
                    )
                )
            held.clear()
            yield Incoming(incoming, *stored, keep=lambda: self._kept(incoming, stored))
        finally:
            with contextlib.suppress(OSError):
                incoming.unlink(missing_ok=True)

    def _kept(self, incoming: Path, stored: StoredOriginal) -> StoredOriginal:
        try:
            if not self._already_there(stored):
                with incoming.open("r+b") as copy:
                    os.fsync(copy.fileno())
                incoming.chmod(0o444)
                self._keep(incoming, stored)
        except OSError as error:
            raise from_system(error, self.folder) from error
        return stored

    def _keep(self, incoming: Path, stored: StoredOriginal) -> None:
        path = self._place(stored.sha256)
        made = False
        with self._lock:
            if path.parent.name not in self._folders_made:
                made = not path.parent.is_dir()
                self._make_folder(path.parent)
                self._folders_made.add(path.parent.name)
        if made:
            _to_disk(self.folder)
        incoming.replace(path)
        _to_disk(path.parent)

    def _make_folder(self, path: Path) -> None:
        """Make a folder in which everybody may write who may write where the originals lie."""
        if path.is_dir():
            return
        path.mkdir(exist_ok=True)
        # A colleague may have made it at the same moment: then it is the colleague's to open.
        with contextlib.suppress(PermissionError):
            path.chmod(stat.S_IMODE(self.folder.stat().st_mode))

    def _already_there(self, stored: StoredOriginal) -> bool:
        path = self._place(stored.sha256)
        if not path.exists():
            return False
        if _hash_of(path) != stored.sha256:
            raise MachineError(
                said(
                    "The original {path} was changed on the disk after it was taken in. Move "
                    "that file to another folder and take this one in again.",
                    path=path,
                )
            )
        return True

    def _require_folder(self) -> None:
        if not self.folder.is_dir():
            raise self._gone()

    def _gone(self) -> MachineError:
        return MachineError(
            said(
                "The folder of originals {folder} is gone. Connect its drive or put it "
                "back from a backup; to go on without the old originals, make an empty "
                "folder of that name.",
                folder=self.folder,
            )
        )

    def _place(self, sha256: str) -> Path:
        if not _SHA256.fullmatch(sha256):
            raise LdappError(
                said(
                    "{text!r} is no SHA-256, so there is no original for it. Take the "
                    "photo or document in again.",
                    text=sha256,
                )
            )
        return self.folder / sha256[:2] / sha256[2:]

    def has(self, sha256: str) -> bool:
        """Whether the original is there."""
        return bool(_SHA256.fullmatch(sha256)) and self._place(sha256).is_file()

    def path_of(self, sha256: str) -> Path:
        """Return the file of an original, to be read only.

        Raises:
            LdappError: it is not there.
        """
        path = self._place(sha256)
        if not path.is_file():
            self._require_folder()
            raise MachineError(
                said(
                    "The original {beginning}… is missing: {path}. Put it back from a backup, "
                    "or take the photo or document in again.",
                    beginning=sha256[:12],
                    path=path,
                )
            )
        return path

    path = path_of

    def open(self, sha256: str) -> BinaryIO:
        """Open an original for reading; raises LdappError where it is not there."""
        path = self.path_of(sha256)
        try:
            return path.open("rb")
        except OSError as error:
            raise _unreadable(path, error) from error

    def check(self, progress: Progress = _no_progress) -> tuple[str, ...]:
        """Read every original again; return a sentence for each that is changed or missing."""
        self._require_folder()
        names: dict[str, list[str]] = {}
        for sha256, name in self._known():
            if _SHA256.fullmatch(sha256):
                names.setdefault(sha256, []).append(name)
        present = self._present()
        found: list[str] = []
        total = len(present) + len(names.keys() - present.keys())
        for done, (sha256, path) in enumerate(present.items()):
            progress(done, total)
            try:
                unchanged = _hash_of(path) == sha256
            except OSError as error:
                found.append(
                    said(
                        "The original {name} cannot be read: {reason}.",
                        name=_named(sha256, names),
                        reason=error,
                    )
                )
                continue
            if not unchanged:
                found.append(
                    said(
                        "The original {name} was changed after it was taken in: {path}.",
                        name=_named(sha256, names),
                        path=path,
                    )
                )
        found.extend(
            said("The original {name} is missing.", name=_named(sha256, names))
            for sha256 in names
            if sha256 not in present
        )
        progress(total, total)
        return tuple(found)

    def _present(self) -> dict[str, Path]:
        return {
            folder.name + file.name: file
            for folder in sorted(self.folder.iterdir())
            if len(folder.name) == 2 and folder.is_dir()
            for file in sorted(folder.iterdir())
            if _SHA256.fullmatch(folder.name + file.name)
        }

    def clear_abandoned(self) -> None:
        """Remove what a killed program left half written."""
        incoming = self.folder / INCOMING
        oldest = time.time() - ABANDONED_AFTER_S
        with contextlib.suppress(OSError):
            for path in incoming.glob("*.part"):
                if path.stat().st_mtime < oldest:
                    path.unlink(missing_ok=True)


def _named(sha256: str, names: Mapping[str, list[str]]) -> str:
    called = ", ".join(dict.fromkeys(name for name in names.get(sha256, ()) if name))
    return f"{called} ({sha256[:12]}…)" if called else f"{sha256[:12]}…"


def _read(source: BinaryIO, path: Path) -> bytes:
    try:
        return source.read(BLOCK)
    except OSError as error:
        raise _unreadable(path, error) from error


def _write_all(target: BinaryIO, block: bytes) -> None:
    rest = memoryview(block)
    while rest:
        rest = rest[target.write(rest) :]


def _unreadable(path: Path, error: OSError) -> UnreadableFileError:
    return UnreadableFileError(
        said(
            "{path} cannot be read: {reason}. Check that it is there and that you may read it.",
            path=path,
            reason=error.strerror or error,
        )
    )


def _same(path: Path, blocks: Iterable[bytes]) -> bool:
    """Whether a file holds just these blocks."""
    with path.open("rb", buffering=0) as copy:
        return all(copy.read(len(block)) == block for block in blocks) and not copy.read(1)


def _hash_of(path: Path) -> str:
    with path.open("rb") as source:
        return hashlib.file_digest(source, "sha256").hexdigest()


def _to_disk(folder: Path) -> None:
    """Bring a folder's entries to the disk, where the system can do that."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
