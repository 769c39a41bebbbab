"""Public depreciation tables and time rules, and those that a person keeps beside them.

None is ever taken by default: what an agreement or a policy says decides, and a table or
rule enters a claim only when a person takes it.  Its source goes with it.
"""

from __future__ import annotations

import dataclasses
import re
from typing import Any

from pydantic import TypeAdapter, ValidationError

from ldapp.casework.templates import Remembers
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.terms import DepreciationTable
from ldapp.errors import LdappError
from ldapp.exchange.reference_data import (
    ReferenceRule,
    ReferenceTable,
    depreciation_tables,
    public_time_rules,
)

__all__ = [
    "OWN",
    "ReferenceRule",
    "ReferenceTable",
    "forget_own_rule",
    "forget_own_table",
    "keep_rule",
    "keep_table",
    "rules",
    "tables",
    "with_rule",
]

OWN = "own"
"""The status of a table and the place of a rule that a person keeps."""
_TABLES_KEY = "reference/depreciation tables"
_RULES_KEY = "reference/time rules"


def _kept(memory: Remembers | None, key: str, adapter: TypeAdapter[Any]) -> tuple[Any, ...]:
    if memory is None:
        return ()
    try:
        kept: tuple[Any, ...] = adapter.validate_python(memory.remembered(key) or ())
    except ValidationError as error:
        raise LdappError(
            "Your own reference tables were kept by a newer version of this program and cannot "
            "be read by this one. The shipped ones can still be used."
        ) from error
    return kept


def tables(memory: Remembers | None) -> tuple[ReferenceTable, ...]:
    """Return the depreciation tables: those that the program ships, then the person's own."""
    return (*depreciation_tables(), *_own_tables(memory))


def _own_tables(memory: Remembers | None) -> tuple[ReferenceTable, ...]:
    return _kept(memory, _TABLES_KEY, TypeAdapter(tuple[ReferenceTable, ...]))


def rules(memory: Remembers | None) -> tuple[ReferenceRule, ...]:
    """Return the time rules: those that the program ships, then the person's own."""
    return (*public_time_rules(), *_own_rules(memory))


def _own_rules(memory: Remembers | None) -> tuple[ReferenceRule, ...]:
    return _kept(memory, _RULES_KEY, TypeAdapter(tuple[ReferenceRule, ...]))


def keep_table(memory: Remembers, title: str, table: DepreciationTable) -> ReferenceTable:
    """Keep a table under a title, for other claims; one of the same title is replaced.

    Raises:
        LdappError: it has no title, or the title is that of a table that the program ships.
    """
    code = _code(title)
    if any(one.code == code or one.title == title.strip() for one in depreciation_tables()):
        raise LdappError(f"“{title.strip()}” is a table that the program ships. Choose another.")
    kept = ReferenceTable(
        code=code, title=title.strip(), status=OWN, rule=dataclasses.replace(table, clause=None)
    )
    others = tuple(one for one in _own_tables(memory) if one.code != code)
    _remember(memory, _TABLES_KEY, TypeAdapter(tuple[ReferenceTable, ...]), (*others, kept))
    return kept


def keep_rule(memory: Remembers, rule: DeadlineRule) -> ReferenceRule:
    """Keep a time rule for other claims; one of the same title is replaced.

    Raises:
        LdappError: it has no title.
    """
    code = _code(rule.title)
    kept = ReferenceRule(
        place=OWN, rule=dataclasses.replace(rule, code=code, clause=None, agreement=None)
    )
    others = tuple(one for one in _own_rules(memory) if one.rule.code != code)
    _remember(memory, _RULES_KEY, TypeAdapter(tuple[ReferenceRule, ...]), (*others, kept))
    return kept


def forget_own_table(memory: Remembers, code: str) -> None:
    """Take one of the person's own tables off the list; claims that took it keep it."""
    left = tuple(one for one in _own_tables(memory) if one.code != code)
    _remember(memory, _TABLES_KEY, TypeAdapter(tuple[ReferenceTable, ...]), left)


def forget_own_rule(memory: Remembers, code: str) -> None:
    """Take one of the person's own rules off the list; claims that took it keep it."""
    left = tuple(one for one in _own_rules(memory) if one.rule.code != code)
    _remember(memory, _RULES_KEY, TypeAdapter(tuple[ReferenceRule, ...]), left)


def with_rule(present: tuple[DeadlineRule, ...], rule: DeadlineRule) -> tuple[DeadlineRule, ...]:
    """Return a paper's deadlines with one more; one that is there already is not doubled."""
    if any(one.code == rule.code for one in present):
        return present
    return (*present, rule)


def _remember(
    memory: Remembers, key: str, adapter: TypeAdapter[Any], members: tuple[Any, ...]
) -> None:
    memory.remember(key, adapter.dump_python(members, mode="json"))


def _code(title: str) -> str:
    code = re.sub(r"\W+", "-", title.strip().lower()).strip("-")
    if not code:
        raise LdappError("Give it a title first: it is kept and found under that.")
    return f"{OWN}-{code}"
