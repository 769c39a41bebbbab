"""Rows of the statement that lead back to papers: invoices added up, periods, what is left open."""

from __future__ import annotations

from decimal import Decimal
from itertools import groupby

from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import START_WORDS
from ldapp.desktop.pages.said import (
    day_text,
    first_upper,
    given_text,
    moment_text,
    party_of_agreement,
)
from ldapp.desktop.pages.statement_entry import Entry, clause_text
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import marked, said, said_of
from ldapp.local_forms import short_weekday
from ldapp.reckoning.defaults import TERM_WORDS
from ldapp.reckoning.result import Deadline, InvoiceResult, Reckoning, Step, Unstated

_BINDS = {
    "us": marked("for us"),
    "lessor": marked("for the rental company"),
    "insurer": marked("for the insurer"),
}
_START_SAYS: dict[str, str] = {str(code): says for code, says in START_WORDS.items()}


def added_up(result: InvoiceResult, currency: str) -> Entry:
    """Return how an invoice adds up, beside the totals that it prints."""

    def money(amount: Decimal | None) -> str:
        return "" if amount is None else amount_text(amount, currency)

    working = result.working
    entry = Entry(working.label, working.rule, money(working.amount))
    said_below, printed = said("tax that no line carries"), said("compared with")
    for given in working.inputs:
        if given.name != said_below:
            how = said("what the invoice prints for these lines") if given.name == printed else ""
            entry.under.append(Entry(first_upper(given.name), how, money(Decimal(given.value))))
    if result.difference:
        entry.under.append(
            Entry(
                said("⚠ Difference"),
                said("the printed total less the lines as added"),
                money(result.difference),
                mark="amber",
            )
        )
    if result.tax_without_charge and result.replaced_by is None:
        entry.under.append(
            Entry(
                said("⚠ Tax that no line carries"),
                said("neither owed nor disputed; the Charges page offers to enter it as a charge"),
                money(result.tax_without_charge),
                mark="amber",
                key=("invoice", result.invoice),
            )
        )
    return entry


def deadlines_entry(reckoning: Reckoning) -> Entry | None:
    """Return the periods; each unfolds into how it was counted."""
    found = reckoning.deadlines
    if not found:
        return None
    coming = min((one.due for one in found if one.due is not None), default=None)
    how = said_of(len(found), "{count} period", "{count} periods")
    if coming:
        how = said("{periods}, the first ends {day}", periods=how, day=day_text(coming))
    return Entry(
        said("Deadlines"),
        how,
        mark="total",
        key=("section", "deadlines"),
        under=[_deadline(one) for one in found],
    )


def _deadline(one: Deadline) -> Entry:
    started = ""
    if one.started_by:
        start = _START_SAYS.get(one.started_by)
        started = said("from {start}", start=said(start) if start else one.started_by)
    due = moment_text(one.due_at) or day_text(one.due) or said("has not begun")
    source = clause_text(one.clause) or one.source
    if one.from_memory:
        source = said("{source} (from memory)", source=source).strip()
    return Entry(
        one.title,
        "; ".join(part for part in (said(_BINDS[one.binds]), started, one.needs) if part),
        due,
        source,
        key=("deadline", one.code),
        under=[] if one.working is None else _counted(one, one.working),
    )


def _counted(one: Deadline, working: Step) -> list[Entry]:
    entries = [Entry(f"{first_upper(working.rule)}.")]
    left_out = said("left out")
    for holiday in one.left_out:
        entries.append(
            Entry(
                said("Left out"),
                holiday.name or said("a holiday"),
                f"{short_weekday(holiday.day)} {day_text(holiday.day)}",
            )
        )
    entries += [
        Entry(first_upper(given.name), "", given_text(given.value))
        for given in working.inputs
        if given.name != left_out
    ]
    if working.not_stated:
        entries.append(Entry(f"⚠ {first_upper(working.not_stated)}", mark="amber"))
    return entries


def left_open_entry(claim: Claim, reckoning: Reckoning) -> Entry | None:
    """Return the terms that papers do not state, paper by paper, with what is taken instead."""
    found = reckoning.not_stated
    if not found:
        return None
    return Entry(
        said("Not stated in the papers"),
        said_of(
            len(found),
            "{count} term, each with what is taken in its place",
            "{count} terms, each with what is taken in its place",
        ),
        mark="total",
        key=("section", "not_stated"),
        under=[
            _paper(claim, paper, list(terms))
            for paper, terms in groupby(found, key=lambda one: one.paper)
        ],
    )


def _paper(claim: Claim, paper: str, terms: list[Unstated]) -> Entry:
    is_agreement = find(claim.agreements, paper) is not None
    name = (
        said(
            "Agreement with {company}",
            company=party_of_agreement(claim, paper),
        )
        if is_agreement
        else said("The policy")
    )
    blocking = sum(one.blocks for one in terms)
    how = said_of(len(terms), "{count} term", "{count} terms")
    if blocking:
        lacking = said_of(
            blocking,
            "⚠ without {count} of them nothing can be computed",
            "⚠ without {count} of them nothing can be computed",
        )
        how = f"{how}; {lacking}"
    return Entry(
        name,
        how,
        key=("paper", paper),
        under=[
            Entry(
                ("⚠ " if one.blocks else "")
                + f"{first_upper(said(TERM_WORDS[one.term]))}: {one.taken}",
                mark="amber" if one.blocks else "",
                key=("term", f"{paper} {one.term}"),
            )
            for one in terms
        ],
    )
