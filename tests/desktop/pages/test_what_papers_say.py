"""What papers say or leave open is seen: printed tax, clauses against, periods, defaults."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from ldapp.casework.places import Place
from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule, Holiday, HolidayCalendar
from ldapp.claim.policy import OtherInsurance
from ldapp.claim.terms import OpeningCondition, Salvage
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.findings import FindingsPage
from ldapp.desktop.pages.reckoning import ReckoningPage
from ldapp.desktop.pages.statement import statement
from ldapp.desktop.pages.statement_entry import Entry, find_entry
from ldapp.reckoning.defaults import TERM_WORDS

from .conftest import page_claim

Show = Callable[..., Any]
LEFT = Qt.MouseButton.LeftButton
PRINTED_TAX = Decimal("89.68")


def taxed_claim() -> Claim:
    """The invoice prints tax below its lines, and a total three below what they come to."""
    claim = page_claim()
    (invoice,) = claim.invoices
    invoice = dataclasses.replace(
        invoice, net=Decimal("1052.00"), tax=PRINTED_TAX, gross=Decimal("1141.68")
    )
    return dataclasses.replace(claim, invoices=(invoice,))


def with_terms(claim: Claim, **terms: Any) -> Claim:
    (paper,) = claim.agreements
    paper = dataclasses.replace(paper, terms=dataclasses.replace(paper.terms, **terms))
    return dataclasses.replace(claim, agreements=(paper,))


def doubted_claim() -> Claim:
    """One unit was never received, and the agreement presumes that all came complete."""
    claim = with_terms(
        page_claim(),
        opening_condition=OpeningCondition(
            rule="good_unless_noted_at_delivery", clause=Clause(reference="3.9")
        ),
    )
    (invoice,) = claim.invoices
    ground = GroundChoice(code="never_received", quantity=1)
    first = dataclasses.replace(invoice.charges[0], grounds=(ground,))
    invoice = dataclasses.replace(invoice, charges=(first, *invoice.charges[1:]))
    return dataclasses.replace(claim, invoices=(invoice,))


def timed_claim() -> Claim:
    return with_terms(
        page_claim(),
        deadlines=(
            DeadlineRule(
                code="objection",
                title="Object to the invoice",
                starts="invoice_date",
                length=5,
                unit="business_days",
                clause=Clause(reference="11.3"),
            ),
            DeadlineRule(code="pay", title="Pay", starts="payment", length=10, rolls=True),
        ),
        holidays=HolidayCalendar(
            place="Denver", days=(Holiday(day=dt.date(2026, 3, 18), name="Founders' day"),)
        ),
    )


def entry_of(claim: Claim, kind: str, key: str) -> Entry:
    found = find_entry(statement(claim, reckon_claim(claim)).sections, (kind, key))
    assert found is not None
    return found


def test_printed_tax_that_no_line_carries_is_said_and_entered_as_a_charge(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, taxed_claim())
    assert page.foot.enter_tax.isVisible()
    assert f"The invoice prints {PRINTED_TAX} USD of tax" in page.foot.tax.text()
    qtbot.mouseClick(page.foot.enter_tax, LEFT)
    charge = page.context.claim.invoices[0].charges[-1]
    assert (charge.kind, charge.amount) == ("tax", PRINTED_TAX)
    qtbot.waitUntil(lambda: not page.foot.enter_tax.isVisible(), timeout=5000)
    assert f"printed {Decimal('1141.68'):,}" in page.foot.sums.text()
    assert page.context.desk.undo() == "Enter the printed tax as a charge"
    qtbot.waitUntil(page.foot.enter_tax.isVisible, timeout=5000)


def test_an_invoice_without_printed_tax_offers_nothing(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    qtbot.waitUntil(lambda: "Billed" in page.foot.sums.text(), timeout=5000)
    assert not page.foot.enter_tax.isVisible()


def test_what_the_agreement_says_against_a_ground_stands_beside_it(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, doubted_claim())
    page.table.go_to_row("ch1")

    def seen() -> bool:
        row = page.panel.rows.get("never_received")
        return row is not None and row.against.isVisible()

    qtbot.waitUntil(seen, timeout=5000)
    row = page.panel.rows["never_received"]
    assert "the equipment counts as good and complete unless noted" in row.against.text()
    assert row.against.text().endswith("(3.9).")
    others = [one for code, one in page.panel.rows.items() if code != "never_received"]
    assert others
    assert not any(one.against.isVisible() for one in others)


def test_the_statement_says_what_speaks_against_a_ground() -> None:
    charge = entry_of(doubted_claim(), "charge", "ch1")
    ground = next(one for one in charge.under if one.what == "never received")
    (against,) = ground.under
    assert against.is_sentence
    assert against.what.endswith("unless noted at delivery (3.9).")


def test_a_deadline_unfolds_into_how_it_was_counted(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, timed_claim())
    qtbot.waitUntil(lambda: page.model.rowCount() > 0, timeout=10000)
    page.show_place(Place("reckoning", "deadline", "objection"))
    assert page.tree.isExpanded(page.tree.currentIndex())
    entry = page.tree.current_entry()
    assert "from the invoice's date" in entry.how
    rows = {one.what: (one.how, one.amount) for one in entry.under}
    assert entry.under[0].is_sentence
    assert entry.under[0].what.startswith("5 business days (Monday to Friday) from the invoice's")
    assert rows["Left out"] == ("Founders' day", "Wed 2026-03-18")
    assert rows["From"] == ("", "2026-03-16")
    assert rows["Holidays of"] == ("", "Denver")
    assert entry.amount == "2026-03-24"


def test_a_period_that_has_not_begun_still_says_how_it_counts() -> None:
    entry = entry_of(timed_claim(), "deadline", "pay")
    assert entry.amount == "has not begun"
    assert "moves to the next one" in entry.under[0].what


def test_an_invoice_unfolds_into_its_lines_beside_what_it_prints() -> None:
    claim = taxed_claim()
    invoice = entry_of(claim, "invoice", "i1")
    assert "of tax on no line" in invoice.how
    added = next(one for one in invoice.under if "added up" in one.what)
    amounts = {one.what: one.amount for one in added.under}
    assert added.amount == "1,055.00"
    assert amounts == {
        "Printed net": "1,052.00",
        "Printed tax": "89.68",
        "Printed total": "1,141.68",
        "Compared with": "1,052.00",
        "⚠ Difference": "\N{MINUS SIGN}3.00",
        "⚠ Tax that no line carries": "89.68",
    }


def test_what_papers_do_not_state_is_listed_and_leads_to_the_sentence(
    qtbot: QtBot, show_page: Show
) -> None:
    claim = page_claim()
    reckoning = reckon_claim(claim)
    section = entry_of(claim, "section", "not_stated")
    shown = [one for paper in section.under for one in paper.under]
    assert [one.what.lower() for one in shown] == [
        f"{TERM_WORDS[one.term]}: {one.taken}".lower() for one in reckoning.not_stated
    ]
    page = show_page(ReckoningPage, claim)
    qtbot.waitUntil(lambda: page.model.rowCount() > 0, timeout=10000)
    action = next(one for one in page.actions() if one.text().startswith("Go to what"))
    for paper, kind, key, term in (
        ("a1", "agreement", "a1", "salvage"),
        ("pol", "policy", "", "period"),
    ):
        assert page.tree.show_key(("term", f"{paper} {term}"))
        with qtbot.waitSignal(page.context.go_to) as gone:
            action.trigger()
        assert gone.args == [Place("papers", kind, key, term)]


def test_what_insurers_pay_unfolds_by_line_and_by_insurer() -> None:
    claim = page_claim()
    policy = claim.policy
    assert policy is not None
    others = (OtherInsurance(insurer="Invented Second Mutual", limit=Decimal(9000)),)
    terms = dataclasses.replace(policy.terms, other_insurance=others)
    claim = dataclasses.replace(claim, policy=dataclasses.replace(policy, terms=terms))
    found = next(one for one in reckon_claim(claim).occurrences if one.occurrence == "o1")
    assert found.other_insurance > 0
    shares = {one.what: one.under for one in entry_of(claim, "occurrence", "o1").under}
    assert [(one.what, one.amount) for one in shares["Policy"]] == [
        ("1 · Combo stand with head", f"{found.policy:,}")
    ]
    assert [(one.what, one.amount) for one in shares["Other insurance"]] == [
        ("Invented Second Mutual", f"{found.other_insurance:,}")
    ]


def test_what_is_held_back_says_on_which_day_the_time_was_looked_at() -> None:
    claim = page_claim()
    reckoning = reckon_claim(claim, as_of=dt.date(2026, 4, 1))
    totals = dataclasses.replace(reckoning.totals, held_back=Decimal("12.00"))
    shown = statement(claim, dataclasses.replace(reckoning, totals=totals)).sections
    section = find_entry(shown, ("section", "others"))
    assert section is not None
    assert section.under[-1].how == "the time for it as of 2026-04-01"


def test_a_wreck_that_is_paid_for_is_asked_for(qtbot: QtBot, show_page: Show) -> None:
    claim = with_terms(page_claim(), salvage=Salvage(kept_by="renter"))
    wreck = dataclasses.replace(claim.findings[1], beyond_repair=True)
    claim = dataclasses.replace(claim, findings=(claim.findings[0], wreck))
    page = show_page(FindingsPage, claim)
    page.show_place(Place("findings", "finding", "f2"))
    qtbot.waitUntil(lambda: "a total loss" in page.finding_form._value.text(), timeout=5000)
    assert "title passes on payment, so ask for the wreck" in page.finding_form._value.text()
