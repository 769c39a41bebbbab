"""A reckoning in another language: every word of it, and nothing that a program reads."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from gettext import NullTranslations
from typing import get_args

import pytest

import ldapp.language as spoken_language
from ldapp.claim.causes import Cause
from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.kit import EquipmentKind
from ldapp.claim.terms import FeeKind, TaxComponent, Terms, ValuationDateEvent
from ldapp.language import make_known, speak, speaking
from ldapp.reckoning import words
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.figures import number_text, percent_text, said_amount, said_number
from ldapp.reckoning.proposals import propose_findings, propose_grounds
from ldapp.reckoning.result import Reckoning, Step
from ldapp.reckoning.support import clause_text
from ldapp.reckoning.times import said_time, time_text
from ldapp.reckoning.workings import charge_input, charge_of_input, inputs, is_reference
from tests.reckoning.claims import (
    CASH_VALUE,
    at,
    charge,
    invoice,
    line,
    missing,
    straight_line,
)
from tests.reckoning.claims import claim as claim_of
from tests.reckoning.worked_claims import worked_claims

MARKED = "de_LU"
"""No language of the program: what is kept of it is kept from no other test.  Writes numbers as
German does."""

ALL_CLAIMS = [
    pytest.param(claim, id=f"{file}: {name}")
    for file, claims in worked_claims().items()
    for name, claim in claims.items()
]


class Marked(NullTranslations):
    """A language in which every sentence of the program stands between brackets."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"

    def pgettext(self, context: str, message: str) -> str:
        return f"⟦{message}⟧"


@pytest.fixture(autouse=True)
def known() -> Iterator[None]:
    readers = dict(spoken_language._readers)
    make_known(MARKED, Marked)
    yield
    speak("en")
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


def steps(step: Step) -> Iterator[Step]:
    yield step
    for inner in step.steps:
        yield from steps(inner)


def workings(found: Reckoning) -> Iterator[Step]:
    """Give every step of a reckoning."""
    results = (*found.findings, *found.charges, *found.occurrences, *found.invoices)
    for result in results:
        yield from steps(result.working)
    for deadline in found.deadlines:
        if deadline.working is not None:
            yield from steps(deadline.working)


def sentences(claim: Claim) -> Iterator[str]:
    """Give every text that the reckoning itself has written, as a person reads it."""
    faults = check_terms(claim)
    if faults:
        for fault in faults:
            yield from (fault.wrong, fault.expected)
        return
    found = reckon(claim)
    titles = {one.title for one in found.deadlines}
    reasons = {one.stated_value_reason for one in claim.findings}
    names = {one.description for one in claim.kit}
    sources = tuple(each.source for one in claim.kit for each in one.comparables) or ("no source",)
    for step in workings(found):
        yield from (text for text in (step.label, step.rule) if text not in titles | reasons)
        given = (one.name for one in step.inputs if one.name not in names)
        yield from (name for name in given if not name.startswith(sources))
        yield from filter(None, step.not_stated.split("; "))
        yield step.result
    for finding in found.findings:
        yield from (*finding.lacking, *finding.would_help)
    for answered in found.charges:
        for ground in answered.grounds:
            yield from (*ground.rests_on, ground.not_stated, ground.against)
        if answered.loss_of_use is not None:
            yield from answered.loss_of_use.renter.lacking
    for occurrence in found.occurrences:
        yield from (*occurrence.reasons, *occurrence.hints)
        yield from (one.partition(": ")[2] for one in occurrence.lacking if one[0] != "⟦")
    yield from (one.says for one in found.observations)
    yield from (one.taken for one in found.not_stated)
    yield from (one.reason for one in propose_findings(claim))
    yield from (one.reason for one in propose_grounds(claim))


def read_by_programs(text: str) -> bool:
    """Say whether a text has no words: a number, a share, a day or an instant."""
    return not re.search(r"[A-Za-z]{2}", text)


@pytest.mark.parametrize("claim", ALL_CLAIMS)
def test_every_sentence_can_be_said_otherwise(claim: Claim) -> None:
    with speaking(MARKED):
        said = [text for text in sentences(claim) if not read_by_programs(text)]
    assert [text for text in said if not (text.startswith("⟦") and text.endswith("⟧"))] == []
    in_english = [text for text in sentences(claim) if not read_by_programs(text)]
    # Texts that are kept from one reckoning to the next would bring a language with them.
    assert not [text for text in in_english if "⟦" in text]


@pytest.mark.parametrize("claim", ALL_CLAIMS)
def test_what_programs_read_is_the_same_in_all_languages(claim: Claim) -> None:
    if check_terms(claim):
        return
    english = reckon(claim)
    with speaking(MARKED):
        other = reckon(claim)
    assert other.totals == english.totals
    for one, same in zip(workings(other), workings(english), strict=True):
        assert one.amount == same.amount
        assert len(one.inputs) == len(same.inputs)
        if one.amount is not None:
            assert one.result == same.result
        for mine, theirs in zip(one.inputs, same.inputs, strict=True):
            if re.fullmatch(r"[-0-9./]+", theirs.value):
                assert mine.value == theirs.value


def test_numbers_and_days_within_sentences_are_local() -> None:
    with speaking(MARKED):
        assert percent_text(Fraction(3, 8)) == "37,5 %"
        assert percent_text(Fraction(5, 6)) == "⟦83,33 % (exactly 5/6)⟧"
        assert said_number(Fraction(5, 2)) == "2,5"
        assert said_amount(Decimal("12345.60")) == "12.345,60"
        assert said_time(at(9)) == "09.03.2026 12:00+00:00"
        assert said_time(None) == "⟦time not known⟧"
    assert percent_text(Fraction(3, 8)) == "37.5 %"
    assert percent_text(Fraction(5, 6)) == "83.33 % (exactly 5/6)"
    assert said_number(Fraction(5, 2)) == "2.5"
    assert said_amount(Decimal("12345.60")) == "12345.60"
    assert said_time(at(9)) == "2026-03-09 12:00+00:00"


def test_numbers_and_days_that_stand_alone_are_as_programs_read_them() -> None:
    with speaking(MARKED):
        assert number_text(Fraction(5, 2)) == "2.5"
        assert time_text(at(9)) == "2026-03-09 12:00+00:00"
        given = inputs(("a", Decimal("1234.50")), ("b", Fraction(1, 2)), ("c", at(9).date()))
        assert [one.value for one in given] == ["1234.50", "0.5", "2026-03-09"]


@pytest.mark.parametrize("language", ["en", MARKED])
def test_an_input_named_after_a_charge_leads_back_to_it(language: str) -> None:
    with speaking(language):
        assert charge_of_input(charge_input("h1")) == "h1"
        assert charge_of_input("billed") is None
        assert charge_input("h1") == ("charge h1" if language == "en" else "⟦charge h1⟧")


@pytest.mark.parametrize("language", ["en", MARKED])
def test_a_clause_and_a_line_are_no_numbers(language: str) -> None:
    cut = charge("h1", "60", (GroundChoice(code="depreciation", clause="9.2"),), line="k1")
    claim = claim_of(
        kit=[line("k1", "100", number="1.10", acquired=dt.date(2023, 1, 31))],
        findings=[missing(occurrence=None)],
        invoices=[invoice(cut)],
        terms=Terms(valuation=CASH_VALUE, depreciation=straight_line(60)),
    )
    with speaking(language):
        given = [one for step in workings(reckon(claim)) for one in step.inputs]
        references = {one.value for one in given if is_reference(one)}
    assert references == {"9.2", "1.10"}
    assert any("." in one.value for one in given if not is_reference(one))


def test_a_clause_is_named_once_in_every_language() -> None:
    assert clause_text("9.2") == "clause 9.2"
    assert clause_text("Clause 9.2") == "Clause 9.2"

    class German(Marked):
        def gettext(self, message: str) -> str:
            return message.replace("clause", "Klausel")

    make_known(MARKED, German)
    with speaking(MARKED):
        assert clause_text("9.2") == "Klausel 9.2"
        assert clause_text("Klausel 9.2") == "Klausel 9.2"
        assert clause_text("Clause 9.2") == "Clause 9.2"


def test_every_choice_that_a_sentence_names_has_a_word() -> None:
    assert set(words.CAUSE_WORDS) == set(get_args(Cause))
    assert set(words.EVENT_WORDS) == set(get_args(ValuationDateEvent))
    assert set(words.FEE_WORDS) == set(get_args(FeeKind))
    assert set(words.COMPONENT_WORDS) == set(get_args(TaxComponent))
    with speaking(MARKED):
        for kind in get_args(EquipmentKind):
            assert words.category_words(kind) == f"⟦{kind.replace('_', ' ')}⟧"
        assert words.category_words("HEADING") == "HEADING"
