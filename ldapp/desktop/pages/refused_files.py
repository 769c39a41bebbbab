"""Files that were not taken in, each with its sentence, until the person closes the list."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QVBoxLayout, QWidget

from ldapp.casework.photo_intake import RefusedFile
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label, icon_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said, said_of

_ROWS = 4
_ROW_HEIGHT = GRID * 6
"""Room for a sentence of two lines."""

COLUMNS: tuple[Column[RefusedFile], ...] = (
    Column(
        name="file",
        title=marked("File"),
        text=lambda one: one.path.name,
        tip=lambda one: str(one.path),
        width=18,
    ),
    Column(
        name="says",
        title=marked("Why it was not taken in"),
        text=lambda one: one.says,
        tip=lambda one: one.says,
        width=40,
    ),
)


class RefusedFiles(QWidget):
    """A list that is only there when something was refused."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(4)
        top = QHBoxLayout()
        self._title = Label("", bold=True)
        self._title.set_tone("amber")
        top.addWidget(self._title, 1)
        close = icon_button("close", said("Close the list of refused files"))
        close.clicked.connect(self.hide)
        top.addWidget(close)
        column.addLayout(top)
        self.model: RowsModel[RefusedFile] = RowsModel(COLUMNS, lambda one: one.path, parent=self)
        self.table = TableView(said("Files that were not taken in"))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setWordWrap(True)
        self.table.horizontalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(_ROW_HEIGHT)
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.table.setModel(self.model)
        column.addWidget(self.table)
        self.hide()

    @Slot(object)
    def show_refused(self, refused: Sequence[RefusedFile]) -> None:
        """List these files; none hides the list."""
        self.model.set_rows(refused)
        self._title.setText(
            said_of(
                len(refused),
                "⚠ {count} file was not taken in",
                "⚠ {count} files were not taken in",
            )
        )
        self.table.setFixedHeight(min(len(refused), _ROWS) * _ROW_HEIGHT + 2)
        self.setVisible(bool(refused))
