"""Cells of a PDF's row that hold what belongs to the column beside them, put right.

Where a bound between two columns was laid wrongly, two pieces of text with wide space
between them share a cell and the neighbour is empty.  They are parted only where quantity
times price then makes the amount, so that nothing is guessed.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from itertools import pairwise

from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.number_text import NumberStyle, read_amount, read_count
from ldapp.exchange.table import Cell, Row

_APART = re.compile(r"\s{2,}")
_STRAY_DASH = re.compile(r"[-–—]\s{2,}(?=[^\s])")
_MULTIPLIED: tuple[ColumnField, ...] = ("quantity", "unit_price", "amount")


def with_parted_cells(row: Row, found: FoundColumns, style: NumberStyle | None) -> Row:
    """Return ``row`` with pieces in the wrong column moved where the arithmetic then holds."""
    if row.outside:
        return row
    row = _without_stray_dashes(row, found)
    columns = [found.fields[field][0] for field in _MULTIPLIED if field in found.fields]
    if len(columns) < 3 or all(row.cell(column).text.strip() for column in columns):
        return row
    for moved in _moves(row, columns, found.fields.get("description", ())):
        if _holds(moved, columns, style):
            return moved
    return row


def _without_stray_dashes(row: Row, found: FoundColumns) -> Row:
    """Take away the dash of an empty column that slid before a price."""
    columns = {found.fields[field][0] for field in _MULTIPLIED[1:] if field in found.fields}
    cells = tuple(
        Cell(_STRAY_DASH.sub("", cell.text, count=1))
        if index in columns and _STRAY_DASH.match(cell.text)
        else cell
        for index, cell in enumerate(row.cells)
    )
    return dataclasses.replace(row, cells=cells)


def _moves(row: Row, columns: list[int], described: tuple[int, ...]) -> Iterator[Row]:
    """Yield the row with a first or last piece moved over one bound."""
    texts = [cell.text for cell in row.cells]
    for left, right in pairwise(range(len(texts))):
        if not texts[left].strip() and left in columns:
            pieces = _APART.split(texts[right].strip(), maxsplit=1)
            if len(pieces) == 2:
                yield _replaced(row, {left: pieces[0], right: pieces[1]})
        if not texts[right].strip() and right in columns:
            pieces = _APART.split(texts[left].strip())
            if len(pieces) > 1 or (left not in described and left not in columns):
                yield _replaced(row, {left: "  ".join(pieces[:-1]), right: pieces[-1]})


def _replaced(row: Row, texts: dict[int, str]) -> Row:
    cells = tuple(
        Cell(texts[index]) if index in texts else cell for index, cell in enumerate(row.cells)
    )
    return dataclasses.replace(row, cells=cells)


def _holds(row: Row, columns: list[int], style: NumberStyle | None) -> bool:
    quantity = read_count(row.cell(columns[0]).text, style)
    price = read_amount(row.cell(columns[1]).text, style)
    amount = read_amount(row.cell(columns[2]).text, style)
    return (
        quantity is not None
        and price is not None
        and amount is not None
        and abs(quantity * price - amount) * 2 <= 1
        and (quantity * price).quantize(amount) == amount
    )
