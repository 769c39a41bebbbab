"""The record of every change to a claim, each entry chained to the one before it."""

from __future__ import annotations

import datetime as dt
from typing import Any, NamedTuple

from ldapp.claim.record import record


@record
class RecordChange:
    """One record put, replaced or removed; swapping ``before`` and ``after`` undoes it.

    ``kind`` and ``key`` name the record (:mod:`ldapp.claim.changes`), ``index`` its
    place among its like.
    """

    kind: str
    key: str
    index: int = 0
    before: dict[str, Any] | None = None
    after: dict[str, Any] | None = None


@record
class JournalEntry:
    """Who changed what, when; ``hash`` covers everything here and ``previous``."""

    number: int
    at: dt.datetime
    """The computer's clock, UTC."""
    who: str
    label: str
    """The name of the change, as undo shows it."""
    undoes: int | None = None
    """The entry that this one takes back."""
    changes: tuple[RecordChange, ...] = ()
    previous: str = ""
    hash: str = ""


class EntryOutline(NamedTuple):
    """A journal entry without its values: enough to know what can be undone."""

    number: int
    at: dt.datetime
    who: str
    label: str
    undoes: int | None
