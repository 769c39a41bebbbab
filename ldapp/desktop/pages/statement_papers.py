"""Rows of the statement that lead back to papers: invoices added up, periods, what is left open."""

from __future__ import annotations

from decimal import Decimal
from itertools import groupby

from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import START_WORDS
from ldapp.desktop.pages.said import day_text, moment_text, party_of_agreement
from ldapp.desktop.pages.statement_entry import Entry, clause_text
from ldapp.desktop.widgets.values import amount_text, plural
from ldapp.reckoning.defaults import TERM_WORDS
from ldapp.reckoning.result import Deadline, InvoiceResult, Reckoning, Step, Unstated

_BINDS = {"us": "for us", "lessor": "for the rental company", "insurer": "for the insurer"}
_START_SAYS: dict[str, str] = {str(code): says for code, says in START_WORDS.items()}
_COMPARED = "what the invoice prints for these lines"
_SAID_BELOW = frozenset({"tax that no line carries"})


def added_up(result: InvoiceResult, currency: str) -> Entry:
    """Return how an invoice adds up, beside the totals that it prints."""

    def money(amount: Decimal | None) -> str:
        return "" if amount is None else amount_text(amount, currency)

    working = result.working
    entry = Entry(working.label, working.rule, money(working.amount))
    for given in working.inputs:
        if given.name not in _SAID_BELOW:
            how = _COMPARED if given.name == "compared with" else ""
            entry.under.append(Entry(_sentence(given.name), how, money(Decimal(given.value))))
    if result.difference:
        entry.under.append(
            Entry(
                "⚠ Difference",
                "the printed total less the lines as added",
                money(result.difference),
                mark="amber",
            )
        )
    if result.tax_without_charge and result.replaced_by is None:
        entry.under.append(
            Entry(
                "⚠ Tax that no line carries",
                "neither owed nor disputed; the Charges page offers to enter it as a charge",
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
    first = f", the first ends {day_text(coming)}" if coming else ""
    return Entry(
        "Deadlines",
        plural(len(found), "period") + first,
        mark="total",
        key=("section", "deadlines"),
        under=[_deadline(one) for one in found],
    )


def _deadline(one: Deadline) -> Entry:
    started = f"from {_START_SAYS.get(one.started_by, one.started_by)}" if one.started_by else ""
    due = moment_text(one.due_at) or day_text(one.due) or "has not begun"
    source = clause_text(one.clause) or one.source
    if one.from_memory:
        source = f"{source} (from memory)".strip()
    return Entry(
        one.title,
        "; ".join(part for part in (_BINDS[one.binds], started, one.needs) if part),
        due,
        source,
        key=("deadline", one.code),
        under=[] if one.working is None else _counted(one, one.working),
    )


def _counted(one: Deadline, working: Step) -> list[Entry]:
    entries = [Entry(f"{_sentence(working.rule)}.")]
    for holiday in one.left_out:
        entries.append(
            Entry(
                "Left out", holiday.name or "a holiday", f"{holiday.day:%a} {day_text(holiday.day)}"
            )
        )
    entries += [
        Entry(_sentence(given.name), "", given.value)
        for given in working.inputs
        if given.name != "left out"
    ]
    if working.not_stated:
        entries.append(Entry(f"⚠ {_sentence(working.not_stated)}", mark="amber"))
    return entries


def left_open_entry(claim: Claim, reckoning: Reckoning) -> Entry | None:
    """Return the terms that papers do not state, paper by paper, with what is taken instead."""
    found = reckoning.not_stated
    if not found:
        return None
    return Entry(
        "Not stated in the papers",
        f"{plural(len(found), 'term')}, each with what is taken in its place",
        mark="total",
        key=("section", "not_stated"),
        under=[
            _paper(claim, paper, list(terms))
            for paper, terms in groupby(found, key=lambda one: one.paper)
        ],
    )


def _paper(claim: Claim, paper: str, terms: list[Unstated]) -> Entry:
    is_agreement = find(claim.agreements, paper) is not None
    name = f"Agreement with {party_of_agreement(claim, paper)}" if is_agreement else "The policy"
    blocking = sum(one.blocks for one in terms)
    how = plural(len(terms), "term")
    if blocking:
        how += f"; ⚠ without {blocking} of them nothing can be computed"
    return Entry(
        name,
        how,
        key=("paper", paper),
        under=[
            Entry(
                f"{'⚠ ' if one.blocks else ''}{_sentence(TERM_WORDS[one.term])}: {one.taken}",
                mark="amber" if one.blocks else "",
                key=("term", f"{paper} {one.term}"),
            )
            for one in terms
        ],
    )


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
