"""Charged lines named in a sentence of a letter, by the numbers that the invoice gives them."""

from __future__ import annotations

from collections.abc import Sequence

from ldapp.dossier.book import AnsweredCharge
from ldapp.dossier.formats import joined, shortened
from ldapp.language import said, said_of

_MOST = 12
"""With more numbers a sentence is no longer read; then their number is said."""


def lines_named(charges: Sequence[AnsweredCharge]) -> str:
    """Write ``line 14``, ``lines 3, 7 and 14``, with invoices where there are several.

    Lines beyond twelve are counted: ``27 lines``. None are ``no line``.
    """
    if not charges:
        return said("no line")
    if len(charges) > _MOST or not all(one.charge.number.strip() for one in charges):
        return said_of(len(charges), "{count} line", "{count} lines")
    by_invoice: dict[str, list[AnsweredCharge]] = {}
    for one in charges:
        by_invoice.setdefault(one.invoice.id, []).append(one)
    parts = []
    for of_one in by_invoice.values():
        numbers = joined([shortened(one.charge.number, 20) for one in of_one])
        says = said_of(len(of_one), "line {numbers}", "lines {numbers}", numbers=numbers)
        if len(by_invoice) > 1:
            invoice = shortened(of_one[0].invoice.number, 40)
            says = said("{lines} of invoice {invoice}", lines=says, invoice=invoice)
        parts.append(says)
    return joined(parts)
