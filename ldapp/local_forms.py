"""How numbers and days are written in the language spoken now.

In English they stand as the program has always written them, so that files, scripts and
workings do not change; other languages take their signs and the order of a day's parts from
the Unicode CLDR, as the ``babel`` library carries it.  Only the looks change here: nothing that
is read back by a program (claim files, CSV with a fixed form, JSON) goes through this module.
"""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import NamedTuple

from ldapp.language import SOURCE_LANGUAGE, language

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


class _Signs(NamedTuple):
    decimal: str
    group: str


@cache
def _signs(spoken: str) -> _Signs:
    # Loaded for the languages that need it: it takes a tenth of the program's start.
    from babel.numbers import get_decimal_symbol, get_group_symbol  # noqa: PLC0415

    return _Signs(get_decimal_symbol(spoken), get_group_symbol(spoken))


def local_number(text: str) -> str:
    """Put the local signs into a number written as ``-1,234.50``; other characters stay."""
    spoken = language()
    if spoken == SOURCE_LANGUAGE:
        return text
    signs = _signs(spoken)
    return text.translate({ord(","): signs.group, ord("."): signs.decimal})


def grouped(number: int) -> str:
    """Write a whole number with its thousands grouped: ``12,500``."""
    return local_number(f"{number:,}")


def decimal_sign() -> str:
    """Return the sign between the whole and its decimals in the language spoken now."""
    spoken = language()
    return "." if spoken == SOURCE_LANGUAGE else _signs(spoken).decimal


def long_day(day: dt.date) -> str:
    """Write a day in words: ``2 March 2026``; no line is broken within it."""
    spoken = language()
    if spoken == SOURCE_LANGUAGE:
        return f"{day.day}\u00a0{_MONTHS[day.month - 1]}\u00a0{day.year}"
    from babel.dates import format_date  # noqa: PLC0415

    return str(format_date(day, "long", locale=spoken)).replace(" ", "\u00a0")


def short_day(day: dt.date) -> str:
    """Write a day without its year, for an axis: ``2 Mar``."""
    spoken = language()
    if spoken == SOURCE_LANGUAGE:
        return f"{day.day} {_MONTHS[day.month - 1][:3]}"
    from babel.dates import format_skeleton  # noqa: PLC0415

    return str(format_skeleton("MMMd", day, locale=spoken))


def short_weekday(day: dt.date) -> str:
    """Write the name of a day of the week short: ``Mon``."""
    spoken = language()
    if spoken == SOURCE_LANGUAGE:
        return ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[day.weekday()]
    from babel.dates import format_skeleton  # noqa: PLC0415

    return str(format_skeleton("E", day, locale=spoken))


def day_in_digits(day: dt.date) -> str:
    """Write a day in digits: ISO 8601 in English, else as the language does (``02.03.2026``)."""
    spoken = language()
    if spoken == SOURCE_LANGUAGE:
        return day.isoformat()
    from babel.dates import format_date  # noqa: PLC0415

    return str(format_date(day, "medium", locale=spoken))
