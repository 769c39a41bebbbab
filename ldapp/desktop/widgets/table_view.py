"""A table with fixed rows, thin lines, copy and paste, and Enter that goes to the next row."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    Qt,
    Signal,
)
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QComboBox,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from ldapp.desktop.theme import ROW_HEIGHT, colour
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel

Index = QModelIndex | QPersistentModelIndex
_PADDING = 5
"""Beside the style's own three pixels, so that cells stand under their headings."""


class CellDelegate(QStyledItemDelegate):
    """Draws the thin line under a row, and edits with a line or a list."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw the cell with room at its sides, and the line below it."""
        rect: QRect = QRect(option.rect)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, colour("chosen"))
        inside = QStyleOptionViewItem(option)
        inside.rect = rect.adjusted(_PADDING, 0, -_PADDING, 0)
        inside.state = inside.state & ~QStyle.StateFlag.State_HasFocus
        super().paint(painter, inside, index)
        painter.save()
        painter.setPen(QPen(colour("separator"), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(colour("accent_text"), 1))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        painter.restore()

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Make a line, or a list where the column has choices."""
        model = index.model()
        if isinstance(model, RowsModel):
            column = model.columns[index.column()]
            row = model.row_at(index)
            if column.choices is not None and row is not None:
                box = QComboBox(parent)
                box.setAccessibleName(column.heading)
                for value, label in column.choices(row):
                    box.addItem(label, value)
                box.activated.connect(self._commit_list)
                return box
            line = QLineEdit(parent)
            line.setAccessibleName(column.heading)
            line.setFrame(False)
            if column.right:
                line.setAlignment(Qt.AlignmentFlag.AlignRight)
            return line
        return super().createEditor(parent, option, index)

    def _commit_list(self) -> None:
        box = self.sender()
        if isinstance(box, QComboBox):
            self.commitData.emit(box)
            self.closeEditor.emit(box, QAbstractItemDelegate.EndEditHint.NoHint)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Begin with the value of the cell."""
        value = index.data(Qt.ItemDataRole.EditRole)
        if isinstance(editor, QComboBox):
            at = editor.findData(value)
            editor.setCurrentIndex(at if at >= 0 else editor.findText(str(value)))
        elif isinstance(editor, QLineEdit):
            editor.setText(str(value if value is not None else ""))
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Write what was entered."""
        if isinstance(editor, QComboBox):
            model.setData(index, editor.currentData())
        elif isinstance(editor, QLineEdit):
            model.setData(index, editor.text())


class TableView(QTableView):
    """A table over a RowsModel."""

    remove_wanted = Signal(object)
    """The rows' objects that the person wants to remove (Ctrl+Delete)."""
    pasted_below = Signal(object)
    """Rows of a pasted table that lie below the last row: list of lists of texts."""
    opened = Signal(object)
    """A row's object: Enter or double click on a cell that cannot be edited."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setItemDelegate(CellDelegate(self))
        self.setShowGrid(False)
        self.setAlternatingRowColors(False)
        self.setWordWrap(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setTabKeyNavigation(False)
        rows = self.verticalHeader()
        rows.hide()
        rows.setDefaultSectionSize(ROW_HEIGHT)
        rows.setMinimumSectionSize(ROW_HEIGHT)
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setResizeContentsPrecision(0)
        head.setSectionsMovable(True)
        head.setStretchLastSection(True)
        head.setSortIndicatorClearable(True)
        head.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)

    def setModel(self, model: QAbstractItemModel | None) -> None:
        """Show a model; the columns get the widths that it declares."""
        super().setModel(model)
        self.fit_columns()

    def fit_columns(self) -> None:
        """Give every column the width that its declaration and its heading ask for."""
        model = self.model()
        if isinstance(model, RowsModel):
            character = self.fontMetrics().averageCharWidth()
            headings = self.horizontalHeader().fontMetrics()
            for number, column in enumerate(model.columns):
                wide = max(character * column.width, headings.horizontalAdvance(column.heading))
                self.setColumnWidth(number, wide + 16)

    def rows_model(self) -> RowsModel[Any]:
        """Return the model."""
        model = self.model()
        assert isinstance(model, RowsModel)
        return model

    def selected_rows(self) -> list[Any]:
        """Return the objects of all rows that have a selected cell, in order."""
        model = self.rows_model()
        selection = self.selectionModel().selection()
        ranges = [selection.at(number) for number in range(selection.count())]
        numbers = sorted(
            {number for one in ranges for number in range(one.top(), one.bottom() + 1)}
        )
        return [model.rows[number] for number in numbers if number < len(model.rows)]

    def current_row(self) -> Any | None:
        """Return the object of the row with the cursor."""
        return self.rows_model().row_at(self.currentIndex())

    def go_to_row(self, key: object, column: int = 0) -> bool:
        """Select a row by its key and bring it into sight."""
        number = self.rows_model().row_number(key)
        if number < 0:
            return False
        index = self.model().index(number, column)
        self.setCurrentIndex(index)
        self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)
        return True

    # --- keys ---------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy, paste, clear, remove; Enter edits or opens."""
        if self.state() == QAbstractItemView.State.EditingState:
            # The editor passes Enter on; the cell is committed in a moment.
            super().keyPressEvent(event)
            return
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_cells()
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.paste_text(QGuiApplication.clipboard().text())
        elif event.key() == Qt.Key.Key_Delete and (
            event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            self.remove_wanted.emit(self.selected_rows())
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self._can_clear():
            self.clear_cells()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def _enter(self) -> None:
        index = self.currentIndex()
        if not index.isValid():
            return
        if index.flags() & Qt.ItemFlag.ItemIsEditable:
            self.edit(index)
        else:
            self.opened.emit(self.current_row())

    def mouseDoubleClickEvent(self, event: Any) -> None:
        """Open the row where its cell cannot be edited."""
        index = self.indexAt(event.position().toPoint())
        super().mouseDoubleClickEvent(event)
        if index.isValid() and not index.flags() & Qt.ItemFlag.ItemIsEditable:
            self.opened.emit(self.rows_model().row_at(index))

    def event(self, event: QEvent) -> bool:
        """Keep the keys that the table handles from being taken as shortcuts."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and (
                event.matches(QKeySequence.StandardKey.Copy)
                or event.matches(QKeySequence.StandardKey.Paste)
                or event.key() == Qt.Key.Key_Delete
            )
        ):
            event.accept()
            return True
        return super().event(event)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """After Enter go to the same column of the next row."""
        super().closeEditor(editor, hint)
        if hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache:
            self._move_down()

    def _move_down(self) -> None:
        index = self.currentIndex()
        if index.isValid() and index.row() + 1 < self.model().rowCount():
            self.setCurrentIndex(self.model().index(index.row() + 1, index.column()))

    def copy_cells(self) -> None:
        """Put the selected cells on the clipboard as tab-separated text."""
        text = self.rows_model().copied(self.selectionModel().selectedIndexes())
        if text:
            QGuiApplication.clipboard().setText(text)

    def paste_text(self, text: str) -> None:
        """Write a table of text from the cursor on; one value fills the whole selection."""
        table = [line.split("\t") for line in text.rstrip("\r\n").splitlines()]
        if not table:
            return
        model = self.rows_model()
        at = self.currentIndex()
        chosen = self.selectionModel().selectedIndexes()
        if len(table) == 1 and len(table[0]) == 1 and len(chosen) > 1:
            self._write_all(table[0][0])
            return
        if at.isValid():
            model.write(model.edits_for_paste(at, table))
        below = table[model.rowCount() - at.row() :] if at.isValid() else table
        if below:
            self.pasted_below.emit(below)

    def clear_cells(self) -> None:
        """Empty the selected cells."""
        self._write_all("")

    def _can_clear(self) -> bool:
        return any(
            one.flags() & Qt.ItemFlag.ItemIsEditable
            for one in self.selectionModel().selectedIndexes()
        )

    def _write_all(self, text: str) -> None:
        model = self.rows_model()
        model.write(
            [
                CellEdit(model.rows[one.row()], model.columns[one.column()].name, text)
                for one in self.selectionModel().selectedIndexes()
                if one.flags() & Qt.ItemFlag.ItemIsEditable
            ]
        )
