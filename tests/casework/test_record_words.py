"""Fields, codes, amounts and days of the record of changes are told in words."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any, Literal, get_args, get_origin, get_type_hints

import pytest

from ldapp.casework.code_words import CODE_WORDS
from ldapp.casework.field_words import FIELD_WORDS
from ldapp.casework.record_words import field_name, record_name, value_text
from ldapp.catalogues import make_languages_known
from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.language import speaking
from tests.reckoning.claims import loss_claim

_OF_FILES = {"ldapp-claim/1", "II", "MM"}
"""Marks of file formats, which have no other words."""


def _walk(hint: Any, fields: set[str], codes: set[str], seen: set[type]) -> None:
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        if hint in seen:
            return
        seen.add(hint)
        for name, inner in get_type_hints(hint).items():
            fields.add(name)
            _walk(inner, fields, codes, seen)
    elif get_origin(hint) is Literal:
        codes |= {one for one in get_args(hint) if isinstance(one, str)}
    else:
        for inner in get_args(hint):
            _walk(inner, fields, codes, seen)


def test_every_field_and_code_of_a_claim_has_its_words() -> None:
    fields: set[str] = set()
    codes: set[str] = set()
    _walk(Claim, fields, codes, set())
    assert fields - {"format"} == set(FIELD_WORDS)
    assert codes - _OF_FILES == set(CODE_WORDS)
    assert not [words for words in (*FIELD_WORDS.values(), *CODE_WORDS.values()) if "_" in words]


@pytest.mark.parametrize(
    ("value", "field", "words"),
    [
        ("signed_by_both", "acknowledgement", "signed by both"),
        ("signed_by_both", "note", "signed_by_both"),
        (None, "note", "–"),
        (True, "taxable", "yes"),
        (["a", "b"], "serials", "a, b"),
        ("2026-03-02", "signed", "2026-03-02"),
        (
            {"custody_start": {"event": "set_aside", "clause": None, "note": "x"}, "fees": []},
            "terms",
            "custody start: (event: set aside, note: x)",
        ),
        ([{"number": "1", "amount": "2.50"}, {"number": "2"}], "charges",
         "number: 1, amount: 2.50; number: 2"),
    ],
)  # fmt: skip
def test_values_are_told_as_a_person_reads_them(value: Any, field: str, words: str) -> None:
    assert value_text(value, field) == words


@pytest.mark.parametrize(
    ("value", "field", "words"),
    [
        ("signed_by_both", "acknowledgement", "von beiden unterschrieben"),
        ("1250.50", "amount", "1250,50"),
        ("1.5", "number", "1.5"),
        ("2026-03-02", "signed", "02.03.2026"),
        ("2026-03-02T08:05:00-04:00", "at", "02.03.2026 08:05:00-04:00"),
        ("2026-03-02", "note", "2026-03-02"),
    ],
)
def test_in_german_codes_amounts_and_days_have_their_german_form(
    value: str, field: str, words: str
) -> None:
    make_languages_known()
    with speaking("de"):
        assert value_text(value, field) == words


def test_records_are_called_by_kind_and_name() -> None:
    claim = loss_claim(["100"])
    bare = dataclasses.replace(claim, kit=(), invoices=(), title="other")
    names = [record_name(claim, bare, change) for change in difference(bare, claim)]
    line = claim.kit[0]
    assert f"Kit line {line.number} {line.description}".strip() in names
    assert "The claim itself" in names
    assert field_name("age_months") == "age months"


def test_a_long_value_is_cut_with_an_ellipsis() -> None:
    assert value_text("x" * 500) == "x" * 159 + "…"
    assert dt.date(2026, 3, 2).isoformat() == value_text("2026-03-02")
