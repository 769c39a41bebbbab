from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.casework import papers
from ldapp.casework.places import Place
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.terms import (
    DepreciationTable,
    FeeBand,
    StraightLine,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationOverride,
)
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.paper_parts.agreement_panel import AgreementPanel
from ldapp.desktop.pages.paper_parts.agreement_sentences import AGREEMENT_GROUPS
from ldapp.desktop.pages.paper_parts.documents_panel import DocumentsPanel
from ldapp.desktop.pages.paper_parts.facts_panel import FactsPanel
from ldapp.desktop.pages.paper_parts.parties_panel import PartiesPanel
from ldapp.desktop.pages.paper_parts.policy_panel import PolicyPanel
from ldapp.desktop.pages.paper_parts.policy_sentences import POLICY_GROUPS
from ldapp.desktop.pages.paper_parts.term_rows import TermRow
from ldapp.desktop.pages.paper_parts.term_specs import TermSpec
from ldapp.desktop.pages.papers import PapersPage
from tests.desktop.desk_claims import desk_claim
from tests.desktop.fields import choose, type_into


@pytest.fixture
def page(view: ClaimView) -> PapersPage:
    view.show_page("papers")
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    return page


def agreement_panel(page: PapersPage) -> AgreementPanel:
    page.show_part("a1")
    panel = page.panel("a1")
    assert isinstance(panel, AgreementPanel)
    return panel


def terms(page: PapersPage) -> Terms:
    return page.context.claim.agreements[0].terms


def field_of(row: TermRow, name: str, item: int = 0) -> Any:
    items = row.items or [row._draft]
    chosen = items[item]
    assert chosen is not None
    for form in chosen.forms:
        if name in form.fields:
            return form.fields[name]
    raise KeyError(name)


# --- the sentences ----------------------------------------------------------------------


ALL_TERMS = [
    spec for groups in (AGREEMENT_GROUPS, POLICY_GROUPS) for group in groups for spec in group.terms
]


@pytest.mark.parametrize("spec", ALL_TERMS, ids=[one.attribute for one in ALL_TERMS])
def test_every_field_of_a_sentence_is_in_its_words_and_in_its_record(spec: TermSpec) -> None:
    assert spec.not_stated.startswith("Not stated:")
    for variant in spec.variants:
        words = " ".join(sentence.words for sentence in variant.sentences)
        for field in variant.fields:
            assert f"[{field.name}]" in words, field.name
            if variant.split is None:
                assert hasattr(variant.record, field.name), field.name
        for sentence in variant.sentences:
            sentence.when(variant.defaults())


# --- terms of the agreement -------------------------------------------------------------


def test_a_stated_term_is_edited_in_its_sentence(qtbot: QtBot, page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["depreciation"]
    type_into(qtbot, field_of(row, "life_months"), "48")
    depreciation = terms(page).depreciation
    assert isinstance(depreciation, StraightLine)
    assert depreciation.life_months == 48
    assert depreciation.residual_share == Fraction(1, 5)
    type_into(qtbot, field_of(row, "residual_share"), "12.5")
    depreciation = terms(page).depreciation
    assert isinstance(depreciation, StraightLine)
    assert depreciation.residual_share == Fraction(1, 8)
    assert page.context.desk.undo_label == "Term: depreciation"


def test_not_stated_is_visible_and_can_be_stated_and_taken_off(
    qtbot: QtBot, page: PapersPage
) -> None:
    row = agreement_panel(page).terms.rows["custody_start"]
    assert not row.is_stated
    qtbot.waitUntil(
        lambda: row.state_button.isVisible() and 10 < row.state_button.height() < row.height(),
        timeout=2000,
    )
    assert row._not_stated.isVisible()
    qtbot.mouseClick(row.state_button, Qt.MouseButton.LeftButton)
    assert terms(page).custody_start is None, "nothing is stated before something is chosen"
    choose(field_of(row, "event"), "delivered")
    stated = terms(page).custody_start
    assert stated is not None
    assert stated.event == "delivered"
    row.items[0].removed.emit()
    assert terms(page).custody_start is None
    assert row._not_stated.isVisible()


def test_a_field_that_is_no_value_is_refused_and_says_why(
    qtbot: QtBot, page: PapersPage, window: MainWindow
) -> None:
    row = agreement_panel(page).terms.rows["depreciation"]
    type_into(qtbot, field_of(row, "life_months"), "five")
    depreciation = terms(page).depreciation
    assert isinstance(depreciation, StraightLine)
    assert depreciation.life_months == 60
    assert "no whole number" in window.strip.text()
    assert field_of(row, "life_months").refusal
    qtbot.keyClick(field_of(row, "life_months"), Qt.Key.Key_Escape)
    assert field_of(row, "life_months").text() == "60"


def test_the_clause_stands_beside_the_sentence(qtbot: QtBot, page: PapersPage) -> None:
    item = agreement_panel(page).terms.rows["repair_decision"].items[0]
    type_into(qtbot, item.clause.reference, "12.4")
    type_into(qtbot, item.clause.page, "3")
    decision = terms(page).repair_decision
    assert decision is not None
    assert decision.clause is not None
    assert (decision.clause.reference, decision.clause.page) == ("12.4", 3)


def test_depreciation_can_change_to_a_printed_table(qtbot: QtBot, page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["depreciation"]
    item = row.items[0]
    assert item._choice is not None
    choose(item._choice, "By a printed table")
    choose(field_of(row, "shows"), "percent_good")
    type_into(qtbot, field_of(row, "by_year"), "85 72 60 1/2")
    depreciation = terms(page).depreciation
    assert isinstance(depreciation, DepreciationTable)
    assert depreciation.by_year == (
        Fraction(85, 100),
        Fraction(72, 100),
        Fraction(60, 100),
        Fraction(1, 2),
    )
    assert depreciation.residual_share == Fraction(1, 5), "what both have in common stays"


def test_several_fees(qtbot: QtBot, page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["fees"]
    row.begin()
    draft = row._draft
    assert draft is not None
    fields = {name: field for form in draft.forms for name, field in form.fields.items()}
    choose(fields["kind"], "cleaning")
    choose(fields["form"], "bands")
    assert len(terms(page).fees) == 2
    fields = {name: field for form in row.items[1].forms for name, field in form.fields.items()}
    type_into(qtbot, fields["bands"], "1000 = 25; 5000 = 40; 75")
    assert terms(page).fees[1].bands == (
        FeeBand(up_to=Decimal("1000.00"), fee=Decimal("25.00")),
        FeeBand(up_to=Decimal("5000.00"), fee=Decimal("40.00")),
        FeeBand(up_to=None, fee=Decimal("75.00")),
    )
    row.items[0].removed.emit()
    assert [fee.kind for fee in terms(page).fees] == ["cleaning"]


def test_tax_says_of_each_component_whether_it_is_taxable(qtbot: QtBot, page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["tax"]
    row.begin()
    type_into(qtbot, field_of(row, "rates"), "4.81 2.9")
    choose(field_of(row, "parts"), True)
    choose(field_of(row, "labour"), False)
    tax = terms(page).tax
    assert tax is not None
    assert tax.rates == (Fraction(481, 10_000), Fraction(29, 1000))
    assert set(tax.components) == {
        TaxComponentRule(component="parts", taxable=True),
        TaxComponentRule(component="labour", taxable=False),
    }


def test_a_tax_component_keeps_the_clause_that_it_came_with(qtbot: QtBot, page: PapersPage) -> None:
    labour = TaxComponentRule(component="labour", taxable=False, clause=Clause(reference="14.2"))
    agreement = page.context.claim.agreements[0]
    stated = dataclasses.replace(
        agreement.terms, tax=TaxRule(rates=(Fraction(1, 20),), components=(labour,))
    )
    papers.put_agreement(page.context.desk, dataclasses.replace(agreement, terms=stated))
    qtbot.waitUntil(lambda: page.context.up_to_date, timeout=10_000)
    row = agreement_panel(page).terms.rows["tax"]
    type_into(qtbot, field_of(row, "rates"), "6")
    tax = terms(page).tax
    assert tax is not None
    assert tax.rates == (Fraction(3, 50),)
    assert tax.components == (labour,)


def test_another_basis_for_one_line_is_named_by_its_number(qtbot: QtBot, page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["valuation_overrides"]
    row.begin()
    type_into(qtbot, field_of(row, "line"), "8")
    choose(field_of(row, "bases").rows[0].choice, "scheduled_value")
    overrides = terms(page).valuation_overrides
    assert len(overrides) == 1
    assert isinstance(overrides[0], ValuationOverride)
    assert overrides[0].line == "line-8"
    assert overrides[0].rule.bases == ("scheduled_value",)
    type_into(qtbot, field_of(row, "line"), "99")
    assert terms(page).valuation_overrides[0].line == "line-8"


def test_a_waiver_shows_only_what_its_choices_ask_for(page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["waiver"]
    item = row.items[0]
    shown = [not form.isHidden() for form in item.forms]
    assert shown == [True, False, False, False, False, False, False]
    choose(field_of(row, "taken"), True)
    choose(field_of(row, "share_form"), "percentage_of_loss")
    words = [s.words for s in row.spec.variants[0].sentences]
    visible = [w for w, form in zip(words, row.items[0].forms, strict=True) if not form.isHidden()]
    assert any("[share_rate]" in w for w in visible)
    assert not any("[share_bands]" in w for w in visible)


def test_undo_brings_a_term_back_into_the_sentence(qtbot: QtBot, page: PapersPage) -> None:
    row = agreement_panel(page).terms.rows["depreciation"]
    type_into(qtbot, field_of(row, "life_months"), "36")
    page.setFocus()
    page.context.desk.undo()
    qtbot.waitUntil(lambda: field_of(row, "life_months").text() == "60", timeout=1000)


def test_terms_are_kept_for_the_next_claim_with_the_company(
    qtbot: QtBot, page: PapersPage, window: MainWindow
) -> None:
    panel = agreement_panel(page)
    kept = terms(page)
    qtbot.mouseClick(panel.keep_button, Qt.MouseButton.LeftButton)
    assert "Invented Grip & Light" in window.strip.text()
    one = page.context.claim.agreements[0]
    papers.put_agreement(page.context.desk, dataclasses.replace(one, terms=Terms()))
    assert terms(page) == Terms()
    qtbot.mouseClick(panel.use_button, Qt.MouseButton.LeftButton)
    assert terms(page) == kept


@pytest.mark.parametrize("part", ["a1", "policy"])
def test_the_page_ends_where_its_sentences_end(qtbot: QtBot, page: PapersPage, part: str) -> None:
    page.show_part(part)
    panel = page.panel(part)
    assert isinstance(panel, AgreementPanel | PolicyPanel)
    assert panel.terms is not None
    for name in ("depreciation", "depreciation_overrides", "deadlines"):
        panel.terms.rows[name].begin()
    last = list(panel.terms.rows.values())[-1]

    def below() -> int:
        body = panel.widget()
        return body.height() - last.mapTo(body, last.rect().bottomLeft()).y()

    qtbot.waitUntil(lambda: last.y() > 0, timeout=5000)
    qtbot.wait(100)
    assert 0 <= below() < 60


# --- facts, parties, policy, documents ----------------------------------------------------


def test_facts_are_edited(qtbot: QtBot, page: PapersPage, window: MainWindow) -> None:
    panel = page.panel("facts")
    assert isinstance(panel, FactsPanel)
    type_into(qtbot, panel.fields["title"], "Harbour Lights II")
    assert page.context.claim.title == "Harbour Lights II"
    type_into(qtbot, panel.fields["position"], "39.7392, -104.9903")
    assert page.context.claim.position == (39.7392, -104.9903)
    type_into(qtbot, panel.fields["reference"], " ")
    assert page.context.claim.reference == "2026-017"
    assert "needs a reference" in window.strip.text()
    assert panel.fields["reference"].value() == "2026-017"


def test_a_card_number_is_never_taken(qtbot: QtBot, page: PapersPage, window: MainWindow) -> None:
    panel = page.panel("facts")
    assert isinstance(panel, FactsPanel)
    type_into(qtbot, panel.fields["place"], "card 4111 1111 1111 1111")
    assert page.context.claim.place == "Denver"
    assert "payment card number" in window.strip.text()


def test_parties_are_added_edited_and_removed(qtbot: QtBot, page: PapersPage) -> None:
    page.show_part("parties")
    panel = page.panel("parties")
    assert isinstance(panel, PartiesPanel)
    qtbot.mouseClick(panel.add_button, Qt.MouseButton.LeftButton)
    assert len(page.context.claim.parties) == 5
    row = panel.model.rowCount() - 1
    panel.model.setData(panel.model.index(row, 1), "Film school")
    panel.model.setData(panel.model.index(row, 0), "school")
    assert (page.context.claim.parties[-1].name, page.context.claim.parties[-1].role) == (
        "Film school",
        "school",
    )
    panel.table.setCurrentIndex(panel.model.index(0, 1))
    qtbot.mouseClick(panel.remove_button, Qt.MouseButton.LeftButton)
    assert page.context.claim.parties[0].id == "p1", "a rental company in use stays"
    panel.table.setCurrentIndex(panel.model.index(row, 1))
    qtbot.mouseClick(panel.remove_button, Qt.MouseButton.LeftButton)
    assert len(page.context.claim.parties) == 4


def test_the_policys_terms_are_sentences_too(qtbot: QtBot, page: PapersPage) -> None:
    page.show_part("policy")
    panel = page.panel("policy")
    assert isinstance(panel, PolicyPanel)
    assert panel.terms is not None
    row = panel.terms.rows["deductibles"]
    type_into(qtbot, field_of(row, "amount"), "2,500")
    policy = page.context.claim.policy
    assert policy is not None
    assert policy.terms.deductibles[0].amount == Decimal("2500.00")
    row = panel.terms.rows["period"]
    row.begin()
    type_into(qtbot, field_of(row, "begins"), "2026-01-01 00:01")
    type_into(qtbot, field_of(row, "ends"), "2027-01-01 00:01")
    policy = page.context.claim.policy
    assert policy is not None
    assert policy.terms.period is not None
    assert policy.terms.period.ends.isoformat() == "2027-01-01T00:01:00-07:00"


def test_a_term_that_is_a_plain_value_is_stated_and_taken_off(page: PapersPage) -> None:
    page.show_part("policy")
    panel = page.panel("policy")
    assert isinstance(panel, PolicyPanel)
    assert panel.terms is not None
    row = panel.terms.rows["other_insurance_shares"]
    row.begin()
    choose(field_of(row, "other_insurance_shares"), "by_limits")

    def shares() -> str | None:
        policy = page.context.claim.policy
        assert policy is not None
        return policy.terms.other_insurance_shares

    assert shares() == "by_limits"
    row.items[0].removed.emit()
    assert shares() is None


def test_a_claim_without_policy_offers_one(
    open_claim: Callable[[Claim], ClaimView], qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = open_claim(dataclasses.replace(desk_claim(), policy=None))
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    page.show_part("policy")
    panel = page.panel("policy")
    assert isinstance(panel, PolicyPanel)
    monkeypatch.setattr(
        "ldapp.desktop.pages.paper_parts.policy_panel.NameDialog.ask",
        classmethod(lambda *_: "Invented Mutual"),
    )
    qtbot.mouseClick(panel.empty.button, Qt.MouseButton.LeftButton)
    policy = view.context.claim.policy
    assert policy is not None
    assert policy.insurer == "p3", "the insurer that the claim knows is not made twice"


def test_documents_change_kind_day_and_privacy(
    qtbot: QtBot, page: PapersPage, tmp_path: Any, window: MainWindow
) -> None:
    paper = tmp_path / "repair estimate.pdf"
    paper.write_bytes(b"%PDF-1.4 invented")
    page.take_files([paper])
    qtbot.waitUntil(lambda: bool(page.context.claim.documents), timeout=5000)
    panel = page.panel("documents")
    assert isinstance(panel, DocumentsPanel)
    model = panel.model
    qtbot.waitUntil(lambda: model.rowCount() == 1, timeout=5000)
    assert page.context.claim.documents[0].kind == "repair_estimate"
    assert model.setData(model.index(0, model.column_number("dated")), "2026-03-12")
    assert model.setData(model.index(0, model.column_number("private")), "yes")
    document = page.context.claim.documents[0]
    assert str(document.dated) == "2026-03-12"
    assert document.private
    assert not model.setData(model.index(0, model.column_number("dated")), "12/3/26")
    assert "no day" in window.strip.text()
    page.take_files([paper])
    qtbot.waitUntil(lambda: "already" in window.strip.text(), timeout=5000)
    assert len(page.context.claim.documents) == 1


def test_papers_that_cannot_be_shown_are_said_when_they_are_taken_in(
    qtbot: QtBot, page: PapersPage, tmp_path: Any, window: MainWindow
) -> None:
    for name in ("setup.exe", "torn.pdf", "note.txt"):
        (tmp_path / name).write_bytes(f"invented bytes of {name}".encode())
    page.take_files([tmp_path / "setup.exe", tmp_path / "torn.pdf", tmp_path / "note.txt"])
    qtbot.waitUntil(lambda: "3 papers taken in" in window.strip.text(), timeout=5000)
    says = window.strip.text()
    assert "setup.exe cannot be shown here" in says
    assert "torn.pdf cannot be shown here: it is no PDF that can be read." in says
    assert "note.txt cannot" not in says
    assert len(page.context.claim.documents) == 3


def test_a_weak_point_of_a_term_leads_to_its_row(page: PapersPage, view: ClaimView) -> None:
    view.show_place(Place("papers", "agreement", "a1", "valuation"))
    focused = QApplication.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "Basis of value 1"
    view.show_place(Place("papers", "agreement", "a1", "terms.tax"))
    focused = QApplication.focusWidget()
    assert focused is not None
    assert "Tax" in focused.accessibleName()
