"""Figures that a person asks for, and what the reckoning suggests to enter."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

from ldapp.casework import charges
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.reckoning import (
    enter_printed_tax,
    reckon_claim,
    what_if,
    with_strong_grounds_alone,
)
from ldapp.casework.study import study
from ldapp.claim.agreement import Policy
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.policy import Holdback, PolicyTerms
from ldapp.claim.terms import StraightLine, Terms, ValuationRule


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


def test_a_time_limit_is_looked_at_on_the_day_that_is_asked_about(stocked: OpenClaim) -> None:
    claim = stocked.claim
    lost = dt.date(2026, 3, 5)
    kept = dataclasses.replace(
        claim.kit[0], replacement_cost=Decimal(100), acquired=dt.date(2021, 3, 5)
    )
    terms = Terms(valuation=ValuationRule(bases=("replacement_cost",)))
    claim = dataclasses.replace(
        claim,
        agreements=(dataclasses.replace(claim.agreements[0], terms=terms),),
        kit=(kept,),
        occurrences=(Occurrence(id="o", title="Theft", cause="theft", day=lost),),
        findings=(Finding(id="f", line=kept.id, kind="missing", quantity=1, occurrence="o"),),
        policy=Policy(
            id="p",
            insurer="i",
            terms=PolicyTerms(
                holdback=Holdback(proof_within_days=180),
                depreciation=StraightLine(life_months=120),
            ),
        ),
    )
    undated = reckon_claim(claim)
    assert (undated.totals.held_back, undated.as_of) == (Decimal(50), None)
    last_day = lost + dt.timedelta(days=180)
    assert study(claim, last_day).reckoning == dataclasses.replace(undated, as_of=last_day)
    late = last_day + dt.timedelta(days=1)
    after = study(claim, late).reckoning
    assert after is not None
    assert (after.totals.held_back, after.totals.renter) == (Decimal(0), Decimal(50))
    assert with_strong_grounds_alone(claim, as_of=late).totals == after.totals
    assert what_if(claim, as_of=late).totals == after.totals
