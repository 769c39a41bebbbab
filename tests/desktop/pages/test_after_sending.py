"""After sending, with real widgets: logged, offered by charge, settled, found again, undone."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QObject, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from ldapp.casework import after_sending as work
from ldapp.casework.places import Place
from ldapp.casework.weak_points import find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.documents import ChargeOffer, Correspondence, RecoveredItem
from ldapp.claim.terms import RecoveryTerm
from ldapp.desktop.pages.after_sending import AfterSending, deadline_text
from ldapp.desktop.pages.after_sending_rows import STANDING_COLUMNS, StandingRow
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.record_chooser import RecordChooser
from ldapp.desktop.widgets.table_model import RowsModel

from .conftest import page_claim

Show = Callable[..., ChargesPage]
LEFT = Qt.MouseButton.LeftButton


def recoverable() -> Claim:
    claim = page_claim()
    one = claim.agreements[0]
    terms = dataclasses.replace(one.terms, recovery=RecoveryTerm(refund="full"))
    return dataclasses.replace(claim, agreements=(dataclasses.replace(one, terms=terms),))


def opened(qtbot: QtBot, page: ChargesPage) -> AfterSending:
    qtbot.mouseClick(page.after_sending, LEFT)
    assert page.after.isVisible()
    return page.after


def type_in(panel: AfterSending, key: tuple[str, str], column: str, text: str) -> None:
    model = panel.standings.rows
    index = model.index(model.row_number(key), model.column_number(column))
    assert model.setData(index, text)


def test_the_model_keeps_qts_rules(qtmodeltester: ModelTester, qapp: Any) -> None:
    owner = QObject()
    model: RowsModel[StandingRow] = RowsModel(
        STANDING_COLUMNS, lambda row: row.one.charge.id, parent=owner
    )
    model.set_rows(StandingRow(one, "USD") for one in work.charge_standings(page_claim(), None))
    qtmodeltester.check(model)
    assert model.rowCount() == 3


def test_logged_offered_settled_and_undone(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, recoverable())
    panel = opened(qtbot, page)
    assert panel.deadline.text() == "No deadline is running."
    qtbot.mouseClick(panel.entries.log_buttons["answer_to_charges"], LEFT)
    entry = page.context.claim.correspondence[0]
    assert (entry.agreement, entry.party, page.context.claim.stage) == ("a1", "p1", "sent")
    due = (work.now_in(page.context.claim) + dt.timedelta(days=14)).date()
    field: Any = panel.entries.form.form.fields["reply_by"]
    field.setFocus()
    qtbot.keyClicks(field, due.isoformat())
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "in 14 days" in panel.deadline.text())
    # The same stands under the table of charges.
    assert "in 14 days" in page.deadline.text()
    qtbot.mouseClick(panel.entries.log_buttons["reply"], LEFT)
    panel.show_part("charges")
    type_in(panel, ("i1", "ch1"), "theirs", "600")
    reply = page.context.claim.correspondence[1]
    assert (reply.step, reply.offers[0].amount) == ("offer", Decimal("600.00"))
    panel.standings.table.go_to_row(("i1", "ch1"))
    qtbot.mouseClick(panel.standings.settle, LEFT)
    assert page.context.claim.invoices[0].charges[0].settled == Decimal("600.00")
    qtbot.waitUntil(lambda: panel.standings.sums.text().startswith("Settled 600.00 on 1 of 3"))
    qtbot.mouseClick(panel.standings.turned_up, LEFT)
    item = page.context.claim.recovered[0]
    assert (item.line, item.charge) == ("line-1", "ch1")
    row = panel.found.rows.row_at(panel.found.rows.index(0, 0))
    # One of four units, paid with 600.00.
    assert row is not None
    assert row.one.refund.amount == Decimal("150.00")
    assert "settled 600.00" in panel.found.refund_says.text()
    column = panel.found.rows.column_number("refunded")
    assert panel.found.rows.setData(panel.found.rows.index(0, column), "150")
    assert page.context.claim.recovered[0].refunded == Decimal("150.00")
    for _ in range(3):
        page.context.desk.undo()
    assert not page.context.claim.recovered
    assert page.context.claim.invoices[0].charges[0].settled is None
    qtbot.waitUntil(lambda: panel.standings.sums.text().startswith("Settled 0.00 on 0 of 3"))
    qtbot.mouseClick(panel.back, LEFT)
    assert page.table.isVisible()


def test_nonsense_is_refused_in_a_sentence_and_changes_nothing(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, recoverable())
    panel = opened(qtbot, page)
    with qtbot.waitSignal(page.context.failed):
        model = panel.standings.rows
        model.setData(model.index(0, model.column_number("settled")), "about six hundred")
    assert all(one.settled is None for one in page.context.claim.invoices[0].charges)
    with qtbot.waitSignal(page.context.message):
        qtbot.mouseClick(panel.standings.settle, LEFT)
    page.show_place(Place("charges", "charge", "ch1"))
    assert page.table.isVisible()


def test_the_nearest_deadline_is_said_with_what_it_is() -> None:
    today = dt.date(2026, 3, 1)
    due = work.NextDeadline(dt.date(2026, 3, 2), "Answer the invoice", ours=True)
    assert deadline_text([due], today).startswith("⚠ Next deadline: ")
    assert "tomorrow. Answer the invoice" in deadline_text([due], today)


# --- papers of an entry ------------------------------------------------------------------


def dropped_on(widget: QWidget, paths: list[Path]) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    middle = QPointF(widget.rect().center())
    for kind in (QDragEnterEvent, QDropEvent):
        event = kind(
            middle.toPoint() if kind is QDragEnterEvent else middle,
            Qt.DropAction.CopyAction,
            mime,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        QApplication.sendEvent(widget, event)
        assert event.isAccepted()


def test_a_paper_that_is_dropped_is_attached_to_the_chosen_entry(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(ChargesPage, recoverable())
    panel = opened(qtbot, page)
    qtbot.mouseClick(panel.entries.log_buttons["reply"], LEFT)
    letter, other = tmp_path / "their reply.eml", tmp_path / "a list.txt"
    letter.write_text("We see it otherwise.")
    other.write_text("One more.")
    dropped_on(panel.entries, [letter, other])
    qtbot.waitUntil(lambda: len(page.context.claim.documents) == 2, timeout=10_000)
    claim = page.context.claim
    assert claim.correspondence[0].document == claim.documents[0].id
    assert claim.documents[0].title == "their reply"
    assert claim.documents[0].kind == "message"
    qtbot.waitUntil(lambda: panel.entries.form.form.fields["document"].value() is not None)
    page.context.desk.undo()
    assert not page.context.claim.documents
    assert page.context.claim.correspondence[0].document is None


def test_a_paper_without_a_chosen_entry_is_a_reply_received(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(ChargesPage, recoverable())
    opened(qtbot, page)
    letter = tmp_path / "letter.pdf"
    letter.write_bytes(b"%PDF-1.4 nothing")
    page.take_files([letter])
    qtbot.waitUntil(lambda: bool(page.context.claim.documents), timeout=10_000)
    (entry,) = page.context.claim.correspondence
    assert (entry.direction, entry.step) == ("received", "reply")
    assert entry.document == page.context.claim.documents[0].id


# --- charges that are gone ---------------------------------------------------------------


def with_gone_charges() -> Claim:
    claim = recoverable()
    offers = (
        ChargeOffer(invoice="i1", charge="nowhere", amount=Decimal(50)),
        ChargeOffer(invoice="i1", charge="ch1", amount=Decimal(10)),
    )
    entry = Correspondence(
        id="e1",
        at=dt.datetime(2026, 3, 20, 9, tzinfo=dt.UTC),
        direction="received",
        channel="email",
        step="offer",
        subject="Their offer",
        offers=offers,
    )
    found = RecoveredItem(
        id="f1", line="line-1", invoice="i1", charge="nowhere", found=dt.date(2026, 3, 21)
    )
    return dataclasses.replace(claim, correspondence=(entry,), recovered=(found,))


def chooses(monkeypatch: pytest.MonkeyPatch, words: str) -> None:
    def ask(title: str, choices: Any, parent: Any) -> str | None:
        del title, parent
        return next(one.key for one in choices if words in one.title)

    monkeypatch.setattr(RecordChooser, "ask", ask)


def test_an_offer_for_a_charge_that_is_gone_is_said_and_named_anew(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, with_gone_charges())
    panel = opened(qtbot, page)
    assert panel.entries.gone.isVisible()
    assert "50.00 USD in “Their offer”" in panel.entries.gone.says.text()
    second = page.context.claim.invoices[0].charges[1]
    chooses(monkeypatch, second.description)
    qtbot.mouseClick(panel.entries.gone.name_button, LEFT)
    offers = page.context.claim.correspondence[0].offers
    assert {(one.charge, one.amount) for one in offers} == {
        ("ch1", Decimal(10)),
        (second.id, Decimal(50)),
    }
    qtbot.waitUntil(lambda: not panel.entries.gone.isVisible())
    page.context.desk.undo()
    qtbot.waitUntil(panel.entries.gone.isVisible)
    qtbot.mouseClick(panel.entries.gone.take_out, LEFT)
    assert [one.charge for one in page.context.claim.correspondence[0].offers] == ["ch1"]


def test_what_turned_up_for_a_charge_that_is_gone_is_said_and_mended(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, with_gone_charges())
    page.show_place(Place("charges", "recovered_item", "f1"))
    found = page.after.found
    assert found.isVisible()
    assert "has been removed" in found.gone.text()
    first = page.context.claim.invoices[0].charges[0]
    chooses(monkeypatch, first.description)
    qtbot.mouseClick(found.name_charge, LEFT)
    assert page.context.claim.recovered[0].charge == first.id
    qtbot.waitUntil(lambda: not found.gone.isVisible())


def test_a_weak_point_leads_to_the_entry(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, with_gone_charges())
    points = find_weak_points(page.context.claim, None, {}, dt.date(2026, 3, 22))
    places = {one.code: one.place for one in points}
    page.show_place(places["offer_for_gone_charge"])
    assert page.after.entries.form.key == "e1"
    page.show_place(places["found_for_gone_charge"])
    assert page.after.found.table.current_row().one.item.id == "f1"


def test_charges_that_are_right_are_settled_as_owed(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, recoverable())
    panel = opened(qtbot, page)
    panel.show_part("charges")
    with qtbot.waitSignal(page.context.message):
        qtbot.mouseClick(panel.standings.settle_owed, LEFT)
    panel.standings.table.selectAll()
    qtbot.mouseClick(panel.standings.settle_owed, LEFT)
    reckoning = page.context.reckoning
    assert reckoning is not None
    owed = {one.charge: one.owed for one in reckoning.charges}
    settled = {one.id: one.settled for one in page.context.claim.invoices[0].charges}
    assert settled == owed
    page.context.desk.undo()
    assert all(one.settled is None for one in page.context.claim.invoices[0].charges)
