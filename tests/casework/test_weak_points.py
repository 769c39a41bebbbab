"""Each weak point appears with its cause and goes when it is cured."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from decimal import Decimal

import pytest

from ldapp.casework import charges, counts, findings, papers
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.places import PAGES
from ldapp.casework.study import place_of, study
from ldapp.casework.weak_points import GRAVITIES, WeakPoint, open_points_by_page
from ldapp.claim.charges import GroundChoice
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.findings import Repair
from ldapp.claim.terms import StraightLine, ValuationRule

AT = dt.datetime(2026, 3, 2, 7, 30, tzinfo=dt.timezone(dt.timedelta(hours=-7)))
TODAY = dt.date(2026, 3, 20)


def points(desk: OpenClaim, today: dt.date = TODAY) -> tuple[WeakPoint, ...]:
    return study(desk.claim, today).weak_points


def codes(desk: OpenClaim, today: dt.date = TODAY) -> set[str]:
    return {point.code for point in points(desk, today)}


def first_line(desk: OpenClaim) -> str:
    return desk.claim.kit[0].id


def state_basis(desk: OpenClaim, life: int = 60) -> None:
    agreement = desk.claim.agreements[0]
    terms = dataclasses.replace(
        agreement.terms,
        valuation=ValuationRule(bases=("actual_cash_value",)),
        depreciation=StraightLine(life_months=life),
    )
    papers.put_agreement(desk, dataclasses.replace(agreement, terms=terms))


Act = Callable[[OpenClaim], object]


def count_at_pickup(desk: OpenClaim) -> None:
    count = counts.add_count(desk, "pickup", AT)
    counts.enter_quantities(desk, count.id, {line.id: line.quantity for line in desk.claim.kit})


def acknowledge(desk: OpenClaim) -> None:
    counts.acknowledge(desk, desk.claim.counts[0].id, "signed_by_both", "Ben")


def dent(desk: OpenClaim) -> None:
    findings.add_finding(desk, first_line(desk), "damaged")


def estimate(desk: OpenClaim) -> None:
    finding = desk.claim.findings[0]
    findings.put_finding(desk, dataclasses.replace(finding, repair=Repair(labour=Decimal("80.00"))))


def theft(desk: OpenClaim) -> None:
    occurrence = findings.add_occurrence(desk, "Van broken into")
    findings.put_occurrence(desk, dataclasses.replace(occurrence, cause="theft_from_vehicle"))


def report(desk: OpenClaim) -> None:
    occurrence = desk.claim.occurrences[0]
    findings.put_occurrence(desk, dataclasses.replace(occurrence, police_report="PR 7"))


def bill(desk: OpenClaim) -> None:
    invoice = charges.add_invoice(desk, desk.claim.agreements[0].id, "LD-1", dt.date(2026, 3, 9))
    charge = charges.add_charge(desk, invoice.id, "C-stand", Decimal("90.00"))
    charges.put_charge(desk, dataclasses.replace(charge, kind="missing"))


def match(desk: OpenClaim) -> None:
    charge = desk.claim.invoices[0].charges[0]
    charges.match_charge(desk, charge.id, first_line(desk), None, "by hand")


def bare_ground(desk: OpenClaim) -> None:
    bill(desk)
    charge = desk.claim.invoices[0].charges[0]
    charges.put_ground(desk, charge.id, GroundChoice(code="returned"))


def proven_ground(desk: OpenClaim) -> None:
    charge = desk.claim.invoices[0].charges[0]
    charges.put_ground(desk, charge.id, GroundChoice(code="returned", clause="7.2"))


@pytest.mark.parametrize(
    ("code", "cause", "cure"),
    [
        ("basis_not_stated", lambda desk: None, state_basis),
        ("no_pickup_count", lambda desk: None, count_at_pickup),
        ("count_not_acknowledged", count_at_pickup, acknowledge),
        ("damage_without_photo", dent, lambda desk: desk.undo()),
        ("no_estimate", dent, estimate),
        ("no_police_report", theft, report),
        ("charge_not_matched", bill, match),
        ("ground_without_proof", bare_ground, proven_ground),
    ],
)
def test_a_weak_point_is_there_until_it_is_cured(
    stocked: OpenClaim, code: str, cause: Act, cure: Act
) -> None:
    cause(stocked)
    assert code in codes(stocked)
    cure(stocked)
    assert code not in codes(stocked)


def test_a_repair_without_its_paper_is_weak(stocked: OpenClaim) -> None:
    dent(stocked)
    estimate(stocked)
    assert "repair_undocumented" in codes(stocked)


def test_a_deadline_shows_a_week_before_and_grows_grave(stocked: OpenClaim) -> None:
    agreement = stocked.claim.agreements[0]
    rule = DeadlineRule(
        code="objection", title="Object in writing", starts="invoice_date", length=30
    )
    papers.put_agreement(
        stocked,
        dataclasses.replace(
            agreement, terms=dataclasses.replace(agreement.terms, deadlines=(rule,))
        ),
    )
    bill(stocked)
    due = dt.date(2026, 4, 8)
    assert "deadline" not in codes(stocked, due - dt.timedelta(days=8))
    (early,) = [
        one for one in points(stocked, due - dt.timedelta(days=7)) if one.code == "deadline"
    ]
    assert early.gravity == "weak"
    (late,) = [one for one in points(stocked, due) if one.code == "deadline"]
    assert late.gravity == "grave"
    assert "is due today" in late.says
    papers.move_to_stage(stocked, "closed")
    assert "deadline" not in codes(stocked, due)


def test_a_term_that_cannot_be_is_grave_and_nothing_is_reckoned(stocked: OpenClaim) -> None:
    state_basis(stocked, life=0)
    found = study(stocked.claim, TODAY)
    assert found.reckoning is None
    assert found.weak_points[0].code == "cannot_be"
    assert found.weak_points[0].place.key == stocked.claim.agreements[0].id
    assert "life_months" in found.weak_points[0].place.field


def test_every_point_says_why_and_what_cures_it_and_leads_to_a_page(stocked: OpenClaim) -> None:
    dent(stocked)
    theft(stocked)
    bare_ground(stocked)
    found = points(stocked)
    assert len(found) > 6
    for point in found:
        assert point.says.endswith(".")
        assert point.why
        assert point.cure
        assert point.place.page in PAGES
    order = [GRAVITIES.index(point.gravity) for point in found]
    assert order == sorted(order)


def test_notes_are_not_counted_as_open(stocked: OpenClaim) -> None:
    found = points(stocked)
    assert sum(open_points_by_page(found).values()) == sum(
        point.gravity != "note" for point in found
    )


def test_a_path_of_the_claim_file_leads_to_its_place(stocked: OpenClaim) -> None:
    place = place_of(stocked.claim, "kit[1].quantity")
    assert (place.page, place.key, place.field) == ("kit", stocked.claim.kit[1].id, "quantity")
    assert place_of(stocked.claim, "nowhere").page == "papers"


def test_a_ground_without_proof_is_called_by_its_name(stocked: OpenClaim) -> None:
    bill(stocked)
    charge = stocked.claim.invoices[0].charges[0]
    charges.put_ground(stocked, charge.id, GroundChoice(code="repair_undocumented"))
    (one,) = [point for point in points(stocked) if point.code == "ground_without_proof"]
    assert "“repair not documented” rests on nothing that is named" in one.says
