"""What a person does with photos: take in, look at, pair, correct a clock."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import os
import tempfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple, Protocol

import platformdirs

from ldapp.casework.counter_codes import look_into
from ldapp.casework.edit import find, get, put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.originals import Originals
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import (
    ClockCorrection,
    IssuedCode,
    Marking,
    Pairing,
    Photo,
    PhotoSource,
)
from ldapp.errors import MachineError
from ldapp.evidence.closely import read_closely
from ldapp.evidence.pictures import preview_jpeg as draw_preview

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


class KeepsOriginals(Protocol):
    """Takes originals in: the library."""

    def put_file(self, path: Path) -> Any:
        """Copy a file in under its hash; returns its ``sha256`` and ``bytes``."""
        ...


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


def photo_files(paths: Iterable[Path]) -> Iterator[Path]:
    """Yield the files to take in: files as given, and photos in folders, in path order."""
    for path in paths:
        if path.is_dir():
            for folder, names, files in os.walk(path):
                names.sort()
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
) -> Intake:
    """Copy photos into the library, read them, and add them to the claim.

    The same photo twice is one photo.  A file that is no photo is refused with a
    sentence, the others come in.  Runs in a worker; ``progress`` may raise Cancelled.

    What comes from a folder is one change, and a cancelled one leaves the claim as it was.
    A card is taken in batches of :data:`CARD_BATCH`, each a change of its own: cancelled
    or pulled, it keeps what is in, and taken in again it goes on from there.
    """
    roots = list(paths)
    files = list(photo_files(roots))
    before = _Known(desk.claim.photos)
    already: list[Path] = []
    refused: list[RefusedFile] = []
    taken: list[Photo] = []
    batch: list[Photo] = []
    stopped = ""
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    for index, path in enumerate(files):
        progress(index, len(files), path.name)
        try:
            found = before.has_file(path) or _take_in(
                keeper, path, before, _photo_of(source, count, now), desk.claim.issued_codes
            )
        except (OSError, MachineError):
            if source != "card" or not _is_gone(path, files[0]):
                raise
            found = RefusedFile(path, "")
        if isinstance(found, RefusedFile):
            if source == "card" and _is_gone(path, files[0]):
                stopped = _pulled(len(taken) + len(batch) + len(already), len(files))
                break
            refused.append(found)
        elif isinstance(found, Photo):
            batch.append(found)
            if source == "card" and len(batch) == CARD_BATCH:
                _keep(desk, batch)
                taken += batch
                batch = []
        else:
            already.append(path)
    if not stopped:
        progress(len(files), len(files), "")
    _keep(desk, batch)
    return Intake((*taken, *batch), tuple(already), tuple(refused), stopped)


class _Known:
    """The originals that a claim has; a file is hashed only where its size is among them."""

    def __init__(self, photos: Iterable[Photo]) -> None:
        self.hashes = {photo.facts.sha256 for photo in photos}
        self._sizes = {photo.facts.bytes for photo in photos}

    def add(self, facts: PhotoFacts) -> None:
        self.hashes.add(facts.sha256)
        self._sizes.add(facts.bytes)

    def has_file(self, path: Path) -> bool:
        try:
            if path.stat().st_size not in self._sizes:
                return False
            with path.open("rb") as file:
                return hashlib.file_digest(file, "sha256").hexdigest() in self.hashes
        except OSError:
            # Why it cannot be read is said by the reader that follows.
            return False


def _take_in(
    keeper: KeepsOriginals,
    path: Path,
    known: _Known,
    make: Callable[[PhotoFacts], Photo],
    showings: Iterable[IssuedCode],
) -> Photo | RefusedFile | bool:
    """Return the photo, or why it is refused, or True where it is in the claim already."""
    facts = read_closely(path)
    if facts.error is not None:
        return RefusedFile(path, facts.error)
    if facts.sha256 in known.hashes:
        return True
    stored = keeper.put_file(path)
    if stored.sha256 != facts.sha256:
        return RefusedFile(path, f"{path.name} changed while it was read. Take it in again.")
    look = look_into(path, facts, showings)
    known.add(facts)
    return dataclasses.replace(make(facts), shown_code=look.shown_code, likeness=look.likeness)


def _keep(desk: OpenClaim, photos: Iterable[Photo]) -> None:
    new = tuple(photos)
    if new:
        desk.change(
            f"Take in {len(new)} photo{'s' if len(new) != 1 else ''}",
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
    return (
        f"The card was pulled: {there} of its {of} photos are in the claim. Put it back and take "
        "it in again; it goes on where it stopped."
    )


def _photo_of(
    source: PhotoSource, count: str | None, now: dt.datetime
) -> Callable[[PhotoFacts], Photo]:
    return lambda facts: Photo(
        id=new_id(),
        name=facts.file_name,
        path=f"photos/{facts.file_name}",
        facts=facts,
        source=source,
        taken_in=now,
        file_modified=facts.file_modified,
        count=count,
    )


def put_photo(desk: OpenClaim, photo: Photo, label: str = "") -> bool:
    """Change what people said about a photo; the original stays untouched."""
    return desk.change(
        label or f"Photo {photo.name}",
        lambda claim: dataclasses.replace(claim, photos=put(claim.photos, photo)),
    )


def remove_photos(desk: OpenClaim, photos: Iterable[str]) -> bool:
    """Take photos out of the claim; the originals stay in the library."""
    ids = set(photos)
    return desk.change(
        f"Remove {len(ids)} photo{'s' if len(ids) != 1 else ''}",
        lambda claim: dataclasses.replace(claim, photos=without(claim.photos, ids)),
    )


def _change_photos(
    desk: OpenClaim, photos: Iterable[str], label: str, make: Callable[[Photo], Photo]
) -> bool:
    ids = set(photos)
    return desk.change(
        label,
        lambda claim: dataclasses.replace(
            claim, photos=tuple(make(one) if one.id in ids else one for one in claim.photos)
        ),
    )


def pair(desk: OpenClaim, photos: Iterable[str], pairing: Pairing) -> bool:
    """Say that these photos show a kit line (at a count, for a finding)."""
    line = get(desk.claim.kit, pairing.line, "kit line")
    ids = list(photos)

    def make(photo: Photo) -> Photo:
        others = tuple(
            one for one in photo.pairings if (one.line, one.count) != (pairing.line, pairing.count)
        )
        return dataclasses.replace(photo, pairings=(*others, pairing))

    return _change_photos(
        desk,
        ids,
        f"Pair {len(ids)} photo{'s' if len(ids) != 1 else ''} with line {line.number}",
        make,
    )


def pair_each(desk: OpenClaim, pairings: Iterable[tuple[str, Pairing]], label: str) -> bool:
    """Accept several suggestions as one change."""
    by_photo: dict[str, list[Pairing]] = {}
    for photo, pairing in pairings:
        by_photo.setdefault(photo, []).append(pairing)

    def make(photo: Photo) -> Photo:
        new = by_photo[photo.id]
        keys = {(one.line, one.count) for one in new}
        others = tuple(one for one in photo.pairings if (one.line, one.count) not in keys)
        return dataclasses.replace(photo, pairings=(*others, *new))

    return _change_photos(desk, by_photo, label, make)


def unpair(desk: OpenClaim, photos: Iterable[str], line: str | None = None) -> bool:
    """Take back that these photos show ``line``, or any line."""
    return _change_photos(
        desk,
        photos,
        "Unpair",
        lambda photo: dataclasses.replace(
            photo,
            pairings=tuple(one for one in photo.pairings if line is not None and one.line != line),
        ),
    )


def set_count(desk: OpenClaim, photos: Iterable[str], count: str | None) -> bool:
    """Say at which count these photos were taken, in their pairings too."""
    ids = list(photos)
    return _change_photos(
        desk,
        ids,
        f"Count of {len(ids)} photo{'s' if len(ids) != 1 else ''}",
        lambda photo: dataclasses.replace(
            photo,
            count=count,
            pairings=tuple(dataclasses.replace(one, count=count) for one in photo.pairings),
        ),
    )


def set_left_out(desk: OpenClaim, photos: Iterable[str], left_out: bool) -> bool:
    """Leave photos out of dossiers, or take them in again."""
    return _change_photos(
        desk,
        photos,
        "Leave out of the dossier" if left_out else "Put into the dossier",
        lambda photo: dataclasses.replace(photo, left_out=left_out),
    )


def set_withhold_position(desk: OpenClaim, photos: Iterable[str], withhold: bool) -> bool:
    """Keep the position of photos out of what is sent, or let it travel along."""
    return _change_photos(
        desk,
        photos,
        "Withhold position" if withhold else "Send position",
        lambda photo: dataclasses.replace(photo, withhold_position=withhold),
    )


def turn(desk: OpenClaim, photos: Iterable[str], quarter_turns: int) -> bool:
    """Turn photos clockwise by quarters, beside the original; markings turn with them."""

    def make(photo: Photo) -> Photo:
        return dataclasses.replace(
            photo,
            quarter_turns=(photo.quarter_turns + quarter_turns) % 4,
            markings=tuple(
                dataclasses.replace(one, points=turned_points(one.points, quarter_turns))
                for one in photo.markings
            ),
        )

    return _change_photos(desk, photos, "Turn", make)


def turned_points(
    points: tuple[tuple[float, float], ...], quarter_turns: int
) -> tuple[tuple[float, float], ...]:
    """Return the points of a marking after its picture was turned clockwise by quarters."""
    for _ in range(quarter_turns % 4):
        points = tuple((1.0 - y, x) for x, y in points)
    return points


def set_markings(desk: OpenClaim, photo: str, markings: tuple[Marking, ...]) -> bool:
    """Replace the markings and redactions that are kept beside a photo."""
    return _change_photos(
        desk, (photo,), "Markings", lambda one: dataclasses.replace(one, markings=markings)
    )


def confirm_photos(
    desk: OpenClaim, photos: Iterable[str], by: str, on: dt.date | None = None
) -> bool:
    """Record that a person of the other side confirmed that photos were taken at the count."""
    return _change_photos(
        desk,
        photos,
        f"Confirmed by {by}" if by else "Not confirmed",
        lambda photo: dataclasses.replace(photo, confirmed_by=by, confirmed_on=on if by else None),
    )


def put_clock_correction(desk: OpenClaim, correction: ClockCorrection) -> bool:
    """Record what a picture of a trusted clock says of a camera's clock."""
    return desk.change(
        f"Clock of {correction.model or 'camera'}",
        lambda claim: dataclasses.replace(
            claim, clock_corrections=put(claim.clock_corrections, correction)
        ),
    )


def remove_clock_correction(desk: OpenClaim, correction: str) -> bool:
    """Take a clock correction back."""
    return desk.change(
        "Remove clock correction",
        lambda claim: dataclasses.replace(
            claim, clock_corrections=without(claim.clock_corrections, {correction})
        ),
    )


def preview_folder() -> Path:
    """Return the folder of previews in the platform's cache; it may be deleted at any time."""
    return Path(platformdirs.user_cache_dir("ldapp", appauthor=False)) / "previews"


def preview_jpeg(
    originals: Originals, photo: Photo, long_edge: int, folder: Path | None = None
) -> bytes:
    """Return an upright JPEG of at most ``long_edge`` pixels; made once, then kept in the cache.

    Runs in a worker.  Raises LdappError where the picture cannot be shown.
    """
    sha256 = photo.facts.sha256
    turns = photo.quarter_turns % 4
    kept = (folder or preview_folder()) / sha256[:2] / f"{sha256}-{long_edge}-{turns}.jpg"
    try:
        return kept.read_bytes()
    except OSError:
        drawn = draw_preview(originals.path_of(sha256), photo.facts, long_edge, turns)
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=kept.parent, delete=False) as unfinished:
            unfinished.write(drawn)
        Path(unfinished.name).replace(kept)
    except OSError:
        # A cache that cannot be written only makes the next look slower.
        return drawn
    return drawn


def photos_of_line(claim: Claim, line: str, count: str | None = None) -> tuple[Photo, ...]:
    """Return the photos paired with a line (at one count, where that is given)."""
    return tuple(
        photo
        for photo in claim.photos
        if any(one.line == line and (count is None or one.count == count) for one in photo.pairings)
    )


def photo_by_id(claim: Claim, photo: str) -> Photo | None:
    """Return a photo, or None."""
    return find(claim.photos, photo)
