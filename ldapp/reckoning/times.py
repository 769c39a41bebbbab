"""Days and instants of a claim: noon where no time of day is known, and ages."""

from __future__ import annotations

import calendar
import datetime as dt
from zoneinfo import ZoneInfo

from ldapp.claim.findings import Occurrence
from ldapp.language import said
from ldapp.local_forms import day_in_digits


def noon(day: dt.date, zone: ZoneInfo) -> dt.datetime:
    """Return noon of ``day`` in ``zone``, which stands for a day without a time."""
    return dt.datetime(day.year, day.month, day.day, 12, tzinfo=zone)


def occurrence_time(occurrence: Occurrence, zone: ZoneInfo) -> dt.datetime | None:
    """Return when an occurrence happened, noon where only its day is known, or None."""
    if occurrence.at is not None:
        return occurrence.at
    return None if occurrence.day is None else noon(occurrence.day, zone)


def whole_months(start: dt.date, end: dt.date) -> int:
    """Return the months completed from ``start`` to ``end``, never negative.

    A month is complete on the same day of the month, or on the last day of a month that
    is too short to have it.
    """
    months = (end.year - start.year) * 12 + end.month - start.month
    if end.day < start.day and end.day != calendar.monthrange(end.year, end.month)[1]:
        months -= 1
    return max(0, months)


def said_time(moment: dt.datetime | None) -> str:
    """Write an instant within a sentence: its day in the local form, and its offset."""
    text = time_text(moment)
    if moment is None:
        return text
    return day_in_digits(moment.date()) + text.removeprefix(moment.date().isoformat())


def time_text(moment: dt.datetime | None) -> str:
    """Write an instant with its offset, to the minute (ISO 8601), or say that it is not known."""
    return said("time not known") if moment is None else moment.isoformat(" ", "minutes")
