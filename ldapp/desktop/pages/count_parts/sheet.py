"""The count sheet as a table: number, Enter, next."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyle,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from ldapp.casework.count_sheet import (
    CONDITION_LABELS,
    CONDITIONS_OF_DAMAGE,
    Cell,
    SheetRow,
    difference_words,
)
from ldapp.casework.counts import STAGE_NAMES
from ldapp.claim.counts import Count, Stage
from ldapp.desktop.pages.kit_parts.columns import natural_key
from ldapp.desktop.pages.said import first_upper
from ldapp.desktop.theme import ROW_HEIGHT, Role, TypeSize, colour, type_font
from ldapp.desktop.widgets.pieces import Separator
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import CellDelegate, TableView
from ldapp.desktop.widgets.values import date_text
from ldapp.language import SOURCE_LANGUAGE, language, marked, marked_in, said
from ldapp.local_forms import short_day

Index = QModelIndex | QPersistentModelIndex
_SHORT_STAGES: dict[Stage, str] = {
    "pickup": marked_in("heading of a count", "Pickup"),
    "during": marked_in("heading of a count", "During"),
    "return": marked_in("heading of a count", "Return"),
    "check_in": marked_in("heading of a count", "Check-in"),
}
_FIXED = ("number", "description", "location", "listed")
_HIDDEN = marked("hidden")
"""In place of a number, while a blind count waits for this line."""
_FROZEN = 2
"""How many columns stay at the left while the counts scroll."""


def count_title(count: Count) -> str:
    """Return what a count is called: its stage and when it was."""
    if count.at is None:
        return said("{stage}, no time", stage=said(STAGE_NAMES[count.stage]))
    return f"{said(STAGE_NAMES[count.stage])} {date_text(count.at.date())} {count.at:%H:%M}"


def column_title(count: Count) -> str:
    """Return a count's name as short as a heading must be."""
    stage = said(_SHORT_STAGES[count.stage])
    when = f"{_short_day(count.at.date())} {count.at:%H:%M}" if count.at else said("no time")
    title = f"{stage} {when}"
    return said("{count} (blind)", count=title) if count.blind else title


def _short_day(day: dt.date) -> str:
    # Two digits in English, so that headings stand under each other.
    return f"{day:%d %b}" if language() == SOURCE_LANGUAGE else short_day(day)


def cell_remark(cell: Cell) -> str:
    """Return the words beside a number: the difference, the condition."""
    if cell.quantity is None and cell.condition == "not_looked_at":
        return ""
    words = [difference_words(cell.difference)]
    if cell.condition in CONDITIONS_OF_DAMAGE or cell.condition == "worn":
        words.append(said(CONDITION_LABELS[cell.condition]))
    return ", ".join(word for word in words if word)


def cell_text(cell: Cell | None) -> str:
    """Return a cell as text, for copying and searching."""
    if cell is None or cell.quantity is None:
        return ""
    remark = cell_remark(cell)
    return f"{cell.quantity}  {remark}" if remark else str(cell.quantity)


def cell_spoken(cell: Cell | None) -> str:
    """Return a cell as it is read out."""
    if cell is None:
        return said("not in this count")
    if cell.quantity is None:
        return said("not counted")
    says = str(cell.quantity)
    if cell.difference:
        says = said("{counted}, {expected} expected", counted=says, expected=cell.expected)
    remark = cell_remark(cell)
    return f"{says}, {remark}" if remark else says


def cell_role(cell: Cell | None) -> Role | None:
    """Return the colour of the remark; the remark itself says it in words."""
    if cell is None or cell.quantity is None:
        return None
    if (cell.difference or 0) < 0 or cell.condition in ("damaged", "not_working"):
        return "red"
    if cell.difference or cell.condition in ("damaged_before", "worn"):
        return "amber"
    return None


def sheet_columns(counts: Sequence[Count]) -> tuple[Column[SheetRow], ...]:
    """Return the columns: the line, where it lives, what is listed, and one for each count."""
    return (
        Column(
            name="number",
            title=marked("Line"),
            text=lambda row: row.line.number,
            key=lambda row: natural_key(row.line.number),
            width=6,
        ),
        Column(
            name="description",
            title=marked("Description"),
            text=lambda row: row.line.description,
            width=30,
        ),
        Column(
            name="location",
            title=marked("Where it lives"),
            text=lambda row: row.line.location,
            width=15,
        ),
        Column(
            name="listed",
            title=marked("Listed"),
            text=lambda row: said(_HIDDEN) if row.blind_at else str(row.line.quantity),
            key=lambda row: None if row.blind_at else row.line.quantity,
            right=True,
            width=7,
        ),
        *(_count_column(count) for count in counts),
    )


def _count_column(count: Count) -> Column[SheetRow]:
    def cell(row: SheetRow) -> Cell | None:
        return row.cells.get(count.id)

    def quantity(row: SheetRow) -> str:
        one = cell(row)
        return "" if one is None or one.quantity is None else str(one.quantity)

    def key(row: SheetRow) -> Any:
        one = cell(row)
        return None if one is None or row.hides(count.id) else one.difference

    def text(row: SheetRow) -> str:
        one = cell(row)
        return said(_HIDDEN) if one is not None and row.hides(count.id) else cell_text(one)

    def tip(row: SheetRow) -> str:
        one = cell(row)
        if one is not None and row.hides(count.id):
            return said("A blind count is under way: enter this line there first.")
        if one is None:
            return said("This count does not cover the line's agreement.")
        lines = [first_upper(cell_spoken(one))]
        if one.note:
            lines.append(one.note)
        return "\n".join(lines)

    return Column(
        name=count.id,
        title=column_title(count),
        text=text,
        key=key,
        edit_text=quantity,
        editable=True,
        role=lambda row: None if row.hides(count.id) else cell_role(cell(row)),
        tip=tip,
        spoken=lambda row: text(row) if row.hides(count.id) else cell_spoken(cell(row)),
        width=22,
    )


class SheetDelegate(CellDelegate):
    """Draws numbers under each other and the remark beside them."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw a count's cell; other columns as usual."""
        model = index.model()
        if not isinstance(model, RowsModel) or model.columns[index.column()].name in _FIXED:
            super().paint(painter, option, index)
            return
        row = model.row_at(index)
        cell = row.cells.get(model.columns[index.column()].name) if row is not None else None
        rect: QRect = QRect(option.rect)
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, colour("chosen"))
        digit = option.fontMetrics.horizontalAdvance("0")
        numbers = rect.adjusted(8, 0, 0, 0)
        numbers.setWidth(digit * 6)
        beside = rect.adjusted(8 + digit * 7, 0, -4, 0)
        centre = Qt.AlignmentFlag.AlignVCenter
        hidden = row is not None and row.hides(model.columns[index.column()].name)
        if cell is not None and hidden:
            painter.setPen(colour("muted"))
            painter.drawText(rect.adjusted(8, 0, -4, 0), centre, said(_HIDDEN))
        elif cell is None or cell.quantity is None:
            painter.setPen(colour("muted"))
            painter.drawText(
                numbers, centre | Qt.AlignmentFlag.AlignRight, "" if cell is None else "–"
            )
        else:
            painter.setPen(colour("text"))
            painter.drawText(numbers, centre | Qt.AlignmentFlag.AlignRight, str(cell.quantity))
            remark = cell_remark(cell)
            if remark:
                painter.setFont(type_font(TypeSize.NORMAL, bold=True))
                painter.setPen(colour(cell_role(cell) or "text"))
                painter.drawText(beside, centre | Qt.AlignmentFlag.AlignLeft, remark)
        painter.setPen(QPen(colour("separator"), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(colour("accent_text"), 1))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        painter.restore()


class _FrozenColumns(QTableView):
    """The first columns once more, over the table: they do not scroll sideways."""

    def __init__(self, table: TableView) -> None:
        super().__init__(table)
        self._table = table
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setItemDelegate(CellDelegate(self))
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setSelectionMode(table.selectionMode())
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        self.verticalHeader().setMinimumSectionSize(ROW_HEIGHT)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(table.verticalScrollMode())
        # The table's own menu opens here too.
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setSectionsClickable(True)
        head.setSortIndicatorShown(True)
        head.sectionClicked.connect(self._on_section)
        head.sectionResized.connect(self._on_resized)
        table.horizontalHeader().sortIndicatorChanged.connect(self._show_order)
        self._show_order()

    @Slot()
    def _show_order(self) -> None:
        head = self._table.horizontalHeader()
        self.horizontalHeader().setSortIndicator(
            head.sortIndicatorSection(), head.sortIndicatorOrder()
        )

    @Slot(int, int, int)
    def _on_resized(self, column: int, old: int, new: int) -> None:
        del old
        if new and self._table.columnWidth(column) != new:
            self._table.setColumnWidth(column, new)

    @Slot(int)
    def _on_section(self, column: int) -> None:
        head = self._table.horizontalHeader()
        ascending = Qt.SortOrder.AscendingOrder
        same = head.sortIndicatorSection() == column
        order = (
            Qt.SortOrder.DescendingOrder
            if same and head.sortIndicatorOrder() == ascending
            else ascending
        )
        self._table.sortByColumn(column, order)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Select in the one selection that both share; the keys go to the table."""
        super().mousePressEvent(event)
        self._table.setFocus()


class SheetView(TableView):
    """The sheet: digits begin to count, D enters damage, S serial numbers, = as expected."""

    damage_wanted = Signal()
    serials_wanted = Signal()
    as_expected_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(said("Count sheet"), parent)
        self.setItemDelegate(SheetDelegate(self))
        self.horizontalHeader().setSectionsMovable(False)
        self._frozen = _FrozenColumns(self)
        self._edge = Separator(vertical=True, parent=self)
        """Where the columns that stay end."""
        self.verticalScrollBar().valueChanged.connect(self._frozen.verticalScrollBar().setValue)
        self._frozen.verticalScrollBar().valueChanged.connect(self.verticalScrollBar().setValue)
        self.horizontalHeader().sectionResized.connect(self._on_section_resized)

    def setModel(self, model: QAbstractItemModel | None) -> None:
        """Show a model; line and description stay in sight at the left."""
        super().setModel(model)
        self._frozen.setModel(model)
        self._frozen.setSelectionModel(self.selectionModel())
        if model is not None:
            model.modelReset.connect(self._place_frozen)
        self._place_frozen()

    @Slot()
    def _place_frozen(self) -> None:
        model = self.model()
        if model is None:
            return
        for column in range(model.columnCount()):
            self._frozen.setColumnHidden(column, column >= _FROZEN)
        for column in range(_FROZEN):
            self._frozen.setColumnWidth(column, self.columnWidth(column))
        width = sum(self.columnWidth(column) for column in range(_FROZEN))
        self._frozen.setGeometry(
            self.frameWidth(),
            self.frameWidth(),
            width,
            self.viewport().height() + self.horizontalHeader().height(),
        )
        self._frozen.horizontalHeader().setFixedHeight(self.horizontalHeader().height())
        self._edge.setGeometry(
            self.frameWidth() + width - 1, self.frameWidth(), 1, self._frozen.height()
        )
        self._edge.raise_()

    @Slot(int, int, int)
    def _on_section_resized(self, column: int, old: int, new: int) -> None:
        del column, old, new
        self._place_frozen()

    def fit_columns(self) -> None:
        """Give every column its width, the frozen ones too."""
        super().fit_columns()
        if hasattr(self, "_frozen"):
            self._place_frozen()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the frozen columns as high as the table."""
        super().resizeEvent(event)
        self._place_frozen()

    def scrollTo(
        self,
        index: Index,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        """Bring a cell into sight, not under the frozen columns."""
        if index.column() < _FROZEN:
            # They are in sight already; only the row counts.
            across = self.horizontalScrollBar().value()
            super().scrollTo(index, hint)
            self.horizontalScrollBar().setValue(across)
            return
        super().scrollTo(index, hint)
        covered = self._frozen.width() - self.columnViewportPosition(index.column())
        if covered > 0:
            self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() - covered)

    def current_count(self) -> str | None:
        """Return the id of the count whose column has the cursor."""
        index = self.currentIndex()
        if not index.isValid():
            return None
        name = self.rows_model().columns[index.column()].name
        return None if name in _FIXED else name

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Letters are commands here; only digits begin to edit."""
        text = event.text().upper()
        plain = not event.modifiers() & (
            Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        )
        if plain and self.current_count() is not None and text in ("D", "S", "="):
            {
                "D": self.damage_wanted,
                "S": self.serials_wanted,
                "=": self.as_expected_wanted,
            }[text].emit()
            event.accept()
            return
        if plain and text and text.isprintable() and not text.isdigit():
            event.accept()
            return
        super().keyPressEvent(event)
