"""What an invoice says, and the sheet that says it, before either is written."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Literal

RowKind = Literal["charge", "section", "sum", "note"]

FIGURES = {"quantity", "days", "price", "discount", "tax_rate", "tax", "amount", "gross"}


@dataclasses.dataclass
class TrueLine:
    """One charge as it is meant."""

    description: str
    kind: str
    quantity: Decimal
    price: Decimal | None
    amount: Decimal
    days: Decimal | None = None
    discount: Decimal | None = None
    serial: str = ""
    note: str = ""
    """Text on a row of its own below; a reader may take it to the description or leave it."""


@dataclasses.dataclass
class TrueInvoice:
    """What a reader has to find."""

    number: str
    dated: dt.date
    currency: str
    lines: list[TrueLine]
    net: Decimal | None
    tax: Decimal | None
    gross: Decimal
    included: bool


@dataclasses.dataclass
class SheetRow:
    """One row of the table of a sheet."""

    kind: RowKind
    cells: list[str]


@dataclasses.dataclass
class Sheet:
    """What a writer puts on paper: text above, a table, sums, text below."""

    language: str
    before: list[list[str]]
    headings: list[str]
    fields: list[str]
    widths: list[float]
    rows: list[SheetRow]
    sums: list[tuple[str, str]]
    """Label and figure of each sum that stands below the table."""
    carried: tuple[str, str] | None
    after: list[str]
    footer: str
    """What stands at the foot of each page, in one line or two, with its number."""
    summary: list[list[str]] = dataclasses.field(default_factory=list)
    """A table of the tax below the sums; its first row has the headings."""

    def is_right(self, column: int) -> bool:
        """Whether a column holds figures."""
        return self.fields[column] in FIGURES
