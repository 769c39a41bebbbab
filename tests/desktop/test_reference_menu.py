"""Public tables and rules are taken into an agreement from a menu, with their source."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from ldapp.claim.terms import DepreciationTable, Terms
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.pages.paper_parts.agreement_panel import AgreementPanel
from ldapp.desktop.pages.paper_parts.reference_menu import ReferenceButton
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.widgets.fields import ParsedField


@pytest.fixture
def panel(view: ClaimView) -> AgreementPanel:
    view.show_page("papers")
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    agreement = page.context.claim.agreements[0].id
    page.show_part(agreement)
    found = page.panel(agreement)
    assert isinstance(found, AgreementPanel)
    return found


def terms_of(panel: AgreementPanel) -> Terms:
    return panel.context.claim.agreements[0].terms


def opened(button: ReferenceButton) -> dict[str, list[QAction]]:
    """What the menu offers, by the titles of its parts."""
    button.list.aboutToShow.emit()
    return {
        menu.title(): menu.actions()
        for menu in button.list.findChildren(QMenu)
        if menu.menuAction() in button.list.actions()
    }


def test_a_published_table_becomes_the_depreciation_with_its_source(
    qtbot: QtBot, panel: AgreementPanel
) -> None:
    offered = opened(panel.reference)["Depreciate by a published table"]
    action = next(one for one in offered if one.text().startswith("5-year"))
    assert "decide" in action.toolTip()
    action.trigger()
    rule = terms_of(panel).depreciation
    assert isinstance(rule, DepreciationTable)
    assert rule.source in action.toolTip()
    assert panel.context.desk.undo_label == "Term: depreciation"
    panel.context.desk.undo()
    assert not isinstance(terms_of(panel).depreciation, DepreciationTable)


def test_a_public_rule_becomes_a_deadline_once_and_shows_its_source(
    qtbot: QtBot, panel: AgreementPanel
) -> None:
    before = len(terms_of(panel).deadlines)
    for _ in range(2):
        opened(panel.reference)["Deadlines: California"][0].trigger()
    deadlines = terms_of(panel).deadlines
    assert len(deadlines) == before + 1
    qtbot.waitUntil(lambda: panel.context.up_to_date, timeout=10_000)
    form = next(
        one for one in panel.terms.rows["deadlines"].items[-1].forms if "source" in one.fields
    )
    field = form.fields["source"]
    assert isinstance(field, ParsedField)
    assert field.text() == deadlines[-1].source


def test_this_papers_deadlines_are_kept_for_other_claims_and_taken_off(
    panel: AgreementPanel,
) -> None:
    opened(panel.reference)["Deadlines: California"][0].trigger()
    opened(panel.reference)
    keep = next(one for one in panel.reference.list.actions() if "deadlines for" in one.text())
    keep.trigger()
    own = opened(panel.reference)["Deadlines: Your own"]
    assert len(own) == len(terms_of(panel).deadlines)
    for action in opened(panel.reference)["Take off your own list"]:
        action.trigger()
    assert "Deadlines: Your own" not in opened(panel.reference)


def test_a_table_is_kept_only_where_there_is_one(panel: AgreementPanel) -> None:
    opened(panel.reference)
    keep = next(one for one in panel.reference.list.actions() if "table for" in one.text())
    assert not keep.isEnabled()
