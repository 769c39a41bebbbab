"""Amounts worked out by hand from the rules, where a claim is odd: no price, no loss, ties."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import permutations
from typing import Any

import pytest

from ldapp.claim.charges import GroundChoice
from ldapp.claim.findings import Repair
from ldapp.claim.kit import Part
from ldapp.claim.policy import Deductible, PolicyTerms, Sublimit
from ldapp.claim.terms import (
    LessorsDiscount,
    ShareBand,
    Terms,
    ValuationRule,
    ValueCeiling,
    WaiverTerm,
)
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import (
    CASH_VALUE,
    REPLACEMENT,
    charge,
    claim,
    damaged,
    event,
    invoice,
    line,
    loss_claim,
    missing,
    only_occurrence,
    step_named,
    straight_line,
)
from tests.reckoning.insured import flat, paid

WRECK: dict[str, Any] = {"cause": "drop_or_impact", "beyond_repair": True}
WORN: dict[str, Any] = {"cause": "wear", "beyond_repair": True}


def by_value(**more: Any) -> Deductible:
    return Deductible(form="percentage_of_value", rate=Fraction(1, 10), **more)


def stated(value: str) -> dict[str, Any]:
    worth: dict[str, Any] = {
        "stated_value": Decimal(value),
        "stated_value_reason": "two dealers' offers",
    }
    return {"kit": [line("k1")], "findings": [missing("f1", **worth)]}


def test_a_value_stated_by_hand_is_the_value_of_a_deductible() -> None:
    assert paid([], PolicyTerms(deductibles=(by_value(),)), **stated("2000")).policy == 1800


def test_a_part_says_nothing_of_the_value_of_its_line() -> None:
    kit = [line("k1", parts=(Part(id="arm", description="arm", replacement_cost=Decimal(50)),))]
    found = [missing("f1", part="arm")]
    policy = PolicyTerms(deductibles=(by_value(minimum=Decimal(20)),))
    assert paid([], policy, kit=kit, findings=found).policy == 30


def test_a_minimum_stands_where_the_value_is_not_known() -> None:
    policy = PolicyTerms(deductibles=(by_value(minimum=Decimal(750)),))
    assert paid([], policy, **stated("2000")).policy == 1250


def test_what_costs_nothing_bears_no_deductible_and_takes_no_part_of_a_maximum() -> None:
    kit = [line("k1", "100", quantity=2)]
    found = [damaged("f1", **WRECK), damaged("f2", **WORN)]
    per_unit = PolicyTerms(deductibles=(flat("60", per="unit"),))
    assert paid([], per_unit, kit=kit, findings=found).policy == 40
    kit = [line("k1", "10000"), line("k2", "10000")]
    found = [damaged("f1", **WRECK), damaged("f2", "k2", **WORN)]
    bounded = PolicyTerms(deductibles=(by_value(maximum=Decimal(1000)),))
    assert paid([], bounded, kit=kit, findings=found).policy == 9000


def test_what_costs_nothing_widens_no_limit_for_a_unit() -> None:
    kit = [line("k1", "100", quantity=2)]
    found = [damaged("f1", **WRECK), damaged("f2", **WORN)]
    capped = PolicyTerms(sublimits=(Sublimit(per="unit", amount=Decimal(60)),))
    assert paid([], capped, kit=kit, findings=found).policy == 60


def test_the_order_of_sublimits_changes_no_amount() -> None:
    kit = [
        line("k1", "100", kind="lighting", category="Heads"),
        line("k2", "100", kind="lighting", category="Other"),
        line("k3", "100", kind="grip", category="Heads"),
    ]
    found = [missing(f"f{n}", f"k{n}") for n in (1, 2, 3)]
    caps = [
        Sublimit(per="category", category="Heads", amount=Decimal(150)),
        Sublimit(per="category", category="lighting", amount=Decimal(100)),
    ]
    for order in permutations(caps):
        policy = PolicyTerms(sublimits=tuple(order))
        # The narrower first: 50 + 50 for lighting, and 50 + 100 for heads stay within 150.
        assert paid([], policy, kit=kit, findings=found).policy == 200


@pytest.mark.parametrize(
    ("rules", "pays"),
    [
        # 200 off the sum of 210, or 100 off 150 and off 60: the occurrence's stands.
        ([flat("200"), flat("100", per="line")], 10),
        # 200 either way; 142.86 and 57.14 leave 10, 100 and 100 would leave 50.
        (
            [
                flat("100", per="line"),
                Deductible(form="percentage_of_loss", per="line", rate=Fraction(20, 21)),
            ],
            10,
        ),
    ],
)
def test_the_order_of_deductibles_changes_no_amount(rules: list[Deductible], pays: int) -> None:
    for order in permutations(rules):
        assert paid(["150", "60"], PolicyTerms(deductibles=tuple(order))).policy == pays


def waiver(**more: Any) -> Terms:
    return Terms(valuation=REPLACEMENT, waiver=WaiverTerm(taken=True, **more))


def test_what_costs_nothing_adds_no_share_of_a_waiver() -> None:
    given: dict[str, Any] = {
        "kit": [line("k1", "100", quantity=2)],
        "findings": [damaged("f1", **WRECK), damaged("f2", **WORN)],
        "occurrences": [event()],
    }
    terms = waiver(share_amount=Decimal(60), per="unit")
    assert only_occurrence(claim(terms=terms, **given)).waiver == 40
    terms = waiver(share_form="percentage_of_value", share_rate=Fraction(1, 4))
    assert only_occurrence(claim(terms=terms, **given)).waiver == 75


@pytest.mark.parametrize(
    "share",
    [
        {"share_form": "percentage_of_value", "share_rate": Fraction(1, 10)},
        {"share_form": "bands", "share_bands": (ShareBand(up_to=None, amount=Decimal(5)),)},
    ],
)
def test_a_waiver_by_value_bears_nothing_while_no_value_is_known(share: dict[str, Any]) -> None:
    terms = Terms(waiver=WaiverTerm(taken=True, **share))
    hurt = damaged(cause="drop_or_impact", repair=Repair(parts=Decimal(500), document="bill"))
    found = only_occurrence(
        claim(terms=terms, kit=[line("k1")], findings=[hurt], occurrences=[event()])
    )
    assert (found.loss, found.waiver, found.renter) == (Decimal(500), Decimal(0), Decimal(500))
    assert (
        step_named(found.working, "Renter's share").rule == "of the value, which is not known yet"
    )
    assert found.lacking == ("f1: basis of value",)


def test_a_printed_total_with_more_decimals_is_rounded_before_it_is_compared() -> None:
    bill = invoice(charge("h1", "100", line="k1", finding="f1"), gross=Decimal("99.995"))
    one = loss_claim(["100"], invoices=[bill])
    (found,) = reckon(one).invoices
    assert str(found.difference) == "0.00"
    assert str(reckon(one).totals.to_pay_to_lessors) == "100.00"


HIGH = ("value_basis", "valuation_date", "depreciation", "schedule_exceeded", "lessors_discount")


@pytest.mark.parametrize(
    ("terms", "worth"),
    [
        # The agreement's own basis stands: its other values are no grounds to go below it.
        (Terms(valuation=REPLACEMENT, depreciation=straight_line(60)), "1000"),
        (Terms(valuation=ValuationRule(bases=("scheduled_value",))), "1200"),
        (Terms(valuation=CASH_VALUE, depreciation=straight_line(60)), "500"),
        # 30 % of 1,000 less a tenth: 270; without the ground on the ceiling 900.
        (
            Terms(
                valuation=REPLACEMENT,
                lessors_discount=LessorsDiscount(rate=Fraction(1, 10)),
                ceiling=ValueCeiling(share_of_replacement=Fraction(3, 10)),
            ),
            "270",
        ),
    ],
)
@pytest.mark.parametrize("found", [True, False])
def test_all_price_grounds_together_leave_what_the_agreement_makes_of_it(
    terms: Terms, worth: str, found: bool
) -> None:
    kit = [line("k1", "1000", scheduled_value=Decimal(1200), age_months=30)]
    bill = invoice(charge("h1", "5000", HIGH, line="k1", finding="f1" if found else None))
    findings = [missing("f1")] if found else []
    of = claim(kit=kit, findings=findings, occurrences=[event()], invoices=[bill], terms=terms)
    assert reckon(of).charges[0].owed == Decimal(worth)


def test_the_discount_comes_off_the_ceiling_only_beside_the_ground_on_the_ceiling() -> None:
    terms = Terms(
        valuation=REPLACEMENT,
        lessors_discount=LessorsDiscount(rate=Fraction(1, 10)),
        ceiling=ValueCeiling(share_of_replacement=Fraction(3, 10)),
    )

    def owed(*grounds: str) -> Decimal:
        bill = invoice(charge("h1", "5000", grounds, line="k1", finding="f1"))
        of = claim(
            kit=[line("k1", "1000")],
            findings=[missing("f1")],
            occurrences=[event()],
            invoices=[bill],
            terms=terms,
        )
        return reckon(of).charges[0].owed

    assert owed("schedule_exceeded") == 300
    assert owed("lessors_discount") == 900
    assert owed("schedule_exceeded", "lessors_discount") == 270


def test_a_stated_reading_may_go_below_what_the_agreement_makes_of_it() -> None:
    argued = GroundChoice(code="depreciation", amount=Decimal(400), words="five years old")
    bill = invoice(charge("h1", "5000", [argued], line="k1", finding="f1"))
    one = loss_claim(["1000"], invoices=[bill])
    assert reckon(one).charges[0].owed == 400
