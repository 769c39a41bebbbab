"""Weak points of what came after sending: what names a charge that is gone."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.places import Place
from ldapp.casework.sent_papers import gone_items, gone_offers
from ldapp.casework.weak_point_facts import Facts, WeakPoint
from ldapp.language import said, said_of


def check_after_sending(facts: Facts) -> Iterator[WeakPoint]:
    """Offers and recovered items whose charge was removed."""
    by_entry: dict[str, int] = {}
    for gone in gone_offers(facts.claim):
        by_entry[gone.entry.id] = by_entry.get(gone.entry.id, 0) + 1
    for entry in facts.claim.correspondence:
        number = by_entry.get(entry.id, 0)
        if number:
            yield WeakPoint(
                "offer_for_gone_charge",
                "weak",
                Place("charges", "correspondence", entry.id),
                said_of(
                    number,
                    "“{subject}”: an offer names a charge that was removed.",
                    "“{subject}”: {count} offers name charges that were removed.",
                    subject=entry.subject,
                ),
                said("An offer that belongs to no charge is in no sum and in no letter."),
                said("Say which charge it is for, or take it out."),
            )
    for item in gone_items(facts.claim):
        line = next((one for one in facts.claim.kit if one.id == item.line), None)
        name = line.description if line is not None else said("an item")
        yield WeakPoint(
            "found_for_gone_charge",
            "weak",
            Place("charges", "recovered_item", item.id),
            said("{name} turned up; the charge that it was paid with was removed.", name=name),
            said("Without the charge no refund can be reckoned."),
            said("Name the charge that it was paid with."),
        )
