"""Which papers a policy asks for, and which are missing."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.casework.register import Register
from ldapp.casework.summary import empty_summary
from ldapp.casework.wanted_papers import paper_states, papers_missing, state_wanted_papers
from ldapp.casework.weak_points import find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.documents import Document
from ldapp.claim.findings import Repair
from ldapp.claim.policy import WantedPaper
from ldapp.errors import LdappError
from tests.casework.school_claims import keep, school_claim
from tests.reckoning.claims import damaged, event

MAY = dt.date(2026, 5, 1)


def missing(claim: Claim) -> list[tuple[str, str]]:
    return [(one.kind, one.concerns) for one in paper_states(claim) if one.state == "missing"]


def paper(key: str, kind: str) -> Document:
    return Document(id=key, title=f"Paper {key}", kind=kind)  # type: ignore[arg-type]


def test_the_usual_papers_are_asked_for_where_the_policy_does_not_say() -> None:
    claim = school_claim(1, "600", MAY)
    assert missing(claim) == [
        ("proof_of_loss", ""),
        ("certificate_of_insurance", ""),
        ("agreement", ""),
        ("police_report", "An event"),
    ]
    assert papers_missing(claim) == empty_summary(claim).papers_missing == 4
    with_papers = dataclasses.replace(
        claim, documents=(paper("1", "proof_of_loss"), paper("2", "police_report"))
    )
    assert missing(with_papers) == [("certificate_of_insurance", ""), ("agreement", "")]
    assert paper_states(dataclasses.replace(claim, policy=None)) == ()


def test_each_damage_needs_an_estimate_and_each_replacement_its_receipt() -> None:
    claim = dataclasses.replace(
        school_claim(1, "600", MAY),
        occurrences=(event(day=MAY, cause="drop_or_impact"),),
        findings=(
            damaged("f1"),
            damaged("f2", repair=Repair(document="e")),
            damaged("f3", replaced_for=Decimal(10)),
        ),
        documents=(paper("e", "repair_estimate"), paper("r", "receipt")),
    )
    states = [
        (one.kind, one.state) for one in paper_states(claim)
        if one.kind in ("repair_estimate", "receipt", "police_report")
    ]  # fmt: skip
    assert states == [
        ("repair_estimate", "missing"),
        ("repair_estimate", "there"),
        ("receipt", "there"),
    ]


def test_one_report_does_not_stand_for_two_thefts_unless_it_is_named_there() -> None:
    claim = dataclasses.replace(
        school_claim(1, "600", MAY),
        occurrences=(
            event("o1", day=MAY, documents=("p",)),
            event("o2", day=MAY, cause="vandalism"),
            event("o3", day=MAY, cause="water"),
        ),
        documents=(paper("p", "police_report"),),
    )
    states = [one.state for one in paper_states(claim) if one.kind == "police_report"]
    assert states == ["there", "missing"]


def test_what_the_policy_asks_for_replaces_the_usual_papers(register: Register) -> None:
    keep(register, school_claim(1, "600", MAY))
    desk = register.open("s1")
    wanted = (WantedPaper(kind="incident_report", clause=Clause(reference="9.1")),)
    assert state_wanted_papers(desk, wanted)
    (one,) = paper_states(desk.claim)
    assert (one.what, one.clause, one.state) == ("Incident report", "9.1", "missing")
    register.reckon(desk)
    assert register.summaries()[0].papers_missing == 1
    assert desk.undo() == "State which papers the insurer asks for"
    assert len(paper_states(desk.claim)) == 4


def test_without_a_policy_nothing_can_be_stated(register: Register) -> None:
    desk = register.create("1", "One", "USD", "UTC")
    with pytest.raises(LdappError, match="no policy yet"):
        state_wanted_papers(desk, ())


def test_missing_papers_are_a_weak_point_with_their_names() -> None:
    claim = school_claim(1, "600", MAY)
    (point,) = (
        one for one in find_weak_points(claim, None, {}, MAY) if one.code == "papers_missing"
    )
    assert "Police report (An event)" in point.says
