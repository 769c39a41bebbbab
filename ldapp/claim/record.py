"""The one decorator behind every noun of a claim.

A record is a frozen, keyword-only dataclass with slots: it can be shared between
threads, compared with ``==`` and replaced with :func:`dataclasses.replace`, never
changed in place.  The claim file is derived from these classes; a key that no
record knows is refused there by name.
"""

from __future__ import annotations

import dataclasses
from typing import Any, TypeVar, dataclass_transform

_Class = TypeVar("_Class", bound=type[Any])


@dataclass_transform(frozen_default=True, kw_only_default=True)
def record(cls: _Class) -> _Class:
    """Make ``cls`` a frozen, keyword-only dataclass that refuses unknown keys when read."""
    cls.__pydantic_config__ = {"extra": "forbid"}
    return dataclasses.dataclass(frozen=True, slots=True, kw_only=True)(cls)
