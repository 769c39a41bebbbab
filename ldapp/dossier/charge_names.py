"""Charged lines named in a sentence of a letter, by the numbers that the invoice gives them."""

from __future__ import annotations

from collections.abc import Sequence

from ldapp.dossier.book import AnsweredCharge
from ldapp.dossier.formats import joined, plural, shortened

_MOST = 12
"""With more numbers a sentence is no longer read; then their number is said."""


def lines_named(charges: Sequence[AnsweredCharge]) -> str:
    """Write ``line 14``, ``lines 3, 7 and 14``, with invoices where there are several.

    Lines beyond twelve are counted: ``27 lines``. None are ``no line``.
    """
    if not charges:
        return "no line"
    if len(charges) > _MOST or not all(one.charge.number.strip() for one in charges):
        return plural(len(charges), "line")
    by_invoice: dict[str, list[AnsweredCharge]] = {}
    for one in charges:
        by_invoice.setdefault(one.invoice.id, []).append(one)
    parts = []
    for of_one in by_invoice.values():
        numbers = joined([shortened(one.charge.number, 20) for one in of_one])
        word = "line" if len(of_one) == 1 else "lines"
        says = f"{word} {numbers}"
        if len(by_invoice) > 1:
            says += f" of invoice {shortened(of_one[0].invoice.number, 40)}"
        parts.append(says)
    return joined(parts)
