"""What a picture of a trusted clock would change, before a person accepts it."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import NamedTuple

from ldapp.casework.edit import put
from ldapp.casework.open_claim import new_id
from ldapp.casework.verdicts import verdicts_of
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.claim.photos import ClockCorrection, Photo
from ldapp.errors import LdappError
from ldapp.language import said


class Effect(NamedTuple):
    """The verdict on one photo without and with a clock correction."""

    photo: str
    before: PhotoVerdict
    after: PhotoVerdict


def correction_from(
    photo: Photo,
    reference_time: dt.datetime,
    *,
    accuracy_s: int = 1,
    reference: str = "",
    valid_from: dt.datetime | None = None,
    valid_until: dt.datetime | None = None,
    replaces: ClockCorrection | None = None,
) -> ClockCorrection:
    """Return what a picture of a trusted clock says of its camera's clock.

    ``reference_time`` (aware) is what the clock in the picture shows.

    Raises:
        LdappError: the picture carries no time of its own or names no camera, the
            reference has no offset, or the span ends before it begins.
    """
    taken = photo.facts.taken
    if taken is None or taken.local is None:
        raise LdappError(
            said(
                "{name} carries no time of its own, so it says nothing about a clock. "
                "Take a picture that the camera dates.",
                name=photo.name,
            )
        )
    if not photo.facts.model:
        raise LdappError(
            said(
                "{name} does not name its camera, so nobody can say whose clock it corrects.",
                name=photo.name,
            )
        )
    if reference_time.tzinfo is None:
        raise LdappError(said("The time on the trusted clock needs its offset, like 14:30 -07:00."))
    if valid_from is not None and valid_until is not None and valid_until < valid_from:
        raise LdappError(said("The span of the correction ends before it begins."))
    return ClockCorrection(
        id=replaces.id if replaces else new_id(),
        make=photo.facts.make or "",
        model=photo.facts.model,
        serial=photo.facts.serial or "",
        photo=photo.id,
        camera_time=dt.datetime.fromisoformat(taken.local),
        reference_time=reference_time,
        reading_accuracy_s=accuracy_s,
        reference=reference,
        valid_from=valid_from,
        valid_until=valid_until,
    )


def effects_of(claim: Claim, correction: ClockCorrection) -> tuple[Effect, ...]:
    """Return the photos whose verdict the correction would change; runs in a worker."""
    others = tuple(one for one in claim.clock_corrections if one.id != correction.id)
    before = verdicts_of(dataclasses.replace(claim, clock_corrections=others))
    after = verdicts_of(
        dataclasses.replace(claim, clock_corrections=put(claim.clock_corrections, correction))
    )
    return tuple(
        Effect(photo.id, before[photo.id], after[photo.id])
        for photo in claim.photos
        if before[photo.id] != after[photo.id]
    )
