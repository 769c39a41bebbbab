"""The mark of a photo's standing: a shape of its own for each, so that colour is not needed."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPalette, QPen

from ldapp.claim.photo_facts import Standing
from ldapp.desktop.theme import colour


def standing_colour(standing: Standing | None, palette: QPalette) -> QColor:
    """Return the colour of a standing's mark and word: amber and red only where a look is due."""
    match standing:
        case "open" | "none":
            return colour("amber")
        case "contradicted":
            return colour("red")
    return palette.color(QPalette.ColorRole.Text)


def draw_standing(painter: QPainter, box: QRectF, standing: Standing | None, ink: QColor) -> None:
    """Draw the mark: tick, tick on a clock, ring, open ring, cross, dash, or dots."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(ink, max(1.4, box.width() / 8))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    inner = box.adjusted(1, 1, -1, -1)
    match standing:
        case "backed":
            painter.drawPath(_tick(inner))
        case "corrected":
            painter.drawEllipse(inner)
            painter.drawPath(_tick(inner.adjusted(3, 3, -3, -3)))
        case "camera_only":
            painter.drawEllipse(inner.adjusted(1, 1, -1, -1))
        case "open":
            painter.drawPath(_triangle(inner))
            middle = inner.center().x()
            painter.drawLine(
                QPointF(middle, inner.top() + inner.height() * 0.42),
                QPointF(middle, inner.top() + inner.height() * 0.64),
            )
            painter.drawPoint(QPointF(middle, inner.top() + inner.height() * 0.84))
        case "contradicted":
            painter.drawLine(inner.topLeft(), inner.bottomRight())
            painter.drawLine(inner.topRight(), inner.bottomLeft())
        case "none":
            middle = inner.center().y()
            painter.drawLine(QPointF(inner.left(), middle), QPointF(inner.right(), middle))
        case None:
            for part in (0.15, 0.5, 0.85):
                painter.drawPoint(QPointF(inner.left() + inner.width() * part, inner.center().y()))
    painter.restore()


def _tick(box: QRectF) -> QPainterPath:
    path = QPainterPath(QPointF(box.left(), box.center().y()))
    path.lineTo(box.left() + box.width() * 0.38, box.bottom() - box.height() * 0.12)
    path.lineTo(box.right(), box.top() + box.height() * 0.12)
    return path


def _triangle(box: QRectF) -> QPainterPath:
    path = QPainterPath(QPointF(box.center().x(), box.top()))
    path.lineTo(box.bottomRight())
    path.lineTo(box.bottomLeft())
    path.closeSubpath()
    return path
