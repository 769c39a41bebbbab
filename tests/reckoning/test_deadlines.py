"""Periods and what starts them."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Document
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import Terms
from ldapp.reckoning.deadlines import is_business_day, next_business_day
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import Deadline
from tests.reckoning.claims import at, claim, count, event, invoice


def rule(starts: Any, length: int = 5, **more: Any) -> DeadlineRule:
    return DeadlineRule(
        code=f"{starts}-{length}", title="A period", starts=starts, length=length, **more
    )


def in_claim(*rules: DeadlineRule, policy: bool = False, **more: Any) -> list[Deadline]:
    given: dict[str, Any] = {
        "counts": [
            count("c1", "pickup", at(1), {}),
            count("c2", "return", at(9), {}),
            count("c3", "check_in", at(11), {}, agreements=("b",)),
        ],
        "occurrences": [event(day=dt.date(2026, 3, 6)), event("o2", dt.date(2026, 3, 4))],
        "invoices": [invoice(received=dt.date(2026, 3, 23))],
        "agreement": {"ends": at(10), "notified": dt.date(2026, 3, 7)},
        "documents": (
            Document(id="d1", title="proof", kind="proof_of_loss", dated=dt.date(2026, 4, 1)),
            Document(id="d2", title="paid", kind="proof_of_payment", dated=dt.date(2026, 4, 9)),
        ),
    }
    terms = PolicyTerms(deadlines=rules) if policy else None
    rental = Terms() if policy else Terms(deadlines=rules)
    of = claim(terms=rental, policy=terms, **{**given, **more})
    return list(reckon(of).deadlines)


@pytest.mark.parametrize(
    ("starts", "day"),
    [
        ("pickup", "2026-03-01"),
        ("return_due", "2026-03-10"),
        ("return", "2026-03-09"),
        ("discovery", "2026-03-09"),
        ("loss", "2026-03-04"),
        ("invoice_date", "2026-03-20"),
        ("invoice_received", "2026-03-23"),
        ("notice_to_insurer", "2026-03-07"),
        ("proof_of_loss", "2026-04-01"),
        ("payment", "2026-04-09"),
    ],
)
def test_what_starts_a_period(starts: str, day: str) -> None:
    (found,) = in_claim(rule(starts))
    start = dt.date.fromisoformat(day)
    assert found.starts_on == start
    assert found.due == start + dt.timedelta(days=5)


def test_a_start_that_is_not_known_gives_no_day() -> None:
    (found,) = in_claim(rule("insurer_decision"))
    assert (found.starts_on, found.due, found.due_at) == (None, None, None)
    (check_in,) = in_claim(rule("check_in"))
    assert check_in.due is None
    (of_policy,) = in_claim(rule("check_in"), policy=True)
    assert of_policy.due == dt.date(2026, 3, 16)


def test_pickup_falls_back_on_the_start_of_the_rental_and_discovery_on_the_check_in() -> None:
    agreement = {"starts": at(2), "ends": at(10)}
    only_check_in = [count("c3", "check_in", at(11), {})]
    first, second = in_claim(
        rule("pickup"), rule("discovery"), counts=only_check_in, agreement=agreement
    )
    assert first.starts_on == dt.date(2026, 3, 2)
    assert second.starts_on == dt.date(2026, 3, 11)


def test_hours_need_a_time() -> None:
    timed, untimed = in_claim(
        rule("return", 24, unit="hours"), rule("invoice_date", 24, unit="hours")
    )
    assert timed.due_at == at(10)
    assert timed.due == dt.date(2026, 3, 10)
    assert untimed.due_at is None


def test_a_day_is_that_of_the_claims_zone() -> None:
    (found,) = in_claim(
        rule("return"), counts=[count("c2", "return", at(9, 3), {})], zone="America/Los_Angeles"
    )
    assert found.starts_on == dt.date(2026, 3, 8)


def test_business_days() -> None:
    holiday = dt.date(2026, 3, 9)
    holidays = frozenset({holiday})
    assert is_business_day(dt.date(2026, 3, 6), holidays)
    assert not is_business_day(dt.date(2026, 3, 7), holidays)
    assert not is_business_day(holiday, holidays)
    assert next_business_day(dt.date(2026, 3, 7), holidays) == dt.date(2026, 3, 10)
    assert next_business_day(dt.date(2026, 3, 10), holidays) == dt.date(2026, 3, 10)


def test_a_calendar_period_rolls_only_where_the_rule_says_so() -> None:
    stays, rolls = in_claim(rule("invoice_date", 1), rule("invoice_date", 1, rolls=True))
    assert stays.due == dt.date(2026, 3, 21)
    assert (rolls.raw_end, rolls.due) == (dt.date(2026, 3, 21), dt.date(2026, 3, 23))
