"""Terms that hold lists and papers: several bases of value, clauses in papers, holidays."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot
from reportlab.pdfgen.canvas import Canvas

from ldapp.casework import papers
from ldapp.casework.weak_point_not_stated import BEGINNINGS
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import Holiday
from ldapp.claim.documents import Document
from ldapp.claim.terms import Terms
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.pages.paper_parts.agreement_panel import AgreementPanel
from ldapp.desktop.pages.paper_parts.agreement_sentences import AGREEMENT_GROUPS
from ldapp.desktop.pages.paper_parts.bases_field import BasesField
from ldapp.desktop.pages.paper_parts.clause_fields import ClauseFields
from ldapp.desktop.pages.paper_parts.holidays_field import HolidaysField
from ldapp.desktop.pages.paper_parts.policy_sentences import POLICY_GROUPS
from ldapp.desktop.pages.papers import PapersPage
from ldapp.reckoning.defaults import TERM_WORDS
from tests.desktop.fields import type_into


@pytest.fixture
def page(view: ClaimView) -> PapersPage:
    view.show_page("papers")
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    return page


@pytest.fixture
def panel(page: PapersPage) -> AgreementPanel:
    page.show_part("a1")
    panel = page.panel("a1")
    assert isinstance(panel, AgreementPanel)
    return panel


def terms_of(panel: AgreementPanel) -> Terms:
    return panel.context.claim.agreements[0].terms


def bases_field(panel: AgreementPanel) -> BasesField:
    field = panel.terms.rows["valuation"].items[0].forms[0].fields["bases"]
    assert isinstance(field, BasesField)
    return field


def bases(panel: AgreementPanel) -> tuple[str, ...]:
    valuation = terms_of(panel).valuation
    assert valuation is not None
    return valuation.bases


def pick(field: BasesField, number: int, label: str) -> None:
    choice = field.rows[number].choice
    choice.setCurrentIndex(choice.findText(label))
    choice.activated.emit(choice.currentIndex())


def test_three_bases_are_named_moved_and_taken_off(qtbot: QtBot, panel: AgreementPanel) -> None:
    field = bases_field(panel)
    first = bases(panel)
    assert len(first) == 1
    for number, label in ((1, "market value"), (2, "the scheduled value")):
        qtbot.mouseClick(field.add_button, Qt.MouseButton.LeftButton)
        assert len(bases(panel)) == number, "a basis is named only once it is chosen"
        pick(field, number, label)
    assert bases(panel) == (*first, "market_value", "scheduled_value")
    assert not panel.terms.rows["valuation"].items[0].forms[1].isHidden()
    qtbot.mouseClick(field.rows[2].up, Qt.MouseButton.LeftButton)
    assert bases(panel) == (*first, "scheduled_value", "market_value")
    assert QApplication.focusWidget() is field.rows[1].choice
    qtbot.mouseClick(field.rows[0].take_off, Qt.MouseButton.LeftButton)
    assert bases(panel) == ("scheduled_value", "market_value")
    panel.context.desk.undo()
    assert bases(panel) == (*first, "scheduled_value", "market_value")


def test_a_basis_is_named_once_and_a_line_begun_can_be_left(
    qtbot: QtBot, panel: AgreementPanel
) -> None:
    field = bases_field(panel)
    first = bases(panel)
    said: list[str] = []
    field.refused.connect(said.append)
    qtbot.mouseClick(field.add_button, Qt.MouseButton.LeftButton)
    field.rows[1].choice.set_value(first[0])
    field.rows[1].choice.activated.emit(0)
    assert said
    assert "named already" in said[0]
    assert bases(panel) == first
    qtbot.mouseClick(field.rows[1].take_off, Qt.MouseButton.LeftButton)
    assert len(field.rows) == 1
    assert bases(panel) == first


# --- clauses in papers -------------------------------------------------------------------


def clause_fields(panel: AgreementPanel) -> ClauseFields:
    return panel.terms.rows["valuation"].items[0].clause


def add_papers(panel: AgreementPanel) -> None:
    for key, title, name in (("d1", "Rider", "rider.pdf"), ("d2", "Photo of a page", "page.jpg")):
        document = Document(id=key, title=title, name=name, sha256="0" * 64)
        papers.put_document(panel.context.desk, document)
    panel.refresh()


def test_the_paper_of_a_clause_is_chosen_and_opened(
    qtbot: QtBot, page: PapersPage, panel: AgreementPanel
) -> None:
    add_papers(panel)
    fields = clause_fields(panel)
    qtbot.mouseClick(fields.more, Qt.MouseButton.LeftButton)
    fields.document.setCurrentIndex(fields.document.findText("Rider"))
    fields.document.activated.emit(fields.document.currentIndex())
    type_into(qtbot, fields.page, "3")
    valuation = terms_of(panel).valuation
    assert valuation is not None
    assert valuation.clause is not None
    assert (valuation.clause.document, valuation.clause.page) == ("d1", 3)
    assert fields.open.isEnabled()
    assert "Rider, page 3" in fields.open.toolTip()
    asked: list[tuple[str, object]] = []
    panel.paper_asked.disconnect(page.show_paper)
    panel.paper_asked.connect(lambda document, at: asked.append((document, at)))
    qtbot.mouseClick(fields.open, Qt.MouseButton.LeftButton)
    assert asked == [("d1", 3)]


def test_a_clause_stands_in_the_signed_paper_where_it_names_none(
    qtbot: QtBot, panel: AgreementPanel
) -> None:
    add_papers(panel)
    one = panel.context.claim.agreements[0]
    papers.put_agreement(panel.context.desk, dataclasses.replace(one, document="d1"))
    panel.refresh()
    fields = clause_fields(panel)
    assert fields._document() == "d1"
    qtbot.mouseClick(fields.more, Qt.MouseButton.LeftButton)
    assert fields.document.currentText() == "in Rider"
    assert fields.document.value() is None


def test_a_paper_that_is_gone_is_said(page: PapersPage, panel: AgreementPanel) -> None:
    said: list[str] = []
    page.context.message.connect(said.append)
    page.show_paper("nowhere", 1)
    assert said == ["This paper is no longer among the documents."]


def test_the_clause_of_a_plain_choice_is_kept(qtbot: QtBot, page: PapersPage) -> None:
    page.show_part("policy")
    policy = page.panel("policy")
    row = policy.terms.rows["limit_form"]  # type: ignore[attr-defined]
    if not row.items:
        row.begin()
        choice = row._draft.forms[0].fields["limit_form"]
        choice.set_value("separate_limits")
        choice.activated.emit(choice.currentIndex())
    fields = row.items[0].clause
    type_into(qtbot, fields.reference, "II.4")
    claim = page.context.claim
    assert claim.policy is not None
    assert claim.policy.terms.limit_form_clause == Clause(reference="II.4")
    row.items[0].removed.emit()
    claim = page.context.claim
    assert claim.policy is not None
    assert claim.policy.terms.limit_form is None
    assert claim.policy.terms.limit_form_clause is None


# --- holidays ----------------------------------------------------------------------------


def holidays_menu(panel: AgreementPanel) -> list[QAction]:
    panel.reference.list.aboutToShow.emit()
    menu = next(
        one for one in panel.reference.list.findChildren(QMenu)
        if one.title().startswith("Holidays, ")
        and one.menuAction() in panel.reference.list.actions()
    )  # fmt: skip
    return menu.actions()


def days_field(panel: AgreementPanel) -> HolidaysField:
    row = panel.terms.rows["holidays"]
    field = row.items[0].forms[1].fields["days"]
    assert isinstance(field, HolidaysField)
    return field


def test_public_holidays_are_taken_with_their_source_and_own_ones_added(
    qtbot: QtBot, panel: AgreementPanel
) -> None:
    assert terms_of(panel).holidays is None
    action = next(one for one in holidays_menu(panel) if one.text().startswith("United States"))
    assert "5 U.S.C. 6103" in action.toolTip()
    action.trigger()
    taken = terms_of(panel).holidays
    assert taken is not None
    assert "6103" in taken.source
    assert any(one.name == "Veterans Day" for one in taken.days)
    qtbot.waitUntil(lambda: panel.context.up_to_date, timeout=10_000)
    lines = days_field(panel).lines
    lines.setFocus()
    lines.setPlainText(lines.toPlainText() + "\n2026-07-24 House closed")
    panel.fields["reference"].setFocus()
    mine = terms_of(panel).holidays
    assert mine is not None
    assert Holiday(day=dt.date(2026, 7, 24), name="House closed") in mine.days
    assert list(mine.days) == sorted(mine.days, key=lambda one: one.day)
    assert panel.context.desk.undo_label == "Term: business days"
    panel.context.desk.undo()
    assert terms_of(panel).holidays == taken
    panel.context.desk.undo()
    assert terms_of(panel).holidays is None


def test_a_second_place_is_added_to_the_first(panel: AgreementPanel) -> None:
    for place in ("United States", "Canada"):
        next(one for one in holidays_menu(panel) if one.text().startswith(place)).trigger()
    both = terms_of(panel).holidays
    assert both is not None
    assert both.place == "United States (federal) and Canada (federal)"
    assert both.from_memory
    days = [one.day for one in both.days]
    assert len(days) == len(set(days))


def test_a_line_that_begins_with_no_day_is_refused_and_stays_to_be_mended(
    qtbot: QtBot, panel: AgreementPanel
) -> None:
    holidays_menu(panel)[0].trigger()
    qtbot.waitUntil(lambda: panel.context.up_to_date, timeout=10_000)
    before = terms_of(panel).holidays
    field = days_field(panel)
    said: list[str] = []
    field.refused.connect(said.append)
    field.lines.setFocus()
    field.lines.setPlainText("2026-12-25 Christmas\nsome day")
    panel.fields["reference"].setFocus()
    assert said
    assert "Line 2" in said[0]
    assert terms_of(panel).holidays == before
    assert "some day" in field.lines.toPlainText()


def test_own_holidays_are_kept_for_other_claims(panel: AgreementPanel) -> None:
    next(one for one in holidays_menu(panel) if one.text().startswith("Canada")).trigger()
    panel.reference.list.aboutToShow.emit()
    keep = next(
        one
        for one in panel.reference.list.actions()
        if one.text().startswith("Keep this paper's h")
    )
    keep.trigger()
    assert any("your own" in one.text() for one in holidays_menu(panel))


def test_every_weak_point_of_a_term_has_a_sentence_to_lead_to(panel: AgreementPanel) -> None:
    rows = {spec.attribute for groups in (AGREEMENT_GROUPS, POLICY_GROUPS)
            for group in groups for spec in group.terms}  # fmt: skip
    facts = set(panel.fields)
    assert TERM_WORDS.keys() <= rows
    assert {field for _, field in BEGINNINGS} <= rows | facts


def test_the_weak_points_make_room_for_a_paper(view: ClaimView, page: PapersPage) -> None:
    assert view.weak_points_shown
    page.context.room_wanted.emit(True)
    assert not view.weak_points_shown
    page.context.room_wanted.emit(False)
    assert view.weak_points_shown
    view.show_weak_points(False)
    page.context.room_wanted.emit(True)
    page.context.room_wanted.emit(False)
    assert not view.weak_points_shown, "what a person folded stays folded"


# --- a paper beside its sentences ----------------------------------------------------------


def three_pages(path: Path) -> Path:
    canvas = Canvas(str(path))
    for number in range(1, 4):
        canvas.drawString(72, 700, f"Page {number} of an invented agreement")
        canvas.showPage()
    canvas.save()
    return path


def test_a_pdf_opens_beside_the_sentences_at_its_page(
    qtbot: QtBot, view: ClaimView, page: PapersPage, panel: AgreementPanel, tmp_path: Path
) -> None:
    keeper = page.context.keeper
    assert keeper is not None
    path = three_pages(tmp_path / "rider.pdf")
    (paper,) = papers.take_in_documents(page.context.desk, keeper, [path])
    page.show_paper(paper.id, 2)
    beside = page._paper
    assert beside is not None
    qtbot.waitUntil(lambda: beside.pages.current_page == 1, timeout=10_000)
    assert beside.isVisible()
    assert not view.weak_points_shown
    qtbot.waitUntil(lambda: beside.width() > 300, timeout=5_000)
    page.show_paper(paper.id, 3)
    qtbot.waitUntil(lambda: beside.pages.current_page == 2, timeout=10_000)
    qtbot.mouseClick(beside.close_it, Qt.MouseButton.LeftButton)
    assert not beside.isVisible()
    assert view.weak_points_shown


def test_another_kind_of_paper_opens_as_a_copy(
    qtbot: QtBot, page: PapersPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []

    def open_url(url: QUrl) -> bool:
        opened.append(url.toLocalFile())
        return True

    monkeypatch.setattr("ldapp.desktop.pages.papers.QDesktopServices.openUrl", open_url)
    keeper = page.context.keeper
    assert keeper is not None
    path = tmp_path / "note.txt"
    path.write_text("A clause in a message.")
    (paper,) = papers.take_in_documents(page.context.desk, keeper, [path])
    page.show_paper(paper.id, None)
    qtbot.waitUntil(lambda: bool(opened), timeout=10_000)
    assert opened[0].endswith("note.txt")
    assert page._paper is None
