"""Days out of service by dates, hours and statement."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.terms import LossOfUse
from ldapp.reckoning.loss_of_use import (
    Days,
    OutOfService,
    billed_days,
    out_of_service_days,
)


def day(number: int) -> dt.date:
    return dt.date(2026, 3, number)


FACTS: dict[str, Any] = {
    "notice": day(2),
    "return_due": day(4),
    "check_in": day(6),
    "repaired": day(12),
    "replaced": day(14),
    "paid": day(16),
}


def days(lost: bool = False, facts: dict[str, Any] | None = None, **term: Any) -> Days:
    given = FACTS if facts is None else facts
    return out_of_service_days(LossOfUse(**term), OutOfService(lost=lost, **given))


@pytest.mark.parametrize(
    ("starts", "counted"),
    [("notice", 10), ("return_due", 8), ("day_after_return_due", 7), ("check_in", 6)],
)
def test_where_the_days_start(starts: Any, counted: int) -> None:
    assert days(starts=starts, ends_when_damaged="repaired").days == counted
    assert days(starts=starts, last_day_counts=True).days == counted + 1


def test_where_the_days_end() -> None:
    assert days(ends_when_damaged="paid").days == 14
    assert days(lost=True, ends_when_lost="replaced").days == 12
    assert days(lost=True, ends_when_lost="paid", ends_when_damaged="repaired").days == 14


def test_defaults_are_said() -> None:
    found = days()
    assert found.days == 10
    for text in ("taken as the notice", "taken as repaired", "taken as not counted"):
        assert text in found.step.not_stated
    assert "taken as replaced" in days(lost=True).step.not_stated
    stated = days(starts="notice", ends_when_damaged="paid", last_day_counts=False)
    assert stated.step.not_stated == ""


def test_a_recorded_start_stands_in() -> None:
    facts = {"recorded_from": day(5), "repaired": day(9)}
    assert days(facts=facts).days == 4


def test_dates_that_are_not_known_are_named() -> None:
    found = days(facts={})
    assert found.days is None
    assert found.lacking == ("date: the notice", "date: repaired")
    assert days(facts={"notice": day(1)}).lacking == ("date: repaired",)
    assert days(facts={"repaired": day(1)}).lacking == ("date: the notice",)
    assert days(facts={}, starts="day_after_return_due").days is None


def test_an_end_before_the_start_is_no_day() -> None:
    assert days(facts={"notice": day(9), "repaired": day(2)}).days == 0


def test_days_from_hours() -> None:
    facts = {"labour_hours": Fraction(20)}
    assert days(facts=facts, days_from="hours_over_8").days == Fraction(5, 2)
    assert days(facts=facts, days_from="hours_over_8").step.result == "5/2"
    assert days(facts=facts, days_from="hours_over_4", administrative_days=3).days == 10
    # Nineteen hours are not five full repair days: no weekend.
    assert days(facts={"labour_hours": Fraction(19)}, days_from="hours_over_4").days == Fraction(
        19, 4
    )
    assert days(facts={}, days_from="hours_over_8").lacking == ("labour hours",)


def test_stated_days() -> None:
    assert days(days_from="stated", stated_days=Fraction(3)).days == 3
    assert days(days_from="stated").lacking == ("days",)


@pytest.mark.parametrize(
    ("number", "charged"), [(0, 0), (2, 2), (3, 3), (6, 3), (7, 3), (10, 6), (14, 6), (16, 8)]
)
def test_a_three_day_week(number: int, charged: int) -> None:
    assert billed_days(Fraction(number), Fraction(3)) == charged
    assert billed_days(Fraction(number), None) == number
