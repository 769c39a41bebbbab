"""The order of a collection as a change of its own: members that only changed places."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ldapp.claim.journal import RecordChange
from ldapp.errors import ConflictError
from ldapp.language import said

ORDER_KIND = "order"
"""The kind of such a change; its key names the members' kind and, for children, the parent."""
SEPARATOR = "\x1f"
"""Between the key of a parent and that of its child (ASCII unit separator)."""
_KEYS = "keys"


def order_change(key: str, old: list[str], new: list[str]) -> list[RecordChange]:
    """Return the change of order that is left when members have gone and come."""
    if old == new:
        return []
    there, stay = set(old), set(new)
    staying = [one for one in old if one in stay]
    if staying == [one for one in new if one in there]:
        return []  # each new member is put at its own place, and the others keep theirs
    for index, one in enumerate(new):
        if one not in there:
            staying.insert(index, one)
    return [
        RecordChange(kind=ORDER_KIND, key=key, before={_KEYS: staying}, after={_KEYS: list(new)})
    ]


def changed_kind(change: RecordChange) -> str:
    """Return the kind of record that a change is about: for an order, that of its members."""
    return change.key.partition(SEPARATOR)[0] if change.kind == ORDER_KIND else change.kind


def ordered_collection(change: RecordChange) -> tuple[str, str]:
    """Return of what kind and, for children, of what parent a change of order is."""
    kind, _, parent = change.key.partition(SEPARATOR)
    return kind, parent


def in_order(
    members: tuple[Any, ...], key: Callable[[Any], str], change: RecordChange
) -> tuple[Any, ...]:
    """Return the members in the order that a change names.

    Raises:
        ConflictError: they do not stand in the order that the change expects.
    """
    by_key = {key(one): one for one in members}
    before, after = (change.before or {})[_KEYS], (change.after or {})[_KEYS]
    if list(by_key) != before:
        raise ConflictError(
            said(
                "This cannot be taken back: entries have come, gone or moved since. "
                "Undo the later change first."
            )
        )
    return tuple(by_key[one] for one in after)
