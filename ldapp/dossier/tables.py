"""Tables: a quiet grid, amounts right-aligned, the head repeated on every page.

All amounts of a column have the decimals of the claim's currency, and all digits of the
typeface are equally wide, so a right-aligned column stands on its decimal points.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.platypus import Flowable, Table, TableStyle

from ldapp.dossier.book import Book
from ldapp.dossier.style import (
    CELL,
    CELL_BOLD,
    HAIRLINE,
    HEAD_CELL,
    LABEL,
    PANEL,
    RULE,
    Align,
    TextStyle,
)
from ldapp.dossier.text import Span, Text

Content = str | Span | Sequence[str | Span] | Flowable
"""What a cell holds: text, spans, or something drawn."""

_TALL = 260.0
"""A row of this height may be split over two pages; lower ones move as a whole."""
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
) -> Table:
    """Return a table over the full width of the text."""
    widths = column_widths(columns, width or book.text_width)
    cells: list[list[Flowable]] = [
        [
            _cell(book, column.head, HEAD_CELL.but(align=column.align), widths[index])
            for index, column in enumerate(columns)
        ]
    ]
    look: list[tuple[object, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), _PAD),
        ("RIGHTPADDING", (0, 0), (-1, -1), _PAD),
        ("LEFTPADDING", (0, 0), (0, -1), 0),
        ("RIGHTPADDING", (-1, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), _PAD),
        ("BOTTOMPADDING", (0, 0), (-1, -1), _PAD),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, RULE),
        ("LINEBELOW", (0, 1), (-1, -1), 0.4, HAIRLINE),
    ]
    for index in range(1, len(columns)):
        if columns[index].align == "left" and columns[index - 1].align == "right":
            look.append(("LEFTPADDING", (index, 0), (index, -1), _PAD_AFTER_NUMBER))
    tallest = 0.0
    for number, row in enumerate(rows, 1):
        cell_style = style.but(face="bold") if row.strong or row.band else style
        made = []
        for index, column in enumerate(columns):
            content: Content = row.cells[index] if index < len(row.cells) else ""
            room = widths[index] - 2 * _PAD
            if row.band and index == 0:
                room = sum(widths)
            cell = _cell(book, content, cell_style.but(align=column.align), room)
            made.append(cell)
            if isinstance(cell, Text):
                tallest = max(tallest, cell.wrap(room, 0)[1])
        cells.append(made)
        if row.band:
            look.append(("SPAN", (0, number), (-1, number)))
            look.append(("BACKGROUND", (0, number), (-1, number), PANEL))
            look.append(("LEFTPADDING", (0, number), (0, number), _PAD))
        if row.strong:
            look.append(("LINEABOVE", (0, number), (-1, number), 0.8, RULE))
            look.append(("LINEBELOW", (0, number), (-1, number), 0.8, RULE))
    for number, row in enumerate(rows, 1):
        if row.band and number < len(rows):
            look.append(("NOSPLIT", (0, number), (-1, number + 1)))
        if row.strong and number > 1 and not rows[number - 2].strong:
            look.append(("NOSPLIT", (0, number - 1), (-1, number)))
    return Table(
        cells,
        colWidths=widths,
        repeatRows=1,
        style=TableStyle(look),
        splitInRow=1 if tallest > _TALL else 0,
        hAlign="LEFT",
        spaceBefore=2,
        spaceAfter=10,
    )


def _cell(book: Book, content: Content, style: TextStyle, room: float) -> Flowable:
    if isinstance(content, Flowable):
        return content
    return book.text(content, style)


def facts(
    book: Book,
    pairs: Sequence[tuple[str, Content]],
    *,
    width: float | None = None,
    label_width: float = 112,
) -> Table:
    """Return a two-column list of labels and what they say; empty values are left out."""
    whole = width or book.text_width
    kept = [(label, content) for label, content in pairs if content not in ("", [], ())]
    cells = [
        [
            book.text(label, LABEL.but(leading=11)),
            _cell(book, content, CELL, whole - label_width),
        ]
        for label, content in kept
    ]
    tallest = max(
        (one[1].wrap(whole - label_width, 0)[1] for one in cells if isinstance(one[1], Text)),
        default=0.0,
    )
    return Table(
        cells or [[book.text("", CELL), book.text("", CELL)]],
        colWidths=[label_width, whole - label_width],
        style=TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 4),
                ("TOPPADDING", (0, 0), (-1, -1), 1.8),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.8),
            ]
        ),
        splitInRow=1 if tallest > _TALL else 0,
        hAlign="LEFT",
        spaceAfter=8,
    )


def panel(book: Book, rows: Sequence[tuple[str, str]], *, width: float | None = None) -> Table:
    """Return a tinted box of labelled amounts; the last one stands out."""
    whole = width or book.text_width
    cells = []
    for number, (label, amount) in enumerate(rows):
        style = CELL_BOLD if number == len(rows) - 1 else CELL
        style = style.but(size=9, leading=12)
        cells.append([book.text(label, style), book.text(amount, style.but(align="right"))])
    return Table(
        cells,
        colWidths=[whole - 120, 120],
        style=TableStyle(
            [
                ("BACKGROUND", (0, 0), (-1, -1), PANEL),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (0, -1), 10),
                ("RIGHTPADDING", (-1, 0), (-1, -1), 10),
                ("TOPPADDING", (0, 0), (-1, -1), 3),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
                ("TOPPADDING", (0, 0), (-1, 0), 8),
                ("BOTTOMPADDING", (0, -1), (-1, -1), 8),
                ("LINEABOVE", (0, -1), (-1, -1), 0.6, RULE),
            ]
        ),
        hAlign="LEFT",
        spaceBefore=2,
        spaceAfter=12,
    )
