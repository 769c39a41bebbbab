"""Pieces, days and prices that stand in the words of a line: ``14 days @ 40.00``.

Invoices without columns for them print the count and the price within the description.
"""

from __future__ import annotations

import re
from decimal import Decimal

from ldapp.claim.record import record
from ldapp.exchange.number_text import NumberStyle, read_number

_COUNT = r"\d{1,4}(?:[.,]\d{1,2})?"
_PRICE = (
    r"(?:[A-Z]{3}[\s\u00a0]*)?[$€£]?[\s\u00a0]?\d[\d.,'’\u00a0\u2009\u202f]*"
    r"(?:[\s\u00a0]?[$€£]|[\s\u00a0]?[A-Z]{3})?"
)
_PER = r"(?:[\s\u00a0]*(?:/|per|pro|par|por|each|ea\.?|a|je)[\s\u00a0]*[^\W\d]{0,10}\.?)?"
_DAYS = r"days?|tag(?:e|en)?|jours?|d[ií]as?"
_UNITS = (
    rf"{_DAYS}|weeks?|wochen?|semaines?|semanas?|hours?|hrs?|h|stunden?|std|heures?|horas?|"
    r"pcs|pieces?|stk|stück|pi[eè]ces?|piezas?|units?|ea|each"
)
_LEADING = re.compile(rf"(?P<count>{_COUNT})\s*[x×]\s+(?=[^\W\d])", re.IGNORECASE)
_AT_PRICE = re.compile(
    rf"(?:@|(?<!\w)(?:at|à|zu|je|á)(?!\w))\s*(?P<price>{_PRICE}){_PER}\s*\)?\s*$", re.IGNORECASE
)
_COUNTED = re.compile(
    rf"(?<![\w.,])(?P<count>{_COUNT})\s*(?P<unit>{_UNITS})\.?(?!\w)", re.IGNORECASE
)
_TIMES = re.compile(
    rf"(?<![\w.,])(?P<count>{_COUNT})\s*(?:(?P<unit>{_UNITS})\.?)?\s*[x×*]\s*"
    rf"(?P<price>{_PRICE}){_PER}\s*\)?\s*$",
    re.IGNORECASE,
)
_ARE_DAYS = re.compile(_DAYS, re.IGNORECASE)


@record
class CountedWords:
    """What the words of a line count; None for what they do not."""

    quantity: Decimal | None = None
    days: Decimal | None = None
    unit_price: Decimal | None = None


def counted_in_words(text: str, amount: Decimal | None, style: NumberStyle | None) -> CountedWords:
    """Return the pieces, days and the price that ``text`` states of a line of ``amount``.

    ``8 x 8`` is a count and a price only where it makes the amount.
    """
    text = text.strip()
    quantity: Decimal | None = None
    leading = _LEADING.match(text)
    if leading:
        quantity = _plain_count(leading["count"])
        text = text[leading.end() :]
    days: Decimal | None = None
    price: Decimal | None = None
    found = _TIMES.search(text)
    if found and not found["unit"]:
        count, each = _plain_count(found["count"]), read_number(found["price"], style)
        if count is None or each is None or amount is None or count * each != abs(amount):
            found = None
    counted: re.Match[str] | None = found
    if found is None:
        at_price = _AT_PRICE.search(text)
        if at_price is not None:
            price = read_number(at_price["price"], style)
            text = text[: at_price.start()]
        counted = next(iter(reversed(list(_COUNTED.finditer(text)))), None)
    else:
        price = read_number(found["price"], style)
    if counted is not None and (count := _plain_count(counted["count"])) is not None:
        unit = counted["unit"] or ""
        if _ARE_DAYS.fullmatch(unit):
            days = count
        elif quantity is None and price is not None:
            quantity = count
    if quantity is None and days is None:
        price = None  # 2 lamps at 4 m
    return CountedWords(quantity=quantity, days=days, unit_price=price)


def _plain_count(text: str) -> Decimal | None:
    return read_number(text, "comma" if "," in text else "point")
