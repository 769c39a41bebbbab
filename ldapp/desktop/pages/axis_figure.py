"""What the axis of custody shows, made apart from drawing it."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple, TypeAlias
from zoneinfo import ZoneInfo

from ldapp.casework.counts import STAGE_NAMES
from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.desktop.pages.count_parts.movements import MOVEMENT_NAMES
from ldapp.desktop.pages.said import (
    count_text,
    day_text,
    line_text,
    moment_text,
    party_of_agreement,
)
from ldapp.language import marked, said, said_of
from ldapp.local_forms import grouped
from ldapp.reckoning.result import CustodySays, Reckoning

CUSTODY_SAYS: dict[CustodySays, str] = {
    "inside": marked("while in our custody"),
    "before": marked("before our custody began: not ours"),
    "after": marked("after our custody ended: not ours"),
    "open": marked("open: the bracket crosses the edge of custody"),
}


class AxisMark(NamedTuple):
    """A point in time: a count, a movement or an occurrence."""

    kind: str
    key: str
    at: dt.datetime
    short: str
    says: str


class AxisSpan(NamedTuple):
    """A stretch of time: custody under an agreement, or the bracket of a loss.

    ``begin`` or ``end`` None: not known, drawn to the edge of the axis.
    """

    kind: str
    key: str
    title: str
    begin: dt.datetime | None
    end: dt.datetime | None
    custody: CustodySays
    says: str


class AxisFigure(NamedTuple):
    """What the axis shows; made apart from drawing."""

    begin: dt.datetime
    end: dt.datetime
    marks: tuple[AxisMark, ...]
    custody: tuple[AxisSpan, ...]
    losses: tuple[AxisSpan, ...]


def axis_figure(claim: Claim, reckoning: Reckoning | None) -> AxisFigure | None:
    """Return what the axis shows, or None where nothing in the claim has a time."""
    marks = _marks(claim)
    custody = tuple(
        AxisSpan(
            "agreement",
            agreement.id,
            said("Custody, {party}", party=party_of_agreement(claim, agreement.id)),
            agreement.custody_began or agreement.starts,
            agreement.custody_ended or agreement.ends,
            "inside",
            _custody_says(agreement.custody_began, agreement.custody_ended),
        )
        for agreement in claim.agreements
    )
    losses = _losses(claim, reckoning) if reckoning else ()
    instants = [mark.at for mark in marks]
    for span in (*custody, *losses):
        instants += [at for at in (span.begin, span.end) if at is not None]
    if not instants:
        return None
    begin, end = min(instants), max(instants)
    room = max((end - begin) / 24, dt.timedelta(hours=1))
    return AxisFigure(begin - room, end + room, marks, custody, losses)


def _custody_says(began: dt.datetime | None, ended: dt.datetime | None) -> str:
    return said(
        "from {began} to {ended}",
        began=moment_text(began) or said("the begin of the rental"),
        ended=moment_text(ended) or said("the end of the rental"),
    )


def _marks(claim: Claim) -> tuple[AxisMark, ...]:
    marks = [
        AxisMark("count", count.id, count.at, said(STAGE_NAMES[count.stage]), count_text(count))
        for count in claim.counts
        if count.at is not None
    ]
    for movement in claim.movements:
        name = said(MOVEMENT_NAMES[movement.kind])
        line = line_text(find(claim.kit, movement.line))
        if movement.ticket:
            line = said("{line}, ticket {ticket}", line=line, ticket=movement.ticket)
        marks.append(
            AxisMark(
                "movement",
                movement.id,
                movement.at,
                name,
                f"{grouped(movement.quantity)} {name}: {line}, {moment_text(movement.at)}",
            )
        )
    for one in claim.occurrences:
        at = one.at or _noon(claim, one.day)
        if at is not None:
            when = moment_text(one.at) or said(
                "{day}, time of day not known", day=day_text(one.day)
            )
            marks.append(AxisMark("occurrence", one.id, at, one.title, f"{one.title}, {when}"))
    return tuple(sorted(marks, key=lambda mark: (mark.at, mark.kind, mark.key)))


def _noon(claim: Claim, day: dt.date | None) -> dt.datetime | None:
    """A day without a time stands at noon in the claim's zone."""
    if day is None:
        return None
    return dt.datetime.combine(day, dt.time(12), ZoneInfo(claim.zone))


_Bracketed: TypeAlias = tuple[
    str, str | None, dt.datetime | None, str, dt.datetime | None, CustodySays
]


def _losses(claim: Claim, reckoning: Reckoning) -> tuple[AxisSpan, ...]:
    lines = {line.id: line for line in claim.kit}
    counts = {count.id: count for count in claim.counts}
    spans: dict[_Bracketed, int] = {}
    for counted in reckoning.counts:
        for bracket in counted.brackets:
            seen = bracket.last_seen
            key = (
                counted.line,
                seen.count if seen else None,
                seen.at if seen else None,
                bracket.gone.count,
                bracket.gone.at,
                bracket.custody,
            )
            spans[key] = spans.get(key, 0) + 1
    losses = []
    for (line, seen_count, seen_at, gone_count, gone_at, custody), units in spans.items():
        begin = count_text(counts.get(seen_count)) if seen_count else said("by no count")
        end = count_text(counts.get(gone_count))
        losses.append(
            AxisSpan(
                "kit_line",
                line,
                said_of(
                    units,
                    "{count} of line {line}",
                    "{count} of line {line}",
                    line=line_text(lines.get(line)),
                ),
                seen_at,
                gone_at,
                custody,
                said(
                    "last seen: {begin}; gone at: {end}; {custody}",
                    begin=begin,
                    end=end,
                    custody=said(CUSTODY_SAYS[custody]),
                ),
            )
        )
    return tuple(losses)
