"""What turned up after it was charged, and the refund that it earns."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, Slot
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from ldapp.casework import after_sending as work
from ldapp.casework import sent_papers
from ldapp.claim.documents import RecoveredItem
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.after_sending_gone import ask_charge
from ldapp.desktop.pages.after_sending_rows import (
    RECOVERED_COLUMNS,
    RecoveredRow,
    edited_item,
    recovered_row,
)
from ldapp.desktop.pages.said import first_upper, given_text
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of

_EMPTY = marked(
    "Nothing has turned up yet. When something that was charged is found, choose its charge under "
    "“By charge” and press “Turned up again”."
)


class FoundPanel(QWidget):
    """A row an item, with the working of its refund below."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.rows: RowsModel[RecoveredRow] = RowsModel(
            RECOVERED_COLUMNS, lambda row: row.one.item.id, writer=self._write, parent=self
        )
        self.table = TableView(said("Turned up again"))
        self.table.setModel(self.rows)
        self.name_charge = QPushButton(said("&Name its charge…"))
        self.remove = QPushButton(said("Rem&ove"))
        self.gone = Label("", wrap=True)
        self.gone.set_tone("amber")
        self.refund_says = Label("", muted=True, wrap=True)
        buttons = QWidget()
        row = FlowLayout(buttons, spacing=GRID)
        row.addWidget(self.name_charge)
        row.addWidget(self.remove)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(GRID)
        whole.addWidget(buttons)
        whole.addWidget(self.gone)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.refund_says)
        self.name_charge.clicked.connect(self._name_charge)
        self.remove.clicked.connect(self._remove_chosen)
        self.table.remove_wanted.connect(self._remove)
        self.table.selectionModel().currentRowChanged.connect(self._on_row)

    def show_claim(self) -> None:
        """Show what turned up as it stands."""
        claim = self._context.claim
        self.rows.set_rows(recovered_row(claim, one) for one in work.recovered_items(claim))
        gone = len(sent_papers.gone_items(claim))
        self.gone.setText(
            said_of(
                gone,
                "⚠ {count} of them was paid with a charge that has been removed, so "
                "no refund can be reckoned. Name the charge anew.",
                "⚠ {count} of them were paid with a charge that has been removed, so "
                "no refund can be reckoned. Name the charge anew.",
            )
            if gone
            else ""
        )
        self.gone.setVisible(bool(gone))
        self._show_refund(self.table.currentIndex())

    def show_item(self, key: str) -> None:
        """Choose an item, its units first."""
        self.show_claim()
        self.table.go_to_row(key, self.rows.column_number("quantity"))
        self.table.setFocus()

    @Slot(QModelIndex, QModelIndex)
    def _on_row(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        self._show_refund(current)

    def _show_refund(self, index: QModelIndex) -> None:
        row = self.rows.row_at(index)
        self.name_charge.setEnabled(row is not None)
        self.remove.setEnabled(row is not None)
        if row is None:
            self.refund_says.setText(
                said("Choose an item to read how its refund comes about.")
                if self.rows.rowCount()
                else said(_EMPTY)
            )
            return
        step = row.one.refund
        given = ", ".join(f"{one.name} {given_text(one.value)}" for one in step.inputs)
        rule = first_upper(step.rule)
        if step.clause is not None:
            rule = said("{rule} (clause {clause})", rule=rule, clause=step.clause.reference)
        self.refund_says.setText(f"{rule}: {given}." if given else f"{rule}.")

    def _write(self, edits: Sequence[CellEdit]) -> bool:
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

    @Slot()
    def _name_charge(self) -> None:
        row = self.rows.row_at(self.table.currentIndex())
        if row is None:
            return
        item = row.one.item.id
        chosen = ask_charge(self._context, said("The charge that it was paid with"), self)
        if chosen is not None:
            desk = self._context.desk
            self._context.attempt(lambda: sent_papers.found_for_charge(desk, item, *chosen))

    @Slot()
    def _remove_chosen(self) -> None:
        self._remove(self.table.selected_rows())

    @Slot(object)
    def _remove(self, rows: list[RecoveredRow]) -> None:
        ids = [row.one.item.id for row in rows]
        if ids:
            self._context.attempt(lambda: work.remove_recovered(self._context.desk, ids))
