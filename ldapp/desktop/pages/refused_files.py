"""Files that were not taken in, each with its sentence, until the person closes the list."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QListWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.photos import RefusedFile
from ldapp.desktop.theme import GRID, ROW_HEIGHT
from ldapp.desktop.widgets.pieces import Label, icon_button
from ldapp.desktop.widgets.values import plural

_ROWS = 5


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
        close = icon_button("close", "Close the list of refused files")
        close.clicked.connect(self.hide)
        top.addWidget(close)
        column.addLayout(top)
        self.list = QListWidget()
        self.list.setAccessibleName("Files that were not taken in")
        self.list.setUniformItemSizes(True)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        column.addWidget(self.list)
        self.hide()

    def show_refused(self, refused: Sequence[RefusedFile]) -> None:
        """List these files; none hides the list."""
        self.list.clear()
        self.list.addItems([one.says for one in refused])
        for row, one in enumerate(refused):
            self.list.item(row).setToolTip(str(one.path))
        self._title.setText(f"⚠ {plural(len(refused), 'file was', 'files were')} not taken in")
        self.list.setFixedHeight(min(len(refused), _ROWS) * ROW_HEIGHT + 4)
        self.setVisible(bool(refused))
