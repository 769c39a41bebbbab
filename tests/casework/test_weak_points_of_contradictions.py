"""What the insurer and the rental company would be told differently is a grave weak point."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import get_args

import pytest

from ldapp.casework.places import Place
from ldapp.casework.weak_point_reckoning import OBSERVATION_WHY
from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.agreement import Policy
from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import ObservationCode
from tests.reckoning.claims import loss_claim

TODAY = dt.date(2026, 11, 25)


def contradictions(claim: Claim) -> list[WeakPoint]:
    found = find_weak_points(claim, reckon(claim), {}, TODAY)
    return [one for one in found if one.code == "facts_differ"]


def answered(claim: Claim, ground: GroundChoice) -> Claim:
    finding = claim.findings[0]
    charge = Charge(
        id="h1",
        number="1",
        description="One unit, lost",
        kind="missing",
        quantity=Decimal(1),
        amount=Decimal(100),
        line=finding.line,
        finding=finding.id,
        grounds=(ground,),
    )
    paper = claim.agreements[0].id
    bill = Invoice(
        id="i1", agreement=paper, number="7", dated=dt.date(2026, 3, 20), charges=(charge,)
    )
    return dataclasses.replace(claim, invoices=(bill,))


def insured() -> Claim:
    return dataclasses.replace(loss_claim(["100"]), policy=Policy(id="p", insurer="x"))


@pytest.mark.parametrize("on", [True, False])
def test_an_answer_that_denies_what_the_insurer_is_told_leads_to_its_charge(on: bool) -> None:
    ground = GroundChoice(code="returned", quantity=1, on=on)
    found = contradictions(answered(insured(), ground))
    assert [(one.gravity, one.place) for one in found] == (
        [("grave", Place("charges", "charge", "h1"))] if on else []
    )
    assert not on or "the statement of loss claims 1" in found[0].says


def test_causes_that_differ_lead_to_the_finding() -> None:
    claim = insured()
    assert contradictions(claim) == []
    finding = dataclasses.replace(claim.findings[0], cause="water")
    event = dataclasses.replace(claim.occurrences[0], cause="theft")
    claim = dataclasses.replace(claim, findings=(finding,), occurrences=(event,))
    (found,) = contradictions(claim)
    assert (found.gravity, found.place) == ("grave", Place("findings", "finding", finding.id))
    assert "water" in found.says


def test_every_observation_says_why_it_matters_and_what_cures_it() -> None:
    # What is not stated has points of its own, gathered by default.
    assert OBSERVATION_WHY.keys() == set(get_args(ObservationCode)) - {"not_stated"}


def test_a_ground_that_takes_nothing_is_called_by_its_name() -> None:
    claim = answered(insured(), GroundChoice(code="lessors_discount"))
    (point,) = [
        one
        for one in find_weak_points(claim, reckon(claim), {}, TODAY)
        if one.code == "ground_takes_nothing"
    ]
    assert "lessors discount" not in point.says
    assert "lessors_discount" not in point.says
