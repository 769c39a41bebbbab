"""The register: all claims of the library, searched, filtered, sorted and summed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QPoint, QSettings, Qt, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLineEdit,
    QMenu,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.saved_views import RegisterView
from ldapp.claim.summary import ClaimSummary
from ldapp.desktop.column_memory import ColumnMemory
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.register_columns import (
    HIDDEN_AT_FIRST,
    REGISTER_COLUMNS,
    sums_by_currency,
    today,
)
from ldapp.desktop.register_filters import RegisterFilters, ViewsButton
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import (
    EmptyState,
    Figure,
    Label,
    Separator,
    Tinted,
    primary_button,
)
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said, said_of


class RegisterPage(QWidget):
    """The table of all claims, with what the selection sums to in large figures."""

    open_wanted = Signal(str)
    """A claim's id."""
    new_wanted = Signal(str)
    """How: "empty", "spreadsheet", "claim_file" or "demo"."""
    remove_wanted = Signal(object)
    export_wanted = Signal(object)
    calendar_wanted = Signal(object)
    """The claims whose deadlines go into a calendar file."""
    page_wanted = Signal(str)
    """Another page over all claims: "policies" or "report"."""
    view_kept = Signal(str, object)
    """Name and view."""
    view_removed = Signal(str)

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[ClaimSummary, ...] = ()
        self._views: Mapping[str, RegisterView] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._head())
        column.addWidget(self._filter_row())
        column.addWidget(Separator())
        self._model = RowsModel(REGISTER_COLUMNS, lambda row: row.claim, parent=self)
        self.table = self._table()
        for name in HIDDEN_AT_FIRST:
            self.table.setColumnHidden(self._model.column_number(name), True)
        self._memory = ColumnMemory(self.table, settings, "register")
        self._empty = EmptyState(
            said(
                "No claims yet. Open a claim at pickup, before anything is lost; or look "
                "at an invented one first."
            ),
            said("New claim"),
            said("Open the demo"),
        )
        self._empty.acted.connect(self._new_empty)
        self._empty.second_acted.connect(self._new_demo)
        self._nothing_found = EmptyState(
            said("No claim has all these words and passes all these filters."),
            said("Show all claims"),
        )
        self._nothing_found.acted.connect(self.show_all)
        self._stack = QStackedWidget()
        for one in (self.table, self._empty, self._nothing_found):
            self._stack.addWidget(one)
        column.addWidget(self._stack, 1)
        column.addWidget(Separator())
        column.addWidget(self._sums())
        self._show_state()

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        row.setSpacing(GRID)
        row.addWidget(Label(said("Register"), TypeSize.LARGE, bold=True))
        row.addSpacing(GRID * 2)
        self.search = QLineEdit()
        self.search.setObjectName("search")
        self.search.setPlaceholderText(said("Search all columns"))
        self.search.setAccessibleName(said("Search claims"))
        self.search.setClearButtonEnabled(True)
        self.search.setMaximumWidth(GRID * 45)
        self.search.textChanged.connect(self._narrow)
        row.addWidget(self.search, 1)
        self.views = ViewsButton()
        self.views.chosen.connect(self._on_view)
        self.views.keep_wanted.connect(self._on_keep_view)
        self.views.remove_wanted.connect(self.view_removed)
        row.addWidget(self.views)
        row.addStretch(1)
        self.page_buttons: dict[str, QPushButton] = {}
        for name, text in (("policies", said("Policies")), ("report", said("Report"))):
            button = QPushButton(text)
            button.setObjectName(name)
            button.clicked.connect(self._on_page_button)
            row.addWidget(button)
            self.page_buttons[name] = button
        self.new_button = primary_button(said("New claim"))
        self.new_button.setMenu(self._new_menu())
        row.addWidget(self.new_button)
        return row

    def _filter_row(self) -> QWidget:
        self.filters = RegisterFilters()
        self.filters.setContentsMargins(GRID * 2, 0, GRID * 2, GRID * 2)
        self.filters.changed.connect(self._narrow)
        self.filters.clear_button.clicked.connect(self.show_all)
        return self.filters

    def _new_menu(self) -> QMenu:
        menu = QMenu(self)
        self.new_actions: dict[str, QAction] = {}
        for kind, text, icon_name in (
            ("empty", said("&Empty claim…"), "add"),
            ("spreadsheet", said("From a kit list in a &spreadsheet…"), "kit"),
            ("claim_file", said("From a claim &file or bundle…"), "open"),
            ("demo", said("Open a &demo claim"), "light"),
        ):
            action = QAction(text, menu)
            action.setData(kind)
            keep_icon(action, icon_name)
            action.triggered.connect(self._on_new)
            menu.addAction(action)
            self.new_actions[kind] = action
        return menu

    def _table(self) -> TableView:
        table = TableView(said("Claims"), self)
        table.setModel(self._model)
        table.setSortingEnabled(True)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        table.opened.connect(self._on_opened)
        table.remove_wanted.connect(self.remove_wanted)
        table.selectionModel().selectionChanged.connect(self._show_sums)
        head = table.horizontalHeader()
        head.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        head.customContextMenuRequested.connect(self._choose_columns)
        for text, slot in (
            (said("Open"), self._open_selected),
            (said("Write as a claim file…"), self._export_selected),
            (said("Deadlines as a calendar file…"), self._calendar_of_selected),
            (said("Remove for good…"), self._remove_selected),
        ):
            action = QAction(text, table)
            action.triggered.connect(slot)
            table.addAction(action)
        return table

    def _sums(self) -> QWidget:
        ground = Tinted("window")
        row = QHBoxLayout(ground)
        row.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        row.setSpacing(GRID * 6)
        self._which = Label("", muted=True)
        row.addWidget(self._which, 0, Qt.AlignmentFlag.AlignBottom)
        row.addStretch(1)
        self.figures = {
            name: Figure(caption)
            for name, caption in (
                ("asked", said("Asked")),
                ("disputed", said("Disputed")),
                ("settled", said("Settled")),
            )
        }
        for figure in self.figures.values():
            row.addWidget(figure)
        return ground

    # --- what is shown --------------------------------------------------------------

    def show_claims(self, rows: Sequence[ClaimSummary]) -> None:
        """Show these claims; selection and order stay."""
        self._rows = tuple(rows)
        self.filters.offer(self._rows)
        self._model.set_rows(self._rows)
        self._show_state()
        self._show_sums()

    def select(self, claim: str) -> None:
        """Put the cursor on a claim."""
        self.table.go_to_row(claim)

    def selected(self) -> list[ClaimSummary]:
        """Return the selected claims."""
        rows: list[ClaimSummary] = self.table.selected_rows()
        return rows

    def rows(self) -> Sequence[ClaimSummary]:
        """Return all claims, whether they are shown or not."""
        return self._rows

    def shown(self) -> Sequence[ClaimSummary]:
        """Return the claims as they are filtered and ordered now."""
        return self._model.rows

    def show_views(self, views: Mapping[str, RegisterView]) -> None:
        """Offer the views that are kept in the library."""
        self._views = dict(views)
        self.views.offer(self._views)

    def view(self) -> RegisterView:
        """Return search, filters and order as they are now."""
        head = self.table.horizontalHeader()
        column = head.sortIndicatorSection()
        is_sorted = 0 <= column < len(REGISTER_COLUMNS)
        return self.filters.view(
            self.search.text().strip(),
            REGISTER_COLUMNS[column].name if is_sorted else "",
            is_sorted and head.sortIndicatorOrder() == Qt.SortOrder.DescendingOrder,
        )

    def show_view(self, view: RegisterView) -> None:
        """Narrow and order the register as a view says."""
        self.search.blockSignals(True)
        self.search.setText(view.search)
        self.search.blockSignals(False)
        self.filters.show_view(view)
        order = Qt.SortOrder.DescendingOrder if view.descending else Qt.SortOrder.AscendingOrder
        names = [one.name for one in REGISTER_COLUMNS]
        self.table.sortByColumn(names.index(view.sort) if view.sort in names else -1, order)
        self._narrow()

    @Slot()
    def show_all(self) -> None:
        """Take every filter and the search away; the order stays."""
        now = self.view()
        self.show_view(RegisterView(sort=now.sort, descending=now.descending))

    @Slot()
    def _narrow(self) -> None:
        view = self.view()
        self._model.narrow(view.search, view.filter(today()))
        self.filters.clear_button.setVisible(view.narrows)
        self._show_state()
        self._show_sums()

    @Slot(str)
    def _on_view(self, name: str) -> None:
        if name in self._views:
            self.show_view(self._views[name])

    @Slot(str)
    def _on_keep_view(self, name: str) -> None:
        self.view_kept.emit(name, self.view())

    @Slot(QPoint)
    def _choose_columns(self, at: QPoint) -> None:
        menu = self.columns_menu()
        menu.exec(self.table.horizontalHeader().mapToGlobal(at))
        menu.deleteLater()

    def columns_menu(self) -> QMenu:
        """Return a menu that shows and hides columns."""
        menu = QMenu(self)
        for number, column in enumerate(REGISTER_COLUMNS):
            action = QAction(column.heading, menu)
            action.setCheckable(True)
            action.setChecked(not self.table.isColumnHidden(number))
            action.setEnabled(number > 0)
            action.setData(number)
            action.triggered.connect(self._on_column)
            menu.addAction(action)
        return menu

    @Slot(bool)
    def _on_column(self, is_shown: bool) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.table.setColumnHidden(int(action.data()), not is_shown)

    def _show_state(self) -> None:
        # Without a claim there is nothing to narrow.
        self.filters.setVisible(bool(self._rows))
        if not self._rows:
            self._stack.setCurrentWidget(self._empty)
        elif not self._model.rows:
            self._stack.setCurrentWidget(self._nothing_found)
        else:
            self._stack.setCurrentWidget(self.table)

    @Slot()
    def _show_sums(self) -> None:
        chosen = self.selected()
        rows = chosen or list(self._model.rows)
        self._which.setText(
            said_of(len(rows), "{count} claim selected", "{count} claims selected")
            if chosen
            else said_of(len(rows), "{count} claim", "{count} claims")
        )
        for name, figure in self.figures.items():
            sums = sums_by_currency(rows, name)
            # Currencies are never added to each other: each stands for itself.
            figure.show_figure(
                "   ".join(
                    f"{amount_text(amount, currency)} {currency}"
                    for currency, amount in sorted(sums.items())
                )
                or "–"
            )

    # --- what is wanted -------------------------------------------------------------

    @Slot()
    def _on_new(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.new_wanted.emit(str(action.data()))

    @Slot()
    def _new_empty(self) -> None:
        self.new_wanted.emit("empty")

    @Slot()
    def _new_demo(self) -> None:
        self.new_wanted.emit("demo")

    @Slot(object)
    def _on_opened(self, row: ClaimSummary | None) -> None:
        if row is not None:
            self.open_wanted.emit(row.claim)

    @Slot()
    def _open_selected(self) -> None:
        rows = self.selected()
        if rows:
            self.open_wanted.emit(rows[0].claim)

    @Slot()
    def _export_selected(self) -> None:
        rows = self.selected()
        if rows:
            self.export_wanted.emit(rows[0])

    @Slot()
    def _calendar_of_selected(self) -> None:
        rows = self.selected()
        if rows:
            self.calendar_wanted.emit(rows)

    @Slot()
    def _on_page_button(self) -> None:
        self.page_wanted.emit(self.sender().objectName())

    @Slot()
    def _remove_selected(self) -> None:
        rows = self.selected()
        if rows:
            self.remove_wanted.emit(rows)

    def remember(self) -> None:
        """Write the columns' widths and order to the settings."""
        self._memory.save()
