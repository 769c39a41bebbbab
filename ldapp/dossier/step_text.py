"""One step of a working in print: its label, what went in, and where its rule is written."""

from __future__ import annotations

from ldapp.claim.clause import Clause
from ldapp.dossier.book import Book
from ldapp.dossier.style import CELL, QUIET
from ldapp.dossier.text import Span
from ldapp.reckoning.result import Step

STEP_CELL = CELL.but(size=7.9, leading=10.6)
_NOT_PRINTED = frozenset({"rests on"})
"""How well a ground is supported stays on the desk; the answer names its proof itself."""


def step_spans(book: Book, step: Step) -> list[Span | str]:
    """Return a step's label, and below it its rule and what went in."""
    kept_back = _NOT_PRINTED if book.shows("against_grounds") else _NOT_PRINTED | {"against it"}
    spans: list[Span | str] = [step.label]
    small: list[str] = []
    if step.rule and step.rule != step.label:
        small.append(step.rule)
    given = [
        f"{_input_name(book, one.name)}: {one.value}"
        for one in step.inputs
        if one.name not in kept_back
    ]
    if given:
        small.append("; ".join(given))
    if step.not_stated:
        small.append(f"Not stated in the paper: {step.not_stated}")
    spans.extend(Span(f"\n{words}", size=7, colour=QUIET, face="regular") for words in small)
    return spans


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
