"""The time axis of custody: counts, movements, occurrences, and where each loss fell."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from ldapp.desktop.pages.axis_figure import AxisFigure, AxisMark, AxisSpan
from ldapp.desktop.pages.said import day_text
from ldapp.desktop.theme import colour
from ldapp.language import said

ROW = 26
LABELS = 230
RIGHT = 24
TOP = 8


class CustodyAxis(QWidget):
    """Draws the figure; each thing on it can be chosen with the mouse or the arrow keys."""

    chosen = Signal(str, str)
    """The kind and key of a record that was chosen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._figure: AxisFigure | None = None
        self._current = -1
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(said("Custody over time"))

    def show_figure(self, figure: AxisFigure | None) -> None:
        """Show this figure, or the sentence that there is none yet."""
        self._figure = figure
        self._current = -1
        self.setAccessibleDescription(self.in_words())
        self.updateGeometry()
        self.setFixedHeight(self.sizeHint().height())
        self.update()

    def in_words(self) -> str:
        """Return the whole figure as sentences."""
        if self._figure is None:
            return said("No count, movement or occurrence has a time yet.")
        return "\n".join(
            [
                *(f"{one.title}: {one.says}" for one in self._figure.custody),
                *(mark.says for mark in self._figure.marks),
                *(f"{one.title}: {one.says}" for one in self._figure.losses),
            ]
        )

    def _things(self) -> list[AxisMark | AxisSpan]:
        figure = self._figure
        return [] if figure is None else [*figure.custody, *figure.marks, *figure.losses]

    # --- geometry ------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """Return a height with a row for each loss."""
        if self._figure is None:
            return QSize(480, 2 * ROW)
        rows = len(self._figure.custody) + 4 + len(self._figure.losses)
        return QSize(640, TOP * 2 + rows * ROW + 20)

    def minimumSizeHint(self) -> QSize:
        """The axis can be narrow."""
        return QSize(360, self.sizeHint().height())

    def _x(self, at: dt.datetime) -> float:
        figure = self._figure
        assert figure is not None
        part = (at - figure.begin) / (figure.end - figure.begin)
        return LABELS + part * (self.width() - LABELS - RIGHT)

    def _custody_top(self, row: int) -> float:
        return float(TOP + row * ROW)

    def _marks_top(self) -> float:
        return self._custody_top(len(self._figure.custody) if self._figure else 0)

    def _losses_top(self) -> float:
        return self._marks_top() + 4 * ROW

    def _span_box(self, span: AxisSpan, top: float) -> QRectF:
        left = self._x(span.begin) if span.begin else float(LABELS)
        right = self._x(span.end) if span.end else float(self.width() - RIGHT)
        return QRectF(left, top + 7, max(right - left, 4.0), ROW - 14)

    def _lane(self, mark: AxisMark) -> int:
        return {"count": 0, "movement": 1, "occurrence": 2}[mark.kind]

    def _hits(self) -> list[tuple[QRectF, AxisMark | AxisSpan]]:
        figure = self._figure
        if figure is None:
            return []
        hits: list[tuple[QRectF, AxisMark | AxisSpan]] = []
        for row, span in enumerate(figure.custody):
            top = self._custody_top(row)
            hits.append((QRectF(0, top, self.width(), ROW), span))
        for mark in figure.marks:
            top = self._marks_top() + self._lane(mark) * ROW
            hits.append((QRectF(self._x(mark.at) - 8, top, 16, ROW), mark))
        for row, span in enumerate(figure.losses):
            top = self._losses_top() + row * ROW
            hits.append((QRectF(0, top, self.width(), ROW), span))
        return hits

    # --- drawing -------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the part of the figure that is in sight."""
        # Ended here and not by the collector: whoever looks at this frame keeps it alive.
        with QPainter(self) as painter:
            self._paint(painter, event.rect())

    def _paint(self, painter: QPainter, seen: QRect) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        palette = self.palette()
        text, muted = palette.color(QPalette.ColorRole.Text), colour("muted")
        if self._figure is None:
            painter.setPen(muted)
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self.in_words())
            return
        self._paint_grid(painter, muted)
        for row, span in enumerate(self._figure.custody):
            self._label(painter, span.title, self._custody_top(row), text)
            band = QColor(colour("accent_text"))
            band.setAlphaF(0.5)
            painter.fillRect(self._span_box(span, self._custody_top(row)), band)
        for lane, name in enumerate((said("Counts"), said("Movements"), said("Occurrences"))):
            self._label(painter, name, self._marks_top() + lane * ROW, muted)
        self._paint_marks(painter, text)
        self._label(
            painter,
            said("Last seen to gone") if self._figure.losses else said("No loss between counts"),
            self._losses_top() - ROW,
            muted,
        )
        first = max(0, int(seen.top() - self._losses_top()) // ROW)
        last = max(0, int(seen.bottom() - self._losses_top()) // ROW + 1)
        for row, span in enumerate(self._figure.losses[first:last], first):
            self._paint_loss(painter, span, self._losses_top() + row * ROW, text)
        self._paint_current(painter)

    def _label(self, painter: QPainter, says: str, top: float, ink: QColor) -> None:
        painter.setPen(ink)
        room = QRectF(8, top, LABELS - 24, ROW)
        painter.drawText(
            room,
            int(Qt.AlignmentFlag.AlignVCenter),
            painter.fontMetrics().elidedText(says, Qt.TextElideMode.ElideRight, int(room.width())),
        )

    def _paint_grid(self, painter: QPainter, muted: QColor) -> None:
        figure = self._figure
        assert figure is not None
        days = max((figure.end - figure.begin).days, 1)
        step = next((one for one in (1, 2, 7, 14, 28, 91, 182) if days / one <= 8), 365)
        line = QPen(colour("separator"), 1)
        bottom = self.height() - 18
        day = dt.datetime.combine(figure.begin.date(), dt.time(), figure.begin.tzinfo)
        last_right = 0.0
        while day <= figure.end:
            if day >= figure.begin:
                x = self._x(day)
                painter.setPen(line)
                painter.drawLine(QPointF(x, TOP), QPointF(x, bottom))
                label = day_text(day.date())
                width = painter.fontMetrics().horizontalAdvance(label)
                if x - width / 2 > last_right + 8 and x + width / 2 < self.width():
                    painter.setPen(muted)
                    painter.drawText(QPointF(x - width / 2, self.height() - 4), label)
                    last_right = x + width / 2
            day += dt.timedelta(days=step)

    def _paint_marks(self, painter: QPainter, text: QColor) -> None:
        assert self._figure is not None
        ends = [0.0, 0.0, 0.0]
        for place, mark in enumerate(self._figure.marks):
            lane = self._lane(mark)
            top = self._marks_top() + lane * ROW
            x, middle = self._x(mark.at), top + ROW / 2
            painter.setPen(QPen(text, 1.6))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            if mark.kind == "count":
                painter.drawLine(QPointF(x, top + 4), QPointF(x, top + ROW - 4))
                painter.drawEllipse(QPointF(x, middle), 3.5, 3.5)
            elif mark.kind == "movement":
                painter.drawPolygon(
                    [
                        QPointF(x, middle - 5),
                        QPointF(x + 5, middle),
                        QPointF(x, middle + 5),
                        QPointF(x - 5, middle),
                    ]
                )
            else:
                painter.drawLine(QPointF(x, top + 4), QPointF(x, top + ROW - 2))
                painter.drawPolygon(
                    [QPointF(x, top + 4), QPointF(x + 10, top + 8), QPointF(x, top + 12)]
                )
            self._name_mark(painter, place, mark, ends)

    def _name_mark(self, painter: QPainter, place: int, mark: AxisMark, ends: list[float]) -> None:
        """Write a mark's name as far as there is room before the next one of its lane."""
        assert self._figure is not None
        lane, x = self._lane(mark), self._x(mark.at)
        metrics = painter.fontMetrics()
        following = (
            self._x(one.at) - 10
            for one in self._figure.marks[place + 1 :]
            if self._lane(one) == lane
        )
        right = next(following, float(self.width() - 4))
        left, width = x + 13, metrics.horizontalAdvance(mark.short)
        if left + width > right and x - 11 - width > ends[lane]:
            left, right = x - 11 - width, x - 8
        says = metrics.elidedText(mark.short, Qt.TextElideMode.ElideRight, int(right - left))
        if left > ends[lane] and len(says) > 2:
            middle = self._marks_top() + lane * ROW + ROW / 2
            painter.drawText(QPointF(left, middle + metrics.ascent() / 2 - 1), says)
            ends[lane] = max(left + metrics.horizontalAdvance(says), x) + 8
        else:
            ends[lane] = max(ends[lane], x + 12)

    def _paint_loss(self, painter: QPainter, span: AxisSpan, top: float, text: QColor) -> None:
        self._label(painter, span.title, top, text)
        box = self._span_box(span, top)
        ink = {"inside": text, "open": colour("amber")}.get(span.custody, colour("muted"))
        painter.setPen(QPen(ink, 2))
        middle = box.center().y()
        painter.drawLine(QPointF(box.left(), middle), QPointF(box.right(), middle))
        if span.begin is not None:
            painter.drawLine(
                QPointF(box.left(), box.top() - 2), QPointF(box.left(), box.bottom() + 2)
            )
        if span.end is not None:
            painter.drawLine(
                QPointF(box.right(), box.top() - 2), QPointF(box.right(), box.bottom() + 2)
            )
        if span.custody != "inside":
            word = {
                "before": said("before custody"),
                "after": said("after custody"),
                "open": said("? open"),
            }[span.custody]
            width = painter.fontMetrics().horizontalAdvance(word)
            left = box.right() + 8
            if left + width > self.width():
                left = box.left() - width - 8
            painter.drawText(QPointF(left, middle + 4), word)

    def _paint_current(self, painter: QPainter) -> None:
        if self.hasFocus() and 0 <= self._current < len(self._hits()):
            box = self._hits()[self._current][0]
            painter.setPen(QPen(colour("accent_text"), 1.5, Qt.PenStyle.DotLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box.adjusted(2, 2, -2, -2))

    # --- choosing ------------------------------------------------------------------------

    def _thing_at(self, at: QPointF) -> AxisMark | AxisSpan | None:
        found: AxisMark | AxisSpan | None = None
        for box, thing in self._hits():
            if box.contains(at):
                found = thing
        return found

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose what lies under the pointer."""
        thing = self._thing_at(event.position())
        if thing is not None:
            self._current = self._things().index(thing)
            self.update()
            self.chosen.emit(thing.kind, thing.key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows walk from thing to thing, Enter chooses."""
        things = self._things()
        step = {
            Qt.Key.Key_Right: 1,
            Qt.Key.Key_Down: 1,
            Qt.Key.Key_Left: -1,
            Qt.Key.Key_Up: -1,
        }.get(Qt.Key(event.key()), 0)
        if step and things:
            self._current = min(max(self._current + step, 0), len(things) - 1)
            thing = things[self._current]
            says = thing.says if isinstance(thing, AxisMark) else f"{thing.title}: {thing.says}"
            self.setAccessibleDescription(says)
            QToolTip.showText(self.mapToGlobal(self._tip_place()), says, self)
            self.update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and 0 <= self._current < len(
            things
        ):
            thing = things[self._current]
            self.chosen.emit(thing.kind, thing.key)
        else:
            super().keyPressEvent(event)

    def _tip_place(self) -> QPoint:
        return self._hits()[self._current][0].bottomLeft().toPoint()

    def event(self, event: QEvent) -> bool:
        """Say in a tip what lies under the pointer."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            thing = self._thing_at(QPointF(event.pos()))
            if thing is None:
                QToolTip.hideText()
            else:
                says = thing.says if isinstance(thing, AxisMark) else f"{thing.title}: {thing.says}"
                QToolTip.showText(event.globalPos(), says, self)
            return True
        return super().event(event)
