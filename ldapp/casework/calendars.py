"""Deadlines of one or many claims as a calendar file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import NamedTuple, Protocol

from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.claim import Claim
from ldapp.errors import InputError, LdappError
from ldapp.exchange.calendar import deadlines_as_calendar
from ldapp.language import said
from ldapp.reckoning.result import Deadline
from ldapp.whole_file import write_whole

_DONE = ("paid", "closed")

Progress = Callable[[int, int, str], None]


class Claims(Protocol):
    """Where claims are read from: the library."""

    def load(self, claim_id: str) -> tuple[Claim, int]:
        """Return a claim and its version."""
        ...


class CalendarResult(NamedTuple):
    """What was written, and which claims could not be reckoned and are not in it."""

    path: Path
    events: int
    left_out: tuple[str, ...]


def deadlines_of(claim: Claim) -> tuple[Deadline, ...]:
    """Return every deadline of a claim whose end is known: from its papers, and answers asked for.

    Raises:
        InputError: a term cannot be as it is entered.
    """
    found = [one for one in reckon_claim(claim).deadlines if one.due or one.due_at]
    return (*found, *_answers(claim))


def _answers(claim: Claim) -> Iterator[Deadline]:
    for entry in claim.correspondence:
        if entry.direction == "received" and entry.reply_by is not None:
            yield Deadline(
                code=f"answer {entry.id}",
                title=said("Answer: {subject}", subject=entry.subject),
                binds="us",
                started_by=said("their letter was received"),
                started=entry.at,
                starts_on=entry.at.date(),
                raw_end=entry.reply_by,
                due=entry.reply_by,
                due_at=None,
                needs="",
                source="",
                from_memory=False,
            )


def write_calendar(
    claims: Claims,
    claim_ids: Iterable[str],
    target: Path,
    progress: Progress = lambda done, total, text: None,
    *,
    with_done: bool = True,
) -> CalendarResult:
    """Write the deadlines of these claims as one calendar file (RFC 5545).

    A claim that cannot be reckoned is left out and named.  Without ``with_done`` claims
    that are paid or closed are passed over.

    Raises:
        LdappError: none of the claims has a deadline.
        MachineError: the file cannot be written; what was there before stays.
    """
    ids = tuple(claim_ids)
    entries: list[tuple[Claim, tuple[Deadline, ...]]] = []
    left_out = []
    for number, key in enumerate(ids):
        claim, _ = claims.load(key)
        progress(number, len(ids), claim.reference)
        if not with_done and claim.stage in _DONE:
            continue
        try:
            entries.append((claim, deadlines_of(claim)))
        except InputError:
            left_out.append(claim.reference)
    events = sum(len(found) for _, found in entries)
    if not events:
        raise LdappError(
            said(
                "None of these claims has a deadline whose day is known. Deadlines come "
                "from the agreement's and the policy's terms, and from letters that ask "
                "for an answer."
            )
        )
    data = deadlines_as_calendar(entries, dt.datetime.now(dt.UTC))
    write_whole(
        target,
        data,
        said("{target} cannot be written", target=target),
        said("Choose another folder."),
    )
    progress(len(ids), len(ids), "")
    return CalendarResult(target, events, tuple(left_out))
