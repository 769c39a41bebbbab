"""Published figures for periods, rounding and allocation.

Source and status stand beside each check; "from memory" where the figures were not seen.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from ldapp.claim.deadline_rules import DeadlineRule, Holiday, HolidayCalendar
from ldapp.claim.policy import OtherInsurance, PolicyLimit, PolicyTerms
from ldapp.claim.terms import Interest, TaxComponentRule, TaxRule, Terms
from ldapp.exchange.reference_data import public_time_rules
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.money import allocate, minor_digits, round_half_up
from ldapp.reckoning.result import Deadline
from tests.reckoning.claims import (
    REPLACEMENT,
    charge,
    claim,
    event,
    invoice,
    line,
    loss_claim,
    missing,
    only_occurrence,
)

Holidays = frozenset[dt.date]


def deadline(
    start: dt.date | dt.datetime,
    length: int,
    holidays: Holidays = frozenset(),
    zone: str = "UTC",
    **more: Any,
) -> Deadline:
    rule = DeadlineRule(code="x", title="A period", starts="loss", length=length, **more)
    happened = event(at=start, day=None) if isinstance(start, dt.datetime) else event(day=start)
    days = HolidayCalendar(days=tuple(Holiday(day=day) for day in sorted(holidays)))
    terms = PolicyTerms(deadlines=(rule,), holidays=days)
    of = claim(occurrences=[happened], policy=terms, zone=zone)
    (found,) = reckon(of).deadlines
    return found


def test_tim_01_weekend_end_rolls_and_a_holiday_inside_counts() -> None:
    # Federal Rule of Civil Procedure 6(a)(1); seen.
    found = deadline(dt.date(2026, 6, 18), 3, frozenset({dt.date(2026, 6, 19)}), rolls=True)
    assert (found.raw_end, found.due) == (dt.date(2026, 6, 21), dt.date(2026, 6, 22))


def test_tim_02_saturday_before_a_holiday_monday() -> None:
    # The same rule, committee example; from memory.
    found = deadline(dt.date(2007, 8, 22), 10, frozenset({dt.date(2007, 9, 3)}), rolls=True)
    assert (found.raw_end, found.due) == (dt.date(2007, 9, 1), dt.date(2007, 9, 4))


def test_tim_04_hours_run_through_the_clock_change() -> None:
    # Rule 6(a)(2), committee example; from memory.
    zone = "America/New_York"
    start = dt.datetime(2007, 11, 2, 10, 23, tzinfo=ZoneInfo(zone))
    found = deadline(start, 72, zone=zone, unit="hours")
    assert found.due_at is not None
    assert found.due_at.isoformat() == "2007-11-05T09:23:00-05:00"


@pytest.mark.parametrize(
    ("check", "start", "days", "unit", "due"),
    [
        # 10 CCR 2695.5: acknowledge in 15 days, answer the department in 21; rule seen.
        ("TIM-06", "2026-05-04", 15, "calendar_days", "2026-05-19"),
        ("TIM-06", "2026-05-04", 21, "calendar_days", "2026-05-25"),
        # 10 CCR 2695.7(h): pay in 30 days of acceptance; from memory.
        ("TIM-08", "2026-06-29", 30, "calendar_days", "2026-07-29"),
        # Texas Insurance Code 542.055 and 542.057; rule seen.
        ("TIM-09", "2026-06-01", 15, "calendar_days", "2026-06-16"),
        ("TIM-09", "2026-06-01", 5, "business_days", "2026-06-08"),
        # Florida: acknowledge in 14 days, begin in 10 working days (2010 edition); rule seen.
        ("TIM-12", "2026-05-04", 14, "calendar_days", "2026-05-18"),
        ("TIM-12", "2026-05-04", 10, "business_days", "2026-05-18"),
        # Standard fire policy: proof in 60 days, payment 60 days after proof; from memory.
        ("TIM-15", "2026-01-15", 60, "calendar_days", "2026-03-16"),
        ("TIM-15", "2026-03-10", 60, "calendar_days", "2026-05-09"),
    ],
)
def test_public_periods(check: str, start: str, days: int, unit: Any, due: str) -> None:
    found = deadline(dt.date.fromisoformat(start), days, unit=unit)
    assert found.due == dt.date.fromisoformat(due), check


def test_tim_11_interest_on_a_late_amount() -> None:
    # Colorado Insurance Regulation 5-1-14, section 4: 8 % a year; rule seen, figure derived
    # over actual days and 365.  The regulation's penalties on insurers are not reckoned.
    bill = invoice(
        charge("h1", "10000.00", finding="f1"),
        charge("h2", "500.00", ["fee_not_agreed"], kind="interest"),
    )
    found = reckon(
        claim(
            kit=[line("k1", "10000.00")],
            findings=[missing()],
            occurrences=[event()],
            invoices=[bill],
            terms=Terms(valuation=REPLACEMENT, interest=Interest(yearly_rate=Fraction("0.08"))),
            agreement={"paid": bill.dated + dt.timedelta(days=45)},
        )
    )
    assert found.charges[1].owed == Decimal("98.63")


def test_tim_14_periods_of_the_model_regulation() -> None:
    # NAIC Model Regulation 902 (July 1997), sections 6-7; from memory.
    days = {
        each.rule.code: each.rule.length
        for each in public_time_rules()
        if each.rule.code.startswith("naic-")
    }
    assert days == {
        "naic-acknowledge": 15,
        "naic-decide": 21,
        "naic-status": 45,
        "naic-pay": 30,
    }


@pytest.mark.parametrize(
    ("taxable", "tax"),
    [("11.240", "1.12"), ("11.249", "1.12"), ("11.250", "1.13"), ("11.290", "1.13")],
)
def test_rnd_01_sales_tax_rounds_half_up(taxable: str, tax: str) -> None:
    # A sales-tax rounding rule, third decimal above four rounds up; rule seen.  In a currency
    # of three decimals the taxable amount has them; the raw tax of 10 % is 1.1240 and so on.
    assert round_half_up(Fraction(taxable) / 10, 2) == Decimal(tax)


def test_rnd_01_through_a_charge() -> None:
    # The same rule through the engine: 12.50 % of 9.00 is 1.1250.
    rule = TaxRule(
        rates=(Fraction("0.1250"),),
        components=(TaxComponentRule(component="replacement", taxable=True),),
    )
    bill = invoice(
        charge("h1", "9.00", finding="f1"), charge("h2", "5.00", ["tax_not_due"], kind="tax")
    )
    found = reckon(
        claim(
            kit=[line("k1", "9.00")],
            findings=[missing()],
            occurrences=[event()],
            invoices=[bill],
            terms=Terms(valuation=REPLACEMENT, tax=rule),
        )
    )
    assert found.charges[1].owed == Decimal("1.13")


@pytest.mark.parametrize(
    ("check", "amount", "rounded"),
    [
        # IRS whole-dollar rounding; seen.
        ("RND-03", "1.39", "1"),
        ("RND-03", "2.50", "3"),
        # A state's examples of half-dollar rounding; seen.
        ("RND-05", "129.49", "129"),
        ("RND-05", "235.50", "236"),
    ],
)
def test_whole_units_through_a_currency_without_decimals(
    check: str, amount: str, rounded: str
) -> None:
    found = only_occurrence(loss_claim([amount], currency="JPY"))
    assert found.loss == Decimal(rounded), check


def test_rnd_04_add_first_then_round() -> None:
    # The same IRS rule: cents are added first and only the total is rounded; seen.  Two items
    # under one policy, in a currency without decimals, are summed before the one rounding.
    amounts = [Fraction("5000.55"), Fraction("18500.73")]
    assert round_half_up(sum(amounts, Fraction(0)), 0) == Decimal(23501)


@pytest.mark.parametrize(
    ("amount", "rate", "rounded"),
    [("500", "239.640", "2.09"), ("1000", "239.640", "4.17")],
)
def test_rnd_06_conversion_does_not_round_the_rate(amount: str, rate: str, rounded: str) -> None:
    # Council Regulation (EC) 1103/97 and a changeover guide's examples; seen.
    assert round_half_up(Fraction(amount) / Fraction(rate), 2) == Decimal(rounded)


@pytest.mark.parametrize(("amount", "rounded"), [("24.784", "24.78"), ("24.785", "24.79")])
def test_rnd_06_exact_half_up(amount: str, rounded: str) -> None:
    # The same guide; seen.
    assert only_occurrence(loss_claim([amount])).loss == Decimal(rounded)


def test_rnd_07_minor_units() -> None:
    # ISO 4217; from memory.
    assert {c: minor_digits(c) for c in ("USD", "EUR", "JPY", "BHD")} == {
        "USD": 2,
        "EUR": 2,
        "JPY": 0,
        "BHD": 3,
    }


def test_rnd_09_five_cents_by_three_to_seven() -> None:
    # A pattern catalogue's allocation example; seen.  The tie goes to the share named first.
    assert allocate(Decimal("0.05"), [Fraction(3), Fraction(7)], 2) == (
        Decimal("0.02"),
        Decimal("0.03"),
    )
    assert allocate(Decimal("0.05"), [Fraction(7), Fraction(3)], 2) == (
        Decimal("0.04"),
        Decimal("0.01"),
    )


def test_rnd_09_through_two_insurers() -> None:
    # The same through the engine: limits of 3 and 7 share a loss of 0.05.
    terms = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(3)),
        other_insurance=(OtherInsurance(insurer="another", limit=Decimal(7)),),
        other_insurance_shares="by_limits",
    )
    found = only_occurrence(loss_claim(["0.05"], terms))
    assert (found.policy, found.other_insurance) == (Decimal("0.02"), Decimal("0.03"))
