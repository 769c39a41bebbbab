"""Everything that follows from a claim's facts, computed in one go."""

from __future__ import annotations

import datetime as dt
import re
from typing import NamedTuple

from ldapp.casework.places import Page, Place
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.verdicts import verdicts_of
from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.errors import Fault, InputError
from ldapp.language import said
from ldapp.reckoning.result import Reckoning

_MEMBER = re.compile(r"^(\w+)(?:\[(\d+)\])?\.?(.*)$")
_PAGE_OF: dict[str, tuple[Page, str]] = {
    "agreements": ("papers", "agreement"),
    "policy": ("papers", "policy"),
    "splits": ("papers", "split"),
    "kit": ("kit", "kit_line"),
    "counts": ("counts", "count"),
    "movements": ("counts", "movement"),
    "occurrences": ("findings", "occurrence"),
    "findings": ("findings", "finding"),
    "invoices": ("charges", "invoice"),
}


class Study(NamedTuple):
    """What follows from a claim: ``reckoning`` is None where a term cannot be as entered."""

    reckoning: Reckoning | None
    verdicts: dict[str, PhotoVerdict]
    weak_points: tuple[WeakPoint, ...]


def study(claim: Claim, today: dt.date, changed_originals: frozenset[str] = frozenset()) -> Study:
    """Reckon a claim, verify its photos and find its weak points.

    A claim that cannot be reckoned (a life of 0, a period that ends before it starts) is
    no failure: each such fault is a grave weak point at its place.
    """
    verdicts = verdicts_of(claim, changed_originals)
    reckoning: Reckoning | None = None
    faults: tuple[Fault, ...] = ()
    try:
        reckoning = reckon_claim(claim, verdicts, today)
    except InputError as error:
        faults = error.faults
    points = find_weak_points(claim, reckoning, verdicts, today)
    return Study(reckoning, verdicts, (*(_as_point(claim, one) for one in faults), *points))


def _as_point(claim: Claim, fault: Fault) -> WeakPoint:
    return WeakPoint(
        "cannot_be",
        "grave",
        place_of(claim, fault.place),
        f"{fault.wrong[:1].upper()}{fault.wrong[1:]}.",
        said("As long as this stands, nothing can be reckoned."),
        said("Expected: {expected}.", expected=fault.expected),
    )


def place_of(claim: Claim, path: str) -> Place:
    """Return where a path of the claim file, like ``agreements[0].terms.tax``, is shown."""
    found = _MEMBER.match(path)
    if found is None or found[1] not in _PAGE_OF:
        return Place("papers")
    page, kind = _PAGE_OF[found[1]]
    members = getattr(claim, found[1])
    key = ""
    if found[2] is not None and isinstance(members, tuple) and int(found[2]) < len(members):
        key = members[int(found[2])].id
    return Place(page, kind, key, found[3])
