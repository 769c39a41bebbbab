"""Two people's versions of one claim side by side, and one claim made of both.

When somebody else saved the claim first, neither version is lost: theirs stands in the
library, mine is kept here, and what differs is shown record by record.  What I keep of
mine is then saved as a new change on top of theirs.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Collection
from typing import Any, NamedTuple

from ldapp.casework.record_words import field_name, record_name, value_text
from ldapp.claim.changes import apply_changes, difference
from ldapp.claim.claim import Claim
from ldapp.language import said

RecordKey = tuple[str, str]
"""Kind and key of a record, as in a RecordChange."""


class FieldPair(NamedTuple):
    """One field as the other person left it and as I wanted it."""

    name: str
    theirs: str
    mine: str


class RecordPair(NamedTuple):
    """One record that I changed: what it would be in each version."""

    key: RecordKey
    name: str
    fields: tuple[FieldPair, ...]
    both: bool
    """Whether the other person changed it too; else mine only adds to theirs."""


class Conflict(NamedTuple):
    """What both did since the claim was opened."""

    base: Claim
    theirs: Claim
    mine: Claim
    who: str
    """Who saved last."""
    label: str
    """What my change was called."""
    version: int
    """The version of ``theirs``."""
    records: tuple[RecordPair, ...]


def conflict_of(
    base: Claim, theirs: Claim, mine: Claim, *, who: str, label: str, version: int
) -> Conflict:
    """Return what I changed since ``base``, beside what stands in ``theirs`` now."""
    their_changes = {(one.kind, one.key): one for one in difference(base, theirs)}
    records = []
    for change in difference(base, mine):
        key = (change.kind, change.key)
        other = their_changes.get(key)
        now = other.after if other is not None else change.before
        fields = field_pairs(now, _on_top(change.before, now, change.after))
        if fields:  # else both made the same change
            name = record_name(mine, theirs, change)
            records.append(RecordPair(key, name, fields, other is not None))
    return Conflict(base, theirs, mine, who, label, version, tuple(records))


def _on_top(
    base: dict[str, Any] | None, theirs: dict[str, Any] | None, mine: dict[str, Any] | None
) -> dict[str, Any] | None:
    """Return their record with the fields that I changed; what I left alone stays theirs."""
    if base is None or theirs is None or mine is None:
        return mine
    changed = {name: value for name, value in mine.items() if base.get(name) != value}
    return {**theirs, **changed}


def field_pairs(
    theirs: dict[str, Any] | None, mine: dict[str, Any] | None
) -> tuple[FieldPair, ...]:
    """Return the fields that differ; a record that is not there has one line that says so."""
    if theirs is None or mine is None:
        return (
            FieldPair(
                said("the whole record"),
                said("is not there") if theirs is None else said("is there"),
                said("is not there") if mine is None else said("is there"),
            ),
        )
    names = [*mine, *(name for name in theirs if name not in mine)]
    return tuple(
        FieldPair(
            field_name(name), value_text(theirs.get(name), name), value_text(mine.get(name), name)
        )
        for name in names
        if theirs.get(name) != mine.get(name)
    )


def merged(conflict: Conflict, take_mine: Collection[RecordKey]) -> Claim:
    """Return their claim with the chosen records as I wanted them.

    Raises:
        ConflictError: a chosen record belongs to one that the other person removed.
    """
    theirs = {(one.kind, one.key): one for one in difference(conflict.base, conflict.theirs)}
    wanted = []
    for change in difference(conflict.base, conflict.mine):
        key = (change.kind, change.key)
        if key not in take_mine:
            continue
        other = theirs.get(key)
        before = other.after if other is not None else change.before
        after = _on_top(change.before, before, change.after)
        if before != after:
            wanted.append(dataclasses.replace(change, before=before, after=after))
    return apply_changes(conflict.theirs, tuple(wanted))
