"""Public depreciation tables and time rules, as shipped and as a person adds them.

Each file holds records of the claim itself, so that a table or rule goes into an agreement
or a policy as it stands.  None of them is ever taken by default.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.record import record
from ldapp.claim.terms import DepreciationTable
from ldapp.errors import Fault, InputError
from ldapp.language import said
from ldapp.resources import resource


@record
class ReferenceTable:
    """A published depreciation table; ``status`` says whether its figures were seen."""

    code: str
    title: str
    status: str
    rule: DepreciationTable


@record
class ReferenceRule:
    """A public time rule and the place in which it holds."""

    place: str
    rule: DeadlineRule


@record
class _TableFile:
    about: str
    tables: tuple[ReferenceTable, ...]


@record
class _RuleFile:
    about: str
    rules: tuple[ReferenceRule, ...]


@cache
def depreciation_tables() -> tuple[ReferenceTable, ...]:
    """Return the depreciation tables that the program ships."""
    return read_depreciation_tables(resource("reference", "depreciation_tables.json"))


@cache
def public_time_rules() -> tuple[ReferenceRule, ...]:
    """Return the public time rules that the program ships."""
    return read_time_rules(resource("reference", "deadline_rules.json"))


def read_depreciation_tables(path: Path) -> tuple[ReferenceTable, ...]:
    """Read a file of depreciation tables; InputError names every fault in it."""
    try:
        return TypeAdapter(_TableFile).validate_json(path.read_bytes()).tables
    except ValidationError as error:
        raise reference_faults(path, error) from error


def read_time_rules(path: Path) -> tuple[ReferenceRule, ...]:
    """Read a file of time rules; InputError names every fault in it."""
    try:
        return TypeAdapter(_RuleFile).validate_json(path.read_bytes()).rules
    except ValidationError as error:
        raise reference_faults(path, error) from error


def reference_faults(path: Path, error: ValidationError) -> InputError:
    """Return every fault of a file of reference data, each with its place."""
    return InputError(
        tuple(
            Fault(
                file=path.name,
                place=".".join(str(part) for part in each["loc"]),
                wrong=each["msg"],
                expected=said("a table or rule in the form of the files that the program ships"),
            )
            for each in error.errors()
        )
    )
