"""Public holidays as shipped: rules of a place, written out into the days of some years."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Literal

from dateutil.easter import easter
from dateutil.relativedelta import MO, relativedelta, weekday
from pydantic import TypeAdapter, ValidationError

from ldapp.claim.deadline_rules import Holiday, HolidayCalendar
from ldapp.claim.record import record
from ldapp.exchange.reference_data import reference_faults
from ldapp.language import said
from ldapp.resources import resource

Shift = Literal["stays", "friday_before", "monday_after", "next_free_weekday"]
_SATURDAY, _SUNDAY = 5, 6


@record
class HolidayRule:
    """One holiday of a year; weekdays count from Monday = 0.

    ``day`` of ``month``; with ``on_or_before`` the last such weekday up to that day; ``nth``
    ``weekday`` of ``month`` (-1: the last); or ``from_easter`` days after Easter Sunday
    (Gregorian).
    """

    name: str
    month: int | None = None
    day: int | None = None
    weekday: int | None = None
    nth: int | None = None
    on_or_before: int | None = None
    from_easter: int | None = None

    def in_year(self, year: int) -> dt.date:
        """Return the day of the holiday, before any shift off a weekend."""
        if self.from_easter is not None:
            return easter(year) + dt.timedelta(days=self.from_easter)
        first = dt.date(year, self.month or 1, 1)
        if self.weekday is not None and self.nth is not None:
            if self.nth < 0:
                last = relativedelta(day=31, weekday=weekday(self.weekday, self.nth))
                return first + last
            return first + relativedelta(weekday=weekday(self.weekday, self.nth))
        day = first.replace(day=self.day or 1)
        if self.on_or_before is not None:
            return day + relativedelta(weekday=weekday(self.on_or_before, -1))
        return day


@record
class HolidayPlace:
    """The public holidays of one place, and what happens to those on a weekend."""

    code: str
    place: str
    source: str
    from_memory: bool
    on_saturday: Shift
    on_sunday: Shift
    days: tuple[HolidayRule, ...]

    def calendar(self, first_year: int, last_year: int) -> HolidayCalendar:
        """Return the days of these years that are no business days, earliest first.

        A holiday that is kept on another day than its own says so in its name; one that is
        kept in the year before or after its own is among the days of that year.
        """
        found: dict[dt.date, str] = {}
        for year in range(first_year - 1, last_year + 2):
            for day, name in self._of_year(year):
                if first_year <= day.year <= last_year:
                    found.setdefault(day, name)
        return HolidayCalendar(
            place=self.place,
            days=tuple(Holiday(day=day, name=found[day]) for day in sorted(found)),
            source=self.source,
            from_memory=self.from_memory,
        )

    def _of_year(self, year: int) -> Iterator[tuple[dt.date, str]]:
        own = {rule.in_year(year): rule.name for rule in self.days}
        taken = set(own)
        for day in sorted(own):
            shift = {_SATURDAY: self.on_saturday, _SUNDAY: self.on_sunday}.get(day.weekday())
            kept = _shifted(day, shift or "stays", taken)
            taken.add(kept)
            yield (
                kept,
                own[day]
                if kept == day
                else said("{own} (in lieu of {day})", own=own[day], day=day.isoformat()),
            )


def _shifted(day: dt.date, shift: Shift, taken: set[dt.date]) -> dt.date:
    if shift == "friday_before":
        return day - dt.timedelta(days=1)
    if shift == "monday_after":
        return day + relativedelta(weekday=MO(1))
    if shift == "next_free_weekday":
        while day.weekday() >= _SATURDAY or day in taken:
            day += dt.timedelta(days=1)
    return day


@record
class _HolidayFile:
    about: str
    places: tuple[HolidayPlace, ...]


@cache
def public_holidays() -> tuple[HolidayPlace, ...]:
    """Return the places whose public holidays the program ships."""
    return read_holidays(resource("reference", "holidays.json"))


def read_holidays(path: Path) -> tuple[HolidayPlace, ...]:
    """Read a file of public holidays; InputError names every fault in it."""
    try:
        return TypeAdapter(_HolidayFile).validate_json(path.read_bytes()).places
    except ValidationError as error:
        raise reference_faults(path, error) from error
