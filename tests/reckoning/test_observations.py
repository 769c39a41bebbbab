"""What of a reckoning somebody should look at, and what papers do not state."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ldapp.claim.findings import Repair
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    Exclusion,
    PolicyLimit,
    PolicyPeriod,
    PolicyTerms,
)
from ldapp.claim.terms import Terms, ValuationOverride, ValuationRule
from ldapp.reckoning.defaults import unstated_in_agreement, unstated_in_policy
from ldapp.reckoning.engine import reckon
from tests.reckoning.answers import ground
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
    straight_line,
)


def observed(**more: Any) -> list[tuple[str, str, str]]:
    given: dict[str, Any] = {
        "kit": [line("k1", "100", quantity=10)],
        "findings": [missing()],
        "occurrences": [event()],
        **more,
    }
    return [(o.code, o.place, o.says) for o in reckon(claim(**given)).observations]


def said(code: str, **more: Any) -> list[str]:
    return [says for c, _, says in observed(**more) if c == code]


def test_a_finding_above_the_counts() -> None:
    counts = [count("c1", "return", at(9), {"k1": 9})]
    assert said("finding_above_counts", findings=[missing(units=3)], counts=counts) == [
        "the finding says 3, the counts leave 1 for it"
    ]
    assert said("finding_above_counts", counts=counts) == []


def test_a_ground_that_takes_nothing() -> None:
    bill = invoice(charge("h1", "100", ["valuation_date"], finding="f1", quantity=Decimal(1)))
    assert said("ground_takes_nothing", invoices=[bill]) == [
        "the ground “price of another day is agreed” is on and takes nothing"
    ]


def test_causes_that_differ() -> None:
    (text,) = said("facts_differ", findings=[missing(cause="water")])
    assert "water" in text
    assert "theft" in text
    assert said("facts_differ", findings=[missing(cause="theft")]) == []
    assert said("facts_differ", findings=[missing(cause="water", occurrence=None)]) == []


def test_an_occurrence_dated_where_the_counts_exclude_it() -> None:
    counts = [
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "during", at(7), {"k1": 10}),
        count("c3", "return", at(9), {"k1": 9}),
    ]
    (text,) = said("facts_differ", counts=counts)
    assert "at another time" in text
    for moment in (at(7), at(8), at(9)):
        inside = [event(day=None, at=moment)]
        assert said("facts_differ", counts=counts, occurrences=inside) == []
    for moment in (at(7, 11), at(9, 13)):
        outside = [event(day=None, at=moment)]
        assert len(said("facts_differ", counts=counts, occurrences=outside)) == 1


def test_a_letter_that_denies_what_the_insurer_is_told() -> None:
    bill = invoice(charge("h1", "100", ["prior_damage"], finding="f1", quantity=Decimal(1)))
    hurt = [damaged(beyond_repair=True)]
    assert said("facts_differ", findings=hurt, invoices=[bill]) == []
    (text,) = said("facts_differ", findings=hurt, invoices=[bill], policy=PolicyTerms())
    assert "claims the same finding" in text


def contradicted(finding: Any, *grounds: Any, units: int = 2, kind: str = "missing") -> list[str]:
    """What is said of a charge of so many units against a policy that covers the finding."""
    bill = charge("h1", "200", grounds, finding="f1", quantity=Decimal(units), kind=kind)
    return said(
        "facts_differ", findings=[finding], invoices=[invoice(bill)], policy=PolicyTerms()
    )  # fmt: skip


def test_a_number_that_differs_from_what_the_insurer_is_told() -> None:
    assert contradicted(missing(units=2), ground("quantity", quantity=1)) == [
        (
            "the answer to this charge (more units than are missing) leaves 1 of its units, "
            "the statement of loss claims 2"
        )
    ]
    assert contradicted(missing(units=1), ground("quantity", quantity=1)) == []
    assert len(contradicted(missing(units=2), ground("returned", quantity=1))) == 1
    assert contradicted(missing(units=1), ground("returned", quantity=1)) == []
    assert len(contradicted(missing(units=1), ground("never_received", quantity=5))) == 1
    # What nobody states is what the counts say, to both.
    assert contradicted(missing(units=1), "quantity") == []
    assert contradicted(missing(units=2), ground("valuation_date", amount=Decimal(1))) == []
    assert contradicted(missing(units=2), ground("outside_notice_window", quantity=1)) == []
    off = ground("quantity", quantity=1, on=False)
    assert contradicted(missing(units=2), off) == []


def test_a_condition_that_differs_from_what_the_insurer_is_told() -> None:
    beyond = damaged(units=1, beyond_repair=True)
    cheaper = ground("repair_cheaper", amount=Decimal(10))
    (text,) = contradicted(beyond, cheaper, units=1)
    assert "says that it can be repaired" in text
    repaired = damaged(units=1, repair=Repair(parts=Decimal(10)))
    assert contradicted(repaired, cheaper, units=1) == []
    (burnt,) = contradicted(damaged(units=1, beyond_repair=True), "used_up", units=1)
    assert "burned out or used up" in burnt


def test_what_the_policy_does_not_cover_contradicts_nothing() -> None:
    bill = charge("h1", "200", [ground("quantity", quantity=1)], finding="f1", quantity=Decimal(2))
    given: dict[str, Any] = {"findings": [missing(units=2)], "invoices": [invoice(bill)]}
    assert said("facts_differ", **given) == []
    stolen = PolicyTerms(exclusions=(Exclusion(cause="theft"),))
    assert said("facts_differ", policy=stolen, **given) == []


def test_observations_stand_once() -> None:
    found = reckon(loss_claim(["1", "2"])).observations
    assert len(found) == len(set(found))


def test_what_an_agreement_does_not_state() -> None:
    nothing = {each.term: each.blocks for each in unstated_in_agreement(Terms())}
    assert nothing["valuation"]
    assert [term for term, blocks in nothing.items() if blocks] == ["valuation"]
    assert "depreciation" not in nothing
    cash = {each.term for each in unstated_in_agreement(Terms(valuation=CASH_VALUE))}
    assert "valuation" not in cash
    assert "depreciation" in cash
    override = ValuationOverride(rule=ValuationRule(bases=("actual_cash_value",)), line="k1")
    by_line = Terms(valuation=REPLACEMENT, valuation_overrides=(override,))
    assert "depreciation" in {each.term for each in unstated_in_agreement(by_line)}
    stated = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    assert "depreciation" not in {each.term for each in unstated_in_agreement(stated)}


def test_what_a_policy_does_not_state() -> None:
    assert [each.term for each in unstated_in_policy(PolicyTerms())] == [
        "period",
        "limit",
        "deductibles",
        "valuation",
        "aggregate",
    ]
    assert not any(each.blocks for each in unstated_in_policy(PolicyTerms()))
    full = PolicyTerms(
        period=PolicyPeriod(begins=at(1), ends=at(2)),
        limit=PolicyLimit(amount=Decimal(1)),
        deductibles=(Deductible(form="flat", amount=Decimal(1)),),
        valuation=REPLACEMENT,
        aggregate=Aggregate(amount=Decimal(1)),
    )
    assert unstated_in_policy(full) == ()
