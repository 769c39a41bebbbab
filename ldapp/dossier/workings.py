"""Workings in print: every step with its rule, what went in, the clause, and its result."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from reportlab.platypus import Flowable

from ldapp.claim.clause import Clause
from ldapp.dossier.beside_workings import invoices_added_up, left_open, periods
from ldapp.dossier.book import AnsweredCharge, Book
from ldapp.dossier.fonts import Face
from ldapp.dossier.formats import date_text, joined, shortened
from ldapp.dossier.frame import Anchor, start_section, start_subsection
from ldapp.dossier.grid import Grid
from ldapp.dossier.letter import invoice_totals
from ldapp.dossier.step_text import STEP_CELL, clause_spans, number_in_place, step_spans
from ldapp.dossier.style import NOTE
from ldapp.dossier.tables import Column, Row, facts, table
from ldapp.language import said
from ldapp.reckoning.result import Step

_MOMENT = re.compile(r"\d{4}-\d\d-\d\d( \d\d:\d\d(:\d\d)?[+-]\d\d:\d\d)?$")
"""A day or an aware instant (ISO 8601), as steps write them."""
_INDENT = 9.0
"""Room for each level, in points."""


def working_table(book: Book, working: Step) -> Grid:
    """Return a working as a table: what a result rests on stands above it, indented."""
    columns = [
        Column(said("Step"), share=1.0),
        Column(said("Clause"), 88),
        Column(said("Result"), 130, align="right"),
    ]
    rows = []
    for step, depth in _steps(working):
        face: Face = "bold" if depth == 0 else "regular"
        look = STEP_CELL.but(indent=_INDENT * depth, face=face)
        rows.append(
            Row(
                [
                    book.text(step_spans(book, step), look),
                    clause_spans(book, step.clause),
                    _result(book, step),
                ],
                strong=depth == 0,
            )
        )
    return table(book, columns, rows, style=STEP_CELL)


def _steps(step: Step, depth: int = 0) -> Iterator[tuple[Step, int]]:
    for inner in step.steps:
        yield from _steps(inner, depth + 1)
    yield step, depth


def _result(book: Book, step: Step) -> str:
    """Return a step's result as the rest of the dossier writes amounts, times and days."""
    if step.amount is not None:
        return book.amount(step.amount)
    if _MOMENT.match(step.result):
        moment = dt.datetime.fromisoformat(step.result)
        return book.time(moment) if moment.tzinfo is not None else date_text(moment.date())
    return number_in_place(step.result)


def clause_texts(working: Step) -> list[Clause]:
    """Return every clause of a working whose words are recorded, each once."""
    found: dict[tuple[str, str], Clause] = {}
    for step, _ in _steps(working):
        if step.clause is not None and step.clause.text.strip():
            found.setdefault((step.clause.reference, step.clause.text), step.clause)
    return list(found.values())


def reckoning_section(book: Book) -> list[Flowable]:
    """Return the section: each charge, each occurrence, and the totals."""
    story = start_section(book, said("Reckoning"), "reckoning")
    story.append(
        book.text(
            said(
                "All amounts are in {currency}. What a result rests on stands above it. "
                "The working of each single finding stands on its line sheet.",
                currency=book.currency,
            ),
            NOTE,
        )
    )
    workings = [answered.result.working for answered in book.charges]
    as_billed = [one for one in book.charges if not one.result.working.steps]
    for answered in book.charges:
        if answered.result.working.steps:
            title = said(
                "Charge {number}: {charge}",
                number=answered.number,
                charge=shortened(answered.charge.description),
            )
            anchor = f"working-charge-{answered.number}"
            story.extend(start_subsection(book, title, anchor, room=130))
            story.append(working_table(book, answered.result.working))
    if as_billed:
        story.extend(start_subsection(book, said("Charges taken as billed"), "as-billed", room=130))
        story.extend(Anchor(book, f"working-charge-{one.number}") for one in as_billed)
        story.append(_as_billed(book, as_billed))
    story.extend(invoices_added_up(book))
    if book.shows("policy_working"):
        for number, group in enumerate(book.reckoning.occurrences, 1):
            title = said(
                "Who pays: {occurrence}",
                occurrence=book.occurrence_title(group.occurrence),
            )
            anchor = f"working-occurrence-{number}"
            story.extend(start_subsection(book, title, anchor, room=130))
            story.append(working_table(book, group.working))
            workings.append(group.working)
    story.extend(_totals(book))
    story.extend(periods(book))
    story.extend(left_open(book))
    story.extend(_clauses(book, workings))
    return story


def _as_billed(book: Book, charges: list[AnsweredCharge]) -> Grid:
    """Return the charges that no ground takes anything off, one row each."""
    columns = [
        Column(said("Charge"), 48),
        Column(said("Step"), share=1.0),
        Column(said("Billed"), 84, align="right"),
        Column(said("Result"), 84, align="right"),
    ]
    rows = [
        Row(
            [
                str(one.number),
                step_spans(book, one.result.working),
                book.amount(one.result.billed),
                _result(book, one.result.working),
            ]
        )
        for one in charges
    ]
    return table(book, columns, rows, style=STEP_CELL)


def _totals(book: Book) -> list[Flowable]:
    rows = 13 if book.shows("who_pays") else 3
    story = start_subsection(book, said("Totals"), "reckoning-totals", room=60 + 19 * rows)
    if book.shows("who_pays"):
        totals = book.reckoning.totals
        pairs = [
            (said("Billed"), totals.billed),
            (said("Not disputed"), totals.owed),
            (said("Disputed"), totals.disputed),
            (said("Not yet billed"), totals.not_yet_charged),
            (said("Loss under the agreements"), totals.loss),
            (said("Damage waiver"), totals.waiver),
            (said("Policy"), totals.policy),
            (said("Other insurance"), totals.other_insurance),
            (said("Paid by others"), totals.paid_by_others),
            (said("Held back"), totals.held_back),
            (said("Borne by us"), totals.renter),
            (said("Credits"), totals.offsets),
            (said("To pay to the rental companies"), totals.to_pay_to_lessors),
        ]
    else:
        invoiced = invoice_totals(book)
        pairs = [
            (said("Billed"), invoiced.billed),
            (said("Not disputed"), invoiced.owed),
            (said("Disputed"), invoiced.disputed),
        ]
    columns = [Column(said("Total"), share=1.0), Column(book.currency, 110, align="right")]
    story.append(
        table(
            book,
            columns,
            [Row([name, book.amount(amount)]) for name, amount in pairs],
            width=book.text_width * 0.62,
        )
    )
    return story


def _clauses(book: Book, workings: list[Step]) -> list[Flowable]:
    found: dict[tuple[str, str], Clause] = {}
    for working in [*workings, *(one.result.working for one in book.findings)]:
        for clause in clause_texts(working):
            found.setdefault((clause.reference, clause.text), clause)
    if not found:
        return []
    story = start_subsection(book, said("The clauses in their own words"), "clauses")
    pairs = [
        (clause.reference, said("“{words}”", words=clause.text.strip()))
        for clause in found.values()
    ]
    story.append(facts(book, pairs))
    return story


def lacking_words(lacking: tuple[str, ...]) -> str:
    """Return what is lacking as one sentence."""
    return (
        said("Cannot be computed yet; lacking: {what}.", what=joined(list(lacking)))
        if lacking
        else ""
    )
