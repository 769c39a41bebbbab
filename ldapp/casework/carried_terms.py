"""Terms that are carried from one claim to another, without what only one claim knows.

A clause keeps its number, page and words and loses the document of the claim it was read
in; what is about one kit line, one agreement or one person stays behind.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Any, TypeVar, get_args, get_type_hints

from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.parties import Party
from ldapp.claim.policy import AlsoInsured, DeductibleSplit, ItemLimit, PolicyTerms
from ldapp.claim.record import field_names, with_fields
from ldapp.claim.terms import DepreciationOverride, Terms, ValuationOverride

_Terms = TypeVar("_Terms", Terms, PolicyTerms)
_Record = TypeVar("_Record")


def carried_terms(terms: _Terms, parties: Sequence[Party] = ()) -> _Terms:
    """Return the terms as another claim can have them.

    Who bears a deductible is carried as the role of the party ("student", "department").
    """
    roles = {one.id: one.role for one in parties}
    carried: _Terms = _carried(terms, roles)
    return carried


def settled_terms(terms: _Terms, claim: Claim) -> _Terms:
    """Return carried terms with the roles in them named by the only party that has each."""
    split = terms.deductible_split if isinstance(terms, PolicyTerms) else None
    if split is None:
        return terms
    by_role: dict[str, list[str]] = {}
    for one in claim.parties:
        by_role.setdefault(one.role, []).append(one.id)
    only = {role: ids[0] for role, ids in by_role.items() if len(ids) == 1}
    named = dataclasses.replace(
        split, first=only.get(split.first, split.first), rest=only.get(split.rest, split.rest)
    )
    return with_fields(terms, deductible_split=named)


def _carried(one: Any, roles: dict[str, Any]) -> Any:
    match one:
        case Clause():
            return dataclasses.replace(one, document=None)
        case AlsoInsured():
            return None
        case DeductibleSplit():
            one = dataclasses.replace(
                one, first=roles.get(one.first, one.first), rest=roles.get(one.rest, one.rest)
            )
        case DeadlineRule():
            one = dataclasses.replace(one, agreement=None, start_on=None)
        case tuple():
            kept = (member for member in one if not _is_of_one_line(member))
            return tuple(_carried(member, roles) for member in kept)
    if not dataclasses.is_dataclass(one) or isinstance(one, type):
        return one
    changes = {
        field.name: new
        for field in dataclasses.fields(one)
        if (new := _carried(value := getattr(one, field.name), roles)) is not value
    }
    return dataclasses.replace(one, **changes) if changes else one


def _is_of_one_line(member: Any) -> bool:
    return (
        isinstance(member, ValuationOverride | DepreciationOverride | ItemLimit)
        and member.line is not None
    )


_MAY_REFER: dict[type[Any], bool] = {}


def _may_refer(kind: type[Any]) -> bool:
    """Return whether a record of this kind, or one within it, can name a document."""
    if kind not in _MAY_REFER:
        _MAY_REFER[kind] = _names_documents(kind)
    return _MAY_REFER[kind]


def _names_documents(kind: type[Any]) -> bool:
    if {"document", "documents"} & set(field_names(kind)):
        return True
    return any(
        _may_refer(inner)
        for hint in get_type_hints(kind).values()
        for inner in _records_in(hint)
        if inner is not kind
    )


def _records_in(hint: Any) -> Iterator[type[Any]]:
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        yield hint
    for inner in get_args(hint):
        yield from _records_in(inner)


def without_document(one: _Record, document: str) -> _Record:
    """Return a record of the claim in which nothing refers to a document any more."""
    changes: dict[str, Any] = {}
    if not _may_refer(type(one)):
        return one
    for field in field_names(type(one)):
        value = getattr(one, field)
        new = value
        if field == "document" and value == document:
            new = None
        elif field == "documents" and value and isinstance(value[0], str):
            new = tuple(name for name in value if name != document)
        elif isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
            if not _may_refer(type(value[0])):
                continue
            members = tuple(without_document(member, document) for member in value)
            if any(now is not was for now, was in zip(members, value, strict=True)):
                new = members
        elif dataclasses.is_dataclass(value) and not isinstance(value, type):
            new = without_document(value, document)
        if new is not value and new != value:
            changes[field] = new
    return with_fields(one, **changes) if changes else one
