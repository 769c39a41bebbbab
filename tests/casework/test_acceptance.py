"""Where the company is right: what is owed, who bears it, whether a claim pays."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from ldapp.casework.acceptance import HINT, charge_accepted, invoice_accepted
from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.policy import Deductible
from ldapp.claim.terms import WaiverTerm
from tests.desktop.pages.conftest import page_claim


def test_a_right_charge_says_what_the_policy_would_pay() -> None:
    claim = page_claim()
    reckoning = reckon_claim(claim)
    told = charge_accepted(claim, reckoning, "ch1")
    assert told is not None
    assert told.owed == Decimal("740.00")
    event = next(one for one in reckoning.occurrences if "ch1" in one.charges)
    assert told.says[0] == (
        "Not weighed yet: unless a ground is switched on, 740.00 USD is to be paid as billed."
    )
    assert f"would pay {event.policy:,.2f} USD of {event.loss:,.2f} USD" in told.says[1]
    assert told.says[-1] == HINT


def test_a_deductible_above_the_loss_makes_a_claim_pay_nothing() -> None:
    claim = page_claim()
    assert claim.policy is not None
    terms = dataclasses.replace(
        claim.policy.terms, deductibles=(Deductible(form="flat", amount=Decimal("9000.00")),)
    )
    claim = dataclasses.replace(claim, policy=dataclasses.replace(claim.policy, terms=terms))
    told = charge_accepted(claim, reckon_claim(claim), "ch1")
    assert told is not None
    (said,) = [one for one in told.says if "would pay nothing" in one]
    assert "is within the deductible of 9,000.00 USD" in said
    assert "Hardly worth a claim" in said
    without = dataclasses.replace(claim, policy=None)
    told = charge_accepted(without, reckon_claim(without), "ch1")
    assert told is not None
    assert len(told.says) == 1


def test_an_invoice_says_what_its_waiver_bears() -> None:
    claim = page_claim()
    one = claim.agreements[0]
    waiver = WaiverTerm(taken=True, share_form="flat", share_amount=Decimal("100.00"))
    agreement = dataclasses.replace(one, terms=dataclasses.replace(one.terms, waiver=waiver))
    claim = dataclasses.replace(claim, agreements=(agreement,))
    reckoning = reckon_claim(claim)
    told = invoice_accepted(claim, reckoning, "i1")
    assert told is not None
    assert told.waiver == sum((one.waiver for one in reckoning.charges), Decimal(0))
    assert told.waiver > 0
    assert any("waiver bears" in one for one in told.says)
    assert invoice_accepted(claim, reckoning, "gone") is None


def test_an_invoice_of_several_events_says_each_once_and_the_hint_once() -> None:
    claim = page_claim()
    reckoning = reckon_claim(claim)
    told = invoice_accepted(claim, reckoning, "i1")
    assert told is not None
    concerned = [one for one in reckoning.occurrences if one.charges]
    assert len(concerned) > 1
    assert sum(one.startswith("• ") for one in told.says) == len(concerned)
    assert told.says.count(HINT) == 1
    assert told.says[-1] == HINT
    pays = sum((one.policy for one in concerned), Decimal(0))
    assert any(f"would pay {pays:,.2f} USD in all" in one for one in told.says)
