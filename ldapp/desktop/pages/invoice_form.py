"""The facts of one invoice: number, dates, printed totals, and what does not add up."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from ldapp.casework import charges as work
from ldapp.casework.acceptance import invoice_accepted
from ldapp.casework.edit import find
from ldapp.claim.charges import Invoice
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.pages.said import party_of_agreement
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField, date_field, money_field, text_field
from ldapp.desktop.widgets.pieces import Label, link_button
from ldapp.language import said


class InvoiceForm(QScrollArea):
    """What is printed at the head and the foot of an invoice."""

    paper_asked = Signal(str)
    """The id of the document whose pages are wanted beside the lines."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._invoice: Invoice | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMinimumWidth(GRID * 39)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(said("The invoice"))
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        self.setWidget(body)
        self._title = Label("", TypeSize.LARGE, bold=True, wrap=True)
        column.addWidget(self._title)
        self.faults = Label("", wrap=True)
        self.faults.set_tone("amber")
        self.faults.setAccessibleName(said("What does not add up"))
        column.addWidget(self.faults)
        self.accepting = Label("", wrap=True)
        self.accepting.setAccessibleName(said("What is to be paid, and who bears it"))
        column.addWidget(self.accepting)
        self.form = RecordForm()
        self.form.add_field("agreement", said("&Agreement"), ChoiceField())
        self.form.add_field("number", said("Invoice &number"), text_field(characters=16))
        self.form.add_field("dated", said("&Dated"), date_field())
        self.form.add_field(
            "received", said("&Received"), date_field(), said("Periods may run from it.")
        )
        self.form.add_field("revises", said("Re&places"), ChoiceField())
        for name, label in (
            ("net", said("Net, printed")),
            ("tax", said("Tax, printed")),
            ("gross", said("Total, printed")),
        ):
            self.form.add_field(name, label, money_field(lambda: context.claim.currency))
        self.form.add_field("document", said("The &paper"), ChoiceField())
        self.form.committed.connect(self._on_committed)
        self.form.refused.connect(context.message)
        column.addWidget(self.form)
        self.paper = link_button(said("Show the paper beside the lines"))
        self.paper.clicked.connect(self._on_paper)
        column.addWidget(self.paper)
        self.remove = link_button(said("Remove this invoice with its charges"))
        self.remove.clicked.connect(self._on_remove)
        column.addWidget(self.remove)
        column.addStretch(1)

    def show_invoice(self, invoice: Invoice) -> None:
        """Show one invoice as it stands."""
        self._invoice = invoice
        claim = self._context.claim
        self._title.setText(said("Invoice {number}", number=invoice.number))
        fields = self.form.fields
        cast("ChoiceField", fields["agreement"]).set_choices(
            [(one.id, party_of_agreement(claim, one.id)) for one in claim.agreements]
        )
        cast("ChoiceField", fields["revises"]).set_choices(
            [
                (None, said("no other invoice")),
                *((one.id, one.number) for one in claim.invoices if one.id != invoice.id),
            ]
        )
        cast("ChoiceField", fields["document"]).set_choices(
            [(None, said("not attached")), *((one.id, one.title) for one in claim.documents)]
        )
        self.form.show_values({name: getattr(invoice, name) for name in fields})
        paper = find(claim.documents, invoice.document)
        self.paper.setVisible(paper is not None and paper.name.lower().endswith(".pdf"))
        reckoning = self._context.reckoning
        told = invoice_accepted(claim, reckoning, invoice.id) if reckoning is not None else None
        self.accepting.setText("\n\n".join(told.says) if told is not None else "")
        self.accepting.setVisible(told is not None)
        faults = work.arithmetic_faults(invoice, claim.currency)
        numbers = {charge.id: charge.number for charge in invoice.charges}
        self.faults.setText(
            "\n".join(
                said("⚠ Line {number}: {fault}", number=numbers[one.charge], fault=one.says)
                if one.charge
                else f"⚠ {one.says}"
                for one in faults
            )
        )
        self.faults.setVisible(bool(faults))

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        invoice = self._invoice
        if invoice is None:
            return
        if value is None and name in ("number", "dated", "agreement"):
            self._context.message.emit(said("An invoice needs its number and its date."))
            self.form.show_values({name: getattr(invoice, name)})
            return
        present = find(self._context.claim.invoices, invoice.id) or invoice
        changed = with_fields(present, **{name: value})
        self._context.attempt(lambda: work.put_invoice(self._context.desk, changed))

    @Slot()
    def _on_paper(self) -> None:
        if self._invoice is not None and self._invoice.document is not None:
            self.paper_asked.emit(self._invoice.document)

    @Slot()
    def _on_remove(self) -> None:
        invoice = self._invoice
        if invoice is not None:
            self._context.attempt(lambda: work.remove_invoice(self._context.desk, invoice.id))
