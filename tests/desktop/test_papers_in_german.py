"""The Papers page in another language: what is shown is typed and pasted again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from ldapp import language as spoken_language
from ldapp.catalogues import make_languages_known
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.pages.paper_parts.agreement_panel import AgreementPanel
from ldapp.desktop.pages.paper_parts.documents_panel import DocumentsPanel
from ldapp.desktop.pages.paper_parts.facts_panel import FactsPanel, parse_position
from ldapp.desktop.pages.paper_parts.parties_panel import PartiesPanel
from ldapp.desktop.pages.paper_parts.term_rows import TermRow
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.widgets.table_model import CellEdit
from ldapp.language import speak
from tests.desktop.desk_claims import desk_claim
from tests.desktop.fields import choose, type_into


@pytest.fixture
def page(open_claim: Callable[[Claim], ClaimView]) -> Iterator[PapersPage]:
    readers = dict(spoken_language._readers)
    make_languages_known()
    speak("de")
    view = open_claim(desk_claim())
    view.show_page("papers")
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    yield page
    speak("en")
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


def row_of(page: PapersPage, term: str) -> TermRow:
    page.show_part("a1")
    panel = page.panel("a1")
    assert isinstance(panel, AgreementPanel)
    return panel.terms.rows[term]


def field_of(row: TermRow, name: str) -> Any:
    item = row.items[0] if row.items else row._draft
    assert item is not None
    return next(form.fields[name] for form in item.forms if name in form.fields)


def test_a_sentence_its_choices_and_its_state_are_german(page: PapersPage) -> None:
    row = row_of(page, "custody_end")
    row.begin()
    field = field_of(row, "event")
    assert field.accessibleName() == "Wann die Gefahr endet"
    assert field.itemText(0) == "übergeben ist"
    words = [label.text() for label in row.findChildren(QLabel)]
    assert {"Die", "Gefahr", "Mieters"} <= set(words)
    assert any("Wann die Gefahr endet" in one and one.startswith("!") for one in words)


def test_the_change_is_named_with_its_noun_as_it_is_written(page: PapersPage) -> None:
    row = row_of(page, "custody_end")
    row.begin()
    choose(field_of(row, "event"), "handed_over")
    assert page.context.desk.undo_label == "Bedingung: Gefahr endet"


def test_figures_are_typed_and_shown_in_the_german_form(page: PapersPage, qtbot: QtBot) -> None:
    row = row_of(page, "lessors_discount")
    row.begin()
    type_into(qtbot, field_of(row, "rate"), "12,5")
    discount = page.context.claim.agreements[0].terms.lessors_discount
    assert discount is not None
    assert discount.rate == Fraction(1, 8)
    assert field_of(row, "rate").text() == "12,5"
    fees = row_of(page, "loss_of_use")
    fees.begin()
    type_into(qtbot, field_of(fees, "billed_days_per_week"), "2,5")
    assert field_of(fees, "billed_days_per_week").text() == "2,5"
    use = page.context.claim.agreements[0].terms.loss_of_use
    assert use is not None
    assert use.billed_days_per_week == Fraction(5, 2)


def test_labels_that_were_copied_are_taken_again(
    page: PapersPage, qtbot: QtBot, tmp_path: Path
) -> None:
    page.show_part("parties")
    parties = page.panel("parties")
    assert isinstance(parties, PartiesPanel)
    first = parties.model.rows[0]
    for text in ("Versicherer", "Insurer", "insurer"):
        assert parties.model.write([CellEdit(first, "role", text)])
        assert page.context.claim.parties[0].role == "insurer"
        assert parties.model.write([CellEdit(first, "role", "production")])
    page.show_part("documents")
    documents = page.panel("documents")
    assert isinstance(documents, DocumentsPanel)
    (tmp_path / "paper.txt").write_text("invented")
    documents.take_in([tmp_path / "paper.txt"])
    qtbot.waitUntil(lambda: bool(documents.model.rows), timeout=5000)
    paper = documents.model.rows[0]
    assert documents.model.write([CellEdit(paper, "kind", "Rechnung")])
    assert page.context.claim.documents[0].kind == "invoice"
    for text, private in (("ja", True), ("nein", False), ("yes", True), ("", False)):
        now = documents.model.rows[0]
        assert documents.model.write([CellEdit(now, "private", text)])
        assert page.context.claim.documents[0].private is private


def test_a_position_has_points_in_every_language(page: PapersPage, qtbot: QtBot) -> None:
    assert parse_position("39.739, -104.990") == (39.739, -104.99)
    assert parse_position("39,739; -104,99") == (39.739, -104.99)
    page.show_part("facts")
    facts = page.panel("facts")
    assert isinstance(facts, FactsPanel)
    type_into(qtbot, facts.fields["position"], "39.739, -104.990")
    assert page.context.claim.position == (39.739, -104.99)
