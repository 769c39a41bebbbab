"""The one decorator behind every noun of a claim.

A record is a frozen, keyword-only dataclass with slots: it can be shared between
threads, compared with ``==`` and replaced with :func:`dataclasses.replace`, never
changed in place.  The claim file is derived from these classes; a key that no
record knows is refused there by name.
"""

from __future__ import annotations

import dataclasses
from typing import TypeVar, dataclass_transform

_Record = TypeVar("_Record")


@dataclass_transform(frozen_default=True, kw_only_default=True)
def record(cls: type[_Record]) -> type[_Record]:
    """Make ``cls`` a frozen, keyword-only dataclass that refuses unknown keys when read."""
    setattr(cls, "__pydantic_config__", {"extra": "forbid"})  # noqa: B010 - no attribute of type[_Record]
    return dataclasses.dataclass(frozen=True, slots=True, kw_only=True)(cls)
