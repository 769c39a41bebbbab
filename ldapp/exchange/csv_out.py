"""Tables as delimited text that no spreadsheet executes.

Spreadsheets take a cell that begins with ``=``, ``+``, ``-``, ``@``, a tab or a line break
for a formula (OWASP, "CSV Injection").  Text of that kind gets an apostrophe before it, the
spreadsheets' own sign for text; numbers are written as numbers.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TypeAlias

from ldapp.language import said

Value: TypeAlias = str | int | Decimal | dt.date | dt.datetime | bool | None

_STARTS_FORMULA = frozenset("=+-@\t\r\n\u2212\uff1d\uff0b\uff0d\uff20")
_SKIPPED = " \u00a0\ufeff\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e"


def csv_bytes(rows: Iterable[Sequence[Value]]) -> bytes:
    """Return rows as CSV (RFC 4180) in UTF-8 with a byte order mark and every text quoted.

    Numbers have a decimal point, days are ISO 8601.
    """
    held = io.StringIO(newline="")
    writer = csv.writer(held, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_written(value) for value in row])
    return held.getvalue().encode("utf-8-sig", "replace")


def _written(value: Value) -> str | int | Decimal:
    if value is None:
        return ""
    if isinstance(value, bool):
        return said("yes") if value else said("no")
    if isinstance(value, int):
        return value
    if isinstance(value, Decimal):
        return Decimal(f"{value:f}")
    if isinstance(value, dt.date):
        return value.isoformat()
    return harmless_text(value)


def harmless_text(text: str) -> str:
    """Return ``text`` so that a spreadsheet shows it and does not compute it."""
    if text[:1] in _STARTS_FORMULA or text.lstrip(_SKIPPED)[:1] in _STARTS_FORMULA:
        return f"'{text}"
    return text
