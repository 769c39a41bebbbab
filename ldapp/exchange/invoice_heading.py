"""Number, date and currency of an invoice from the text around its table."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache

from babel.core import get_global
from babel.numbers import get_territory_currencies

from ldapp.claim.record import record
from ldapp.exchange.number_text import DateOrder, date_order, read_date
from ldapp.exchange.table import TableFile
from ldapp.language import said

_SEARCHED_LINES = 400

_NUMBER = re.compile(
    r"(?:invoice|rechnung(?:s)?|facture|factura|credit note|gutschrift|avoir|abono)"
    r"[\s-]*(?:no|nr|number|num|nummer|n\.?\s?[°ºo]|#|numero|"
    r"número|numéro|id)?\.?\s*(?P<sign>[:#]|(?:no|nr|n[°º])\.?:?)?\s*"
    r"(?P<number>[A-Z]{0,6}[-/ ]?\d[\w/-]*)",
    re.IGNORECASE,
)
_NUMBER_LABEL = re.compile(
    r"(?:invoice|rechnung|facture|factura)(?:\s*(?:no|nr|number|n\.?[°º]|#)\.?:?)?\s*$",
    re.IGNORECASE,
)
_NUMBER_ALONE = re.compile(r"(?<![\w-])[A-Z]{1,6}(?:-[A-Z]{1,4})?[-/]?\d[\w/-]*(?!\w)")
_DATE_LABEL = re.compile(
    r"(?:invoice\s+date|date\s+of\s+invoice|tax\s+point(?:\s+date)?|rechnungsdatum|"
    r"date\s+(?:de\s+)?(?:la\s+)?facture|"
    r"fecha(?:\s+de)?(?:\s+la)?\s+factura|dated|(?<!\w)(?:date|datum|fecha))\s*[:.]?\s*",
    re.IGNORECASE,
)
_SURE_DATE = re.compile(
    r"invoice\s+date|date\s+of\s+invoice|tax\s+point|rechnungsdatum|facture|factura",
    re.IGNORECASE,
)
_OTHER_DAY = re.compile(
    r"(?:due|payment|return(?:ed)?|rental|hire|deliver(?:y|ed)|pick-?up|collection|order|"
    r"check-?in|start|end|loss)\s+$",
    re.IGNORECASE,
)
"""What stands before "date" where it is not the invoice's."""
_FOREIGN = re.compile(r"(?<!\w)(?:\w*rechnung\w*|datum|facture|factura|fecha)(?!\w)", re.IGNORECASE)
_DAY = re.compile(
    r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[./-]\d{1,2}[./-]\d{2,4}|"
    r"\d{1,2}(?:st|nd|rd|th|er)?[. ]+(?:de\s+)?[^\W\d]{3,10}\.?,?\s+(?:de\s+)?\d{4}|"
    r"[^\W\d]{3,10}\.?\s+\d{1,2}(?:st|nd|rd|th)?,?\s+\d{4}"
)
_CODE = re.compile(r"(?<![A-Za-z])([A-Z]{3})(?![A-Za-z])")
_SIGNS = (
    ("US$", "USD"),
    ("C$", "CAD"),
    ("CA$", "CAD"),
    ("A$", "AUD"),
    ("AU$", "AUD"),
    ("NZ$", "NZD"),
    ("€", "EUR"),
    ("£", "GBP"),
    ("¥", "JPY"),
    ("₹", "INR"),
    ("zł", "PLN"),
    ("Kč", "CZK"),
)
_CODES = """
    USD EUR GBP CHF CAD AUD NZD SEK NOK DKK PLN CZK HUF RON JPY CNY INR MXN BRL ZAR SGD HKD KRW
    AED ILS THB ISK BGN
"""
_COMMON_CODES = frozenset(_CODES.split())
"""Codes that are no words and so mean a currency wherever they stand."""
_BESIDE_FIGURES = re.compile(
    r"(?<![A-Za-z])(?P<before>[A-Z]{3})[\s\u00a0]*[-–−(]?\d|\d[-–−)]?[\s\u00a0]*(?P<after>[A-Z]{3})(?![A-Za-z])"
    r"|(?:currency|amounts? in|prices? in|w[aä]hrung|betr[aä]ge in|preise in|devise|montants? en|"
    r"prix en|moneda|divisa|importes? en|precios en)[\s:]*(?P<stated>[A-Z]{3})(?![A-Za-z])",
    re.IGNORECASE,
)


@record
class InvoiceHeading:
    """What stands around the table; empty or None where it was not found."""

    number: str = ""
    dated: dt.date | None = None
    currency: str | None = None
    to_confirm: tuple[str, ...] = ()


def find_heading(file: TableFile) -> InvoiceHeading:
    """Return number, date and currency of the invoice in ``file``."""
    lines = list(_text_lines(file))
    currency, remarks = _currency(lines)
    if currency is None and file.formats:
        currency, remarks = _currency([f"{sign} 1" for sign in file.formats])
    return InvoiceHeading(
        number=_number(lines), dated=_dated(lines), currency=currency, to_confirm=remarks
    )


def _text_lines(file: TableFile) -> Iterator[str]:
    """Yield the text of a PDF line by line, or of a spreadsheet row by row."""
    rows = file.lines or tuple(row for table in file.tables for row in table.rows)
    for row in rows[:_SEARCHED_LINES]:
        text = " ".join(one for one in row.texts() if one)
        if text:
            yield text


def _number(lines: list[str]) -> str:
    for line, below in zip(lines, [*lines[1:], ""], strict=True):
        found = _NUMBER.search(line)
        if found and not _DAY.match(found["number"]):
            return found["number"].strip()
        if _NUMBER_LABEL.search(line):
            numbers = [one for one in _NUMBER_ALONE.findall(below) if not _DAY.match(one)]
            if numbers:
                return str(numbers[-1])
    return ""


def _dated(lines: list[str]) -> dt.date | None:
    days = [found for line in lines for found in _DAY.findall(line)]
    # Where the heading is not English, a day in figures begins with the day.
    order = date_order(days) or ("day_first" if any(map(_FOREIGN.search, lines)) else None)
    loose: dt.date | None = None
    beside_number: dt.date | None = None
    for line, below in zip(lines, [*lines[1:], ""], strict=True):
        if beside_number is None:
            beside_number = _day_beside_number(line, order)
        for found in _DATE_LABEL.finditer(line):
            sure = bool(_SURE_DATE.search(found[0]))
            if not sure and _OTHER_DAY.search(line[: found.start()]):
                continue
            day = _DAY.match(line[found.end() :])
            if day is None and sure:
                day = _DAY.search(below)  # the label stands over the day
            if day is None:
                continue
            date = read_date(day[0], order)
            if date is not None and sure:
                return date
            loose = loose or date
    return loose or beside_number


def _day_beside_number(line: str, order: DateOrder | None) -> dt.date | None:
    """Return the one day that stands on the invoice number's line, behind it, without a label."""
    number = _NUMBER.search(line)
    if number is None or _DAY.match(number["number"]):
        return None
    days = list(_DAY.finditer(line[number.end() :]))
    if len(days) != 1 or re.search(r"[^\W\d]", line[number.end() :][: days[0].start()]):
        return None
    return read_date(days[0][0], order)


@cache
def _all_codes() -> frozenset[str]:
    """Return the codes of all currencies that are legal tender somewhere."""
    territories = get_global("territory_currencies")
    return frozenset(code for place in territories for code in get_territory_currencies(place))


def _currency(lines: list[str]) -> tuple[str | None, tuple[str, ...]]:
    votes: Counter[str] = Counter()
    dollars = 0
    for line in lines:
        for code in _CODE.findall(line):
            votes[code] += code in _COMMON_CODES
        for beside in _BESIDE_FIGURES.finditer(line):
            code = beside["before"] or beside["after"] or beside["stated"]
            known = code.isupper() and code in _all_codes()
            if known and beside["stated"]:
                votes[code] += 1000  # the invoice says so in words
            votes[code] += known and code not in _COMMON_CODES
        rest = line
        for sign, code in _SIGNS:
            votes[code] += rest.count(sign)
            rest = rest.replace(sign, " ")
        dollars += rest.count("$")
        votes["EUR"] += len(re.findall(r"(?<!\w)euros?(?!\w)", line, re.IGNORECASE))
    votes = +votes
    if votes:
        return votes.most_common(1)[0][0], ()
    if dollars:
        return "USD", (said("the sign $ is taken as US dollars"),)
    return None, ()
