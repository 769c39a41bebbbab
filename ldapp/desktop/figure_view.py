"""Draws one section of a report: the same words, bars and rules as in the PDF."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontInfo, QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from ldapp.casework.report_drawing import WIDTH, Bar, Rule, Section, Tone, Words
from ldapp.desktop.theme import GRID, Role, TypeSize, colour, theme, type_font

_ROLES: dict[Tone, Role] = {
    "ink": "text",
    "quiet": "muted",
    "accent": "accent_text",
    "pale": "chosen",
    "warning": "red",
}
_WIDEST = 2.4
"""Pixels to a point across at most, so that bars do not grow without end on a wide screen."""
_TEXT = 8.5
"""The drawing's ordinary size of type, in points: it is shown in the program's ordinary size."""


class SectionView(QWidget):
    """One figure; its title and its words are told to screen readers."""

    def __init__(self, section: Section, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.section = section
        self._across = 1.5
        self._down = QFontInfo(type_font(TypeSize.NORMAL)).pixelSize() / _TEXT
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(section.title)
        self.setAccessibleDescription(section.says)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        theme().changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Ask for the section's height; the width is what there is."""
        return QSize(round(WIDTH), round(self.section.height * self._down) + 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw as wide as there is room."""
        super().resizeEvent(event)
        self._across = min(_WIDEST, max(1.0, event.size().width() / WIDTH))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw bars, rules and words."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for item in self.section.items:
            left, top, width = item.x * self._across, item.y * self._down, item.width * self._across
            if isinstance(item, Bar):
                bar = QRectF(left, top, width, item.height * self._down)
                painter.fillRect(bar, colour(_ROLES[item.tone]))
            elif isinstance(item, Rule):
                painter.setPen(QPen(colour("separator"), 1))
                y = round(top) + 0.5
                painter.drawLine(QPointF(left, y), QPointF(left + width, y))
            else:
                self._write(painter, item, QPointF(left, top), width)
        if self.hasFocus():
            painter.setPen(QPen(colour("accent_text"), 1))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()
        del event

    def _write(self, painter: QPainter, item: Words, at: QPointF, width: float) -> None:
        font = QFont(type_font(TypeSize.NORMAL, bold=item.bold))
        font.setPixelSize(max(9, round(item.size * self._down)))
        painter.setFont(font)
        painter.setPen(colour(_ROLES[item.tone]))
        metrics = QFontMetricsF(font)
        flat = " ".join(item.text.split())
        text = metrics.elidedText(flat, Qt.TextElideMode.ElideRight, width + 1)
        if item.align == "right":
            at = QPointF(at.x() + width - metrics.horizontalAdvance(text), at.y())
        painter.drawText(at, text)


class FigureView(QWidget):
    """All sections of a report, one below the other."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 3)
        self._column.setSpacing(GRID * 3)
        self._column.addStretch(1)
        self.views: list[SectionView] = []

    def show_sections(self, sections: tuple[Section, ...]) -> None:
        """Show these sections in place of those before."""
        for view in self.views:
            self._column.removeWidget(view)
            view.deleteLater()
        self.views = [SectionView(one) for one in sections]
        for place, view in enumerate(self.views):
            self._column.insertWidget(place, view)
