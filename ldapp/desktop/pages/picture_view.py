"""One picture to look into: zoom, move about, and the markings that lie over it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPalette,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGraphicsPixmapItem, QGraphicsScene, QGraphicsView, QWidget

from ldapp.claim.photos import Marking, MarkingKind
from ldapp.desktop.pages.marking_items import MarkingItem, PointsTuple, points_for_drag

ZOOM_STEP = 1.25
MOST_ZOOM = 32.0

Tool: TypeAlias = MarkingKind | None


class ViewPort(NamedTuple):
    """What part of a picture is seen: zoom 1 shows it whole; the centre is in fractions."""

    zoom: float
    across: float
    down: float


WHOLE = ViewPort(1.0, 0.5, 0.5)


class PictureView(QGraphicsView):
    """A picture under its markings; what a person draws is announced, not kept here."""

    moved = Signal(object)
    """The ViewPort after the person zoomed or moved."""
    drawn = Signal(str, object)
    """A marking kind and its points, in fractions of the picture."""
    marking_moved = Signal(int, object)
    """A marking's place in the list and its new points."""
    marking_removed = Signal(int)
    stepped = Signal(int)
    """The person wants the next (1) or the previous (-1) photo."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene = QGraphicsScene(self)
        self.setScene(self._scene)
        self._item = QGraphicsPixmapItem()
        self._item.setTransformationMode(Qt.TransformationMode.SmoothTransformation)
        self._scene.addItem(self._item)
        self._markings: list[MarkingItem] = []
        self._port = WHOLE
        self._tool: Tool = None
        self._drag_from: QPointF | None = None
        self._draft: MarkingItem | None = None
        self.setAccessibleName(name)
        self.viewport().setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        self.setDragMode(QGraphicsView.DragMode.ScrollHandDrag)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setBackgroundBrush(self.palette().color(QPalette.ColorRole.AlternateBase))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    # --- the picture -------------------------------------------------------------------

    def show_image(self, image: QImage) -> None:
        """Show a picture, or the same one in more pixels; the part that is seen stays."""
        self._item.setPixmap(QPixmap.fromImage(image))
        # Half a picture of room around it, so that an edge can be brought to the middle.
        room = QRectF(self._item.boundingRect())
        self._scene.setSceneRect(
            room.adjusted(-room.width(), -room.height(), room.width(), room.height())
        )
        for marking in self._markings:
            marking.set_picture_size(self.picture_size())
        self._apply()

    def clear_image(self) -> None:
        """Show nothing."""
        self._item.setPixmap(QPixmap())
        self.show_markings(())

    @property
    def has_image(self) -> bool:
        """Whether a picture is shown."""
        return not self._item.pixmap().isNull()

    def picture_size(self) -> QRectF:
        """Return the picture's rectangle in scene units (its pixels)."""
        return QRectF(self._item.boundingRect())

    # --- what part is seen ---------------------------------------------------------------

    @property
    def port(self) -> ViewPort:
        """What part is seen."""
        return self._port

    def show_port(self, port: ViewPort) -> None:
        """Show this part, without announcing it."""
        self._port = ViewPort(
            min(max(port.zoom, 1.0), MOST_ZOOM),
            min(max(port.across, 0.0), 1.0),
            min(max(port.down, 0.0), 1.0),
        )
        self._apply()

    def show_whole(self) -> None:
        """Show the whole picture."""
        self._go(WHOLE)

    def zoom_by(self, factor: float, at: QPoint | None = None) -> None:
        """Zoom about a point of the view, its middle where none is given."""
        if not self.has_image:
            return
        point = at or self.viewport().rect().center()
        under = self._fraction(self.mapToScene(point))
        zoom = min(max(self._port.zoom * factor, 1.0), MOST_ZOOM)
        kept = self._port.zoom / zoom
        # What lies under the pointer stays under it.
        self._go(
            ViewPort(
                zoom,
                under.x() + (self._port.across - under.x()) * kept,
                under.y() + (self._port.down - under.y()) * kept,
            )
        )

    def show_pixels(self) -> None:
        """Show one pixel of the picture as one pixel of the screen."""
        whole = self._whole_scale()
        if whole > 0:
            self._go(self._port._replace(zoom=1 / whole / self.devicePixelRatioF()))

    def _go(self, port: ViewPort) -> None:
        self.show_port(port)
        self.moved.emit(self._port)

    def _whole_scale(self) -> float:
        size = self.picture_size()
        if size.isEmpty():
            return 0.0
        room = self.viewport().size()
        return min(room.width() / size.width(), room.height() / size.height())

    def _apply(self) -> None:
        scale = self._whole_scale() * self._port.zoom
        if scale <= 0:
            return
        self.resetTransform()
        self.scale(scale, scale)
        size = self.picture_size()
        across, down = (0.5, 0.5) if self._port.zoom <= 1.0 else self._port[1:]
        self.centerOn(size.width() * across, size.height() * down)

    def _fraction(self, scene: QPointF) -> QPointF:
        size = self.picture_size()
        if size.isEmpty():
            return QPointF(0.5, 0.5)
        return QPointF(scene.x() / size.width(), scene.y() / size.height())

    def _fraction_at(self, position: QPoint) -> QPointF:
        point = self._fraction(self.mapToScene(position))
        return QPointF(min(max(point.x(), 0.0), 1.0), min(max(point.y(), 0.0), 1.0))

    # --- markings ------------------------------------------------------------------------

    def show_markings(self, markings: Sequence[Marking]) -> None:
        """Lay these markings over the picture."""
        chosen = self.chosen_marking()
        for item in self._markings:
            self._scene.removeItem(item)
        self._markings = [MarkingItem(one, self.picture_size()) for one in markings]
        for item in self._markings:
            self._scene.addItem(item)
        if chosen is not None and chosen < len(self._markings):
            self._markings[chosen].setSelected(True)

    def chosen_marking(self) -> int | None:
        """Return the place of the chosen marking in the list."""
        return next((place for place, item in enumerate(self._markings) if item.isSelected()), None)

    def choose_marking(self, place: int) -> None:
        """Choose a marking by its place in the list; -1 chooses none."""
        for number, item in enumerate(self._markings):
            item.setSelected(number == place)

    def set_tool(self, tool: Tool) -> None:
        """Draw with this tool from now on; None moves the picture about."""
        self._tool = tool
        self.setDragMode(
            QGraphicsView.DragMode.NoDrag if tool else QGraphicsView.DragMode.ScrollHandDrag
        )
        self.viewport().setCursor(
            Qt.CursorShape.CrossCursor if tool else Qt.CursorShape.OpenHandCursor
        )

    def place_in_middle(self) -> None:
        """Put the tool's marking in the middle of what is seen (the way without a mouse)."""
        if self._tool is None or not self.has_image:
            return
        half = 0.16 / self._port.zoom
        across, down = (0.5, 0.5) if self._port.zoom <= 1.0 else self._port[1:]
        begin, end = QPointF(across - half, down - half), QPointF(across + half, down + half)
        self.drawn.emit(self._tool, points_for_drag(self._tool, begin, end))

    # --- what the person does ------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the seen part when the window changes."""
        super().resizeEvent(event)
        self._apply()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        steps = event.angleDelta().y() / 120
        if steps:
            self.zoom_by(ZOOM_STEP**steps, event.position().toPoint())
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to draw, or choose a marking, or take hold of the picture."""
        if self._tool and event.button() == Qt.MouseButton.LeftButton and self.has_image:
            self._drag_from = self._fraction_at(event.position().toPoint())
            event.accept()
            return
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Draw, or move the picture."""
        if self._drag_from is not None and self._tool:
            points = points_for_drag(
                self._tool, self._drag_from, self._fraction_at(event.position().toPoint())
            )
            self._show_draft(Marking(kind=self._tool, points=points))
            return
        super().mouseMoveEvent(event)
        if event.buttons() & Qt.MouseButton.LeftButton and not self._tool:
            self._read_port()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Finish what was drawn."""
        if self._drag_from is not None and self._tool:
            points = points_for_drag(
                self._tool, self._drag_from, self._fraction_at(event.position().toPoint())
            )
            self._drag_from = None
            self._drop_draft()
            self.drawn.emit(self._tool, points)
            return
        super().mouseReleaseEvent(event)
        for place, item in enumerate(self._markings):
            moved = item.moved_points()
            if moved is not None:
                self.marking_moved.emit(place, moved)
                break

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Switch between the whole picture and its pixels."""
        if self._port.zoom > 1.0:
            self.show_whole()
        else:
            self.zoom_by(4.0, event.position().toPoint())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Plus, minus, 0 and 1 zoom; arrows move; Enter places; Delete removes."""
        step = 0.1 / self._port.zoom
        key, control = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        arrows = {
            Qt.Key.Key_Left: (-step, 0.0),
            Qt.Key.Key_Right: (step, 0.0),
            Qt.Key.Key_Up: (0.0, -step),
            Qt.Key.Key_Down: (0.0, step),
        }
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_by(ZOOM_STEP)
        elif key == Qt.Key.Key_Minus:
            self.zoom_by(1 / ZOOM_STEP)
        elif key == Qt.Key.Key_0:
            self.show_whole()
        elif key == Qt.Key.Key_1:
            self.show_pixels()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._tool:
            self.place_in_middle()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self._tell_removed():
            pass
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            self.stepped.emit(1 if key == Qt.Key.Key_PageDown else -1)
        elif Qt.Key(key) in arrows:
            across, down = arrows[Qt.Key(key)]
            if control and self.chosen_marking() is not None:
                self._nudge(across / 4, down / 4)
            else:
                port = self._port
                self._go(port._replace(across=port.across + across, down=port.down + down))
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def _tell_removed(self) -> bool:
        place = self.chosen_marking()
        if place is None:
            return False
        self.marking_removed.emit(place)
        return True

    def _nudge(self, across: float, down: float) -> None:
        place = self.chosen_marking()
        if place is not None:
            points = tuple(
                (min(max(x + across, 0.0), 1.0), min(max(y + down, 0.0), 1.0))
                for x, y in self._markings[place].marking.points
            )
            self.marking_moved.emit(place, points)

    def _read_port(self) -> None:
        centre = self._fraction_at(self.viewport().rect().center())
        self._port = self._port._replace(across=centre.x(), down=centre.y())
        self.moved.emit(self._port)

    def _show_draft(self, marking: Marking) -> None:
        self._drop_draft()
        self._draft = MarkingItem(marking, self.picture_size())
        self._scene.addItem(self._draft)

    def _drop_draft(self) -> None:
        if self._draft is not None:
            self._scene.removeItem(self._draft)
            self._draft = None


__all__ = ["WHOLE", "PictureView", "PointsTuple", "ViewPort"]
