"""The weak points: a live list of what the other side would attack, and what cures each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListView,
    QStackedWidget,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.weak_points import GRAVITIES, Gravity, WeakPoint
from ldapp.desktop.icons import icon
from ldapp.desktop.theme import GRID, Role, TypeSize, colour, type_font
from ldapp.desktop.widgets.pieces import EmptyState, Label, Tinted, icon_button
from ldapp.desktop.widgets.plain_text import shown
from ldapp.language import marked_in, said, said_of

_SHOWN_OF_A_KIND = 4
"""More points of one kind are folded into one line until they are asked for."""

_MARKS: dict[Gravity, tuple[str, str, Role]] = {
    "grave": ("grave", marked_in("gravity of a weak point", "Grave"), "red"),
    "weak": ("warning", marked_in("gravity of a weak point", "Weak"), "amber"),
    "note": ("note", marked_in("gravity of a weak point", "Note"), "muted"),
}


def _how_many(gravity: Gravity, number: int) -> str:
    match gravity:
        case "grave":
            return said_of(number, "{count} grave", "{count} grave")
        case "weak":
            return said_of(number, "{count} weak", "{count} weak")
        case "note":
            return said_of(number, "{count} note", "{count} notes")


_INSET = GRID * 2
_MARK_WIDTH = 28
Index = QModelIndex | QPersistentModelIndex


class Row(NamedTuple):
    """A point, or the line that stands for the rest of its kind."""

    point: WeakPoint
    more: int = 0


class WeakPointsModel(QAbstractListModel):
    """The points in their order; long runs of one kind are folded."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._points: tuple[WeakPoint, ...] = ()
        self._unfolded: set[str] = set()
        self._rows: list[Row] = []

    def set_points(self, points: Sequence[WeakPoint]) -> bool:
        """Show these points; False where nothing changed."""
        if tuple(points) == self._points:
            return False
        self._points = tuple(points)
        self._arrange()
        return True

    def unfold(self, code: str) -> None:
        """Show all points of one kind."""
        self._unfolded.add(code)
        self._arrange()

    def _arrange(self) -> None:
        numbers: dict[tuple[str, str], int] = {}
        for point in self._points:
            kind = (point.gravity, point.code)
            numbers[kind] = numbers.get(kind, 0) + 1
        seen: dict[tuple[str, str], int] = {}
        rows = []
        for point in self._points:
            kind = (point.gravity, point.code)
            seen[kind] = seen.get(kind, 0) + 1
            if (
                point.code in self._unfolded
                or numbers[kind] <= _SHOWN_OF_A_KIND + 1
                or seen[kind] <= _SHOWN_OF_A_KIND
            ):
                rows.append(Row(point))
            elif seen[kind] == numbers[kind]:
                rows.append(Row(point, numbers[kind] - _SHOWN_OF_A_KIND))
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def row(self, index: Index) -> Row | None:
        """Return what stands at an index."""
        return self._rows[index.row()] if index.isValid() else None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the sentence of a row."""
        row = self.row(index)
        if row is None:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return (
                said_of(row.more, "{count} more like these", "{count} more like these")
                if row.more
                else shown(row.point.says)
            )
        if role == Qt.ItemDataRole.AccessibleTextRole:
            if row.more:
                return said_of(row.more, "{count} more like these", "{count} more like these")
            point = row.point
            word = said(_MARKS[point.gravity][1])
            return said(
                "{word}: {says} {why} What cures it: {cure}",
                word=word,
                says=point.says,
                why=point.why,
                cure=point.cure,
            )
        return None


def _row_at(index: Index) -> Row:
    model = index.model()
    assert isinstance(model, WeakPointsModel)
    row = model.row(index)
    assert row is not None
    return row


class WeakPointDelegate(QStyledItemDelegate):
    """Draws mark and word, what it is, why it matters, what cures it."""

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self._view = view

    def _texts(self, row: Row) -> list[tuple[str, QFont, Role]]:
        small = type_font(TypeSize.SMALL)
        if row.more:
            return [
                (
                    said_of(row.more, "{count} more like these", "{count} more like these"),
                    type_font(TypeSize.NORMAL),
                    "accent_text",
                )
            ]
        point = row.point
        _, word, role = _MARKS[point.gravity]
        return [
            (said(word), type_font(TypeSize.SMALL, bold=True), role),
            (point.says, type_font(TypeSize.NORMAL, bold=True), "text"),
            (point.why, small, "muted"),
            (said("Cure: {cure}", cure=point.cure), small, "text"),
        ]

    def _width(self) -> int:
        return max(self._view.viewport().width() - _INSET * 2 - _MARK_WIDTH, 80)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Be as high as the wrapped texts are."""
        row = _row_at(index)
        width = self._width()
        height = GRID * 2 + sum(
            _wrapped(font, text, width).height() + 3 for text, font, _ in self._texts(row)
        )
        return QSize(width + _INSET * 2 + _MARK_WIDTH, height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one point."""
        row = _row_at(index)
        rect: QRect = option.rect
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, colour("chosen"))
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(colour("accent_text"), 1))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        if not row.more:
            mark, _, role = _MARKS[row.point.gravity]
            icon(mark, role).paint(
                painter, QRect(rect.topLeft() + QPoint(_INSET - 4, GRID + 8), QSize(20, 20))
            )
        y = rect.y() + GRID
        x = rect.x() + _INSET + _MARK_WIDTH
        for text, font, role in self._texts(row):
            bounds = _wrapped(font, text, self._width())
            painter.setFont(font)
            painter.setPen(colour(role))
            painter.drawText(
                QRect(x, y, self._width(), bounds.height()),
                Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft,
                text,
            )
            y += bounds.height() + 3
        painter.setPen(QPen(colour("separator"), 1))
        painter.drawLine(rect.bottomLeft() + QPoint(_INSET, 0), rect.bottomRight())
        painter.restore()


def _wrapped(font: QFont, text: str, width: int) -> QRect:
    return QFontMetrics(font).boundingRect(
        QRect(0, 0, width, 10_000), int(Qt.TextFlag.TextWordWrap), text
    )


class WeakPointsList(QListView):
    """The list: a click or Enter goes to the very spot."""

    chosen = Signal(object)
    """A Row."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(said("Weak points"))
        self.setItemDelegate(WeakPointDelegate(self))
        self.setLayoutMode(QListView.LayoutMode.Batched)
        self.setBatchSize(40)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWordWrap(True)
        self.clicked.connect(self._on_clicked)

    @Slot(QModelIndex)
    def _on_clicked(self, index: QModelIndex) -> None:
        model = self.model()
        if isinstance(model, WeakPointsModel):
            row = model.row(index)
            if row is not None:
                self.chosen.emit(row)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes where a click goes."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._on_clicked(self.currentIndex())
            event.accept()
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap the texts anew at another width."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()


class WeakPointsPanel(Tinted):
    """Beside the pages, foldable; what is in it is computed, never typed."""

    go_to = Signal(object)
    """A Place."""
    fold_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("window", parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GRID, 0, 0)
        column.setSpacing(GRID)
        head = QHBoxLayout()
        head.setContentsMargins(_INSET, 0, GRID, 0)
        self._title = Label(said("Weak points"), bold=True)
        head.addWidget(self._title, 1)
        fold = icon_button("chevron_right", said("Fold the weak points away"))
        fold.clicked.connect(self.fold_wanted)
        head.addWidget(fold)
        column.addLayout(head)
        self._numbers = Label("", TypeSize.SMALL, muted=True)
        self._numbers.setContentsMargins(_INSET, 0, GRID, 0)
        column.addWidget(self._numbers)
        self.model = WeakPointsModel(self)
        self.list = WeakPointsList()
        self.list.setModel(self.model)
        self.list.chosen.connect(self._on_chosen)
        self._none = EmptyState(said("Nothing weak was found by the checks."))
        self._stack = QStackedWidget()
        self._stack.addWidget(self.list)
        self._stack.addWidget(self._none)
        column.addWidget(self._stack, 1)
        self.setMinimumWidth(GRID * 28)

    def show_points(self, points: Sequence[WeakPoint]) -> None:
        """Show these points, gravest first."""
        changed = self.model.set_points(points)
        by_gravity = {one: sum(point.gravity == one for point in points) for one in GRAVITIES}
        self._numbers.setText(
            "  ·  ".join(_how_many(one, number) for one, number in by_gravity.items() if number)
        )
        if changed or not points:
            self._stack.setCurrentWidget(self.list if points else self._none)

    @Slot(object)
    def _on_chosen(self, row: Row) -> None:
        if row.more:
            self.model.unfold(row.point.code)
        else:
            self.go_to.emit(row.point.place)
