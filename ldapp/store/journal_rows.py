"""The rows of the journal: written once, read again, and held against the claim."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import Connection, insert, select

from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.claim.journal import JournalEntry
from ldapp.errors import ConflictError, LdappError
from ldapp.language import said
from ldapp.local_forms import day_in_digits
from ldapp.store.chain import changes_from_text, claim_as_recorded
from ldapp.store.faults import damaged
from ldapp.store.kinds import JOURNAL
from ldapp.store.record_names import record_name


def insert_entries(
    connection: Connection, key: int, entries: Iterable[tuple[JournalEntry, str]]
) -> None:
    """Write entries of the claim with this key, each with the text of its changes."""
    connection.execute(
        insert(JOURNAL.table),
        [{**JOURNAL.to_row(entry, ""), "claim": key, "changes": text} for entry, text in entries],
    )


def entry_rows(connection: Connection, key: int, number: int | None = None) -> list[Any]:
    """Return the rows of all entries, or of one; the last column is the text of the changes."""
    table = JOURNAL.table
    statement = (
        select(*JOURNAL.selected, table.c.changes)
        .where(table.c.claim == key)
        .order_by(table.c.number)
    )
    if number is not None:
        statement = statement.where(table.c.number == number)
    return list(connection.execute(statement).all())


def entry_of(row: Any) -> JournalEntry:
    """Return the entry of a row; raises DamagedLibraryError where it is none."""
    try:
        changes = changes_from_text(row[-1])
    except ValueError as error:
        raise damaged(
            said("The library's database"),
            said("the changes of entry {number} of a record are no JSON", number=row[0]),
        ) from error
    entry: JournalEntry = JOURNAL.from_row(row, changes=changes)
    return entry


def last_entry(connection: Connection, key: int) -> Any:
    """Return number, hash, who, at and label of the latest entry."""
    table = JOURNAL.table.c
    row = connection.execute(
        select(table.number, table.hash, table.who, table.at, table.label)
        .where(table.claim == key)
        .order_by(table.number.desc())
        .limit(1)
    ).first()
    if row is None:
        raise damaged(
            said("The library's database"), said("the record of a claim's changes is empty")
        )
    return row


def conflict(last: Any) -> ConflictError:
    """Return the fault for a claim that somebody saved in the meantime."""
    return ConflictError(
        said(
            "{who} changed this claim since you opened it ({label}, {day} {time} UTC). Nothing "
            "was overwritten: compare both versions, or open the claim again.",
            who=last.who or said("Somebody"),
            label=last.label,
            day=day_in_digits(last.at.date()),
            time=f"{last.at:%H:%M}",
        )
    )


def differences(claim: Claim, entries: list[JournalEntry]) -> Iterable[str]:
    """Give a sentence for each record that is not as the entries leave it."""
    try:
        recorded = claim_as_recorded(claim.id, entries)
    except LdappError as error:
        yield str(error)
        return
    for change in difference(recorded, claim):
        what = said(
            "The {kind} {key}",
            kind=record_name(change.kind),
            key=change.key.replace(chr(31), ", "),
        ).rstrip()
        if change.before is None:
            yield said("{what} is in the claim, but its record does not say so.", what=what)
        elif change.after is None:
            yield said(
                "{what} is missing from the claim, but its record does not say so.", what=what
            )
        else:
            yield said("{what} is not as the record of changes left it.", what=what)
