"""Deadlines in a calendar file."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any

import icalendar

from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.exchange.calendar import deadlines_as_calendar
from ldapp.reckoning.result import Deadline

CLAIM = Claim(id="c", reference="EX-1", title="Invented", currency="EUR", zone="Europe/Berlin")
STAMP = dt.datetime(2026, 3, 1, 12, 0, tzinfo=dt.timezone(dt.timedelta(hours=1)))
ANSWER = Deadline(
    code="answer",
    title="Answer the invoice; \nDTSTART:19700101, “now”",
    binds="us",
    started_by="invoice_received",
    started=None,
    starts_on=dt.date(2026, 3, 13),
    raw_end=dt.date(2026, 3, 27),
    due=dt.date(2026, 3, 27),
    due_at=None,
    needs="a letter",
    source="",
    from_memory=False,
    clause=Clause(reference="11"),
)
NOTICE = dataclasses.replace(
    ANSWER,
    code="notice",
    title="Tell the insurer",
    binds="insurer",
    due_at=dt.datetime(2026, 3, 29, 3, 0, tzinfo=dt.timezone(dt.timedelta(hours=2))),
    source="Some statute",
    from_memory=True,
    clause=None,
)


def events(*deadlines: Deadline) -> list[Any]:
    data = deadlines_as_calendar([(CLAIM, deadlines)], STAMP)
    assert data.endswith(b"END:VCALENDAR\r\n")
    return icalendar.Calendar.from_ical(data).walk("VEVENT")


def test_a_day_is_a_whole_day_with_reminders() -> None:
    (event,) = events(ANSWER)
    assert event.decoded("dtstart") == dt.date(2026, 3, 27)
    assert event.decoded("dtend") == dt.date(2026, 3, 28)
    assert event.decoded("dtstamp") == dt.datetime(2026, 3, 1, 11, 0, tzinfo=dt.UTC)
    assert event["summary"] == "EX-1: Answer the invoice; \nDTSTART:19700101, “now”"
    assert "Clause: 11" in event["description"]
    assert "It began on 2026-03-13: the receipt of the invoice." in event["description"]
    assert [alarm.decoded("trigger").days for alarm in event.walk("VALARM")] == [-3, -1]


def test_an_hour_is_an_instant() -> None:
    (event,) = events(NOTICE)
    assert event.decoded("dtstart") == dt.datetime(2026, 3, 29, 1, 0, tzinfo=dt.UTC)
    assert "the insurer's" in event["description"]
    assert "Some statute (from memory)" in event["description"]


def test_a_deadline_without_an_end_is_left_out_and_identifiers_stay() -> None:
    open_end = dataclasses.replace(ANSWER, due=None)
    assert events(open_end) == []
    moved = dataclasses.replace(ANSWER, due=dt.date(2026, 4, 1))
    (one,), (other,) = events(ANSWER), events(moved)
    assert one["uid"] == other["uid"]
    first, second = events(ANSWER, NOTICE)
    assert first["uid"] != second["uid"]
