"""The register's rows as they stand on the day that they are read."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import pytest

from ldapp.app import rows_before_opening
from ldapp.casework.register import Register, fresh_summary, is_old
from ldapp.claim.documents import Correspondence
from ldapp.claim.figures import DeadlineFigure
from ldapp.errors import LdappError
from tests.casework.school_claims import keep, school_claim

TODAY = dt.datetime.now(dt.UTC).date()
DAY = dt.timedelta(days=1)


def asked(key: str, reply_by: dt.date) -> Correspondence:
    return Correspondence(
        id=key, at=dt.datetime(2026, 3, 2, 12, tzinfo=dt.UTC), direction="received",
        channel="email", step="reply", subject=f"Letter {key}", reply_by=reply_by,
    )  # fmt: skip


def test_a_deadline_that_has_passed_gives_way_to_the_next_without_a_reckoning(
    register: Register,
) -> None:
    claim = school_claim(1, "600", TODAY - 30 * DAY, correspondence=(asked("a", TODAY + DAY),))
    keep(register, claim, school_claim(2, "600", TODAY - 30 * DAY))
    row = register.summaries()[1]
    assert (row.next_deadline, row.next_deadline_title) == (TODAY + DAY, "Answer: Letter a")
    figures = fresh_summary(claim).figures
    assert figures is not None
    later = (
        DeadlineFigure(due=TODAY - DAY, title="Yesterday"),
        DeadlineFigure(due=TODAY, title="Today"),
        DeadlineFigure(due=TODAY + DAY, title="Tomorrow"),
    )
    # As it was written the day before yesterday.
    register._library.write_summary(
        dataclasses.replace(
            fresh_summary(claim),
            next_deadline=TODAY - DAY,
            next_deadline_title="Yesterday",
            figures=dataclasses.replace(figures, deadlines=later),
        )
    )
    row = register.summaries()[1]
    assert (row.next_deadline, row.next_deadline_title) == (TODAY, "Today")
    # Before the library is open only that it has passed is known.
    (row,) = [one for one in rows_before_opening(register.folder) or () if one.claim == "s1"]
    assert (row.next_deadline, row.next_deadline_title) == (None, "")
    register._library.write_summary(
        dataclasses.replace(
            fresh_summary(claim),
            next_deadline=TODAY - DAY,
            figures=dataclasses.replace(figures, deadlines=later[:1]),
        )
    )
    assert register.summaries()[1].next_deadline is None


def test_all_coming_deadlines_are_kept_in_their_order(register: Register) -> None:
    letters = (asked("b", TODAY + 9 * DAY), asked("a", TODAY + DAY), asked("c", TODAY - DAY))
    figures = fresh_summary(school_claim(1, "600", TODAY, correspondence=letters)).figures
    assert figures is not None
    assert [(one.due, one.title) for one in figures.deadlines] == [
        (TODAY + DAY, "Answer: Letter a"),
        (TODAY + 9 * DAY, "Answer: Letter b"),
    ]


def test_rows_of_an_older_make_are_made_anew(register: Register) -> None:
    claim = school_claim(1, "600", TODAY)
    keep(register, claim)
    assert not is_old(register.summaries()[0])
    register._library.write_summary(
        dataclasses.replace(fresh_summary(claim), reckoning_version="2", figures=None)
    )
    assert is_old(register.summaries()[0])
    assert register.refresh_summaries() == 1
    assert not is_old(register.summaries()[0])


def test_a_claim_file_is_never_written_over_another_claims(
    register: Register, tmp_path: Path
) -> None:
    keep(register, school_claim(1, "600", TODAY), school_claim(2, "600", TODAY))
    written = register.write_claim_file("s1", tmp_path / "out")
    before = written.read_bytes()
    with pytest.raises(LdappError, match=r"Another claim lies in .*2026-001"):
        register.write_claim_file("s2", tmp_path / "out")
    assert written.read_bytes() == before
    desk = register.open("s1")
    desk.change("Rename", lambda claim: dataclasses.replace(claim, title="New"))
    assert register.write_claim_file("s1", tmp_path / "out").read_bytes() != before
