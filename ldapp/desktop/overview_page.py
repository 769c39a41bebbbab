"""What pages over all claims share: the way back, a title, and work on the register in jobs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.desktop.icons import keep_icon
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Figure, Label, Separator
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import said

if TYPE_CHECKING:
    from ldapp.casework.register import Register
    from ldapp.desktop.jobs import Progress

Work = Callable[["Register", "Progress"], Any]


class OverviewPage(QWidget):
    """A page that is filled from the register each time it is shown."""

    back_wanted = Signal()
    open_wanted = Signal(str)
    """A claim's id."""
    job_wanted = Signal(str, object, object)
    """Label, work with register and progress, and the method that takes the result."""
    change_wanted = Signal(str, object, object)
    """The same for work that changes claims: stopped half-way, the page is read anew."""
    told = Signal(str)
    """A remark for the strip above the page."""
    refused = Signal(object)
    """An LdappError."""

    title = ""
    """As it is ``marked`` in the page's class."""
    name = ""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)
        self.head = QHBoxLayout()
        self.head.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        self.head.setSpacing(GRID)
        back = QPushButton(said("Register"))
        back.setAccessibleName(said("Back to the register"))
        keep_icon(back, "chevron_left")
        back.clicked.connect(self._on_back)
        self.head.addWidget(back)
        self.head.addSpacing(GRID)
        self.head.addWidget(Label(said(self.title), TypeSize.LARGE, bold=True))
        self.head.addStretch(1)
        self.column.addLayout(self.head)
        self.column.addWidget(Separator())

    @Slot()
    def reload(self) -> None:
        """Read everything anew; the page with its contents does."""

    def remember(self) -> None:
        """Write what a person arranged to the settings."""

    @Slot()
    def _on_back(self) -> None:
        self.back_wanted.emit()


def table_of(name: str, model: RowsModel[Any]) -> TableView:
    """Return a table whose whole rows are chosen and which sorts by its headings."""
    table = TableView(name)
    table.setModel(model)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSortingEnabled(True)
    return table


def fill_sheet(
    sheet: QWidget,
    table: TableView,
    *,
    figures: Sequence[Figure] = (),
    buttons: Sequence[QPushButton] = (),
    words: Label | None = None,
) -> None:
    """Put a table into a widget, with figures, buttons and words above it."""
    column = QVBoxLayout(sheet)
    column.setContentsMargins(0, GRID, 0, 0)
    row = QHBoxLayout()
    row.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
    row.setSpacing(GRID * 3)
    for figure in figures:
        row.addWidget(figure)
    row.addStretch(1)
    for button in buttons:
        row.addWidget(button)
    column.addLayout(row)
    if words is not None:
        words.setContentsMargins(GRID * 2, 0, GRID * 2, GRID)
        column.addWidget(words)
    column.addWidget(table, 1)
