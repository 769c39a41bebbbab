"""A loss-and-damage invoice from a table: its lines as charges, its sums as printed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from babel.numbers import get_currency_precision

from ldapp.claim.charges import Charge, ChargeKind, Invoice
from ldapp.claim.record import record
from ldapp.errors import Fault, InputError
from ldapp.exchange.column_match import ColumnMatch, ColumnName
from ldapp.exchange.column_words import INVOICE_FIELDS, ColumnField, field_words
from ldapp.exchange.columns import FoundColumns, apply_match, missing_columns, propose_columns
from ldapp.exchange.invoice_charges import BilledRow
from ldapp.exchange.invoice_check import PrintedSums, SumRow, check_arithmetic
from ldapp.exchange.invoice_columns import propose_invoice_columns
from ldapp.exchange.invoice_heading import InvoiceHeading, find_heading
from ldapp.exchange.invoice_rows import InvoiceRowReader
from ldapp.exchange.kit_list import amount_text
from ldapp.exchange.number_text import NumberStyle, number_style
from ldapp.exchange.table import Table, TableFile
from ldapp.exchange.tables import read_tables
from ldapp.language import said


@record
class BilledLine:
    """One line of an invoice as billed, in the invoice's currency."""

    place: str
    number: str
    description: str
    kind: ChargeKind
    quantity: Decimal
    unit_price: Decimal | None
    amount: Decimal
    days: Decimal | None = None
    taxable: bool | None = None
    serials: str = ""
    """Serial numbers or asset tags as printed."""


@record
class InvoiceReading:
    """An invoice as read: its columns, lines and sums, and everything that is wrong with it.

    ``net``, ``tax`` and ``gross`` are as printed; None where the invoice does not print them.
    """

    file: str
    columns: dict[ColumnField, ColumnName | tuple[ColumnName, ...]]
    headings: tuple[str, ...]
    number: str
    dated: dt.date | None
    currency: str | None
    numbers: NumberStyle | None
    lines: tuple[BilledLine, ...]
    net: Decimal | None
    tax: Decimal | None
    gross: Decimal | None
    tax_included: bool
    """Whether the lines hold the tax already."""
    faults: tuple[Fault, ...]
    """What keeps the invoice from being taken in."""
    wrong_sums: tuple[Fault, ...]
    """Arithmetic of the invoice that does not hold; it is taken in as billed all the same."""
    to_confirm: tuple[str, ...] = ()

    @property
    def match(self) -> ColumnMatch:
        """The columns as they can be remembered for this rental company."""
        return ColumnMatch(columns=self.columns)


def read_invoice(path: Path, columns: ColumnMatch | None = None) -> InvoiceReading:
    """Read the invoice at ``path``, by ``columns`` or by columns that are proposed.

    Raises:
        InputError: the file cannot be read as a table at all, or is a scan without text.
    """
    return invoice_of_tables(read_tables(path), columns)


def invoice_of_tables(file: TableFile, columns: ColumnMatch | None = None) -> InvoiceReading:
    """Read an invoice from the tables of a file; see :func:`read_invoice`."""
    table, found, faults = _table_with_charges(file, columns)
    heading = find_heading(file)
    if table is None:
        shown = propose_columns(_largest(file), INVOICE_FIELDS)
        return _reading(file, shown, heading, None, [], _no_sums(), faults, [])
    figures = _figures(table, found)
    numbers = (columns.numbers if columns else None) or number_style(figures)
    if numbers is None and heading.currency and get_currency_precision(heading.currency) == 3:
        # 12.500 are twelve and a half where amounts have three decimals.
        numbers = "comma" if any("," in text for text in figures) else "point"
    reader = InvoiceRowReader(file.name, found, numbers, spaced_freely=file.kind == "pdf")
    rows, sums = reader.read(table)
    faults.extend(fault for row in rows for fault in row.faults)
    if not rows and not faults:
        faults.append(
            _fault(file, said("no line with an amount was found"), said("one line for each charge"))
        )
    return _reading(file, found, heading, numbers, rows, sums, faults, reader.to_confirm)


def _reading(
    file: TableFile,
    found: FoundColumns,
    heading: InvoiceHeading,
    numbers: NumberStyle | None,
    rows: Sequence[BilledRow],
    sums: Sequence[SumRow],
    faults: Sequence[Fault],
    to_confirm: Sequence[str],
) -> InvoiceReading:
    readable = [row for row in rows if row.amount is not None]
    printed: PrintedSums = check_arithmetic(file.name, readable, sums, heading.currency)
    return InvoiceReading(
        file=file.name,
        columns=found.names(),
        headings=found.headings,
        number=heading.number,
        dated=heading.dated,
        currency=heading.currency,
        numbers=numbers,
        lines=tuple(
            BilledLine(
                place=row.place,
                number=row.number or str(index),
                description=row.description,
                kind=row.kind,
                quantity=row.quantity if row.quantity is not None else Decimal(1),
                unit_price=row.unit_price,
                amount=row.amount if row.amount is not None else Decimal(0),
                days=row.days,
                taxable=row.taxable,
                serials=row.serials,
            )
            for index, row in enumerate(readable, 1)
        ),
        net=printed.net,
        tax=printed.tax,
        gross=printed.gross,
        tax_included=printed.tax_included,
        faults=tuple(faults),
        wrong_sums=printed.faults,
        to_confirm=(*heading.to_confirm, *to_confirm),
    )


def _no_sums() -> list[SumRow]:
    return []


def _largest(file: TableFile) -> Table:
    return max(file.tables, key=lambda table: len(table.rows))


def _table_with_charges(
    file: TableFile, columns: ColumnMatch | None
) -> tuple[Table | None, FoundColumns, list[Fault]]:
    tables = [table for table in file.tables if table.rows]
    if columns is not None and columns.sheet is not None:
        tables = [table for table in tables if table.name in {columns.sheet, ""}] or tables
    if columns is not None:
        applied = [(table, apply_match(table, columns, INVOICE_FIELDS)) for table in tables]
        table, found = max(applied, key=lambda one: len(one[1].fields))
        missing = missing_columns(columns, found)
        if missing:
            headings = ", ".join(found.headings)
            return (
                None,
                found,
                [
                    _fault(
                        file,
                        said(
                            'there is no column "{name}" for the {field}',
                            name=name,
                            field=field_words(field),
                        ),
                        said("one of the headings: {headings}", headings=headings),
                    )
                    for field, name in missing
                ],
            )
    else:
        proposed = [(table, propose_invoice_columns(table)) for table in tables]
        table, found = max(proposed, key=lambda one: (_usable(one[1]), len(one[1].fields)))
    if _usable(found):
        return table, found, []
    headings = ", ".join(found.headings)
    return (
        None,
        found,
        [
            _fault(
                file,
                said("no columns with descriptions and amounts were found"),
                said(
                    "headings such as Description, Quantity, Amount; the columns are: {headings}",
                    headings=headings,
                ),
            )
        ],
    )


def _usable(found: FoundColumns) -> bool:
    has = found.fields.keys()
    return "description" in has and bool(has & {"amount", "gross", "unit_price"})


def _fault(file: TableFile, wrong: str, expected: str) -> Fault:
    return Fault(file=file.name, place="", wrong=wrong, expected=expected)


def _figures(table: Table, found: FoundColumns) -> list[str]:
    wanted: tuple[ColumnField, ...] = ("amount", "unit_price", "gross", "quantity")
    return [
        cell.text
        for row in table.rows[found.first_row :]
        for field in wanted
        for index in found.fields.get(field, ())
        if (cell := row.cell(index)).kind == "text" and cell.text
    ]


# --- what becomes of it -----------------------------------------------------------------


def invoice_from_reading(
    reading: InvoiceReading,
    *,
    invoice_id: str,
    agreement: str,
    claim_currency: str,
    charge_id: Callable[[int], str],
    number: str | None = None,
    dated: dt.date | None = None,
    received: dt.date | None = None,
) -> Invoice:
    """Return the invoice with its charges as the claim holds them, as billed.

    ``number`` and ``dated`` stand in where the person entered or corrected them;
    ``charge_id`` gives an id for each line, counted from 1.

    Raises:
        InputError: a line cannot be read, or the invoice has no date.
    """
    faults = list(reading.faults)
    day = dated or reading.dated
    if day is None:
        faults.append(
            Fault(
                file=reading.file,
                place="",
                wrong=said("the date of the invoice was not found"),
                expected=said("the date, entered by hand"),
            )
        )
    if faults or day is None:
        raise InputError(tuple(faults))
    return Invoice(
        id=invoice_id,
        agreement=agreement,
        number=number if number is not None else reading.number,
        dated=day,
        received=received,
        currency=reading.currency if reading.currency != claim_currency else None,
        net=reading.net,
        tax=reading.tax,
        gross=reading.gross,
        charges=tuple(
            Charge(
                id=charge_id(index),
                number=line.number,
                description=line.description,
                kind=line.kind,
                quantity=line.quantity,
                unit_price=line.unit_price,
                amount=line.amount,
                days=line.days,
                taxable=line.taxable,
                note=said("serial number or tag: {serials}", serials=line.serials)
                if line.serials
                else "",
            )
            for index, line in enumerate(reading.lines, 1)
        ),
    )


def invoice_as_json(reading: InvoiceReading) -> dict[str, Any]:
    """Return a reading as ``ldapp invoice`` prints it; amounts in their currency's decimals."""
    places = get_currency_precision(reading.currency) if reading.currency else 2
    return {
        "currency": reading.currency,
        "number": reading.number or None,
        "dated": reading.dated.isoformat() if reading.dated else None,
        "columns": {
            field: list(names) if isinstance(names, tuple) else names
            for field, names in reading.columns.items()
        },
        "lines": [
            {
                "line": line.number,
                "description": line.description,
                "quantity": amount_text(line.quantity, 0),
                "unit_price": amount_text(line.unit_price, places),
                "amount": amount_text(line.amount, places),
                "kind": line.kind,
                "days": amount_text(line.days, 0),
                "serials": line.serials,
                "place": line.place,
            }
            for line in reading.lines
        ],
        "net": amount_text(reading.net, places),
        "tax": amount_text(reading.tax, places),
        "gross": amount_text(reading.gross, places),
        "tax_included": reading.tax_included,
        "faults": [
            {"place": fault.place, "says": fault.without_place()}
            for fault in (*reading.faults, *reading.wrong_sums)
        ],
        "to_confirm": list(reading.to_confirm),
    }
