"""What a policy covers, and its own valuation."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.findings import Repair
from ldapp.claim.parties import Party
from ldapp.claim.policy import (
    AlsoInsured,
    Exclusion,
    PolicyPeriod,
    PolicyTerms,
)
from ldapp.claim.terms import (
    DepreciationOverride,
    LossOfUse,
    Terms,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import OccurrenceResult
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
    straight_line,
)
from tests.reckoning.insured import paid


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
    assert found.policy_by_line == (("k1", Decimal(100)),)
    assert found.reasons == ("excluded: lens",)


def insured(renter: str | None, named: str | None, also: tuple[str, ...] = ()) -> OccurrenceResult:
    """A loss of 100 under an agreement of ``renter``, with a policy that insures the others."""
    terms = PolicyTerms(also_insured=AlsoInsured(parties=also) if also else None)
    of = loss_claim(["100"], terms, agreement={"renter": renter})
    assert of.policy is not None
    return only_occurrence(
        dataclasses.replace(
            of,
            policy=dataclasses.replace(of.policy, insured=named),
            parties=(Party(id="student", role="student", name="Invented student"),),
        )
    )


@pytest.mark.parametrize(
    ("renter", "named", "also", "covered"),
    [
        (None, None, (), True),
        ("student", None, (), True),
        (None, "school", (), True),
        ("school", "school", (), True),
        ("student", "school", (), False),
        ("student", "school", ("department",), False),
        ("student", "school", ("department", "student"), True),
        ("student", None, ("student",), True),
        ("student", None, ("department",), False),
    ],
)
def test_the_policy_covers_whom_it_insures(
    renter: str | None, named: str | None, also: tuple[str, ...], covered: bool
) -> None:
    found = insured(renter, named, also)
    assert found.policy == Decimal(100 if covered else 0)
    assert found.cover == ("covered" if covered else "not_covered")
    assert found.reasons == (() if covered else ("not insured by the policy: Invented student",))


def test_a_renter_who_is_no_party_of_the_claim_is_named_by_the_id() -> None:
    assert insured("x", "school").reasons == ("not insured by the policy: x",)


def test_who_is_insured_is_said_to_be_taken_where_nobody_states_it() -> None:
    policy = "insured person not stated in the policy, taken as the renter"
    agreement = "renter not stated in the agreement, taken as insured"

    def taken(renter: str | None, named: str | None) -> str:
        return " ".join(defaults_taken(insured(renter, named).working))

    assert policy in taken(None, None)
    assert policy in taken("school", None)
    assert agreement in taken(None, "school")
    stated = taken("school", "school")
    assert policy not in stated
    assert agreement not in stated
