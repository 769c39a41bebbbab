"""Every field of an agreement's and a policy's terms can be edited in a sentence, and none is lost.

The walk makes two records of each term that differ in every value, shows the first, enters
the second field by field, and wants the second back: a value that no field of the page holds
stays as it was and is named.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import types
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from types import SimpleNamespace
from typing import Any, Literal, Union, cast, get_args, get_origin, get_type_hints

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.documents import Document
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import DepreciationTable, StraightLine, Terms, ValueBasis
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.agreement_sentences import AGREEMENT_GROUPS
from ldapp.desktop.pages.paper_parts.clause_fields import ClauseFields
from ldapp.desktop.pages.paper_parts.policy_sentences import POLICY_GROUPS
from ldapp.desktop.pages.paper_parts.term_fields import TermFields
from ldapp.desktop.pages.paper_parts.term_rows import TermItem
from ldapp.desktop.pages.paper_parts.term_specs import TermSpec
from ldapp.desktop.pages.paper_parts.words import BASES
from ldapp.desktop.theme import apply_theme
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    ComposedField,
    LongTextField,
    ParsedField,
    SeveralField,
)
from ldapp.reckoning.valuation import BASIS_WORDS
from tests.desktop.desk_claims import desk_claim

_SAME_ALWAYS = {"method", "code"}
"""The kind of depreciation is chosen with the sentence; a deadline's code is its identity."""


@pytest.fixture
def claim() -> Claim:
    papers = (
        Document(id="doc1", title="Agreement", name="a.pdf"),
        Document(id="doc2", title="Policy", name="b.pdf"),
    )
    return dataclasses.replace(desk_claim(), documents=papers)


@pytest.fixture
def makes(qapp: QApplication, claim: Claim) -> TermFields:
    apply_theme(qapp)
    return TermFields(cast("ClaimContext", SimpleNamespace(claim=claim)))


# --- two records that differ in everything ------------------------------------------------


class Samples:
    """Makes values of a type: the first and the second differ in every leaf."""

    def __init__(self, claim: Claim, which: int, depreciation: type[Any]) -> None:
        self._claim = claim
        self._which = which
        self._depreciation = depreciation

    def record(self, kind: type[Any]) -> Any:
        hints = get_type_hints(kind)
        return kind(
            **{
                one.name: self.value(one.name, hints[one.name])
                for one in dataclasses.fields(kind)
                if one.name not in _SAME_ALWAYS or one.default is dataclasses.MISSING
            }
        )

    def value(self, name: str, kind: Any) -> Any:
        which = self._which
        origin, arguments = get_origin(kind), get_args(kind)
        if origin is Literal:
            return arguments[which] if len(arguments) > 1 else arguments[0]
        if origin in (Union, types.UnionType):
            records = [one for one in arguments if dataclasses.is_dataclass(one)]
            if len(records) > 1:
                return self.record(self._depreciation)
            return self.value(name, next(one for one in arguments if one is not type(None)))
        if origin is tuple:
            if name == "components":
                return tuple(
                    dataclasses.replace(self.record(arguments[0]), component=component)
                    for component in ("replacement", "parts", "labour", "loss_of_use", "fees")
                )
            if name in ("bands", "share_bands"):
                first = dataclasses.replace(self.record(arguments[0]), up_to=Decimal(5 + which))
                return (first, dataclasses.replace(self.record(arguments[0]), up_to=None))
            if name == "bases":
                every = get_args(arguments[0])
                return every[:3] if which else every[3:]
            if name == "parties":
                return (self._claim.parties[which].id,)
            return (self.value(name, arguments[0]),)
        if dataclasses.is_dataclass(kind):
            assert isinstance(kind, type)
            return self.record(kind)
        return self._leaf(name, kind)

    def _leaf(self, name: str, kind: Any) -> Any:
        which = self._which
        named: dict[str, tuple[Any, Any]] = {
            "line": (self._claim.kit[0].id, self._claim.kit[1].id),
            "agreement": (None, self._claim.agreements[0].id),
            "document": ("doc1", "doc2"),
            "first": (self._claim.parties[0].id, self._claim.parties[1].id),
            "rest": (self._claim.parties[1].id, self._claim.parties[0].id),
            "currency": ("USD", "EUR"),
            "code": ("code", "code"),
        }
        if name in named:
            return named[name][which]
        leaves: dict[Any, tuple[Any, Any]] = {
            bool: (False, True),
            int: (3, 4),
            str: ("One", "Two"),
            Decimal: (Decimal("11.00"), Decimal("12.00")),
            Fraction: (Fraction(1, 8), Fraction(1, 4)),
            dt.date: (dt.date(2026, 1, 2), dt.date(2026, 3, 4)),
            dt.datetime: (
                dt.datetime(2026, 1, 2, 3, 4, tzinfo=dt.timezone(dt.timedelta(hours=-6))),
                dt.datetime(2026, 2, 3, 4, 5, tzinfo=dt.timezone(dt.timedelta(hours=-6))),
            ),
        }
        return leaves[kind][which]


def leaves(value: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every value inside records and tuples, with its place."""
    if dataclasses.is_dataclass(value):
        for one in dataclasses.fields(value):
            yield from leaves(getattr(value, one.name), f"{place}.{one.name}")
    elif isinstance(value, tuple):
        for number, one in enumerate(value):
            yield from leaves(one, f"{place}[{number}]")
    else:
        yield place, value


CASES = [
    pytest.param(record, spec, depreciation, id=f"{record.__name__}.{spec.attribute}.{kind}")
    for record, groups in ((Terms, AGREEMENT_GROUPS), (PolicyTerms, POLICY_GROUPS))
    for group in groups
    for spec in group.terms
    for kind, depreciation in (("line", StraightLine), ("table", DepreciationTable))
    if kind == "line" or spec.attribute.startswith("depreciation")
]


def filled(claim: Claim, record: type[Any], which: int, depreciation: type[Any]) -> Any:
    return Samples(claim, which, depreciation).record(record)


def one_of(spec: TermSpec, terms: Any) -> Any:
    read = spec.read(terms)
    return read[0] if spec.many else read


# --- the walk ----------------------------------------------------------------------------


def shown(makes: TermFields, spec: TermSpec, record: Any, qtbot: QtBot) -> TermItem:
    item = TermItem(spec, makes)
    qtbot.addWidget(item)
    item.show_record(record)
    return item


def enter(field: Any, value: Any) -> None:
    """Enter a value as a person does: type its text, or choose it."""
    if isinstance(field, ParsedField):
        field.setText("" if value is None else field._show(value))
        field.setModified(True)
        field.editingFinished.emit()
        assert field.refusal == ""
    elif isinstance(field, ChoiceField):
        field.set_value(value)
        assert field.value() == value, "the list does not offer it"
        field.activated.emit(field.currentIndex())
    elif isinstance(field, SeveralField):
        for one, action in field.choices:
            action.setChecked(one in value)
        field._list.aboutToHide.emit()
        assert field.value() == value
    elif isinstance(field, LongTextField):
        field._value = value
        field.committed.emit(value)
    elif isinstance(field, ClauseFields):
        enter_clause(field, value)
    else:
        assert isinstance(field, ComposedField)
        field.set_value(value)
        field.committed.emit(value)


def enter_clause(fields: ClauseFields, clause: Clause) -> None:
    fields.more.setChecked(True)
    enter(fields.reference, clause.reference)
    enter(fields.page, clause.page)
    fields.words.set_value(clause.text)
    fields.words.committed.emit(clause.text)
    enter(fields.document, clause.document)


@pytest.mark.parametrize(("record", "spec", "depreciation"), CASES)
def test_every_value_can_be_entered_in_a_sentence(
    qtbot: QtBot,
    claim: Claim,
    makes: TermFields,
    record: type[Any],
    spec: TermSpec,
    depreciation: type[Any],
) -> None:
    first = one_of(spec, filled(claim, record, 0, depreciation))
    second = one_of(spec, filled(claim, record, 1, depreciation))
    item = shown(makes, spec, first, qtbot)
    told: list[Any] = []
    item.changed.connect(told.append)
    # A choice decides which other sentences are shown: what is chosen goes first.
    wanted = item._variant.values_of(second)
    for form in item.forms:
        for name, field in form.fields.items():
            enter(field, wanted.get(name))
    if not item.clause.isHidden():
        enter_clause(item.clause, wanted["clause"])
    assert told, "nothing of it can be edited"
    same = [place for (place, one), (_, two) in zip(leaves(told[-1]), leaves(second), strict=True)
            if one != two]  # fmt: skip
    assert not same, f"no sentence edits {same} of {spec.attribute}"


@pytest.mark.parametrize("which", [0, 1])
@pytest.mark.parametrize(("record", "spec", "depreciation"), CASES)
def test_every_value_survives_the_form_unchanged(
    qtbot: QtBot,
    claim: Claim,
    makes: TermFields,
    record: type[Any],
    spec: TermSpec,
    depreciation: type[Any],
    which: int,
) -> None:
    value = one_of(spec, filled(claim, record, which, depreciation))
    item = shown(makes, spec, value, qtbot)
    told: list[Any] = []
    item.changed.connect(told.append)
    for form in item.forms:
        for name, field in list(form.fields.items()):
            if isinstance(field, ParsedField):
                # What is shown, typed again, is the same value.
                assert field.text() == "" or field._parse(field.text()) == field.value(), name
            form.committed.emit(name, field.value())
    item._on_clause(item.clause.value() if not item.clause.isHidden() else None)
    assert told[-1] == value


@pytest.mark.parametrize(("record", "spec", "depreciation"), CASES)
def test_every_sentence_comes_into_sight_for_some_choice(
    record: type[Any], spec: TermSpec, depreciation: type[Any]
) -> None:
    del record, depreciation
    for variant in spec.variants:
        options = {one.name: [value for value, _ in one.options] for one in variant.fields}
        for sentence in variant.sentences:
            tried = [variant.defaults(), {"bases": ("a", "b", "share_of_replacement")}]
            single = [{name: value} for name, values in options.items() for value in values]
            tried += [one | two for one in single for two in single]
            assert any(sentence.when(values) for values in tried), sentence.words


@pytest.mark.parametrize("record", [Terms, PolicyTerms])
def test_what_is_not_stated_stays_not_stated(record: type[Any]) -> None:
    groups = AGREEMENT_GROUPS if record is Terms else POLICY_GROUPS
    empty = record()
    for spec in (spec for group in groups for spec in group.terms):
        assert spec.read(empty) in (None, ())
        assert spec.write(empty, None) == empty


def test_the_walk_knows_every_field() -> None:
    """No field of the terms is left out of the sentences, nor named twice."""
    for record, groups in ((Terms, AGREEMENT_GROUPS), (PolicyTerms, POLICY_GROUPS)):
        named = [name for group in groups for spec in group.terms for name in spec.attributes]
        assert sorted(named) == sorted(one.name for one in dataclasses.fields(record))


def test_every_basis_of_value_can_be_chosen_and_has_words_in_the_workings() -> None:
    bases = set(get_args(ValueBasis))
    assert {basis for basis, _ in BASES} == bases
    assert set(BASIS_WORDS) == bases
