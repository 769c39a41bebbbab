"""The one decorator behind every noun of a claim.

A record is a frozen, keyword-only dataclass with slots: it can be shared between
threads, compared with ``==`` and replaced with :func:`dataclasses.replace`, never
changed in place.  The claim file is derived from these classes; a key that no
record knows is refused there by name.
"""

from __future__ import annotations

import dataclasses
from typing import Any, TypeVar, dataclass_transform

_Record = TypeVar("_Record")


@dataclass_transform(frozen_default=True, kw_only_default=True)
def record(cls: type[_Record]) -> type[_Record]:
    """Make ``cls`` a frozen, keyword-only dataclass that refuses unknown keys when read."""
    made: Any = cls  # the attribute is pydantic's: the type of a record does not have it
    made.__pydantic_config__ = {"extra": "forbid"}
    return dataclasses.dataclass(frozen=True, slots=True, kw_only=True)(cls)


def with_fields(one: _Record, **values: Any) -> _Record:
    """Replace fields whose names are data here, not code; values are checked on saving."""
    whole: Any = one  # a record is a dataclass, which the type variable cannot say
    replaced: _Record = dataclasses.replace(whole, **values)
    return replaced


def field_names(kind: type[Any]) -> tuple[str, ...]:
    """Return the names of a record's fields in their order."""
    return tuple(field.name for field in dataclasses.fields(kind))
