"""A table from a file, whatever wrote it: text cells, each row with its place.

Spreadsheets (XLSX, XLS, ODS), delimited text in any common encoding, and tables in PDFs
become the same :class:`Table`, so that what reads a kit list or an invoice need not know.
"""

from __future__ import annotations

import dataclasses
from typing import Literal, TypeAlias

from ldapp.errors import Fault, InputError
from ldapp.language import marked, said

LARGEST_FILE = 64 * 1024 * 1024
"""Bytes of a file with a list."""
MOST_ROWS = 100_000
MOST_COLUMNS = 400
LONGEST_CELL = 32_767
"""Characters; the most that a spreadsheet holds in one cell."""

CellKind: TypeAlias = Literal["text", "number", "date"]
"""``number`` and ``date`` where the file itself says so; then the text is exact."""
FileKind: TypeAlias = Literal["text", "spreadsheet", "pdf", "clipboard"]

A_LIST = marked("a list as CSV, XLSX, XLS or ODS, or a PDF that holds a table as text")


@dataclasses.dataclass(frozen=True, slots=True)
class Cell:
    """One cell; a number is written with digits and a decimal point, a date as ISO 8601."""

    text: str = ""
    kind: CellKind = "text"


@dataclasses.dataclass(frozen=True, slots=True)
class Row:
    """One row of a table with the place at which a person finds it again."""

    number: int
    """Counted from 1 as the file shows it."""
    place: str
    cells: tuple[Cell, ...]
    outside: bool = False
    """Whether it stands on the page outside the ruled table, so that its cells are no columns."""
    page: int = 0
    """The page of a PDF, counted from 1; 0 in other files, whose rows are numbered themselves."""

    def cell(self, index: int) -> Cell:
        """Return the cell of a column, counted from 0; an empty one beyond the last."""
        return self.cells[index] if index < len(self.cells) else _EMPTY

    def texts(self) -> tuple[str, ...]:
        """Return the texts of the cells without the spaces around them."""
        return tuple(cell.text.strip() for cell in self.cells)


_EMPTY = Cell()


@dataclasses.dataclass(frozen=True, slots=True)
class Table:
    """One sheet, one delimited text, or the lines of a PDF."""

    name: str
    """The sheet's name, or empty where there is only one table."""
    rows: tuple[Row, ...]


@dataclasses.dataclass(frozen=True, slots=True)
class TableFile:
    """All tables of one file, and the running text that stands around them in a PDF."""

    name: str
    kind: FileKind
    tables: tuple[Table, ...]
    lines: tuple[Row, ...] = ()
    """The text of a PDF, line by line, one cell each."""
    formats: tuple[str, ...] = ()
    """How a spreadsheet writes its numbers, where that names a currency."""


class NoTextError(InputError):
    """A PDF that holds pictures of pages alone: its lines can only be entered by hand."""


def refusal(file: str, wrong: str, expected: str | None = None, place: str = "") -> InputError:
    """Return the error for a file that cannot be used as a list at all."""
    wanted = said(A_LIST) if expected is None else expected
    return InputError((Fault(file=file, place=place, wrong=wrong, expected=wanted),))


def row_place(table: str, number: int) -> str:
    """Return how a row is named to a person."""
    return (
        said("sheet {table}, row {number}", table=table, number=number)
        if table
        else said("row {number}", number=number)
    )
