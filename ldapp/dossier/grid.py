"""Rows and columns that break over pages as a careful person would break them.

A row moves to the next page as a whole unless it is tall; a head is repeated; a band or
the row before a total never stands alone at the foot of a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from reportlab.lib.colors import Color
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from ldapp.dossier.style import HAIRLINE, PANEL, RULE
from ldapp.dossier.tagging import Kind, Scope, decoration, grouped
from ldapp.dossier.text import Text

RowKind = Literal["head", "plain", "strong", "band"]
Meaning = Literal["layout", "table", "labelled"]
"""For readers that do not see it: things side by side, a table, or labels with what they say."""

TALL = 260.0
"""A row of this height may be split over two pages; lower ones move as a whole."""
_FEW_ROWS = 3
_LEAST_PART = 60.0
"""No less than this of a split row is left at the foot of a page."""


@dataclass(slots=True)
class GridRow:
    """One row of flowables, one for each column; a band uses its first cell alone."""

    cells: list[Flowable]
    kind: RowKind = "plain"
    keep_with_next: bool = False
    height: float = field(default=-1.0)
    key: object = field(default_factory=object)
    """The same for both parts of a row that is split."""


@dataclass(frozen=True, slots=True)
class GridLook:
    """Room around the cells, and the lines between rows."""

    left: tuple[float, ...]
    """Padding on the left of each column."""
    right: float = 3.2
    right_of_last: float = 0.0
    above: float = 3.2
    below: float = 3.2
    ruled: bool = True
    background: Color | None = None
    meaning: Meaning = "layout"


class Grid(Flowable):
    """A table of flowables with fixed column widths."""

    def __init__(
        self,
        widths: Sequence[float],
        rows: list[GridRow],
        look: GridLook,
        *,
        head: GridRow | None = None,
        space_after: float = 10.0,
    ) -> None:
        super().__init__()
        self.spaceBefore = 2.0
        self.spaceAfter = space_after
        self.hAlign = "LEFT"
        self._widths = list(widths)
        self._rows = rows
        self._head = head
        self._look = look
        self._key = object()
        self._head_told: list[bool] = []

    def _room(self, row: GridRow, column: int) -> float:
        whole = sum(self._widths) if row.kind == "band" else self._widths[column]
        left = self._look.right if row.kind == "band" else self._look.left[column]
        last = row.kind != "band" and column == len(self._widths) - 1
        return whole - left - (self._look.right_of_last if last else self._look.right)

    def _cells(self, row: GridRow) -> list[Flowable]:
        return row.cells[:1] if row.kind == "band" else row.cells

    def _height(self, row: GridRow) -> float:
        if row.height < 0:
            tallest = max(
                (
                    cell.wrap(self._room(row, column), 1e6)[1]
                    for column, cell in enumerate(self._cells(row))
                ),
                default=0.0,
            )
            row.height = tallest + self._look.above + self._look.below
        return row.height

    def _head_height(self) -> float:
        return self._height(self._head) if self._head is not None else 0.0

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size of all rows with the head."""
        self.width = sum(self._widths)
        self.height = self._head_height() + sum(self._height(row) for row in self._rows)
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Flowable]:
        """Return the rows that fit and the rest, or nothing where none should stay."""
        room = height - self._head_height() + 0.01
        fitting = 0
        used = 0.0
        for row in self._rows:
            if used + self._height(row) > room:
                break
            used += self._height(row)
            fitting += 1
        if fitting == len(self._rows):
            return [self]
        tall = self._rows[fitting]
        parts = None
        if self._height(tall) > TALL and room - used > _LEAST_PART:
            parts = self._split_row(tall, room - used)
        if parts is not None:
            return [
                self._part([*self._rows[:fitting], parts[0]]),
                self._part([parts[1], *self._rows[fitting + 1 :]]),
            ]
        if fitting == len(self._rows) - 1 and fitting > _FEW_ROWS:
            fitting -= 1  # no last row alone on the next page
        # A tall row that belongs to the next stays: both together fit on no page.
        while fitting and self._holds_on(self._rows[fitting - 1]):
            fitting -= 1
        if fitting == 0:
            return []
        return [
            self._part(self._rows[:fitting]),
            CondPageBreak(height),  # rows that were held back must not slip in below
            self._part(self._rows[fitting:]),
        ]

    def _holds_on(self, row: GridRow) -> bool:
        return row.keep_with_next and self._height(row) <= TALL

    def _part(self, rows: list[GridRow]) -> Grid:
        part = Grid(self._widths, rows, self._look, head=self._head, space_after=self.spaceAfter)
        part._key, part._head_told = self._key, self._head_told
        return part

    def _split_row(self, row: GridRow, room: float) -> tuple[GridRow, GridRow] | None:
        """Return a row as two, each cell's text going on in the second."""
        inner = room - self._look.above - self._look.below
        first: list[Flowable] = []
        second: list[Flowable] = []
        stays = False
        for column, cell in enumerate(self._cells(row)):
            width = self._room(row, column)
            _, high = cell.wrap(width, 1e6)
            parts = [cell] if high <= inner else cell.split(width, inner)
            empty = cell.empty() if isinstance(cell, Text) else Spacer(0, 0)
            if not parts:
                first.append(empty)
                second.append(cell)
                continue
            stays = stays or high > inner
            first.append(parts[0])
            second.append(parts[1] if len(parts) > 1 else empty)
        if not stays:
            return None
        return (
            GridRow(first, row.kind, key=row.key),
            GridRow(second, row.kind, row.keep_with_next, key=row.key),
        )

    def draw(self) -> None:
        """Draw the rows from the top."""
        if self._look.meaning == "layout":
            self._draw_rows()
            return
        with grouped(self.canv, "Table", key=self._key):
            self._draw_rows()

    def _draw_rows(self) -> None:
        y = self.height
        if self._head is not None:
            if self._head_told:
                with decoration(self.canv):
                    y = self._draw_row(self._head, y)
            else:
                self._head_told.append(True)
                y = self._draw_row(self._head, y)
        for row in self._rows:
            y = self._draw_row(row, y)

    def _draw_row(self, row: GridRow, top: float) -> float:
        if self._look.meaning == "layout":
            return self._paint_row(row, top)
        with grouped(self.canv, "TR", key=row.key):
            return self._paint_row(row, top)

    def _draw_cell(self, row: GridRow, column: int, cell: Flowable, x: float, y: float) -> None:
        if self._look.meaning == "layout":
            cell.drawOn(self.canv, x, y)
            return
        scope: Scope | None = None
        if row.kind == "head":
            scope = "Column"
        elif self._look.meaning == "labelled" and column == 0:
            scope = "Row"
        columns = len(self._widths) if row.kind == "band" else 1
        key = (row.key, column)
        kind: Kind = "TD" if scope is None else "TH"
        with grouped(self.canv, kind, key=key, scope=scope, columns=columns):
            cell.drawOn(self.canv, x, y)

    def _paint_row(self, row: GridRow, top: float) -> float:
        height = self._height(row)
        bottom = top - height
        ground = PANEL if row.kind == "band" else self._look.background
        if ground is not None:
            self.canv.setFillColor(ground)
            self.canv.rect(0, bottom, self.width, height, stroke=0, fill=1)
        x = 0.0
        for column, cell in enumerate(self._cells(row)):
            _, high = cell.wrap(self._room(row, column), 1e6)
            left = self._look.right if row.kind == "band" else self._look.left[column]
            y = bottom + self._look.below if row.kind == "head" else top - self._look.above - high
            self._draw_cell(row, column, cell, x + left, y)
            x += self._widths[column]
        if self._look.ruled:
            heavy = row.kind in ("head", "strong")
            self._rule(bottom, RULE if heavy else HAIRLINE, 0.8 if heavy else 0.4)
            if row.kind == "strong":
                self._rule(top, RULE, 0.8)
        return bottom

    def _rule(self, y: float, colour: Color, thickness: float) -> None:
        self.canv.setStrokeColor(colour)
        self.canv.setLineWidth(thickness)
        self.canv.line(0, y, self.width, y)


def plain_grid(
    widths: Sequence[float],
    rows: Sequence[list[Flowable]],
    *,
    room: float = 0.0,
    space_after: float = 0.0,
) -> Grid:
    """Return flowables side by side without lines or padding but ``room`` above and below."""
    look = GridLook(left=(0.0,) * len(widths), right=0.0, above=room, below=room, ruled=False)
    return Grid(widths, [GridRow(cells) for cells in rows], look, space_after=space_after)
