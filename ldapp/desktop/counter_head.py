"""The line at the top of the counter view: which count, how far it is, and where to go."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from ldapp.casework.count_sheet import Progress
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said


class CounterHead(QWidget):
    """A count's name and progress; a click on a button leaves the keys to the number."""

    code_wanted = Signal()
    end_wanted = Signal()
    close_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        row.setSpacing(GRID * 2)
        self.title = Label("", TypeSize.LARGE, bold=True)
        row.addWidget(self.title)
        self.bar = QProgressBar()
        self.bar.setAccessibleName(said("Lines counted"))
        self.bar.setTextVisible(False)
        self.bar.setFixedHeight(GRID)
        row.addWidget(self.bar, 1)
        self._progress = Label("", TypeSize.LARGE)
        row.addWidget(self._progress)
        self.code_button = QPushButton(said("Show the counter's code"))
        keep_icon(self.code_button, "clock")
        self.end_button = QPushButton(said("End of the count"))
        keep_icon(self.end_button, "sign")
        close = QPushButton(said("Back to the sheet"))
        for button, wanted in (
            (self.code_button, self.code_wanted),
            (self.end_button, self.end_wanted),
            (close, self.close_wanted),
        ):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(wanted)
            row.addWidget(button)

    def show_progress(self, title: str, done: Progress) -> None:
        """Show what the count is called and how many of its lines are counted."""
        self.title.setText(title)
        self.bar.setRange(0, max(done.lines, 1))
        self.bar.setValue(done.counted)
        self._progress.setText(
            said("{counted} of {lines} lines", counted=done.counted, lines=done.lines)
        )
