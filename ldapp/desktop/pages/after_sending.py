"""After sending: what was sent and answered, offers and settlements by charge, what turned up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Literal

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import after_sending as work
from ldapp.claim.documents import CorrespondenceStep, RecoveredItem
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.after_sending_rows import (
    ENTRY_COLUMNS,
    RECOVERED_COLUMNS,
    STANDING_COLUMNS,
    EntryRow,
    RecoveredRow,
    StandingRow,
    edited_item,
    entry_rows,
    recovered_row,
)
from ldapp.desktop.pages.correspondence_form import CorrespondenceForm
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.desktop.widgets.pieces import Label, Section
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text, date_text, parse_money
from ldapp.errors import LdappError

_LOGGED: tuple[tuple[CorrespondenceStep, str], ...] = (
    ("answer_to_charges", "Answer &sent"),
    ("reply", "Reply re&ceived"),
    ("offer", "O&ffer"),
    ("payment", "Pa&yment"),
    ("other", "Somet&hing else"),
)


class AfterSending(QWidget):
    """Entries and the chosen one at the left; charges and what turned up at the right."""

    closed = Signal()

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.agreement: str | None = None
        """Whose rental company new entries are with."""
        self.deadline = Label("", bold=True, wrap=True)
        self.sums = Label("", muted=True, wrap=True)
        self.back = QPushButton("&Back to the charges")
        self.entries: RowsModel[EntryRow] = RowsModel(
            ENTRY_COLUMNS, lambda row: row.entry.id, parent=self
        )
        self.entry_table = TableView("Sent and received")
        self.entry_table.setModel(self.entries)
        self.entry_table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.form = CorrespondenceForm(context)
        self.standings: RowsModel[StandingRow] = RowsModel(
            STANDING_COLUMNS,
            lambda row: (row.one.invoice.id, row.one.charge.id),
            writer=self._write_standings,
            parent=self,
        )
        self.standing_table = TableView("Offers and settlements by charge")
        self.standing_table.setModel(self.standings)
        self.recovered: RowsModel[RecoveredRow] = RowsModel(
            RECOVERED_COLUMNS,
            lambda row: row.one.item.id,
            writer=self._write_recovered,
            parent=self,
        )
        self.recovered_table = TableView("Turned up again")
        self.recovered_table.setModel(self.recovered)
        self.refund_says = Label("", TypeSize.SMALL, muted=True, wrap=True)
        self.settle = QPushButton("Se&ttle as they offer")
        self.turned_up = QPushButton("T&urned up again")
        self.log_buttons: dict[CorrespondenceStep, QPushButton] = {}
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(Label("After sending", TypeSize.LARGE, bold=True))
        head.addSpacing(GRID * 2)
        head.addWidget(self.deadline, 1)
        head.addWidget(self.back)
        log = Section("Sent and received")
        buttons = QWidget()
        row = FlowLayout(buttons)
        for step, says in _LOGGED:
            button = QPushButton(says)
            self.log_buttons[step] = button
            row.addWidget(button)
        log.body.addWidget(buttons)
        self.entry_table.setMinimumHeight(GRID * 20)
        log.body.addWidget(self.entry_table, 1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setAccessibleName("The chosen entry")
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(self.form)
        log.body.addWidget(area, 1)
        log.setContentsMargins(0, 0, GRID, 0)
        charges = Section("By charge")
        charges.add_head(self.settle)
        charges.add_head(self.turned_up)
        charges.body.addWidget(self.standing_table, 1)
        charges.body.addWidget(self.sums)
        found = Section("Turned up again")
        self.recovered_table.setMinimumHeight(GRID * 12)
        found.body.addWidget(self.recovered_table, 1)
        found.body.addWidget(self.refund_says)
        right = QSplitter(Qt.Orientation.Vertical)
        right.setChildrenCollapsible(False)
        right.addWidget(charges)
        right.addWidget(found)
        right.setStretchFactor(0, 1)
        right.setContentsMargins(GRID, 0, 0, 0)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(log)
        split.addWidget(right)
        split.setStretchFactor(1, 1)
        split.setSizes([420, 620])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        whole.addLayout(head)
        whole.addWidget(split, 1)

    def _connect(self) -> None:
        self.back.clicked.connect(self.closed)
        self.log_buttons["answer_to_charges"].clicked.connect(self._log_answer)
        self.log_buttons["reply"].clicked.connect(self._log_reply)
        self.log_buttons["offer"].clicked.connect(self._log_offer)
        self.log_buttons["payment"].clicked.connect(self._log_payment)
        self.log_buttons["other"].clicked.connect(self._log_other)
        self.entry_table.selectionModel().currentRowChanged.connect(self._on_entry)
        self.entry_table.remove_wanted.connect(self._remove_entries)
        self.recovered_table.remove_wanted.connect(self._remove_recovered)
        self.recovered_table.selectionModel().currentRowChanged.connect(self._on_recovered)
        self.settle.clicked.connect(self._settle)
        self.turned_up.clicked.connect(self._turned_up)

    # --- showing -------------------------------------------------------------------------

    def show_claim(self) -> None:
        """Show everything as it stands."""
        claim, reckoning = self._context.claim, self._context.reckoning
        self.entries.set_rows(entry_rows(claim))
        standings = work.charge_standings(claim, reckoning)
        self.standings.set_rows(StandingRow(one, claim.currency) for one in standings)
        self.recovered.set_rows(recovered_row(claim, one) for one in work.recovered_items(claim))
        self.form.show_entry(self.form.key)
        settled = [one.charge.settled for one in standings if one.charge.settled is not None]
        paid = sum(
            (one.paid or Decimal(0) for one in claim.correspondence if one.direction == "sent"),
            Decimal(0),
        )
        self.sums.setText(
            f"Settled {amount_text(sum(settled, Decimal(0)), claim.currency)} on {len(settled)} "
            f"of {len(standings)} charges   ·   paid {amount_text(paid, claim.currency)} "
            f"{claim.currency}"
        )
        today = work.now_in(claim).date()
        coming = work.coming_deadlines(claim, reckoning, today)
        self.deadline.setText(deadline_text(coming, today))
        self._show_refund(self.recovered_table.currentIndex())

    @Slot(QModelIndex, QModelIndex)
    def _on_entry(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        row = self.entries.row_at(current)
        self.form.show_entry(row.entry.id if row is not None else "")

    @Slot(QModelIndex, QModelIndex)
    def _on_recovered(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        self._show_refund(current)

    def _show_refund(self, index: QModelIndex) -> None:
        row = self.recovered.row_at(index)
        if row is None:
            self.refund_says.setText(
                "Choose a charge above and press “Turned up again” when something is found."
            )
            return
        step = row.one.refund
        given = ", ".join(f"{one.name} {one.value}" for one in step.inputs)
        clause = f" (clause {step.clause.reference})" if step.clause is not None else ""
        self.refund_says.setText(f"{step.rule}{clause}" + (f": {given}" if given else ""))

    # --- changing ------------------------------------------------------------------------

    def _log(self, step: CorrespondenceStep) -> None:
        context = self._context
        entry = work.new_entry(context.claim, step, self.agreement)
        if context.attempt(lambda: work.put_entry(context.desk, entry)):
            self.show_claim()
            self.entry_table.go_to_row(entry.id)
            self.form.form.fields["subject"].setFocus()

    @Slot()
    def _log_answer(self) -> None:
        self._log("answer_to_charges")

    @Slot()
    def _log_reply(self) -> None:
        self._log("reply")

    @Slot()
    def _log_offer(self) -> None:
        self._log("offer")

    @Slot()
    def _log_payment(self) -> None:
        self._log("payment")

    @Slot()
    def _log_other(self) -> None:
        self._log("other")

    @Slot(object)
    def _remove_entries(self, rows: list[EntryRow]) -> None:
        ids = [row.entry.id for row in rows]
        if ids:
            self._context.attempt(lambda: work.remove_entries(self._context.desk, ids))

    @Slot(object)
    def _remove_recovered(self, rows: list[RecoveredRow]) -> None:
        ids = [row.one.item.id for row in rows]
        if ids:
            self._context.attempt(lambda: work.remove_recovered(self._context.desk, ids))

    def _write_standings(self, edits: Sequence[CellEdit]) -> bool:
        """Write offers and settlements: one change for each column that was touched."""
        currency = self._context.claim.currency
        typed: dict[str, dict[tuple[str, str], Decimal | None]] = {}
        try:
            for edit in edits:
                row: StandingRow = edit.row
                text = edit.text.strip()
                amount = parse_money(text, currency) if text else None
                key = (row.one.invoice.id, row.one.charge.id)
                typed.setdefault(edit.column, {})[key] = amount
        except LdappError as error:
            self._context.failed.emit(error)
            return False
        return all(self._write_column(column, amounts) for column, amounts in typed.items())

    def _write_column(self, column: str, amounts: Mapping[tuple[str, str], Decimal | None]) -> bool:
        desk = self._context.desk
        if column == "settled":
            settled = {charge: amount for (_, charge), amount in amounts.items()}
            return bool(self._context.attempt(lambda: work.settle_charges(desk, settled)))
        way: Literal["sent", "received"] = "received" if column == "theirs" else "sent"
        chosen = self.form.key or None
        made = self._context.attempt(lambda: work.offer_for_charges(desk, way, amounts, chosen))
        return made is not None

    @Slot()
    def _settle(self) -> None:
        rows: list[StandingRow] = self.standing_table.selected_rows()
        amounts = {row.one.charge.id: row.one.theirs for row in rows if row.one.theirs is not None}
        if not amounts:
            self._context.message.emit(
                "Choose charges for which they have offered an amount, then settle them."
            )
            return
        self._context.attempt(lambda: work.settle_charges(self._context.desk, amounts))

    @Slot()
    def _turned_up(self) -> None:
        row: StandingRow | None = self.standing_table.current_row()
        if row is None:
            self._context.message.emit("Choose the charge that was paid for what turned up.")
            return
        invoice, charge = row.one.invoice.id, row.one.charge.id
        context = self._context
        item = context.attempt(lambda: work.new_recovered(context.claim, invoice, charge))
        if item is not None and context.attempt(lambda: work.put_recovered(context.desk, item)):
            self.show_claim()
            self.recovered_table.go_to_row(item.id, self.recovered.column_number("quantity"))
            self.recovered_table.setFocus()

    def _write_recovered(self, edits: Sequence[CellEdit]) -> bool:
        try:
            changed: dict[str, RecoveredItem] = {}
            for edit in edits:
                row: RecoveredRow = edit.row
                known = changed.get(row.one.item.id, row.one.item)
                changed[row.one.item.id] = edited_item(known, edit)
        except LdappError as error:
            self._context.failed.emit(error)
            return False
        items = tuple(changed.values())
        return bool(self._context.attempt(lambda: work.put_recovered(self._context.desk, *items)))


def deadline_text(coming: Sequence[work.NextDeadline], today: dt.date) -> str:
    """Say what is due next, in how many days, and from whom."""
    if not coming:
        return "No deadline is running."
    first = coming[0]
    days = (first.day - today).days
    when = "today" if days == 0 else "tomorrow" if days == 1 else f"in {days} days"
    mark = "⚠ " if first.ours and days <= 3 else ""
    return f"{mark}Next deadline: {date_text(first.day)}, {when}. {first.says}"
