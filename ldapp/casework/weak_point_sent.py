"""Weak points of what came after sending: what names a charge that is gone."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.places import Place
from ldapp.casework.sent_papers import gone_items, gone_offers
from ldapp.casework.weak_point_facts import Facts, WeakPoint


def check_after_sending(facts: Facts) -> Iterator[WeakPoint]:
    """Offers and recovered items whose charge was removed."""
    by_entry: dict[str, int] = {}
    for gone in gone_offers(facts.claim):
        by_entry[gone.entry.id] = by_entry.get(gone.entry.id, 0) + 1
    for entry in facts.claim.correspondence:
        number = by_entry.get(entry.id, 0)
        if number:
            what = "an offer names a charge" if number == 1 else f"{number} offers name charges"
            yield WeakPoint(
                "offer_for_gone_charge",
                "weak",
                Place("charges", "correspondence", entry.id),
                f"“{entry.subject}”: {what} that was removed.",
                "An offer that belongs to no charge is in no sum and in no letter.",
                "Say which charge it is for, or take it out.",
            )
    for item in gone_items(facts.claim):
        line = next((one for one in facts.claim.kit if one.id == item.line), None)
        name = line.description if line is not None else "an item"
        yield WeakPoint(
            "found_for_gone_charge",
            "weak",
            Place("charges", "recovered_item", item.id),
            f"{name} turned up; the charge that it was paid with was removed.",
            "Without the charge no refund can be reckoned.",
            "Name the charge that it was paid with.",
        )
