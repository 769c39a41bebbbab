"""What a paper does not state is a weak point that leads to the very sentence."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.parties import Party
from ldapp.claim.policy import ItemLimit, OtherInsurance, PolicyLimit, PolicyTerms
from ldapp.claim.terms import Provision, Salvage, Terms, ValuationRule
from ldapp.reckoning.defaults import TERM_WORDS, unstated_terms
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import REPLACEMENT, loss_claim
from tests.reckoning.insured import flat

TODAY = dt.date(2026, 11, 25)


def points(claim: Claim) -> list[WeakPoint]:
    found = find_weak_points(claim, reckon(claim), {}, TODAY)
    return [one for one in found if one.code in ("not_stated", "terms_not_stated")]


def with_terms(claim: Claim, terms: Terms) -> Claim:
    agreement = dataclasses.replace(claim.agreements[0], terms=terms)
    return dataclasses.replace(claim, agreements=(agreement,))


def test_terms_that_nothing_rests_on_are_one_point_a_paper() -> None:
    claim = with_terms(loss_claim(["100"]), Terms(valuation=REPLACEMENT))
    (one,) = [point for point in points(claim) if point.code == "terms_not_stated"]
    assert one.gravity == "note"
    assert one.place.kind == "agreement"
    assert one.place.field == "custody_start"
    assert "terms not stated: when risk begins" in one.says
    stated = Terms(
        valuation=REPLACEMENT,
        salvage=Salvage(kept_by="lessor"),
        betterment=Provision(applies=False),
    )
    before = len(unstated_terms(claim))
    assert len(unstated_terms(with_terms(claim, stated))) == before - 2


def test_a_default_that_amounts_rest_on_leads_to_its_sentence() -> None:
    policy = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(1000)),
        deductibles=(flat("10"),),
        item_limits=(ItemLimit(amount=Decimal(90), category="x"),),
        other_insurance=(OtherInsurance(insurer="Other", limit=Decimal(50)),),
    )
    found = points(loss_claim(["100"], policy=policy))
    fields = {one.place.field for one in found if one.code == "not_stated"}
    assert "period" in fields
    assert {one.place.kind for one in found if one.place.field == "period"} == {"policy"}
    assert {"limit_form", "valuation_date"} <= fields


def test_a_life_without_which_nothing_is_computed_is_weak() -> None:
    claim = with_terms(
        loss_claim(["100"]), Terms(valuation=ValuationRule(bases=("actual_cash_value",)))
    )
    weak = [one for one in points(claim) if one.gravity == "weak"]
    assert [one.place.field for one in weak] == ["depreciation"]
    assert "cannot be computed" in weak[0].why


def test_every_term_that_may_be_unstated_has_its_words() -> None:
    empty = with_terms(loss_claim(["1"], policy=PolicyTerms()), Terms())
    silent = with_terms(empty, Terms(valuation=ValuationRule(bases=("actual_cash_value",))))
    for claim in (empty, silent):
        assert {one.term for one in unstated_terms(claim)} <= TERM_WORDS.keys()


def test_an_agreement_without_a_reference_is_called_by_whom_it_is_with() -> None:
    claim = with_terms(loss_claim(["100"]), Terms(valuation=REPLACEMENT))
    agreement = dataclasses.replace(claim.agreements[0], reference="", lessor="rental")
    lessor = Party(id="rental", name="Invented Rental", role="rental_company")
    claim = dataclasses.replace(claim, agreements=(agreement,), parties=(lessor,))
    (one,) = [point for point in points(claim) if point.code == "terms_not_stated"]
    assert one.says.startswith("Agreement with Invented Rental leaves")
