"""How a term is written as a sentence with fields; no widget in here.

A term's record is built from the fields that are filled.  Until every field that the
record needs is filled, the term stays "not stated".
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import MISSING, dataclass, fields, is_dataclass
from typing import Any, Literal, TypeAlias

FieldKind: TypeAlias = Literal[
    "choice", "percent", "money", "whole", "number", "text", "instant", "causes",
    "words", "percents", "fee_bands", "share_bands", "line",
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


Values = dict[str, Any]


@dataclass(frozen=True)
class Variant:
    """One kind of record that a term can be (straight line, or a table).

    ``split`` spreads a record into flat values for the fields, ``join`` makes a record of
    them; a term whose record holds another one gives its own pair.
    """

    name: str
    record: type[Any]
    sentences: tuple[Sentence, ...]
    fields: tuple[FieldSpec, ...]
    split: Callable[[Any], Values] | None = None
    join: Callable[[Values], Any] | None = None
    matches: Callable[[Any], bool] | None = None

    def values_of(self, record: Any) -> Values:
        """Return everything that a record says, by attribute."""
        if self.split is not None:
            return self.split(record)
        return attributes_of(record)

    def defaults(self) -> Values:
        """Return what the record's attributes are where nothing was entered."""
        if not is_dataclass(self.record):
            return {}
        return default_values(self.record)

    def build(self, values: Values) -> Any | None:
        """Return the record of these values, or None while something it needs is missing."""
        for spec in self.fields:
            if spec.required and values.get(spec.target) in (None, (), ""):
                return None
        return (self.join or self._plain)(values)

    def _plain(self, values: Values) -> Any | None:
        return record_of(self.record, values)

    def fits(self, record: Any) -> bool:
        """Return whether a record is of this kind."""
        if self.matches is not None:
            return self.matches(record)
        return isinstance(record, self.record)


def attributes_of(record: Any) -> Values:
    """Return the attributes of a record by name."""
    return {one.name: getattr(record, one.name) for one in fields(record)}


def default_values(record: type[Any]) -> Values:
    """Return the attributes that have a default."""
    return {one.name: one.default for one in fields(record) if one.default is not MISSING}


def record_of(record: type[Any], values: Values) -> Any:
    """Return a record; an attribute without a value takes its default."""
    known = {one.name for one in fields(record)}
    return record(**{k: v for k, v in values.items() if k in known and v is not None})


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
        return next(one for one in self.variants if one.fits(record))


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
    *,
    split: Callable[[Any], Values] | None = None,
    join: Callable[[Values], Any] | None = None,
    matches: Callable[[Any], bool] | None = None,
) -> Variant:
    """Return one kind of record that a term can be."""
    return Variant(
        name,
        record,
        tuple(Sentence(one) if isinstance(one, str) else one for one in sentences),
        tuple(spec_fields),
        split,
        join,
        matches,
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
    return tuple(one for one in members if one is not None)
