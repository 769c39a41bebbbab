"""A ring within the edge of whatever has the focus, so that its place is always seen."""

from __future__ import annotations

from collections.abc import Callable

import shiboken6
from PySide6.QtCore import QEvent, QObject, Qt, Slot
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QRegion
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QLineEdit,
    QMenu,
    QMenuBar,
    QPlainTextEdit,
    QWidget,
)

_WIDTH = 2
_GAP = 1
"""A line of the ground within the ring: it is seen on a button of the ring's own colour too."""

SHOWS_ITS_FOCUS = "shows its focus"
"""A property of a widget that draws a ring itself, on the one of its rows that has the focus."""

Colours = Callable[[], tuple[QColor, QColor]]


class FocusRing(QWidget):
    """The ring of one widget; it takes no click and covers nothing but the edge."""

    def __init__(self, widget: QWidget, colours: Colours) -> None:
        super().__init__(widget)
        self._colours = colours
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        widget.installEventFilter(self)
        self._fit(widget)
        self.show()
        self.raise_()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep to the widget's edge when its size changes."""
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self._fit(watched)
        return False

    def _fit(self, widget: QWidget) -> None:
        edge = _WIDTH + _GAP
        self.setGeometry(widget.rect())
        inside = widget.rect().adjusted(edge, edge, -edge, -edge)
        self.setMask(QRegion(widget.rect()).subtracted(QRegion(inside)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the ring and the line of the ground within it."""
        ring, ground = self._colours()
        painter = QPainter(self)
        painter.fillRect(self.rect(), ring)
        painter.fillRect(self.rect().adjusted(_WIDTH, _WIDTH, -_WIDTH, -_WIDTH), ground)
        painter.end()


class FocusFollower(QObject):
    """Draws a ring on what has the focus; fields show it by an edge of their own."""

    def __init__(self, app: QApplication, colours: Colours) -> None:
        super().__init__(app)
        self._colours = colours
        self._ring: FocusRing | None = None
        app.focusChanged.connect(self._follow)

    @Slot(QWidget, QWidget)
    def _follow(self, _before: QWidget | None, now: QWidget | None) -> None:
        if self._ring is not None and shiboken6.isValid(self._ring):
            self._ring.hide()
            self._ring.deleteLater()
        self._ring = None
        if isinstance(now, QLineEdit) and isinstance(now.parentWidget(), QComboBox):
            now = now.parentWidget()
        if now is None or now.isWindow():
            return
        own = now.property(SHOWS_ITS_FOCUS)
        if not own and not isinstance(now, QLineEdit | QPlainTextEdit | QMenuBar | QMenu):
            self._ring = FocusRing(now, self._colours)
