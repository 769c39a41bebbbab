"""Periods: calendar days, business days and elapsed hours, and those that run in a claim.

The day of the event is excluded and the last day counts; a last day that is no business day
moves on only where the rule says so; hours run through a clock change.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import NamedTuple

from ldapp.claim.deadline_rules import DeadlineRule, DeadlineStart
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import Deadline
from ldapp.reckoning.times import occurrence_time


class Period(NamedTuple):
    """The last day as counted, and as it stands after rolling."""

    raw_end: dt.date
    due: dt.date


def is_business_day(day: dt.date, holidays: frozenset[dt.date]) -> bool:
    """Say whether ``day`` is neither Saturday, Sunday nor a holiday."""
    return day.weekday() < 5 and day not in holidays


def next_business_day(day: dt.date, holidays: frozenset[dt.date]) -> dt.date:
    """Return ``day`` itself where it is a business day, else the next one that is."""
    while not is_business_day(day, holidays):
        day += dt.timedelta(days=1)
    return day


def calendar_period(
    trigger: dt.date, days: int, *, rolls: bool, holidays: frozenset[dt.date]
) -> Period:
    """Return the end of ``days`` calendar days after ``trigger``."""
    end = trigger + dt.timedelta(days=days)
    return Period(end, next_business_day(end, holidays) if rolls else end)


def business_period(trigger: dt.date, days: int, holidays: frozenset[dt.date]) -> Period:
    """Return the end of ``days`` business days after ``trigger``."""
    end = trigger
    for _ in range(days):
        end = next_business_day(end + dt.timedelta(days=1), holidays)
    return Period(end, end)


def elapsed_hours(start: dt.datetime, hours: int) -> dt.datetime:
    """Return the instant ``hours`` after ``start``, in its zone, through any clock change."""
    return (start.astimezone(dt.UTC) + dt.timedelta(hours=hours)).astimezone(start.tzinfo)


def claim_deadlines(index: ClaimIndex, holidays: frozenset[dt.date]) -> tuple[Deadline, ...]:
    """Return every period of the agreements and the policy, as far as its start is known."""
    starts = _starts(index)
    found = []
    for agreement in index.claim.agreements:
        own = _agreement_starts(index, agreement.id)
        for rule in agreement.terms.deadlines:
            found.append(_deadline(index, rule, {**starts, **own}, holidays))
    if index.claim.policy is not None:
        everywhere = {**starts, **_agreement_starts(index, None)}
        for rule in index.claim.policy.terms.deadlines:
            found.append(_deadline(index, rule, everywhere, holidays))
    return tuple(found)


_Starts = dict[DeadlineStart, dt.date | dt.datetime]


def _deadline(
    index: ClaimIndex, rule: DeadlineRule, starts: _Starts, holidays: frozenset[dt.date]
) -> Deadline:
    start = starts.get(rule.starts)
    moment = None
    day = None
    if isinstance(start, dt.datetime):
        moment = start.astimezone(index.zone)
        day = moment.date()
    elif start is not None:
        day = start
    period = None
    due_at = None
    if rule.unit == "hours":
        if moment is not None:
            due_at = elapsed_hours(moment, rule.length)
            period = Period(due_at.date(), due_at.date())
    elif day is not None and rule.unit == "business_days":
        period = business_period(day, rule.length, holidays)
    elif day is not None:
        period = calendar_period(day, rule.length, rolls=rule.rolls, holidays=holidays)
    return Deadline(
        code=rule.code,
        title=rule.title,
        binds=rule.binds,
        started_by=rule.starts,
        started=moment,
        starts_on=day,
        raw_end=None if period is None else period.raw_end,
        due=None if period is None else period.due,
        due_at=due_at,
        needs=rule.needs,
        source=rule.source,
        from_memory=rule.from_memory,
        clause=rule.clause,
    )


def _starts(index: ClaimIndex) -> _Starts:
    """Return the events that belong to the whole claim."""
    losses = [occurrence_time(o, index.zone) for o in index.claim.occurrences]
    documents = {
        kind: [d.dated for d in index.claim.documents if d.kind == kind and d.dated]
        for kind in ("proof_of_loss", "proof_of_payment")
    }
    return _known(
        {
            "loss": _earliest(losses),
            "proof_of_loss": _earliest(documents["proof_of_loss"]),
            "payment": _earliest(documents["proof_of_payment"]),
        }
    )


def _agreement_starts(index: ClaimIndex, agreement_id: str | None) -> _Starts:
    """Return the events of one agreement, or the earliest of all for None."""
    claim = index.claim
    agreements = [a for a in claim.agreements if agreement_id in (None, a.id)]
    invoices = [i for i in claim.invoices if agreement_id in (None, i.agreement)]

    def count_times(stage: str) -> list[dt.datetime | None]:
        return [
            count.at
            for count in claim.counts
            if count.stage == stage
            and (agreement_id is None or not count.agreements or agreement_id in count.agreements)
        ]

    return _known(
        {
            "pickup": _earliest(count_times("pickup")) or _earliest([a.starts for a in agreements]),
            "return_due": _earliest([a.ends for a in agreements]),
            "return": _earliest(count_times("return")),
            "check_in": _earliest(count_times("check_in")),
            "discovery": _earliest(count_times("return")) or _earliest(count_times("check_in")),
            "invoice_date": _earliest([i.dated for i in invoices]),
            "invoice_received": _earliest([i.received for i in invoices]),
            "notice_to_insurer": _earliest([a.notified for a in agreements]),
        }
    )


def _earliest(
    times: Iterable[dt.date | dt.datetime | None],
) -> dt.date | dt.datetime | None:
    known = [each for each in times if each is not None]
    return min(known, key=_sortable, default=None)


def _sortable(moment: dt.date | dt.datetime) -> str:
    if isinstance(moment, dt.datetime):
        return moment.astimezone(dt.UTC).isoformat()
    return moment.isoformat()


def _known(
    starts: dict[DeadlineStart, dt.date | dt.datetime | None],
) -> _Starts:
    return {key: value for key, value in starts.items() if value is not None}
