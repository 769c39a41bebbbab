"""What stands beside or in place of the table of charges: imports, papers, what came after."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QFileDialog, QSplitter, QStackedWidget, QWidget

from ldapp.casework.edit import find
from ldapp.casework.invoice_import import add_scanned_invoice
from ldapp.casework.papers import add_agreement
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.after_sending import AfterSending
from ldapp.desktop.pages.ground_panel import ChargePanel
from ldapp.desktop.pages.invoice_form import InvoiceForm
from ldapp.desktop.pages.invoice_import import InvoiceImport
from ldapp.desktop.pages.invoice_tabs import InvoiceTabs
from ldapp.desktop.pages.paper_beside import PaperBeside
from ldapp.desktop.pages.paper_parts.name_dialog import NameDialog
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.pages.said import party_of_agreement
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import said


class ChargesSides(ClaimPage):
    """The parts of the Charges page that come in sight only when they are asked for."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self.tabs = InvoiceTabs()
        self.table = TableView(said("Charges"))
        self.panel = ChargePanel(context)
        self.invoice_form = InvoiceForm(context)
        self._importer: InvoiceImport | None = None
        self._after: AfterSending | None = None
        self._paper: PaperBeside | None = None
        self._hint_page = QWidget()
        self._right = QStackedWidget()
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self._sizes_without_paper: list[int] = []
        self._stack = QStackedWidget()

    @property
    def importer(self) -> InvoiceImport:
        """The invoice from a file, looked at before it is added; made when first wanted."""
        if self._importer is None:
            self._importer = InvoiceImport(self.context)
            self._importer.closed.connect(self._leave_import)
            self._importer.scanned.connect(self._enter_beside)
            self._stack.addWidget(self._importer)
        return self._importer

    @property
    def after(self) -> AfterSending:
        """What came after the answer was sent; made when first wanted."""
        if self._after is None:
            self._after = AfterSending(self.context)
            self._after.closed.connect(self._leave_after)
            self._stack.addWidget(self._after)
        return self._after

    @Slot()
    def _show_after(self) -> None:
        invoice = find(self.context.claim.invoices, self.tabs.invoice_id)
        self.after.agreement = invoice.agreement if invoice is not None else None
        self.after.show_claim()
        self._stack.setCurrentWidget(self.after)
        self.after.entries.table.setFocus()

    @Slot()
    def _leave_after(self) -> None:
        self._stack.setCurrentIndex(0 if self.context.claim.invoices else 1)
        self.table.setFocus()

    @property
    def paper(self) -> PaperBeside:
        """The paper of an invoice beside its lines; made when first wanted."""
        if self._paper is None:
            self._paper = PaperBeside(self.context)
            self._paper.closed.connect(self._close_paper)
            self._right.addWidget(self._paper)
        return self._paper

    @Slot()
    def _close_paper(self) -> None:
        self.split.setStretchFactor(1, 0)
        if self._sizes_without_paper:
            self.split.setSizes(self._sizes_without_paper)
            self._sizes_without_paper = []
        self._right.setCurrentWidget(
            self.panel if self.panel.charge is not None else self._hint_page
        )
        self.table.setFocus()

    @Slot(object, str)
    def _enter_beside(self, path: Path, agreement: str) -> None:
        """Begin an invoice by hand, with the pictures of its pages at the right."""
        today = dt.datetime.now().astimezone().date()
        desk, keeper = self.context.desk, self.context.keeper

        def add(progress: Progress) -> tuple[str, Path]:
            progress(0, 0, path.name)
            return add_scanned_invoice(desk, keeper, path, agreement, today).id, path

        self.context.run(said("Taking in {file}", file=path.name), add, self._on_scanned)

    @Slot(object)
    def _on_scanned(self, outcome: tuple[str, Path]) -> None:
        invoice, path = outcome
        self._stack.setCurrentIndex(0)
        self.refresh(EVERYTHING)
        self.tabs.choose(invoice)
        self._show_paper(
            path,
            said(
                "{file} holds pictures of pages and no text. Enter its lines with “Add "
                "charge” as you read them here; number and date under “About the "
                "invoice”.",
                file=path.name,
            ),
        )

    def _show_paper(self, path: Path, says: str) -> None:
        self.paper.open(path, says)
        if self._right.currentWidget() is not self.paper:
            # A page is to be read: it gets half the width, and half of what is gained later.
            self._sizes_without_paper = self.split.sizes()
            self._right.setCurrentWidget(self.paper)
            self.split.setStretchFactor(1, 1)
            self.split.setSizes([1, 1])

    @Slot(str)
    def _ask_paper(self, document: str) -> None:
        paper = find(self.context.claim.documents, document)
        if paper is not None:
            path = self.context.attempt(lambda: self.context.desk.originals.path_of(paper.sha256))
            if path is not None:
                self._show_paper(path, paper.title)

    def shut_down(self) -> None:
        """Stop drawing pages; called before the claim is closed."""
        if self._paper is not None:
            self._paper.shut_down()

    def _ask_agreement(self) -> str | None:
        agreements = self.context.claim.agreements
        if not agreements:
            # An invoice stands under an agreement: the company's name is enough to begin one.
            name = NameDialog.ask(
                said("Who sent the invoice?"),
                said("&Rental company"),
                [one.name for one in self.context.claim.parties if one.role == "rental_company"],
                self,
            )
            if not name:
                return None
            made = self.context.attempt(partial(add_agreement, self.context.desk, name))
            return made.id if made else None
        if len(agreements) == 1:
            return agreements[0].id
        return RecordChooser.ask(
            said("Under which agreement"),
            [Choice(one.id, party_of_agreement(self.context.claim, one.id)) for one in agreements],
            self,
        )

    @Slot()
    def _ask_file(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self,
            said("Import an invoice"),
            "",
            said("Tables and PDFs (*.csv *.tsv *.txt *.xlsx *.xls *.ods *.pdf);;All files (*)"),
        )
        if name:
            self.take_files([Path(name)])

    def take_files(self, paths: list[Path]) -> None:
        """Look at an invoice that was dropped or chosen, before it is added.

        While what came after sending is in sight, papers belong to the entry chosen there.
        """
        if self._after is not None and self._stack.currentWidget() is self._after:
            self._after.entries.take_files(paths)
            return
        agreement = self._ask_agreement() if paths else None
        if agreement is not None:
            self.importer.open(paths[0], agreement)
            self._stack.setCurrentWidget(self.importer)

    @Slot(str)
    def _leave_import(self, invoice: str) -> None:
        self._stack.setCurrentIndex(0 if self.context.claim.invoices else 1)
        if invoice:
            self.tabs.choose(invoice)
            self.table.setFocus()
