"""What an adjuster or the other side would attack: computed from the claim, never typed.

Each check is a small function over the same facts; adding one is adding a function to
``CHECKS``.  The weights follow the questions of an adjuster's checklist (common
practice, no source).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from ldapp.casework.places import Page
from ldapp.casework.weak_point_answers import check_answers
from ldapp.casework.weak_point_checks import (
    check_charges,
    check_counts,
    check_damage_photos,
    check_findings,
    check_papers,
    check_photos,
)
from ldapp.casework.weak_point_facts import GRAVITIES, Check, Facts, Gravity, WeakPoint
from ldapp.casework.weak_point_not_stated import check_groups, check_not_stated
from ldapp.casework.weak_point_papers import check_wanted_papers
from ldapp.casework.weak_point_reckoning import check_deadlines, check_reckoning
from ldapp.casework.weak_point_sent import check_after_sending
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.reckoning.result import Reckoning

__all__ = ["GRAVITIES", "Gravity", "WeakPoint", "find_weak_points", "open_points_by_page"]

CHECKS: tuple[Check, ...] = (
    check_deadlines,
    check_papers,
    check_counts,
    check_photos,
    check_damage_photos,
    check_findings,
    check_charges,
    check_answers,
    check_after_sending,
    check_not_stated,
    check_groups,
    check_reckoning,
    check_wanted_papers,
)


def find_weak_points(
    claim: Claim,
    reckoning: Reckoning | None,
    verdicts: Mapping[str, PhotoVerdict],
    today: dt.date,
) -> tuple[WeakPoint, ...]:
    """Return every weak point, gravest first, then in the order of the work."""
    facts = Facts(claim, reckoning, verdicts, today)
    found = [point for check in CHECKS for point in check(facts)]
    found.sort(key=lambda point: GRAVITIES.index(point.gravity))
    return tuple(found)


def open_points_by_page(points: tuple[WeakPoint, ...]) -> dict[Page, int]:
    """Return how many points are open on each page; notes are not counted."""
    counted: dict[Page, int] = {}
    for point in points:
        if point.gravity != "note":
            counted[point.place.page] = counted.get(point.place.page, 0) + 1
    return counted
