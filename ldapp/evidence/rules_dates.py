"""Rules T: whether a date is there, can be, and agrees with the others in the file."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Final

from ldapp.claim.photo_facts import Reason, RecordedTime
from ldapp.evidence.case import Case, agree_after_shift, reason, seconds_between
from ldapp.evidence.times import (
    PLACEHOLDER,
    local_datetime,
    names_a_scanner,
    read_date,
    read_xmp_time,
)
from ldapp.evidence.wording import clock_time, day, duration
from ldapp.language import said

_DIGITAL_SINCE: Final = 1995
_EPOCH_YEARS: Final = frozenset({1904, 1970, 1980})
"""Years from which clocks count: 1904 in movie files (ISO/IEC 14496-12, 8.2.2), 1970 in
most systems (IEEE 1003.1, 4.16), 1980 on cards (FAT directory entries) and in satellite
receivers (6 January 1980, IS-GPS-200, 3.3.4)."""
_RESET_HOURS: Final = (0, 12)
"""Clocks that were reset begin at midnight or noon (common practice, no source)."""


def date_rules(case: Case) -> Iterator[Reason]:
    """Yield the findings T1 to T12, except T7, which depends on the others."""
    yield from _presence(case)
    yield from _plausible(case)
    yield from _other_fields(case)
    facts = case.facts
    if not facts.complete and facts.error is None:
        yield reason(
            "T12",
            "undermines",
            said("The file is incomplete; its date can be read but not relied on.")
            if case.taken
            else said("The file is incomplete; copy it from the camera again."),
        )


def _presence(case: Case) -> Iterator[Reason]:
    facts = case.facts
    if case.taken is None:
        yield reason("T1", "note", said("The file carries no date of its own."))
    fields = (facts.taken, facts.digitized, facts.changed)
    blank = facts.taken is not None and facts.taken.state in ("blank", "zero")
    if blank or (case.taken is None and any(f and f.state in ("blank", "zero") for f in fields)):
        yield reason(
            "T2", "note", said("The camera left the date blank; its clock was probably never set.")
        )
    used = _used_field(case)
    if used is not None and used.state == "unusual":
        taken = case.taken
        shown = clock_time(taken.moment) if taken else ""
        yield reason(
            "T3",
            "weakens",
            said("The date is written in an unusual form; we read it as {time}.", time=shown),
        )
    for field in (facts.taken, facts.digitized if case.taken is None else None):
        if field is not None and field.state == "impossible":
            yield reason(
                "T4", "undermines", said("The date cannot exist: {date}.", date=field.raw.strip())
            )
            break
        if field is not None and field.state == "unreadable":
            yield reason(
                "T4", "undermines", said("The date cannot be read: {date}.", date=field.raw.strip())
            )
            break


def _used_field(case: Case) -> RecordedTime | None:
    if case.taken is None:
        return None
    fields = {
        "original": case.facts.taken,
        "digitized": case.facts.digitized,
        "changed": case.facts.changed,
    }
    return fields.get(case.taken.source)


def _plausible(case: Case) -> Iterator[Reason]:
    taken, clock, context = case.taken, case.clock, case.context
    if taken is None or clock is None:
        return
    best = clock.best
    limit = timedelta(minutes=10) if case.offset_known else timedelta(hours=26)
    for words, moment in (("taken_in", context.imported), ("today", context.now)):
        if moment is not None and best - moment > limit:
            yield reason(
                "T5",
                "excludes",
                said("The date lies after the moment the file was taken in.")
                if words != "today"
                else said(
                    "The date lies in the future: {time}.",
                    time=clock_time(taken.moment),
                ),
            )
            break
    start = context.agreement_start
    if best.year < _DIGITAL_SINCE or (start is not None and _ten_years_before(best, start)):
        yield reason(
            "T6",
            "undermines",
            said(
                "The date ({day}) is older than digital cameras, or far older than this job.",
                day=day(best),
            ),
        )


def _ten_years_before(best: datetime, start: date) -> bool:
    # By calendar year and day, so that a leap day does not matter.
    return (best.year + 10, best.month, best.day) < (start.year, start.month, start.day)


def factory_setting(case: Case) -> Reason | None:
    """Return T7: the date looks like that of a clock that was reset.

    Asked only where no other source supports the date.
    """
    taken, clock = case.taken, case.clock
    if taken is None or clock is None or clock.corrected is not None:
        return None
    if not _looks_reset(taken.moment):
        return None
    return reason(
        "T7",
        "undermines",
        said("This looks like the factory setting of a clock that was reset (battery, first use)."),
    )


def _looks_reset(moment: datetime) -> bool:
    """Say whether a wall clock shows what cameras begin with after a flat battery.

    Most begin on the first of January of the model's year, and every picture of that day
    is in doubt.  Others begin with another month, on its first day at midnight or noon to
    the second.  A device that counts from an epoch and shows it west of Greenwich begins
    on New Year's Eve, on the full hour.  Which model begins where is written nowhere that
    could be cited, so the form decides and not a list of models.
    """
    if moment.year in _EPOCH_YEARS or (moment.month, moment.day) == (1, 1):
        return True
    on_the_hour = (moment.minute, moment.second, moment.microsecond) == (0, 0, 0)
    if moment.day == 1:
        return on_the_hour and moment.hour in _RESET_HOURS
    return (moment.month, moment.day) == (12, 31) and on_the_hour and moment.hour >= _NOON


_NOON: Final = 12


def _other_fields(case: Case) -> Iterator[Reason]:
    facts, taken = case.facts, case.taken
    digitized = facts.digitized
    if digitized is not None and digitized.local == PLACEHOLDER:
        yield reason(
            "T9",
            "note",
            said(
                "The digitized date is a known fault of some phones; the taken date is "
                "not affected."
            ),
        )
    elif (
        taken is not None
        and taken.source == "original"
        and digitized is not None
        and digitized.local is not None
        and not names_a_scanner(facts)
        and (moment := local_datetime(digitized.local, digitized.digits)) is not None
        and (apart := abs(seconds_between(moment, taken.moment))) > 5
    ):
        yield reason(
            "T8",
            "weakens",
            said(
                "Two date fields that a camera writes together differ by {difference}.",
                difference=duration(apart),
            ),
        )
    yield from _second_block(case)
    yield from _against_xmp(case)


def _second_block(case: Case) -> Iterator[Reason]:
    first, raw = case.facts.taken, case.facts.second_taken
    if raw is None or first is None or first.local is None:
        return
    second = read_date(raw)
    if second.local is not None and first.local != second.local:
        yield reason(
            "T10",
            "undermines",
            said("The file holds two sets of camera data with different dates."),
        )


def _against_xmp(case: Case) -> Iterator[Reason]:
    taken, xmp = case.taken, case.facts.xmp
    if taken is None or xmp is None or taken.source != "original":
        return
    written = read_xmp_time(xmp.taken)
    if written is None:
        alone = _day_alone(xmp.taken or "")
        if alone is not None and abs((alone - taken.moment.date()).days) > 1:
            yield _disagree(day(taken.moment), day(alone))
        return
    # Digits behind the second are often left out of one of the two.
    one, other = taken.moment.replace(microsecond=0), written.moment.replace(microsecond=0)
    if not agree_after_shift(one, other, 1):
        yield _disagree(clock_time(one), clock_time(other))


def _day_alone(text: str) -> date | None:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return None


def _disagree(one: str, other: str) -> Reason:
    return reason(
        "T11",
        "weakens",
        said("The two places that hold the date disagree ({one}; {other}).", one=one, other=other),
    )
