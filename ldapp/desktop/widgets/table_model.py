"""A table model whose columns are declared, and which sorts and filters in Python.

A proxy sorts Decimal and date wrongly and is slow; here the row objects are sorted by
their keys.  What is shown and what is compared are two functions.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, NamedTuple, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from ldapp.desktop.theme import Role, TypeSize, colour, type_font
from ldapp.desktop.widgets.plain_text import never_markup, shown
from ldapp.language import said

RowT = TypeVar("RowT")
Index = QModelIndex | QPersistentModelIndex

ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 1
"""Hands back the row's object."""


def _always_empty(row: Any) -> str:
    del row
    return ""


def _no_colour(row: Any) -> Role | None:
    del row
    return None


@dataclass(frozen=True, kw_only=True)
class Column(Generic[RowT]):
    """One column: what is shown, what is compared, and whether it can be edited."""

    name: str
    title: str
    """As it is shown, or ``marked`` in a constant: read ``heading``."""
    text: Callable[[RowT], str]
    key: Callable[[RowT], Any] | None = None
    """What is compared; None values come last.  Default: the text, without case."""
    right: bool = False
    """Figures: aligned at the right."""
    editable: bool = False
    edit_text: Callable[[RowT], str] | None = None
    """What the editor begins with, where that is not the text shown."""
    choices: Callable[[RowT], Sequence[tuple[str, str]]] | None = None
    """(value, label) pairs: edited with a list; the value is what is written."""
    role: Callable[[RowT], Role | None] = _no_colour
    """A colour for the text; amber and red only where the text itself has a mark and a word."""
    tip: Callable[[RowT], str] = _always_empty
    spoken: Callable[[RowT], str] | None = None
    """For screen readers, where the text shown is short or symbolic."""
    width: int = 12
    """Width at first, in average characters."""
    bold: bool = False

    @property
    def heading(self) -> str:
        """The title in the language spoken now."""
        return said(self.title)


class CellEdit(NamedTuple):
    """A text that a person wants in one cell."""

    row: Any
    column: str
    text: str


Writer = Callable[[Sequence[CellEdit]], bool]
"""Makes one change of all edits; False where they were refused."""


@dataclass
class _Order:
    column: int = -1
    descending: bool = False
    words: tuple[str, ...] = field(default_factory=tuple)


class RowsModel(QAbstractTableModel, Generic[RowT]):
    """Rows of one kind; only exact ranges are announced, so selection and scroll stay."""

    def __init__(
        self,
        columns: Sequence[Column[RowT]],
        row_key: Callable[[RowT], Hashable],
        *,
        writer: Writer | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.columns: tuple[Column[RowT], ...] = tuple(columns)
        self._row_key = row_key
        self._writer = writer
        self._all: list[RowT] = []
        self._rows: list[RowT] = []
        self._order = _Order()
        self._filter: Callable[[RowT], bool] | None = None
        self._texts: dict[Hashable, tuple[RowT, str]] = {}
        """What a search looks through, written out once for each row object."""

    # --- rows ---------------------------------------------------------------------

    @property
    def rows(self) -> Sequence[RowT]:
        """The rows as shown: filtered and in order."""
        return self._rows

    @property
    def all_rows(self) -> Sequence[RowT]:
        """All rows in the order in which they were given."""
        return self._all

    def row_at(self, index: Index) -> RowT | None:
        """Return the object behind an index."""
        return self._rows[index.row()] if index.isValid() else None

    def row_number(self, key: Hashable) -> int:
        """Return where a row is shown, or -1."""
        return next(
            (number for number, row in enumerate(self._rows) if self._row_key(row) == key), -1
        )

    def column_number(self, name: str) -> int:
        """Return the number of a column by its name."""
        return next(number for number, one in enumerate(self.columns) if one.name == name)

    def set_rows(self, rows: Iterable[RowT]) -> None:
        """Show these rows; what stays keeps its selection."""
        self._all = list(rows)
        if len(self._texts) > 2 * len(self._all):
            self._texts.clear()
        self._show(self._arranged())

    def set_columns(self, columns: Sequence[Column[RowT]]) -> None:
        """Show other columns (the counts of a claim)."""
        self.beginResetModel()
        self.columns = tuple(columns)
        self._texts.clear()
        if self._order.column >= len(self.columns):
            self._order.column = -1
        self._rows = self._arranged()
        self.endResetModel()

    def update_all(self) -> None:
        """Say that any cell may look different now (another reckoning, other colours)."""
        self._texts.clear()
        if self._rows and self.columns:
            self.dataChanged.emit(
                self.index(0, 0), self.index(len(self._rows) - 1, len(self.columns) - 1)
            )

    def search(self, text: str) -> None:
        """Show only rows in which every word occurs, in any column."""
        words = tuple(text.casefold().split())
        if words != self._order.words:
            self._order.words = words
            self._show(self._arranged())

    def keep(self, wanted: Callable[[RowT], bool] | None) -> None:
        """Show only rows for which ``wanted`` holds; None shows all."""
        self._filter = wanted
        self._show(self._arranged())

    def narrow(self, text: str, wanted: Callable[[RowT], bool] | None) -> None:
        """Search and filter in one go."""
        self._order.words = tuple(text.casefold().split())
        self.keep(wanted)

    def _arranged(self) -> list[RowT]:
        rows = self._all
        if self._filter is not None:
            rows = [row for row in rows if self._filter(row)]
        words = self._order.words
        if words:
            rows = [row for row in rows if self._holds(row, words)]
        if 0 <= self._order.column < len(self.columns):
            column = self.columns[self._order.column]
            key = column.key or (lambda row: column.text(row).casefold())
            keyed = [(key(row), row) for row in rows]
            present = [pair for pair in keyed if pair[0] is not None]
            absent = [row for value, row in keyed if value is None]
            present.sort(key=lambda pair: pair[0], reverse=self._order.descending)
            rows = [row for _, row in present] + absent
        return list(rows)

    def _holds(self, row: RowT, words: tuple[str, ...]) -> bool:
        key = self._row_key(row)
        kept = self._texts.get(key)
        if kept is None or kept[0] is not row:
            text = "\n".join(column.text(row) for column in self.columns).casefold()
            kept = self._texts[key] = (row, text)
        return all(word in kept[1] for word in words)

    def _show(self, new: list[RowT]) -> None:
        key = self._row_key
        new_keys = [key(row) for row in new]
        wanted = set(new_keys)
        gone = [number for number, row in enumerate(self._rows) if key(row) not in wanted]
        gone_runs = _runs(gone)
        present = {key(row) for row in self._rows} & wanted
        come = [number for number, one in enumerate(new_keys) if one not in present]
        come_runs = _runs(come)
        if len(gone_runs) + len(come_runs) > 40 or len(wanted) != len(new):
            self.beginResetModel()
            self._rows = new
            self.endResetModel()
            return
        for first, last in reversed(gone_runs):
            self.beginRemoveRows(QModelIndex(), first, last)
            del self._rows[first : last + 1]
            self.endRemoveRows()
        staying = [row for row, one in zip(new, new_keys, strict=True) if one in present]
        self._reorder(staying)
        for first, last in come_runs:
            self.beginInsertRows(QModelIndex(), first, last)
            self._rows[first:first] = new[first : last + 1]
            self.endInsertRows()
        changed = [
            number
            for number, (old, one) in enumerate(zip(self._rows, new, strict=True))
            if old is not one and old != one
        ]
        self._rows = new
        for first, last in _runs(changed):
            self.dataChanged.emit(self.index(first, 0), self.index(last, len(self.columns) - 1))

    def _reorder(self, staying: list[RowT]) -> None:
        key = self._row_key
        old_keys = [key(row) for row in self._rows]
        if old_keys == [key(row) for row in staying]:
            return
        self.layoutAboutToBeChanged.emit()
        places = {key(row): number for number, row in enumerate(staying)}
        old = self.persistentIndexList()
        moved = [self.index(places[old_keys[one.row()]], one.column()) for one in old]
        by_key = {key(row): row for row in self._rows}
        self._rows = [by_key[key(row)] for row in staying]
        self.changePersistentIndexList(old, moved)
        self.layoutChanged.emit()

    # --- what Qt asks -------------------------------------------------------------

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many rows are shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return one fact about one cell."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        row, column = self._rows[index.row()], self.columns[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return shown(column.text(row))
        if role == Qt.ItemDataRole.EditRole:
            return (column.edit_text or column.text)(row)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        if role == Qt.ItemDataRole.ForegroundRole:
            tint = column.role(row)
            return colour(tint) if tint else None
        if role == Qt.ItemDataRole.FontRole:
            return _bold() if column.bold else None
        if role == Qt.ItemDataRole.ToolTipRole:
            return never_markup(column.tip(row)) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            says = (column.spoken or column.text)(row)
            return said("{column}: {value}", column=column.heading, value=says or said("empty"))
        if role == ROW_ROLE:
            return row
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        """Return a column's title."""
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.columns[section].heading
        if role == Qt.ItemDataRole.TextAlignmentRole:
            right = self.columns[section].right
            side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Say what can be done with a cell."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if self._writer is not None and self.columns[index.column()].editable:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Write one cell through the model's writer."""
        if role != Qt.ItemDataRole.EditRole or not index.isValid() or self._writer is None:
            return False
        row, column = self._rows[index.row()], self.columns[index.column()]
        text = str(value)
        if text == (column.edit_text or column.text)(row):
            return True
        return self._writer((CellEdit(row, column.name, text),))

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Order the rows by a column; -1 is the order in which they were given."""
        self._order.column = column
        self._order.descending = order == Qt.SortOrder.DescendingOrder
        self._show(self._arranged())

    # --- clipboard ----------------------------------------------------------------

    def copied(self, indexes: Iterable[Index]) -> str:
        """Return cells as tab-separated text, as spreadsheets take it."""
        cells = {(one.row(), one.column()): self.data(one) or "" for one in indexes}
        if not cells:
            return ""
        rows = sorted({row for row, _ in cells})
        columns = sorted({column for _, column in cells})
        return "\n".join(
            "\t".join(" ".join(str(cells.get((row, column), "")).split()) for column in columns)
            for row in rows
        )

    def write(self, edits: Sequence[CellEdit]) -> bool:
        """Write several cells as one change; the label of a choice stands for its value."""
        if not edits or self._writer is None:
            return False
        columns = {one.name: one for one in self.columns}
        return self._writer([_with_value(one, columns.get(one.column)) for one in edits])

    def edits_for_paste(self, at: Index, table: Sequence[Sequence[str]]) -> list[CellEdit]:
        """Return what pasting ``table`` at a cell would write; cells beyond the rows are left."""
        edits = []
        for down, cells in enumerate(table):
            for across, text in enumerate(cells):
                row, column = at.row() + down, at.column() + across
                if row < len(self._rows) and column < len(self.columns):
                    one = self.columns[column]
                    if one.editable:
                        edits.append(CellEdit(self._rows[row], one.name, text.strip()))
        return edits


def _with_value(edit: CellEdit, column: Column[Any] | None) -> CellEdit:
    """Return an edit with the value of the choice whose label was pasted."""
    if column is None or column.choices is None:
        return edit
    choices = column.choices(edit.row)
    folded = edit.text.casefold()
    found = [value for value, label in choices if label.casefold() == folded]
    if len(found) != 1 or any(value == edit.text for value, _ in choices):
        return edit
    return edit._replace(text=found[0])


def _bold() -> QFont:
    return type_font(TypeSize.NORMAL, bold=True)


def _runs(numbers: Sequence[int]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return runs
