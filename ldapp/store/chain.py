"""The hash chain of a claim's journal.

The hash of an entry is the SHA-256 of its canonical JSON without the hash itself:
the keys of the claim file, in the order of their code points, no spaces, UTF-8 and
no escapes beyond those that JSON demands.  ``previous`` is the hash of the entry
before, empty in the first.  So one changed byte breaks the chain from there on, and
the last hash, printed in a dossier, shows a tail that was cut off.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Iterable
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from ldapp.claim.changes import (
    COLLECTIONS,
    HEAD_KIND,
    apply_changes,
    difference,
    head_as_json,
)
from ldapp.claim.claim import Claim
from ldapp.claim.journal import EntryOutline, JournalEntry, RecordChange
from ldapp.claim.record import with_fields
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.local_forms import day_in_digits


def canonical_json(data: Any) -> str:
    """Return plain JSON values as canonical text.

    Raises:
        LdappError: a number that is none, or a character that is no text.
    """
    try:
        text = json.dumps(
            data, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
        )
        text.encode()
    except ValueError as error:
        raise LdappError(
            said(
                "The change cannot be recorded: it holds a number without a value or a "
                "character that is no text. Correct it and save again; nothing was "
                "changed."
            )
        ) from error
    return text


def changes_text(changes: Iterable[RecordChange]) -> str:
    """Return the changes of an entry as canonical JSON, one to a line.

    Canonical JSON holds no line break, so that thousands of changes can be written and
    read one by one; a single call over all of them would hold up every other thread.
    """
    return "\n".join(
        canonical_json(
            {
                "kind": one.kind,
                "key": one.key,
                "index": one.index,
                "before": one.before,
                "after": one.after,
            }
        )
        for one in changes
    )


def changes_from_text(text: str) -> tuple[RecordChange, ...]:
    """Return the changes that :func:`changes_text` wrote; raises ValueError where they are none."""
    try:
        return tuple(RecordChange(**json.loads(line)) for line in text.split("\n") if line)
    except TypeError as error:
        raise ValueError("no list of changes") from error


@cache
def _instants() -> TypeAdapter[dt.datetime]:
    return TypeAdapter(dt.datetime)


def hash_of(entry: JournalEntry, changes: str | None = None) -> str:
    """Return the hash that belongs to an entry; ``changes`` is their text, where it is known."""
    if changes is None:
        changes = changes_text(entry.changes)
    array = "[" + changes.replace("\n", ",") + "]"
    at = canonical_json(_instants().dump_python(entry.at, mode="json"))
    # The keys stand in their sorted order, so that this is canonical without a second pass.
    text = (
        f'{{"at":{at},"changes":{array},"label":{canonical_json(entry.label)},'
        f'"number":{entry.number},"previous":{canonical_json(entry.previous)},'
        f'"undoes":{canonical_json(entry.undoes)},"who":{canonical_json(entry.who)}}}'
    )
    return hashlib.sha256(text.encode()).hexdigest()


def chained(entry: JournalEntry, changes: str | None = None) -> JournalEntry:
    """Return ``entry`` with its hash."""
    return with_fields(entry, hash=hash_of(entry, changes))


def chain_breaks(entries: Iterable[tuple[JournalEntry, str | None]]) -> tuple[str, ...]:
    """Return one sentence for each place where the chain is broken; empty where it holds."""
    breaks: list[str] = []
    expected, previous = 1, ""
    for entry, text in entries:
        if entry.number != expected:
            breaks.append(_missing(expected, entry.number - 1))
        elif entry.previous != previous:
            breaks.append(
                said(
                    "Entry {number} of the record ({label}) does not follow from the entry "
                    "before it.",
                    number=entry.number,
                    label=entry.label,
                )
            )
        if hash_of(entry, text) != entry.hash:
            breaks.append(
                said(
                    "Entry {number} of the record ({label}) was changed after it was written.",
                    number=entry.number,
                    label=entry.label,
                )
            )
        expected, previous = entry.number + 1, entry.hash
    return tuple(breaks)


def _missing(first: int, last: int) -> str:
    if first == last:
        return said("In the record of changes, entry {number} is missing.", number=first)
    return said(
        "In the record of changes, entries {first} to {last} are missing.", first=first, last=last
    )


def clock_remarks(entries: Iterable[EntryOutline]) -> tuple[str, ...]:
    """Return one sentence for each entry that is dated before the one in front of it."""
    remarks: list[str] = []
    before: EntryOutline | None = None
    for entry in entries:
        if before is not None and entry.at < before.at:
            remarks.append(
                said(
                    "Entry {number} is dated {day} {time} UTC, before entry {before}: the "
                    "computer's clock had been set back. The order of the entries is sure, "
                    "their times are not.",
                    number=entry.number,
                    day=day_in_digits(entry.at.date()),
                    time=f"{entry.at:%H:%M:%S}",
                    before=before.number,
                )
            )
        before = entry
    return tuple(remarks)


_EMPTY: dict[str, tuple[()]] = {one.field: () for one in COLLECTIONS}


def without_records(claim: Claim) -> Claim:
    """Return the claim's own fields alone."""
    return with_fields(claim, **_EMPTY, policy=None, journal=())


def first_changes(claim: Claim) -> tuple[RecordChange, ...]:
    """Return the changes of the first entry: every record of the claim as put."""
    head = RecordChange(kind=HEAD_KIND, key="", after=head_as_json(claim))
    return (head, *difference(without_records(claim), claim))


@cache
def _claims() -> TypeAdapter[Claim]:
    return TypeAdapter(Claim)


def head_from_json(claim_id: str, data: dict[str, Any] | None) -> Claim:
    """Return a claim with its own fields alone; raises pydantic's error if they are none."""
    return _claims().validate_python({"id": claim_id, **(data or {})})


def claim_as_recorded(claim_id: str, entries: Iterable[JournalEntry]) -> Claim:
    """Return the claim that the entries lead to, made anew from the first one on.

    Raises:
        LdappError: the entries do not fit each other.
    """
    claim: Claim | None = None
    for entry in entries:
        changes = entry.changes
        try:
            if claim is None:
                if not changes or changes[0].kind != HEAD_KIND or changes[0].before is not None:
                    raise LdappError(
                        said("The record of changes does not begin with the claim itself.")
                    )
                claim = head_from_json(claim_id, changes[0].after)
                changes = changes[1:]
            claim = apply_changes(claim, changes)
        except (LdappError, ValidationError, KeyError, ValueError) as error:
            raise LdappError(
                said(
                    "Entry {number} of the record ({label}) does not fit the entries before it.",
                    number=entry.number,
                    label=entry.label,
                )
            ) from error
    if claim is None:
        raise LdappError(said("The record of changes is empty."))
    return claim


def with_recorded_paths(claim: Claim) -> Claim:
    """Return a claim that was passed on with the paths that its record knows.

    In a bundle or beside a claim file each photo and document lies where it was put for the
    way; that is no change of the claim.
    """
    try:
        recorded = claim_as_recorded(claim.id, claim.journal)
    except LdappError:
        return claim  # what does not fit is named when the record is looked at
    paths = {photo.id: photo.path for photo in recorded.photos}
    paths |= {document.id: document.path for document in recorded.documents}
    return with_fields(
        claim,
        photos=tuple(with_fields(one, path=paths.get(one.id, one.path)) for one in claim.photos),
        documents=tuple(
            with_fields(one, path=paths.get(one.id, one.path)) for one in claim.documents
        ),
    )
