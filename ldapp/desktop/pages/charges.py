"""The Charges page: the rental company's invoices, and our answer to each line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import ClassVar, NamedTuple, cast

from PySide6.QtCore import QByteArray, QModelIndex, Qt, QTimer, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import charges as work
from ldapp.casework.after_sending import now_in
from ldapp.casework.charge_matching import Match, propose_matches
from ldapp.casework.edit import find
from ldapp.casework.places import Page, Place
from ldapp.casework.reckoning import enter_printed_tax
from ldapp.claim.charges import Charge, ChargeKind
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.after_sending import next_deadline_text
from ldapp.desktop.pages.charge_columns import ChargeColumns
from ldapp.desktop.pages.charge_matches import MatchesPanel
from ldapp.desktop.pages.charge_rows import (
    KIND_NAMES,
    SHOWN_ORDER,
    ChargeRow,
    ChargesModel,
    charge_rows,
    edited,
    pasted_charges,
)
from ldapp.desktop.pages.charges_sides import ChargesSides
from ldapp.desktop.pages.first_row import FirstRow
from ldapp.desktop.pages.invoice_foot import InvoiceFoot
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import EmptyState, Label
from ldapp.desktop.widgets.table_model import CellEdit
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_in, said_of
from ldapp.reckoning.proposals import ProposedGround

_KINDS = frozenset(
    {"invoice", "charge", "finding", "kit_line", "agreement", "document", "reckoning", "claim"}
    | {"party", "photo", "count", "correspondence", "recovered_item", "policy"}
)
_SET_KIND = marked("Set the kind of the chosen charges")
_SPLIT_KEY = "charges/split"
_PROPOSE_AFTER_MS = 60


class _Proposals(NamedTuple):
    matches: tuple[Match, ...]
    grounds: tuple[ProposedGround, ...]


class ChargesPage(ChargesSides):
    """Invoices as tabs, their charges as a table, the chosen charge with its grounds beside it."""

    name: ClassVar[Page] = "charges"
    title: ClassVar[str] = marked("Charges")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._grounds: tuple[ProposedGround, ...] = ()
        # Once after several changes, and not before what is seen has been painted.
        self._propose_soon = QTimer(self)
        self._propose_soon.setSingleShot(True)
        self._propose_soon.setInterval(_PROPOSE_AFTER_MS)
        self._propose_soon.timeout.connect(self._propose)
        self.matches = MatchesPanel(context)
        self.model = ChargesModel(self._write, self)
        self.table.setModel(self.model)
        self._first = FirstRow(self.table, self._is_nothing_shown, self._on_row)
        head = self.table.horizontalHeader()
        for place, name in enumerate(SHOWN_ORDER):
            head.moveSection(head.visualIndex(self.model.column_number(name)), place)
        self.columns = ChargeColumns(self.table, context.settings)
        self._hint = Label(said("Choose a charge to weigh its grounds."), muted=True, wrap=True)
        self.foot = InvoiceFoot()
        self.deadline = Label("", TypeSize.SMALL, wrap=True)
        self.deadline.setAccessibleName(said("The next deadline"))
        self.import_file = QPushButton(said("&Import from a file"))
        self.paste = QPushButton(said("&Paste"))
        self.new_invoice = QPushButton(said("&New invoice"))
        self.new_charge = QPushButton(said("A&dd charge"))
        self.about_invoice = QPushButton(said("A&bout the invoice"))
        self.after_sending = QPushButton(said("A&fter sending"))
        self._empty = EmptyState(
            said(
                "The rental company's loss-and-damage invoice belongs here: from a "
                "spreadsheet or PDF, pasted, or entered by hand."
            ),
            said("Import from a file"),
            said("Enter an invoice by hand"),
        )
        self._lay_out()
        self._make_actions()
        self._connect()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(GRID * 2, GRID, GRID * 2, 0)
        head.setSpacing(GRID)
        head.addWidget(self.tabs, 1)
        for button in (
            self.import_file,
            self.paste,
            self.new_invoice,
            self.new_charge,
            self.about_invoice,
            self.after_sending,
        ):
            head.addWidget(button)
        table = QWidget()
        column = QVBoxLayout(table)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        column.setSpacing(GRID)
        column.addWidget(self.table, 1)
        column.addWidget(self.foot)
        column.addWidget(self.deadline)
        left = QSplitter(Qt.Orientation.Vertical)
        left.setChildrenCollapsible(False)
        left.addWidget(self.matches)
        left.addWidget(table)
        left.setStretchFactor(1, 1)
        left.setSizes([180, 460])
        hint = self._hint_page
        column = QVBoxLayout(hint)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.addWidget(self._hint)
        column.addStretch(1)
        for one in (hint, self.panel, self.invoice_form):
            self._right.addWidget(one)
        split = self.split
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(self._right)
        split.setStretchFactor(0, 1)
        kept = self.context.settings.value(_SPLIT_KEY)
        if not (isinstance(kept, QByteArray) and split.restoreState(kept)):
            split.setSizes([660, 320])
        split.splitterMoved.connect(self._keep_split)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(split, 1)
        for shown in (page, self._empty):
            self._stack.addWidget(shown)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)

    @Slot()
    def _keep_split(self) -> None:
        self.context.settings.setValue(_SPLIT_KEY, self.split.saveState())

    def _make_actions(self) -> None:
        for says, icon, key, slot in (
            (marked("Import an invoice from a file"), "import", "", self._ask_file),
            (marked("Paste charges"), "copy", "", self._paste),
            (marked("New invoice by hand"), "add", "", self._new_invoice),
            (marked("Add a charge"), "add", "Ctrl+Return", self._new_charge),
            (_SET_KIND, "check", "Ctrl+Shift+K", self._ask_kind),
            (marked("About the invoice"), "papers", "", self._about),
            (marked("What came after sending"), "mail", "Ctrl+Shift+A", self._show_after),
        ):
            action = self.offer(said(says), icon, key, slot)
            if says == _SET_KIND:
                self.table.addAction(action)
                self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    def _connect(self) -> None:
        self.import_file.clicked.connect(self._ask_file)
        self.paste.clicked.connect(self._paste)
        self.new_invoice.clicked.connect(self._new_invoice)
        self.new_charge.clicked.connect(self._new_charge)
        self.about_invoice.clicked.connect(self._about)
        self.after_sending.clicked.connect(self._show_after)
        self._empty.acted.connect(self._ask_file)
        self._empty.second_acted.connect(self._new_invoice)
        self.tabs.currentChanged.connect(self._on_tab)
        self.table.selectionModel().currentRowChanged.connect(self._on_row)
        self.table.remove_wanted.connect(self._remove)
        self.table.pasted_below.connect(self._add_pasted)
        self.panel.working_asked.connect(self._go_to_working)
        self.foot.tax_wanted.connect(self._enter_tax)
        self.invoice_form.paper_asked.connect(self._ask_paper)

    # --- showing -------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show invoices and charges as they stand."""
        if kinds != EVERYTHING and not kinds & _KINDS:
            return
        self.tabs.show_invoices(self.context.claim.invoices)
        self._show_rows()
        self._show_again()
        if self._after is not None:
            self._after.show_claim()
        if self._stack.currentIndex() < 2:
            self._stack.setCurrentIndex(0 if self.context.claim.invoices else 1)
        self._propose_soon.start()

    @property
    def invoice_id(self) -> str | None:
        """The id of the invoice whose tab is chosen."""
        return self.tabs.invoice_id

    def _show_rows(self) -> None:
        claim, reckoning = self.context.claim, self.context.reckoning
        key = self.invoice_id
        self.model.set_rows(charge_rows(claim, reckoning, key))
        today = now_in(claim).date()
        self.deadline.setText(next_deadline_text(claim, reckoning, today))
        invoice = find(claim.invoices, key)
        for button in (self.paste, self.new_charge, self.about_invoice):
            button.setEnabled(invoice is not None)
        self.foot.setVisible(invoice is not None)
        if invoice is not None:
            self.foot.show_invoice(claim, invoice, reckoning)

    def _show_again(self) -> None:
        shown = self._right.currentWidget()
        if shown is self._paper:
            return
        if shown is self.panel and self.panel.charge is not None:
            key = self.panel.charge.id
            row = next((one for one in self.model.all_rows if one.charge.id == key), None)
            if row is not None:
                self.panel.show_charge(row.charge, self._grounds)
                return
        elif shown is self.invoice_form:
            invoice = find(self.context.claim.invoices, self.invoice_id)
            if invoice is not None:
                self.invoice_form.show_invoice(invoice)
                return
        self._right.setCurrentIndex(0)
        self._first.choose_soon()

    def _is_nothing_shown(self) -> bool:
        return self._right.currentWidget() is self._hint_page

    @Slot()
    def _propose(self) -> None:
        claim, verdicts = self.context.claim, dict(self.context.verdicts)

        def compute(progress: Progress) -> _Proposals:
            del progress
            return _Proposals(propose_matches(claim), work.grounds_worth_weighing(claim, verdicts))

        job = self.context.jobs.run(said("Proposals"), compute, self._on_proposals)
        job.failed.connect(self.context.failed)

    @Slot(object)
    def _on_proposals(self, proposals: _Proposals) -> None:
        self.matches.show_matches(proposals.matches)
        self._grounds = proposals.grounds
        self._show_again()

    @Slot(int)
    def _on_tab(self, number: int) -> None:
        del number
        self._show_rows()
        self._show_again()

    @Slot(QModelIndex, QModelIndex)
    def _on_row(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        row = self.model.row_at(current)
        if row is not None:
            self.panel.show_charge(row.charge, self._grounds)
            if self._paper is None or self._right.currentWidget() is not self._paper:
                self._right.setCurrentWidget(self.panel)

    def shut_down(self) -> None:
        """Propose and choose nothing more; called before the claim is closed."""
        self._propose_soon.stop()
        self._first.stop()
        super().shut_down()

    def show_place(self, place: Place) -> None:
        """Show a charge, an invoice, or what came after sending."""
        claim = self.context.claim
        if place.kind in ("correspondence", "recovered_item"):
            self._show_after()
            self.after.show_place(place)
            return
        if self._after is not None and self._stack.currentWidget() is self._after:
            self._stack.setCurrentIndex(0 if claim.invoices else 1)
        if place.kind == "charge":
            invoice = next((one.id for one in claim.invoices if find(one.charges, place.key)), None)
            self.tabs.choose(invoice)
            self.table.go_to_row(place.key)
            self.table.setFocus()
        elif place.kind == "invoice":
            self.tabs.choose(place.key)
            self._about()

    @Slot(str)
    def _go_to_working(self, charge: str) -> None:
        self.context.go_to.emit(Place("reckoning", "charge", charge))

    # --- changing ------------------------------------------------------------------------

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        changed: dict[str, Charge] = {}
        try:
            for edit in edits:
                row: ChargeRow = edit.row
                known = changed.get(row.charge.id, row.charge)
                changed[row.charge.id] = edited(edit._replace(row=row._replace(charge=known)))
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        label = said_of(len(changed), "Change {count} charge", "Change {count} charges")
        return bool(
            self.context.attempt(
                lambda: work.put_charges(self.context.desk, changed.values(), label)
            )
        )

    @Slot()
    def _new_invoice(self) -> None:
        agreement = self._ask_agreement()
        if agreement is None:
            return
        today = dt.datetime.now().astimezone().date()
        invoice = self.context.attempt(
            lambda: work.add_invoice(
                self.context.desk, agreement, said_in("number of an invoice", "new"), today
            )
        )
        if invoice is not None:
            self.tabs.choose(invoice.id)
            self._about()
            field = self.invoice_form.form.fields["number"]
            field.setFocus()

    @Slot()
    def _new_charge(self) -> None:
        key = self.invoice_id
        if key is None:
            return
        charge = self.context.attempt(lambda: work.add_charge(self.context.desk, key))
        if charge is not None and self.table.go_to_row(
            charge.id, self.model.column_number("description")
        ):
            self.table.edit(self.table.currentIndex())

    @Slot()
    def _ask_kind(self) -> None:
        ids = [row.charge.id for row in self.table.selected_rows()]
        if not ids:
            self.context.message.emit(said("Choose the charges in the table first."))
            return
        choices = [Choice(kind, said(name)) for kind, name in KIND_NAMES.items()]
        kind = RecordChooser.ask(
            said_of(len(ids), "Kind of {count} charge", "Kind of {count} charges"), choices, self
        )
        if kind is not None:
            self.context.attempt(
                lambda: work.set_kind(self.context.desk, ids, cast("ChargeKind", kind))
            )

    @Slot(str)
    def _enter_tax(self, invoice: str) -> None:
        self.context.attempt(lambda: enter_printed_tax(self.context.desk, invoice))
        self.table.setFocus()

    @Slot()
    def _about(self) -> None:
        invoice = find(self.context.claim.invoices, self.invoice_id)
        if invoice is not None:
            self.invoice_form.show_invoice(invoice)
            self._right.setCurrentWidget(self.invoice_form)

    @Slot()
    def _paste(self) -> None:
        text = QGuiApplication.clipboard().text()
        table = [line.split("\t") for line in text.splitlines() if line.strip()]
        if not table:
            self.context.message.emit(
                said(
                    "There is no table on the clipboard. Copy rows of description, units, "
                    "price and amount first."
                )
            )
            return
        self._add_pasted(table)

    @Slot(object)
    def _add_pasted(self, table: list[list[str]]) -> None:
        claim, key = self.context.claim, self.invoice_id
        invoice = find(claim.invoices, key)
        if invoice is None:
            return
        numbers = [int(one.number) for one in invoice.charges if one.number.isdecimal()]
        first = max(numbers, default=0) + 1

        def add() -> bool:
            charges = pasted_charges(table, claim.currency, first)
            return work.add_charges(self.context.desk, invoice.id, charges)

        self.context.attempt(add)

    @Slot(object)
    def _remove(self, rows: list[ChargeRow]) -> None:
        ids = [row.charge.id for row in rows]
        if ids:
            self.context.attempt(lambda: work.remove_charges(self.context.desk, ids))
