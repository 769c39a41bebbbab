"""Weak points of charges that nobody has weighed: what is not disputed is taken as agreed."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.charges import arithmetic_faults
from ldapp.casework.places import Place
from ldapp.casework.weak_point_facts import Facts, WeakPoint
from ldapp.language import said


def check_answers(facts: Facts) -> Iterator[WeakPoint]:
    """Invoices on which no ground was weighed, and wrong products that nobody answered."""
    claim = facts.claim
    for invoice in claim.invoices:
        if not invoice.charges:
            continue
        answered = any(one.grounds or one.open_until_documented for one in invoice.charges)
        if not answered:
            yield WeakPoint(
                "nothing_weighed",
                "weak" if claim.policy is None else "note",
                Place("charges", "charge", invoice.charges[0].id),
                said(
                    "No ground has been weighed on any charge of invoice {number}: as it "
                    "stands, everything billed is not disputed.",
                    number=invoice.number,
                ),
                said("What an answer does not dispute is easily taken as agreed."),
                said(
                    "Go from charge to charge and switch on the grounds that hold, or switch "
                    "them off."
                ),
            )
        charges = {one.id: one for one in invoice.charges}
        for fault in arithmetic_faults(invoice, claim.currency):
            charge = charges.get(fault.charge or "")
            if charge is None or charge.open_until_documented or charge.unit_price is None:
                continue
            product = charge.quantity * charge.unit_price * (charge.days or 1)
            weighed = any(one.code == "arithmetic" for one in charge.grounds)
            if product < charge.amount and not weighed:
                yield WeakPoint(
                    "wrong_sum_not_answered",
                    "weak",
                    Place("charges", "charge", charge.id),
                    said(
                        "Charge {number} “{description}” does not add up: {says}.",
                        number=charge.number,
                        description=charge.description,
                        says=fault.says,
                    ),
                    said(
                        "A wrong product is the easiest ground to prove, and nobody has weighed it."
                    ),
                    said(
                        "Switch on “does not add up” on that charge, or switch it off if it is "
                        "right."
                    ),
                )
