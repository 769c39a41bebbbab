from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.casework import charges, findings
from ldapp.casework.charge_matching import propose_matches
from ldapp.casework.open_claim import OpenClaim
from ldapp.claim.charges import ChargeKind
from ldapp.errors import LdappError


def bill(desk: OpenClaim, description: str, kind: ChargeKind = "missing") -> str:
    if not desk.claim.invoices:
        charges.add_invoice(desk, desk.claim.agreements[0].id, "LD-1", dt.date(2026, 3, 9))
    charge = charges.add_charge(desk, desk.claim.invoices[0].id, description, Decimal("50.00"))
    charges.put_charge(desk, dataclasses.replace(charge, kind=kind))
    return charge.id


def line_number(desk: OpenClaim, line: str) -> str:
    return next(one.number for one in desk.claim.kit if one.id == line)


def test_a_charge_is_matched_by_its_words(stocked: OpenClaim) -> None:
    bill(stocked, "C-Stand 40in w/ head & arm, missing")
    (match,) = propose_matches(stocked.claim)
    assert line_number(stocked, match.line) == "1"
    assert "worded like line 1" in match.reason


def test_a_serial_number_says_more_than_words(stocked: OpenClaim) -> None:
    bill(stocked, "Stinger panel, serial px-1002, repair", "repair")
    (match,) = propose_matches(stocked.claim)
    assert line_number(stocked, match.line) == "2"
    assert match.reason == "names PX-1002, a number of line 2"


def test_words_of_nothing_on_the_list_match_nothing(stocked: OpenClaim) -> None:
    bill(stocked, "Walkie battery")
    assert propose_matches(stocked.claim) == ()


def test_tax_and_fees_are_matched_with_no_line(stocked: OpenClaim) -> None:
    bill(stocked, "Stinger 50 ft tax", "tax")
    assert propose_matches(stocked.claim) == ()


def test_an_accepted_match_names_the_finding(stocked: OpenClaim) -> None:
    line = next(one.id for one in stocked.claim.kit if one.number == "3")
    finding = findings.add_finding(stocked, line, "missing", 3)
    charge = bill(stocked, "Stinger 50 ft")
    charges.accept_matches(stocked, propose_matches(stocked.claim))
    found = charges.find_charge(stocked.claim, charge)
    assert (found.line, found.finding) == (line, finding.id)
    findings.remove_findings(stocked, (finding.id,))
    assert charges.find_charge(stocked.claim, charge).finding is None
    stocked.undo()
    assert charges.find_charge(stocked.claim, charge).finding == finding.id


def test_a_ground_keeps_its_words_when_it_is_switched_off(stocked: OpenClaim) -> None:
    charge = bill(stocked, "Stinger 50 ft")
    charges.switch_ground(stocked, charge, "returned", True)
    (ground,) = charges.find_charge(stocked.claim, charge).grounds
    charges.put_ground(stocked, charge, dataclasses.replace(ground, words="Back on ticket 88."))
    charges.switch_ground(stocked, charge, "returned", False)
    (ground,) = charges.find_charge(stocked.claim, charge).grounds
    assert (ground.on, ground.words) == (False, "Back on ticket 88.")


def test_an_invoice_in_another_currency_is_refused(stocked: OpenClaim) -> None:
    invoice = charges.add_invoice(
        stocked, stocked.claim.agreements[0].id, "LD-2", dt.date(2026, 3, 9)
    )
    with pytest.raises(LdappError, match="one currency"):
        charges.put_invoice(stocked, dataclasses.replace(invoice, currency="EUR"))


def test_a_charge_that_was_removed_says_so(stocked: OpenClaim) -> None:
    charge = bill(stocked, "Stinger 50 ft")
    charges.remove_charges(stocked, (charge,))
    with pytest.raises(LdappError, match="no longer in the claim"):
        charges.switch_ground(stocked, charge, "returned", True)


def test_what_nobody_looked_at_is_no_answer_yet(stocked: OpenClaim) -> None:
    one, other = bill(stocked, "Stinger 50 ft"), bill(stocked, "C-stand")
    bill(stocked, "Sales tax", "tax")

    def says(charge: str) -> str:
        return charges.answer_says(charges.find_charge(stocked.claim, charge), "not_disputed")

    assert [each.id for each in charges.unweighed_charges(stocked.claim)] == [one, other]
    assert says(one) == "not weighed"
    charges.switch_ground(stocked, one, "returned", False)
    assert says(one) == "not disputed"
    assert charges.conceded_unweighed(stocked.claim, None).startswith("1 charge has not been")
    charges.set_open_until_documented(stocked, other, True)
    assert charges.conceded_unweighed(stocked.claim, None) == ""


def test_a_charge_matched_with_what_is_missing_becomes_one_for_missing_units(
    stocked: OpenClaim,
) -> None:
    line = next(one.id for one in stocked.claim.kit if one.number == "3")
    finding = findings.add_finding(stocked, line, "missing", 3)
    other, repair = bill(stocked, "Stinger 50 ft", "other"), bill(stocked, "Stinger", "repair")
    charges.accept_matches(stocked, propose_matches(stocked.claim))
    assert charges.find_charge(stocked.claim, other).kind == "missing"
    charges.match_charge(stocked, repair, line, finding.id, "by hand")
    assert charges.find_charge(stocked.claim, repair).kind == "repair"
    charges.set_kind(stocked, (other, repair), "fee")
    assert charges.find_charge(stocked.claim, other).kind == "fee"
    stocked.undo()
    assert charges.find_charge(stocked.claim, repair).kind == "repair"
