"""A camera's clock error from photos of a known time.

A camera without satellite reception has one constant error for a while.  Between two
references the error is interpolated.  Quartz drifts of one to three seconds a day are
ordinary (common practice, no source); a change of more than 60 s and 10 s a day means
that somebody set the clock.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from ldapp.claim.photo_facts import ClockReference, PhotoFacts, Reason
from ldapp.evidence.times import Taken, local_datetime
from ldapp.evidence.wording import day, duration
from ldapp.language import said

_REACH_DAYS: Final = 7
_DAY: Final = 86400.0
_DRIFT_S_PER_DAY: Final = 3.0


@dataclass(frozen=True, slots=True)
class BodyError:
    """Wall clock minus true UTC in seconds for one photo: offset and clock error in one."""

    apart_s: float
    uncertainty_s: float
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class _Point:
    local: datetime
    apart_s: float
    reference: ClockReference


def same_body(facts: PhotoFacts, reference: ClockReference) -> bool:
    """Say whether a reference is of the same camera: make, model, and serial if both have one."""
    if (facts.make, facts.model) != (reference.make, reference.model):
        return False
    return not (facts.serial and reference.serial and facts.serial != reference.serial)


def reference_error(
    facts: PhotoFacts, taken: Taken, references: tuple[ClockReference, ...]
) -> BodyError | None:
    """Return the error that the references give for a photo; None without one in 7 days."""
    points = sorted(_points(facts, references), key=lambda point: point.local)
    if not points:
        return None
    before = [point for point in points if point.local <= taken.moment]
    after = [point for point in points if point.local > taken.moment]
    nearest = min(
        before[-1:] + after[:1], key=lambda point: abs((point.local - taken.moment).total_seconds())
    )
    days = abs((nearest.local - taken.moment).total_seconds()) / _DAY
    if days > _REACH_DAYS:
        return None
    uncertainty = nearest.reference.accuracy_s + _DRIFT_S_PER_DAY * days
    reasons = [
        Reason(
            code="R1",
            weight="supports",
            says=said(
                "Clock checked against {reference} on {day}.",
                reference=nearest.reference.says,
                day=day(nearest.reference.reference),
            ),
        )
    ]
    apart = nearest.apart_s
    if before and after:
        first, second = before[-1], after[0]
        change = second.apart_s - first.apart_s
        span = (second.local - first.local).total_seconds()
        if abs(change) > 60 + 10 * span / _DAY:
            uncertainty += abs(change)
            reasons.append(
                Reason(
                    code="R2",
                    weight="weakens",
                    says=said(
                        "The clock was changed by {change} between the two checks.",
                        change=duration(change),
                    ),
                )
            )
        else:
            share = (taken.moment - first.local).total_seconds() / span
            apart = first.apart_s + change * share
    return BodyError(apart, round(uncertainty, 3), tuple(reasons))


def _points(facts: PhotoFacts, references: tuple[ClockReference, ...]) -> list[_Point]:
    points = []
    for reference in references:
        text, _, digits = reference.camera_local.partition(".")
        local = local_datetime(text, digits)
        if local is None or not same_body(facts, reference):
            continue
        apart = (local.replace(tzinfo=UTC) - reference.reference).total_seconds()
        points.append(_Point(local, apart, reference))
    return points
