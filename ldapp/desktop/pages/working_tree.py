"""The statement as a tree that unfolds."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSize,
    Qt,
)
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeView,
    QWidget,
)

from ldapp.desktop.pages.statement import Statement
from ldapp.desktop.pages.statement_entry import Entry, as_text
from ldapp.desktop.theme import ROW_HEIGHT, TypeSize, colour, type_font
from ldapp.desktop.widgets.plain_text import never_markup, shown
from ldapp.language import marked, said

TITLES = (marked("What"), marked("How it comes about"), marked("Amount"), marked("Clause"))
AMOUNT = 2
ENTRY_ROLE = int(Qt.ItemDataRole.UserRole) + 1

_NO_PARENT = QModelIndex()
_Index = QModelIndex | QPersistentModelIndex


class StatementModel(QAbstractItemModel):
    """Rows of the statement; what is folded in is not looked at until it is unfolded."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._root = Entry("")
        self._paths: dict[tuple[str, str], tuple[int, ...]] = {}
        self._entries: list[Entry] = []
        self._numbers: dict[Entry, int] = {}
        self._parents: dict[Entry, tuple[Entry, int]] = {}

    def show_statement(self, statement: Statement | None) -> None:
        """Show another statement."""
        self.beginResetModel()
        self._root = Entry("", under=list(statement.sections) if statement else [])
        self._paths = statement.paths if statement else {}
        self._entries, self._numbers, self._parents = [], {}, {}
        self._know_children(self._root)
        self.endResetModel()

    def _know_children(self, entry: Entry) -> None:
        if entry.under and entry.under[0] not in self._parents:
            for row, one in enumerate(entry.under):
                self._parents[one] = (entry, row)

    def _number(self, entry: Entry) -> int:
        number = self._numbers.get(entry)
        if number is None:
            number = len(self._entries)
            self._entries.append(entry)
            self._numbers[entry] = number
        return number

    def entry_at(self, index: _Index) -> Entry | None:
        """Return the row behind an index."""
        return self._entries[index.internalId()] if index.isValid() else None

    def index_of(self, key: tuple[str, str]) -> QModelIndex:
        """Return the index of the first row about a record."""
        index = QModelIndex()
        for row in self._paths.get(key, ()):
            index = self.index(row, 0, index)
        return index

    def index(self, row: int, column: int, parent: _Index = _NO_PARENT) -> QModelIndex:
        """Return the index of a row under another."""
        above = self.entry_at(parent) or self._root
        if not (0 <= row < len(above.under) and 0 <= column < len(TITLES)) or (
            parent.isValid() and parent.column() != 0
        ):
            return QModelIndex()
        self._know_children(above)
        return self.createIndex(row, column, self._number(above.under[row]))

    def parent(self, child: _Index = _NO_PARENT) -> Any:
        """Return the index of the row above."""
        entry = self.entry_at(child)
        if entry is None:
            return QModelIndex()
        above = self._parents[entry][0]
        if above is self._root:
            return QModelIndex()
        return self.createIndex(self._parents[above][1], 0, self._number(above))

    def rowCount(self, parent: _Index = _NO_PARENT) -> int:
        """Return how many rows lie under another."""
        if parent.isValid() and parent.column() != 0:
            return 0
        return len((self.entry_at(parent) or self._root).under)

    def columnCount(self, parent: _Index = _NO_PARENT) -> int:
        """Four columns everywhere."""
        del parent
        return len(TITLES)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the titles."""
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(TITLES):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return said(TITLES[section])
        if role == Qt.ItemDataRole.TextAlignmentRole and section == AMOUNT:
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return texts, alignment, weight and tone."""
        entry = self.entry_at(index)
        if entry is None:
            return None
        texts = (entry.what, entry.how, entry.amount, entry.clause)
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return shown(texts[index.column()])
            case Qt.ItemDataRole.ToolTipRole:
                return never_markup(texts[index.column()]) or None
            case Qt.ItemDataRole.AccessibleTextRole:
                return said(
                    "{column}: {value}",
                    column=said(TITLES[index.column()]),
                    value=texts[index.column()] or said("empty"),
                )
            case Qt.ItemDataRole.TextAlignmentRole if index.column() == AMOUNT:
                return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            case Qt.ItemDataRole.FontRole if entry.mark == "total" and index.column() != 1:
                return type_font(TypeSize.NORMAL, bold=True)
            case Qt.ItemDataRole.ForegroundRole:
                if entry.mark in ("amber", "muted"):
                    return colour("amber" if entry.mark == "amber" else "muted")
                return colour("muted") if index.column() in (1, 3) else None
        return (role == ENTRY_ROLE and entry) or None


class _StatementDelegate(QStyledItemDelegate):
    """Rows of one height with a thin line below."""

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        size = super().sizeHint(option, index)
        size.setHeight(ROW_HEIGHT)
        return size

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        super().paint(painter, option, index)
        painter.save()
        painter.setPen(QPen(colour("separator"), 1))
        painter.drawLine(option.rect.bottomLeft(), option.rect.bottomRight())
        painter.restore()


class WorkingTree(QTreeView):
    """Unfolds with arrows or a click; Ctrl+C copies an amount with its working."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setUniformRowHeights(True)
        self.setItemDelegate(_StatementDelegate(self))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setExpandsOnDoubleClick(True)
        self.setIndentation(20)
        self.setAllColumnsShowFocus(True)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)

    def setModel(self, model: QAbstractItemModel | None) -> None:
        """Show a statement; the amounts keep their width."""
        super().setModel(model)
        head = self.header()
        head.setStretchLastSection(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        head.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        wide = self.fontMetrics().averageCharWidth()
        for column, characters in ((0, 38), (AMOUNT, 20), (3, 14)):
            self.setColumnWidth(column, wide * characters)

    def drawRow(self, painter: QPainter, options: QStyleOptionViewItem, index: _Index) -> None:
        """Give a row that says nothing but one sentence the whole width."""
        model = self.model()
        entry = model.entry_at(index) if isinstance(model, StatementModel) else None
        if entry is not None and entry.is_sentence:
            above = index.parent()
            if not self.isFirstColumnSpanned(index.row(), above):
                self.setFirstColumnSpanned(index.row(), above, True)
        super().drawRow(painter, options, index)

    def current_entry(self) -> Entry | None:
        """Return the row with the cursor."""
        model = self.model()
        return model.entry_at(self.currentIndex()) if isinstance(model, StatementModel) else None

    def unfolded(self) -> list[tuple[str, str]]:
        """Return the keys of rows that are unfolded, as far as they are about a record."""
        model = self.model()
        if not isinstance(model, StatementModel):
            return []
        found, waiting = [], [QModelIndex()]
        while waiting:
            above = waiting.pop()
            for row in range(model.rowCount(above)):
                index = model.index(row, 0, above)
                if self.isExpanded(index):
                    entry = model.entry_at(index)
                    if entry is not None and entry.key != ("", ""):
                        found.append(entry.key)
                    waiting.append(index)
        return found

    def unfold(self, keys: list[tuple[str, str]]) -> None:
        """Unfold the rows about these records."""
        model = self.model()
        if isinstance(model, StatementModel):
            for key in keys:
                index = model.index_of(key)
                if index.isValid():
                    self.expand(index)

    def show_key(self, key: tuple[str, str]) -> bool:
        """Go to the row about a record and unfold it."""
        model = self.model()
        index = model.index_of(key) if isinstance(model, StatementModel) else QModelIndex()
        if not index.isValid():
            return False
        self.setCurrentIndex(index)
        self.expandRecursively(index, 2)
        self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtTop)
        return True

    def copy_working(self) -> None:
        """Put the chosen amount with its working on the clipboard."""
        entry = self.current_entry()
        if entry is not None:
            QGuiApplication.clipboard().setText(as_text(entry))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy with the working; * unfolds everything below (Qt's own key)."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_working()
            event.accept()
        else:
            super().keyPressEvent(event)
