"""The counter's code: shown, found in pictures, and what it says of a camera's clock."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterable
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from ldapp.casework.clock_corrections import correction_from
from ldapp.casework.edit import without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.originals import Originals
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import ClockCorrection, IssuedCode, Photo
from ldapp.errors import LdappError
from ldapp.evidence.counter_code import (
    READING_ACCURACY_S,
    SHOWN_FOR,
    CounterCode,
    code_at,
    code_cells,
    issued_code_in,
    issued_code_shown,
    new_word,
)
from ldapp.evidence.likeness import groups_alike, likeness
from ldapp.language import said

__all__ = ["code_at", "code_cells"]

Progress = Callable[[int, int, str], None]

_SAME_DAY = dt.timedelta(hours=18)
"""A code that was photographed so long before or after a count was taken on its day."""


class Look(NamedTuple):
    """What one picture shows, as far as a program can say."""

    shown_code: str
    likeness: str


class Looked(NamedTuple):
    """What came of looking into the pictures of a claim."""

    pictures: int
    with_code: int


class CameraWithoutCode(NamedTuple):
    """A camera that took photos at a count and did not photograph the counter's code."""

    name: str
    photos: tuple[str, ...]
    """Its photos of that count, by id."""


class ProposedCorrection(NamedTuple):
    """What a photo of the counter's code says of its camera's clock; a person accepts it."""

    photo: str
    correction: ClockCorrection
    fast_s: float | None
    """How far the clock is ahead; None where the photo's offset is not recorded."""


def issue_code(desk: OpenClaim, now: dt.datetime | None = None) -> IssuedCode:
    """Begin a showing of the counter's code, journalled once; ``now`` is aware."""
    began = (now or dt.datetime.now(dt.UTC)).astimezone(dt.UTC).replace(microsecond=0)
    showing = IssuedCode(id=new_id(), word=new_word(), issued=began, issued_by=desk.who)
    desk.change(
        said("Show the counter's code"),
        lambda claim: dataclasses.replace(claim, issued_codes=(*claim.issued_codes, showing)),
    )
    return showing


def take_code_back(desk: OpenClaim, showing: str) -> bool:
    """Remove a showing: its codes count for nothing then."""
    return desk.change(
        said("Take the counter's code back"),
        lambda claim: dataclasses.replace(
            claim, issued_codes=without(claim.issued_codes, {showing})
        ),
    )


def still_good(showing: IssuedCode, now: dt.datetime) -> bool:
    """Whether the showing may go on; after a while another one is begun."""
    return showing.issued <= now < showing.issued + SHOWN_FOR


def look_into(path: Path, facts: PhotoFacts, showings: Iterable[IssuedCode]) -> Look:
    """Return which issued code a picture shows, and by what pictures like it are found.

    A file whose picture cannot be opened shows nothing; that is said where it is shown.
    Runs in a worker.
    """
    try:
        alike = likeness(path, facts)
    except LdappError:
        return Look("", "")
    return Look(shown_code(path, facts, showings), alike)


def shown_code(path: Path, facts: PhotoFacts, showings: Iterable[IssuedCode]) -> str:
    """Return the text of the issued code that a picture shows; empty where it shows none.

    Runs in a worker.
    """
    known = tuple(showings)
    try:
        code = issued_code_shown(path, facts, known) if known else None
    except LdappError:
        return ""
    return code.text if code else ""


def code_of(claim: Claim, photo: Photo) -> CounterCode | None:
    """Return the code that a photo shows, where this claim issued it."""
    if not photo.shown_code:
        return None
    return issued_code_in((photo.shown_code,), claim.issued_codes)


def cameras_without_code(claim: Claim, count: Count) -> tuple[CameraWithoutCode, ...]:
    """Return the cameras of a count that took no picture of an issued code on its day.

    A photo that names no camera is left out: there is no clock to check.
    """
    of_count: dict[str, list[str]] = {}
    with_code = set()
    for photo in claim.photos:
        if photo.left_out or not photo.facts.model:
            continue
        body = camera_name(photo.facts)
        here = photo.count == count.id or any(one.count == count.id for one in photo.pairings)
        code = code_of(claim, photo)
        if here:
            of_count.setdefault(body, []).append(photo.id)
        if code is not None and (here or _near(code.issued, count.at)):
            with_code.add(body)
    return tuple(
        CameraWithoutCode(body, tuple(photos))
        for body, photos in sorted(of_count.items())
        if body not in with_code
    )


def _near(issued: dt.datetime, at: dt.datetime | None) -> bool:
    return at is not None and abs(issued - at) <= _SAME_DAY


def camera_name(facts: PhotoFacts) -> str:
    """Return a camera body as its files name it; the make is not said twice."""
    make, model = facts.make or "", facts.model or ""
    name = model if model.startswith(make) else f"{make} {model}"
    serial = f" no. {facts.serial}" if facts.serial else ""
    return f"{name.strip()}{serial}"


def look_into_pictures(
    desk: OpenClaim,
    originals: Originals,
    progress: Progress = lambda done, total, text: None,
) -> Looked:
    """Look for issued codes, and for likenesses that were never made, as one change.

    Runs in a worker; ``progress`` may raise Cancelled, and then the claim is as it was.
    """
    claim = desk.claim
    wanted = [
        photo
        for photo in claim.photos
        if not photo.likeness or (claim.issued_codes and not photo.shown_code)
    ]
    found: dict[str, Look] = {}
    for number, photo in enumerate(wanted):
        progress(number, len(wanted), photo.name)
        try:
            path = originals.path_of(photo.facts.sha256)
        except LdappError:
            continue
        found[photo.id] = look_into(path, photo.facts, claim.issued_codes)
    progress(len(wanted), len(wanted), "")
    desk.change(
        said("Look into the pictures"),
        lambda claim: dataclasses.replace(
            claim, photos=tuple(_with_look(photo, found.get(photo.id)) for photo in claim.photos)
        ),
    )
    return Looked(len(wanted), sum(bool(look.shown_code) for look in found.values()))


def _with_look(photo: Photo, look: Look | None) -> Photo:
    if look is None:
        return photo
    return dataclasses.replace(
        photo,
        shown_code=look.shown_code or photo.shown_code,
        likeness=look.likeness or photo.likeness,
    )


def proposed_corrections(claim: Claim) -> tuple[ProposedCorrection, ...]:
    """Return what photos of issued codes say of clocks, but for what was accepted already."""
    used = {correction.photo for correction in claim.clock_corrections}
    proposed = []
    for photo in claim.photos:
        code = code_of(claim, photo)
        if code is None or photo.id in used or photo.left_out:
            continue
        try:
            correction = correction_from(
                photo,
                code.issued,
                accuracy_s=round(READING_ACCURACY_S),
                reference=said("the counter's code"),
            )
        except LdappError:
            # A photo without a time or a camera's name says nothing about a clock.
            continue
        proposed.append(ProposedCorrection(photo.id, correction, _fast(photo, code)))
    return tuple(proposed)


def _fast(photo: Photo, code: CounterCode) -> float | None:
    taken = photo.facts.taken
    if taken is None or taken.local is None or taken.offset is None:
        return None
    return (dt.datetime.fromisoformat(taken.local + taken.offset) - code.issued).total_seconds()


def accept_corrections(desk: OpenClaim, proposed: Iterable[ProposedCorrection]) -> bool:
    """Set cameras' clocks by photos of the counter's code, as one change."""
    new = tuple(one.correction for one in proposed)
    return desk.change(
        said("Set clocks by the counter's code"),
        lambda claim: dataclasses.replace(
            claim, clock_corrections=(*claim.clock_corrections, *new)
        ),
    )


@lru_cache(maxsize=2)
def photos_alike(photos: tuple[tuple[str, str], ...]) -> tuple[tuple[str, ...], ...]:
    """Return the groups of photos, given by id and likeness, that look like their first."""
    return groups_alike(photos)
