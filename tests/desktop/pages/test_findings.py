"""The Findings page: proposals, damage with its cautions, occurrences, the axis of custody."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QObject, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import cautions_for_damage
from ldapp.casework.places import Place
from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import EVERYTHING
from ldapp.desktop.pages.axis_figure import axis_figure
from ldapp.desktop.pages.custody_axis import CustodyAxis
from ldapp.desktop.pages.finding_rows import FindingsModel, finding_rows
from ldapp.desktop.pages.findings import FindingsPage
from ldapp.desktop.pages.record_chooser import RecordChooser

from .conftest import page_claim

Show = Callable[..., FindingsPage]
LEFT = Qt.MouseButton.LeftButton


def answer_with(monkeypatch: pytest.MonkeyPatch, key: str) -> list[str]:
    """Choose this in every chooser; return what was asked."""
    asked: list[str] = []

    def choose(cls: type[RecordChooser], title: str, choices: Any, parent: QWidget) -> str:
        asked.append(title)
        assert key in {one.key for one in choices}
        return key

    monkeypatch.setattr(RecordChooser, "ask", classmethod(choose))
    return asked


def test_the_model_keeps_qts_rules(qtmodeltester: ModelTester, qapp: Any) -> None:
    claim = page_claim()
    owner = QObject()
    model = FindingsModel(lambda edits: False, owner)
    model.set_rows(finding_rows(claim, reckon_claim(claim)))
    qtmodeltester.check(model)
    model.set_rows(finding_rows(dataclasses.replace(claim, findings=claim.findings[1:]), None))
    qtmodeltester.check(model)
    assert model.rowCount() == 1


def test_what_the_counts_say_is_proposed_and_accepted_and_undone(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(FindingsPage, page_claim())
    qtbot.waitUntil(lambda: page.proposals.rowCount() == 1, timeout=5000)
    row = page.proposals.rows[0]
    assert (row.finding.line, row.finding.kind, row.finding.quantity) == ("line-3", "missing", 2)
    assert "12 expected, 10 back" in row.why
    qtbot.mouseClick(page.accept_all, LEFT)
    assert [one.line for one in page.context.claim.findings] == ["line-1", "line-4", "line-3"]
    qtbot.waitUntil(lambda: page.proposals.rowCount() == 0, timeout=5000)
    assert page.context.desk.undo() == "Accept 1 finding"
    assert len(page.context.claim.findings) == 2


def test_entering_damage_shows_the_cautions_for_that_equipment(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(FindingsPage, page_claim())
    answer_with(monkeypatch, "line-5")
    qtbot.mouseClick(page.add_damage, LEFT)
    finding = page.context.claim.findings[-1]
    assert (finding.line, finding.kind) == ("line-5", "damaged")
    shown = page.finding_form.cautions.text()
    for caution in cautions_for_damage("discharge_lighting"):
        assert caution in shown
    assert page.finding_form.cautions.isVisible()
    assert "ultraviolet" in shown


def test_a_missing_thing_shows_no_cautions_and_no_repair(show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    page.table.go_to_row("f1")
    assert not page.finding_form.cautions.isVisible()
    assert not page.finding_form._repair_section.isVisible()


def test_a_repair_entered_in_the_form_is_reckoned(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    page.table.go_to_row("f2")
    assert "cannot be said yet" in page.finding_form._value.text()
    for name, text in (("parts", "300"), ("labour", "120.50")):
        field = page.finding_form.repair.fields[name]
        field.setFocus()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    repair = next(one.repair for one in page.context.claim.findings if one.id == "f2")
    assert repair is not None
    assert (repair.parts, repair.labour) == (Decimal("300.00"), Decimal("120.50"))
    qtbot.waitUntil(lambda: page.context.up_to_date, timeout=5000)
    qtbot.waitUntil(lambda: "420.50" in page.finding_form._value.text(), timeout=5000)


def test_a_value_by_hand_waits_for_its_reason(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    page.table.go_to_row("f1")
    value = page.finding_form.value.fields["stated_value"]
    value.setFocus()
    qtbot.keyClicks(value, "99")
    with qtbot.waitSignal(page.context.message) as said:
        qtbot.keyClick(value, Qt.Key.Key_Return)
    assert "reason" in said.args[0]
    assert page.context.claim.findings[0].stated_value is None
    reason = page.finding_form.value.fields["stated_value_reason"]
    qtbot.keyClicks(reason, "Three offers of the week")
    page.table.setFocus()
    qtbot.waitUntil(lambda: page.context.claim.findings[0].stated_value == Decimal("99.00"))
    assert page.context.claim.findings[0].stated_value_reason == "Three offers of the week"


def test_findings_are_dropped_on_the_event_that_caused_them(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    row = page.model.row_number("f2")
    data = page.model.mimeData([page.model.index(row, 0), page.model.index(row, 1)])
    card = page.cards.cards["o1"]
    copy, plain = Qt.DropAction.CopyAction, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(5, 5), copy, data, LEFT, plain)
    card.dragEnterEvent(enter)
    assert enter.isAccepted()
    card.dropEvent(QDropEvent(QPointF(5, 5), copy, data, LEFT, plain))
    assert page.context.claim.findings[1].occurrence == "o1"
    other = QMimeData()
    other.setText("something else")
    refused = QDragEnterEvent(QPoint(5, 5), copy, other, LEFT, plain)
    refused.ignore()
    card.dragEnterEvent(refused)
    assert not refused.isAccepted()


def test_the_keyboard_puts_findings_under_an_event_too(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(FindingsPage, page_claim())
    page.table.go_to_row("f2")
    page.table.setFocus()
    asked = answer_with(monkeypatch, "o1")
    qtbot.keyClick(page.table, Qt.Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    assert asked == ["Put under which occurrence"]
    assert page.context.claim.findings[1].occurrence == "o1"


def test_an_occurrence_is_written_in_its_form(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    qtbot.mouseClick(page.new_occurrence, LEFT)
    key = page.context.claim.occurrences[-1].id
    qtbot.waitUntil(page.cards.cards[key].isVisible)
    form = page.occurrence_form.form
    for name, text in (("title", "Stand fell"), ("at", "2026-03-05 14:30"), ("persons", "A, B")):
        field = form.fields[name]
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    occurrence = page.context.claim.occurrences[-1]
    assert occurrence.title == "Stand fell"
    assert occurrence.at is not None
    assert occurrence.at.isoformat() == "2026-03-05T14:30:00-07:00"
    assert occurrence.persons == ("A", "B")
    qtbot.mouseClick(page.occurrence_form.remove, LEFT)
    assert len(page.context.claim.occurrences) == 1


def test_cells_are_edited_and_nonsense_is_refused_with_a_sentence(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(FindingsPage, page_claim())
    column = page.model.column_number("quantity")
    assert page.model.setData(page.model.index(0, column), "2")
    assert page.context.claim.findings[0].quantity == 2
    with qtbot.waitSignal(page.context.failed) as failed:
        assert not page.model.setData(page.model.index(0, column), "two")
    assert "whole number" in str(failed.args[0])
    assert page.context.claim.findings[0].quantity == 2


def test_an_event_is_pasted_by_its_title_and_no_other_word_is_taken(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(FindingsPage, page_claim())
    claim = page.context.claim
    event = claim.occurrences[0]
    free = next(one for one in claim.findings if one.occurrence is None)
    column = page.model.column_number("occurrence")
    row = [one.finding.id for one in page.model.rows].index(free.id)
    page.table.setCurrentIndex(page.model.index(row, column))
    page.table.paste_text("no such event")
    assert page.context.claim == claim
    page.table.paste_text(event.title.upper())
    changed = {one.id: one.occurrence for one in page.context.claim.findings}
    assert changed[free.id] == event.id


def test_removing_a_finding_lets_its_charge_go(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    page.table.go_to_row("f1")
    qtbot.keyClick(page.table, Qt.Key.Key_Delete, Qt.KeyboardModifier.ControlModifier)
    assert [one.id for one in page.context.claim.findings] == ["f2"]
    assert page.context.claim.invoices[0].charges[0].finding is None


def figure_of(claim: Claim) -> Any:
    return axis_figure(claim, reckon_claim(claim))


def test_the_axis_holds_counts_events_custody_and_every_bracket(qtbot: QtBot) -> None:
    claim = page_claim()
    figure = figure_of(claim)
    assert [mark.key for mark in figure.marks] == ["c1", "o1", "c2"]
    assert [span.key for span in figure.custody] == ["a1"]
    assert [(span.key, span.title[:12]) for span in figure.losses] == [
        ("line-1", "3 of line 1 "),
        ("line-3", "2 of line 3 "),
    ]
    assert all(span.begin == claim.counts[0].at for span in figure.losses)
    assert figure.begin < claim.counts[0].at < claim.counts[1].at < figure.end


def test_the_axis_is_walked_and_chosen_from_by_keyboard(qtbot: QtBot) -> None:
    axis = CustodyAxis()
    qtbot.addWidget(axis)
    axis.resize(700, 300)
    axis.show_figure(figure_of(page_claim()))
    axis.show()
    assert "Pickup" in axis.accessibleDescription()
    for _ in range(3):
        qtbot.keyClick(axis, Qt.Key.Key_Right)
    with qtbot.waitSignal(axis.chosen) as chosen:
        qtbot.keyClick(axis, Qt.Key.Key_Return)
    assert chosen.args == ["occurrence", "o1"]


def test_an_axis_without_times_says_so(qtbot: QtBot) -> None:
    axis = CustodyAxis()
    qtbot.addWidget(axis)
    empty = Claim(id="e", reference="R", currency="USD", zone="UTC")
    axis.show_figure(axis_figure(empty, None))
    assert "has a time yet" in axis.in_words()


def test_places_on_the_page_are_gone_to(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(FindingsPage, page_claim())
    page.show_place(Place("findings", "finding", "f2"))
    assert page.finding_form.finding is not None
    assert page.finding_form.finding.id == "f2"
    page.show_place(Place("findings", "occurrence", "o1"))
    assert page.occurrence_form.isVisible()
    with qtbot.waitSignal(page.context.go_to) as gone:
        page.finding_form.working_asked.emit("f2")
    assert gone.args[0] == Place("reckoning", "finding", "f2")


def test_the_first_finding_is_chosen_when_the_page_is_opened_and_keys_stay(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(FindingsPage, page_claim())
    page.add_damage.setFocus()
    qtbot.waitUntil(lambda: page.table.current_row() is not None, timeout=5000)
    first = page.model.rows[0].finding
    assert page.finding_form.finding == first
    assert page.finding_form.isVisible()
    assert page.add_damage.hasFocus()
    occurrence = page.context.claim.occurrences[0]
    page.show_place(Place("findings", "occurrence", occurrence.id))
    page.refresh(EVERYTHING)
    qtbot.wait(100)
    assert page.occurrence_form.isVisible(), "what a person chose stays"
