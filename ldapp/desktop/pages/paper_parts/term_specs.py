"""How a term is written as a sentence with fields; no widget in here.

A term's record is built from the fields that are filled.  Until every field that the
record needs is filled, the term stays "not stated".
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import MISSING, dataclass, fields
from typing import Any, Literal, TypeAlias

from ldapp.claim.changes import with_fields

FieldKind: TypeAlias = Literal[
    "choice", "percent", "money", "whole", "number", "days", "text", "instant", "causes",
    "words", "percents", "bands", "line", "switch",
]  # fmt: skip


def _always(record: dict[str, Any]) -> bool:
    del record
    return True


@dataclass(frozen=True)
class FieldSpec:
    """One field in a sentence, and which attribute of the record it holds."""

    name: str
    label: str
    kind: FieldKind
    options: tuple[tuple[Any, str], ...] = ()
    required: bool = False
    place: int | None = None
    """For an attribute that is a tuple: which member of it this field holds."""
    attribute: str = ""
    """The record's attribute, where it is not the field's name."""

    @property
    def target(self) -> str:
        """Return the name of the record's attribute."""
        return self.attribute or self.name


@dataclass(frozen=True)
class Sentence:
    """Words with ``[field]`` in them; shown only while ``when`` holds for the values."""

    words: str
    when: Callable[[dict[str, Any]], bool] = _always


@dataclass(frozen=True)
class Variant:
    """One kind of record that a term can be (straight line, or a table)."""

    name: str
    record: type[Any]
    sentences: tuple[Sentence, ...]
    fields: tuple[FieldSpec, ...]

    def required(self) -> tuple[str, ...]:
        """Return the attributes without which the record cannot be."""
        named = {spec.target for spec in self.fields if spec.required}
        named |= {
            one.name
            for one in fields(self.record)
            if one.default is MISSING and one.default_factory is MISSING
        }
        return tuple(sorted(named))

    def build(self, values: dict[str, Any]) -> Any | None:
        """Return the record of these values, or None while something it needs is missing."""
        filled = {name: value for name, value in values.items() if value is not None}
        for name in self.required():
            if filled.get(name) in (None, (), ""):
                return None
        return self.record(**filled)


@dataclass(frozen=True)
class TermSpec:
    """One term: its title, its sentence, and what is taken where it is not stated."""

    attribute: str
    title: str
    not_stated: str
    variants: tuple[Variant, ...]
    many: bool = False
    """The attribute holds any number of such records."""
    add_label: str = ""

    def variant_of(self, record: Any) -> Variant:
        """Return the variant that a record is."""
        return next(one for one in self.variants if isinstance(record, one.record))


@dataclass(frozen=True)
class TermGroup:
    """Terms that belong together, under one title."""

    title: str
    terms: tuple[TermSpec, ...]


def term(
    attribute: str,
    title: str,
    not_stated: str,
    record: type[Any],
    sentences: Sequence[Sentence | str],
    spec_fields: Sequence[FieldSpec],
    *,
    many: bool = False,
    add_label: str = "",
) -> TermSpec:
    """Return a term with one kind of record."""
    return TermSpec(
        attribute,
        title,
        not_stated,
        (variant("", record, sentences, spec_fields),),
        many=many,
        add_label=add_label,
    )


def variant(
    name: str,
    record: type[Any],
    sentences: Sequence[Sentence | str],
    spec_fields: Sequence[FieldSpec],
) -> Variant:
    """Return one kind of record that a term can be."""
    return Variant(
        name,
        record,
        tuple(Sentence(one) if isinstance(one, str) else one for one in sentences),
        tuple(spec_fields),
    )


def read_field(spec: FieldSpec, value: Any) -> Any:
    """Return what a field shows of an attribute's value."""
    if spec.place is None:
        return value
    members: tuple[Any, ...] = value or ()
    return members[spec.place] if spec.place < len(members) else None


def write_field(spec: FieldSpec, present: Any, value: Any) -> Any:
    """Return the attribute's value after a field was entered."""
    if spec.place is None:
        return value
    members = list(present or ())
    while len(members) <= spec.place:
        members.append(None)
    members[spec.place] = value
    kept = tuple(one for one in members if one is not None)
    return kept


def values_of(variant_: Variant, record: Any) -> dict[str, Any]:
    """Return the attributes of a record that the variant's fields hold."""
    return {spec.target: getattr(record, spec.target) for spec in variant_.fields}


def with_value(record: Any, attribute: str, value: Any) -> Any:
    """Return a record with one attribute replaced; an emptied one gets its default back."""
    if value is None:
        spec = next(one for one in fields(record) if one.name == attribute)
        if spec.default is not MISSING:
            value = spec.default
    return with_fields(record, **{attribute: value})
