"""A field to sign in with mouse, pen or finger; and the dialog with both names."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from zoneinfo import ZoneInfo

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from ldapp.claim.counts import Count, Signature
from ldapp.desktop.pages.count_parts.name_suggestion import suggest_name
from ldapp.desktop.theme import GRID, TypeSize, colour
from ldapp.desktop.widgets.fields import text_field
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said

Strokes = tuple[tuple[tuple[float, float], ...], ...]


class SignaturePad(QWidget):
    """Keeps strokes as points in a box of width and height 1."""

    changed = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self._strokes: list[list[tuple[float, float]]] = []
        self._drawing = False

    def sizeHint(self) -> QSize:
        """Be wide and low, as a signature is."""
        return QSize(GRID * 44, GRID * 15)

    def strokes(self) -> Strokes:
        """Return what was drawn; a single touch is no stroke."""
        return tuple(tuple(stroke) for stroke in self._strokes if len(stroke) > 1)

    def show_strokes(self, strokes: Strokes) -> None:
        """Show a signature."""
        self._strokes = [list(stroke) for stroke in strokes]
        self.update()

    @Slot()
    def clear(self) -> None:
        """Begin anew."""
        self._strokes = []
        self.update()
        self.changed.emit()

    def _add(self, position: QPointF) -> None:
        x = min(max(position.x() / max(self.width(), 1), 0.0), 1.0)
        y = min(max(position.y() / max(self.height(), 1), 0.0), 1.0)
        self._strokes[-1].append((round(x, 4), round(y, 4)))
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a stroke."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._drawing = True
            self._strokes.append([])
            self._add(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with the stroke."""
        if self._drawing:
            self._add(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the stroke."""
        if self._drawing:
            self._drawing = False
            self._add(event.position())
            self.changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete begins anew."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.clear()
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that the focus is gone."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line to sign on and the strokes."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), colour("base"))
        focused = self.hasFocus()
        painter.setPen(QPen(colour("accent_text" if focused else "outline"), 2 if focused else 1))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 3, 3)
        painter.setPen(QPen(colour("separator"), 1))
        base = self.height() * 0.75
        painter.drawLine(QPointF(GRID * 2, base), QPointF(self.width() - GRID * 2, base))
        painter.setPen(
            QPen(colour("text"), 2.2, c=Qt.PenCapStyle.RoundCap, j=Qt.PenJoinStyle.RoundJoin)
        )
        for stroke in self._strokes:
            points = [QPointF(x * self.width(), y * self.height()) for x, y in stroke]
            for first, second in pairwise(points):
                painter.drawLine(first, second)
        painter.end()


class SignatureFields(QWidget):
    """Both names with a pad for each; a name without strokes is no signature.

    ``who`` is at the computer: suggested as our name, never taken for it.
    """

    changed = Signal()

    def __init__(self, who: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID * 3)
        self.names = {}
        self.pads = {}
        for side, title in (("ours", said("For us")), ("theirs", said("For the rental company"))):
            column = QVBoxLayout()
            column.setSpacing(GRID)
            column.addWidget(Label(title, TypeSize.NORMAL, bold=True))
            name = text_field()
            name.setPlaceholderText(said("Name"))
            if side == "ours":
                suggest_name(name, who)
            name.setAccessibleName(said("{side}: name", side=title))
            name.textChanged.connect(self.changed)
            pad = SignaturePad(said("{side}: signature", side=title))
            pad.changed.connect(self.changed)
            clear = QPushButton(said("Clear"))
            clear.setAccessibleName(said("{side}: clear the signature", side=title))
            clear.clicked.connect(pad.clear)
            for widget in (name, pad):
                column.addWidget(widget)
            column.addWidget(clear, 0, Qt.AlignmentFlag.AlignLeft)
            row.addLayout(column, 1)
            self.names[side] = name
            self.pads[side] = pad

    def show_count(self, count: Count) -> None:
        """Begin with the names that the count has, and its signatures."""
        present: dict[str, Signature] = {one.side: one for one in count.signatures}
        for side, fallback in (("ours", count.counted_by), ("theirs", count.witness)):
            signature = present.get(side)
            self.names[side].set_value((signature.name if signature else fallback) or None)
            self.pads[side].show_strokes(signature.strokes if signature else ())

    def signatures(self, zone: str) -> tuple[Signature, ...]:
        """Return the signatures that are complete: a name and at least one stroke."""
        now = dt.datetime.now(ZoneInfo(zone)).replace(microsecond=0)
        at = now.replace(tzinfo=dt.timezone(now.utcoffset() or dt.timedelta()))
        made = []
        for side in ("ours", "theirs"):
            name, strokes = self.names[side].text().strip(), self.pads[side].strokes()
            if name and strokes:
                made.append(Signature(name=name, side=side, at=at, strokes=strokes))
        return tuple(made)
