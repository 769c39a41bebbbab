"""One step of a working in print: its label, what went in, and where its rule is written."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from typing import Final

from ldapp.claim.clause import Clause
from ldapp.dossier.book import Book
from ldapp.dossier.formats import date_text, offset_text
from ldapp.dossier.style import CELL, QUIET
from ldapp.dossier.text import Span
from ldapp.language import said
from ldapp.local_forms import local_number
from ldapp.reckoning.result import Step, StepInput
from ldapp.reckoning.workings import (
    AGAINST_IT,
    RESTS_ON,
    UNROUNDED,
    charge_of_input,
    is_reference,
)

STEP_CELL = CELL.but(size=7.9, leading=10.6)
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_MOMENT: Final = re.compile(r"\d{4}-\d{2}-\d{2} \d{2}:\d{2}(?::\d{2})?[+-]\d{2}:\d{2}\Z")
_LARGE: Final = re.compile(r"-?(?:\d{4,}\.\d+|\d{5,})\Z")
_NUMBER: Final = re.compile(r"-?\d+\.\d+\Z")
_FRACTION: Final = re.compile(r"(\d+)/([1-9]\d*)\Z")
_PER_CENT: Final = re.compile(r"(?<=\d) %")
_TAKEN_OFF: Final = re.compile(r"less (\d{4,}(?:\.\d+)?)(?=: )")


def step_spans(book: Book, step: Step) -> list[Span | str]:
    """Return a step's label, and below it its rule and what went in."""
    # How well a ground is supported stays on the desk; the answer names its proof itself.
    kept_back = {said(RESTS_ON)}
    if not book.shows("against_grounds"):
        kept_back.add(said(AGAINST_IT))
    spans: list[Span | str] = [label_text(step.label)]
    small: list[str] = []
    if step.rule and step.rule != step.label:
        small.append(step.rule)
    given = [_given(book, one) for one in step.inputs if one.name not in kept_back]
    if given:
        small.append("; ".join(given))
    if step.not_stated:
        small.append(said("Not stated in the paper: {not_stated}", not_stated=step.not_stated))
    spans.extend(Span(f"\n{words}", size=7, colour=QUIET, face="regular") for words in small)
    return spans


def label_text(label: str) -> str:
    """Return a step's label with the thousands of what it takes off grouped, as in the tables."""
    return _TAKEN_OFF.sub(lambda found: f"less {Decimal(found[1]):,}", label)


def value_text(value: str) -> str:
    """Return a number or date that went into a step, written as everywhere in the dossier."""
    if _LARGE.match(value):
        return local_number(f"{Decimal(value):,}")
    if _NUMBER.match(value):
        return number_in_place(value)
    try:
        if _DAY.match(value):
            return date_text(dt.date.fromisoformat(value))
        if _MOMENT.match(value):
            moment = dt.datetime.fromisoformat(value)
            return f"{date_text(moment.date())}, {moment:%H:%M} {offset_text(moment)}"
    except ValueError:
        pass
    return _PER_CENT.sub("\u00a0%", value)


def number_in_place(value: str) -> str:
    """Return a number that stands alone with the local sign of its decimals; words stay."""
    return local_number(value) if _NUMBER.match(value) else value


def _given(book: Book, given: StepInput) -> str:
    """Return a name and its value, without saying "clause: clause 7.1"."""
    name, value = _input_name(book, given.name), given.value
    if value.startswith(f"{name} "):
        return value
    if is_reference(given) and _NUMBER.match(value):
        return f"{name}: {value}"
    if name == said(UNROUNDED) and (found := _FRACTION.match(value)):
        whole = int(found[1]) * 10_000 // int(found[2])
        begins = local_number(f"{Decimal(whole).scaleb(-4):,}")
        return said(
            "{name}: {begins}… (exactly {fraction})", name=name, begins=begins, fraction=value
        )
    return f"{name}: {value_text(value)}"


def _input_name(book: Book, name: str) -> str:
    """Return an input's name; a charge is called by its number in the dossier, not by its id."""
    key = charge_of_input(name)
    if key is not None:
        for one in book.charges:
            if one.charge.id == key:
                return said("charge {number}", number=one.number)
    return name


def clause_spans(book: Book, clause: Clause | None) -> list[Span | str]:
    """Return where a rule is written: the clause, its page, and the exhibit."""
    if clause is None:
        return []
    spans: list[Span | str] = [Span(clause.reference, face="regular")]
    if clause.page is not None:
        page = said(", page {number}", number=clause.page)
        spans.append(Span(page, face="regular"))
    for span in book.exhibit_spans([clause.document]):
        spans.extend((Span(", ", face="regular"), span))
    return spans
