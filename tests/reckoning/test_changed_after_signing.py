"""A count that was changed after signing has one side behind it for the lines that were changed."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Signature
from ldapp.claim.signed_counts import signed_state
from ldapp.claim.terms import ClosingCount, OpeningCondition, Terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.objections import objection
from ldapp.reckoning.result import GroundFall
from tests.reckoning.answers import RETURN, ground, units
from tests.reckoning.claims import (
    CLAUSE,
    REPLACEMENT,
    at,
    claim,
    count,
    event,
    invoice,
    line,
    missing,
)


def signed(one: Count) -> Count:
    """Put a signature of each side under a count as it is."""
    state = signed_state(one)
    moment = one.at or at(1)
    return dataclasses.replace(
        one,
        signatures=(
            Signature(name="Ada", side="ours", at=moment, signed=state),
            Signature(name="Ben", side="theirs", at=moment, signed=state),
        ),
    )


def with_quantity(one: Count, on: str, quantity: int) -> Count:
    entries = tuple(
        dataclasses.replace(entry, quantity=quantity) if entry.line == on else entry
        for entry in one.entries
    )
    return dataclasses.replace(one, entries=entries)


def never_received(pickup: Count) -> GroundFall:
    of = claim(
        kit=[line(price="100", quantity=10), line("k2", price="100", quantity=4)],
        counts=[pickup, RETURN],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[invoice(units(5, "500", ground("never_received")))],
    )
    return reckon(of).charges[0].grounds[0]


PICKUP = count("c1", "pickup", at(1), {"k1": 9, "k2": 4})


def test_the_line_that_was_changed_is_no_longer_strong() -> None:
    assert never_received(signed(PICKUP)).strong
    changed = never_received(with_quantity(signed(PICKUP), "k1", 8))
    assert not changed.strong
    assert any("signed by both, but changed after signing" in one for one in changed.rests_on)


def test_a_change_of_another_line_takes_nothing_from_this_one() -> None:
    found = never_received(with_quantity(signed(PICKUP), "k2", 3))
    assert found.strong
    assert not any("changed" in one for one in found.rests_on)


def test_a_changed_time_bears_on_every_line() -> None:
    assert not never_received(dataclasses.replace(signed(PICKUP), at=at(2))).strong


def test_where_what_was_signed_is_unknown_nothing_is_said() -> None:
    bare = tuple(dataclasses.replace(one, signed=None) for one in signed(PICKUP).signatures)
    of = with_quantity(dataclasses.replace(signed(PICKUP), signatures=bare), "k1", 8)
    assert never_received(of).strong


def test_a_companys_own_ticket_stands_without_signatures() -> None:
    ticket = dataclasses.replace(
        signed(PICKUP), acknowledgement="on_company_ticket", acknowledged_by="Ben"
    )
    assert never_received(with_quantity(ticket, "k1", 8)).strong


def closed(returned: Count) -> Claim:
    return claim(
        kit=[line(price="100", quantity=10), line("k2", price="100", quantity=10)],
        counts=[returned, count("i", "check_in", at(10), {"k1": 6, "k2": 6}, "none")],
        findings=[missing(units=10)],
        occurrences=[event(day=None)],
        terms=Terms(
            valuation=REPLACEMENT, closing_count=ClosingCount(rule="lessor_controls", clause=CLAUSE)
        ),
    )


def test_beside_the_companys_own_count_only_what_was_signed_stands() -> None:
    returned = signed(count("r", "return", at(9), {"k1": 7, "k2": 8}))
    assert reckon(closed(returned)).totals.loss == Decimal(300)
    # The line that was changed follows the company's own count, one that says the same does not.
    changed = reckon(closed(with_quantity(returned, "k1", 8)))
    assert changed.totals.loss == Decimal(400)
    assert {one.line: one.missing for one in changed.counts} == {"k1": 4, "k2": 2}


@pytest.mark.parametrize(("note_added_later", "weakens"), [(False, False), (True, True)])
def test_damage_noted_after_signing_was_not_raised(note_added_later: bool, weakens: bool) -> None:
    plain = count("c1", "pickup", at(1), {"k1": 10})
    noted = dataclasses.replace(
        plain, entries=(CountEntry(line="k1", quantity=10, condition="damaged_before"),)
    )
    pickup = signed(noted)
    if note_added_later:
        pickup = dataclasses.replace(noted, signatures=signed(plain).signatures)
    terms = Terms(opening_condition=OpeningCondition(rule="as_is", clause=CLAUSE))
    index = ClaimIndex(claim(kit=[line(price="100", quantity=10)], counts=[pickup], terms=terms))
    against = objection("prior_damage", terms, index, index.claim.agreements[0].id, "k1", None)
    assert against is not None
    assert against.weakens is weakens
