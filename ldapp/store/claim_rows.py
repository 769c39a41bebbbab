"""The rows of a claim's own fields: found by its id, and written when it is new."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, insert, select

from ldapp.claim.claim import Claim
from ldapp.claim.journal import RecordChange
from ldapp.errors import LdappError
from ldapp.store.kinds import HEAD
from ldapp.store.mapping import checked_currency
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
            "This claim is not in the library: it was removed, or it is in another library."
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
            f"The library already has this claim ({claim.reference}). Open that one, "
            "or remove it first."
        )
    checked_currency(claim.currency)
    row = HEAD.to_row(claim, claim.currency)
    statement = insert(head).values(**row, version=version).returning(head.c.key)
    key: int = connection.execute(statement).scalar_one()
    write_changes(connection, key, claim, changes[1:], now)
    return key
