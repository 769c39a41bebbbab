"""Invoices as tabs over their charges."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QTabBar, QWidget

from ldapp.claim.charges import Invoice
from ldapp.language import said
from ldapp.local_forms import day_in_digits


class InvoiceTabs(QTabBar):
    """One tab for each invoice: its number and its date."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(said("Invoices"))
        self.setExpanding(False)
        self.setDrawBase(False)

    @property
    def invoice_id(self) -> str | None:
        """The id of the invoice whose tab is chosen."""
        key = self.tabData(self.currentIndex()) if self.count() else None
        return key if isinstance(key, str) else None

    def show_invoices(self, invoices: Sequence[Invoice]) -> None:
        """Show these invoices, without telling anybody; the chosen one stays chosen."""
        wanted = [
            (
                one.id,
                said(
                    "{number}, {day}",
                    number=one.number or said("no number"),
                    day=day_in_digits(one.dated),
                ).replace("&", "&&"),
            )
            for one in invoices
        ]
        present = [(self.tabData(n), self.tabText(n)) for n in range(self.count())]
        self.setVisible(bool(wanted))
        if present == wanted:
            return
        chosen = self.invoice_id
        self.blockSignals(True)
        while self.count():
            self.removeTab(0)
        for key, text in wanted:
            number = self.addTab(text)
            self.setTabData(number, key)
            if key == chosen:
                self.setCurrentIndex(number)
        self.blockSignals(False)

    def choose(self, invoice: str | None) -> None:
        """Choose the tab of an invoice."""
        for number in range(self.count()):
            if self.tabData(number) == invoice:
                self.setCurrentIndex(number)
