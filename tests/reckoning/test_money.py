"""Rounding, allocation, exact numbers as text, order of printed numbers."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ldapp.reckoning.figures import number_text, percent_text
from ldapp.reckoning.index import natural
from ldapp.reckoning.money import (
    allocate,
    allocate_capped,
    minor_digits,
    round_half_up,
)
from ldapp.reckoning.workings import inputs, money_text, value_text


@pytest.mark.parametrize(
    ("currency", "digits"), [("EUR", 2), ("JPY", 0), ("KWD", 3), ("CLF", 4), ("ZZZ", 2)]
)
def test_minor_digits(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


@pytest.mark.parametrize(
    ("amount", "rounded"),
    [("0.005", "0.01"), ("-0.005", "-0.01"), ("0.00499", "0.00"), ("2.675", "2.68")],
)
def test_half_goes_away_from_nought(amount: str, rounded: str) -> None:
    assert round_half_up(Fraction(amount), 2) == Decimal(rounded)
    assert round_half_up(Decimal(amount), 2) == Decimal(rounded)


def test_a_whole_number_rounds_to_itself_with_its_decimals() -> None:
    assert str(round_half_up(7, 2)) == "7.00"
    assert str(round_half_up(Fraction(7), 0)) == "7"


@given(st.fractions(-(10**9), 10**9), st.integers(0, 4))
def test_rounding_mirrors_and_stays_within_half_a_unit(amount: Fraction, digits: int) -> None:
    rounded = round_half_up(amount, digits)
    assert round_half_up(-amount, digits) == -rounded
    assert abs(Fraction(rounded) - amount) * 2 <= Fraction(1, 10**digits)


def test_the_largest_remainder_takes_what_is_left() -> None:
    third = [Fraction(1)] * 3
    assert allocate(Decimal("1.00"), third, 2) == (
        Decimal("0.34"),
        Decimal("0.33"),
        Decimal("0.33"),
    )
    assert allocate(Decimal("-1.00"), third, 2)[0] == Decimal("-0.34")
    assert allocate(Decimal("0.05"), [Fraction(0), Fraction(0)], 2) == (
        Decimal("0.05"),
        Decimal("0.00"),
    )
    assert allocate(Decimal("0.05"), [], 2) == ()
    # 2.5 and 2.5 of 5: the later one has the larger remainder only in a true largest case.
    assert allocate(Decimal(10), [Fraction(1), Fraction(5)], 0) == (Decimal(2), Decimal(8))


def test_no_share_is_above_its_cap() -> None:
    shares = allocate_capped(
        Decimal(100), [Fraction(1)] * 3, [Decimal(10), Decimal(80), Decimal(80)], 0
    )
    assert shares == (Decimal(10), Decimal(45), Decimal(45))
    nothing = allocate_capped(Decimal(10), [Fraction(0), Fraction(0)], [Decimal(4), Decimal(6)], 0)
    assert nothing == (Decimal(4), Decimal(6))


@given(
    st.lists(st.tuples(st.fractions(0, 50), st.integers(0, 500)), min_size=1, max_size=6),
    st.integers(0, 3000),
)
def test_capped_shares_sum_to_what_the_caps_hold(
    rows: list[tuple[Fraction, int]], cents: int
) -> None:
    caps = [Decimal(cap) / 100 for _, cap in rows]
    total = min(Decimal(cents) / 100, sum(caps, Decimal(0)))
    shares = allocate_capped(total, [weight for weight, _ in rows], caps, 2)
    assert sum(shares) == total
    assert all(0 <= share <= cap for share, cap in zip(shares, caps, strict=True))


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (Fraction(3), "3"),
        (Fraction(-1, 8), "-0.125"),
        (Fraction(1, 20), "0.05"),
        (Fraction(11, 60), "11/60"),
        (Decimal("2.50"), "2.5"),
        (Fraction(0), "0"),
        (Fraction(1234, 100), "12.34"),
    ],
)
def test_numbers_are_written_exactly(number: Fraction | Decimal, text: str) -> None:
    assert number_text(number) == text


def test_values_of_a_working() -> None:
    assert percent_text(Fraction(3, 8)) == "37.5 %"
    assert percent_text(Fraction(5, 6)) == "83.33 % (exactly 5/6)"
    assert percent_text(Fraction(2, 3)) == "66.67 % (exactly 2/3)"
    assert percent_text(Fraction(1, 3)) == "33.33 % (exactly 1/3)"
    assert money_text(None) == "cannot be computed yet"
    assert money_text(Decimal("1E+2")) == "100"
    assert [value_text(v) for v in (Decimal("1.50"), Fraction(1, 3), 7, "x")] == [
        "1.50",
        "1/3",
        "7",
        "x",
    ]
    assert [i.name for i in inputs(("a", 1), ("b", None))] == ["a"]


def test_printed_numbers_sort_as_people_do() -> None:
    numbers = ["10", "2", "1b", "1a", "A-10", "A-9", "", "1"]
    assert sorted(numbers, key=natural) == ["", "1", "1a", "1b", "2", "10", "A-9", "A-10"]
