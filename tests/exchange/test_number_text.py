"""Numbers and days as several countries write them."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ldapp.exchange.number_text import (
    DateOrder,
    NumberStyle,
    date_order,
    number_style,
    read_date,
    read_number,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,234.56", "1234.56"),
        ("1.234,56", "1234.56"),
        ("1 234,56", "1234.56"),
        ("1\u00a0234,56", "1234.56"),
        ("1\u202f234\u202f567,80", "1234567.80"),
        ("1'234.50", "1234.50"),
        ("12,34,567.00", "1234567.00"),
        ("1,234", "1234"),
        ("1.234", "1234"),
        ("1.234.567", "1234567"),
        ("0,5", "0.5"),
        (".5", "0.5"),
        ("0.125", "0.125"),
        ("(123.45)", "-123.45"),
        ("$(45.00)", "-45.00"),
        ("-$1,250.00", "-1250.00"),
        ("123.45-", "-123.45"),
        ("\u2212 5", "-5"),
        ("250.00 CR", "-250.00"),
        ("$1,250.00", "1250.00"),
        ("US$ 1,250.00", "1250.00"),
        ("1.250,00 €", "1250.00"),
        ("EUR 1.250,00", "1250.00"),
        ("CHF 1'234.50", "1234.50"),
        ("12,-", "12"),
        ("12.–", "12"),
        (" 7 ", "7"),
    ],
)
def test_numbers_are_read_exactly(text: str, value: str) -> None:
    assert read_number(text) == Decimal(value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "abc",
        "2 ea",
        "12.5.3",
        "1,23,4",
        "5 %",
        "1/2",
        "--5",
        "(-5)",
        "1e5",
        "NaN",
        "-",
        "9" * 60,
    ],
)
def test_what_is_no_number_is_none(text: str) -> None:
    assert read_number(text) is None


@pytest.mark.parametrize(
    ("texts", "style"),
    [
        (["1,234", "12.50"], "point"),
        (["1.234", "12,50"], "comma"),
        (["1.234,56"], "comma"),
        (["1,234,567"], "point"),
        (["1 234,567"], "comma"),
        (["1,234", "5"], None),
        (["text", ""], None),
        (["1,50", "2.50"], None),
    ],
)
def test_the_decimal_sign_is_told_by_all_numbers(texts: list[str], style: str | None) -> None:
    assert number_style(texts) == style


def test_the_style_of_the_file_settles_what_one_number_leaves_open() -> None:
    assert read_number("1.234", "comma") == 1234
    assert read_number("1,234", "point") == 1234
    assert read_number("1,234", "comma") == Decimal("1.234")
    assert read_number("1.234,5", "point") is None


@given(
    st.decimals(min_value=-(10**9), max_value=10**9, places=2),
    st.sampled_from([("point", ",", "."), ("comma", ".", ","), ("comma", "\u202f", ",")]),
)
def test_a_grouped_number_is_read_back(value: Decimal, signs: tuple[NumberStyle, str, str]) -> None:
    style, thousands, decimals = signs
    text = f"{value:,.2f}".replace(",", "T").replace(".", decimals).replace("T", thousands)
    assert read_number(text, style) == value


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2026-03-02", None, (2026, 3, 2)),
        ("2026-03-02T00:00:00", None, (2026, 3, 2)),
        ("02.03.2026", None, (2026, 3, 2)),
        ("02.03.26", None, (2026, 3, 2)),
        ("3/2/2026", "month_first", (2026, 3, 2)),
        ("3/2/2026", "day_first", (2026, 2, 3)),
        ("13/2/2026", None, (2026, 2, 13)),
        ("2/13/2026", None, (2026, 2, 13)),
        ("2/2/2026", None, (2026, 2, 2)),
        ("March 2, 2026", None, (2026, 3, 2)),
        ("2 Mar 2026", None, (2026, 3, 2)),
        ("2. März 2026", None, (2026, 3, 2)),
        ("1er mars 2026", None, (2026, 3, 1)),
        ("2 de marzo de 2026", None, (2026, 3, 2)),
        ("3/2/2026", None, None),
        ("31.02.2026", None, None),
        ("2026", None, None),
        ("soon", None, None),
    ],
)
def test_days_are_read_or_left(
    text: str, order: DateOrder | None, day: tuple[int, int, int] | None
) -> None:
    assert read_date(text, order) == (dt.date(*day) if day else None)


def test_one_clear_day_settles_the_order_of_all() -> None:
    assert date_order(["3/2/2026", "2/13/2026"]) == "month_first"
    assert date_order(["3/2/2026", "13/2/2026"]) == "day_first"
    assert date_order(["3/2/2026"]) is None
