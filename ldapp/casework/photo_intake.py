"""Taking photos in: copied, hashed, read and looked at, a few at a time, in their order."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from ldapp.casework.counter_codes import shown_code
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.originals import IncomingCopy, KeepsOriginals
from ldapp.casework.photo_previews import keep_preview
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import IssuedCode, Photo, PhotoSource
from ldapp.errors import MachineError, UnreadableFileError
from ldapp.evidence.credentials import with_credentials
from ldapp.evidence.first_look import first_look
from ldapp.evidence.pictures import GRID_EDGE
from ldapp.evidence.read import read_photo
from ldapp.evidence.source import modified
from ldapp.language import said, said_of

Progress = Callable[[int, int, str], None]

PHOTO_SUFFIXES = frozenset(
    [
        *(".jpg", ".jpeg", ".jpe", ".mpo", ".heic", ".heif", ".hif", ".avif", ".tif", ".tiff"),
        *(".png", ".dng", ".arw", ".cr2", ".cr3", ".nef", ".nrw", ".orf", ".raf", ".rw2"),
        *(".pef", ".srw", ".mov", ".mp4", ".m4v"),
    ]
)

CARD_BATCH = 50
"""So many photos of a card come into the claim at once (our choice)."""

_MOST_PROCESSORS = 4
_AHEAD = 2
"""Files under way for each worker: enough that none waits, few enough to stop at once."""


class RefusedFile(NamedTuple):
    """A file that was not taken in, and why."""

    path: Path
    says: str


class Intake(NamedTuple):
    """What came of taking photos in."""

    taken: tuple[Photo, ...]
    already_there: tuple[Path, ...]
    refused: tuple[RefusedFile, ...]
    stopped: str = ""
    """Why a card was not taken in to its end; empty where it was."""


class _Read(NamedTuple):
    """What a worker found out about one file; its original is in the library."""

    facts: PhotoFacts
    shown_code: str
    likeness: str


class _Known(NamedTuple):
    """A file whose bytes are those of a photo of the claim."""

    sha256: str


_Found = _Read | _Known | RefusedFile


def photo_files(paths: Iterable[Path]) -> Iterator[Path]:
    """Yield the files to take in: files as given, and photos in folders, in path order.

    Hidden files and folders are left: systems keep what was deleted from a card in them.
    """
    for path in paths:
        if path.is_dir():
            for folder, names, files in os.walk(path):
                names[:] = sorted(name for name in names if not name.startswith("."))
                for name in sorted(files):
                    if Path(name).suffix.lower() in PHOTO_SUFFIXES and not name.startswith("."):
                        yield Path(folder) / name
        else:
            yield path


def take_in_photos(
    desk: OpenClaim,
    keeper: KeepsOriginals,
    paths: Iterable[Path],
    *,
    source: PhotoSource = "folder",
    count: str | None = None,
    progress: Progress = lambda done, total, text: None,
    previews: Path | None = None,
) -> Intake:
    """Copy photos into the library, read them, and add them to the claim.

    The same photo twice is one photo.  A file that is no photo is refused with a
    sentence, the others come in.  Runs in a worker, and has a few of its own;
    ``progress`` may raise Cancelled.  The small pictures for the grid are kept in
    ``previews``, or in the platform's cache.

    What comes from a folder is one change, and a cancelled one leaves the claim as it was.
    A card is taken in batches of :data:`CARD_BATCH`, each a change of its own: cancelled
    or pulled, it keeps what is in, and taken in again it goes on from there.
    """
    files = list(photo_files(list(paths)))
    before = {photo.facts.sha256: photo.facts.bytes for photo in desk.claim.photos}
    known = set(before)
    reader = _Reader(keeper, frozenset(before.values()), frozenset(before), desk, previews)
    already: list[Path] = []
    refused: list[RefusedFile] = []
    taken: list[Photo] = []
    batch: list[Photo] = []
    stopped = ""
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    with _in_order(reader.read, files) as results:
        for index, path in enumerate(files):
            progress(index, len(files), path.name)
            try:
                found = next(results).result()
            except (OSError, MachineError):
                if source != "card" or not _is_gone(path, files[0]):
                    raise
                found = RefusedFile(path, "")
            if isinstance(found, RefusedFile):
                if source == "card" and _is_gone(path, files[0]):
                    stopped = _pulled(len(taken) + len(batch) + len(already), len(files))
                    break
                refused.append(found)
            elif isinstance(found, _Known) or found.facts.sha256 in known:
                already.append(path)
            else:
                known.add(found.facts.sha256)
                batch.append(_photo(found, source, count, now))
                if source == "card" and len(batch) == CARD_BATCH:
                    _keep(desk, batch)
                    taken += batch
                    batch = []
    if not stopped:
        progress(len(files), len(files), "")
    _keep(desk, batch)
    return Intake((*taken, *batch), tuple(already), tuple(refused), stopped)


class _Reader:
    """Takes single files into the library; several workers use one."""

    def __init__(
        self,
        keeper: KeepsOriginals,
        sizes: frozenset[int],
        hashes: frozenset[str],
        desk: OpenClaim,
        previews: Path | None,
    ) -> None:
        self._keeper = keeper
        self._sizes, self._hashes = sizes, hashes
        self._showings: tuple[IssuedCode, ...] = desk.claim.issued_codes
        self._previews = previews

    def read(self, path: Path) -> _Found:
        """Copy a file in, read it from its copy, and look at its picture once."""
        if (sha256 := self._known_hash(path)) is not None:
            return _Known(sha256)
        try:
            with self._keeper.incoming(path) as copy:
                return self._read(path, copy)
        except UnreadableFileError as error:
            return RefusedFile(path, str(error))

    def _known_hash(self, path: Path) -> str | None:
        """Hash a file where its size is among the known ones; that is rare."""
        try:
            if path.stat().st_size not in self._sizes:
                return None
            with path.open("rb") as file:
                sha256 = hashlib.file_digest(file, "sha256").hexdigest()
        except OSError:
            # Why it cannot be read is said by the reader that follows.
            return None
        return sha256 if sha256 in self._hashes else None

    def _read(self, path: Path, copy: IncomingCopy) -> _Found:
        facts = read_photo(copy.path, path.name, copy.sha256)
        if facts.error is not None:
            return RefusedFile(path, facts.error)
        facts = dataclasses.replace(facts, file_modified=modified(path.stat()))
        look = first_look(copy.path, with_credentials(copy.path, facts))
        code = shown_code(copy.path, facts, self._showings) if self._showings else ""
        copy.keep()
        if look.small:
            keep_preview(look.small, facts.sha256, GRID_EDGE, folder=self._previews)
        return _Read(look.facts, code, look.likeness)


@contextmanager
def _in_order(
    read: Callable[[Path], _Found], files: list[Path]
) -> Iterator[Iterator[Future[_Found]]]:
    """Give the results of a few workers in the order of the files, a few of them ahead."""
    # One more than there are processors: while one waits for the disk the others decode.
    workers = min(os.cpu_count() or 1, _MOST_PROCESSORS) + 1
    pool = ThreadPoolExecutor(workers, "intake")
    waiting: deque[Future[_Found]] = deque()
    rest = iter(files)

    def results() -> Iterator[Future[_Found]]:
        for path in rest:
            waiting.append(pool.submit(read, path))
            if len(waiting) > workers * _AHEAD:
                yield waiting.popleft()
        while waiting:
            yield waiting.popleft()

    try:
        yield results()
    finally:
        pool.shutdown(cancel_futures=True)


def _photo(found: _Read, source: PhotoSource, count: str | None, now: dt.datetime) -> Photo:
    facts = found.facts
    return Photo(
        id=new_id(),
        name=facts.file_name,
        path=f"photos/{facts.file_name}",
        facts=facts,
        source=source,
        taken_in=now,
        file_modified=facts.file_modified,
        count=count,
        shown_code=found.shown_code,
        likeness=found.likeness,
    )


def _keep(desk: OpenClaim, photos: Iterable[Photo]) -> None:
    new = tuple(photos)
    if new:
        desk.change(
            said_of(len(new), "Take in {count} photo", "Take in {count} photos"),
            lambda claim: dataclasses.replace(claim, photos=(*claim.photos, *new)),
        )


def _is_gone(*paths: Path) -> bool:
    """Whether none of these files can be found: the card is out, not one file deleted."""
    for path in paths:
        try:
            path.stat()
        except OSError:
            continue
        return False
    return True


def _pulled(there: int, of: int) -> str:
    return said(
        "The card was pulled: {there} of its {of} photos are in the claim. Put "
        "it back and take it in again; it goes on where it stopped.",
        there=there,
        of=of,
    )
