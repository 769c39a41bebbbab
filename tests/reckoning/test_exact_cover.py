"""What a policy covers, what it measures and what it says, compared exactly."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.findings import Repair
from ldapp.claim.parties import Party
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    Exclusion,
    Holdback,
    InsuranceToValue,
    ItemLimit,
    OtherInsurance,
    PolicyLimit,
    PolicyPeriod,
    PolicyTerms,
    Sublimit,
)
from ldapp.claim.terms import Terms
from ldapp.reckoning.counts import count_lines
from ldapp.reckoning.cover import Cover, cover_of
from ldapp.reckoning.findings import reckon_findings
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import OccurrenceResult
from tests.reckoning.claims import (
    CASH_VALUE,
    CLAUSE,
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
from tests.reckoning.insured import flat, paid


def cover(of: Claim) -> Cover:
    index = ClaimIndex(of)
    assert of.policy is not None
    (found,) = reckon_findings(index, count_lines(index)).values()
    return cover_of(index, of.policy, found)


def period(first: int, last: int) -> PolicyTerms:
    return PolicyTerms(period=PolicyPeriod(begins=at(first), ends=at(last)))


@pytest.mark.parametrize(
    ("exclusions", "expected"),
    [
        ((Exclusion(cause="theft"),), "excluded: theft"),
        ((Exclusion(cause="theft", category="other"),), "excluded: theft, other"),
        # What does not fit does not hide what stands behind it.
        ((Exclusion(component="tax"), Exclusion(cause="theft")), "excluded: theft"),
        ((Exclusion(cause="fire"), Exclusion(category="other")), "excluded: other"),
        (
            (Exclusion(cause="theft", category="lens"), Exclusion(category="other")),
            "excluded: other",
        ),
        ((Exclusion(cause="fire"), Exclusion(category="lens"), Exclusion(component="tax")), ""),
    ],
)
def test_the_first_exclusion_that_fits(exclusions: tuple[Exclusion, ...], expected: str) -> None:
    of = loss_claim(["100"], PolicyTerms(exclusions=exclusions))
    assert cover(of) == Cover("not_covered" if expected else "covered", expected)


def test_an_excluded_cause_is_written_in_words() -> None:
    of = loss_claim(
        ["100"],
        PolicyTerms(exclusions=(Exclusion(cause="burn_out"),)),
        occurrences=[event(cause="burn_out")],
    )
    assert cover(of) == Cover("not_covered", "excluded: burn out")


@pytest.mark.parametrize(
    ("first", "last", "covered"), [(5, 9, True), (1, 5, True), (6, 9, False), (1, 4, False)]
)
def test_a_period_holds_its_first_and_its_last_instant(
    first: int, last: int, covered: bool
) -> None:
    # A day without a time is its noon.
    outside = Cover("not_covered", "lost outside the policy period: 2026-03-05 12:00+00:00")
    assert cover(loss_claim(["100"], period(first, last))) == (
        Cover("covered") if covered else outside
    )


CUT = Cover(
    "cannot_be_said",
    "the counts do not show that it was lost inside the policy period; "
    "an occurrence with its day would date it",
)
OUTSIDE = Cover("not_covered", "lost outside the policy period")


@pytest.mark.parametrize(
    ("seen", "first", "last", "expected"),
    [
        (3, 3, 9, Cover("covered")),
        (3, 4, 20, CUT),
        (3, 1, 8, CUT),
        (3, 10, 20, OUTSIDE),
        (3, 1, 2, OUTSIDE),
        (None, 1, 20, CUT),
        (None, 10, 20, OUTSIDE),
    ],
)
def test_a_bracket_lies_inside_outside_or_across(
    seen: int | None, first: int, last: int, expected: Cover
) -> None:
    counts = [count("c2", "return", at(9), {"k1": 0})]
    if seen is not None:
        counts.append(count("c1", "pickup", at(seen), {"k1": 1}))
    of = loss_claim(["100"], period(first, last), counts=counts, occurrences=[event(day=None)])
    assert cover(of) == expected


def test_brackets_inside_and_outside_cannot_be_said() -> None:
    of = claim(
        kit=[line(price="100", quantity=2)],
        findings=[missing(units=2)],
        occurrences=[event(day=None)],
        counts=[
            count("c1", "pickup", at(1), {"k1": 2}),
            count("c2", "during", at(3), {"k1": 1}),
            count("c3", "during", at(5), {"k1": 1}),
            count("c4", "return", at(9), {"k1": 0}),
        ],
        policy=period(4, 20),
    )
    assert cover(of) == CUT


def test_a_renter_who_is_not_insured_is_called_by_name() -> None:
    of = loss_claim(
        ["100"],
        PolicyTerms(),
        agreement={"renter": "us"},
        parties=(
            Party(id="us", role="production", name="A renter"),
            Party(id="them", role="production", name="Another"),
        ),
    )
    assert of.policy is not None
    theirs = dataclasses.replace(of, policy=dataclasses.replace(of.policy, insured="them"))
    assert cover(theirs) == Cover("not_covered", "not insured by the policy: A renter")
    ours = dataclasses.replace(of, policy=dataclasses.replace(of.policy, insured="us"))
    assert cover(ours) == Cover("covered")


# --- what the working says --------------------------------------------------------------------


def not_stated(of: PolicyTerms, label: str) -> str:
    return step_named(paid(["100"], of).working, label).not_stated


def test_what_a_policy_does_not_state_is_said_each_by_itself() -> None:
    shares = "how several insurers share not stated in the policy, taken as equal shares"
    no_limit = "limit not stated in the policy, taken as none"
    other = (OtherInsurance(insurer="another", limit=Decimal(50)),)
    assert not_stated(PolicyTerms(), "First payment") == no_limit
    assert not_stated(PolicyTerms(other_insurance=other), "First payment") == (
        f"{no_limit}; {shares}"
    )
    limits = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(100)), item_limits=(ItemLimit(amount=Decimal(9)),)
    )
    assert not_stated(limits, "First payment") == (
        "form of the limit not stated in the policy, taken as one limit over all"
    )
    label = "Loss as the policy measures it"
    insured = "insured person not stated in the policy, taken as the renter"
    assert not_stated(PolicyTerms(), label) == (
        f"period not stated in the policy, taken as in force; {insured}"
    )
    assert not_stated(period(1, 9), label) == insured
    of = loss_claim(["100"], period(1, 9))
    assert of.policy is not None
    named = dataclasses.replace(of, policy=dataclasses.replace(of.policy, insured="us"))
    step = step_named(only_occurrence(named).working, label)
    assert step.not_stated == "renter not stated in the agreement, taken as insured"
    signed = dataclasses.replace(
        named, agreements=(dataclasses.replace(named.agreements[0], renter="us"),)
    )
    assert step_named(only_occurrence(signed).working, label).not_stated == ""


def test_a_payment_says_how_it_came_about() -> None:
    of = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(500), clause=CLAUSE),
        insurance_to_value=InsuranceToValue(
            blanket=False, value_at_risk=Decimal(7), agreed_value=None
        ),
        item_limits=(ItemLimit(amount=Decimal(50), line="k1"),),
        aggregate=Aggregate(amount=Decimal(1000)),
        other_insurance=(
            OtherInsurance(insurer="another", limit=Decimal(20)),
            OtherInsurance(insurer="one more", limit=Decimal(15)),
        ),
    )
    # k1 counts by half and is capped at 50; k2 counts whole: 50 + 300 = 350.
    found = paid(["100", "300"], of)
    step = step_named(found.working, "First payment")
    assert [(one.name, one.value) for one in step.inputs] == [
        ("before the limit", "350.00"),
        ("limit", "500"),
        ("left of the year's", "1000.00"),
        ("other insurers", "35.00"),
    ]
    assert step_named(found.working, "Insurance to value").result == "50 %, 100 %"
    assert found.policy == Decimal(315)
    alone = step_named(paid(["100"], PolicyTerms()).working, "First payment")
    assert [one.name for one in alone.inputs] == ["before the limit"]


# --- the policy's own value, and what is held back --------------------------------------------

OLD = [line("k1", "100", age_months=30, quantity=2)]
LIFE = straight_line(60)


def held(policy: PolicyTerms, **more: Any) -> tuple[str, str]:
    found = paid(["100"], policy, kit=OLD, **more)
    return f"{found.policy:.2f}", f"{found.held_back:.2f}"


@pytest.mark.parametrize("valuation", [None, CASH_VALUE, REPLACEMENT])
def test_half_its_value_is_paid_at_first_and_half_held_back(valuation: Any) -> None:
    policy = PolicyTerms(valuation=valuation, depreciation=LIFE, holdback=Holdback(clause=CLAUSE))
    assert held(policy) == ("50.00", "50.00")
    assert held(policy, findings=[missing(units=2)]) == ("100.00", "100.00")
    # Proved for less than both are worth: what was spent, and no less than the first payment.
    proved = [missing(units=2, replaced_for=Decimal(150))]
    assert held(policy, findings=proved) == ("150.00", "0.00")
    cheap = [missing(units=2, replaced_for=Decimal(60))]
    assert held(policy, findings=cheap) == ("100.00", "0.00")


def test_a_repair_is_never_more_than_it_costs() -> None:
    policy = PolicyTerms(valuation=REPLACEMENT)
    mended = damaged(units=2, repair=Repair(parts=Decimal(130), document="d"))
    assert held(policy, findings=[mended]) == ("130.00", "0.00")
    both = damaged(units=2, repair=Repair(parts=Decimal(130), labour=Decimal(20), document="d"))
    assert held(policy, findings=[both]) == ("150.00", "0.00")


def beside(policy: PolicyTerms, *more: Any) -> OccurrenceResult:
    bill = invoice(
        charge("h1", "100", finding="f1", quantity=Decimal(1)),
        charge("h2", "30", kind="administration", finding="f1"),
        charge("h3", "7", kind="tax", finding="f1"),
    )
    return only_occurrence(loss_claim(["100"], policy, invoices=[bill], findings=[missing()]))


@pytest.mark.parametrize(
    ("excluded", "expected"),
    [((), 137), (("fees",), 107), (("tax",), 130), (("fees", "tax"), 100)],
)
def test_fees_and_tax_are_insured_unless_excluded(excluded: tuple[Any, ...], expected: int) -> None:
    policy = PolicyTerms(exclusions=tuple(Exclusion(component=one) for one in excluded))
    assert beside(policy).policy == Decimal(expected)
    with_holdback = dataclasses.replace(policy, depreciation=LIFE, holdback=Holdback())
    of = loss_claim(["100"], with_holdback, kit=OLD)
    assert only_occurrence(of).policy == Decimal(50)


# --- limits by line ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        ({"sublimits": (Sublimit(per="unit", amount=Decimal(30)),)}, 90),
        ({"sublimits": (Sublimit(per="line", amount=Decimal(30)),)}, 60),
        ({"sublimits": (Sublimit(per="unit", amount=Decimal(30), category="lens"),)}, 230),
        ({"item_limits": (ItemLimit(amount=Decimal(30), category="lens"),)}, 230),
        ({"item_limits": (ItemLimit(amount=Decimal(30), line="k2"),)}, 230),
        (
            {
                "item_limits": (
                    ItemLimit(amount=Decimal(30), line="k2"),
                    ItemLimit(amount=Decimal(20), category="lens"),
                )
            },
            220,
        ),
    ],
)
def test_caps_by_unit_line_and_item(limits: dict[str, Any], expected: int) -> None:
    kit = [line("k1", "100", quantity=2), line("k2", "100", kind="lens")]
    findings = [missing("f1", "k1", 2), missing("f2", "k2")]
    found = paid([], PolicyTerms(**limits), kit=kit, findings=findings)
    assert found.policy == Decimal(expected)


def test_an_items_own_limit_stands_in_its_insurance_to_value() -> None:
    of = PolicyTerms(
        insurance_to_value=InsuranceToValue(blanket=False),
        limit=PolicyLimit(amount=Decimal(1000)),
        item_limits=(
            ItemLimit(amount=Decimal(80), line="k1"),
            ItemLimit(amount=Decimal(90), line="k1"),
        ),
    )
    # The lesser of both limits is 80 of 200 at risk: 40 % of 100.
    found = paid(["100"], of, kit=[line("k1", "100", quantity=2)])
    assert found.policy == Decimal(40)


def test_the_kit_at_risk_is_worth_its_prices_else_its_schedule() -> None:
    of = PolicyTerms(insurance_to_value=InsuranceToValue(), limit=PolicyLimit(amount=Decimal(200)))
    kit = [
        line("k1", "100", quantity=2),
        line("k2", scheduled_value=Decimal(50), quantity=4),
        line("k3", quantity=5),
    ]
    # 200 of 400: what nobody priced adds nothing.
    assert paid([], of, kit=kit, findings=[missing()]).policy == Decimal(50)


# --- which deductible -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        ((flat("10"), flat("40"), flat("20")), 40),
        ((flat("10", causes=("theft",)), flat("40", causes=("fire",))), 10),
        ((flat("10", categories=("other",)), flat("40", categories=("lens",))), 10),
        ((flat("40", abroad=True), flat("10")), 10),
        ((Deductible(form="percentage_of_loss", rate=Fraction(1, 5)), flat("10")), 20),
        ((), 0),
    ],
)
def test_the_largest_deductible_that_applies_stands_alone(
    rules: tuple[Deductible, ...], expected: int
) -> None:
    found = paid(["100"], PolicyTerms(deductibles=rules))
    assert (found.deductible, found.policy) == (Decimal(expected), Decimal(100 - expected))


def test_cover_of_the_whole_event_is_what_any_of_it_has() -> None:
    of = loss_claim(
        ["100", "50"],
        PolicyTerms(exclusions=(Exclusion(category="lens"),)),
        kit=[line("k1", "100"), line("k2", "50", kind="lens")],
        terms=Terms(valuation=REPLACEMENT),
    )
    found = only_occurrence(of)
    assert (found.cover, found.policy, found.renter) == ("covered", Decimal(100), Decimal(50))
    assert found.reasons == ("excluded: lens",)
    assert found.loss == Decimal(150)
