from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.desktop.register_page import RegisterPage
from ldapp.desktop.theme import apply_theme


def summary(
    number: int,
    stage: ClaimStage = "preparing",
    currency: str = "USD",
    asked: str | None = "100.00",
    company: str = "Invented Rentals",
    due: dt.date | None = None,
) -> ClaimSummary:
    return ClaimSummary(
        claim=f"c{number}",
        reference=f"2026-{number:03d}",
        title=f"Production {number}",
        currency=currency,
        stage=stage,
        rental_companies=(company,),
        asked=None if asked is None else Decimal(asked),
        disputed=Decimal("40.00"),
        next_deadline=due,
        next_deadline_title="Notice" if due else "",
        reckoning_version="1",
    )


@pytest.fixture
def page(qtbot: QtBot, qapp: QApplication, settings: QSettings) -> RegisterPage:
    apply_theme(qapp)
    page = RegisterPage(settings)
    qtbot.addWidget(page)
    page.resize(1200, 700)
    page.show()
    return page


def shown(page: RegisterPage) -> list[str]:
    return [row.reference for row in page.shown()]


def test_search_as_you_type(page: RegisterPage, qtbot: QtBot) -> None:
    page.show_claims([summary(1), summary(2, company="Other House"), summary(3)])
    qtbot.keyClicks(page.search, "other")
    assert shown(page) == ["2026-002"]
    qtbot.keyClicks(page.search, " nothing")
    assert shown(page) == []
    page.search.clear()
    assert len(shown(page)) == 3


def test_the_stage_filter_and_the_search_narrow_together(page: RegisterPage) -> None:
    page.show_claims([summary(1, "sent"), summary(2), summary(3, "sent")])
    page.stage_filter.setCurrentIndex(2)
    page.stage_filter.activated.emit(2)
    assert page.stage_filter.value() == "sent"
    assert shown(page) == ["2026-001", "2026-003"]
    page.search.setText("003")
    assert shown(page) == ["2026-003"]


def test_stages_sort_in_the_order_of_the_work(page: RegisterPage) -> None:
    page.show_claims([summary(1, "paid"), summary(2, "preparing"), summary(3, "answered")])
    page.table.sortByColumn(3, Qt.SortOrder.AscendingOrder)
    assert shown(page) == ["2026-002", "2026-003", "2026-001"]


def test_the_selection_is_summed_each_currency_for_itself(page: RegisterPage) -> None:
    page.show_claims(
        [summary(1, asked="1000.00"), summary(2, currency="EUR"), summary(3, asked=None)]
    )
    assert page.figures["asked"].text() == "100.00 EUR   1,000.00 USD"
    page.table.selectRow(0)
    assert page.figures["asked"].text() == "1,000.00 USD"
    assert page.figures["settled"].text() == "–"
    page.table.selectRow(2)
    assert page.figures["asked"].text() == "–"


def test_a_deadline_that_is_near_says_so_in_words(page: RegisterPage) -> None:
    today = dt.datetime.now().astimezone().date()
    page.show_claims(
        [
            summary(1, due=today + dt.timedelta(days=2)),
            summary(2, due=today - dt.timedelta(days=3)),
            summary(3, due=today + dt.timedelta(days=90)),
        ]
    )
    texts = [page.table.model().index(row, 4).data() for row in range(3)]
    assert "in 2 days" in texts[0]
    assert texts[0].startswith("!")
    assert "3 days over" in texts[1]
    assert not texts[2].startswith("!")


def test_enter_opens_the_claim(page: RegisterPage, qtbot: QtBot) -> None:
    page.show_claims([summary(1), summary(2)])
    page.table.selectRow(1)
    page.table.setCurrentIndex(page.table.model().index(1, 0))
    with qtbot.waitSignal(page.open_wanted, timeout=1000) as blocker:
        qtbot.keyClick(page.table, Qt.Key.Key_Return)
    assert blocker.args == ["c2"]


def test_widths_and_order_are_remembered(
    page: RegisterPage, qtbot: QtBot, settings: QSettings
) -> None:
    page.show_claims([summary(1, asked="5.00"), summary(2, asked="900.00")])
    page.table.setColumnWidth(1, 333)
    page.table.sortByColumn(5, Qt.SortOrder.DescendingOrder)
    page.remember()
    again = RegisterPage(settings)
    qtbot.addWidget(again)
    again.show_claims([summary(1, asked="5.00"), summary(2, asked="900.00")])
    assert again.table.columnWidth(1) == 333
    assert shown(again) == ["2026-002", "2026-001"]


def test_five_thousand_claims_are_searched_at_once(page: RegisterPage, qtbot: QtBot) -> None:
    page.show_claims([summary(number) for number in range(5000)])
    page.search.setText("production 4999")
    assert shown(page) == ["2026-4999"]


def test_the_model_holds_to_qts_rules(page: RegisterPage, qtmodeltester: Any) -> None:
    page.show_claims([summary(1), summary(2, "sent")])
    qtmodeltester.check(page.table.model())
