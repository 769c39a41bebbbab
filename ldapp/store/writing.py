"""Writing the changed records of a claim, many rows to a statement."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any, cast

from pydantic import ValidationError
from sqlalchemy import Connection, Table, bindparam, delete, func, insert, select, update

from ldapp.claim.changes import (
    COLLECTIONS,
    HEAD_KIND,
    POLICY_KIND,
    record_from_json,
)
from ldapp.claim.claim import Claim
from ldapp.claim.journal import RecordChange
from ldapp.claim.orders import ORDER_KIND, SEPARATOR, ordered_collection
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.store.bookkeeping import OriginalRow
from ldapp.store.chain import head_from_json
from ldapp.store.kinds import HEAD, KINDS, Kind
from ldapp.store.mapping import checked_currency
from ldapp.store.record_names import record_name

if TYPE_CHECKING:
    from sqlalchemy.dialects import sqlite

_SHA256 = re.compile(r"[0-9a-f]{64}")
_ORIGINALS = OriginalRow.__table__


def write_changes(
    connection: Connection,
    claim_key: int,
    claim: Claim,
    changes: tuple[RecordChange, ...],
    now: dt.datetime,
) -> None:
    """Write the records of ``changes``; ``claim`` is the claim as it stands after them.

    Raises:
        LdappError: a value cannot be kept exactly, or two records share an id.
    """
    writer = _Writer(connection, claim_key, claim, now)
    for (kind, how), run in groupby(changes, key=lambda one: (one.kind, _how(one))):
        if kind == ORDER_KIND:
            writer.reorder(run)
            continue
        if kind != HEAD_KIND:
            writer.write(kind, how, list(run))
            continue
        for change in run:
            writer.write_head(change)
    writer.finish()


def insert_in(connection: Connection, table: Any) -> sqlite.Insert:
    """Return an insertion that can say what to do where the key is there already."""
    # Loading a dialect loads all its drivers: a library in a file needs no server's.
    if connection.dialect.name == "sqlite":
        from sqlalchemy.dialects import sqlite  # noqa: PLC0415

        return sqlite.insert(table)
    from sqlalchemy.dialects import postgresql  # noqa: PLC0415

    # The two databases say it in the same words.
    return cast("sqlite.Insert", postgresql.insert(table))


def _how(change: RecordChange) -> str:
    if change.after is None:
        return "remove"
    return "insert" if change.before is None else "update"


def check_ids(claim: Claim) -> None:
    """Raise LdappError where two records of a collection share an id."""
    for kind, parent, keys in _orders(claim):
        seen: set[str] = set()
        for key in keys:
            if key in seen:
                raise LdappError(_same_id(kind, parent, key))
            if SEPARATOR in key:
                raise LdappError(
                    said(
                        "The id {key!r} holds a control character. Choose another id; nothing "
                        "was changed.",
                        key=key,
                    )
                )
            seen.add(key)


def _same_id(kind: str, parent: str, key: str) -> str:
    if parent:
        return said(
            "Two entries of the kind {kind} of {parent!r} share the id {key!r}. Give each its own "
            "id; nothing was changed.",
            kind=record_name(kind),
            parent=parent,
            key=key,
        )
    return said(
        "Two entries of the kind {kind} share the id {key!r}. Give each its own id; nothing was "
        "changed.",
        kind=record_name(kind),
        key=key,
    )


def _orders(claim: Claim) -> Iterable[tuple[str, str, list[str]]]:
    """Give kind, parent and the keys in order, for each collection of the claim."""
    for collection in COLLECTIONS:
        members = getattr(claim, collection.field)
        yield collection.kind, "", [one.id for one in members]
        child = collection.child
        if child is not None:
            for one in members:
                yield child.kind, one.id, [child.key(entry) for entry in getattr(one, child.field)]


def _checked(change: RecordChange, claim_id: str = "") -> Any:
    """Return the record that a change puts; LdappError where a value is not allowed."""
    try:
        if change.kind == HEAD_KIND:
            return head_from_json(claim_id, change.after)
        return record_from_json(change.kind, change.after or {})
    except ValidationError as error:
        first = error.errors()[0]
        place = " ".join(str(one).replace("_", " ") for one in first["loc"])
        raise LdappError(
            said(
                "The {kind} cannot be saved: {place}: {reason}. Correct it and save again; "
                "nothing was changed.",
                kind=record_name(change.kind),
                place=place,
                reason=first["msg"],
            )
        ) from error


class _Writer:
    """The state of one :func:`write_changes`."""

    def __init__(
        self, connection: Connection, claim_key: int, claim: Claim, now: dt.datetime
    ) -> None:
        self.connection = connection
        self.claim_key = claim_key
        self.claim = claim
        self.now = now
        self.rewrite_amounts = False
        self._order: dict[tuple[str, str], list[str]] | None = None
        self._to_renumber: set[tuple[str, str]] = set()

    def order(self, kind: str, parent: str) -> list[str]:
        """Return the keys of a collection in the order of the claim."""
        if self._order is None:
            self._order = {(kind, of): keys for kind, of, keys in _orders(self.claim)}
        return self._order.get((kind, parent), [])

    def write(self, kind_name: str, how: str, changes: list[RecordChange]) -> None:
        """Write a run of changes of one kind that are all inserts, updates or removals."""
        kind = KINDS[kind_name]
        keys = [kind.key_values(change.key) for change in changes]
        if how == "remove":
            self._remove(kind, keys)
            return
        records = [_checked(change) for change in changes]
        rows = [
            kind.row(one, self.claim.currency, self.claim_key, key)
            for one, key in zip(records, keys, strict=True)
        ]
        if how == "insert":
            if kind_name != POLICY_KIND:
                self._place(kind, kind_name, keys, rows)
            self.connection.execute(insert(kind.table), rows)
        else:
            self._update(kind, keys, rows)
        self._note_originals(kind_name, rows)

    def reorder(self, changes: Iterable[RecordChange]) -> None:
        """Note the collections whose members changed places; :meth:`finish` numbers them."""
        self._to_renumber.update(ordered_collection(change) for change in changes)

    def write_head(self, change: RecordChange) -> None:
        """Write the claim's own fields."""
        head = _checked(change, self.claim.id)
        checked_currency(head.currency)
        if change.before is not None and change.before["currency"] != head.currency:
            self.rewrite_amounts = True
        self.connection.execute(
            update(HEAD.table)
            .where(HEAD.table.c.key == self.claim_key)
            .values(HEAD.to_row(head, head.currency))
        )

    def _remove(self, kind: Kind, keys: list[tuple[str, ...]]) -> None:
        table = kind.table
        statement = delete(table).where(table.c.claim == self.claim_key)
        for name in kind.keys:
            statement = statement.where(table.c[name] == bindparam(f"key_{name}"))
        self._run(statement, kind, keys, [{} for _ in keys])

    def _update(self, kind: Kind, keys: list[tuple[str, ...]], rows: list[dict[str, Any]]) -> None:
        table = kind.table
        changed = [name for name in rows[0] if name not in (*kind.keys, "claim")]
        statement = (
            update(table)
            .where(table.c.claim == self.claim_key)
            .values({name: bindparam(f"new_{name}", type_=table.c[name].type) for name in changed})
        )
        for name in kind.keys:
            statement = statement.where(table.c[name] == bindparam(f"key_{name}"))
        values = [{f"new_{name}": row[name] for name in changed} for row in rows]
        self._run(statement, kind, keys, values)

    def _run(
        self,
        statement: Any,
        kind: Kind,
        keys: list[tuple[str, ...]],
        values: list[dict[str, Any]],
    ) -> None:
        for one, key in zip(values, keys, strict=True):
            one.update((f"key_{name}", part) for name, part in zip(kind.keys, key, strict=True))
        done = self.connection.execute(statement, values if kind.keys else values[0])
        if done.rowcount not in (-1, len(keys)):
            raise LdappError(
                said(
                    "A {kind} that was to be changed is no longer in the library. Open the "
                    "claim again; nothing was changed.",
                    kind=kind.mapping.name,
                )
            )

    def _place(
        self,
        kind: Kind,
        kind_name: str,
        keys: list[tuple[str, ...]],
        rows: list[dict[str, Any]],
    ) -> None:
        """Give new rows their places: behind the others, or in between with a renumbering."""
        by_parent: dict[str, list[int]] = {}
        for index, key in enumerate(keys):
            by_parent.setdefault(key[0] if len(key) > 1 else "", []).append(index)
        for parent, indexes in by_parent.items():
            order = self.order(kind_name, parent)
            new = [keys[index][-1] for index in indexes]
            if order[len(order) - len(new) :] == new:
                start = self._next_position(kind.table, kind.keys[:-1], parent)
            else:
                start = 0
                self._to_renumber.add((kind_name, parent))
            for offset, index in enumerate(indexes):
                rows[index]["position"] = start + offset

    def _next_position(self, table: Table, parent_column: Sequence[str], parent: str) -> int:
        statement = select(func.max(table.c.position)).where(table.c.claim == self.claim_key)
        for name in parent_column:
            statement = statement.where(table.c[name] == parent)
        last = self.connection.execute(statement).scalar()
        return 0 if last is None else int(last) + 1

    def _note_originals(self, kind_name: str, rows: list[dict[str, Any]]) -> None:
        if kind_name == "photo":
            sizes = {one.facts.sha256: one.facts.bytes for one in self.claim.photos}
        elif kind_name == "document":
            sizes = {one.sha256: one.bytes for one in self.claim.documents}
        else:
            return
        new = {row["sha256"] for row in rows if _SHA256.fullmatch(row["sha256"])}
        if not new:
            return
        self.connection.execute(
            insert_in(self.connection, _ORIGINALS).on_conflict_do_nothing(),
            [
                {"sha256": sha256, "bytes": sizes.get(sha256, 0), "named_first": self.now}
                for sha256 in sorted(new)
            ],
        )

    def finish(self) -> None:
        """Renumber where records came in between, and rewrite amounts in a new currency."""
        for kind_name, parent in self._to_renumber:
            kind = KINDS[kind_name]
            order = self.order(kind_name, parent)
            table = kind.table
            statement = (
                update(table)
                .where(table.c.claim == self.claim_key)
                .values(position=bindparam("new_position"))
            )
            for name in kind.keys:
                statement = statement.where(table.c[name] == bindparam(f"key_{name}"))
            above = (parent,) if len(kind.keys) > 1 else ()
            keys = [(*above, key) for key in order]
            self._run(statement, kind, keys, [{"new_position": n} for n in range(len(order))])
        if self.rewrite_amounts:
            self._rewrite_amounts()

    def _rewrite_amounts(self) -> None:
        for collection in COLLECTIONS:
            members = getattr(self.claim, collection.field)
            self._rewrite(collection.kind, [((one.id,), one) for one in members])
            child = collection.child
            if child is not None:
                self._rewrite(
                    child.kind,
                    [
                        ((one.id, child.key(entry)), entry)
                        for one in members
                        for entry in getattr(one, child.field)
                    ],
                )
        if self.claim.policy is not None:
            self._rewrite(POLICY_KIND, [((), self.claim.policy)])

    def _rewrite(self, kind_name: str, members: list[tuple[tuple[str, ...], Any]]) -> None:
        kind = KINDS[kind_name]
        if not members or not kind.mapping.has_amounts:
            return
        keys = [key for key, _ in members]
        rows = [kind.row(one, self.claim.currency, self.claim_key, key) for key, one in members]
        self._update(kind, keys, rows)
