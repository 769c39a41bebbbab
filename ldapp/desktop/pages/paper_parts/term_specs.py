"""How a term is written as a sentence with fields; no widget in here.

All words are ``marked``: whoever makes a widget of them says them in the language spoken then.

A term's record is built from the fields that are filled.  Until every field that the
record needs is filled, the term stays "not stated".
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import MISSING, dataclass, fields, is_dataclass
from typing import Any, Literal, NamedTuple, TypeAlias

from ldapp.claim.clause import Clause
from ldapp.claim.record import with_fields

FieldKind: TypeAlias = Literal[
    "choice", "percent", "money", "whole", "number", "text", "phrase", "instant", "date", "causes",
    "words", "percents", "fee_bands", "share_bands", "line", "bases", "clause", "currency",
    "agreement", "parties", "bearer", "days",
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


@dataclass(frozen=True)
class Sentence:
    """Words with ``[field]`` in them; shown only while ``when`` holds for the values."""

    words: str
    when: Callable[[dict[str, Any]], bool] = _always


Values = dict[str, Any]


class PlainTerm(NamedTuple):
    """A term that is a plain value, and the clause that it rests on."""

    value: Any
    clause: Clause | None


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
            if spec.required and values.get(spec.name) in (None, (), ""):
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
    """Return a record; an attribute without a value takes its default, where it has one."""
    given = {one.name: values.get(one.name) for one in fields(record)}
    must = {one.name for one in fields(record) if one.default is MISSING}
    return record(**{k: v for k, v in given.items() if v is not None or k in must})


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
    clause_attribute: str = ""
    """For a plain value whose clause stands in an attribute of its own: the name of that."""

    @property
    def attributes(self) -> tuple[str, ...]:
        """Return the attributes of the terms that this term holds."""
        return (self.attribute, *((self.clause_attribute,) if self.clause_attribute else ()))

    def read(self, terms: Any) -> Any:
        """Return the term as it stands in ``terms``; None or nothing is "not stated"."""
        value = getattr(terms, self.attribute)
        if not self.clause_attribute or value is None:
            return value
        return PlainTerm(value, getattr(terms, self.clause_attribute))

    def write(self, terms: Any, value: Any) -> Any:
        """Return ``terms`` with this term; None takes it off."""
        stated = {self.attribute: value}
        if self.clause_attribute:
            stated = {
                self.attribute: None if value is None else value.value,
                self.clause_attribute: None if value is None else value.clause,
            }
        fresh = type(terms)()
        return with_fields(
            terms,
            **{name: getattr(fresh, name) if one is None else one for name, one in stated.items()},
        )

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


def plain_term(
    title: str, not_stated: str, sentence: str, spec: FieldSpec, *, clause_attribute: str = ""
) -> TermSpec:
    """Return a term that is a plain value of the terms, named like its only field."""
    has_clause = bool(clause_attribute)

    def split(value: Any) -> Values:
        return value._asdict() | {spec.name: value.value} if has_clause else {spec.name: value}

    def join(values: Values) -> Any:
        value = values[spec.name]
        return PlainTerm(value, values.get("clause")) if has_clause else value

    return TermSpec(
        spec.name,
        title,
        not_stated,
        (
            Variant(
                "",
                PlainTerm if has_clause else object,
                (Sentence(sentence),),
                (spec,),
                split,
                join,
                lambda value: value is not None,
            ),
        ),
        clause_attribute=clause_attribute,
    )
