"""A claim as a set of named records, and the difference between two claims.

Whatever a person does turns one :class:`Claim` into another.  The difference is a
list of :class:`RecordChange`: the store writes just these records, the journal
keeps them, and undo applies them swapped.  A count's entries and an invoice's
charges are records of their own, so that entering one number touches one record.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable
from functools import cache, partial
from itertools import groupby
from typing import Any, NamedTuple

from pydantic import TypeAdapter

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement
from ldapp.claim.documents import Correspondence, Document, RecoveredItem, Split
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.journal import RecordChange
from ldapp.claim.kit import KitLine
from ldapp.claim.orders import ORDER_KIND, SEPARATOR, in_order, order_change, ordered_collection
from ldapp.claim.parties import Party
from ldapp.claim.photos import ClockCorrection, IssuedCode, Photo
from ldapp.claim.record import with_fields
from ldapp.errors import ConflictError
from ldapp.language import said


class Collection(NamedTuple):
    """A tuple field of the claim and the kind of record it holds."""

    kind: str
    field: str
    type: type[Any]
    child: ChildCollection | None = None


class ChildCollection(NamedTuple):
    """A tuple field of a record whose members are records of their own."""

    kind: str
    field: str
    type: type[Any]
    key: Callable[[Any], str]


COLLECTIONS: tuple[Collection, ...] = (
    Collection("party", "parties", Party),
    Collection("agreement", "agreements", Agreement),
    Collection("kit_line", "kit", KitLine),
    Collection(
        "count",
        "counts",
        Count,
        ChildCollection("count_entry", "entries", CountEntry, lambda entry: str(entry.line)),
    ),
    Collection("movement", "movements", Movement),
    Collection("occurrence", "occurrences", Occurrence),
    Collection("finding", "findings", Finding),
    Collection(
        "invoice",
        "invoices",
        Invoice,
        ChildCollection("charge", "charges", Charge, lambda charge: str(charge.id)),
    ),
    Collection("photo", "photos", Photo),
    Collection("clock_correction", "clock_corrections", ClockCorrection),
    Collection("issued_code", "issued_codes", IssuedCode),
    Collection("document", "documents", Document),
    Collection("correspondence", "correspondence", Correspondence),
    Collection("recovered_item", "recovered", RecoveredItem),
    Collection("split", "splits", Split),
)

HEAD_KIND = "claim"
"""The claim's own fields: everything that is no collection."""
POLICY_KIND = "policy"

HEAD_FIELDS: tuple[str, ...] = (
    "reference",
    "title",
    "currency",
    "zone",
    "place",
    "position",
    "stage",
    "opened",
    "invented",
    "note",
)

_BY_KIND: dict[str, Collection] = {one.kind: one for one in COLLECTIONS}
_BY_CHILD: dict[str, Collection] = {one.child.kind: one for one in COLLECTIONS if one.child}


@cache
def _adapter(kind: str) -> TypeAdapter[Any]:
    if kind == POLICY_KIND:
        return TypeAdapter(Policy)
    if kind in _BY_KIND:
        return TypeAdapter(_BY_KIND[kind].type)
    child = _BY_CHILD[kind].child
    assert child is not None
    return TypeAdapter(child.type)


@cache
def _claim_adapter() -> TypeAdapter[Claim]:
    return TypeAdapter(Claim)


def record_as_json(kind: str, one: Any) -> dict[str, Any]:
    """Return a record as plain JSON values; a parent is given without its children."""
    collection = _BY_KIND.get(kind)
    if collection is not None and collection.child is not None:
        one = with_fields(one, **{collection.child.field: ()})
    data: dict[str, Any] = _adapter(kind).dump_python(one, mode="json")
    if collection is not None and collection.child is not None:
        del data[collection.child.field]
    return data


def record_from_json(kind: str, data: dict[str, Any]) -> Any:
    """Return the record that :func:`record_as_json` gave; raises pydantic's error if it is none."""
    return _adapter(kind).validate_python(data)


def head_as_json(claim: Claim) -> dict[str, Any]:
    """Return the claim's own fields, without its collections, as plain JSON values."""
    bare = Claim(id=claim.id, **{field: getattr(claim, field) for field in HEAD_FIELDS})
    data: dict[str, Any] = _claim_adapter().dump_python(bare, mode="json", include=set(HEAD_FIELDS))
    return data


def _with_head(claim: Claim, data: dict[str, Any]) -> Claim:
    head = _claim_adapter().validate_python({"id": claim.id, **data})
    return with_fields(claim, **{field: getattr(head, field) for field in HEAD_FIELDS})


def difference(old: Claim, new: Claim) -> tuple[RecordChange, ...]:
    """Return the changes that turn ``old`` into ``new``; empty where they are equal.

    Members that are the same object in both are skipped without a look, so the cost
    follows what changed.  The journal itself is not compared.
    """
    changes: list[RecordChange] = []
    if any(getattr(old, field) != getattr(new, field) for field in HEAD_FIELDS):
        changes.append(
            RecordChange(kind=HEAD_KIND, key="", before=head_as_json(old), after=head_as_json(new))
        )
    if old.policy != new.policy:
        changes.append(
            RecordChange(
                kind=POLICY_KIND,
                key="",
                before=_optional_json(POLICY_KIND, old.policy),
                after=_optional_json(POLICY_KIND, new.policy),
            )
        )
    for collection in COLLECTIONS:
        before = getattr(old, collection.field)
        after = getattr(new, collection.field)
        if before is not after:
            changes.extend(_collection_difference(collection, before, after))
    return tuple(changes)


def _optional_json(kind: str, one: Any) -> dict[str, Any] | None:
    return None if one is None else record_as_json(kind, one)


def _record_id(one: Any) -> str:
    return str(one.id)


def _collection_difference(
    collection: Collection, before: tuple[Any, ...], after: tuple[Any, ...]
) -> Iterable[RecordChange]:
    changes: list[RecordChange] = []
    orders: list[RecordChange] = []
    child = collection.child
    compare: Callable[[Any, Any], bool] = _same
    if child is not None:
        compare = partial(_same_but_for, child.field)
    old_by_key = {_record_id(one): one for one in before}
    new_by_key = {_record_id(one): one for one in after}
    changes.extend(_member_changes(collection.kind, "", before, after, _record_id, compare))
    orders.extend(order_change(collection.kind, list(old_by_key), list(new_by_key)))
    if child is not None:
        for key in {**old_by_key, **new_by_key}:
            old, new = old_by_key.get(key), new_by_key.get(key)
            if old is new:
                continue
            children = _member_changes(
                child.kind,
                key + SEPARATOR,
                getattr(old, child.field, ()),
                getattr(new, child.field, ()),
                child.key,
                _same,
            )
            # Children leave before their parent and arrive after it.
            changes = [*children, *changes] if new is None else [*changes, *children]
            if old is not None and new is not None:
                olds = [child.key(one) for one in getattr(old, child.field)]
                news = [child.key(one) for one in getattr(new, child.field)]
                orders.extend(order_change(child.kind + SEPARATOR + key, olds, news))
    return [*changes, *orders]


def _same(one: Any, other: Any) -> bool:
    return one is other or bool(one == other)


def _same_but_for(field: str, one: Any, other: Any) -> bool:
    if one is other:
        return True
    if getattr(one, field) is getattr(other, field):
        return bool(one == other)
    return bool(with_fields(one, **{field: ()}) == with_fields(other, **{field: ()}))


def _member_changes(
    kind: str,
    prefix: str,
    before: tuple[Any, ...],
    after: tuple[Any, ...],
    key: Callable[[Any], str],
    same: Callable[[Any, Any], bool],
) -> list[RecordChange]:
    if before is after:
        return []
    old = {key(one): (index, one) for index, one in enumerate(before)}
    new = {key(one): (index, one) for index, one in enumerate(after)}
    # Highest index first, so that undoing in reverse puts each back where it was.
    removed = [
        RecordChange(kind=kind, key=prefix + name, index=index, before=record_as_json(kind, one))
        for name, (index, one) in reversed(old.items())
        if name not in new
    ]
    put = []
    for name, (index, one) in new.items():
        if name not in old:
            put.append(
                RecordChange(
                    kind=kind, key=prefix + name, index=index, after=record_as_json(kind, one)
                )
            )
        elif not same(old[name][1], one):
            put.append(
                RecordChange(
                    kind=kind,
                    key=prefix + name,
                    index=index,
                    before=record_as_json(kind, old[name][1]),
                    after=record_as_json(kind, one),
                )
            )
    return removed + put


def inverse(changes: tuple[RecordChange, ...]) -> tuple[RecordChange, ...]:
    """Return the changes that take ``changes`` back, last one first."""
    return tuple(
        with_fields(change, before=change.after, after=change.before)
        for change in reversed(changes)
    )


def apply_changes(claim: Claim, changes: tuple[RecordChange, ...]) -> Claim:
    """Return ``claim`` with ``changes`` made.

    Raises:
        ConflictError: a record no longer has the value that a change expects, so
            making the change would lose somebody's later work.
    """
    for kind, parent, run in _runs(changes):
        claim = _apply_run(claim, kind, parent, run)
    return claim


def _runs(
    changes: tuple[RecordChange, ...],
) -> Iterable[tuple[str, str, list[RecordChange]]]:
    """Group neighbouring changes of one kind under one parent, to make them together."""
    for (kind, parent), run in groupby(changes, key=lambda one: (one.kind, _parent(one))):
        yield kind, parent, list(run)


def _parent(change: RecordChange) -> str:
    return change.key.partition(SEPARATOR)[0] if change.kind in _BY_CHILD else ""


def _apply_run(claim: Claim, kind: str, parent: str, run: list[RecordChange]) -> Claim:
    if kind == ORDER_KIND:
        for change in run:
            claim = _apply_order(claim, change)
        return claim
    if kind == HEAD_KIND:
        for change in run:
            _expect(head_as_json(claim), change)
            claim = _with_head(claim, change.after or {})
        return claim
    if kind == POLICY_KIND:
        for change in run:
            _expect(_optional_json(POLICY_KIND, claim.policy), change)
            policy = None if change.after is None else record_from_json(kind, change.after)
            claim = dataclasses.replace(claim, policy=policy)
        return claim
    if kind in _BY_KIND:
        collection = _BY_KIND[kind]
        members = _with_members(
            getattr(claim, collection.field), run, "", _record_id, collection.child
        )
        return with_fields(claim, **{collection.field: members})
    return _apply_to_children(claim, kind, parent, run)


def _apply_order(claim: Claim, change: RecordChange) -> Claim:
    """Put the members of a collection into the order that a change names."""
    kind, parent = ordered_collection(change)
    if kind in _BY_KIND:
        collection = _BY_KIND[kind]
        members = in_order(getattr(claim, collection.field), _record_id, change)
        return with_fields(claim, **{collection.field: members})
    collection = _BY_CHILD[kind]
    child = collection.child
    assert child is not None
    key, field = child.key, child.field
    return _with_child(
        claim, collection, parent, lambda one: in_order(getattr(one, field), key, change)
    )


def _apply_to_children(claim: Claim, kind: str, parent: str, run: list[RecordChange]) -> Claim:
    collection = _BY_CHILD[kind]
    child = collection.child
    assert child is not None
    key, field = child.key, child.field
    return _with_child(
        claim,
        collection,
        parent,
        lambda one: _with_members(getattr(one, field), run, parent + SEPARATOR, key, None),
    )


def _with_child(
    claim: Claim, collection: Collection, parent: str, make: Callable[[Any], tuple[Any, ...]]
) -> Claim:
    """Replace the children of one member of a collection by those that ``make`` gives."""
    child = collection.child
    assert child is not None
    parents = getattr(claim, collection.field)
    for index, one in enumerate(parents):
        if _record_id(one) == parent:
            changed = with_fields(one, **{child.field: make(one)})
            return with_fields(
                claim, **{collection.field: (*parents[:index], changed, *parents[index + 1 :])}
            )
    raise ConflictError(
        said(
            "This cannot be taken back: what it belonged to has been removed since. "
            "Undo the removal first."
        )
    )


def _with_members(
    members: tuple[Any, ...],
    run: list[RecordChange],
    prefix: str,
    key_of: Callable[[Any], str],
    child: ChildCollection | None,
) -> tuple[Any, ...]:
    by_key = {prefix + key_of(one): one for one in members}
    order = list(by_key)
    for change in run:
        present = by_key.get(change.key)
        _expect(None if present is None else record_as_json(change.kind, present), change)
        if change.after is None:
            del by_key[change.key]
            order.remove(change.key)
            continue
        one = record_from_json(change.kind, change.after)
        if present is None:
            order.insert(change.index, change.key)
        elif child is not None:
            one = with_fields(one, **{child.field: getattr(present, child.field)})
        by_key[change.key] = one
    return tuple(by_key[key] for key in order)


def _expect(present: dict[str, Any] | None, change: RecordChange) -> None:
    if not _says_the_same(change.kind, present, change.before):
        raise ConflictError(
            said(
                "This cannot be taken back: the same entry has been changed since. "
                "Undo the later change first."
            )
        )


def _says_the_same(kind: str, one: dict[str, Any] | None, other: dict[str, Any] | None) -> bool:
    """Compare by value: 12.5 may have come back from the store as 12.50."""
    if one is None or other is None or one == other:
        return one == other
    if kind == HEAD_KIND:
        return False
    return bool(record_from_json(kind, one) == record_from_json(kind, other))
