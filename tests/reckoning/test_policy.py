"""Waiver and policy on occurrences: cover, steps, holdback, aggregate, who bears what."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.documents import Split
from ldapp.claim.findings import Repair
from ldapp.claim.kit import KitLine
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    DeductibleSplit,
    Exclusion,
    Holdback,
    InsuranceToValue,
    ItemLimit,
    OtherInsurance,
    Participation,
    PolicyLimit,
    PolicyPeriod,
    PolicyTerms,
    Sublimit,
)
from ldapp.claim.terms import (
    DepreciationOverride,
    LossOfUse,
    ShareBand,
    Terms,
    ValuationRule,
    WaiverTerm,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import OccurrenceResult, Reckoning
from ldapp.reckoning.workings import defaults_taken
from tests.reckoning.claims import (
    CASH_VALUE,
    REPLACEMENT,
    at,
    charge,
    claim,
    count,
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


def flat(amount: str, **more: Any) -> Deductible:
    return Deductible(form="flat", amount=Decimal(amount), **more)


def paid(losses: list[str], policy: PolicyTerms, **more: Any) -> OccurrenceResult:
    return only_occurrence(loss_claim(losses, policy, **more))


# --- waiver -------------------------------------------------------------------------------


def waiver(**more: Any) -> Terms:
    return Terms(valuation=REPLACEMENT, waiver=WaiverTerm(taken=True, **more))


def two_lines(terms: Terms, **more: Any) -> OccurrenceResult:
    """Two units of 100 on one line and one of 300 on another, in one event."""
    kit = [line("k1", "100", quantity=2, kind="grip"), line("k2", "300", kind="lighting")]
    findings = more.pop("findings", [missing("f1", units=2), missing("f2", "k2")])
    given: dict[str, Any] = {"occurrences": [event()], **more}
    return only_occurrence(claim(kit=kit, findings=findings, terms=terms, **given))


@pytest.mark.parametrize(
    ("more", "borne"),
    [
        ({"share_amount": Decimal(150)}, "350"),
        ({"share_amount": Decimal(50), "per": "line"}, "400"),
        ({"share_amount": Decimal(50), "per": "unit"}, "350"),
        ({"share_form": "percentage_of_loss", "share_rate": Fraction(1, 4)}, "375"),
        ({"share_form": "percentage_of_value", "share_rate": Fraction(1, 10)}, "450"),
        (
            {
                "share_form": "percentage_of_loss",
                "share_rate": Fraction(1, 4),
                "share_minimum": Decimal(200),
            },
            "300",
        ),
        (
            {
                "share_form": "percentage_of_loss",
                "share_rate": Fraction(1, 4),
                "share_maximum": Decimal(20),
            },
            "480",
        ),
        ({"share_amount": Decimal(0), "limit": Decimal(99)}, "99"),
        ({"share_amount": Decimal(900)}, "0"),
        ({"share_amount": Decimal(0), "excluded_categories": ("grip",)}, "300"),
        ({"share_amount": Decimal(0), "excluded_causes": ("theft",)}, "0"),
        ({"share_amount": Decimal(0), "repair_only": True}, "0"),
        (
            {
                "share_form": "bands",
                "per": "line",
                "share_bands": (
                    ShareBand(up_to=Decimal(200), amount=Decimal(20)),
                    ShareBand(up_to=Decimal(250), amount=Decimal(30)),
                ),
            },
            "180",
        ),
        (
            {
                "share_form": "bands",
                "share_bands": (ShareBand(up_to=None, amount=Decimal(20)),),
            },
            "480",
        ),
    ],
)
def test_the_renters_share_of_a_waiver(more: dict[str, Any], borne: str) -> None:
    found = two_lines(waiver(**more))
    assert (found.loss, found.waiver) == (Decimal(500), Decimal(borne))
    assert found.renter == 500 - Decimal(borne)


def test_a_waiver_that_was_not_taken_bears_nothing() -> None:
    terms = Terms(valuation=REPLACEMENT, waiver=WaiverTerm(taken=False))
    assert two_lines(terms).waiver == Decimal(0)


def test_unexplained_losses_are_incidents_of_their_own() -> None:
    findings = [missing("f1", units=2, occurrence=None), missing("f2", "k2", occurrence=None)]
    found = two_lines(waiver(share_amount=Decimal(50)), findings=findings, occurrences=[])
    assert found.waiver == Decimal(400)
    excluded = waiver(share_amount=Decimal(0), excluded_causes=("unexplained",))
    assert two_lines(excluded, findings=findings, occurrences=[]).waiver == Decimal(0)


def test_a_repair_only_waiver_bears_repairs() -> None:
    hurt = damaged(repair=Repair(parts=Decimal(40), document="d"))
    terms = waiver(share_amount=Decimal(10), repair_only=True)
    kit = [line("k1", "100")]
    given: dict[str, Any] = {"kit": kit, "occurrences": [event()], "terms": terms}
    assert only_occurrence(claim(findings=[hurt], **given)).waiver == Decimal(30)
    wreck = damaged(beyond_repair=True)
    assert only_occurrence(claim(findings=[wreck], **given)).waiver == Decimal(0)


def with_use(terms: Terms) -> Reckoning:
    bill = invoice(
        charge("h1", "100", finding="f1", quantity=Decimal(1)),
        charge("h2", "60", finding="f1", kind="loss_of_use", days=Decimal(3)),
    )
    return reckon(
        claim(
            kit=[line("k1", "100")],
            findings=[missing()],
            occurrences=[event()],
            invoices=[bill],
            terms=terms,
        )
    )


def test_a_waiver_covers_loss_of_use_only_where_it_says_so() -> None:
    assert with_use(waiver(share_amount=Decimal(0))).totals.waiver == Decimal(100)
    both = with_use(waiver(share_amount=Decimal(0), covers_loss_of_use=True))
    assert both.totals.waiver == Decimal(160)
    assert [c.waiver for c in both.charges] == [Decimal(100), Decimal(60)]


def test_the_policy_measures_the_loss_after_the_waiver() -> None:
    terms = waiver(share_amount=Decimal(300))
    found = two_lines(terms, policy=PolicyTerms(deductibles=(flat("100"),)))
    assert (found.waiver, found.policy, found.renter) == (
        Decimal(200),
        Decimal(200),
        Decimal(100),
    )


# --- cover --------------------------------------------------------------------------------


def test_no_policy_leaves_all_to_the_renter() -> None:
    found = only_occurrence(loss_claim(["100"]))
    assert (found.cover, found.renter) == ("no_policy", Decimal(100))
    assert [(b.party, b.amount) for b in found.borne_by] == [(None, Decimal(100))]


def test_what_no_occurrence_explains_is_probably_uninsured() -> None:
    of = claim(kit=[line("k1", "100")], findings=[missing(occurrence=None)], policy=PolicyTerms())
    found = reckon(of)
    assert found.unexplained is not None
    assert found.unexplained.cover == "not_covered"
    assert found.unexplained.probably_uninsured
    assert found.unexplained.policy == Decimal(0)
    assert any("police report" in hint for hint in found.unexplained.hints)
    assert reckon(loss_claim(["1"])).unexplained is None


@pytest.mark.parametrize(
    ("exclusion", "says"),
    [
        (Exclusion(cause="theft"), "not_covered"),
        (Exclusion(cause="water"), "covered"),
        (Exclusion(category="other"), "not_covered"),
        (Exclusion(category="lens"), "covered"),
        (Exclusion(cause="theft", category="lens"), "covered"),
        (Exclusion(component="tax"), "covered"),
    ],
)
def test_exclusions(exclusion: Exclusion, says: str) -> None:
    assert paid(["100"], PolicyTerms(exclusions=(exclusion,))).cover == says


def period(first: int, last: int) -> PolicyTerms:
    return PolicyTerms(period=PolicyPeriod(begins=at(first, 0), ends=at(last, 0)))


def test_a_dated_loss_lies_inside_the_period_or_not() -> None:
    assert paid(["100"], period(1, 9)).policy == Decimal(100)
    late = paid(["100"], period(6, 9))
    assert (late.cover, late.policy) == ("not_covered", Decimal(0))
    assert "outside the policy period" in late.reasons[0]


def test_a_policy_ends_early_on_its_last_day() -> None:
    terms = PolicyTerms(
        period=PolicyPeriod(begins=at(1, 0), ends=at(5, 0) + dt.timedelta(minutes=1))
    )
    noon = paid(["100"], terms)
    assert noon.cover == "not_covered"


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [(1, 20, "covered"), (1, 5, "cannot_be_said"), (10, 20, "not_covered"), (1, 2, "not_covered")],
)
def test_a_loss_that_only_a_bracket_dates(first: int, last: int, says: str) -> None:
    counts = [
        count("c1", "pickup", at(3), {"k1": 1}),
        count("c2", "return", at(9), {"k1": 0}),
    ]
    found = paid(["100"], period(first, last), counts=counts, occurrences=[event(day=None)])
    assert found.cover == says
    if says != "covered":
        assert found.policy == Decimal(0)


def test_an_undated_loss_without_counts_cannot_be_said() -> None:
    found = paid(["100"], period(1, 20), occurrences=[event(day=None)])
    assert found.cover == "cannot_be_said"


def test_an_unstated_period_is_said() -> None:
    found = paid(["100"], PolicyTerms())
    assert any("period not stated" in text for text in defaults_taken(found.working))


# --- valuation, exclusion of components ---------------------------------------------------


def test_the_lesser_of_liability_and_the_policys_own_value() -> None:
    terms = PolicyTerms(valuation=CASH_VALUE, depreciation=straight_line(60))
    kit = [line("k1", "100", age_months=30)]
    found = paid(["100"], terms, kit=kit)
    assert (found.loss, found.policy) == (Decimal(100), Decimal(50))
    override = PolicyTerms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        depreciation_overrides=(DepreciationOverride(rule=straight_line(120), line="k1"),),
    )
    assert paid(["100"], override, kit=kit).policy == Decimal(75)


def test_a_policy_without_a_life_cannot_be_computed() -> None:
    found = paid(["100"], PolicyTerms(valuation=CASH_VALUE))
    assert (found.policy, found.renter) == (Decimal(0), Decimal(100))
    assert found.lacking == ("policy: life", "policy: date of acquisition or age")


def test_a_repair_is_insured_as_a_repair() -> None:
    hurt = damaged(repair=Repair(parts=Decimal(40), document="d"))
    terms = PolicyTerms(valuation=REPLACEMENT)
    assert paid(["100"], terms, findings=[hurt]).policy == Decimal(40)


def with_extras(terms: PolicyTerms) -> OccurrenceResult:
    bill = invoice(
        charge("h1", "100", finding="f1", quantity=Decimal(1)),
        charge("h2", "60", finding="f1", kind="loss_of_use", days=Decimal(3)),
        charge("h3", "20", kind="administration"),
        charge("h4", "8", kind="tax"),
    )
    rental = Terms(valuation=REPLACEMENT, loss_of_use=LossOfUse())
    return paid(["100"], terms, invoices=[bill], terms=rental)


def test_loss_of_use_fees_and_tax_belong_to_the_loss() -> None:
    found = with_extras(PolicyTerms())
    assert (found.loss, found.policy) == (Decimal(188), Decimal(188))
    assert set(found.charges) == {"h1", "h2", "h3", "h4"}


@pytest.mark.parametrize(
    ("component", "policy"), [("loss_of_use", "128"), ("fees", "168"), ("tax", "180")]
)
def test_excluded_components(component: Any, policy: str) -> None:
    found = with_extras(PolicyTerms(exclusions=(Exclusion(component=component),)))
    assert (found.loss, found.policy) == (Decimal(188), Decimal(policy))


def test_fees_are_spread_over_the_occurrences_of_their_invoice() -> None:
    bill = invoice(
        charge("h1", "100", finding="f1", quantity=Decimal(1)),
        charge("h2", "200", finding="f2", quantity=Decimal(1)),
        charge("h3", "10", kind="administration"),
        charge("h4", "50", kind="missing"),
    )
    of = claim(
        kit=[line("k1", "100"), line("k2", "200")],
        findings=[missing("f1"), missing("f2", "k2", occurrence="o2")],
        occurrences=[event("o1"), event("o2")],
        invoices=[bill],
    )
    first, second, rest = reckon(of).occurrences
    assert (first.loss, second.loss, rest.loss) == (
        Decimal("102.86"),
        Decimal("205.71"),
        Decimal("51.43"),
    )
    assert rest.occurrence is None
    assert not rest.probably_uninsured
    alone = claim(invoices=[invoice(charge("h3", "10", kind="administration"))])
    (only,) = reckon(alone).occurrences
    assert only.loss == Decimal(10)


def test_a_fee_that_names_its_finding_belongs_to_its_occurrence() -> None:
    bill = invoice(
        charge("h1", "100", finding="f1", quantity=Decimal(1)),
        charge("h3", "10", kind="cleaning", finding="f2"),
    )
    of = claim(
        kit=[line("k1", "100"), line("k2", "200")],
        findings=[missing("f1"), missing("f2", "k2", occurrence="o2")],
        occurrences=[event("o1"), event("o2")],
        invoices=[bill],
    )
    assert [o.loss for o in reckon(of).occurrences] == [Decimal(100), Decimal(210)]


def test_only_the_covered_findings_of_an_occurrence_are_paid() -> None:
    terms = PolicyTerms(exclusions=(Exclusion(category="lens"),), valuation=REPLACEMENT)
    kit = [line("k1", "100"), line("k2", "200", kind="lens"), line("k3", "50")]
    findings = [missing("f1"), missing("f2", "k2"), missing("f3", "k3", units=0)]
    found = paid([], terms, kit=kit, findings=findings)
    assert (found.loss, found.policy) == (Decimal(300), Decimal(100))
    assert found.policy_by_line == (("k1", Decimal(100)), ("k3", Decimal(0)))
    assert found.reasons == ("excluded: lens",)


# --- deductibles, limits ------------------------------------------------------------------


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


# --- aggregate, holdback, other insurance -------------------------------------------------


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


# --- who bears the rest -------------------------------------------------------------------


def test_splits_in_their_order() -> None:
    splits = (
        Split(id="s1", party="student", share_percent=Decimal(50), at_most=Decimal(30)),
        Split(id="s2", party="crew", amount=Decimal(20)),
        Split(id="s3", party="production"),
    )
    found = only_occurrence(loss_claim(["100"], splits=splits))
    assert {b.party: b.amount for b in found.borne_by} == {
        "student": Decimal(30),
        "crew": Decimal(20),
        "production": Decimal(50),
    }
    part = only_occurrence(loss_claim(["100"], splits=splits[:1]))
    assert [(b.party, b.amount) for b in part.borne_by] == [
        ("student", Decimal(30)),
        (None, Decimal(70)),
    ]


def test_a_split_takes_its_percentage_of_what_is_left() -> None:
    splits = (
        Split(id="s1", party="student", share_percent=Decimal(25)),
        Split(id="s2", party="crew", share_percent=Decimal(50)),
        Split(id="s3", party="other", amount=Decimal(500)),
    )
    found = only_occurrence(loss_claim(["100"], splits=splits))
    assert [(b.party, b.amount) for b in found.borne_by] == [
        ("student", Decimal(25)),
        ("crew", Decimal("37.50")),
        ("other", Decimal("37.50")),
    ]


def test_a_split_of_one_occurrence_stands_before_the_general_one() -> None:
    splits = (
        Split(id="s1", party="production"),
        Split(id="s2", party="student", occurrence="o1"),
    )
    found = only_occurrence(loss_claim(["100"], splits=splits))
    assert [(b.party, b.amount) for b in found.borne_by] == [("student", Decimal(100))]


@pytest.mark.parametrize(
    ("split", "first"),
    [
        ({"form": "flat", "amount": Decimal(15)}, "15"),
        ({"form": "share", "rate": Fraction(1, 4)}, "10"),
        ({"form": "flat", "amount": Decimal(99)}, "40"),
        ({"form": "share", "rate": Fraction(1, 4), "minimum": Decimal(12)}, "12"),
    ],
)
def test_the_deductible_is_split_by_its_own_formula(split: dict[str, Any], first: str) -> None:
    terms = PolicyTerms(
        deductibles=(flat("40"),),
        deductible_split=DeductibleSplit(first="student", rest="department", **split),
        limit=PolicyLimit(amount=Decimal(50)),
    )
    found = paid(["100"], terms)
    borne = {b.party: b.amount for b in found.borne_by}
    assert borne["student"] == Decimal(first)
    assert borne["department"] == 40 - Decimal(first)
    assert borne[None] == Decimal(10)


def test_a_small_payment_may_not_be_worth_a_claim() -> None:
    terms = PolicyTerms(deductibles=(flat("90"),), not_worth_claiming_below=Decimal(25))
    found = paid(["100"], terms)
    assert "may not be worth a claim" in found.hints[0]
    assert not paid(["200"], terms).hints


def test_what_cannot_be_computed_is_listed_and_never_nought() -> None:
    found = reckon(claim(kit=[line("k1")], findings=[missing()], occurrences=[event()]))
    assert found.occurrences[0].lacking == ("f1: replacement cost",)
    assert not found.totals.complete
    assert any(o.code == "cannot_compute" for o in found.observations)
