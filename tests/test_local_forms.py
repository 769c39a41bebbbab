"""Numbers and days in the form of the language spoken."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from gettext import NullTranslations

import pytest
from babel.dates import format_date
from babel.numbers import format_decimal

from ldapp import language as spoken_language
from ldapp.language import make_known, speak, speaking
from ldapp.local_forms import (
    day_in_digits,
    decimal_sign,
    grouped,
    local_number,
    long_day,
    short_day,
    short_weekday,
)

DAY = dt.date(2026, 3, 2)


@pytest.fixture(autouse=True)
def known() -> Iterator[None]:
    readers = dict(spoken_language._readers)
    make_known("de", NullTranslations)
    yield
    speak("en")
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


def test_english_stands_as_it_always_did() -> None:
    assert local_number("-1,234.50") == "-1,234.50"
    assert grouped(1234567) == "1,234,567"
    assert decimal_sign() == "."
    assert long_day(DAY) == "2\u00a0March\u00a02026"
    assert short_day(dt.date(2026, 9, 2)) == "2 Sep"
    assert day_in_digits(DAY) == "2026-03-02"
    assert short_weekday(DAY) == "Mon"


def test_other_languages_write_as_the_unicode_data_says() -> None:
    with speaking("de"):
        assert local_number("-1,234.50") == format_decimal(-1234.5, "#,##0.00", locale="de")
        assert grouped(1234567) == format_decimal(1234567, locale="de")
        assert decimal_sign() == ","
        assert long_day(DAY).replace("\u00a0", " ") == format_date(DAY, "long", locale="de")
        assert short_day(DAY) == "2. März"
        assert day_in_digits(DAY) == "02.03.2026"
        assert short_weekday(DAY) == "Mo"
