"""The working of a payment names every number that went in, and none that did not."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from fractions import Fraction

import pytest

from ldapp.claim.counts import Count, CountEntry, Stage
from ldapp.claim.policy import Deductible, InsuranceToValue, PolicyLimit, PolicyTerms
from ldapp.reckoning.proposals import propose_findings
from tests.reckoning.claims import CLAUSE, at, claim, count, line, step_named
from tests.reckoning.insured import flat, paid

TENTH = Fraction(1, 10)


def inputs_of(policy: PolicyTerms, label: str) -> list[tuple[str, str]]:
    step = step_named(paid(["100", "300"], policy).working, label)
    return [(one.name, one.value) for one in step.inputs]


@pytest.mark.parametrize(
    ("rule", "inputs"),
    [
        (
            flat("40", per="unit", minimum=Decimal(5), maximum=Decimal(70)),
            [("amount", "40"), ("for each", "unit"), ("at least", "5"), ("at most", "70")],
        ),
        (flat("40", rate=TENTH), [("amount", "40")]),
        (
            Deductible(form="percentage_of_loss", rate=TENTH, amount=Decimal(9)),
            [("rate", "10 % of the loss")],
        ),
    ],
)
def test_what_makes_a_deductible(rule: Deductible, inputs: list[tuple[str, str]]) -> None:
    assert inputs_of(PolicyTerms(deductibles=(rule,)), "Deductible") == inputs


def test_what_makes_insurance_to_value() -> None:
    value = InsuranceToValue(
        required_share=Fraction(8, 10), value_at_risk=Decimal(1000), clause=CLAUSE
    )
    policy = PolicyTerms(insurance_to_value=value, limit=PolicyLimit(amount=Decimal(400)))
    assert inputs_of(policy, "Insurance to value") == [
        ("required", "80 % of the value"),
        ("value at risk", "1000"),
    ]
    step = step_named(paid(["100", "300"], policy).working, "Insurance to value")
    assert (step.result, step.clause) == ("50 %", CLAUSE)
    agreed = PolicyTerms(
        insurance_to_value=InsuranceToValue(agreed_value=Decimal(800)),
        limit=PolicyLimit(amount=Decimal(400)),
    )
    assert inputs_of(agreed, "Insurance to value") == [("agreed value", "800")]


def seen(identity: str, stage: Stage, day: int, *serials: str) -> Count:
    entry = CountEntry(line="k1", quantity=len(serials), serials_seen=serials)
    return dataclasses.replace(count(identity, stage, at(day), {}), entries=(entry,))


def test_serial_numbers_that_were_not_sent_out_are_named_one_by_one() -> None:
    of = claim(
        kit=[line(price="100", quantity=2, serials=("S1", "S2"))],
        counts=[
            seen("a", "pickup", 1, "S1", "S2"),
            seen("b", "return", 9, "X8", "X9"),
        ],
    )
    reasons = [one.reason for one in propose_findings(of)]
    assert "serial numbers came back that were not sent out: X8, X9" in reasons
