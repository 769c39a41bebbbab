"""The counter's code, large, to be photographed with every camera that is used."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QRectF, QSize, Qt, QTimer, Slot
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from ldapp.casework import counter_codes
from ldapp.claim.photos import IssuedCode
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.values import date_text
from ldapp.language import said

_BORDER = 4
"""Light cells around the symbol, as its standard wants (ISO/IEC 18004)."""


class CodeSymbol(QWidget):
    """Draws the cells black on white, in light and dark windows alike."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[tuple[bool, ...], ...] = ()
        self.setMinimumSize(QSize(GRID * 40, GRID * 40))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_cells(self, rows: tuple[tuple[bool, ...], ...]) -> None:
        """Show another code."""
        self._rows = rows
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw whole pixels for each cell, so that edges stay sharp."""
        del event
        painter = QPainter(self)
        cells = len(self._rows) + 2 * _BORDER
        edge = min(self.width(), self.height()) // cells
        left = (self.width() - edge * cells) // 2
        top = (self.height() - edge * cells) // 2
        white, black = QColor(255, 255, 255), QColor(0, 0, 0)
        painter.fillRect(QRectF(left, top, edge * cells, edge * cells), white)
        for down, row in enumerate(self._rows):
            for along, dark in enumerate(row):
                if dark:
                    x, y = left + (along + _BORDER) * edge, top + (down + _BORDER) * edge
                    painter.fillRect(QRectF(x, y, edge, edge), black)
        painter.end()


class CounterCodeWindow(QDialog):
    """Changes every second; the showing is journalled once, when it begins."""

    def __init__(self, context: ClaimContext, showing: IssuedCode, parent: QWidget) -> None:
        super().__init__(parent)
        self._context = context
        self.showing = showing
        self.setWindowTitle(said("The counter's code"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID * 2)
        self.symbol = CodeSymbol()
        column.addWidget(self.symbol, 1)
        self.time = Label("", TypeSize.FIGURE, bold=True)
        self.time.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(self.time)
        self.word = Label("", TypeSize.LARGE)
        self.word.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(self.word)
        column.addWidget(
            Label(
                said(
                    "Photograph this once a day with every camera and phone that is used, so "
                    "that the code fills a good part of the picture. The photo shows how far "
                    "that camera's clock is off, and that it was taken after this second. It "
                    "is as right as this computer's own clock."
                ),
                muted=True,
                wrap=True,
            )
        )
        foot = QHBoxLayout()
        foot.addStretch(1)
        self.close_button = QPushButton(said("&Close"))
        self.close_button.clicked.connect(self.close)
        foot.addWidget(self.close_button)
        column.addLayout(foot)
        self.resize(GRID * 80, GRID * 92)
        self._tick = QTimer(self)
        self._tick.setInterval(1000)
        self._tick.timeout.connect(self.show_now)
        self._tick.start()
        self.show_now()

    @Slot()
    def show_now(self) -> None:
        """Show the code of this second; begin another showing where this one has ended."""
        now = dt.datetime.now(dt.UTC)
        if not counter_codes.still_good(self.showing, now):
            again = self._context.attempt(lambda: counter_codes.issue_code(self._context.desk))
            if again is None:
                self.close()
                return
            self.showing = again
            now = max(now, again.issued)
        code = counter_codes.code_at(self.showing.word, now)
        self.symbol.show_cells(counter_codes.code_cells(code))
        self.time.setText(f"{date_text(code.issued.date())}  {code.issued:%H:%M:%S} UTC")
        self.word.setText(code.word)
        self.symbol.setAccessibleName(said("The code {text}", text=code.text))


def show_counter_code(context: ClaimContext, parent: QWidget) -> CounterCodeWindow | None:
    """Begin a showing and open its window; None where the claim cannot be changed."""
    showing = context.attempt(lambda: counter_codes.issue_code(context.desk))
    if showing is None:
        return None
    window = CounterCodeWindow(context, showing, parent)
    window.open()
    return window
