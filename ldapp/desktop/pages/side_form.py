"""A form at the right side of a page: it scrolls only down, and is as wide as what is in it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from ldapp.desktop.theme import GRID


class SideForm(QScrollArea):
    """Asks the page for the width that its words need, which differs with language and scale."""

    def __init__(self, name: str, least: int, parent: QWidget | None = None) -> None:
        """``least``: narrower than so many pixels it never is; ``name`` is for screen readers."""
        super().__init__(parent)
        self.setAccessibleName(name)
        self._least = least
        self.setMinimumWidth(least)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._body = QWidget()
        self.column = QVBoxLayout(self._body)
        self.column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID * 2)
        self.column.setSpacing(GRID)
        self.setWidget(self._body)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Ask for another width where what is in it has become wider or narrower.

        A scroll area watches its widget by itself.
        """
        if watched is self._body and event.type() == QEvent.Type.LayoutRequest:
            needed = self._body.minimumSizeHint().width()
            needed += self.verticalScrollBar().sizeHint().width()
            if max(needed, self._least) != self.minimumWidth():
                self.setMinimumWidth(max(needed, self._least))
        return super().eventFilter(watched, event)
