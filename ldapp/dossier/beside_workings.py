"""What stands beside the workings: invoices added up, periods, and what papers leave open."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ldapp.dossier.book import Book
from ldapp.dossier.formats import NONE, date_text, sentence
from ldapp.dossier.frame import start_subsection
from ldapp.dossier.step_text import STEP_CELL, clause_spans, step_spans
from ldapp.dossier.style import NOTE, QUIET
from ldapp.dossier.tables import Column, Row, table
from ldapp.dossier.text import Span
from ldapp.language import said, said_in
from ldapp.reckoning.defaults import TERM_WORDS
from ldapp.reckoning.result import Deadline, InvoiceResult


def invoices_added_up(book: Book) -> list[Flowable]:
    """Return each invoice's lines beside the totals that it prints."""
    results = [
        book.invoice_results[one.id]
        for one in sorted(book.invoices, key=lambda one: (one.dated, one.number))
        if one.id in book.invoice_results
    ]
    if not results:
        return []
    columns = [
        Column(said("Invoice"), share=1.0),
        Column(said("Lines"), 78, align="right"),
        Column(said("Printed"), 78, align="right"),
        Column(said("Difference"), 78, align="right"),
    ]
    rows = [
        Row(
            [
                _invoice_spans(book, one),
                book.amount(one.working.amount),
                NONE if one.printed is None else book.amount(one.printed),
                book.amount(one.difference) if one.difference else NONE,
            ]
        )
        for one in results
    ]
    title = said("The invoices added up") if len(results) > 1 else said("The invoice added up")
    story = start_subsection(book, title, "invoices-added-up", room=110)
    story.append(table(book, columns, rows, style=STEP_CELL))
    return story


def _invoice_spans(book: Book, one: InvoiceResult) -> list[Span | str]:
    spans = step_spans(book, one.working)
    if one.tax_without_charge and one.replaced_by is None:
        says = said(
            "{amount} of tax stands below the lines and on none of them; "
            "it is not part of what is billed above.",
            amount=book.money(one.tax_without_charge),
        )
        spans.append(_small(says))
    return spans


def periods(book: Book) -> list[Flowable]:
    """Return how each period runs: all of them, or those that bind the rental company.

    What binds us, and what the policy says, is not told to the rental company.
    """
    shown = [one for one in book.reckoning.deadlines if _may_show(book, one)]
    if not shown:
        return []
    columns = [
        Column(said("Period, and how it is counted"), share=1.0),
        Column(said("Binds"), 72),
        Column(said("Clause"), 88),
        Column(said("Ends"), 108, align="right"),
    ]
    rows = [
        Row(
            [
                _period_spans(book, one),
                _whom_it_binds(one),
                clause_spans(book, one.clause),
                _end(book, one),
            ]
        )
        for one in shown
    ]
    story = start_subsection(book, said("Periods"), "periods", room=110)
    story.append(table(book, columns, rows, style=STEP_CELL))
    return story


def _may_show(book: Book, one: Deadline) -> bool:
    if book.shows("every_period"):
        return True
    return one.binds == "lessor" and any(one.paper == paper.id for paper in book.agreements)


def _period_spans(book: Book, one: Deadline) -> list[Span | str]:
    spans: list[Span | str] = [one.title] if one.working is None else step_spans(book, one.working)
    if one.needs:
        spans.append(_small(said("needs: {what}", what=one.needs)))
    if one.from_memory:
        spans.append(_small(said("from memory: to be checked in the paper itself")))
    return spans


def _whom_it_binds(one: Deadline) -> str:
    return {
        "us": said_in("whom a period binds", "us"),
        "lessor": said_in("whom a period binds", "the rental company"),
        "insurer": said_in("whom a period binds", "the insurer"),
    }[one.binds]


def _end(book: Book, one: Deadline) -> str:
    if one.due_at is not None:
        return book.time(one.due_at)
    return said("has not begun") if one.due is None else date_text(one.due)


def left_open(book: Book) -> list[Flowable]:
    """Return the terms that papers do not state, and what is taken in their place."""
    if not book.shows("left_open") or not book.reckoning.not_stated:
        return []
    names = {
        one.id: said("Agreement {reference}", reference=one.reference)
        if one.reference
        else said("Agreement")
        for one in book.agreements
    }
    columns = [
        Column(said("Paper"), 128),
        Column(said("Does not state"), 150),
        Column(said("Taken"), share=1.0),
    ]
    rows = [
        Row(
            [
                names.get(one.paper, said("Policy")),
                said(TERM_WORDS[one.term]),
                sentence(one.taken) if not one.blocks else Span(sentence(one.taken), face="bold"),
            ]
        )
        for one in book.reckoning.not_stated
    ]
    story = start_subsection(book, said("What the papers do not state"), "left-open", room=110)
    says = said("Where a paper is silent, the reckoning takes this in its place.")
    story.append(book.text(says, NOTE))
    story.append(table(book, columns, rows, style=STEP_CELL))
    return story


def _small(words: str) -> Span:
    return Span(f"\n{words}", size=7, colour=QUIET, face="regular")
