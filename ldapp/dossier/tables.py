"""Tables: a quiet grid, amounts right-aligned, the head repeated on every page.

All amounts of a column have the decimals of the claim's currency, and all digits of the
typeface are equally wide, so a right-aligned column stands on its decimal points.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from reportlab.platypus import Flowable

from ldapp.dossier.book import Book
from ldapp.dossier.grid import Grid, GridLook, GridRow, RowKind
from ldapp.dossier.style import CELL, HEAD_CELL, LABEL, PANEL, Align, TextStyle
from ldapp.dossier.text import Span

Content = str | Span | Sequence[str | Span] | Flowable
"""What a cell holds: text, spans, or something drawn."""

_PAD = 3.2
_PAD_AFTER_NUMBER = 12.0
"""Room between a right-aligned column and the words beside it."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its head, its share of the width that is left over, or a fixed width."""

    head: str
    width: float | None = None
    share: float = 1.0
    align: Align = "left"


@dataclass(frozen=True, slots=True)
class Row:
    """One row; ``strong`` for totals, ``band`` for a heading within the table."""

    cells: Sequence[Content]
    strong: bool = False
    band: bool = False


def column_widths(columns: Sequence[Column], width: float) -> list[float]:
    """Return the width of each column so that together they fill ``width``."""
    fixed = sum(column.width or 0.0 for column in columns)
    shares = sum(column.share for column in columns if column.width is None)
    return [
        column.width if column.width is not None else (width - fixed) * column.share / shares
        for column in columns
    ]


def table(
    book: Book,
    columns: Sequence[Column],
    rows: Sequence[Row],
    *,
    style: TextStyle = CELL,
    width: float | None = None,
) -> Grid:
    """Return a table over the full width of the text."""
    widths = column_widths(columns, width or book.text_width)
    left = [0.0]
    for before, column in pairwise(columns):
        after_number = column.align == "left" and before.align == "right"
        left.append(_PAD_AFTER_NUMBER if after_number else _PAD)
    head = GridRow(
        [_cell(book, one.head, HEAD_CELL.but(align=one.align)) for one in columns], "head"
    )
    made = []
    for number, row in enumerate(rows):
        look = style.but(face="bold") if row.strong or row.band else style
        cells = [
            _cell(
                book,
                row.cells[index] if index < len(row.cells) else "",
                look.but(align=column.align),
            )
            for index, column in enumerate(columns)
        ]
        total_follows = number + 1 < len(rows) and rows[number + 1].strong and not row.strong
        kind: RowKind = "band" if row.band else "strong" if row.strong else "plain"
        made.append(GridRow(cells, kind, keep_with_next=row.band or total_follows))
    return Grid(widths, made, GridLook(left=tuple(left), right=_PAD, meaning="table"), head=head)


def _cell(book: Book, content: Content, style: TextStyle) -> Flowable:
    if isinstance(content, Flowable):
        return content
    return book.text(content, style)


def facts(
    book: Book,
    pairs: Sequence[tuple[str, Content]],
    *,
    width: float | None = None,
    label_width: float = 112,
) -> Grid:
    """Return a two-column list of labels and what they say; empty values are left out."""
    whole = width or book.text_width
    rows = [
        GridRow([book.text(label, LABEL.but(leading=11)), _cell(book, content, CELL)])
        for label, content in pairs
        if content not in ("", [], ())
    ]
    look = GridLook(
        left=(0.0, 0.0), right=4.0, above=1.8, below=1.8, ruled=False, meaning="labelled"
    )
    return Grid([label_width, whole - label_width], rows, look, space_after=8)


def panel(book: Book, rows: Sequence[tuple[str, str]]) -> Grid:
    """Return a tinted box of labelled amounts; the last one stands out."""
    style = CELL.but(size=9, leading=12)
    made = []
    for number, (label, amount) in enumerate(rows):
        last = number == len(rows) - 1
        look = style.but(face="bold") if last else style
        cells: list[Flowable] = [
            book.text(label, look.but(indent=8)),
            book.text(amount, look.but(align="right")),
        ]
        made.append(GridRow(cells, "strong" if last else "plain", keep_with_next=not last))
    look_of_all = GridLook(
        left=(0.0, 0.0),
        right=8.0,
        right_of_last=8.0,
        above=4,
        below=4,
        background=PANEL,
        meaning="labelled",
    )
    return Grid([book.text_width - 130, 130], made, look_of_all, space_after=12)
