"""The pages of a written dossier beneath each other, drawn when they come into sight."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QImage, QKeyEvent, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QWidget

from ldapp.casework.page_pictures import preview_page
from ldapp.desktop.jobs import JobRunner, Progress
from ldapp.desktop.theme import GRID, colour
from ldapp.language import said, said_of

PageSizes = tuple[tuple[float, float], ...]

_GAP = GRID * 2
_KEPT_PAGES = 24
_MOST_WIDTH = 900


class _Drawn(NamedTuple):
    shown: object
    page: int
    image: QImage
    says: str


class PagePreview(QAbstractScrollArea):
    """Pages as wide as the room; arrows, Page Up and Page Down turn them."""

    page_changed = Signal(int, int)
    """The page in sight, counted from 1, and how many there are."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(said("Pages of the dossier"))
        self._jobs = JobRunner(self, threads=1)
        self._pages: tuple[tuple[Path, int], ...] = ()
        self._shown = object()
        """Another one whenever other pages are shown."""
        self._sizes: PageSizes = ()
        self._images: OrderedDict[int, QImage] = OrderedDict()
        self._refused: dict[int, str] = {}
        self._under_way: set[int] = set()
        self._drawn_width = 0
        self.verticalScrollBar().valueChanged.connect(self._on_scrolled)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def show_pages(self, path: Path | None, sizes: PageSizes) -> None:
        """Show the pages of a PDF; where there were others, the place stays."""
        self.show_volumes([] if path is None else [(path, sizes)])

    def show_volumes(self, volumes: Sequence[tuple[Path, PageSizes]]) -> None:
        """Show the pages of several PDFs one after the other."""
        self._pages = tuple((path, page) for path, sizes in volumes for page in range(len(sizes)))
        self._sizes = tuple(size for _, sizes in volumes for size in sizes)
        self._shown = object()
        self._images.clear()
        self._refused.clear()
        self._under_way.clear()
        self._fit()
        count = len(self._sizes)
        self.setAccessibleDescription(
            said_of(count, "{count} page", "{count} pages") if count else said("no pages yet")
        )
        self.viewport().update()
        self._tell_page()

    def shut_down(self) -> None:
        """Stop drawing."""
        self._jobs.shut_down()

    @property
    def current_page(self) -> int:
        """The page in sight, counted from nought."""
        middle = self.verticalScrollBar().value() + self.viewport().height() // 3
        for page, box in enumerate(self._boxes()):
            if box.bottom() + _GAP >= middle:
                return page
        return max(len(self._sizes) - 1, 0)

    def go_to_page(self, page: int) -> None:
        """Bring a page, counted from nought, to the top."""
        boxes = self._boxes()
        if 0 <= page < len(boxes):
            self.verticalScrollBar().setValue(boxes[page].top() - _GAP)

    # --- geometry ------------------------------------------------------------------------

    def _page_width(self) -> int:
        return max(min(self.viewport().width() - 2 * _GAP, _MOST_WIDTH), 80)

    def _boxes(self) -> list[QRect]:
        width = self._page_width()
        left = (self.viewport().width() - width) // 2
        boxes, top = [], _GAP
        for across, down in self._sizes:
            height = round(width * down / across) if across else width
            boxes.append(QRect(left, top, width, height))
            top += height + _GAP
        return boxes

    def _fit(self) -> None:
        boxes = self._boxes()
        height = boxes[-1].bottom() + _GAP if boxes else 0
        bar = self.verticalScrollBar()
        bar.setPageStep(self.viewport().height())
        bar.setSingleStep(GRID * 5)
        bar.setRange(0, max(0, height - self.viewport().height()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page in sight when the room changes."""
        page = self.current_page
        super().resizeEvent(event)
        self._fit()
        if self._page_width() != self._drawn_width:
            # Pictures of another size are shown scaled until the right ones are drawn.
            self._under_way.clear()
            self._drawn_width = self._page_width()
        self.go_to_page(page)

    # --- drawing -------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the pages in sight; ask for those that are not there yet."""
        painter = QPainter(self.viewport())
        painter.fillRect(event.rect(), self.palette().color(QPalette.ColorRole.Window))
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        offset = self.verticalScrollBar().value()
        for page, box in enumerate(self._boxes()):
            shown = box.translated(0, -offset)
            if shown.bottom() < 0 or shown.top() > self.viewport().height():
                continue
            # Paper is white in the dark, too.
            painter.fillRect(shown, QColor("white"))
            image = self._images.get(page)
            if image is not None:
                painter.drawImage(QRectF(shown), image)
            elif page in self._refused:
                painter.setPen(QColor("#a4261d"))
                painter.drawText(
                    shown.adjusted(20, 20, -20, -20),
                    int(Qt.AlignmentFlag.AlignCenter) | int(Qt.TextFlag.TextWordWrap),
                    self._refused[page],
                )
            self._want(page, image)
            painter.setPen(colour("separator"))
            painter.drawRect(shown.adjusted(0, 0, -1, -1))
        painter.end()

    def _pixel_width(self) -> int:
        return round(self._page_width() * self.devicePixelRatioF())

    def _want(self, page: int, image: QImage | None) -> None:
        good = image is not None and abs(image.width() - self._pixel_width()) <= 2
        if good or page >= len(self._pages) or page in self._under_way or page in self._refused:
            return
        self._under_way.add(page)
        scale = self._pixel_width() / max(self._sizes[page][0], 1.0)
        (path, page_of_file), shown = self._pages[page], self._shown

        def draw(progress: Progress) -> _Drawn:
            del progress
            try:
                image = QImage.fromData(preview_page(path, page_of_file, scale))
            except Exception as error:  # noqa: BLE001 - shown in place of the page
                return _Drawn(
                    shown, page, QImage(), str(error) or said("The page cannot be drawn.")
                )
            return _Drawn(shown, page, image, "")

        self._jobs.run("Page", draw, self._on_drawn)

    @Slot(object)
    def _on_drawn(self, drawn: _Drawn) -> None:
        if drawn.shown is not self._shown:
            return
        self._under_way.discard(drawn.page)
        if drawn.says:
            self._refused[drawn.page] = drawn.says
        else:
            self._images[drawn.page] = drawn.image
            self._images.move_to_end(drawn.page)
            while len(self._images) > _KEPT_PAGES:
                self._images.popitem(last=False)
        self.viewport().update()

    # --- turning pages -------------------------------------------------------------------

    @Slot()
    def _on_scrolled(self) -> None:
        self.viewport().update()
        self._tell_page()

    def _tell_page(self) -> None:
        if self._sizes:
            self.page_changed.emit(self.current_page + 1, len(self._sizes))

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """The pages are drawn anew at their place; nothing is shifted."""
        del dx, dy
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Home, End, Page Up and Page Down go from page to page."""
        goal = {
            Qt.Key.Key_PageDown: self.current_page + 1,
            Qt.Key.Key_PageUp: self.current_page - 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: len(self._sizes) - 1,
        }.get(Qt.Key(event.key()))
        if goal is not None:
            self.go_to_page(min(max(goal, 0), len(self._sizes) - 1))
            event.accept()
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        """Return room for one page."""
        return QSize(560, 720)
