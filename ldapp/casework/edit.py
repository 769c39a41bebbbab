"""Putting, finding and removing one record among its like, by id."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, Protocol, TypeAlias, TypeVar

from ldapp.errors import LdappError
from ldapp.language import marked, said


class Identified(Protocol):
    """A record with an id."""

    @property
    def id(self) -> str:
        """Unique among its like in one claim."""
        ...


Named: TypeAlias = Literal[
    "agreement",
    "charge",
    "count",
    "entry",
    "finding",
    "invoice",
    "item that turned up",
    "kit line",
    "occurrence",
    "party",
    "payment",
    "photo",
]
"""What one may look for by its id."""

_One = TypeVar("_One", bound=Identified)


def put(members: tuple[_One, ...], one: _One) -> tuple[_One, ...]:
    """Replace the member with the same id, or add ``one`` at the end."""
    for index, member in enumerate(members):
        if member.id == one.id:
            return (*members[:index], one, *members[index + 1 :])
    return (*members, one)


def without(members: tuple[_One, ...], ids: Collection[str]) -> tuple[_One, ...]:
    """Return the members whose id is not among ``ids``."""
    return tuple(member for member in members if member.id not in ids)


def find(members: tuple[_One, ...], key: str | None) -> _One | None:
    """Return the member with this id, or None."""
    return next((member for member in members if member.id == key), None)


_GONE: dict[Named, str] = {
    "agreement": marked(
        "That agreement is no longer in the claim: it was removed in the meantime."
    ),
    "charge": marked("That charge is no longer in the claim: it was removed in the meantime."),
    "count": marked("That count is no longer in the claim: it was removed in the meantime."),
    "entry": marked("That entry is no longer in the claim: it was removed in the meantime."),
    "finding": marked("That finding is no longer in the claim: it was removed in the meantime."),
    "invoice": marked("That invoice is no longer in the claim: it was removed in the meantime."),
    "item that turned up": marked(
        "That item that turned up is no longer in the claim: it was removed in the meantime."
    ),
    "kit line": marked("That kit line is no longer in the claim: it was removed in the meantime."),
    "occurrence": marked(
        "That occurrence is no longer in the claim: it was removed in the meantime."
    ),
    "party": marked("That party is no longer in the claim: it was removed in the meantime."),
    "payment": marked("That payment is no longer in the claim: it was removed in the meantime."),
    "photo": marked("That photo is no longer in the claim: it was removed in the meantime."),
}


def get(members: tuple[_One, ...], key: str, what: Named) -> _One:
    """Return the member with this id; raises LdappError where somebody has removed it."""
    one = find(members, key)
    if one is None:
        raise LdappError(said(_GONE[what]))
    return one
