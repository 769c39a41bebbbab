"""An open claim: the pages in the order of the work, and the weak points beside them."""

from __future__ import annotations

from importlib import import_module

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    QTimer,
    Signal,
    Slot,
)
from PySide6.QtGui import QKeySequence, QPainter
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QStackedWidget,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.places import PAGES, Page, Place
from ldapp.casework.weak_points import WeakPoint, open_points_by_page
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.focus_ring import SHOWS_ITS_FOCUS
from ldapp.desktop.icons import icon
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.page_titles import PAGE_TITLES, page_title
from ldapp.desktop.theme import GRID, TypeSize, colour, theme, type_font
from ldapp.desktop.weak_points_panel import WeakPointsPanel
from ldapp.desktop.widgets.pieces import Label, Separator, Tinted
from ldapp.language import said, said_of

Index = QModelIndex | QPersistentModelIndex
_POINTS = int(Qt.ItemDataRole.UserRole) + 2
_NAVIGATION_WIDTH = GRID * 21
_NAVIGATION_ROW = 40
_ROOMY = GRID * 200
"""From this width on a page and the weak points have room side by side, whatever it shows."""

_PAGE_CLASSES: dict[Page, str] = {name: f"{title}Page" for name, title in PAGE_TITLES.items()}


def make_page(name: Page, context: ClaimContext, parent: QWidget) -> ClaimPage:
    """Make one page; its module is loaded when it is first looked at."""
    module = import_module(f"ldapp.desktop.pages.{name}")
    page = getattr(module, _PAGE_CLASSES[name])(context, parent)
    assert isinstance(page, ClaimPage)
    return page


class _PageDelegate(QStyledItemDelegate):
    """Draws a page's icon and title, and how many points are open there."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        del option, index
        return QSize(_NAVIGATION_WIDTH, _NAVIGATION_ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        rect: QRect = option.rect
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if chosen:
            painter.fillRect(rect, colour("chosen"))
            painter.fillRect(QRect(rect.x(), rect.y(), 3, rect.height()), colour("accent_text"))
        name = str(index.data(Qt.ItemDataRole.UserRole))
        icon(name, "accent_text" if chosen else "text").paint(
            painter, QRect(rect.x() + GRID * 2, rect.y() + 10, 20, 20)
        )
        painter.setPen(colour("text"))
        painter.setFont(type_font(TypeSize.NORMAL, bold=chosen))
        painter.drawText(
            rect.adjusted(GRID * 2 + 30, 0, -GRID, 0),
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            str(index.data(Qt.ItemDataRole.DisplayRole)),
        )
        points = index.data(_POINTS) or 0
        if points:
            painter.setPen(colour("muted"))
            painter.setFont(type_font(TypeSize.SMALL))
            painter.drawText(
                rect.adjusted(0, 0, -GRID * 2, 0),
                Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight,
                f"{points:,}",
            )
        if option.state & QStyle.StateFlag.State_HasFocus:
            # Smoothed, the line would bleed into the row above, which is not painted again.
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.setPen(colour("accent_text"))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        painter.restore()


class ClaimView(QWidget):
    """One open claim in the window."""

    page_changed = Signal(str)
    weak_points_folded = Signal(bool)

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        context.setParent(self)
        self._pages: dict[Page, ClaimPage] = {}
        self._in_sight: Page | None = None
        self._folded_for_room = False
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self._navigation())
        row.addWidget(Separator(vertical=True))
        self._stack = QStackedWidget()
        self.panel = WeakPointsPanel()
        self.panel.go_to.connect(self.show_place)
        self.panel.fold_wanted.connect(self.fold_weak_points)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        self.splitter.addWidget(self._stack)
        self.splitter.addWidget(self.panel)
        self.splitter.setStretchFactor(0, 1)
        self.splitter.setStretchFactor(1, 0)
        self.splitter.setCollapsible(0, False)
        self.splitter.setCollapsible(1, False)
        self.splitter.setHandleWidth(1)
        row.addWidget(self.splitter, 1)
        self.panel.resize(GRID * 38, self.panel.height())
        context.weak_points_found.connect(self._on_weak_points)
        context.go_to.connect(self.show_place)
        context.room_wanted.connect(self._make_room)
        context.claim_changed.connect(self._on_changed)
        theme().changed.connect(self.pages_list.viewport().update)
        self._show_head()

    def _navigation(self) -> QWidget:
        ground = Tinted("window")
        ground.setFixedWidth(_NAVIGATION_WIDTH)
        column = QVBoxLayout(ground)
        column.setContentsMargins(0, GRID * 2, 0, GRID)
        column.setSpacing(2)
        self._reference = Label("", bold=True, wrap=True)
        self._reference.setContentsMargins(GRID * 2, 0, GRID, 0)
        self._title = Label("", TypeSize.SMALL, muted=True, wrap=True)
        self._title.setContentsMargins(GRID * 2, 0, GRID, GRID)
        self._invented = Label(said("Invented, for demonstration"), TypeSize.SMALL, wrap=True)
        self._invented.setContentsMargins(GRID * 2, 0, GRID, GRID)
        column.addWidget(self._reference)
        column.addWidget(self._title)
        column.addWidget(self._invented)
        self.pages_list = QListWidget()
        self.pages_list.setAccessibleName(said("Pages of the claim"))
        self.pages_list.setItemDelegate(_PageDelegate(self.pages_list))
        self.pages_list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.pages_list.setUniformItemSizes(True)
        self.pages_list.setProperty(SHOWS_ITS_FOCUS, True)
        self.pages_list.viewport().setAutoFillBackground(False)
        self.pages_list.setStyleSheet("QListWidget { background: transparent; }")
        for number, name in enumerate(PAGES, 1):
            keys = QKeySequence(f"Ctrl+{number}").toString(QKeySequence.SequenceFormat.NativeText)
            item = QListWidgetItem(page_title(name))
            item.setData(Qt.ItemDataRole.UserRole, name)
            item.setToolTip(f"{page_title(name)} ({keys})")
            self.pages_list.addItem(item)
        self.pages_list.currentRowChanged.connect(self._on_row)
        column.addWidget(self.pages_list, 1)
        return ground

    # --- pages ----------------------------------------------------------------------

    @property
    def current_page(self) -> Page:
        """The name of the page in sight."""
        return PAGES[max(self.pages_list.currentRow(), 0)]

    def page(self, name: Page) -> ClaimPage:
        """Return a page, made when it is first wanted."""
        if name not in self._pages:
            page = make_page(name, self.context, self._stack)
            self._pages[name] = page
            self._stack.addWidget(page)
        return self._pages[name]

    def turn_to(self, name: Page) -> None:
        """Bring a page into sight as a click on its name does."""
        self.pages_list.setCurrentRow(PAGES.index(name))

    def show_page(self, name: Page) -> None:
        """Bring a page into sight before this returns."""
        self.turn_to(name)
        self._bring_current()

    @Slot(object)
    def show_place(self, place: Place) -> None:
        """Bring a record or field into sight, wherever it is."""
        self.show_page(place.page)
        page = self.page(place.page)
        page.refresh_if_stale()
        page.show_place(place)

    @Slot(int)
    def _on_row(self, number: int) -> None:
        if not 0 <= number < len(PAGES):
            return
        if PAGES[number] in self._pages:
            self._bring_current()
            return
        # Made now and filled at the next beat of the event loop: neither holds it for long.
        self.page(PAGES[number])
        QTimer.singleShot(0, self._bring_current)

    @Slot()
    def _bring_current(self) -> None:
        name = self.current_page
        page = self.page(name)
        if self._stack.currentWidget() is not page or self._in_sight != name:
            self._in_sight = name
            self._stack.setCurrentWidget(page)
            self.page_changed.emit(name)

    # --- what is said about the claim -------------------------------------------------

    @Slot(object)
    def _on_weak_points(self, points: tuple[WeakPoint, ...]) -> None:
        self.panel.show_points(points)
        open_points = open_points_by_page(points)
        for number, name in enumerate(PAGES):
            item = self.pages_list.item(number)
            here = open_points.get(name, 0)
            item.setData(_POINTS, here)
            says = page_title(name)
            if here:
                says = said_of(
                    here,
                    "{page}, {count} open point",
                    "{page}, {count} open points",
                    page=says,
                )
            item.setData(Qt.ItemDataRole.AccessibleTextRole, says)

    @Slot(object)
    def _on_changed(self, kinds: frozenset[str]) -> None:
        if "claim" in kinds:
            self._show_head()

    def _show_head(self) -> None:
        claim = self.context.claim
        self._reference.setText(claim.reference)
        self._title.setText(claim.title)
        self._title.setVisible(bool(claim.title))
        self._invented.setVisible(claim.invented)

    def shut_down(self) -> None:
        """Stop the pages' own background work."""
        for page in self._pages.values():
            page.shut_down()

    @property
    def weak_points_shown(self) -> bool:
        """Whether the panel is unfolded."""
        return not self.panel.isHidden()

    def show_weak_points(self, shown: bool) -> None:
        """Fold the panel away or out."""
        self.panel.setVisible(shown)
        self.weak_points_folded.emit(not shown)

    @Slot()
    def fold_weak_points(self) -> None:
        """Fold the panel away."""
        self.show_weak_points(False)

    @Slot(bool)
    def _make_room(self, wanted: bool) -> None:
        """Fold the panel away while a page needs the width, and out again afterwards."""
        if wanted and self.weak_points_shown and self.width() < _ROOMY:
            self._folded_for_room = True
            self.show_weak_points(False)
        elif not wanted and self._folded_for_room:
            self._folded_for_room = False
            self.show_weak_points(True)
