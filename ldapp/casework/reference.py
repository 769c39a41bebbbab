"""Public depreciation tables, time rules and holidays, and those that a person keeps beside them.

None is ever taken by default: what an agreement or a policy says decides, and a table or
rule enters a claim only when a person takes it.  Its source goes with it.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from typing import Any

from pydantic import TypeAdapter, ValidationError

from ldapp.casework.templates import Remembers
from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import DeadlineRule, HolidayCalendar
from ldapp.claim.terms import DepreciationTable
from ldapp.errors import LdappError
from ldapp.exchange.holiday_rules import public_holidays
from ldapp.exchange.reference_data import (
    ReferenceRule,
    ReferenceTable,
    depreciation_tables,
    public_time_rules,
)
from ldapp.language import said

__all__ = [
    "OWN",
    "ReferenceRule",
    "ReferenceTable",
    "forget_own_holidays",
    "forget_own_rule",
    "forget_own_table",
    "holidays",
    "keep_holidays",
    "keep_rule",
    "keep_table",
    "own_holiday_places",
    "rules",
    "tables",
    "with_holidays",
    "with_rule",
    "years_of",
]

OWN = "own"
"""The status of a table and the place of a rule that a person keeps."""
_TABLES_KEY = "reference/depreciation tables"
_RULES_KEY = "reference/time rules"
_HOLIDAYS_KEY = "reference/holidays"


def _kept(memory: Remembers | None, key: str, adapter: TypeAdapter[Any]) -> tuple[Any, ...]:
    if memory is None:
        return ()
    try:
        kept: tuple[Any, ...] = adapter.validate_python(memory.remembered(key) or ())
    except ValidationError as error:
        raise LdappError(
            said(
                "Your own reference tables were kept by a newer version of this program "
                "and cannot be read by this one. The shipped ones can still be used."
            )
        ) from error
    return kept


def tables(memory: Remembers | None) -> tuple[ReferenceTable, ...]:
    """Return the depreciation tables: those that the program ships, then the person's own."""
    return (*depreciation_tables(), *_own_tables(memory))


def _own_tables(memory: Remembers | None) -> tuple[ReferenceTable, ...]:
    return _kept(memory, _TABLES_KEY, TypeAdapter(tuple[ReferenceTable, ...]))


def rules(memory: Remembers | None) -> tuple[ReferenceRule, ...]:
    """Return the time rules: those that the program ships, then the person's own."""
    return (*public_time_rules(), *_own_rules(memory))


def _own_rules(memory: Remembers | None) -> tuple[ReferenceRule, ...]:
    return _kept(memory, _RULES_KEY, TypeAdapter(tuple[ReferenceRule, ...]))


def holidays(
    memory: Remembers | None, first_year: int, last_year: int
) -> tuple[HolidayCalendar, ...]:
    """Return the days of these years that the program ships, place by place; then the own ones.

    Own days are given as they were kept, whatever their year.
    """
    shipped = tuple(one.calendar(first_year, last_year) for one in public_holidays())
    return (*shipped, *_own_holidays(memory))


def _own_holidays(memory: Remembers | None) -> tuple[HolidayCalendar, ...]:
    return _kept(memory, _HOLIDAYS_KEY, TypeAdapter(tuple[HolidayCalendar, ...]))


def own_holiday_places(memory: Remembers | None) -> tuple[str, ...]:
    """Return the places whose holidays the person keeps."""
    return tuple(one.place for one in _own_holidays(memory))


def years_of(claim: Claim, today: dt.date) -> tuple[int, int]:
    """Return the first and last year in which a period of a claim may run, this one included."""
    days = [today, *(one.dated for one in claim.invoices if one.dated)]
    for agreement in claim.agreements:
        days += [one.date() for one in (agreement.starts, agreement.ends) if one]
    return min(days).year, max(days).year + 1


def with_holidays(present: HolidayCalendar | None, more: HolidayCalendar) -> HolidayCalendar:
    """Return a paper's holidays with those of a place added; a day that is there keeps its name."""
    if present is None:
        return more
    known = {one.day for one in present.days}
    days = (*present.days, *(one for one in more.days if one.day not in known))
    return HolidayCalendar(
        place=_both_places(present.place, more.place),
        days=tuple(sorted(days, key=lambda one: one.day)),
        source=_both_sources(present.source, more.source),
        from_memory=present.from_memory or more.from_memory,
        clause=present.clause,
    )


def _both_places(one: str, two: str) -> str:
    if not one or not two or two in one:
        return one or two
    return said("{first} and {last}", first=one, last=two)


def _both_sources(one: str, two: str) -> str:
    return one or two if not one or not two or two in one else f"{one}; {two}"


def keep_holidays(memory: Remembers, calendar: HolidayCalendar) -> HolidayCalendar:
    """Keep a paper's holidays for other claims, under their place; those of it are replaced.

    Raises:
        LdappError: it names no place.
    """
    _code(calendar.place)
    kept = dataclasses.replace(calendar, clause=None)
    others = tuple(one for one in _own_holidays(memory) if one.place != kept.place)
    _remember(memory, _HOLIDAYS_KEY, TypeAdapter(tuple[HolidayCalendar, ...]), (*others, kept))
    return kept


def forget_own_holidays(memory: Remembers, place: str) -> None:
    """Take one of the person's own lists of holidays off; claims that took it keep it."""
    left = tuple(one for one in _own_holidays(memory) if one.place != place)
    _remember(memory, _HOLIDAYS_KEY, TypeAdapter(tuple[HolidayCalendar, ...]), left)


def keep_table(memory: Remembers, title: str, table: DepreciationTable) -> ReferenceTable:
    """Keep a table under a title, for other claims; one of the same title is replaced.

    Raises:
        LdappError: it has no title, or the title is that of a table that the program ships.
    """
    code = _code(title)
    if any(one.code == code or one.title == title.strip() for one in depreciation_tables()):
        raise LdappError(
            said(
                "“{title}” is a table that the program ships. Choose another.", title=title.strip()
            )
        )
    kept = ReferenceTable(
        code=code, title=title.strip(), status=OWN, rule=dataclasses.replace(table, clause=None)
    )
    others = tuple(one for one in _own_tables(memory) if one.code != code)
    _remember(memory, _TABLES_KEY, TypeAdapter(tuple[ReferenceTable, ...]), (*others, kept))
    return kept


def keep_rule(memory: Remembers, rule: DeadlineRule) -> ReferenceRule:
    """Keep a time rule for other claims; one of the same title is replaced.

    Raises:
        LdappError: it has no title.
    """
    code = _code(rule.title)
    kept = ReferenceRule(
        place=OWN, rule=dataclasses.replace(rule, code=code, clause=None, agreement=None)
    )
    others = tuple(one for one in _own_rules(memory) if one.rule.code != code)
    _remember(memory, _RULES_KEY, TypeAdapter(tuple[ReferenceRule, ...]), (*others, kept))
    return kept


def forget_own_table(memory: Remembers, code: str) -> None:
    """Take one of the person's own tables off the list; claims that took it keep it."""
    left = tuple(one for one in _own_tables(memory) if one.code != code)
    _remember(memory, _TABLES_KEY, TypeAdapter(tuple[ReferenceTable, ...]), left)


def forget_own_rule(memory: Remembers, code: str) -> None:
    """Take one of the person's own rules off the list; claims that took it keep it."""
    left = tuple(one for one in _own_rules(memory) if one.rule.code != code)
    _remember(memory, _RULES_KEY, TypeAdapter(tuple[ReferenceRule, ...]), left)


def with_rule(present: tuple[DeadlineRule, ...], rule: DeadlineRule) -> tuple[DeadlineRule, ...]:
    """Return a paper's deadlines with one more; one that is there already is not doubled."""
    if any(one.code == rule.code for one in present):
        return present
    return (*present, rule)


def _remember(
    memory: Remembers, key: str, adapter: TypeAdapter[Any], members: tuple[Any, ...]
) -> None:
    memory.remember(key, adapter.dump_python(members, mode="json"))


def _code(title: str) -> str:
    code = re.sub(r"\W+", "-", title.strip().lower()).strip("-")
    if not code:
        raise LdappError(said("Give it a title first: it is kept and found under that."))
    return f"{OWN}-{code}"
