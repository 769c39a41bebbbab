"""What somebody should look at, with its kind and its place; deadlines and days in words."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.counts import CountEntry
from ldapp.claim.findings import Repair
from ldapp.claim.policy import Holdback, PolicyTerms
from ldapp.claim.terms import LossOfUse, Terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.loss_of_use import OutOfService, out_of_service_days
from ldapp.reckoning.money import allocate, round_half_up, round_up
from tests.reckoning.claims import (
    CASH_VALUE,
    CLAUSE,
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
)


def seen(code: str, of: Claim) -> list[tuple[str, str, str]]:
    return [(one.kind, one.place, one.says) for one in reckon(of).observations if one.code == code]


def one_line(**more: Any) -> Claim:
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=10)],
        "findings": [missing("f7")],
        "occurrences": [event()],
        **more,
    }
    return claim(**given)


def test_what_is_seen_of_a_finding_stands_at_the_finding() -> None:
    counts = [count("c1", "return", at(9), {"k1": 9})]
    assert seen(
        "finding_above_counts", one_line(findings=[missing("f7", units=3)], counts=counts)
    ) == [("finding", "f7", "the finding says 3, the counts leave 1 for it")]
    closed = [count("p", "pickup", at(1), {"k1": 10}), count("c", "check_in", at(9), {"k1": 9})]
    assert seen("one_sided_check_in", one_line(counts=closed)) == [
        ("finding", "f7", "only the rental company counted it back: one side, theirs")
    ]
    opened = one_line(
        counts=closed, findings=[missing("f7", occurrence=None)],
        agreement={"custody_began": at(3)},
    )  # fmt: skip
    assert seen("custody_open", opened) == [
        ("finding", "f7", "a boundary of custody lies inside the time in which it was lost")
    ]
    lifeless = one_line(terms=Terms(valuation=CASH_VALUE))
    assert seen("cannot_compute", lifeless) == [
        ("finding", "f7", "cannot be computed yet: life, date of acquisition or age")
    ]


def test_damage_noted_at_pickup_is_asked_about_at_the_finding() -> None:
    entry = CountEntry(line="k1", quantity=10, condition="damaged_before")
    pickup = dataclasses.replace(count("p", "pickup", at(1), {}), entries=(entry,))
    hurt = damaged("f7", repair=Repair(parts=Decimal(5), document="d"))
    assert seen("noted_at_pickup", one_line(counts=[pickup], findings=[hurt])) == [
        ("finding", "f7", "damage was noted on this line at pickup: is it the same?")
    ]
    assert seen("noted_at_pickup", one_line(counts=[pickup])) == []
    unpriced = one_line(kit=[line(quantity=10)], findings=[hurt])
    assert seen("unchecked_repair", unpriced) == [
        ("finding", "f7", "whether the repair is above the value could not be checked")
    ]


def test_what_is_seen_of_a_bill_stands_at_charge_and_invoice() -> None:
    bill = invoice(charge("h9", "100", ["valuation_date"], finding="f7"), gross=Decimal("130.50"))
    of = one_line(invoices=[bill])
    assert seen("ground_takes_nothing", of) == [
        ("charge", "h9", "the ground “price of another day is agreed” is on and takes nothing")
    ]
    assert seen("printed_total_differs", of) == [
        ("invoice", "i1", "the printed total differs from its lines by 30.50")
    ]


def test_a_surplus_in_a_sister_line_stands_at_the_line_that_is_short() -> None:
    of = one_line(
        kit=[
            line("k1", "100", quantity=10, description="flag 4 ft"),
            line("k2", "100", quantity=10, description="flag 6 ft"),
        ],
        counts=[count("r", "return", at(9), {"k1": 8, "k2": 11})],
    )
    assert seen("sister_line", of) == [
        ("kit_line", "k1", "1 short here, and as many over in line 2, flag 6 ft: mixed up?")
    ]


def test_what_a_policy_does_not_state_stands_at_the_event() -> None:
    of = loss_claim(["100"], PolicyTerms())
    assert (
        "occurrence", "o1", "limit not stated in the policy, taken as none",
    ) in seen("not_stated", of)  # fmt: skip


def test_a_reckoning_carries_its_day_its_currency_and_its_findings() -> None:
    day = dt.date(2026, 4, 1)
    found = reckon(one_line(currency="EUR"), as_of=day)
    assert (found.currency, found.as_of) == ("EUR", day)
    (finding,) = found.findings
    assert (finding.finding, finding.occurrence, finding.reckoned) == ("f7", "o1", Decimal(100))
    assert (finding.probably_uninsured, finding.would_help) == (False, ())
    assert found.not_stated
    unexplained = reckon(one_line(findings=[missing("f7", occurrence=None)])).findings[0]
    assert unexplained.probably_uninsured
    assert unexplained.would_help
    hurt = damaged("f7", occurrence=None, repair=Repair(parts=Decimal(5), document="d"))
    assert not reckon(one_line(findings=[hurt])).findings[0].probably_uninsured
    nothing = one_line(
        findings=[missing("f7", occurrence=None)], counts=[count("r", "return", at(9), {"k1": 10})]
    )
    assert not reckon(nothing).findings[0].probably_uninsured


# --- deadlines --------------------------------------------------------------------------------


def test_the_proof_of_replacement_says_what_it_needs() -> None:
    policy = PolicyTerms(holdback=Holdback(proof_within_days=30, clause=CLAUSE))
    (proof,) = [
        one
        for one in reckon(loss_claim(["1"], policy)).deadlines
        if one.code == "replacement-proof"
    ]
    assert proof.title == "Prove the replacement to the insurer"
    assert proof.needs == "the invoice for the replacement, and proof of its payment"
    assert proof.clause == CLAUSE


# --- days out of service ----------------------------------------------------------------------

HOURS = OutOfService(lost=False, labour_hours=Fraction(30))


@pytest.mark.parametrize(
    ("term", "facts", "days", "result", "rule"),
    [
        (
            LossOfUse(days_from="hours_over_8", clause=CLAUSE), HOURS, Fraction(15, 4), "15/4",
            "labour hours ÷ 8",
        ),
        (
            LossOfUse(days_from="hours_over_8", clause=CLAUSE),
            OutOfService(lost=False, labour_hours=Fraction(16)), Fraction(2), "2",
            "labour hours ÷ 8",
        ),
        (
            LossOfUse(days_from="hours_over_8", clause=CLAUSE), OutOfService(lost=False), None,
            "cannot be computed yet", "labour hours are not documented",
        ),
        (
            LossOfUse(clause=CLAUSE), OutOfService(lost=False), None, "cannot be computed yet",
            "a date is not known yet",
        ),
    ],
)  # fmt: skip
def test_days_out_of_service_name_rule_and_clause(
    term: LossOfUse, facts: OutOfService, days: Fraction | None, result: str, rule: str
) -> None:
    found = out_of_service_days(term, facts)
    assert found.days == days
    assert found.step is not None
    assert (found.step.label, found.step.result) == ("Days out of service", result)
    assert (found.step.rule, found.step.clause) == (rule, CLAUSE)


def test_the_last_day_counts_only_where_it_is_stated() -> None:
    facts = OutOfService(lost=False, notice=dt.date(2026, 3, 1), repaired=dt.date(2026, 3, 4))
    found = out_of_service_days(LossOfUse(last_day_counts=True), facts)
    assert found.days == 4
    assert out_of_service_days(LossOfUse(), facts).days == 3


# --- rounding and sharing ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "digits", "rounded", "up"),
    [
        (Fraction(1, 3), 2, "0.33", "0.34"),
        (Fraction(5, 2), 0, "3", "3"),
        (Fraction(7, 5), 1, "1.4", "1.4"),
        (Fraction(1, 2000), 3, "0.001", "0.001"),
        (Fraction(0), 2, "0.00", "0.00"),
    ],
)
def test_rounding_half_up_and_up(amount: Fraction, digits: int, rounded: str, up: str) -> None:
    assert str(round_half_up(amount, digits)) == rounded
    assert str(round_up(amount, digits)) == up


def test_a_loss_is_shared_as_a_gain_is() -> None:
    weights = [Fraction(1), Fraction(2), Fraction(0)]
    assert allocate(Decimal("-1.00"), weights, 2) == (
        Decimal("-0.33"), Decimal("-0.67"), Decimal(0),
    )  # fmt: skip
    assert allocate(Decimal("0.01"), weights, 2) == (Decimal(0), Decimal("0.01"), Decimal(0))
    assert allocate(Decimal(0), weights, 2) == (Decimal(0),) * 3
