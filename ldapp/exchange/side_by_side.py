"""Lists that are set in two or three columns side by side, brought into one below the other."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from ldapp.exchange.column_words import label_fields, plain_label
from ldapp.exchange.table import Row, Table

_SEARCHED_ROWS = 60
"""Rows among which the headings are looked for."""


def one_below_the_other(table: Table) -> Table:
    """Return the table with halves that stand side by side under the same headings unfolded.

    Any other table is returned as it is.
    """
    for index, row in enumerate(table.rows[:_SEARCHED_ROWS]):
        parts = _parts(row.texts())
        if parts:
            body = table.rows[index + 1 :]
            rows = [*table.rows[:index], _part(row, parts[0])]
            rows += [
                _part(one, part)
                for part in parts
                for one in body
                if any(one.cell(column).text.strip() for column in part)
                and (part is parts[0] or not _is_same(one, row))
            ]
            return dataclasses.replace(table, rows=tuple(rows))
    return table


def _parts(texts: Sequence[str]) -> list[list[int]]:
    """Return the columns of each part where headings stand again beside themselves."""
    filled = [index for index, text in enumerate(texts) if text]
    labels = [plain_label(texts[index]) for index in filled]
    for count in (2, 3):
        size = len(labels) // count
        if len(labels) != size * count or size < 2:
            continue
        first = labels[:size]
        described = any("description" in label_fields(one) for one in first)
        if described and len(set(first)) == size and first * count == labels:
            return [filled[start : start + size] for start in range(0, len(filled), size)]
    return []


def _part(row: Row, columns: Sequence[int]) -> Row:
    return dataclasses.replace(row, cells=tuple(row.cell(column) for column in columns))


def _is_same(row: Row, header: Row) -> bool:
    return row.texts() == header.texts()
