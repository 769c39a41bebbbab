"""The part of the statement that sets both sides' readings of each charge side by side."""

from __future__ import annotations

from decimal import Decimal

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.desktop.pages.both_readings import ReadingRow, element_rows
from ldapp.desktop.pages.said import money_or_not_yet
from ldapp.desktop.pages.statement_entry import Entry
from ldapp.language import said
from ldapp.reckoning.result import ChargeResult, Reckoning


def readings_entry(claim: Claim, reckoning: Reckoning) -> Entry | None:
    """Return the rental company's reading of each charge and ours, from the same facts."""
    if not reckoning.charges:
        return None
    charges = {charge.id: charge for invoice in claim.invoices for charge in invoice.charges}
    return Entry(
        said("Both readings, charge by charge"),
        said("theirs, ours, and ours on strong grounds alone; what lies between"),
        money_or_not_yet(reckoning.totals.disputed, claim.currency),
        mark="total",
        key=("section", "readings"),
        under=[
            _charge(charges.get(result.charge), result, claim.currency)
            for result in reckoning.charges
        ],
    )


def _charge(charge: Charge | None, result: ChargeResult, currency: str) -> Entry:
    def money(amount: Decimal | None) -> str:
        return money_or_not_yet(amount, currency)

    theirs, ours, strong = money(result.billed), money(result.owed), money(result.strong.owed)
    return Entry(
        f"{charge.number} · {charge.description}" if charge else "",
        said(
            "theirs {theirs} · ours {ours} · ours, strong grounds alone {strong}",
            theirs=theirs,
            ours=ours,
            strong=strong,
        ),
        money(result.disputed),
        key=("charge", result.charge),
        under=[
            Entry(said("Theirs"), said("as billed"), theirs),
            Entry(said("Ours"), said("all grounds that are switched on"), ours),
            Entry(said("Ours, strong grounds alone"), said("what only they take off"), strong),
            *([] if charge is None else _loss_of_use(ReadingRow(charge, result, currency))),
        ],
    )


def _loss_of_use(row: ReadingRow) -> list[Entry]:
    """Return days, rate and caps of a loss of use, theirs and ours on one line each."""
    return [
        Entry(
            one.name,
            said("theirs {theirs} · ours {ours}", theirs=one.theirs, ours=one.ours)
            + "  ≠" * one.differs,
        )
        for one in element_rows(row)
    ]
