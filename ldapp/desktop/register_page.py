"""The register: all claims of the library, searched, filtered, sorted and summed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import get_args

from PySide6.QtCore import QSettings, Qt, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLineEdit,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.desktop.column_memory import ColumnMemory
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.theme import GRID, Role, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import (
    EmptyState,
    Figure,
    Label,
    Separator,
    Tinted,
    primary_button,
)
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text, date_text, money_text, plural

STAGES: tuple[ClaimStage, ...] = get_args(ClaimStage)
STAGE_LABELS: dict[ClaimStage, str] = {
    "preparing": "Preparing",
    "sent": "Sent",
    "answered": "Answered",
    "offered": "Offered",
    "settled": "Settled",
    "paid": "Paid",
    "closed": "Closed",
}
_SOON_DAYS = 7


def _deadline_text(row: ClaimSummary) -> str:
    if row.next_deadline is None:
        return ""
    left = (row.next_deadline - dt.datetime.now().astimezone().date()).days
    title = f", {row.next_deadline_title}" if row.next_deadline_title else ""
    if left > _SOON_DAYS:
        return f"{date_text(row.next_deadline)}{title}"
    when = (
        f"{-left} days over" if left < 0 else "today" if left == 0 else f"in {plural(left, 'day')}"
    )
    return f"! {date_text(row.next_deadline)}, {when}{title}"


def _deadline_role(row: ClaimSummary) -> Role | None:
    text = _deadline_text(row)
    if not text.startswith("!"):
        return None
    return "red" if " over" in text or "today" in text else "amber"


def _money_column(name: str, title: str) -> Column[ClaimSummary]:
    def amount(row: ClaimSummary) -> Decimal | None:
        value: Decimal | None = getattr(row, name)
        return value

    return Column(
        name=name,
        title=title,
        text=lambda row: "" if amount(row) is None else money_text(amount(row), row.currency),
        key=amount,
        right=True,
        width=15,
    )


REGISTER_COLUMNS: tuple[Column[ClaimSummary], ...] = (
    Column(
        name="reference", title="Reference", text=lambda row: row.reference, width=13, bold=True
    ),
    Column(
        name="title",
        title="Production",
        text=lambda row: (
            f"{row.title} (invented)" if row.invented and "invented" not in row.title else row.title
        ),
        width=30,
    ),
    Column(
        name="rental_company",
        title="Rental company",
        text=lambda row: ", ".join(row.rental_companies),
        width=24,
    ),
    Column(
        name="stage",
        title="Stage",
        text=lambda row: STAGE_LABELS[row.stage],
        key=lambda row: STAGES.index(row.stage),
        width=11,
    ),
    Column(
        name="next_deadline",
        title="Next deadline",
        text=_deadline_text,
        key=lambda row: row.next_deadline,
        role=_deadline_role,
        width=24,
    ),
    _money_column("asked", "Asked"),
    _money_column("disputed", "Disputed"),
    _money_column("settled", "Settled"),
    Column(
        name="open_points",
        title="Open points",
        text=lambda row: str(row.open_points) if row.open_points else "",
        key=lambda row: row.open_points,
        right=True,
        width=11,
    ),
)


def sums_by_currency(rows: Iterable[ClaimSummary], name: str) -> dict[str, Decimal]:
    """Add up one amount of the rows, each currency for itself; unknown amounts are left out."""
    sums: dict[str, Decimal] = {}
    for row in rows:
        amount = getattr(row, name)
        if amount is not None:
            sums[row.currency] = sums.get(row.currency, Decimal(0)) + amount
    return sums


class RegisterPage(QWidget):
    """The table of all claims, with what the selection sums to in large figures."""

    open_wanted = Signal(str)
    """A claim's id."""
    new_wanted = Signal(str)
    """How: "empty", "spreadsheet", "claim_file" or "demo"."""
    remove_wanted = Signal(object)
    export_wanted = Signal(object)

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[ClaimSummary, ...] = ()
        self._stage: ClaimStage | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._head())
        column.addWidget(Separator())
        self._model = RowsModel(REGISTER_COLUMNS, lambda row: row.claim, parent=self)
        self.table = self._table()
        self._memory = ColumnMemory(self.table, settings, "register")
        self._empty = EmptyState(
            "No claims yet. Open a claim at pickup, before anything is lost; or look at an "
            "invented one first.",
            "New claim",
            "Open the demo",
        )
        self._empty.acted.connect(self._new_empty)
        self._empty.second_acted.connect(self._new_demo)
        self._nothing_found = EmptyState("No claim has all these words and this stage.")
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
        row.addWidget(Label("Register", TypeSize.LARGE, bold=True))
        row.addSpacing(GRID * 2)
        self.search = QLineEdit()
        self.search.setObjectName("search")
        self.search.setPlaceholderText("Search all columns")
        self.search.setAccessibleName("Search claims")
        self.search.setClearButtonEnabled(True)
        self.search.setMaximumWidth(GRID * 45)
        self.search.textChanged.connect(self._on_search)
        row.addWidget(self.search, 1)
        self.stage_filter = ChoiceField(
            [(None, "All stages"), *((one, STAGE_LABELS[one]) for one in STAGES)]
        )
        self.stage_filter.setAccessibleName("Show only this stage")
        self.stage_filter.committed.connect(self._on_stage)
        row.addWidget(self.stage_filter)
        row.addStretch(1)
        self.new_button = primary_button("New claim")
        self.new_button.setMenu(self._new_menu())
        row.addWidget(self.new_button)
        return row

    def _new_menu(self) -> QMenu:
        menu = QMenu(self)
        self.new_actions: dict[str, QAction] = {}
        for kind, text, icon_name in (
            ("empty", "&Empty claim…", "add"),
            ("spreadsheet", "From a kit list in a &spreadsheet…", "kit"),
            ("claim_file", "From a claim &file or bundle…", "open"),
            ("demo", "Open a &demo claim", "light"),
        ):
            action = QAction(text, menu)
            action.setData(kind)
            keep_icon(action, icon_name)
            action.triggered.connect(self._on_new)
            menu.addAction(action)
            self.new_actions[kind] = action
        return menu

    def _table(self) -> TableView:
        table = TableView("Claims", self)
        table.setModel(self._model)
        table.setSortingEnabled(True)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        table.opened.connect(self._on_opened)
        table.remove_wanted.connect(self.remove_wanted)
        table.selectionModel().selectionChanged.connect(self._show_sums)
        for text, slot in (
            ("Open", self._open_selected),
            ("Write as a claim file…", self._export_selected),
            ("Remove for good…", self._remove_selected),
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
                ("asked", "Asked"),
                ("disputed", "Disputed"),
                ("settled", "Settled"),
            )
        }
        for figure in self.figures.values():
            row.addWidget(figure)
        return ground

    # --- what is shown --------------------------------------------------------------

    def show_claims(self, rows: Sequence[ClaimSummary]) -> None:
        """Show these claims; selection and order stay."""
        self._rows = tuple(rows)
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

    def shown(self) -> Sequence[ClaimSummary]:
        """Return the claims as they are filtered and ordered now."""
        return self._model.rows

    @Slot(str)
    def _on_search(self, text: str) -> None:
        self._model.search(text)
        self._show_state()
        self._show_sums()

    @Slot(object)
    def _on_stage(self, stage: ClaimStage | None) -> None:
        self._stage = stage
        self._model.keep(None if stage is None else self._has_stage)
        self._show_state()
        self._show_sums()

    def _has_stage(self, row: ClaimSummary) -> bool:
        return row.stage == self._stage

    def _show_state(self) -> None:
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
            f"{plural(len(rows), 'claim')} selected" if chosen else f"{plural(len(rows), 'claim')}"
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
    def _remove_selected(self) -> None:
        rows = self.selected()
        if rows:
            self.remove_wanted.emit(rows)

    def remember(self) -> None:
        """Write the columns' widths and order to the settings."""
        self._memory.save()
