"""Photos as tiles: picture, time, standing as a mark and a word, and the line that it shows."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPalette, QPixmap, QResizeEvent, QTextOption
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from ldapp.claim.photos import Photo
from ldapp.desktop.pages.photo_model import PHOTO_ROLE, TILE_ROLE, PhotoModel, Tile
from ldapp.desktop.pages.standing_mark import draw_standing, standing_colour
from ldapp.desktop.theme import colour
from ldapp.language import said

PICTURE = QSize(176, 132)
_MARGIN = 8
_TEXT_LINES = 3


class TileDelegate(QStyledItemDelegate):
    """Draws one photo; every tile has the same size."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.picture = QSize(PICTURE)

    def _line_height(self, option: QStyleOptionViewItem) -> int:
        return int(option.fontMetrics.height()) + 2

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the size of every tile."""
        return QSize(
            self.picture.width() + 2 * _MARGIN,
            self.picture.height() + _TEXT_LINES * self._line_height(option) + 3 * _MARGIN,
        )

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the tile."""
        tile: Tile = index.data(TILE_ROLE)
        painter.save()
        rect: QRect = option.rect.adjusted(2, 2, -2, -2)
        palette: QPalette = option.palette
        state = option.state
        selected = bool(state & QStyle.StateFlag.State_Selected)
        if selected:
            painter.fillRect(rect, colour("chosen"))
        ink = palette.color(QPalette.ColorRole.Text)
        picture = QRect(
            rect.left() + _MARGIN - 2,
            rect.top() + _MARGIN - 2,
            self.picture.width(),
            self.picture.height(),
        )
        self._paint_picture(painter, picture, index, palette, tile)
        top = picture.bottom() + _MARGIN
        height = self._line_height(option)
        width = self.picture.width()
        metrics = option.fontMetrics
        painter.setPen(ink)
        painter.drawText(
            QRect(picture.left(), top, width, height),
            Qt.AlignmentFlag.AlignVCenter,
            metrics.elidedText(tile.time, Qt.TextElideMode.ElideMiddle, width),
        )
        mark = QRectF(picture.left(), top + height + (height - 12) / 2, 12, 12)
        tone = standing_colour(tile.standing, palette)
        draw_standing(painter, mark, tile.standing, tone)
        painter.setPen(tone)
        painter.drawText(
            QRect(picture.left() + 18, top + height, width - 18, height),
            Qt.AlignmentFlag.AlignVCenter,
            metrics.elidedText(tile.standing_text, Qt.TextElideMode.ElideRight, width - 18),
        )
        muted = palette.color(QPalette.ColorRole.PlaceholderText)
        painter.setPen(ink if selected or tile.paired else muted)
        painter.drawText(
            QRect(picture.left(), top + 2 * height, width, height),
            Qt.AlignmentFlag.AlignVCenter,
            metrics.elidedText(tile.line, Qt.TextElideMode.ElideRight, width),
        )
        if state & QStyle.StateFlag.State_HasFocus:
            pen = painter.pen()
            pen.setColor(ink)
            pen.setStyle(Qt.PenStyle.DotLine)
            painter.setPen(pen)
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        painter.restore()

    def _paint_picture(
        self,
        painter: QPainter,
        box: QRect,
        index: QModelIndex | QPersistentModelIndex,
        palette: QPalette,
        tile: Tile,
    ) -> None:
        pixmap: QPixmap | None = index.data(Qt.ItemDataRole.DecorationRole)
        if pixmap is None:
            painter.fillRect(box, palette.color(QPalette.ColorRole.AlternateBase))
            photo: Photo = index.data(PHOTO_ROLE)
            model = index.model()
            refusal = model.refusal(photo) if isinstance(model, PhotoModel) else ""
            painter.setPen(palette.color(QPalette.ColorRole.PlaceholderText))
            # The store knows a picture by its hash alone; a person knows it by its name.
            known, hashed, rest = refusal.partition(photo.facts.sha256)
            says = photo.name + rest if hashed and not known else f"{photo.name}\n{refusal}".strip()
            wrapped = QTextOption(Qt.AlignmentFlag.AlignCenter)
            wrapped.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
            painter.drawText(QRectF(box.adjusted(8, 8, -8, -8)), says, wrapped)
        else:
            size = pixmap.deviceIndependentSize().toSize()
            size.scale(box.size(), Qt.AspectRatioMode.KeepAspectRatio)
            target = QRect(0, 0, size.width(), size.height())
            target.moveCenter(box.center())
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.setOpacity(0.35 if tile.left_out else 1.0)
            painter.drawPixmap(target, pixmap)
            painter.setOpacity(1.0)
        if tile.left_out:
            painter.setPen(palette.color(QPalette.ColorRole.Text))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, said("left out"))


class PhotoGrid(QListView):
    """Thousands of tiles; only those on the screen ask for their picture."""

    opened = Signal(str)
    """The id of a photo that is to be seen large (Enter or double click)."""
    removal_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setMovement(QListView.Movement.Static)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setUniformItemSizes(True)
        self.setLayoutMode(QListView.LayoutMode.Batched)
        self.setBatchSize(500)
        self.setSpacing(0)
        self.setWordWrap(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setDragEnabled(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self._tiles = TileDelegate(self)
        self.setItemDelegate(self._tiles)
        self.setAccessibleName(said("Photos"))
        self.doubleClicked.connect(self._on_opened)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the tiles fill the width, so that no strip is left empty."""
        bar = self.verticalScrollBar().sizeHint().width() + 4
        room = self.width() - bar
        columns = max(1, room // (PICTURE.width() + 2 * _MARGIN))
        width = max(room // columns - 2 * _MARGIN, 96)
        picture = QSize(width, width * PICTURE.height() // PICTURE.width())
        if picture != self._tiles.picture:
            self._tiles.picture = picture
            self.scheduleDelayedItemsLayout()
        super().resizeEvent(event)

    def chosen(self) -> tuple[str, ...]:
        """Return the ids of the chosen photos, in the order shown."""
        rows = sorted({index.row() for index in self.selectedIndexes()})
        model = self.model()
        if not isinstance(model, PhotoModel):
            return ()
        return tuple(model.photo_at(row).id for row in rows)

    def choose(self, ids: tuple[str, ...]) -> None:
        """Choose these photos, as far as they are shown, and bring the first into view."""
        model = self.model()
        selection = self.selectionModel()
        if not isinstance(model, PhotoModel) or selection is None:
            return
        rows = sorted(row for one in ids if (row := model.row_of(one)) is not None)
        selection.clearSelection()
        for row in rows:
            selection.select(model.index(row), selection.SelectionFlag.Select)
        if rows:
            first = model.index(rows[0])
            selection.setCurrentIndex(first, selection.SelectionFlag.NoUpdate)
            self.scrollTo(first)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open with Enter, ask for removal with Delete."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._on_opened(self.currentIndex())
        elif event.key() == Qt.Key.Key_Delete:
            self.removal_asked.emit()
        else:
            super().keyPressEvent(event)

    def _on_opened(self, index: QModelIndex) -> None:
        photo: Photo = index.data(PHOTO_ROLE)
        self.opened.emit(photo.id)
