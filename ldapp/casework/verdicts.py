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
from ldapp.evidence.verify import verify

_COUNTER = re.compile(r"^(.*?)(\d{3,5})$")
_AROUND_A_COUNT = dt.timedelta(hours=2)
"""A count with one time only is taken to have been going on this long before and after."""
_VERDICTS_KEPT = 20_000


class _Body(NamedTuple):
    """What tells one camera from another, as far as its files say."""

    make: str
    model: str
    serial: str


def verdicts_of(claim: Claim) -> dict[str, PhotoVerdict]:
    """Return the verdict on every photo by its id.

    A photo whose facts and surroundings have not changed is not judged again.
    """
    surroundings = _Surroundings(claim)
    return {
        photo.id: _verdict(photo.facts, surroundings.context_of(photo)) for photo in claim.photos
    }


@lru_cache(maxsize=_VERDICTS_KEPT)
def _verdict(facts: PhotoFacts, context: VerifyContext) -> PhotoVerdict:
    return verify(facts, context)


class _Surroundings:
    """What the claim knows around its photos, gathered once for all of them."""

    def __init__(self, claim: Claim) -> None:
        self._claim = claim
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
                one
                for one in self._sightings.get(body, ())
                if one.file_name != photo.facts.file_name
            ),
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
        says=correction.reference or "a trusted clock",
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


def _sightings(photos: Iterable[Photo]) -> dict[_Body, tuple[Sighting, ...]]:
    """Where each camera that names its serial number was, when its own offset is recorded."""
    found: dict[_Body, list[Sighting]] = {}
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
            Sighting(
                file_name=facts.file_name,
                taken=dt.datetime.fromisoformat(taken.local + taken.offset),
                position=(fix.latitude, fix.longitude),
            )
        )
    return {body: tuple(row) for body, row in found.items()}
