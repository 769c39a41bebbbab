"""A part beside a page that needs width: the weak points make room while it is in sight."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from ldapp.desktop.claim_context import ClaimContext


class WideSide(QWidget):
    """Asks for width when it comes into sight and gives it back when it goes."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context

    def showEvent(self, event: QShowEvent) -> None:
        """Ask for the width."""
        super().showEvent(event)
        if not event.spontaneous():
            self._context.room_wanted.emit(True)

    def hideEvent(self, event: QHideEvent) -> None:
        """Give the width back."""
        super().hideEvent(event)
        if not event.spontaneous():
            self._context.room_wanted.emit(False)
