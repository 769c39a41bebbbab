"""A sentence without its figure is named; two sentences on the same thing are refused."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from itertools import permutations
from typing import Any

import pytest

from ldapp.claim.kit import DatedPrice
from ldapp.claim.policy import Deductible, InsuranceToValue, PolicyTerms
from ldapp.claim.terms import (
    DepreciationOverride,
    FeeRule,
    PairOrSet,
    RepairDecision,
    ShareBand,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationDate,
    ValuationOverride,
    ValuationRule,
    WaiverTerm,
)
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.defaults import TERM_WORDS, unstated_in_agreement, unstated_in_policy
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import (
    CASH_VALUE,
    REPLACEMENT,
    charge,
    claim,
    invoice,
    line,
    missing,
    straight_line,
)

SHARE = ValuationRule(bases=("share_of_replacement",))
ONE = Decimal(1)
HALF = Fraction(1, 2)


def only(value: ValuationRule) -> dict[str, Any]:
    return {"valuation": value}


@pytest.mark.parametrize(
    ("open_terms", "closed", "term", "blocks"),
    [
        (
            only(SHARE),
            only(ValuationRule(bases=("share_of_replacement",), share=HALF)),
            "valuation",
            True,
        ),
        (
            {"valuation_overrides": (ValuationOverride(rule=SHARE, line="k1"),)},
            {"valuation_overrides": (ValuationOverride(rule=REPLACEMENT, line="k1"),)},
            "valuation",
            True,
        ),
        (
            {"repair_decision": RepairDecision(rule="threshold")},
            {"repair_decision": RepairDecision(rule="threshold", threshold=HALF)},
            "repair_decision",
            False,
        ),
        (
            {"pair_or_set": PairOrSet(rule="stated_share")},
            {"pair_or_set": PairOrSet(rule="stated_share", share=HALF)},
            "pair_or_set",
            False,
        ),
        (
            {"fees": (FeeRule(kind="cleaning", form="flat"),)},
            {"fees": (FeeRule(kind="cleaning", form="flat", amount=ONE),)},
            "fees",
            False,
        ),
        (
            {"fees": (FeeRule(kind="cleaning", form="percentage", amount=ONE),)},
            {"fees": (FeeRule(kind="cleaning", form="percentage", rate=HALF),)},
            "fees",
            False,
        ),
        (
            {"waiver": WaiverTerm(taken=True)},
            {"waiver": WaiverTerm(taken=False)},
            "waiver",
            False,
        ),
        (
            {"waiver": WaiverTerm(taken=True, share_form="percentage_of_loss", share_amount=ONE)},
            {"waiver": WaiverTerm(taken=True, share_amount=ONE)},
            "waiver",
            False,
        ),
        (
            {"waiver": WaiverTerm(taken=True, share_form="bands")},
            {
                "waiver": WaiverTerm(
                    taken=True,
                    share_form="bands",
                    share_bands=(ShareBand(up_to=None, amount=ONE),),
                )
            },
            "waiver",
            False,
        ),
    ],
)
def test_a_sentence_of_an_agreement_without_its_figure_is_named(
    open_terms: dict[str, Any], closed: dict[str, Any], term: str, blocks: bool
) -> None:
    stated = {"valuation": REPLACEMENT}
    found = unstated_in_agreement(Terms(**{**stated, **open_terms}), "a")
    (left,) = [each for each in found if each.term == term]
    assert (left.paper, left.blocks) == ("a", blocks)
    assert term in TERM_WORDS
    assert left.taken
    assert term not in {e.term for e in unstated_in_agreement(Terms(**{**stated, **closed}))}


@pytest.mark.parametrize(
    ("open_terms", "closed", "term", "blocks"),
    [
        (
            {"deductibles": (Deductible(form="percentage_of_loss", amount=ONE),)},
            {"deductibles": (Deductible(form="percentage_of_loss", rate=HALF),)},
            "deductibles",
            False,
        ),
        (
            {"insurance_to_value": InsuranceToValue(value_at_risk=ONE)},
            {"insurance_to_value": InsuranceToValue(agreed_value=ONE)},
            "insurance_to_value",
            False,
        ),
        (
            {"insurance_to_value": InsuranceToValue()},
            {"insurance_to_value": InsuranceToValue(required_share=HALF)},
            "insurance_to_value",
            False,
        ),
        (
            {"valuation": SHARE},
            {"valuation": ValuationRule(bases=("share_of_replacement",), share=HALF)},
            "valuation",
            True,
        ),
    ],
)
def test_a_sentence_of_a_policy_without_its_figure_is_named(
    open_terms: dict[str, Any], closed: dict[str, Any], term: str, blocks: bool
) -> None:
    found = unstated_in_policy(PolicyTerms(**open_terms), "p")
    (left,) = [each for each in found if each.term == term]
    assert (left.paper, left.blocks) == ("p", blocks)
    assert term in TERM_WORDS
    assert term not in {each.term for each in unstated_in_policy(PolicyTerms(**closed))}


def test_the_same_sentence_left_open_twice_is_named_once() -> None:
    two = PolicyTerms(deductibles=(Deductible(form="flat"), Deductible(form="flat", abroad=True)))
    found = [each.term for each in unstated_in_policy(two)]
    assert found.count("deductibles") == 1


def test_two_sentences_on_the_same_thing_are_refused_each_with_its_place() -> None:
    basis = [ValuationOverride(rule=each, line="k1") for each in (REPLACEMENT, CASH_VALUE)]
    lives = [DepreciationOverride(rule=straight_line(n), category="grip") for n in (1, 2)]
    other = [ValuationOverride(rule=CASH_VALUE, category="grip"), ValuationOverride(rule=SHARE)]
    taxed = [TaxComponentRule(component="parts", taxable=each) for each in (True, False)]
    agreed = Terms(
        valuation_overrides=(*basis, *other, ValuationOverride(rule=SHARE)),
        depreciation_overrides=tuple(lives),
        tax=TaxRule(rates=(HALF,), components=tuple(taxed)),
    )
    bill = invoice(charge("h1", "5", ["arithmetic", "quantity", "arithmetic"]))
    policy = PolicyTerms(depreciation_overrides=tuple(lives))
    of = claim(terms=agreed, policy=policy, kit=[line("k1", "1")], invoices=[bill])
    found = {fault.place: fault.wrong for fault in check_terms(of)}
    assert found == {
        "invoices[0].charges[0].grounds[2].code": "the ground 'arithmetic' stands twice",
        "agreements[0].terms.valuation_overrides[1]": "the basis of value of 'k1' stands twice",
        "agreements[0].terms.depreciation_overrides[1]": "the depreciation of 'grip' stands twice",
        "agreements[0].terms.tax.components[1]": "the tax of 'parts' stands twice",
        "policy.terms.depreciation_overrides[1]": "the depreciation of 'grip' stands twice",
    }


def test_the_narrowest_override_stands_in_whatever_order_they_were_entered() -> None:
    kit = [line("k1", "100", kind="lens", category="Glass", scheduled_value=Decimal(70))]
    heading = ValuationOverride(rule=ValuationRule(bases=("scheduled_value",)), category="Glass")
    kind = ValuationOverride(
        rule=ValuationRule(bases=("share_of_replacement",), share=HALF), category="lens"
    )
    own = ValuationOverride(rule=REPLACEMENT, line="k1")
    for chosen, worth in (([kind, heading, own], 100), ([kind, heading], 70), ([kind], 50)):
        for order in permutations(chosen):
            terms = Terms(valuation=CASH_VALUE, valuation_overrides=tuple(order))
            of = claim(terms=terms, kit=kit, findings=[missing(occurrence=None)])
            assert reckon(of).findings[0].unit_value == worth


def test_of_two_prices_for_one_event_the_one_documented_last_counts() -> None:
    terms = Terms(valuation=REPLACEMENT, valuation_date=ValuationDate(event="delivery"))
    prices = [
        DatedPrice(event="delivery", price=Decimal(80)),
        DatedPrice(event="delivery", price=Decimal(90), dated=dt.date(2026, 3, 2)),
        DatedPrice(event="delivery", price=Decimal(95), dated=dt.date(2026, 3, 2)),
        DatedPrice(event="delivery", price=Decimal(85), dated=dt.date(2026, 3, 1)),
    ]
    for order in permutations(prices):
        kit = [line("k1", "100", prices=tuple(order))]
        of = claim(terms=terms, kit=kit, findings=[missing(occurrence=None)])
        assert reckon(of).findings[0].unit_value == 90
