"""Values as people write and read them: money, percentages, days, instants.

They are written in the form of the language spoken, and read in that form and in the English
one.  Parsing raises LdappError with a sentence that says what is expected.
"""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from functools import cache
from zoneinfo import ZoneInfo

import babel.numbers

from ldapp.errors import LdappError
from ldapp.language import SOURCE_LANGUAGE, said, speaking
from ldapp.local_forms import day_in_digits, decimal_sign, local_number
from ldapp.reckoning.figures import number_text

NO_VALUE = "–"
"""Shown where there is no amount."""


@cache
def minor_digits(currency: str) -> int:
    """Return how many digits the currency's minor unit has (ISO 4217)."""
    digits: int = babel.numbers.get_currency_precision(currency)
    return digits


def money_text(amount: Decimal | None, currency: str) -> str:
    """Write an amount with thousands and its currency's code: ``1,234.50 USD``."""
    if amount is None:
        return NO_VALUE
    return f"{amount_text(amount, currency)} {currency}"


def amount_text(amount: Decimal | None, currency: str) -> str:
    """Write an amount with thousands, without the currency; an unknown one is a dash."""
    if amount is None:
        return NO_VALUE
    text = local_number(f"{amount:,.{minor_digits(currency)}f}")
    return text.replace("-", "\u2212")


def plain_number(value: Decimal | Fraction) -> str:
    """Write a number so that it can be typed again: ``1234.5``, ``11/60`` where it never ends."""
    if isinstance(value, Decimal):
        return local_number(f"{value:f}")
    with speaking(SOURCE_LANGUAGE):
        exact = number_text(value)
    return local_number(exact)


def parse_money(text: str, currency: str, *, least: Decimal | None = None) -> Decimal:
    """Read an amount as ``parse_decimal`` reads numbers.

    Raises:
        LdappError: it is no number, has more digits than the currency, or is below ``least``.
    """
    value = parse_decimal(text)
    if least is not None and value < least:
        raise LdappError(
            said(
                "“{text}” is too little. Expected: {least} or more.",
                text=text,
                least=plain_number(least),
            )
        )
    digits = minor_digits(currency)
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and -exponent > digits and value != round(value, digits):
        raise LdappError(
            said(
                "“{text}” has more than {digits} digits after the point ({currency}).",
                text=text,
                digits=digits,
                currency=currency,
            )
        )
    return value.quantize(Decimal(1).scaleb(-digits))


def parse_decimal(text: str) -> Decimal:
    """Read a number with or without thousands: ``1,234.50`` or ``1.234,50``.

    Where only one of the two signs is there, it stands for decimals unless it is the language's
    sign of thousands and groups them: ``1.234`` is a thousand in German, ``1,234`` in English.

    Raises:
        LdappError: it is no number.
    """
    cleaned = re.sub(r"[\s\u00a0\u202f'’]", "", text).replace("\u2212", "-")
    cleaned = re.sub(r"^[^\d.,+-]+|[^\d.,]+$", "", cleaned)
    comma, point = cleaned.rfind(","), cleaned.rfind(".")
    if comma >= 0 and point >= 0:
        thousands = "," if point > comma else "."
        cleaned = cleaned.replace(thousands, "")
    else:
        thousands = "." if decimal_sign() == "," else ","
        if re.fullmatch(rf"[+-]?\d{{1,3}}({re.escape(thousands)}\d{{3}})+", cleaned):
            cleaned = cleaned.replace(thousands, "")
    try:
        value = Decimal(cleaned.replace(",", "."))
    except InvalidOperation as error:
        raise LdappError(_no_number(text)) from error
    if not value.is_finite():
        raise LdappError(_no_number(text))
    return value


def _no_number(text: str) -> str:
    return said("“{text}” is no number. Expected: a number like 1250.00.", text=text)


def parse_percent(text: str) -> Fraction:
    """Read ``15``, ``15 %``, ``12.5`` or ``1/3`` (of the whole) as an exact share.

    Raises:
        LdappError: it is no percentage between 0 and 1000.
    """
    stripped = text.replace("%", "").strip()
    try:
        if re.fullmatch(r"\d+\s*/\s*\d+", stripped):
            return Fraction(stripped.replace(" ", ""))
        share = Fraction(parse_decimal(stripped)) / 100
    except (LdappError, ZeroDivisionError) as error:
        raise LdappError(
            said("“{text}” is no percentage. Expected: one like 15 or 12.5.", text=text)
        ) from error
    if not 0 <= share <= 10:
        raise LdappError(said("“{text}” is no percentage between 0 and 1000.", text=text))
    return share


def percent_field_text(share: Fraction) -> str:
    """Write a share so that it can be typed again: ``15`` or ``1/3``."""
    percent = plain_number(share * 100)
    return plain_number(share) if "/" in percent else percent


def parse_whole(text: str, least: int = 0) -> int:
    """Read a whole number; raises LdappError where it is none or below ``least``."""
    if not re.fullmatch(r"\d{1,9}", text.strip()):
        raise LdappError(said("“{text}” is no whole number. Expected: digits, like 12.", text=text))
    value = int(text)
    if value < least:
        raise LdappError(
            said("{value} is too little. Expected: {least} or more.", value=value, least=least)
        )
    return value


_MONTHS = (
    ("jan", "jän"),
    ("feb",),
    ("mar", "mär", "mae", "mrz"),
    ("apr",),
    ("may", "mai"),
    ("jun",),
    ("jul",),
    ("aug",),
    ("sep",),
    ("oct", "okt"),
    ("nov",),
    ("dec", "dez"),
)
"""How the names of months begin, in English and in German."""
_MONTH_OF = {start: number for number, starts in enumerate(_MONTHS, 1) for start in starts}


def parse_date(text: str) -> dt.date:
    """Read ``2026-01-31``, ``31.1.2026`` (day first), ``31 Jan 2026`` or ``Jan 31, 2026``.

    Raises:
        LdappError: it is no day, or day and month could be meant either way.
    """
    cleaned = text.strip()
    try:
        found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", cleaned)
        if found:
            return dt.date(int(found[1]), int(found[2]), int(found[3]))
        found = re.fullmatch(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})", cleaned)
        if found:
            return dt.date(int(found[3]), int(found[2]), int(found[1]))
        words = re.findall(r"[^\W\d_]+|\d+", cleaned)
        name = next((word for word in words if word.isalpha()), "")
        month = _MONTH_OF.get(name[:3].lower())
        numbers = [int(word) for word in words if word.isdigit()]
        if month is not None and len(numbers) == 2:
            return dt.date(max(numbers), month, min(numbers))
    except ValueError as error:
        raise LdappError(said("“{text}” is no day of the calendar.", text=text)) from error
    raise LdappError(
        said("“{text}” is no day. Expected: year-month-day, like 2026-01-31.", text=text)
    )


def date_text(day: dt.date | None) -> str:
    """Write a day in digits, in English as ISO 8601 does."""
    return day_in_digits(day) if day else NO_VALUE


def parse_instant(text: str, zone: str) -> dt.datetime:
    """Read a day and time, ``2026-01-31 14:30`` or with an offset ``… +01:00``.

    Without an offset it is the wall clock of ``zone``.  A day alone is noon there.

    Raises:
        LdappError: it is no time, or the clock never showed it (the hour that is skipped).
    """
    cleaned = re.sub(r"(?<=\d)T(?=\d)", " ", text.strip())
    found = re.fullmatch(
        r"(.+?)(?:[ ,]+(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?(?: Uhr)?)?"
        r"(?: *(Z|[+\u2212-]\d{2}:?\d{2}))?",
        cleaned,
    )
    if not found:
        raise LdappError(said("“{text}” is no time. Expected: 2026-01-31 14:30.", text=text))
    day = parse_date(found[1])
    try:
        clock = dt.time(int(found[2] or 12), int(found[3] or 0), int(found[4] or 0))
    except ValueError as error:
        raise LdappError(
            said("“{text}” is no time of day. Expected: 2026-01-31 14:30.", text=text)
        ) from error
    naive = dt.datetime.combine(day, clock)
    if found[5]:
        return naive.replace(tzinfo=_fixed_offset(found[5]))
    local = naive.replace(tzinfo=ZoneInfo(zone))
    if local.astimezone(dt.UTC).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != naive:
        raise LdappError(
            said(
                "The clock in {zone} never showed “{text}”: it was put forward then.",
                zone=zone,
                text=text,
            )
        )
    return naive.replace(tzinfo=dt.timezone(local.utcoffset() or dt.timedelta()))


def _fixed_offset(text: str) -> dt.timezone:
    if text == "Z":
        return dt.UTC
    sign = 1 if text[0] == "+" else -1
    digits = text[1:].replace(":", "")
    return dt.timezone(sign * dt.timedelta(hours=int(digits[:2]), minutes=int(digits[2:])))


def instant_text(instant: dt.datetime | None) -> str:
    """Write an instant with its own offset: ``2026-01-31 14:30 +01:00``."""
    if instant is None:
        return NO_VALUE
    offset = instant.strftime("%z")
    clock = instant.strftime("%H:%M:%S" if instant.second else "%H:%M")
    return f"{day_in_digits(instant.date())} {clock} {offset[:3]}:{offset[3:5]}".rstrip(" :")
