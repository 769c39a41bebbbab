"""The verdict on each photo of a claim: its own facts beside what the claim knows."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple

from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.photo_facts import ClockReference, PhotoFacts, PhotoVerdict
from ldapp.claim.photos import ClockCorrection, Photo
from ldapp.evidence.context import (
    CameraHabits,
    Confirmation,
    Neighbour,
    Sighting,
    VerifyContext,
)
from ldapp.evidence.counter_code import issued_code_in
from ldapp.evidence.times import choose_taken
from ldapp.evidence.verify import verify
from ldapp.language import language, said

_COUNTER = re.compile(r"^(.*?)(\d{3,5})$")
_AROUND_A_COUNT = dt.timedelta(hours=2)
"""A count with one time only is taken to have been going on this long before and after."""
_VERDICTS_KEPT = 20_000
_LONG_AGO = dt.datetime.min.replace(tzinfo=dt.UTC)


class _Body(NamedTuple):
    """What tells one camera from another, as far as its files say."""

    make: str
    model: str
    serial: str


def verdicts_of(
    claim: Claim, changed_originals: frozenset[str] = frozenset()
) -> dict[str, PhotoVerdict]:
    """Return the verdict on every photo by its id.

    ``changed_originals`` are the SHA-256 of stored originals that were found changed
    (:func:`ldapp.casework.original_checks.check_originals`).  A photo whose facts and
    surroundings have not changed is not judged again.
    """
    surroundings = _Surroundings(claim, changed_originals)
    return {
        photo.id: _verdict(photo.facts, surroundings.context_of(photo), language())
        for photo in claim.photos
    }


@lru_cache(maxsize=_VERDICTS_KEPT)
def _verdict(facts: PhotoFacts, context: VerifyContext, spoken: str) -> PhotoVerdict:
    # ``spoken`` is in the key: a verdict gives its reasons in sentences.
    return verify(facts, context)


class _Surroundings:
    """What the claim knows around its photos, gathered once for all of them."""

    def __init__(self, claim: Claim, changed_originals: frozenset[str]) -> None:
        self._claim = claim
        self._changed_originals = changed_originals
        self._taken_before = _taken_before(claim.photos)
        self._company = next(
            (one.name for one in claim.parties if one.role == "rental_company"), ""
        )
        self._references = tuple((one, _reference(one)) for one in claim.clock_corrections)
        starts = [one.starts.date() for one in claim.agreements if one.starts]
        starts += [one.signed for one in claim.agreements if one.signed]
        self._agreement_start = min(starts, default=None)
        self._windows = {count.id: window_of(count) for count in claim.counts}
        self._neighbours = _neighbours(claim.photos)
        self._habits = _habits(claim.photos)
        self._sightings = _sightings(claim.photos)

    def context_of(self, photo: Photo) -> VerifyContext:
        """Return what is known about one photo from outside its file."""
        count_id = photo.count or next((one.count for one in photo.pairings if one.count), None)
        count = find(self._claim.counts, count_id)
        before, after = self._neighbours.get(photo.id, (None, None))
        body = _body(photo)
        code = (
            issued_code_in((photo.shown_code,), self._claim.issued_codes)
            if photo.shown_code
            else None
        )
        confirmations: tuple[Confirmation, ...] = ()
        if photo.confirmed_by and photo.confirmed_on:
            confirmations = (
                Confirmation(
                    name=photo.confirmed_by,
                    company=self._company,
                    on=photo.confirmed_on,
                    other_side=True,
                ),
            )
        return VerifyContext(
            zone=self._claim.zone,
            imported=photo.taken_in,
            agreement_start=self._agreement_start,
            count_position=count.position if count else None,
            job_position=self._claim.position,
            window=self._windows.get(count_id or ""),
            references=tuple(
                reference
                for correction, reference in self._references
                if (correction.make, correction.model) == (body.make, body.model)
                and _holds_for(correction, photo)
            ),
            before=before,
            after=after,
            habits=self._habits.get((body.make, body.model)),
            sightings=tuple(
                sighting
                for other, sighting in self._sightings.get(body, ())
                if other is not photo and not _later(other, photo)
            ),
            same_bytes_taken=self._taken_before.get(photo.id),
            code_issued=code.issued if code else None,
            original_unchanged=False if photo.facts.sha256 in self._changed_originals else None,
            file_times="card" if photo.source == "card" else None,
            confirmations=confirmations,
        )


def window_of(count: Count) -> tuple[dt.datetime, dt.datetime] | None:
    """Return when a count was going on, from its own times and those of its entries."""
    times = [one for one in (count.at, count.until) if one is not None]
    times += [entry.at for entry in count.entries if entry.at is not None]
    if not times:
        return None
    begin, end = min(times), max(times)
    if end - begin < _AROUND_A_COUNT:
        return begin - _AROUND_A_COUNT, end + _AROUND_A_COUNT
    return begin, end


def _body(photo: Photo) -> _Body:
    facts = photo.facts
    return _Body(facts.make or "", facts.model or "", facts.serial or "")


def _holds_for(correction: ClockCorrection, photo: Photo) -> bool:
    """Whether a photo lies in the span for which a correction was said to hold.

    The camera's wrong wall clock is set right by this very correction before it is compared.
    """
    if correction.valid_from is None and correction.valid_until is None:
        return True
    taken = photo.facts.taken
    if taken is None or taken.local is None:
        return False
    camera = dt.datetime.fromisoformat(taken.local)
    by = camera - correction.camera_time.replace(tzinfo=None)
    at = correction.reference_time + by
    return (correction.valid_from is None or correction.valid_from <= at) and (
        correction.valid_until is None or at <= correction.valid_until
    )


def _reference(correction: ClockCorrection) -> ClockReference:
    return ClockReference(
        make=correction.make or None,
        model=correction.model or None,
        serial=correction.serial or None,
        camera_local=correction.camera_time.replace(tzinfo=None).isoformat(),
        reference=correction.reference_time.astimezone(dt.UTC),
        accuracy_s=float(correction.reading_accuracy_s),
        says=correction.reference or said("a trusted clock"),
    )


def _neighbours(
    photos: Iterable[Photo],
) -> Mapping[str, tuple[Neighbour | None, Neighbour | None]]:
    """For each photo the ones before and after it by the counter of the same camera."""
    rows: dict[tuple[_Body, str], list[tuple[int, Photo, Neighbour]]] = {}
    for photo in photos:
        body = _body(photo)
        name = _COUNTER.match(photo.name.rpartition(".")[0])
        taken = photo.facts.taken
        if name is None or taken is None or taken.local is None or not body.model:
            continue
        number = int(name[2])
        neighbour = Neighbour(file_name=photo.name, number=number, taken_local=taken.local)
        rows.setdefault((body, name[1]), []).append((number, photo, neighbour))
    found: dict[str, tuple[Neighbour | None, Neighbour | None]] = {}
    for row in rows.values():
        row.sort(key=lambda one: (one[0], one[1].id))
        for index, (_, photo, _own) in enumerate(row):
            before = row[index - 1][2] if index else None
            after = row[index + 1][2] if index + 1 < len(row) else None
            found[photo.id] = (before, after)
    return found


def _habits(photos: Iterable[Photo]) -> dict[tuple[str, str], CameraHabits]:
    """What the photos of one make and model have in common; single photos have no habits."""
    by_model: dict[tuple[str, str], list[PhotoFacts]] = {}
    for photo in photos:
        body = _body(photo)
        if body.model:
            by_model.setdefault((body.make, body.model), []).append(photo.facts)
    habits = {}
    for model, facts in by_model.items():
        if len(facts) < 2:
            continue
        habits[model] = CameraHabits(
            photos=len(facts),
            with_maker_note=sum(one.has_maker_note for one in facts),
            software=_common(one.software for one in facts),
            first_segments=_common(one.first_segment for one in facts),
            quantisations=_common(one.quantisation for one in facts),
        )
    return habits


def _common(values: Iterable[str | None]) -> tuple[str, ...]:
    counted = Counter(value for value in values if value)
    return tuple(sorted(value for value, times in counted.items() if times >= 2))


def _later(one: Photo, than: Photo) -> bool:
    """Whether a photo was taken in later; of two that came together neither was."""
    return bool(one.taken_in and than.taken_in and one.taken_in > than.taken_in)


def _taken_before(photos: tuple[Photo, ...]) -> dict[str, str]:
    """For a photo whose bytes came in before, under which time they did.

    The intake takes no bytes twice; a claim file may bring them twice.
    """
    came = Counter(photo.facts.sha256 for photo in photos)
    first: dict[str, str] = {}
    again: dict[str, str] = {}
    repeated = [photo for photo in photos if came[photo.facts.sha256] > 1]
    for photo in sorted(repeated, key=lambda one: one.taken_in or _LONG_AGO):
        sha256 = photo.facts.sha256
        if sha256 in first:
            again[photo.id] = first[sha256]
            continue
        taken = choose_taken(photo.facts, photo.taken_in or dt.datetime.now(dt.UTC))
        if taken is not None:
            first[sha256] = taken.text
    return again


def _sightings(photos: Iterable[Photo]) -> dict[_Body, tuple[tuple[Photo, Sighting], ...]]:
    """Where each camera that names its serial number was, when its own offset is recorded."""
    found: dict[_Body, list[tuple[Photo, Sighting]]] = {}
    for photo in photos:
        facts = photo.facts
        fix, taken = facts.satellite, facts.taken
        if (
            not facts.serial
            or fix is None
            or fix.latitude is None
            or fix.longitude is None
            or taken is None
            or taken.local is None
            or taken.offset is None
        ):
            continue
        found.setdefault(_body(photo), []).append(
            (
                photo,
                Sighting(
                    file_name=facts.file_name,
                    taken=dt.datetime.fromisoformat(taken.local + taken.offset),
                    position=(fix.latitude, fix.longitude),
                ),
            )
        )
    return {body: tuple(row) for body, row in found.items()}
