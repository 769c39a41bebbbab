"""The rows of a claim's own fields, found by its id, and the originals that rows refer to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from sqlalchemy import Connection, insert, select

from ldapp.claim.claim import Claim
from ldapp.claim.journal import RecordChange
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.store.bookkeeping import OriginalRow
from ldapp.store.kinds import HEAD, KINDS
from ldapp.store.mapping import checked_currency
from ldapp.store.originals import KnownOriginal
from ldapp.store.writing import write_changes


def key_and_version(
    connection: Connection, claim_id: str, *, to_write: bool = False
) -> tuple[int, int]:
    """Return the key and the version of a claim; raises LdappError where there is none."""
    head = HEAD.table.c
    statement = select(head.key, head.version).where(head.id == claim_id)
    if to_write:  # an office's database has many writers: this one keeps the others waiting
        statement = statement.with_for_update()
    row = connection.execute(statement).first()
    if row is None:
        raise LdappError(
            said("This claim is not in the library: it was removed, or it is in another library.")
        )
    return row[0], row[1]


def insert_claim(
    connection: Connection,
    claim: Claim,
    version: int,
    now: dt.datetime,
    changes: tuple[RecordChange, ...],
) -> int:
    """Write a new claim without its journal; return its key.

    Raises:
        LdappError: the library has a claim with this id, or a value cannot be kept exactly.
    """
    head = HEAD.table
    if connection.execute(select(head.c.key).where(head.c.id == claim.id)).first() is not None:
        raise LdappError(
            said(
                "The library already has this claim ({reference}). Open that one, or "
                "remove it first.",
                reference=claim.reference,
            )
        )
    checked_currency(claim.currency)
    row = HEAD.to_row(claim, claim.currency)
    statement = insert(head).values(**row, version=version).returning(head.c.key)
    key: int = connection.execute(statement).scalar_one()
    write_changes(connection, key, claim, changes[1:], now)
    return key


def known_originals(connection: Connection) -> Iterator[KnownOriginal]:
    """Give every original that a claim refers to, then all that one once referred to."""
    head = HEAD.table
    for kind in ("photo", "document"):
        table = KINDS[kind].table
        statement = select(table.c.sha256, table.c.name, head.c.reference).join_from(
            table, head, table.c.claim == head.c.key
        )
        for sha256, name, reference in connection.execute(statement).all():
            yield KnownOriginal(
                sha256, said("{name} of {reference}", name=name, reference=reference)
            )
    for sha256 in connection.execute(select(OriginalRow.sha256)).scalars().all():
        yield KnownOriginal(sha256, "")
