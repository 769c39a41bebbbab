"""Deductibles, caps, limits, insurance to value, aggregate, holdback, other insurers."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.kit import KitLine
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    Holdback,
    InsuranceToValue,
    ItemLimit,
    OtherInsurance,
    Participation,
    PolicyLimit,
    PolicyTerms,
    Sublimit,
)
from ldapp.claim.terms import (
    Terms,
    ValuationRule,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.payment_working import limits_not_stated
from ldapp.reckoning.result import OccurrenceResult, Reckoning
from ldapp.reckoning.workings import defaults_taken
from tests.reckoning.claims import (
    CASH_VALUE,
    REPLACEMENT,
    claim,
    event,
    line,
    missing,
    only_occurrence,
    step_named,
    straight_line,
)
from tests.reckoning.insured import flat, paid


def test_the_largest_deductible_that_applies_stands_alone() -> None:
    rules = (
        flat("10"),
        flat("30", causes=("theft",)),
        flat("90", causes=("water",)),
        flat("70", categories=("lens",)),
        flat("80", abroad=True),
    )
    assert paid(["100"], PolicyTerms(deductibles=rules)).deductible == Decimal(30)
    abroad = [event(abroad=True)]
    assert paid(["100"], PolicyTerms(deductibles=rules), occurrences=abroad).policy == Decimal(20)
    by_kind = [line("k1", "100", kind="lens")]
    assert paid(["100"], PolicyTerms(deductibles=rules), kit=by_kind).policy == Decimal(30)


def test_an_unstated_deductible_is_said() -> None:
    found = paid(["100"], PolicyTerms())
    assert any("deductible not stated" in text for text in defaults_taken(found.working))


@pytest.mark.parametrize(
    ("rule", "policy"),
    [
        (flat("50", per="line"), "100"),
        (flat("40", per="unit"), "120"),
        (Deductible(form="percentage_of_loss", rate=Fraction(1, 10)), "180"),
        (Deductible(form="percentage_of_loss", rate=Fraction(1, 10), per="line"), "180"),
        (Deductible(form="percentage_of_loss", rate=Fraction(1, 10), minimum=Decimal(30)), "170"),
        (Deductible(form="percentage_of_loss", rate=Fraction(1, 10), maximum=Decimal(5)), "195"),
        (
            Deductible(
                form="percentage_of_loss",
                rate=Fraction(1, 10),
                per="line",
                minimum=Decimal(30),
                bounds_per="line",
            ),
            "140",
        ),
        (
            Deductible(form="percentage_of_value", rate=Fraction(1, 10), maximum=Decimal(10)),
            "190",
        ),
        (Deductible(form="percentage_of_limit", rate=Fraction(1, 10)), "200"),
        (Deductible(form="percentage_of_loss"), "200"),
        (Deductible(form="flat", per="line"), "200"),
    ],
)
def test_forms_of_a_deductible(rule: Deductible, policy: str) -> None:
    # 150 on one line and 50 on another: what 50 does not use moves nowhere.
    assert paid(["150", "50"], PolicyTerms(deductibles=(rule,))).policy == Decimal(policy)


def test_participation_comes_before_the_caps() -> None:
    terms = PolicyTerms(
        participation=Participation(insured_share=Fraction(1, 2)),
        sublimits=(Sublimit(per="line", category="grip", amount=Decimal(30)),),
    )
    kit = [line("k1", "100", kind="grip"), line("k2", "20", kind="lens")]
    # Half of 100 is capped at 30, half of 20 is 10.
    assert paid([], terms, kit=kit, findings=[missing("f1"), missing("f2", "k2")]).policy == 40


def test_a_percentage_of_separate_limits_stands_by_item() -> None:
    terms = PolicyTerms(
        limit_form="separate_limits",
        item_limits=(ItemLimit(line="k1", amount=Decimal(120)),),
        deductibles=(Deductible(form="percentage_of_limit", rate=Fraction(1, 10)),),
    )
    # 150 − 12 capped at 120; the other item has no limit and so no deductible.
    assert paid(["150", "50"], terms).policy == Decimal(170)


def test_on_equal_totals_the_first_printed_line_bears_the_deductible() -> None:
    terms = PolicyTerms(limit_form="separate_limits", deductibles=(flat("30"),))
    found = paid(["100", "100"], terms)
    assert found.policy_by_line == (("k1", Decimal(70)), ("k2", Decimal(100)))


def test_the_item_that_costs_the_insurer_least_bears_the_deductible() -> None:
    # The second item is far above its limit, so a deductible on it would change nothing.
    terms = PolicyTerms(
        limit_form="separate_limits",
        item_limits=(ItemLimit(line="k1", amount=Decimal(50)),),
        deductibles=(flat("30"),),
    )
    found = paid(["400", "100"], terms)
    assert found.policy_by_line == (("k1", Decimal(50)), ("k2", Decimal(70)))
    together = PolicyTerms(
        limit_form="separate_limits",
        sublimits=(Sublimit(per="category", category="grip", amount=Decimal(60)),),
        deductibles=(flat("30"),),
    )
    kit = [line("k1", "100", kind="grip"), line("k2", "40", kind="lens")]
    # On the first item the category's cap would hide it: 60 and 40; on the second, 60 and 10.
    assert paid(["100", "40"], together, kit=kit).policy == Decimal(70)


def test_a_deductible_above_every_item_still_comes_off_whole() -> None:
    terms = PolicyTerms(limit_form="separate_limits", deductibles=(flat("15"),))
    assert paid(["10", "10"], terms).policy == Decimal(5)
    part = PolicyTerms(
        limit_form="separate_limits",
        deductibles=(flat("15"),),
        participation=Participation(insured_share=Fraction(1, 5)),
    )
    assert paid(["10", "10"], part).policy == Decimal(4)
    assert paid(["4", "5"], terms).policy == Decimal(0)
    # Never above the losses less the deductible: both tries pay 25, so the first item bears it.
    found = paid(["10", "30"], terms)
    assert found.policy_by_line == (("k1", Decimal(0)), ("k2", Decimal(25)))


@pytest.mark.parametrize(
    ("sublimit", "policy"),
    [
        (Sublimit(per="unit", amount=Decimal(60)), "110"),
        (Sublimit(per="line", amount=Decimal(40)), "80"),
        (Sublimit(per="line", category="lens", amount=Decimal(40)), "200"),
        (Sublimit(per="category", category="other", amount=Decimal(90)), "90"),
        (Sublimit(per="category", category="lens", amount=Decimal(90)), "200"),
        (Sublimit(per="cause", cause="theft", amount=Decimal(70)), "70"),
        (Sublimit(per="cause", cause="water", amount=Decimal(70)), "200"),
    ],
)
def test_sublimits_are_caps_after_the_deductible(sublimit: Sublimit, policy: str) -> None:
    found = paid(["150", "50"], PolicyTerms(sublimits=(sublimit,)))
    assert found.policy == Decimal(policy)


def test_a_category_is_capped_before_a_cause() -> None:
    terms = PolicyTerms(
        sublimits=(
            Sublimit(per="cause", cause="theft", amount=Decimal(120)),
            Sublimit(per="category", category="grip", amount=Decimal(50)),
        )
    )
    kit = [line("k1", "100", kind="grip"), line("k2", "100", kind="lens")]
    findings = [missing("f1"), missing("f2", "k2")]
    # 50 and 100 are capped at 120 together; the other way round 110 would be left.
    assert paid([], terms, kit=kit, findings=findings).policy == Decimal(120)


def test_a_unit_sublimit_counts_every_unit_of_the_line() -> None:
    terms = PolicyTerms(sublimits=(Sublimit(per="unit", amount=Decimal(60)),))
    kit = [line("k1", "100", quantity=3)]
    assert paid([], terms, kit=kit, findings=[missing(units=2)]).policy == Decimal(120)


def test_a_sublimit_cuts_nothing_before_the_deductible() -> None:
    terms = PolicyTerms(
        sublimits=(Sublimit(per="line", amount=Decimal(100)),), deductibles=(flat("40"),)
    )
    assert paid(["150"], terms).policy == Decimal(100)


def test_the_limit_comes_after_the_deductible() -> None:
    terms = PolicyTerms(limit=PolicyLimit(amount=Decimal(120)), deductibles=(flat("40"),))
    assert paid(["150"], terms).policy == Decimal(110)
    assert paid(["190"], terms).policy == Decimal(120)


def test_payments_by_line_are_never_above_their_caps() -> None:
    terms = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(100)),
        sublimits=(Sublimit(per="line", category="grip", amount=Decimal(10)),),
    )
    kit = [line("k1", "150", kind="grip"), line("k2", "150", kind="lens")]
    found = paid(["150", "150"], terms, kit=kit)
    assert found.policy == Decimal(100)
    assert dict(found.policy_by_line)["k1"] <= Decimal(10)


def test_insurance_to_value_item_by_item_and_over_the_whole_kit() -> None:
    value = InsuranceToValue(required_share=Fraction(1), blanket=False)
    separate = PolicyTerms(
        limit_form="separate_limits",
        item_limits=(
            ItemLimit(line="k1", amount=Decimal(75)),
            ItemLimit(line="k2", amount=Decimal(75)),
        ),
        insurance_to_value=value,
    )
    # 150 at risk against 75: one half of 150 is 75; 50 is insured in full.
    assert paid(["150", "50"], separate).policy == Decimal(125)
    blanket = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(100)),
        insurance_to_value=InsuranceToValue(required_share=Fraction(1)),
    )
    # The whole kit is worth 200 against a limit of 100.
    assert paid(["150", "50"], blanket).policy == Decimal(100)
    unlimited = PolicyTerms(insurance_to_value=InsuranceToValue(required_share=Fraction(1)))
    assert paid(["150", "50"], unlimited).policy == Decimal(200)


def test_the_value_at_risk_falls_back_on_the_schedule() -> None:
    kit = [
        KitLine(
            id="k1",
            number="1",
            agreement="a",
            description="x",
            quantity=2,
            scheduled_value=Decimal(80),
        )
    ]
    terms = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(80)),
        insurance_to_value=InsuranceToValue(required_share=Fraction(1)),
    )
    rental = Terms(valuation=ValuationRule(bases=("scheduled_value",)))
    found = only_occurrence(
        claim(kit=kit, findings=[missing()], occurrences=[event()], terms=rental, policy=terms)
    )
    assert found.policy == Decimal(40)


def two_events(terms: PolicyTerms, **more: Any) -> Reckoning:
    return reckon(
        claim(
            kit=[line("k1", "100"), line("k2", "100")],
            findings=[missing("f1"), missing("f2", "k2", occurrence="o2")],
            occurrences=[event("o2", dt.date(2026, 3, 9)), event("o1"), event("o3", None)],
            policy=terms,
            **more,
        )
    )


def test_the_aggregate_runs_through_occurrences_in_their_order() -> None:
    found = two_events(
        PolicyTerms(aggregate=Aggregate(amount=Decimal(190))), used_before=Decimal(40)
    )
    assert [(o.occurrence, o.policy, o.aggregate_used) for o in found.occurrences] == [
        ("o1", Decimal(100), Decimal(100)),
        ("o2", Decimal(50), Decimal(50)),
        ("o3", Decimal(0), Decimal(0)),
    ]
    spent = two_events(
        PolicyTerms(aggregate=Aggregate(amount=Decimal(10))), used_before=Decimal(40)
    )
    assert spent.totals.policy == Decimal(0)


def holdback(**more: Any) -> PolicyTerms:
    return PolicyTerms(
        holdback=Holdback(**more.pop("holdback", {})), depreciation=straight_line(60), **more
    )


def held(terms: PolicyTerms, as_of: dt.date | None = None, **finding: Any) -> OccurrenceResult:
    of = claim(
        kit=[line("k1", "100", age_months=30)],
        findings=[missing(**finding)],
        occurrences=[event()],
        policy=terms,
    )
    return reckon(of, as_of=as_of).occurrences[0]


def test_depreciation_is_held_back_until_replacement_is_proved() -> None:
    waiting = held(holdback(deductibles=(flat("10"),)))
    assert (waiting.policy, waiting.held_back, waiting.renter) == (
        Decimal(40),
        Decimal(50),
        Decimal(10),
    )
    assert step_named(waiting.working, "Held back").amount == Decimal(50)
    assert waiting.aggregate_used == Decimal(90)
    by_cash = held(holdback(valuation=CASH_VALUE))
    by_cost = held(holdback(valuation=REPLACEMENT))
    assert (by_cost.policy, by_cost.held_back) == (Decimal(50), Decimal(50))
    assert (by_cash.policy, by_cash.held_back) == (Decimal(50), Decimal(50))


def test_a_first_payment_is_never_reclaimed() -> None:
    cheap = held(holdback(), replaced_for=Decimal(20))
    assert (cheap.policy, cheap.held_back, cheap.renter) == (Decimal(50), Decimal(0), Decimal(50))


def test_after_the_time_for_proof_the_rest_is_the_renters() -> None:
    terms = holdback(holdback={"proof_within_days": 30})
    last_day = dt.date(2026, 4, 4)
    assert held(terms).held_back == Decimal(50)
    assert held(terms, last_day).held_back == Decimal(50)
    late = held(terms, last_day + dt.timedelta(days=1))
    assert (late.held_back, late.renter) == (Decimal(0), Decimal(50))


def test_other_insurers_hold_back_too() -> None:
    terms = holdback(
        other_insurance=(OtherInsurance(insurer="another", limit=Decimal(1000)),),
        other_insurance_shares="equal_shares",
    )
    found = held(terms)
    assert (found.policy, found.other_insurance, found.held_back) == (
        Decimal(25),
        Decimal(25),
        Decimal(50),
    )


def test_the_order_of_other_insurers_changes_no_share() -> None:
    two = tuple(OtherInsurance(insurer=name, limit=Decimal(60)) for name in ("b", "a"))
    terms = PolicyTerms(limit=PolicyLimit(amount=Decimal(60)), other_insurance=two)
    found = paid(["100.01"], terms)
    assert found.policy == Decimal("33.34")
    assert found.other_by_insurer == (("a", Decimal("33.34")), ("b", Decimal("33.33")))


def test_shares_of_insurers_and_the_aggregate() -> None:
    other = (OtherInsurance(insurer="another", limit=Decimal(60)),)
    equal = PolicyTerms(other_insurance=other, aggregate=Aggregate(amount=Decimal(20)))
    found = paid(["100"], equal)
    # Ours pays what is left of the year's, the other up to its own limit.
    assert (found.policy, found.other_insurance) == (Decimal(20), Decimal(60))
    by_limits = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(40)),
        other_insurance=other,
        other_insurance_shares="by_limits",
    )
    shared = paid(["50"], by_limits)
    assert (shared.policy, shared.other_insurance) == (Decimal(20), Decimal(30))
    above_all = paid(["500"], by_limits)
    assert (above_all.policy, above_all.other_insurance) == (Decimal(40), Decimal(60))
    no_limit = PolicyTerms(other_insurance=other, other_insurance_shares="by_limits")
    assert paid(["60"], no_limit).policy == Decimal(30)


def test_limits_that_the_policy_does_not_state_are_named_once_they_matter() -> None:
    bare = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(100)),
        item_limits=(ItemLimit(amount=Decimal(5), line="l1"),),
        other_insurance=(OtherInsurance(insurer="Other", limit=Decimal(10)),),
    )
    says = "; ".join(limits_not_stated(bare))
    assert "form of the limit not stated" in says
    assert "taken as equal shares" in says
    stated = dataclasses.replace(
        bare, limit_form="separate_limits", other_insurance_shares="by_limits"
    )
    assert not list(limits_not_stated(stated))
    assert next(limits_not_stated(PolicyTerms())) == "limit not stated in the policy, taken as none"
