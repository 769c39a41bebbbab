"""The list beside the grid: groups of photos, which are also what photos are dropped on."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt, Signal, Slot
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from ldapp.desktop.pages.photo_groups import ALL, GROUPINGS, NONE, Grouping, PhotoGroup
from ldapp.desktop.pages.photo_model import photo_ids_of_mime
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said
from ldapp.local_forms import grouped


def _number(group: PhotoGroup) -> str:
    return grouped(len(group.photos)) if group.photos else ""


GROUP_COLUMNS: tuple[Column[PhotoGroup], ...] = (
    Column(
        name="title",
        title=marked("Group"),
        text=lambda group: group.title,
        tip=lambda group: group.title,
        width=24,
    ),
    Column(
        name="number",
        title=marked("Photos"),
        text=_number,
        spoken=lambda group: f"{len(group.photos)}",
        right=True,
        width=6,
    ),
)


class GroupList(TableView):
    """Groups; dragged photos may be dropped on one."""

    dropped = Signal(str, object)
    """The key of the group and the ids of the photos."""
    drag_over = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(said("Groups of photos"), parent)
        self.dragged_over = False
        self.setAcceptDrops(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DropOnly)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.horizontalHeader().hide()
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take photos, and nothing else."""
        if photo_ids_of_mime(event.mimeData()):
            event.acceptProposedAction()
        else:
            event.ignore()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Show on what the photos would be dropped."""
        index = self.indexAt(event.position().toPoint())
        group = self.rows_model().row_at(index)
        if isinstance(group, PhotoGroup) and group.key not in (ALL, NONE):
            # Marked as the one that would take them; the photos in sight stay those they were.
            self.dragged_over = True
            self.setCurrentIndex(index)
            event.acceptProposedAction()
        else:
            event.ignore()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """Mark the group in sight again."""
        super().dragLeaveEvent(event)
        self._end_drag()

    def _end_drag(self) -> None:
        self.dragged_over = False
        self.drag_over.emit()

    def dropEvent(self, event: QDropEvent) -> None:
        """Say which photos were dropped on which group."""
        group = self.rows_model().row_at(self.indexAt(event.position().toPoint()))
        ids = photo_ids_of_mime(event.mimeData())
        if isinstance(group, PhotoGroup) and ids:
            event.acceptProposedAction()
            self.dropped.emit(group.key, ids)
        self._end_drag()


class PhotoShelf(QWidget):
    """Chooses how photos are grouped and which group is seen."""

    grouping_changed = Signal(str)
    group_chosen = Signal(str)
    dropped = Signal(str, object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMinimumWidth(GRID * 24)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID, GRID, GRID)
        column.setSpacing(GRID)
        top = QHBoxLayout()
        label = QLabel(said("&Group by"))
        self._by = ChoiceField([(by, said(name)) for by, name in GROUPINGS])
        self._by.setAccessibleName(said("Group by"))
        self._by.set_value("line")
        label.setBuddy(self._by)
        top.addWidget(label)
        top.addWidget(self._by, 1)
        column.addLayout(top)
        self.search = QLineEdit()
        self.search.setObjectName("search")
        self.search.setPlaceholderText(said("Find a line or group"))
        self.search.setAccessibleName(said("Find a line or group"))
        self.search.setClearButtonEnabled(True)
        column.addWidget(self.search)
        self.model: RowsModel[PhotoGroup] = RowsModel(
            GROUP_COLUMNS, lambda group: group.key, parent=self
        )
        self.list = GroupList()
        self.list.setModel(self.model)
        self.list.viewport().installEventFilter(self)
        column.addWidget(self.list, 1)
        self._key = ALL
        self.search.textChanged.connect(self.model.search)
        self._by.committed.connect(self._on_by)
        self.list.selectionModel().currentRowChanged.connect(self._on_row)
        self.list.dropped.connect(self.dropped)
        self.list.drag_over.connect(self._mark_group_in_sight)

    @property
    def grouping(self) -> Grouping:
        """How photos are grouped."""
        by: Grouping = self._by.value() or "line"
        return by

    def set_grouping(self, by: Grouping) -> None:
        """Group in this way, without telling anybody."""
        self._by.set_value(by)

    @property
    def key(self) -> str:
        """The key of the group that is seen."""
        return self._key

    def show_groups(self, groups: Sequence[PhotoGroup]) -> None:
        """Show these groups; the chosen one stays where it still exists."""
        key = self._key
        self.list.selectionModel().blockSignals(True)
        self.model.set_rows(groups)
        found = any(group.key == key for group in groups)
        self._key = key if found else ALL
        number = self.model.row_number(self._key)
        if number >= 0:
            self.list.setCurrentIndex(self.model.index(number, 0))
        self.list.selectionModel().blockSignals(False)
        self.list.viewport().update()
        self._fit()

    def choose(self, key: str) -> None:
        """Show one group."""
        self._key = key
        number = self.model.row_number(key)
        if number >= 0:
            self.list.setCurrentIndex(self.model.index(number, 0))
        self.group_chosen.emit(key)

    def photos_of(self, key: str) -> tuple[str, ...]:
        """Return the ids of a group's photos."""
        return next((group.photos for group in self.model.all_rows if group.key == key), ())

    def _fit(self) -> None:
        width = self.list.viewport().width()
        most = max((len(group.photos) for group in self.model.all_rows), default=0)
        number = max(
            self.list.fontMetrics().horizontalAdvance(grouped(most)) + 20,
            self.list.horizontalHeader().minimumSectionSize(),
        )
        self.list.horizontalHeader().setStretchLastSection(False)
        self.list.setColumnWidth(1, number)
        self.list.setColumnWidth(0, max(width - number, 80))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the numbers at the right edge when a scroll bar comes or goes."""
        if watched is self.list.viewport() and event.type() == QEvent.Type.Resize:
            self._fit()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the numbers at the right edge."""
        super().resizeEvent(event)
        self._fit()

    @Slot(object)
    def _on_by(self, by: object) -> None:
        self._key = ALL
        self.grouping_changed.emit(str(by))

    @Slot(QModelIndex, QModelIndex)
    def _on_row(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        group = self.model.row_at(current)
        if self.list.dragged_over:
            return
        if group is not None and group.key != self._key:
            self._key = group.key
            self.group_chosen.emit(group.key)

    @Slot()
    def _mark_group_in_sight(self) -> None:
        number = self.model.row_number(self._key)
        if number >= 0:
            self.list.setCurrentIndex(self.model.index(number, 0))
