"""Reading a whole claim in as many statements as it has kinds of records."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, select

from ldapp.claim.changes import COLLECTIONS, POLICY_KIND
from ldapp.claim.claim import Claim
from ldapp.store.kinds import HEAD, KINDS


def read_claim(connection: Connection, claim_key: int) -> Claim:
    """Return the claim with this key, without its journal."""
    head = connection.execute(select(*HEAD.selected).where(HEAD.table.c.key == claim_key)).one()
    values: dict[str, Any] = {"policy": _policy(connection, claim_key)}
    for collection in COLLECTIONS:
        child = collection.child
        children: dict[str, list[Any]] = {}
        if child is not None:
            children = _children(connection, claim_key, child.kind)
        kind = KINDS[collection.kind]
        table, mapping = kind.table, kind.mapping
        statement = (
            select(*mapping.selected, table.c.id)
            .where(table.c.claim == claim_key)
            .order_by(table.c.position)
        )
        rows = connection.execute(statement).all()
        if child is None:
            values[collection.field] = tuple(mapping.from_row(row) for row in rows)
        else:
            values[collection.field] = tuple(
                mapping.from_row(row, **{child.field: tuple(children.get(row[-1], ()))})
                for row in rows
            )
    claim: Claim = HEAD.from_row(head, **values)
    return claim


def _policy(connection: Connection, claim_key: int) -> Any:
    kind = KINDS[POLICY_KIND]
    statement = select(*kind.mapping.selected).where(kind.table.c.claim == claim_key)
    row = connection.execute(statement).one_or_none()
    return None if row is None else kind.mapping.from_row(row)


def _children(connection: Connection, claim_key: int, kind_name: str) -> dict[str, list[Any]]:
    kind = KINDS[kind_name]
    table, mapping = kind.table, kind.mapping
    parent = table.c[kind.keys[0]]
    statement = (
        select(*mapping.selected, parent)
        .where(table.c.claim == claim_key)
        .order_by(parent, table.c.position)
    )
    found: dict[str, list[Any]] = {}
    for row in connection.execute(statement).all():
        found.setdefault(row[-1], []).append(mapping.from_row(row))
    return found
