"""Times and durations as a crew member reads them; the same input gives the same words."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

_MONTHS: Final = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def day(moment: date) -> str:
    """Return ``14 Feb 2026``."""
    return f"{moment.day} {_MONTHS[moment.month - 1]} {moment.year}"


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
        return f"{round(whole / 86400)} days"
    return f"{whole / 31_556_952:.1f} years"


def _two(whole: int, unit: int, name: str, smaller: int, smaller_name: str) -> str:
    large, rest = divmod(whole, unit)
    small = rest // smaller
    return f"{large} {name} {small} {smaller_name}" if small else f"{large} {name}"


def number_of(count: int, one: str, many: str) -> str:
    """Return ``1 step`` or ``3 steps``."""
    return f"{count} {one if count == 1 else many}"
