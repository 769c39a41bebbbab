"""Age and depreciation: straight line over a life, or a printed table by year."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from ldapp.claim.terms import DepreciationRule, DepreciationTable, StraightLine
from ldapp.language import language, said, said_in, said_of
from ldapp.reckoning.figures import percent_text, said_number
from ldapp.reckoning.money import ZERO
from ldapp.reckoning.result import Step
from ldapp.reckoning.times import whole_months
from ldapp.reckoning.workings import inputs, plain_step

ONE = Fraction(1)


class Age(NamedTuple):
    """How old a thing was: from its day of acquisition, or months where only they are known."""

    acquired: dt.date | None
    lost: dt.date | None
    months: int | None

    @property
    def known(self) -> bool:
        """Whether an age can be computed."""
        return self.months is not None or (self.acquired is not None and self.lost is not None)

    def whole_months(self) -> int:
        """Return the completed months; an acquisition after the loss is age nought."""
        if self.acquired is not None and self.lost is not None:
            return whole_months(self.acquired, self.lost)
        return self.months or 0

    def calendar_years(self) -> int:
        """Return year of loss less year of acquisition, or whole years of known months."""
        if self.acquired is not None and self.lost is not None:
            return max(0, self.lost.year - self.acquired.year)
        return self.whole_months() // 12

    def years_over_365(self) -> Fraction:
        """Return days over 365, or twelfths of the months where only they are known."""
        if self.acquired is not None and self.lost is not None:
            return Fraction(max(0, (self.lost - self.acquired).days), 365)
        return Fraction(self.whole_months(), 12)


class Depreciated(NamedTuple):
    """An exact value after depreciation, the rate that was taken and how."""

    value: Fraction
    rate: Fraction
    step: Step


def depreciation_rate(rule: DepreciationRule, age: Age) -> tuple[Fraction, Step]:
    """Return the depreciated share for a known ``age``, between 0 and 1, with its step.

    The rule's life must be stated.  Things bought together share their age and so this.
    """
    return _rate_in(language(), rule, age)


@lru_cache(maxsize=1024)
def _rate_in(spoken: str, rule: DepreciationRule, age: Age) -> tuple[Fraction, Step]:
    """Return the rate with its step in the language spoken now, which is part of the key."""
    if isinstance(rule, StraightLine):
        return _straight_line_rate(rule, age)
    return _table_rate(rule, age)


def _straight_line_rate(rule: StraightLine, age: Age) -> tuple[Fraction, Step]:
    life = Fraction(rule.life_months or 1)
    if rule.half_year:
        years = age.calendar_years()
        months = Fraction(12 * years + 6)
        how = said_of(
            years,
            "{count} calendar years and one half",
            "{count} calendar years and one half",
            count=years,
        )
    elif rule.age == "whole_months":
        count = age.whole_months()
        months = Fraction(count)
        how = said_of(count, "{count} whole months", "{count} whole months", count=count)
    elif rule.age == "whole_years":
        years = age.whole_months() // 12
        months = Fraction(12 * years)
        how = said_of(years, "{count} whole years", "{count} whole years", count=years)
    else:
        months = 12 * age.years_over_365()
        how = said("{years} years of 365 days", years=said_number(months / 12))
    rate = min(ONE, months / life)
    step = plain_step(
        said("Rate of depreciation"),
        said("straight line: the lesser of 1 and age ÷ life"),
        percent_text(rate),
        inputs(
            (said_in("working", "age"), how),
            (said_in("working", "acquired"), age.acquired),
            (said_in("working", "lost"), age.lost),
            (said_in("working", "life"), _life_text(rule.life_months)),
        ),
        clause=rule.clause,
    )
    return rate, step


def _life_text(months: int | None) -> str:
    return said_of(months or 0, "{count} months", "{count} months", count=months)


def _table_rate(rule: DepreciationTable, age: Age) -> tuple[Fraction, Step]:
    if rule.year == "calendar_years":
        row = age.calendar_years()
        how = said("year of loss less year of acquisition, the first row being 0")
    elif rule.year == "years_completed":
        row = age.whole_months() // 12 - 1
        how = said("years completed, the first row being the first year completed")
    else:
        row = age.whole_months() // 12
        how = said("years begun, the first row being the first year begun")
    if rule.shows == "percent_good":
        good = ONE if row < 0 else rule.by_year[min(row, len(rule.by_year) - 1)]
        rate = ONE - good
        reading = said("percent good of the row; the last row is the floor")
    else:
        rate = min(ONE, sum(rule.by_year[: row + 1], ZERO))
        reading = said("percentages of all rows up to this one, added as printed")
    step = plain_step(
        said("Rate of depreciation"),
        said("table as printed: {reading}", reading=reading),
        percent_text(rate),
        inputs(
            (said_in("working", "row"), row),
            (said("read by"), how),
            (said_in("working", "acquired"), age.acquired),
            (said_in("working", "lost"), age.lost),
            (said_in("working", "source"), rule.source or None),
        ),
        clause=rule.clause,
    )
    return rate, step


def depreciate(cost: Fraction, rule: DepreciationRule, age: Age) -> Depreciated:
    """Return ``cost`` after depreciation, never under the residual (itself at most the cost).

    Straight line takes the rate of cost less residual; a table takes it of the cost.
    """
    rate, step = depreciation_rate(rule, age)
    residual = ZERO
    if rule.residual_amount is not None:
        residual = Fraction(rule.residual_amount)
    elif rule.residual_share is not None:
        residual = cost * rule.residual_share
    residual = min(residual, cost)
    if isinstance(rule, StraightLine):
        value = cost - (cost - residual) * rate
    else:
        value = max(residual, cost * (ONE - rate))
    return Depreciated(value, rate, step)
