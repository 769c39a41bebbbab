"""Numbers and days as lists and invoices of several countries write them.

A point or a comma may part the decimals, and a comma, a point, a space or an apostrophe
the thousands.  Which it is, is read from all numbers of one file together: ``1,234.56``
settles it for the ``1,234`` beside it.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Literal, TypeAlias

NumberStyle: TypeAlias = Literal["point", "comma"]
"""Which sign stands before the decimals."""

DateOrder: TypeAlias = Literal["day_first", "month_first"]

_SPACES = "\\s\u00a0\u2007\u2009\u202f"
_CURRENCY_SIGNS = "€$£¥₹₽₩₺₴₫฿₪"
_CODE = "[A-Z]{3}|[A-Z]{1,3}[$]|kr|Kč|zł|Ft|lei|Fr|R"
_MONEY_WORDS = re.compile(
    rf"^(?:(?:{_CODE})\.?)?[{_SPACES}]*[{_CURRENCY_SIGNS}]?[{_SPACES}]*"
    rf"(?P<sign1>[-–−+])?[{_SPACES}]*[{_CURRENCY_SIGNS}]?[{_SPACES}]*(?:(?:{_CODE})\.?)?[{_SPACES}]*"
    rf"(?P<digits>(?:\d|[.,](?=\d))(?:[\d.,'’{_SPACES}]*\d)?)"
    rf"(?P<dash>[.,](?:[-–—]{{1,2}})?)?"
    rf"[{_SPACES}]*(?P<sign2>[-–−])?[{_SPACES}]*"
    rf"(?:[{_CURRENCY_SIGNS}]|(?:{_CODE})\.?)?(?P<sign3>[-–−])?[{_SPACES}]*(?P<credit>CR|Cr)?$"
)
_GROUPED = {
    "point": re.compile(rf"\d{{1,3}}(?:[,'’{_SPACES}]\d{{3}})+(?:\.\d+)?|\d*\.\d+|\d+"),
    "comma": re.compile(rf"\d{{1,3}}(?:[.'’{_SPACES}]\d{{3}})+(?:,\d+)?|\d*,\d+|\d+"),
}
_INDIAN = re.compile(r"\d{1,3}(?:,\d{2})*,\d{3}(?:\.\d+)?")
_NOT_DIGITS = re.compile(rf"['’{_SPACES}]")
_BRACKETED = re.compile(r"^(?P<before>[^\d()]*)\((?P<inside>[^()]*)\)(?P<after>[^\d()]*)$")
_LONGEST = 40


def _digits(text: str) -> tuple[str, bool] | None:
    """Return the digits of a number with their signs between, and whether it is negative."""
    text = text.strip()
    if not text or len(text) > _LONGEST:
        return None
    negative = False
    bracketed = _BRACKETED.match(text)
    if bracketed:
        negative = True
        text = f"{bracketed['before']}{bracketed['inside']}{bracketed['after']}".strip()
    found = _MONEY_WORDS.match(text)
    if found is None:
        return None
    names = ("sign1", "sign2", "sign3", "credit")
    signs = [sign for name in names if (sign := found[name])]
    if len(signs) > 1 or (negative and signs):
        return None
    return found["digits"], negative or bool(signs and signs[0] != "+")


def number_style(texts: Iterable[str]) -> NumberStyle | None:
    """Return which sign stands before the decimals in ``texts``; None where none of them says."""
    votes = {"point": 0, "comma": 0}
    for text in texts:
        found = _digits(text)
        if found is None:
            continue
        digits = found[0]
        last = max(digits.rfind("."), digits.rfind(","))
        if last < 0:
            continue
        sign, other = (".", ",") if digits[last] == "." else (",", ".")
        name: NumberStyle = "point" if sign == "." else "comma"
        opposite: NumberStyle = "comma" if sign == "." else "point"
        after = len(digits) - last - 1
        if digits.count(sign) > 1:
            votes[opposite] += 1
        elif (
            other in digits
            or after != 3
            or digits[:last] in {"", "0"}
            or _NOT_DIGITS.search(digits)
        ):
            votes[name] += 1
    if votes["point"] == votes["comma"]:
        return None
    return "point" if votes["point"] > votes["comma"] else "comma"


def read_number(text: str, style: NumberStyle | None = None) -> Decimal | None:
    """Return the exact number that ``text`` writes, or None where it is no number.

    Without a ``style`` the text is read by itself; three digits behind a single sign are
    then thousands, because no amount of a list has three decimals.
    """
    found = _digits(text)
    if found is None:
        return None
    digits, negative = found
    if style is None:
        style = number_style((text,))
        if style is None:
            style = "comma" if "." in digits else "point"
    decimal_sign = "." if style == "point" else ","
    if not _GROUPED[style].fullmatch(digits) and not (
        style == "point" and _INDIAN.fullmatch(digits)
    ):
        return None
    whole, _, places = digits.partition(decimal_sign)
    plain = re.sub(r"\D", "", whole) or "0"
    value = Decimal(f"{plain}.{places}" if places else plain)
    return -value if negative else value


_TAX_CODE = re.compile(rf"(?:[{_SPACES}]?[*†‡]|[{_SPACES}][A-Z]\d?)$")


def read_amount(text: str, style: NumberStyle | None = None) -> Decimal | None:
    """Return an amount as :func:`read_number` does, also with a letter of its tax behind it."""
    value = read_number(text, style)
    if value is None:
        value = read_number(_TAX_CODE.sub("", text.strip()), style)
    return value


_COUNTED = re.compile(
    r"(?:(?:\[[ xX✓✔]?\]|[☐☑☒□■▢✓✔_]+)\s*)?(?:[x×]\s*)?"
    r"(?P<number>[-–−+(]?\s*\d[\d.,'’ \u00a0\u202f]*\)?)\s*"
    r"(?P<unit>×|[^\W\d]{1,12}\.?)?"
)


def read_count(text: str, style: NumberStyle | None = None) -> Decimal | None:
    """Return a number of pieces, hours or days, with or without its unit behind it.

    A box to tick may stand before it, as packing lists have.
    """
    found = _COUNTED.fullmatch(text.strip())
    return read_number(found["number"], style) if found else None


_MONTHS = {
    "jan": 1, "janv": 1, "ene": 1, "january": 1, "januar": 1, "janvier": 1, "enero": 1,
    "feb": 2, "févr": 2, "february": 2, "februar": 2, "février": 2, "febrero": 2,
    "mar": 3, "mär": 3, "mrz": 3, "march": 3, "märz": 3, "mars": 3, "marzo": 3,
    "apr": 4, "avr": 4, "abr": 4, "april": 4, "avril": 4, "abril": 4,
    "may": 5, "mai": 5, "mayo": 5,
    "jun": 6, "june": 6, "juni": 6, "juin": 6, "junio": 6,
    "jul": 7, "july": 7, "juli": 7, "juil": 7, "juillet": 7, "julio": 7,
    "aug": 8, "ago": 8, "august": 8, "août": 8, "agosto": 8,
    "sep": 9, "sept": 9, "september": 9, "septembre": 9, "septiembre": 9,
    "oct": 10, "okt": 10, "october": 10, "oktober": 10, "octobre": 10, "octubre": 10,
    "nov": 11, "november": 11, "novembre": 11, "noviembre": 11,
    "dec": 12, "dez": 12, "déc": 12, "dic": 12, "december": 12, "dezember": 12,
    "décembre": 12, "diciembre": 12,
}  # fmt: skip
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?")
_SHORT = re.compile(r"(\d{1,2})([./-])(\d{1,2})\2(\d{4}|\d{2})")
_DAY_MONTH = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|er)?[. -]*(?:de )?([^\W\d]+)\.?,?[ -]*(?:de )?(\d{4})"
)
_MONTH_DAY = re.compile(r"([^\W\d]+)\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})")


def date_order(texts: Iterable[str]) -> DateOrder | None:
    """Return whether days written in figures begin with the day; None where nothing says so."""
    for text in texts:
        found = _SHORT.fullmatch(text.strip())
        if found:
            first, sign, second = int(found[1]), found[2], int(found[3])
            if first > 12 or sign == ".":
                return "day_first"
            if second > 12:
                return "month_first"
    return None


def read_date(text: str, order: DateOrder | None = None) -> dt.date | None:
    """Return the day that ``text`` writes; None where it is none or could be two days."""
    text = text.strip()
    try:
        if found := _ISO.fullmatch(text):
            return dt.date(int(found[1]), int(found[2]), int(found[3]))
        if found := _DAY_MONTH.fullmatch(text):
            return dt.date(int(found[3]), _MONTHS[found[2].lower()], int(found[1]))
        if found := _MONTH_DAY.fullmatch(text):
            return dt.date(int(found[3]), _MONTHS[found[1].lower()], int(found[2]))
        if found := _SHORT.fullmatch(text):
            first, second, year = int(found[1]), int(found[3]), int(found[4])
            order = date_order((text,)) or order
            if order is None and first != second:
                return None
            day, month = (second, first) if order == "month_first" else (first, second)
            return dt.date(year if year > 99 else 2000 + year, month, day)
    except (ValueError, KeyError):
        return None
    return None
