from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction

import pytest

from ldapp.desktop.widgets.values import (
    amount_text,
    instant_text,
    parse_date,
    parse_instant,
    parse_money,
    parse_percent,
    percent_field_text,
)
from ldapp.errors import LdappError


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("1,234.50", "1234.50"),
        ("1.234,50", "1234.50"),
        ("1234,5", "1234.50"),
        ("1,234", "1234.00"),
        ("$ 12", "12.00"),
        ("12 USD", "12.00"),
        ("1 234,50", "1234.50"),
        ("−5.00", "-5.00"),
    ],
)
def test_money_is_read_as_people_write_it(text: str, amount: str) -> None:
    assert parse_money(text, "USD") == Decimal(amount)


@pytest.mark.parametrize("text", ["twelve", "1.234.5", "", "1.005", "NaN", "Infinity"])
def test_what_is_no_money_is_refused(text: str) -> None:
    with pytest.raises(LdappError):
        parse_money(text, "USD")


def test_a_currency_without_minor_unit_takes_no_decimals() -> None:
    assert parse_money("1,200", "JPY") == Decimal(1200)
    assert amount_text(Decimal(1200), "JPY") == "1,200"
    with pytest.raises(LdappError, match="more than 0 digits"):
        parse_money("12.50", "JPY")


@pytest.mark.parametrize(
    ("text", "share", "again"),
    [
        ("15", Fraction(15, 100), "15"),
        ("12.5 %", Fraction(1, 8), "12.5"),
        ("1/3", Fraction(1, 3), "1/3"),
        ("100", Fraction(1), "100"),
    ],
)
def test_percentages_are_exact(text: str, share: Fraction, again: str) -> None:
    assert parse_percent(text) == share
    assert percent_field_text(share) == again
    assert parse_percent(percent_field_text(share)) == share


def test_a_day_that_could_be_two_is_refused() -> None:
    assert parse_date("2026-03-09") == dt.date(2026, 3, 9)
    assert parse_date("9 Mar 2026") == dt.date(2026, 3, 9)
    assert parse_date("Mar 9, 2026") == dt.date(2026, 3, 9)
    for text in ("03/09/2026", "9.3.2026", "2026-02-30", "soon"):
        with pytest.raises(LdappError):
            parse_date(text)


def test_a_time_is_of_the_claims_zone_unless_it_says_an_offset() -> None:
    denver = parse_instant("2026-03-09 19:05", "America/Denver")
    assert denver.utcoffset() == dt.timedelta(hours=-6)
    assert instant_text(denver) == "2026-03-09 19:05 -06:00"
    assert parse_instant("2026-03-09 19:05 +01:00", "America/Denver").utcoffset() == dt.timedelta(
        hours=1
    )
    assert parse_instant("2026-03-09", "America/Denver").hour == 12
    assert parse_instant(instant_text(denver), "Europe/Berlin") == denver


def test_an_hour_that_the_clock_skipped_is_refused() -> None:
    with pytest.raises(LdappError, match="never showed"):
        parse_instant("2026-03-08 02:30", "America/Denver")
