"""Periods and what starts them."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.agreement import Agreement
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule, Holiday, HolidayCalendar
from ldapp.claim.documents import Correspondence, Document
from ldapp.claim.findings import Finding
from ldapp.claim.policy import Holdback, PolicyTerms
from ldapp.claim.terms import DepositTerm, Terms
from ldapp.reckoning.deadlines import is_business_day, next_business_day
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import Deadline
from tests.reckoning.claims import at, claim, count, event, invoice, line, missing


def rule(starts: Any, length: int = 5, **more: Any) -> DeadlineRule:
    return DeadlineRule(
        code=f"{starts}-{length}", title="A period", starts=starts, length=length, **more
    )


def two_agreements(of_first: DeadlineRule, second: Agreement) -> list[Deadline]:
    """The deadlines of a claim under two agreements; its check-in covers the second alone."""
    of = claim_with(of_first)
    return list(reckon(dataclasses.replace(of, agreements=(*of.agreements, second))).deadlines)


def in_claim(*rules: DeadlineRule, policy: bool = False, **more: Any) -> list[Deadline]:
    return list(reckon(claim_with(*rules, policy=policy, **more)).deadlines)


def claim_with(*rules: DeadlineRule, policy: bool = False, **more: Any) -> Claim:
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
    return claim(terms=rental, policy=terms, **{**given, **more})


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
    other = Agreement(id="b", lessor="another", terms=Terms(deadlines=(rule("check_in"),)))
    mine, theirs = two_agreements(rule("check_in"), other)
    assert mine.due is None
    assert theirs.due == dt.date(2026, 3, 16)
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
    holidays = {holiday: "A holiday"}
    assert is_business_day(dt.date(2026, 3, 6), holidays)
    assert not is_business_day(dt.date(2026, 3, 7), holidays)
    assert not is_business_day(holiday, holidays)
    assert next_business_day(dt.date(2026, 3, 7), holidays) == dt.date(2026, 3, 10)
    assert next_business_day(dt.date(2026, 3, 10), holidays) == dt.date(2026, 3, 10)


def test_a_calendar_period_rolls_only_where_the_rule_says_so() -> None:
    stays, rolls = in_claim(rule("invoice_date", 1), rule("invoice_date", 1, rolls=True))
    assert stays.due == dt.date(2026, 3, 21)
    assert (rolls.raw_end, rolls.due) == (dt.date(2026, 3, 21), dt.date(2026, 3, 23))


# --- what happened with the insurer ---------------------------------------------------------


def letter(
    direction: Any, step: Any, day: int, party: str = "insurer", **more: Any
) -> Correspondence:
    return Correspondence(
        id=f"{direction}-{step}-{day}", at=at(day, month=4), direction=direction,
        channel="email", party=party, step=step, subject="A letter", **more,
    )  # fmt: skip


LETTERS = (
    letter("sent", "answer_to_charges", 1, party="lessor", paid=Decimal(1), agreement="a"),
    letter("sent", "statement_of_loss", 3),
    letter("sent", "statement_of_loss", 2, party="broker"),
    letter("received", "statement_of_loss", 1),
    letter("received", "request", 5),
    letter("received", "request", 4, party="lessor"),
    letter("received", "offer", 8),
    letter("received", "settlement", 7),
    letter("sent", "settlement", 6),
    letter("received", "payment", 12, paid=Decimal(10)),
    letter("received", "payment", 11),
    letter("sent", "payment", 10, paid=Decimal(10)),
)


def of_policy(
    starts: Any, correspondence: tuple[Correspondence, ...] = (), **dates: Any
) -> Deadline:
    of = claim_with(rule(starts), policy=True, correspondence=correspondence)
    assert of.policy is not None
    of = dataclasses.replace(of, policy=dataclasses.replace(of.policy, **dates))
    (found,) = reckon(of).deadlines
    return found


@pytest.mark.parametrize(
    ("starts", "field", "day_of_letter"),
    [
        ("notice_to_insurer", "notified", 3),
        ("insurer_request", "proof_requested", 5),
        ("proof_of_loss", "proof_given", 1),
        ("insurer_decision", "decided", 7),
        ("first_payment", "first_paid", 12),
    ],
)
def test_dates_of_the_policy_start_its_periods_before_the_letters_do(
    starts: Any, field: str, day_of_letter: int
) -> None:
    stated = of_policy(starts, LETTERS, **{field: dt.date(2026, 5, 2)})
    assert stated.starts_on == dt.date(2026, 5, 2)
    assert stated.due == dt.date(2026, 5, 7)
    by_letter = of_policy(starts, LETTERS)
    assert by_letter.starts_on == dt.date(2026, 4, day_of_letter)


@pytest.mark.parametrize(
    "starts", ["notice_to_insurer", "insurer_request", "insurer_decision", "first_payment"]
)
def test_what_did_not_happen_with_the_insurer_starts_nothing(starts: Any) -> None:
    assert of_policy(starts).starts_on is None
    theirs = tuple(dataclasses.replace(one, party="lessor") for one in LETTERS)
    assert of_policy(starts, theirs).starts_on is None


def test_the_payment_to_a_rental_company() -> None:
    paid: dict[str, Any] = {"paid": dt.date(2026, 3, 30)}
    (by_date,) = in_claim(rule("payment"), agreement=paid)
    assert by_date.starts_on == dt.date(2026, 3, 30)
    (by_letter,) = in_claim(rule("payment"), correspondence=LETTERS)
    assert by_letter.starts_on == dt.date(2026, 4, 1)
    (by_paper,) = in_claim(rule("payment"))
    assert by_paper.starts_on == dt.date(2026, 4, 9)
    (insurers,) = in_claim(rule("payment"), policy=True, agreement=paid)
    assert insurers.starts_on == dt.date(2026, 3, 30)


def test_a_start_by_hand_goes_before_every_record() -> None:
    by_hand, other = in_claim(
        rule("pickup", start_on=dt.date(2026, 6, 1)), rule("other", start_on=dt.date(2026, 6, 2))
    )
    assert by_hand.due == dt.date(2026, 6, 6)
    assert other.due == dt.date(2026, 6, 7)
    (unknown,) = in_claim(rule("other"))
    assert unknown.due is None


# --- holidays --------------------------------------------------------------------------------

EASTER = HolidayCalendar(
    place="Invented place",
    source="An invented act, section 1",
    days=(
        Holiday(day=dt.date(2026, 4, 6), name="Easter Monday"),
        Holiday(day=dt.date(2026, 4, 3), name="Good Friday"),
        Holiday(day=dt.date(2026, 4, 4), name="A Saturday"),
        Holiday(day=dt.date(2026, 4, 1), name="The day of the event"),
        Holiday(day=dt.date(2026, 4, 8), name="A day too late"),
    ),
)


def under(calendar: HolidayCalendar | None, length: int, **more: Any) -> Deadline:
    """A period from Wednesday, 1 April 2026."""
    one = rule("proof_of_loss", length, source="Rule 6", clause=Clause(reference="12"), **more)
    terms = PolicyTerms(deadlines=(one,), holidays=calendar)
    of = dataclasses.replace(claim_with(), policy=claim(policy=terms).policy)
    (found,) = reckon(of).deadlines
    return found


def given(found: Deadline) -> list[tuple[str, str]]:
    assert found.working is not None
    return [(one.name, one.value) for one in found.working.inputs]


def test_business_days_leave_out_the_holidays_of_the_paper() -> None:
    found = under(EASTER, 2, unit="business_days")
    # Thursday the 2nd is the first, Tuesday the 7th the second.
    assert found.due == found.raw_end == dt.date(2026, 4, 7)
    assert [(one.day.day, one.name) for one in found.left_out] == [
        (3, "Good Friday"),
        (6, "Easter Monday"),
    ]
    assert given(found) == [
        ("from", "2026-04-01"),
        ("left out", "2026-04-03 Good Friday"),
        ("left out", "2026-04-06 Easter Monday"),
        ("holidays of", "Invented place, An invented act, section 1"),
        ("source", "Rule 6"),
    ]
    assert found.working is not None
    assert found.working.rule == (
        "2 business days (Monday to Friday) from the proof of loss; the day itself is excluded, "
        "the last day counts"
    )
    assert (found.working.result, found.working.clause) == ("2026-04-07", Clause(reference="12"))
    assert found.working.not_stated == ""


def test_without_a_calendar_no_day_is_left_out_and_that_is_said() -> None:
    found = under(None, 2, unit="business_days")
    assert (found.due, found.left_out) == (dt.date(2026, 4, 3), ())
    assert found.working is not None
    assert found.working.not_stated == "holidays not stated, taken as none"
    bare = under(HolidayCalendar(), 2, unit="business_days")
    assert bare.working is not None
    assert bare.working.not_stated == ""
    assert "holidays of" not in dict(given(bare))


def test_an_end_on_a_holiday_moves_on_only_where_the_rule_rolls() -> None:
    stays = under(EASTER, 2)
    assert (stays.due, stays.left_out) == (dt.date(2026, 4, 3), ())
    assert "holidays of" not in dict(given(stays))
    rolls = under(EASTER, 2, rolls=True)
    assert (rolls.raw_end, rolls.due) == (dt.date(2026, 4, 3), dt.date(2026, 4, 7))
    assert [one.day.day for one in rolls.left_out] == [3, 6]
    assert ("end before moving", "2026-04-03") in given(rolls)
    assert rolls.working is not None
    assert rolls.working.rule.endswith("; an end that is no business day moves to the next one")
    inside = under(EASTER, 7, rolls=True)
    # A holiday inside a period of calendar days counts like any other day.
    assert (inside.due, inside.left_out) == (dt.date(2026, 4, 9), (EASTER.days[4],))


def test_hours_pass_through_holidays() -> None:
    one = rule("return", 24, unit="hours")
    terms = Terms(deadlines=(one,), holidays=EASTER)
    of = dataclasses.replace(claim_with(), agreements=claim(terms=terms).agreements)
    (found,) = reckon(of).deadlines
    assert found.working is not None
    assert found.working.result == "2026-03-10 12:00+00:00"
    assert found.working.rule == "24 hours from the return"
    assert given(found) == [("from", "2026-03-09 12:00+00:00")]


def test_a_period_that_has_not_begun_cannot_be_said() -> None:
    found = of_policy("insurer_request")
    assert found.working is not None
    assert (found.working.result, found.working.inputs) == ("cannot be said yet", ())


# --- periods that other sentences of a paper hold ---------------------------------------------


def test_a_deposit_is_to_be_released_after_the_return() -> None:
    def released(deposit: DepositTerm | None) -> list[Deadline]:
        terms = Terms(deposit=deposit)
        of = dataclasses.replace(claim_with(), agreements=claim(terms=terms).agreements)
        return list(reckon(of).deadlines)

    clause = Clause(reference="8.1")
    (found,) = released(DepositTerm(form="held", release_days=14, clause=clause))
    assert (found.code, found.binds, found.clause) == ("deposit-release-a", "lessor", clause)
    assert (found.starts_on, found.due) == (dt.date(2026, 3, 9), dt.date(2026, 3, 23))
    assert released(DepositTerm(form="held")) == []
    assert released(None) == []


def test_a_replacement_is_to_be_proved_as_long_as_one_is_open() -> None:
    def to_prove(days: int | None, *findings: Finding) -> list[Deadline]:
        policy = claim(policy=PolicyTerms(holdback=Holdback(proof_within_days=days))).policy
        kit = tuple(line(f"k{n}", "100") for n in (1, 2))
        of = dataclasses.replace(claim_with(), policy=policy, kit=kit, findings=findings)
        return list(reckon(of).deadlines)

    still_open = missing("f1", "k1")
    replaced = missing("f2", "k2", replaced_for=Decimal(90))
    (found,) = to_prove(180, still_open, replaced)
    assert (found.code, found.binds) == ("replacement-proof", "us")
    assert (found.starts_on, found.due) == (dt.date(2026, 3, 4), dt.date(2026, 8, 31))
    assert to_prove(180, replaced) == []
    assert to_prove(180) == []
    assert to_prove(None, still_open) == []
