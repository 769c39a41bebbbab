"""One small window: type a few letters, choose one of many, Enter."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said


class Choice(NamedTuple):
    """One thing that can be chosen: its key, what it is called and a remark."""

    key: str
    title: str
    remark: str = ""


CHOICE_COLUMNS: tuple[Column[Choice], ...] = (
    Column(
        name="title",
        title=marked("Name"),
        text=lambda one: one.title,
        tip=lambda one: one.title,
        width=42,
    ),
    Column(
        name="remark",
        title=marked("Remark"),
        text=lambda one: one.remark,
        tip=lambda one: one.remark,
        width=20,
    ),
)


class RecordChooser(QDialog):
    """Filter as you type; arrows move, Enter takes, Escape leaves."""

    def __init__(self, title: str, choices: Sequence[Choice], parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.resize(GRID * (112 if any(one.remark for one in choices) else 66), GRID * 52)
        column = QVBoxLayout(self)
        label = QLabel(said("{title}: type a part of what it is called", title=title))
        self.search = QLineEdit()
        self.search.setAccessibleName(title)
        self.search.setClearButtonEnabled(True)
        label.setBuddy(self.search)
        self._model: RowsModel[Choice] = RowsModel(CHOICE_COLUMNS, lambda one: one.key, parent=self)
        self._model.set_rows(choices)
        self.list = TableView(title)
        self.list.setModel(self._model)
        # The remark, which says what the choice rests on, gets the room that titles leave.
        words = self.list.fontMetrics()
        longest = max((words.horizontalAdvance(one.title) for one in choices), default=0)
        self.list.setColumnWidth(0, min(longest + GRID * 3, self.list.columnWidth(0)))
        self.list.horizontalHeader().hide()
        self.list.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        for widget in (label, self.search, self.list, buttons):
            column.addWidget(widget)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.search.textChanged.connect(self._on_text)
        self.list.opened.connect(self.accept)
        self.search.installEventFilter(self)
        self._choose_first()

    @property
    def key(self) -> str | None:
        """The key of the chosen thing."""
        one = self.list.current_row()
        return one.key if isinstance(one, Choice) else None

    def _on_text(self, text: str) -> None:
        self._model.search(text)
        self._choose_first()

    def _choose_first(self) -> None:
        if self._model.rowCount():
            self.list.setCurrentIndex(self._model.index(0, 0))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Arrows in the text move in the list."""
        if (
            watched is self.search
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key()
            in (Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)
        ):
            self.list.keyPressEvent(event)
            return True
        return super().eventFilter(watched, event)

    @classmethod
    def ask(cls, title: str, choices: Sequence[Choice], parent: QWidget | None) -> str | None:
        """Ask and return the key of what was chosen, or None."""
        chooser = cls(title, choices, parent)
        accepted = chooser.exec() == QDialog.DialogCode.Accepted
        key = chooser.key if accepted else None
        chooser.deleteLater()
        return key
