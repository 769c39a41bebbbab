from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from gettext import NullTranslations

import pytest
from babel.dates import format_date

from ldapp import language as spoken_language
from ldapp.desktop.widgets.values import (
    amount_text,
    date_text,
    instant_text,
    money_text,
    parse_date,
    parse_decimal,
    parse_instant,
    parse_money,
    parse_percent,
    percent_field_text,
    plain_number,
)
from ldapp.errors import LdappError
from ldapp.language import make_known, speaking


@pytest.fixture
def speaks_german() -> Iterator[None]:
    readers = dict(spoken_language._readers)
    make_known("de", NullTranslations)
    with speaking("de"):
        yield
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


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
    for text in ("03/09/2026", "9.3.26", "30.2.2026", "2026-02-30", "soon", "9 Bar 2026"):
        with pytest.raises(LdappError):
            parse_date(text)


@pytest.mark.parametrize(
    "text",
    ["2.3.2026", "02.03.2026", "2. 3. 2026", "2. März 2026", "2 Mär 2026", "2. MRZ 2026"],
)
def test_points_and_german_months_are_day_month_year(text: str) -> None:
    assert parse_date(text) == dt.date(2026, 3, 2)


def test_every_german_month_is_understood() -> None:
    for number in range(1, 13):
        day = dt.date(2026, number, 2)
        for form in ("long", "medium", "d. MMM y"):
            assert parse_date(format_date(day, form, locale="de")) == day
    assert parse_date("2. Jänner 2026") == dt.date(2026, 1, 2)


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


@pytest.mark.parametrize(
    ("text", "english", "german"),
    [
        ("1.234,50", "1234.50", "1234.50"),
        ("1,234.50", "1234.50", "1234.50"),
        ("1.234.567,8", "1234567.8", "1234567.8"),
        ("1,5", "1.5", "1.5"),
        ("1.5", "1.5", "1.5"),
        ("1.234", "1.234", "1234"),
        ("1,234", "1234", "1.234"),
        ("-1.234", "-1.234", "-1234"),
        ("1,234,567", "1234567", None),
        ("1.234.567", None, "1234567"),
        ("1234.567", "1234.567", "1234.567"),
    ],
)
@pytest.mark.usefixtures("speaks_german")
def test_a_lone_sign_follows_the_language(
    text: str, english: str | None, german: str | None
) -> None:
    for language, wanted in (("en", english), ("de", german)):
        with speaking(language):
            if wanted is None:
                with pytest.raises(LdappError):
                    parse_decimal(text)
            else:
                assert parse_decimal(text) == Decimal(wanted)


@pytest.mark.usefixtures("speaks_german")
def test_german_forms_are_written_and_can_be_typed_again() -> None:
    assert amount_text(Decimal("-1234.5"), "EUR") == "−1.234,50"
    assert money_text(Decimal("1234.5"), "EUR") == "1.234,50 EUR"
    assert date_text(dt.date(2026, 3, 2)) == "02.03.2026"
    for number in ("1234.5", "1.234", "1234", "0.125", "-1234.567"):
        assert parse_decimal(plain_number(Decimal(number))) == Decimal(number)
    assert plain_number(Decimal("1.234")) == "1,234"
    assert plain_number(Fraction(5, 4)) == "1,25"
    assert plain_number(Fraction(11, 60)) == "11/60"
    for share in (Fraction(1, 8), Fraction(1, 3), Fraction(12345, 10000)):
        assert parse_percent(percent_field_text(share)) == share
    assert percent_field_text(Fraction(1, 8)) == "12,5"
    cairo = parse_instant("2. März 2026, 14.30 Uhr", "Africa/Cairo")
    assert instant_text(cairo) == "02.03.2026 14:30 +02:00"
    assert parse_instant(instant_text(cairo), "Europe/Berlin") == cairo
    with pytest.raises(LdappError, match=r"Expected: 0,5 or more"):
        parse_money("0", "EUR", least=Decimal("0.5"))
