"""What the pages stand on in the window's scroll area."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget


class Floor(QWidget):
    """As large as its one content needs at least.

    A layout would ask the content how high it wants to be at this width, and a page whose words
    could do with more height would be scrolled though it fits.
    """

    def __init__(self, content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._content = content
        content.setParent(self)

    def minimumSizeHint(self) -> QSize:
        """Return what the content cannot do without."""
        return self._content.minimumSizeHint()

    def sizeHint(self) -> QSize:
        """Return what the content would like to have."""
        return self._content.sizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the content all of the room."""
        super().resizeEvent(event)
        self._content.resize(self.size())

    def event(self, event: QEvent) -> bool:
        """Pass on that the content needs another size."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().event(event)
