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
from ldapp.reckoning.result import Step

STEP_CELL = CELL.but(size=7.9, leading=10.6)
_NOT_PRINTED = frozenset({"rests on"})
"""How well a ground is supported stays on the desk; the answer names its proof itself."""
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}\Z")
_MOMENT: Final = re.compile(r"\d{4}-\d{2}-\d{2} \d{2}:\d{2}(?::\d{2})?[+-]\d{2}:\d{2}\Z")
_LARGE: Final = re.compile(r"-?(?:\d{4,}\.\d+|\d{5,})\Z")
_FRACTION: Final = re.compile(r"(\d+)/([1-9]\d*)\Z")
_PER_CENT: Final = re.compile(r"(?<=\d) %")
_TAKEN_OFF: Final = re.compile(r"less (\d{4,}(?:\.\d+)?)(?=: )")


def step_spans(book: Book, step: Step) -> list[Span | str]:
    """Return a step's label, and below it its rule and what went in."""
    kept_back = _NOT_PRINTED if book.shows("against_grounds") else _NOT_PRINTED | {"against it"}
    spans: list[Span | str] = [label_text(step.label)]
    small: list[str] = []
    if step.rule and step.rule != step.label:
        small.append(step.rule)
    given = [
        _given(_input_name(book, one.name), one.value)
        for one in step.inputs
        if one.name not in kept_back
    ]
    if given:
        small.append("; ".join(given))
    if step.not_stated:
        small.append(f"Not stated in the paper: {step.not_stated}")
    spans.extend(Span(f"\n{words}", size=7, colour=QUIET, face="regular") for words in small)
    return spans


def label_text(label: str) -> str:
    """Return a step's label with the thousands of what it takes off grouped, as in the tables."""
    return _TAKEN_OFF.sub(lambda found: f"less {Decimal(found[1]):,}", label)


def value_text(value: str) -> str:
    """Return a number or date that went into a step, written as everywhere in the dossier."""
    if _LARGE.match(value):
        return f"{Decimal(value):,}"
    try:
        if _DAY.match(value):
            return date_text(dt.date.fromisoformat(value))
        if _MOMENT.match(value):
            moment = dt.datetime.fromisoformat(value)
            return f"{date_text(moment.date())}, {moment:%H:%M} {offset_text(moment)}"
    except ValueError:
        pass
    return _PER_CENT.sub("\u00a0%", value)


def _given(name: str, value: str) -> str:
    """Return a name and its value, without saying "clause: clause 7.1"."""
    if value.startswith(f"{name} "):
        return value
    if name == "unrounded" and (found := _FRACTION.match(value)):
        whole = int(found[1]) * 10_000 // int(found[2])
        return f"{name}: {Decimal(whole).scaleb(-4):,}… (exactly {value})"
    return f"{name}: {value_text(value)}"


def _input_name(book: Book, name: str) -> str:
    """Return an input's name; a charge is called by its number in the dossier, not by its id."""
    kind, _, key = name.partition(" ")
    if kind == "charge":
        for one in book.charges:
            if one.charge.id == key:
                return f"charge {one.number}"
    return name


def clause_spans(book: Book, clause: Clause | None) -> list[Span | str]:
    """Return where a rule is written: the clause, its page, and the exhibit."""
    if clause is None:
        return []
    spans: list[Span | str] = [Span(clause.reference, face="regular")]
    if clause.page is not None:
        spans.append(Span(f", page {clause.page}", face="regular"))
    for span in book.exhibit_spans([clause.document]):
        spans.extend((Span(", ", face="regular"), span))
    return spans
