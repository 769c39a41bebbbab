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
from ldapp.language import marked, said

MISSING = marked("✕ missing")
WEAK = marked("⚠ weak")
IN_PRINT = marked("⚠ in print")


class Point(NamedTuple):
    """One thing that is missing or weak, and where to mend it."""

    key: str
    mark: str
    says: str
    cure: str
    place: Place | None


def _role(point: Point) -> Role | None:
    return "red" if point.mark == MISSING else "amber" if point.mark in (WEAK, IN_PRINT) else None


POINT_COLUMNS: tuple[Column[Point], ...] = (
    Column(name="mark", title="", text=lambda one: said(one.mark), role=_role, width=10),
    Column(
        name="says",
        title=marked("Missing or weak"),
        text=lambda one: one.says,
        tip=lambda one: f"{one.says}\n{one.cure}".strip(),
        width=30,
    ),
)


def points_of(
    claim: Claim,
    weak_points: Sequence[WeakPoint],
    version: Version,
    falls_short: Sequence[str] = (),
) -> list[Point]:
    """Return what is missing, then what is weak; what an adjuster asks for, for the insurer.

    ``falls_short`` is what the pages that were drawn last lack.
    """
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
    told = {one.says for one in points}
    points += [
        Point(f"in print {says}", IN_PRINT, says, "", None)
        for says in falls_short
        if says not in told
    ]
    order = (MISSING, IN_PRINT, WEAK)
    return sorted(points, key=lambda one: order.index(one.mark))


def _as_point(asked: Asked) -> Point:
    mark = MISSING if asked.presence == "missing" else WEAK
    return Point(f"asked {asked.what}", mark, asked.what, asked.says, None)
