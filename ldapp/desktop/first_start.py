"""The cautions, shown once at the first start, and what to do next."""

from __future__ import annotations

from PySide6.QtCore import QSettings, Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from ldapp.casework.cautions import general_cautions
from ldapp.desktop.icons import mark
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, primary_button
from ldapp.language import said

_READ_KEY = "cautions/read"


def cautions_were_read(settings: QSettings) -> bool:
    """Return whether somebody at this computer has read the cautions."""
    return bool(settings.value(_READ_KEY, False, type=bool))


class FirstStart(QWidget):
    """A page that stands before the register until the cautions have been read."""

    read = Signal()

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setAccessibleName(said("Cautions"))
        outer.addWidget(area)
        page = QWidget()
        area.setWidget(page)
        row = QHBoxLayout(page)
        row.addStretch(1)
        column = QVBoxLayout()
        column.setSpacing(GRID * 2)
        row.addLayout(column, 6)
        row.addStretch(1)
        column.addSpacing(GRID * 4)
        column.addWidget(Label(said("Before the first claim"), TypeSize.FIGURE))
        column.addWidget(
            Label(
                said("Please read these points once. They stay in the guide."),
                TypeSize.LARGE,
                muted=True,
                wrap=True,
            )
        )
        for caution in general_cautions():
            line = QHBoxLayout()
            line.setSpacing(GRID * 2)
            sign = Label()
            sign.setPixmap(mark("warning", "amber", 24))
            line.addWidget(sign, 0, Qt.AlignmentFlag.AlignTop)
            line.addWidget(Label(caution, wrap=True), 1)
            column.addLayout(line)
        column.addSpacing(GRID)
        self.button = primary_button(said("I have read this"))
        self.button.clicked.connect(self._on_read)
        # Focused from the start, so that Enter or the space bar goes on.
        self.setFocusProxy(self.button)
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)

    @Slot()
    def _on_read(self) -> None:
        self._settings.setValue(_READ_KEY, True)
        self.read.emit()
