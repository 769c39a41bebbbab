"""Offers whose charge was removed: said in a sentence, and mended."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QWidget

from ldapp.casework import sent_papers
from ldapp.casework.after_sending import charge_standings
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label, link_button
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said


def ask_charge(context: ClaimContext, title: str, parent: QWidget) -> tuple[str, str] | None:
    """Ask for one of the charges that stand; return the ids of its invoice and itself."""
    claim = context.claim
    standings = charge_standings(claim, None)
    choices = [
        Choice(
            str(number),
            f"{one.charge.number}  {one.charge.description}",
            f"{one.invoice.number}, {amount_text(one.charge.amount, claim.currency)}",
        )
        for number, one in enumerate(standings)
    ]
    if not choices:
        context.message.emit(said("There is no charge to choose from."))
        return None
    key = RecordChooser.ask(title, choices, parent)
    if key is None:
        return None
    chosen = standings[int(key)]
    return chosen.invoice.id, chosen.charge.id


class GoneOffersStrip(QWidget):
    """One sentence, and the two ways to mend it; in sight only where there is something to mend."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.says = Label("", wrap=True)
        self.says.set_tone("amber")
        self.name_button = link_button(said("Name the charge…"))
        self.take_out = link_button(said("Take out"))
        self.take_out.setAccessibleName(said("Take out offers for charges that are gone"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID * 2)
        row.addWidget(self.says, 1)
        row.addWidget(self.name_button)
        row.addWidget(self.take_out)
        self.name_button.clicked.connect(self._name)
        self.take_out.clicked.connect(self._take_out)
        self.hide()

    def show_claim(self) -> None:
        """Say what is to be mended."""
        claim = self._context.claim
        gone = sent_papers.gone_offers(claim)
        amount = f"{amount_text(sent_papers.sum_of(gone), claim.currency)} {claim.currency}"
        self.says.setText(f"⚠ {sent_papers.gone_offers_say(amount, gone)}" if gone else "")
        self.setVisible(bool(gone))

    @Slot()
    def _name(self) -> None:
        gone = sent_papers.gone_offers(self._context.claim)
        if not gone:
            return
        first = gone[0]
        amount = amount_text(first.offer.amount, self._context.claim.currency)
        chosen = ask_charge(
            self._context, said("For which charge {amount} was offered", amount=amount), self
        )
        if chosen is not None:
            desk = self._context.desk
            self._context.attempt(
                lambda: sent_papers.offer_for_another_charge(desk, first, *chosen)
            )

    @Slot()
    def _take_out(self) -> None:
        self._context.attempt(lambda: sent_papers.take_out_gone_offers(self._context.desk))
