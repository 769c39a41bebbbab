"""Deadlines as a calendar file (RFC 5545) with reminders."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence

from icalendar import Alarm, Calendar, Event

from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import START_WORDS
from ldapp.language import marked, said
from ldapp.local_forms import day_in_digits
from ldapp.reckoning.result import Deadline

REMINDERS_DAYS = (3, 1)
"""How many days before a deadline the calendar reminds."""

_BINDS = {
    "us": marked("This period is ours."),
    "lessor": marked("This period is the rental company's."),
    "insurer": marked("This period is the insurer's."),
}


def deadlines_as_calendar(
    entries: Iterable[tuple[Claim, Sequence[Deadline]]], stamped: dt.datetime
) -> bytes:
    """Return a calendar file with every deadline of these claims whose end is known.

    A deadline that ends with a day is an event of that whole day; one that ends with an
    hour is an event at that instant.  ``stamped`` (aware) is when the file is made; the
    identifiers do not depend on it, so that a calendar replaces what it had.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//ldapp//deadlines//EN")
    calendar.add("version", "2.0")
    for claim, deadlines in entries:
        # Two agreements of a claim may have the same rule: each keeps an event of its own.
        met: Counter[str] = Counter()
        for deadline in deadlines:
            key = _key(claim, deadline)
            event = _event(claim, deadline, stamped, met[key])
            met[key] += 1
            if event is not None:
                calendar.add_component(event)
    data: bytes = calendar.to_ical()
    return data


def _event(claim: Claim, deadline: Deadline, stamped: dt.datetime, place: int) -> Event | None:
    end = deadline.due_at or deadline.due
    if end is None:
        return None
    event = Event()
    event.add("uid", _identifier(_key(claim, deadline), place))
    event.add("dtstamp", stamped.astimezone(dt.UTC))
    if isinstance(end, dt.datetime):
        event.add("dtstart", end.astimezone(dt.UTC))
    else:
        event.add("dtstart", end)
        event.add("dtend", end + dt.timedelta(days=1))
    event.add("summary", f"{claim.reference}: {deadline.title}")
    event.add("description", _description(claim, deadline))
    event.add("transp", "TRANSPARENT")
    for days in REMINDERS_DAYS:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add(
            "description",
            said("In {days} days: {title}", days=days, title=deadline.title)
            if days > 1
            else said("Tomorrow: {title}", title=deadline.title),
        )
        alarm.add("trigger", -dt.timedelta(days=days))
        event.add_component(alarm)
    return event


def _key(claim: Claim, deadline: Deadline) -> str:
    return "\x1f".join((claim.id, deadline.code, deadline.binds, deadline.started_by))


def _identifier(key: str, place: int) -> str:
    text = key if place == 0 else f"{key}\x1f{place}"
    return f"{hashlib.sha256(text.encode()).hexdigest()[:32]}@ldapp"


def _description(claim: Claim, deadline: Deadline) -> str:
    lines = [claim.title, said(_BINDS[deadline.binds])]
    start = deadline.starts_on or (deadline.started.date() if deadline.started else None)
    if start is not None:
        words: dict[str, str] = {str(key): said(says) for key, says in START_WORDS.items()}
        began = words.get(deadline.started_by, deadline.started_by)
        lines.append(said("It began on {start}: {began}.", start=day_in_digits(start), began=began))
    if deadline.needs:
        lines.append(said("Needed: {needs}", needs=deadline.needs))
    if deadline.clause is not None:
        lines.append(said("Clause: {reference}", reference=deadline.clause.reference))
    if deadline.source:
        lines.append(
            said("Source: {source} (from memory)", source=deadline.source)
            if deadline.from_memory
            else said("Source: {source}", source=deadline.source)
        )
    return "\n".join(line for line in lines if line)
