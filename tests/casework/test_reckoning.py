"""Figures that a person asks for, and what the reckoning suggests to enter."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

from ldapp.casework import charges
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.reckoning import enter_printed_tax, reckon_claim


def test_the_tax_below_the_lines_becomes_a_charge_that_can_be_answered(stocked: OpenClaim) -> None:
    added = charges.add_invoice(
        stocked, stocked.claim.agreements[0].id, "LD-1", dt.date(2026, 3, 9)
    )
    charges.add_charge(stocked, added.id, "Stand", Decimal("50.00"))
    (bill,) = stocked.claim.invoices
    assert not enter_printed_tax(stocked, bill.id)
    charges.put_invoice(
        stocked, dataclasses.replace(bill, tax=Decimal("4.00"), gross=Decimal("54.00"))
    )
    assert reckon_claim(stocked.claim).totals.billed == Decimal(50)
    assert enter_printed_tax(stocked, bill.id)
    tax = stocked.claim.invoices[0].charges[-1]
    assert (tax.kind, tax.amount) == ("tax", Decimal("4.00"))
    found = reckon_claim(stocked.claim)
    assert found.totals.billed == Decimal(54)
    assert found.invoices[0].tax_without_charge is None
    # A second time there is nothing left to enter, and the step can be taken back.
    assert not enter_printed_tax(stocked, bill.id)
    stocked.undo()
    assert len(stocked.claim.invoices[0].charges) == 1
