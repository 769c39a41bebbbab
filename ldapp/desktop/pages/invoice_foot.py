"""Below the charges of an invoice: what does not add up, its sums, and tax that no line carries."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import charges as work
from ldapp.claim.charges import Invoice
from ldapp.claim.claim import Claim
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said, said_of
from ldapp.reckoning.result import InvoiceResult, Reckoning


class InvoiceFoot(QWidget):
    """One invoice added up; amounts in the claim's currency."""

    tax_wanted = Signal(str)
    """The id of an invoice whose printed tax is to be entered as a charge."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._invoice = ""
        self.faults = Label("", TypeSize.SMALL, wrap=True)
        self.faults.set_tone("amber")
        self.tax = Label("", TypeSize.SMALL, wrap=True)
        self.tax.set_tone("amber")
        self.enter_tax = QPushButton(said("En&ter it as a charge"))
        self.enter_tax.setAccessibleName(said("Enter the printed tax as a charge"))
        self.enter_tax.setToolTip(
            said("It can then be answered like every other line; undo takes it out")
        )
        self.enter_tax.clicked.connect(self._on_enter_tax)
        self._tax_row = QWidget()
        row = QHBoxLayout(self._tax_row)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID)
        row.addWidget(self.tax, 1)
        row.addWidget(self.enter_tax)
        self._tax_row.hide()
        self.sums = Label("", muted=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        for one in (self.faults, self._tax_row, self.sums):
            column.addWidget(one)

    def show_invoice(self, claim: Claim, invoice: Invoice, reckoning: Reckoning | None) -> None:
        """Show an invoice as it stands."""
        self._invoice = invoice.id
        results = reckoning.invoices if reckoning else ()
        result = next((one for one in results if one.invoice == invoice.id), None)
        self.sums.setText("" if result is None else _sums_text(claim, result))
        faults = work.arithmetic_faults(invoice, claim.currency)
        shown = [one.says for one in faults if one.charge is None]
        lines = sum(one.charge is not None for one in faults)
        if lines:
            shown.append(
                said_of(
                    lines, "{count} line marked in the table", "{count} lines marked in the table"
                )
            )
        self.faults.setText(
            said("⚠ Does not add up: {faults}", faults="; ".join(shown)) if shown else ""
        )
        self.faults.setVisible(bool(shown))
        tax = None if result is None or result.replaced_by else result.tax_without_charge
        if tax:
            self.tax.setText(
                said(
                    "⚠ The invoice prints {tax} {currency} of tax below its lines. No line "
                    "carries it, so it is neither owed nor disputed.",
                    tax=amount_text(tax, claim.currency),
                    currency=claim.currency,
                )
            )
        self._tax_row.setVisible(bool(tax))

    @Slot()
    def _on_enter_tax(self) -> None:
        self.tax_wanted.emit(self._invoice)


def _sums_text(claim: Claim, result: InvoiceResult) -> str:
    currency = claim.currency
    billed = amount_text(result.billed, currency)
    if result.printed is not None:
        printed = amount_text(result.printed, currency)
        billed = said("{billed}, printed {printed}", billed=billed, printed=printed)
    return said(
        "Billed {billed}   ·   owed {owed}   ·   disputed {disputed} {currency}",
        billed=billed,
        owed=amount_text(result.owed, currency),
        disputed=amount_text(result.disputed, currency),
        currency=currency,
    )
