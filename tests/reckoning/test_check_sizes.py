"""Numbers and days that no claim can hold are refused before they are reckoned with."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.counts import CountEntry, Movement
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Correspondence
from ldapp.claim.kit import Part
from ldapp.claim.policy import Holdback, PolicyTerms
from ldapp.claim.terms import DepositTerm, OpeningCondition, Terms
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.proposals import propose_findings
from tests.reckoning.claims import at, charge, claim, count, event, invoice, line, missing

FAR = dt.date(9999, 12, 31)
NOON = dt.datetime(9999, 12, 31, 12, tzinfo=dt.UTC)


def places(of: Claim) -> list[str]:
    return [fault.place for fault in check_terms(of)]


def rule(length: int = 1, **more: Any) -> DeadlineRule:
    return DeadlineRule(code="x", title="x", starts="other", length=length, **more)


@pytest.mark.parametrize(
    ("terms", "place"),
    [
        (Terms(deadlines=(rule(36_526),)), "deadlines[0].length"),
        (Terms(deadlines=(rule(36_526, unit="business_days"),)), "deadlines[0].length"),
        (Terms(deadlines=(rule(24 * 36_525 + 1, unit="hours"),)), "deadlines[0].length"),
        (Terms(deadlines=(rule(start_on=FAR),)), "deadlines[0].start_on"),
        (Terms(deposit=DepositTerm(form="held", release_days=36_526)), "deposit.release_days"),
        (
            Terms(opening_condition=OpeningCondition(rule="noted_within_hours", hours=876_601)),
            "opening_condition.hours",
        ),
    ],
)
def test_a_period_of_more_than_a_century_is_refused(terms: Terms, place: str) -> None:
    assert places(claim(terms=terms)) == [f"agreements[0].terms.{place}"]


def test_a_century_is_allowed() -> None:
    longest = Terms(
        deadlines=(
            rule(36_525, start_on=dt.date(2026, 3, 5)),
            rule(24 * 36_525, unit="hours", start_on=dt.date(2026, 3, 5)),
        ),
        deposit=DepositTerm(form="held", release_days=36_525),
        opening_condition=OpeningCondition(rule="noted_within_hours", hours=876_600),
    )
    of = claim(terms=longest, policy=PolicyTerms(holdback=Holdback(proof_within_days=36_525)))
    assert places(of) == []
    assert reckon(of).deadlines[0].due == dt.date(2126, 3, 6)


def test_a_time_for_proof_of_more_than_a_century_is_refused() -> None:
    policy = PolicyTerms(holdback=Holdback(proof_within_days=36_526))
    assert places(claim(policy=policy)) == ["policy.terms.holdback.proof_within_days"]


def test_years_outside_every_claim_are_refused() -> None:
    bill = invoice(charge("h1"), dated=dt.date(1899, 12, 31), received=FAR)
    of = claim(
        agreement={"notified": FAR, "paid": FAR, "ends": NOON},
        kit=[line("k1", "10")],
        counts=[count("n", "return", NOON, {"k1": 1})],
        occurrences=[event(day=dt.date(2201, 1, 1))],
        invoices=[bill],
    )
    assert sorted(places(of)) == [
        "agreements[0].ends",
        "agreements[0].notified",
        "agreements[0].paid",
        "counts[0].at",
        "invoices[0].dated",
        "invoices[0].received",
        "occurrences[0].day",
    ]
    assert "the year 9999" in str(check_terms(of)[0])
    fine = claim(occurrences=[event(day=dt.date(2200, 1, 1)), event("o2", day=dt.date(1900, 1, 1))])
    assert places(fine) == []


def test_more_units_than_a_line_can_hold_are_refused() -> None:
    many = 100_001
    kit = [
        line("k1", "10", quantity=many),
        line("k2", quantity=2, parts=(Part(id="p", description="p", per_unit=50_001),)),
        line("k3", quantity=0, parts=(Part(id="q", description="q", per_unit=many),)),
    ]
    entries = (CountEntry(line="k1"), CountEntry(line="k2", quantity=many))
    of = claim(
        kit=kit,
        counts=[dataclasses.replace(count("n", "return", at(6), {}), entries=entries)],
        movements=(Movement(id="m", kind="added", line="k1", quantity=many, at=at(5)),),
        findings=[missing("f1", units=many, occurrence=None)],
    )
    assert places(of) == [
        "kit[0].quantity",
        "kit[1].parts[0].per_unit",
        "kit[2].parts[0].per_unit",
        "counts[0].entries[1].quantity",
        "movements[0].quantity",
        "findings[0].quantity",
    ]
    assert propose_findings(of) == ()
    most = claim(kit=[line("k1", "10", quantity=100_000)], findings=[missing(occurrence=None)])
    assert places(most) == []


def test_a_day_is_earlier_than_a_later_time_of_the_evening_before_it() -> None:
    """20:00 in Denver on the 5th is 03:00 of the 6th in UTC, and before the 6th all the same."""
    paid = Correspondence(
        id="m",
        at=dt.datetime.fromisoformat("2026-03-05T20:00:00-07:00"),
        direction="sent",
        channel="email",
        party="lessor",
        subject="paid",
        agreement="a",
        paid=Decimal(5),
    )
    refund = DeadlineRule(code="x", title="x", starts="payment", length=7)
    of = claim(
        terms=Terms(deadlines=(refund,)),
        agreement={"paid": dt.date(2026, 3, 6)},
        correspondence=(paid,),
        zone="America/Denver",
    )
    (found,) = reckon(of).deadlines
    assert (found.starts_on, found.due) == (dt.date(2026, 3, 5), dt.date(2026, 3, 12))
