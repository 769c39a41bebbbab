"""After sending, with real widgets: logged, offered by charge, settled, found again, undone."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from PySide6.QtCore import QObject, Qt
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from ldapp.casework import after_sending as work
from ldapp.casework.places import Place
from ldapp.claim.claim import Claim
from ldapp.claim.terms import RecoveryTerm
from ldapp.desktop.pages.after_sending import AfterSending, deadline_text
from ldapp.desktop.pages.after_sending_rows import STANDING_COLUMNS, StandingRow
from ldapp.desktop.pages.charges import ChargesPage
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
    model = panel.standings
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
    qtbot.mouseClick(panel.log_buttons["answer_to_charges"], LEFT)
    entry = page.context.claim.correspondence[0]
    assert (entry.agreement, entry.party, page.context.claim.stage) == ("a1", "p1", "sent")
    due = (work.now_in(page.context.claim) + dt.timedelta(days=14)).date()
    field: Any = panel.form.form.fields["reply_by"]
    field.setFocus()
    qtbot.keyClicks(field, due.isoformat())
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "in 14 days" in panel.deadline.text())
    # The same stands under the table of charges.
    assert "in 14 days" in page.deadline.text()
    qtbot.mouseClick(panel.log_buttons["reply"], LEFT)
    type_in(panel, ("i1", "ch1"), "theirs", "600")
    reply = page.context.claim.correspondence[1]
    assert (reply.step, reply.offers[0].amount) == ("offer", Decimal("600.00"))
    panel.standing_table.go_to_row(("i1", "ch1"))
    qtbot.mouseClick(panel.settle, LEFT)
    assert page.context.claim.invoices[0].charges[0].settled == Decimal("600.00")
    qtbot.waitUntil(lambda: panel.sums.text().startswith("Settled 600.00 on 1 of 3"))
    qtbot.mouseClick(panel.turned_up, LEFT)
    item = page.context.claim.recovered[0]
    assert (item.line, item.charge) == ("line-1", "ch1")
    row = panel.recovered.row_at(panel.recovered.index(0, 0))
    # One of four units, paid with 600.00.
    assert row is not None
    assert row.one.refund.amount == Decimal("150.00")
    assert "settled 600.00" in panel.refund_says.text()
    column = panel.recovered.column_number("refunded")
    assert panel.recovered.setData(panel.recovered.index(0, column), "150")
    assert page.context.claim.recovered[0].refunded == Decimal("150.00")
    for _ in range(3):
        page.context.desk.undo()
    assert not page.context.claim.recovered
    assert page.context.claim.invoices[0].charges[0].settled is None
    qtbot.waitUntil(lambda: panel.sums.text().startswith("Settled 0.00 on 0 of 3"))
    qtbot.mouseClick(panel.back, LEFT)
    assert page.table.isVisible()


def test_nonsense_is_refused_in_a_sentence_and_changes_nothing(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, recoverable())
    panel = opened(qtbot, page)
    with qtbot.waitSignal(page.context.failed):
        model = panel.standings
        model.setData(model.index(0, model.column_number("settled")), "about six hundred")
    assert all(one.settled is None for one in page.context.claim.invoices[0].charges)
    with qtbot.waitSignal(page.context.message):
        qtbot.mouseClick(panel.settle, LEFT)
    page.show_place(Place("charges", "charge", "ch1"))
    assert page.table.isVisible()


def test_the_nearest_deadline_is_said_with_what_it_is() -> None:
    today = dt.date(2026, 3, 1)
    due = work.NextDeadline(dt.date(2026, 3, 2), "Answer the invoice", ours=True)
    assert deadline_text([due], today).startswith("⚠ Next deadline: ")
    assert "tomorrow. Answer the invoice" in deadline_text([due], today)
