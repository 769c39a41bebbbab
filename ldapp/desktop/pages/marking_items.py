"""Markings drawn over a picture; their points are fractions of its width and height."""

from __future__ import annotations

import math
from typing import TypeAlias

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from ldapp.claim.photos import Marking, MarkingKind
from ldapp.language import marked

PointsTuple: TypeAlias = tuple[tuple[float, float], ...]

MARKING_NAMES: dict[MarkingKind, str] = {
    "ring": marked("Ring"),
    "arrow": marked("Arrow"),
    "box": marked("Box"),
    "measure": marked("Measure"),
    "note": marked("Note"),
    "redaction": marked("Redaction"),
}
WITH_TEXT: frozenset[MarkingKind] = frozenset({"measure", "note"})
INK = QColor("#e4312b")
"""Seen on any photo: red under a white edge; it stays red in light and dark alike."""
SMALLEST = 0.01
"""A click without a drag draws a marking of this size, in fractions."""


def points_for_drag(kind: MarkingKind, begin: QPointF, end: QPointF) -> PointsTuple:
    """Return the points of a marking drawn from ``begin`` to ``end``."""
    if kind == "note":
        return ((begin.x(), begin.y()),)
    if math.hypot(end.x() - begin.x(), end.y() - begin.y()) < SMALLEST:
        end = QPointF(min(begin.x() + 0.08, 1.0), min(begin.y() + 0.08, 1.0))
    if kind in ("arrow", "measure"):
        return ((begin.x(), begin.y()), (end.x(), end.y()))
    box = QRectF(begin, end).normalized()
    return ((box.left(), box.top()), (box.right(), box.bottom()))


class MarkingItem(QGraphicsItem):
    """One marking; drawn in the same stroke at every zoom."""

    def __init__(self, marking: Marking, picture: QRectF) -> None:
        super().__init__()
        self.marking = marking
        self._picture = picture
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIsSelectable)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIsMovable)
        self.setZValue(1.0 if marking.kind == "redaction" else 2.0)

    def set_picture_size(self, picture: QRectF) -> None:
        """The same picture now has other pixels."""
        self.prepareGeometryChange()
        self._picture = picture

    def moved_points(self) -> PointsTuple | None:
        """Return the points after a drag, None where it was not moved."""
        by = self.pos()
        if by.isNull() or self._picture.isEmpty():
            return None
        across, down = by.x() / self._picture.width(), by.y() / self._picture.height()
        return tuple(
            (min(max(x + across, 0.0), 1.0), min(max(y + down, 0.0), 1.0))
            for x, y in self.marking.points
        )

    def _points(self) -> list[QPointF]:
        return [
            QPointF(x * self._picture.width(), y * self._picture.height())
            for x, y in self.marking.points
        ]

    def boundingRect(self) -> QRectF:
        """Return the marking's rectangle with room for stroke and text."""
        points = self._points()
        if not points:
            return QRectF()
        room = max(self._picture.width(), self._picture.height()) * 0.03 + 40
        left = min(point.x() for point in points)
        right = max(point.x() for point in points)
        top = min(point.y() for point in points)
        bottom = max(point.y() for point in points)
        wide = self._picture.width() if self.marking.text else 0
        return QRectF(
            left - room, top - room, right - left + 2 * room + wide, bottom - top + 2 * room
        )

    def shape(self) -> QPainterPath:
        """Return where a click chooses it."""
        path = QPainterPath()
        points = self._points()
        near = max(self._picture.width(), self._picture.height()) * 0.012
        if len(points) == 1:
            path.addEllipse(points[0], near * 2, near * 2)
        elif self.marking.kind in ("arrow", "measure"):
            path.addRect(
                QRectF(points[0], points[1]).normalized().adjusted(-near, -near, near, near)
            )
        elif points:
            path.addRect(QRectF(points[0], points[1]).normalized())
        return path

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw it: a white edge below, red above, so that it is seen on any ground."""
        del option, widget
        points = self._points()
        if not points:
            return
        scale = painter.worldTransform().m11() or 1.0
        if self.marking.kind == "redaction":
            painter.fillRect(QRectF(points[0], points[-1]).normalized(), QColor(0, 0, 0))
        else:
            for ink, width in ((QColor("white"), 5.0), (INK, 2.5)):
                pen = QPen(ink, width)
                pen.setCosmetic(True)
                pen.setCapStyle(Qt.PenCapStyle.RoundCap)
                painter.setPen(pen)
                painter.setBrush(Qt.BrushStyle.NoBrush)
                self._stroke(painter, points, scale)
        if self.marking.text:
            self._write(painter, points[-1], scale)
        if self.isSelected():
            pen = QPen(QColor("white"), 1.0, Qt.PenStyle.DashLine)
            pen.setCosmetic(True)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(self.shape())

    def _stroke(self, painter: QPainter, points: list[QPointF], scale: float) -> None:
        match self.marking.kind:
            case "ring":
                painter.drawEllipse(QRectF(points[0], points[-1]).normalized())
            case "box":
                painter.drawRect(QRectF(points[0], points[-1]).normalized())
            case "arrow":
                painter.drawLine(points[0], points[-1])
                self._head(painter, points[0], points[-1], 14 / scale)
            case "measure":
                painter.drawLine(points[0], points[-1])
                self._bar(painter, points[0], points[-1], 8 / scale)
                self._bar(painter, points[-1], points[0], 8 / scale)
            case "note":
                painter.drawEllipse(points[0], 5 / scale, 5 / scale)

    def _head(self, painter: QPainter, begin: QPointF, end: QPointF, size: float) -> None:
        along = math.atan2(end.y() - begin.y(), end.x() - begin.x())
        for turn in (math.radians(150), math.radians(-150)):
            side = QPointF(
                end.x() + size * math.cos(along + turn), end.y() + size * math.sin(along + turn)
            )
            painter.drawLine(end, side)

    def _bar(self, painter: QPainter, at: QPointF, other: QPointF, size: float) -> None:
        along = math.atan2(other.y() - at.y(), other.x() - at.x()) + math.pi / 2
        by = QPointF(size * math.cos(along), size * math.sin(along))
        painter.drawLine(at + by, at - by)

    def _write(self, painter: QPainter, at: QPointF, scale: float) -> None:
        painter.save()
        painter.translate(at)
        painter.scale(1 / scale, 1 / scale)
        font = QFont(painter.font())
        font.setPixelSize(14)
        font.setBold(True)
        painter.setFont(font)
        text = self.marking.text
        box = painter.fontMetrics().boundingRect(text).adjusted(-6, -4, 6, 4)
        box.moveTopLeft(QPointF(12, 8).toPoint())
        painter.fillRect(box, QColor(255, 255, 255, 230))
        painter.setPen(QColor("#1b2224"))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), text)
        painter.restore()
