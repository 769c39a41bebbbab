"""What is missing or weak, before a dossier is written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ldapp.casework.completeness import Asked, completeness_of
from ldapp.casework.dossier import Version
from ldapp.casework.places import Place
from ldapp.casework.weak_points import WeakPoint
from ldapp.claim.claim import Claim
from ldapp.desktop.theme import Role
from ldapp.desktop.widgets.table_model import Column

MISSING = "✕ missing"
WEAK = "⚠ weak"


class Point(NamedTuple):
    """One thing that is missing or weak, and where to mend it."""

    key: str
    mark: str
    says: str
    cure: str
    place: Place | None


def _role(point: Point) -> Role | None:
    return "red" if point.mark == MISSING else "amber" if point.mark == WEAK else None


POINT_COLUMNS: tuple[Column[Point], ...] = (
    Column(name="mark", title="", text=lambda one: one.mark, role=_role, width=10),
    Column(
        name="says",
        title="Missing or weak",
        text=lambda one: one.says,
        tip=lambda one: f"{one.says}\n{one.cure}".strip(),
        width=30,
    ),
)


def points_of(claim: Claim, weak_points: Sequence[WeakPoint], version: Version) -> list[Point]:
    """Return what is missing, then what is weak; what an adjuster asks for, for the insurer."""
    points = [
        Point(
            f"weak {number}",
            MISSING if point.gravity == "grave" else WEAK,
            point.says,
            f"{point.why} {point.cure}",
            point.place,
        )
        for number, point in enumerate(weak_points)
        if point.gravity != "note"
    ]
    if version == "insurer":
        points += [
            _as_point(one)
            for one in completeness_of(claim)
            if one.presence in ("missing", "partly")
        ]
    return sorted(points, key=lambda one: one.mark != MISSING)


def _as_point(asked: Asked) -> Point:
    mark = MISSING if asked.presence == "missing" else WEAK
    return Point(f"asked {asked.what}", mark, asked.what, asked.says, None)
