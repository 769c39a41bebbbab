"""Putting, finding and removing one record among its like, by id."""

from __future__ import annotations

from collections.abc import Collection
from typing import Protocol, TypeVar

from ldapp.errors import LdappError


class Identified(Protocol):
    """A record with an id."""

    @property
    def id(self) -> str:
        """Unique among its like in one claim."""
        ...


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


def get(members: tuple[_One, ...], key: str, what: str) -> _One:
    """Return the member with this id; raises LdappError where somebody has removed it."""
    one = find(members, key)
    if one is None:
        raise LdappError(f"That {what} is no longer in the claim: it was removed in the meantime.")
    return one
