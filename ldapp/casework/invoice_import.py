"""An L&D invoice from a spreadsheet or PDF, looked at before it is added."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from ldapp.casework.charges import foreign_currency, put_invoice
from ldapp.casework.edit import get
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.originals import KeepsOriginals
from ldapp.casework.papers import take_in_documents
from ldapp.claim.charges import Invoice
from ldapp.errors import InputError, LdappError
from ldapp.exchange.column_match import (
    ColumnMatch,
    ColumnName,
    column_match_as_json,
    column_match_from_json,
)
from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.invoice_file import (
    BilledLine,
    InvoiceReading,
    invoice_from_reading,
    invoice_of_tables,
)
from ldapp.exchange.table import NoTextError, TableFile
from ldapp.exchange.tables import read_tables
from ldapp.language import marked, said

__all__ = [
    "OFFERED_FIELDS",
    "BilledLine",
    "ColumnField",
    "ColumnMatch",
    "InvoiceReading",
    "InvoiceSource",
    "NoTextError",
    "add_read_invoice",
    "foreign_currency",
    "match_as_kept",
    "match_from_choices",
    "open_invoice_file",
    "read_invoice_source",
    "remembered_invoice_match",
]

OFFERED_FIELDS: dict[ColumnField, str] = {
    "line": marked("Line number"),
    "description": marked("Description"),
    "quantity": marked("Units"),
    "unit_price": marked("Price"),
    "amount": marked("Amount"),
    "kind": marked("Kind"),
    "days": marked("Days"),
    "serials": marked("Serial numbers"),
}
"""The columns that a person may correct."""


class InvoiceSource(NamedTuple):
    """An opened file: its tables are read as often as the columns change."""

    path: Path
    tables: TableFile


def open_invoice_file(path: Path) -> InvoiceSource:
    """Open a spreadsheet, text table or PDF; raises InputError where it holds no table."""
    return InvoiceSource(path, read_tables(path))


def read_invoice_source(source: InvoiceSource, match: ColumnMatch | None = None) -> InvoiceReading:
    """Return the lines and sums as billed, and everything that is wrong with them."""
    return invoice_of_tables(source.tables, match)


def match_from_choices(
    reading: InvoiceReading, choices: Mapping[ColumnField, str | None]
) -> ColumnMatch:
    """Return the match that a person made; a field with None is in no column.

    Columns that are not offered for a choice stay as they were found.
    """
    columns: dict[ColumnField, ColumnName | tuple[ColumnName, ...]] = {
        field: name for field, name in reading.columns.items() if field not in choices
    }
    for field, heading in choices.items():
        present = reading.columns.get(field)
        if heading is None:
            continue
        columns[field] = (
            present if isinstance(present, tuple) and heading == present[0] else heading
        )
    return ColumnMatch(columns=columns)


def match_as_kept(match: ColumnMatch) -> dict[str, Any]:
    """Return a match as the JSON value that is kept for the next invoice of this company."""
    return column_match_as_json(match)


def remembered_invoice_match(data: Any, headings: tuple[str, ...]) -> ColumnMatch | None:
    """Return a kept match where all its columns are among the headings, else None."""
    if not isinstance(data, dict):
        return None
    try:
        match = column_match_from_json(data, said("kept columns"))
    except InputError:
        # Kept by an older version; the columns are proposed anew.
        return None
    names = [
        name
        for one in match.columns.values()
        for name in (one if isinstance(one, tuple) else (one,))
    ]
    return match if names and all(name in headings for name in names) else None


def add_read_invoice(
    desk: OpenClaim,
    reading: InvoiceReading,
    agreement: str,
    *,
    number: str,
    dated: dt.date | None,
    received: dt.date | None = None,
    paper: tuple[KeepsOriginals, Path] | None = None,
) -> Invoice:
    """Add an invoice with its charges as billed; return it.

    ``paper`` is the file to keep with it and where originals are kept.  It is taken in only
    when the invoice can be added.

    Raises:
        InputError: a line cannot be read, or the date is missing; nothing is added.
        LdappError: the invoice is in another currency than the claim.
    """
    get(desk.claim.agreements, agreement, "agreement")
    invoice = invoice_from_reading(
        reading,
        invoice_id=new_id(),
        agreement=agreement,
        claim_currency=desk.claim.currency,
        charge_id=lambda index: new_id(),
        number=number,
        dated=dated,
        received=received,
    )
    foreign = foreign_currency(desk.claim, invoice.currency, invoice.number)
    if foreign:
        raise LdappError(foreign)
    if paper is not None:
        keeper, path = paper
        taken = take_in_documents(desk, keeper, [path], "invoice")
        invoice = dataclasses.replace(invoice, document=taken[0].id if taken else None)
    put_invoice(desk, invoice, said("Import invoice {number}", number=number))
    return invoice


def add_scanned_invoice(
    desk: OpenClaim, keeper: KeepsOriginals | None, path: Path, agreement: str, dated: dt.date
) -> Invoice:
    """Add an invoice without lines for a scanned paper, which is taken in beside it."""
    get(desk.claim.agreements, agreement, "agreement")
    papers = take_in_documents(desk, keeper, [path], "invoice") if keeper is not None else ()
    invoice = Invoice(
        id=new_id(),
        agreement=agreement,
        number=path.stem,
        dated=dated,
        document=papers[0].id if papers else None,
    )
    put_invoice(desk, invoice, said("Scanned invoice {name}", name=path.name))
    return invoice
