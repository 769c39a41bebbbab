"""A part of the Papers page: a scrolled column that is filled when it is first seen."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from ldapp.casework.places import Place
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.theme import GRID


class PaperPanel(QScrollArea):
    """What every part has: the context, a column, and how it is refreshed."""

    kinds: frozenset[str] = frozenset()
    """The kinds of record that it shows."""
    spoken: str = "Papers"
    """What the part is called for a screen reader."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self.setAccessibleName(self.spoken)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        body = QWidget()
        self.column = QVBoxLayout(body)
        self.column.setContentsMargins(GRID * 3, GRID, GRID * 3, GRID * 3)
        self.column.setSpacing(GRID)
        self.setWidget(body)

    def refresh(self) -> None:
        """Show the claim as it stands."""

    def show_place(self, place: Place) -> None:
        """Bring a field into sight."""

    def bring(self, widget: QWidget) -> None:
        """Scroll to a widget and give it the focus."""
        self.ensureWidgetVisible(widget, GRID * 4, GRID * 8)
        widget.setFocus()
