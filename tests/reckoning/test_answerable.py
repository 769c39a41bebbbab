"""For how many units the renter answers: closing count, wear, burned-out lamps, liability."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.causes import Cause
from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Occurrence, Repair
from ldapp.claim.terms import BurnOutTerm, ClosingCount, Liability, Provision, Terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.proposals import propose_grounds
from ldapp.reckoning.result import Step
from tests.reckoning.answers import falls
from tests.reckoning.claims import (
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
    missing,
)


def units(of: Claim) -> Step:
    """The step in which the first finding's units are counted."""
    return next(
        step for step in reckon(of).findings[0].working.steps[0].steps if step.label == "Units"
    )


def observed(of: Claim, code: str) -> list[str]:
    return [seen.says for seen in reckon(of).observations if seen.code == code]


# --- whose closing count decides ----------------------------------------------------------


def closed(rule: Any, acknowledgement: str = "one_side", check_in: int = 6) -> Claim:
    """Ten out; eight by our return count, fewer by the company's check-in."""
    term = None if rule is None else ClosingCount(rule=rule, clause=CLAUSE)
    return claim(
        kit=[line(price="100", quantity=10)],
        counts=[
            count("r", "return", at(9), {"k1": 8}, acknowledgement),
            count("i", "check_in", at(10), {"k1": check_in}, "none"),
        ],
        occurrences=[event(day=None)],
        findings=[missing(units=10)],
        terms=Terms(valuation=REPLACEMENT, closing_count=term),
    )


@pytest.mark.parametrize(
    ("rule", "acknowledgement", "owed"),
    [
        (None, "one_side", 200),
        ("silent", "one_side", 200),
        ("joint", "one_side", 200),
        ("lessor_controls", "one_side", 400),
        ("lessor_controls", "signed_by_both", 200),
    ],
)
def test_the_count_that_the_agreement_follows_decides(
    rule: str | None, acknowledgement: str, owed: int
) -> None:
    of = closed(rule, acknowledgement)
    assert reckon(of).totals.loss == Decimal(owed)


def test_the_units_say_whose_count_was_taken() -> None:
    step = units(closed("lessor_controls"))
    assert ("closing count", "the rental company's own count decides") in [
        (given.name, given.value) for given in step.inputs
    ]
    assert step.clause == CLAUSE
    silent = units(closed(None))
    assert silent.not_stated.startswith("closing count not stated in the agreement, taken as")
    # Where both counts leave the same there is nothing to choose.
    alike = units(closed("lessor_controls", check_in=8))
    assert "closing count" not in [given.name for given in alike.inputs]
    assert units(closed(None, check_in=8)).not_stated == ""


def test_under_the_companys_own_count_nothing_went_after_the_return() -> None:
    (counts,) = reckon(closed("lessor_controls")).counts
    assert (counts.back, counts.back_from) == (6, "check_in")
    assert (counts.missing, counts.missing_after_return) == (4, 0)
    assert len(counts.brackets) == 4
    assert observed(closed("lessor_controls"), "one_sided_check_in") == [
        (
            "the rental company's own count decides by the agreement; ours is acknowledged by one "
            "side alone"
        )
    ]


def test_without_a_check_in_our_count_stands_although_theirs_controls() -> None:
    of = closed("lessor_controls")
    alone = dataclasses.replace(of, counts=of.counts[:1])
    (counts,) = reckon(alone).counts
    assert (counts.back, counts.back_from) == (8, "return_count")


def test_a_joint_count_that_was_not_held_is_named() -> None:
    of = closed("joint")
    theirs = dataclasses.replace(of, counts=of.counts[1:])
    assert observed(theirs, "one_sided_check_in") == [
        (
            "only the rental company counted it back: one side, theirs; the agreement asks for a "
            "joint count"
        )
    ]


# --- lamps that burned out ----------------------------------------------------------------

ESTIMATE = Repair(parts=Decimal(80), document="d")
SHORT = BurnOutTerm(rule="free_on_short_rental", short_rental_days=7, clause=CLAUSE)


def lamp(term: BurnOutTerm | None, found: Any, days: int | None = 7, *codes: Any) -> Claim:
    ends = None if days is None else at(1) + dt.timedelta(days=days)
    return claim(
        kit=[line(price="80")],
        occurrences=[event()],
        terms=Terms(valuation=REPLACEMENT, burn_outs=term),
        agreement={"starts": at(1), "ends": ends},
        findings=[found],
        invoices=[invoice(charge("h1", "80", codes, kind="lamp", finding="f1"))] if codes else [],
    )


def dead(**more: Any) -> Any:
    return damaged(repair=ESTIMATE, cause="burn_out", **more)


@pytest.mark.parametrize(
    ("term", "days", "owed"),
    [
        (None, 7, 0),
        (BurnOutTerm(rule="free_if_returned"), 30, 0),
        (BurnOutTerm(rule="renter"), 7, 80),
        (SHORT, 7, 0),
        (SHORT, 8, 80),
        (SHORT, None, 80),
        (BurnOutTerm(rule="free_on_short_rental"), 0, 80),
    ],
)
def test_a_dead_lamp_that_came_back(term: BurnOutTerm | None, days: int | None, owed: int) -> None:
    assert reckon(lamp(term, dead(), days)).totals.loss == Decimal(owed)


def test_a_rental_without_a_start_is_no_short_one() -> None:
    of = lamp(SHORT, dead())
    undated = dataclasses.replace(of.agreements[0], starts=None)
    assert reckon(dataclasses.replace(of, agreements=(undated,))).totals.loss == Decimal(80)


def test_a_lamp_that_is_missing_stays_owed_whatever_the_clause_says() -> None:
    for term in (None, SHORT, BurnOutTerm(rule="free_if_returned")):
        assert reckon(lamp(term, missing(cause="burn_out"))).totals.loss == Decimal(80)


def test_the_working_says_why_a_lamp_is_free() -> None:
    step = units(lamp(SHORT, dead()))
    assert step.rule == "lamps that burn out are the rental company's: 7 days, at most 7"
    assert step.clause == CLAUSE
    silent = units(lamp(None, dead()))
    assert silent.not_stated == (
        "burn-outs not stated in the agreement, taken as free where the lamp comes back"
    )
    stated = units(lamp(BurnOutTerm(rule="free_if_returned", clause=CLAUSE), dead()))
    assert (stated.result, stated.not_stated, stated.clause) == ("0", "", CLAUSE)


def test_the_ground_takes_a_billed_lamp_and_is_proposed() -> None:
    (answer,) = reckon(lamp(SHORT, dead(), 7, "used_up")).charges
    assert falls(answer) == {"used_up": Decimal(80)}
    assert answer.owed == Decimal(0)
    bare = lamp(SHORT, dead(), 7, "value_basis")
    codes = [proposal.choice.code for proposal in propose_grounds(bare)]
    assert codes == ["used_up"]
    owed = lamp(BurnOutTerm(rule="renter"), dead(), 7, "value_basis")
    assert [proposal.choice.code for proposal in propose_grounds(owed)] == []


# --- wear ---------------------------------------------------------------------------------


def test_wear_is_proposed_only_where_the_agreement_leaves_it_out() -> None:
    def proposed(applies: bool) -> list[str]:
        of = claim(
            kit=[line(price="80")],
            occurrences=[event()],
            findings=[damaged(repair=ESTIMATE, cause="wear")],
            invoices=[invoice(charge("h1", "80", [], kind="repair", finding="f1"))],
            terms=Terms(
                valuation=REPLACEMENT, wear_excepted=Provision(applies=applies, clause=CLAUSE)
            ),
        )
        return [str(proposal.choice.code) for proposal in propose_grounds(of)]

    assert "ordinary_wear" in proposed(True)
    assert "ordinary_wear" not in proposed(False)


# --- liability ----------------------------------------------------------------------------


def liable(term: Liability | None, cause: Cause | None, fault: bool | None, *codes: Any) -> Claim:
    one: Occurrence = dataclasses.replace(event(), cause=cause, our_fault=fault)
    return claim(
        kit=[line(price="100", quantity=2)],
        occurrences=[one],
        findings=[missing(units=2)],
        invoices=[
            invoice(charge("h1", "200", codes, quantity=Decimal(2), finding="f1"))
        ] if codes else [],
        terms=Terms(valuation=REPLACEMENT, liability=term),
    )  # fmt: skip


FAULT = Liability(rule="fault_only", clause=CLAUSE)
PERILS = Liability(rule="waived_perils", perils=("fire", "weather"), clause=CLAUSE)


@pytest.mark.parametrize(
    ("term", "cause", "fault", "owed"),
    [
        (None, "fire", False, 200),
        (Liability(rule="any_cause"), "fire", False, 200),
        (FAULT, "fire", False, 0),
        (FAULT, "fire", True, 200),
        (FAULT, "fire", None, 200),
        (PERILS, "fire", None, 0),
        (PERILS, "theft", None, 200),
        (PERILS, None, False, 200),
    ],
)
def test_the_renter_answers_as_far_as_the_agreement_says(
    term: Liability | None, cause: Cause | None, fault: bool | None, owed: int
) -> None:
    assert reckon(liable(term, cause, fault)).totals.loss == Decimal(owed)


def test_a_loss_without_an_event_is_presumed_to_be_the_renters_fault() -> None:
    of = liable(FAULT, "fire", False)
    loose = dataclasses.replace(
        of, findings=(dataclasses.replace(of.findings[0], occurrence=None),)
    )
    assert reckon(loose).totals.loss == Decimal(200)
    assert observed(loose, "fault_presumed") == [
        "the renter answers for fault alone; nobody has said whose it was, so it is presumed"
    ]
    assert observed(of, "fault_presumed") == []


def test_the_working_says_on_what_liability_rests() -> None:
    step = units(liable(FAULT, "fire", False))
    assert step.rule == "the renter answers for fault alone, and this was not the renter's"
    assert step.clause == CLAUSE
    assert units(liable(PERILS, "weather", None)).rule.endswith(": wind, storm or flood")
    open_one = units(liable(FAULT, "fire", None))
    assert ("fault", "not said, presumed to be the renter's") in [
        (given.name, given.value) for given in open_one.inputs
    ]
    assert open_one.clause == CLAUSE
    silent = units(liable(None, "fire", False))
    assert silent.not_stated == "liability not stated in the agreement, taken as for any cause"
    assert units(liable(None, "fire", None)).not_stated == ""


def test_the_ground_takes_what_the_renter_does_not_answer_for() -> None:
    (answer,) = reckon(liable(PERILS, "fire", None, "not_liable")).charges
    assert falls(answer) == {"not_liable": Decimal(200)}
    (proposal,) = propose_grounds(liable(PERILS, "fire", None, "value_basis"))
    assert (proposal.choice.code, proposal.amount) == ("not_liable", Decimal(200))


def test_a_ground_that_is_off_gives_nothing_back_of_what_the_terms_excuse() -> None:
    def owed(received: int | None, on: bool) -> Decimal:
        never = GroundChoice(code="never_received", on=on)
        of = liable(PERILS, "fire", None, never, GroundChoice(code="quantity"))
        if received is not None:
            of = dataclasses.replace(of, counts=(count("p", "pickup", at(1), {"k1": received}),))
        (answer,) = reckon(of).charges
        return answer.owed

    assert [owed(received, on=False) for received in (None, 2, 1, 0)] == [Decimal(0)] * 4
    assert [owed(received, on=True) for received in (None, 2, 1, 0)] == [Decimal(0)] * 4
    short = dataclasses.replace(
        liable(PERILS, "fire", None, "never_received", "quantity"),
        counts=(count("p", "pickup", at(1), {"k1": 1}),),
    )
    (answer,) = reckon(short).charges
    assert falls(answer) == {"never_received": Decimal(100), "quantity": Decimal(100)}
