"""Periods: calendar days, business days and elapsed hours, and those that run in a claim.

The day of the event is excluded and the last day counts; a last day that is no business day
moves on only where the rule says so; hours run through a clock change.  The holidays are
those of the paper that the rule stands in.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import NamedTuple

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.deadline_rules import START_WORDS, DeadlineRule, Holiday, HolidayCalendar
from ldapp.claim.policy import Holdback
from ldapp.language import said, said_in, said_of
from ldapp.local_forms import day_in_digits
from ldapp.reckoning.deadline_starts import Starts, agreement_starts, policy_starts
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import Deadline, Step
from ldapp.reckoning.times import time_text
from ldapp.reckoning.workings import LEFT_OUT, inputs, plain_step

Holidays = Mapping[dt.date, str]
"""Days that are no business days, with their names."""

_NO_HOLIDAYS: Holidays = {}


class Period(NamedTuple):
    """The last day as counted, as it stands after rolling, and the holidays left out."""

    raw_end: dt.date
    due: dt.date
    left_out: tuple[dt.date, ...] = ()


def holidays_of(calendar: HolidayCalendar | None) -> Holidays:
    """Return the holidays of a paper by their days."""
    if calendar is None:
        return _NO_HOLIDAYS
    return {holiday.day: holiday.name for holiday in calendar.days}


def is_business_day(day: dt.date, holidays: Holidays) -> bool:
    """Say whether ``day`` is neither Saturday, Sunday nor a holiday."""
    return day.weekday() < 5 and day not in holidays


def next_business_day(day: dt.date, holidays: Holidays) -> dt.date:
    """Return ``day`` itself where it is a business day, else the next one that is."""
    while not is_business_day(day, holidays):
        day += dt.timedelta(days=1)
    return day


def calendar_period(trigger: dt.date, days: int, *, rolls: bool, holidays: Holidays) -> Period:
    """Return the end of ``days`` calendar days after ``trigger``."""
    end = trigger + dt.timedelta(days=days)
    if not rolls:
        return Period(end, end)
    due = next_business_day(end, holidays)
    return Period(end, due, _holidays_from(end, due, holidays))


def business_period(trigger: dt.date, days: int, holidays: Holidays) -> Period:
    """Return the end of ``days`` business days after ``trigger``."""
    end = trigger
    for _ in range(days):
        end = next_business_day(end + dt.timedelta(days=1), holidays)
    return Period(end, end, _holidays_from(trigger + dt.timedelta(days=1), end, holidays))


def _holidays_from(first: dt.date, end: dt.date, holidays: Holidays) -> tuple[dt.date, ...]:
    """Return the holidays on weekdays from ``first`` to before ``end``, earliest first."""
    return tuple(sorted(d for d in holidays if first <= d < end and d.weekday() < 5))


def elapsed_hours(start: dt.datetime, hours: int) -> dt.datetime:
    """Return the instant ``hours`` after ``start``, in its zone, through any clock change."""
    return (start.astimezone(dt.UTC) + dt.timedelta(hours=hours)).astimezone(start.tzinfo)


def claim_deadlines(index: ClaimIndex) -> tuple[Deadline, ...]:
    """Return every period of the agreements and the policy, as far as its start is known."""
    found = []
    for agreement in index.claim.agreements:
        starts = agreement_starts(index, agreement)
        for rule in (*agreement.terms.deadlines, *_release_of(agreement)):
            found.append(_deadline(index, rule, starts, agreement))
    policy = index.claim.policy
    if policy is not None:
        starts = policy_starts(index, policy)
        unproved = any(finding.replaced_for is None for finding in index.claim.findings)
        proof = _proof_of(policy.terms.holdback) if unproved else ()
        for rule in (*policy.terms.deadlines, *proof):
            found.append(_deadline(index, rule, starts, policy))
    return tuple(found)


def _release_of(agreement: Agreement) -> tuple[DeadlineRule, ...]:
    """Return the period after the return in which a deposit is to be released."""
    deposit = agreement.terms.deposit
    if deposit is None or deposit.release_days is None:
        return ()
    return (
        DeadlineRule(
            code=f"deposit-release-{agreement.id}",
            title=said("The rental company releases the deposit"),
            starts="return",
            length=deposit.release_days,
            binds="lessor",
            clause=deposit.clause,
        ),
    )


def _proof_of(holdback: Holdback | None) -> tuple[DeadlineRule, ...]:
    """Return the period after the loss in which the replacement is to be proved."""
    if holdback is None or holdback.proof_within_days is None:
        return ()
    return (
        DeadlineRule(
            code="replacement-proof",
            title=said("Prove the replacement to the insurer"),
            starts="loss",
            length=holdback.proof_within_days,
            needs=said("the invoice for the replacement, and proof of its payment"),
            clause=holdback.clause,
        ),
    )


def _deadline(
    index: ClaimIndex, rule: DeadlineRule, starts: Starts, paper: Agreement | Policy
) -> Deadline:
    start = rule.start_on or starts.get(rule.starts)
    moment = None
    day = None
    if isinstance(start, dt.datetime):
        moment = start.astimezone(index.zone)
        day = moment.date()
    elif start is not None:
        day = start
    calendar = paper.terms.holidays
    holidays = holidays_of(calendar)
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
    left_out = () if period is None else period.left_out
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
        paper=paper.id,
        left_out=tuple(Holiday(day=each, name=holidays[each]) for each in left_out),
        working=_working(rule, calendar, moment or day, period, due_at),
    )


def _working(
    rule: DeadlineRule,
    calendar: HolidayCalendar | None,
    start: dt.date | dt.datetime | None,
    period: Period | None,
    due_at: dt.datetime | None,
) -> Step:
    """Return how the period was counted: from when, which days were left out, until when."""
    names = holidays_of(calendar)
    left_out = () if period is None else period.left_out
    on_business_days = rule.unit == "business_days" or (rule.unit == "calendar_days" and rule.rolls)
    started = time_text(start) if isinstance(start, dt.datetime) else start
    ended = None if period is None else period.raw_end
    result = said("cannot be said yet")
    if due_at is not None:
        result = time_text(due_at)
    elif period is not None:
        result = period.due.isoformat()
    return plain_step(
        rule.title,
        _how_counted(rule),
        result,
        inputs(
            (said_in("working", "from"), started),
            *((said(LEFT_OUT), f"{day_in_digits(day)} {names[day]}".strip()) for day in left_out),
            (
                said("end before moving"),
                ended if period is not None and ended != period.due else None,
            ),
            (said("holidays of"), _calendar_words(calendar) if on_business_days else None),
            (said_in("working", "source"), rule.source or None),
        ),
        clause=rule.clause,
        not_stated=said("holidays not stated, taken as none")
        if on_business_days and calendar is None
        else "",
    )


def _how_counted(rule: DeadlineRule) -> str:
    """Return by which days or hours a period runs, and from what."""
    length, start = rule.length, said(START_WORDS[rule.starts])
    if rule.unit == "hours":
        return said_of(
            length,
            "{count} hours from {start}",
            "{count} hours from {start}",
            count=length,
            start=start,
        )
    if rule.unit == "business_days":
        return said_of(
            length,
            "{count} business days (Monday to Friday) from {start}; the day itself is excluded, "
            "the last day counts",
            "{count} business days (Monday to Friday) from {start}; the day itself is excluded, "
            "the last day counts",
            count=length,
            start=start,
        )
    counted = said_of(
        length,
        "{count} calendar days from {start}; the day itself is excluded, the last day counts",
        "{count} calendar days from {start}; the day itself is excluded, the last day counts",
        count=length,
        start=start,
    )
    if not rule.rolls:
        return counted
    return said("{counted}; an end that is no business day moves to the next one", counted=counted)


def _calendar_words(calendar: HolidayCalendar | None) -> str | None:
    if calendar is None:
        return None
    return ", ".join(each for each in (calendar.place, calendar.source) if each) or None
