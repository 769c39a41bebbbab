from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from ldapp.casework import counts, kit, papers
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.errors import LdappError


def test_a_line_number_is_given_once(stocked: OpenClaim) -> None:
    line = stocked.claim.kit[0]
    with pytest.raises(LdappError, match="Line number 2 is already"):
        kit.put_line(stocked, dataclasses.replace(line, number="2"))


def test_new_lines_are_numbered_on(stocked: OpenClaim) -> None:
    assert kit.add_empty_line(stocked, stocked.claim.agreements[0].id).number == "4"


def test_a_counted_line_is_not_removed(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "pickup")
    counts.enter_quantity(stocked, count.id, stocked.claim.kit[0].id, 12)
    with pytest.raises(LdappError, match="line 1 is named by a count"):
        kit.remove_lines(stocked, [one.id for one in stocked.claim.kit])
    assert len(stocked.claim.kit) == 3


def test_a_rental_company_in_use_is_not_removed(desk: OpenClaim) -> None:
    with pytest.raises(LdappError, match="named by agreement A-1"):
        papers.remove_party(desk, desk.claim.parties[0].id)


def test_an_agreement_with_lines_is_not_removed(stocked: OpenClaim) -> None:
    with pytest.raises(LdappError, match="3 kit lines"):
        papers.remove_agreement(stocked, stocked.claim.agreements[0].id)


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        ({"currency": "XQQ"}, "no currency"),
        ({"zone": "Mars/Olympus"}, "no time zone"),
        ({"reference": "  "}, "needs a reference"),
        ({"colour": "red"}, "no fact called colour"),
    ],
)
def test_facts_that_cannot_be_are_refused(
    desk: OpenClaim, facts: dict[str, str], says: str
) -> None:
    with pytest.raises(LdappError, match=says):
        papers.change_facts(desk, **facts)


def test_a_document_is_taken_in_once(register: Register, desk: OpenClaim, tmp_path: Path) -> None:
    paper = tmp_path / "police_report 7.pdf"
    paper.write_bytes(b"%PDF-1.4 invented")
    (document,) = papers.take_in_documents(desk, register.originals, [paper])
    assert document.kind == "police_report"
    assert register.originals.path_of(document.sha256).read_bytes() == paper.read_bytes()
    assert papers.take_in_documents(desk, register.originals, [paper]) == ()
    assert len(desk.claim.documents) == 1


def test_an_empty_file_is_no_paper(register: Register, desk: OpenClaim, tmp_path: Path) -> None:
    paper = tmp_path / "agreement.pdf"
    paper.write_bytes(b"")
    with pytest.raises(LdappError, match=r"agreement\.pdf is empty"):
        papers.take_in_documents(desk, register.originals, [paper])
    assert desk.claim.documents == ()


def test_documents_come_in_all_or_none(register: Register, desk: OpenClaim, tmp_path: Path) -> None:
    paper = tmp_path / "agreement.pdf"
    paper.write_bytes(b"%PDF-1.4 invented")
    with pytest.raises(LdappError):
        papers.take_in_documents(desk, register.originals, [paper, tmp_path / "gone.pdf"])
    assert desk.claim.documents == ()


def test_references_are_proposed_in_turn(register: Register, desk: OpenClaim) -> None:
    assert register.next_reference(2026) == "2026-002"
    assert register.next_reference(2027) == "2027-001"
