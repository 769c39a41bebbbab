"""The columns of an invoice: by their headings, and by which of them multiply."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from itertools import product

from ldapp.exchange.column_words import INVOICE_FIELDS, ColumnField, label_certainty, label_fields
from ldapp.exchange.columns import FoundColumns, propose_columns
from ldapp.exchange.number_text import NumberStyle, number_style, read_amount, read_count
from ldapp.exchange.table import Row, Table

_SAMPLE_ROWS = 200
_CENT = Decimal("0.01")


def propose_invoice_columns(table: Table) -> FoundColumns:
    """Return the columns of an invoice's table.

    Where several columns can be the quantity, the price or the amount (ordered, back and
    short; day rate and value), those are taken whose quantity times price is the amount.
    """
    found = propose_columns(table, INVOICE_FIELDS)
    if not found.header:
        return found
    body = table.rows[found.first_row :][:_SAMPLE_ROWS]
    style = number_style(cell.text for row in body for cell in row.cells if cell.kind == "text")
    found = _without_measures(body, found, style)
    triple = _multiplying(body, found, style)
    if triple is None:
        return found
    fields = dict(found.fields)
    taken = set(triple)
    for field in tuple(fields):
        if field in _MULTIPLIED or set(fields[field]) & taken:
            del fields[field]
    for field, column in zip(_MULTIPLIED, triple, strict=True):
        fields[field] = (column,)
    if "description" not in fields:
        fields["description"] = found.fields.get("description", ())
    ordered = {field: fields[field] for field in INVOICE_FIELDS if fields.get(field)}
    return dataclasses.replace(found, fields=ordered)


def _without_measures(
    rows: Sequence[Row], found: FoundColumns, style: NumberStyle | None
) -> FoundColumns:
    """Leave out a column headed *Unit* that holds no prices but what is counted: pcs, ea."""
    column = found.fields.get("unit_price", (-1,))[0]
    texts = [text for row in rows if (text := row.cell(column).text.strip())] if column >= 0 else []
    words = [text for text in texts if read_amount(text, style) is None and _MEASURE.match(text)]
    if not texts or len(words) <= 0.6 * len(texts):
        return found
    fields = dict(found.fields)
    del fields["unit_price"]
    return dataclasses.replace(found, fields=fields)


_MEASURE = re.compile(r"[^\W\d]{1,8}\.?$")

_MULTIPLIED: tuple[ColumnField, ...] = ("quantity", "unit_price", "amount")


def _candidates(found: FoundColumns, field: ColumnField) -> list[int]:
    columns = [
        column
        for column, heading in enumerate(found.headings)
        if label_fields(heading).get(field, 0.0) >= 0.6
    ]
    known = found.fields.get(field)
    if known and known[0] not in columns:
        columns.insert(0, known[0])
    if not columns:
        # A heading that says nothing: its figures may show what it holds.
        taken = {column for held in found.fields.values() for column in held}
        columns = [
            column
            for column, heading in enumerate(found.headings)
            if column not in taken and not label_certainty(heading)
        ]
    return columns


def _multiplying(
    rows: Sequence[Row], found: FoundColumns, style: NumberStyle | None
) -> tuple[int, ...] | None:
    candidates = [_candidates(found, field) for field in _MULTIPLIED]
    if all(len(columns) <= 1 for columns in candidates):
        return None
    proposed = tuple(found.fields.get(field, (-1,))[0] for field in _MULTIPLIED)
    best: tuple[int, ...] | None = None
    most = 0
    for columns in product(*candidates):
        if len(set(columns)) < len(columns):
            continue
        holds = sum(1 for row in rows if _holds(row, columns, style))
        if holds > most or (holds == most and holds and columns == proposed):
            best, most = columns, holds
    return best


def _holds(row: Row, columns: Sequence[int], style: NumberStyle | None) -> bool:
    counted, priced, extended = (row.cell(column).text for column in columns)
    quantity = read_count(counted, style)
    price, amount = read_amount(priced, style), read_amount(extended, style)
    if quantity is None or price is None or not amount:
        return False
    return (quantity * price).quantize(_CENT, ROUND_HALF_UP) == amount.quantize(_CENT)
