"""How far each charge is settled: offers of both sides, what was agreed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Literal

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from ldapp.casework import after_sending as work
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.after_sending_rows import STANDING_COLUMNS, StandingRow
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text, parse_money
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.local_forms import grouped


class StandingsPanel(QWidget):
    """A row a charge, to type offers and settlements into."""

    found = Signal(str)
    """The id of an item that turned up, just recorded."""

    def __init__(
        self, context: ClaimContext, chosen: Callable[[], str], parent: QWidget | None = None
    ) -> None:
        """``chosen`` tells the entry that new offers go into, where one is chosen."""
        super().__init__(parent)
        self._context = context
        self._chosen = chosen
        self.rows: RowsModel[StandingRow] = RowsModel(
            STANDING_COLUMNS,
            lambda row: (row.one.invoice.id, row.one.charge.id),
            writer=self._write,
            parent=self,
        )
        self.table = TableView(said("Offers and settlements by charge"))
        self.table.setModel(self.rows)
        self.sums = Label("", wrap=True)
        self.settle = QPushButton(said("Se&ttle as they offer"))
        self.settle_owed = QPushButton(said("Settle as o&wed"))
        self.settle_owed.setToolTip(
            said("For charges that are right: as reckoned, disputed parts off")
        )
        self.turned_up = QPushButton(said("T&urned up again"))
        buttons = QWidget()
        row = FlowLayout(buttons, spacing=GRID)
        row.addWidget(self.settle)
        row.addWidget(self.settle_owed)
        row.addWidget(self.turned_up)
        hint = Label(
            said(
                "Type what they offer, what we offer and what was settled; offers go "
                "into the entry that is chosen under “Sent and received”, or into a new "
                "one."
            ),
            muted=True,
            wrap=True,
        )
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(GRID)
        whole.addWidget(buttons)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.sums)
        whole.addWidget(hint)
        self.settle.clicked.connect(self._settle)
        self.settle_owed.clicked.connect(self._settle_owed)
        self.turned_up.clicked.connect(self._turned_up)

    def show_claim(self) -> None:
        """Show the charges as they stand."""
        claim = self._context.claim
        standings = work.charge_standings(claim, self._context.reckoning)
        self.rows.set_rows(StandingRow(one, claim.currency) for one in standings)
        settled = [one.charge.settled for one in standings if one.charge.settled is not None]
        paid = sum(
            (one.paid or Decimal(0) for one in claim.correspondence if one.direction == "sent"),
            Decimal(0),
        )
        self.sums.setText(
            said(
                "Settled {settled} on {number} of {charges} charges   ·   paid {paid} {currency}",
                settled=amount_text(sum(settled, Decimal(0)), claim.currency),
                number=grouped(len(settled)),
                charges=grouped(len(standings)),
                paid=amount_text(paid, claim.currency),
                currency=claim.currency,
            )
        )

    def _write(self, edits: Sequence[CellEdit]) -> bool:
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
        chosen = self._chosen() or None
        made = self._context.attempt(lambda: work.offer_for_charges(desk, way, amounts, chosen))
        return made is not None

    @Slot()
    def _settle(self) -> None:
        rows: list[StandingRow] = self.table.selected_rows()
        amounts = {row.one.charge.id: row.one.theirs for row in rows if row.one.theirs is not None}
        if not amounts:
            self._context.message.emit(
                said("Choose charges for which they have offered an amount, then settle them.")
            )
            return
        self._context.attempt(lambda: work.settle_charges(self._context.desk, amounts))

    @Slot()
    def _settle_owed(self) -> None:
        rows: list[StandingRow] = self.table.selected_rows()
        amounts: dict[str, Decimal | None] = {
            row.one.charge.id: row.one.result.owed for row in rows if row.one.result is not None
        }
        if not amounts:
            self._context.message.emit(said("Choose the charges that are right, then settle them."))
            return
        self._context.attempt(lambda: work.settle_charges(self._context.desk, amounts))

    @Slot()
    def _turned_up(self) -> None:
        row: StandingRow | None = self.table.current_row()
        if row is None:
            self._context.message.emit(said("Choose the charge that was paid for what turned up."))
            return
        invoice, charge = row.one.invoice.id, row.one.charge.id
        context = self._context
        item = context.attempt(lambda: work.new_recovered(context.claim, invoice, charge))
        if item is not None and context.attempt(lambda: work.put_recovered(context.desk, item)):
            self.found.emit(item.id)
