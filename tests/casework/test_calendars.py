"""Deadlines of many claims in one calendar file, read back with the library for RFC 5545."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path
from typing import Any

import icalendar
import pytest

from ldapp.casework.calendars import write_calendar
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Correspondence
from ldapp.errors import LdappError, MachineError
from tests.casework.school_claims import keep, policy_of, school_claim, school_terms

MAY = dt.date(2026, 5, 1)
RULE = DeadlineRule(code="notice", title="Tell the insurer", starts="loss", length=10)


def with_deadline(number: int, **more: Any) -> Claim:
    terms = dataclasses.replace(school_terms(), deadlines=(RULE,))
    return school_claim(number, "600", MAY, terms=terms, **more)


def events(path: Path) -> list[Any]:
    return icalendar.Calendar.from_ical(path.read_bytes()).walk("VEVENT")


def test_chosen_claims_stand_in_one_file_with_identifiers_that_stay(
    register: Register, tmp_path: Path
) -> None:
    asked = Correspondence(
        id="l", at=dt.datetime(2026, 5, 20, 9, tzinfo=dt.UTC), direction="received",
        channel="email", subject="Your claim", reply_by=dt.date(2026, 6, 3),
    )  # fmt: skip
    keep(register, with_deadline(1), with_deadline(2, correspondence=(asked,)), with_deadline(3))
    first = write_calendar(register, ["s1", "s2"], tmp_path / "a.ics")
    assert (first.events, first.left_out) == (3, ())
    found = events(tmp_path / "a.ics")
    assert {(str(one["summary"]), one.decoded("dtstart")) for one in found} == {
        ("2026-001: Tell the insurer", dt.date(2026, 5, 11)),
        ("2026-002: Tell the insurer", dt.date(2026, 5, 11)),
        ("2026-002: Answer: Your claim", dt.date(2026, 6, 3)),
    }
    desk = register.open("s1")
    policy = policy_of(desk.claim)
    later = dataclasses.replace(
        policy.terms, deadlines=(dataclasses.replace(RULE, length=20, title="Tell them"),)
    )
    desk.change(
        "Later",
        lambda claim: dataclasses.replace(claim, policy=dataclasses.replace(policy, terms=later)),
    )
    write_calendar(register, ["s1", "s2"], tmp_path / "b.ics")
    again = events(tmp_path / "b.ics")
    assert {str(one["uid"]) for one in again} == {str(one["uid"]) for one in found}
    assert len({str(one["uid"]) for one in found}) == 3
    assert any(one.decoded("dtstart") == dt.date(2026, 5, 21) for one in again)


def test_the_same_rule_of_two_papers_gives_two_events(register: Register, tmp_path: Path) -> None:
    terms = dataclasses.replace(school_terms(), deadlines=(RULE, RULE))
    keep(register, school_claim(1, "600", MAY, terms=terms))
    write_calendar(register, ["s1"], tmp_path / "a.ics")
    assert len({str(one["uid"]) for one in events(tmp_path / "a.ics")}) == 2


def test_claims_that_are_done_and_claims_that_cannot_be_reckoned_are_passed_over(
    register: Register, tmp_path: Path
) -> None:
    broken = with_deadline(2)
    agreement = broken.agreements[0]
    keep(register, with_deadline(1), with_deadline(3, stage="closed"))
    impossible = dataclasses.replace(agreement.terms, deadlines=(RULE,))
    period = dataclasses.replace(
        policy_of(broken).terms.period,  # type: ignore[type-var]
        ends=dt.datetime(2020, 1, 1, tzinfo=dt.UTC),
    )
    wrong = dataclasses.replace(
        broken,
        agreements=(dataclasses.replace(agreement, terms=impossible),),
        policy=dataclasses.replace(
            policy_of(broken), terms=dataclasses.replace(policy_of(broken).terms, period=period)
        ),
    )
    keep(register, wrong)
    result = write_calendar(register, ["s1", "s2", "s3"], tmp_path / "a.ics", with_done=False)
    assert (result.events, result.left_out) == (1, ("2026-002",))


def test_without_deadlines_nothing_is_written(register: Register, tmp_path: Path) -> None:
    keep(register, school_claim(1, "600", MAY))
    with pytest.raises(LdappError, match="None of these claims has a deadline"):
        write_calendar(register, ["s1"], tmp_path / "a.ics")
    assert list(tmp_path.glob("*.ics*")) == []


def test_a_folder_that_is_not_there_gets_a_sentence(register: Register, tmp_path: Path) -> None:
    keep(register, with_deadline(1))
    with pytest.raises(MachineError, match="cannot be written"):
        write_calendar(register, ["s1"], tmp_path / "no" / "a.ics")
