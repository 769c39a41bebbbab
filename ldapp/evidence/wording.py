"""Times and durations as a crew member reads them; the same input gives the same words.

Seconds, minutes and hours stand as the symbols s, min and h (ISO 80000-3), in every language.
"""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache
from typing import Final

from ldapp.language import SOURCE_LANGUAGE, language, said, said_of
from ldapp.local_forms import local_number

_MONTHS: Final = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def day(moment: date) -> str:
    """Return ``14 Feb 2026``, or that in the form of the language spoken now."""
    spoken = language()
    if spoken == SOURCE_LANGUAGE:
        return f"{moment.day} {_MONTHS[moment.month - 1]} {moment.year}"
    return _local_day(spoken, moment.year, moment.month, moment.day)


@lru_cache(maxsize=4096)
def _local_day(spoken: str, year: int, month: int, day_of_month: int) -> str:
    # Thousands of photos are of a few days, and asking for the form takes longer than a rule.
    from babel.dates import format_skeleton  # noqa: PLC0415 - for other languages than English

    return str(format_skeleton("yMMMd", date(year, month, day_of_month), locale=spoken))


def clock_time(moment: datetime) -> str:
    """Return ``14 Feb 2026, 10:15:30`` in the time that the value carries."""
    return f"{day(moment)}, {moment:%H:%M:%S}"


def utc_offset(minutes: int) -> str:
    """Return ``UTC``, ``UTC+1`` or ``UTC+5:45``."""
    if minutes == 0:
        return "UTC"
    sign = "-" if minutes < 0 else "+"
    hours, rest = divmod(abs(minutes), 60)
    return f"UTC{sign}{hours}" + (f":{rest:02d}" if rest else "")


def duration(seconds: float) -> str:
    """Return a length of time in its one or two largest units; the sign is dropped."""
    whole = round(abs(seconds))
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return _two(whole, 60, "min", 1, "s")
    if whole < 2 * 86400:
        return _two(whole, 3600, "h", 60, "min")
    if whole < 400 * 86400:
        return said_of(round(whole / 86400), "{count} day", "{count} days")
    return said("{years} years", years=local_number(f"{whole / 31_556_952:.1f}"))


def _two(whole: int, unit: int, name: str, smaller: int, smaller_name: str) -> str:
    large, rest = divmod(whole, unit)
    small = rest // smaller
    return f"{large} {name} {small} {smaller_name}" if small else f"{large} {name}"
