from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register
from ldapp.casework.saved_views import saved_views
from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.register_columns import today
from ldapp.desktop.register_page import RegisterPage
from ldapp.desktop.theme import apply_theme
from tests.desktop.fields import choose
from tests.store.many_claims import many_summaries

DESCENDING = Qt.SortOrder.DescendingOrder


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
    choose(page.filters.stage, "sent")
    assert shown(page) == ["2026-001", "2026-003"]
    page.search.setText("003")
    assert shown(page) == ["2026-003"]
    page.search.clear()
    choose(page.filters.stage, None)
    assert len(shown(page)) == 3


def test_every_filter_offers_what_occurs_and_narrows_by_it(
    page: RegisterPage, qtbot: QtBot
) -> None:
    day = today()
    page.show_claims(
        [
            replace(summary(1, due=day + dt.timedelta(days=3)), policy="P-1", people=("School",)),
            replace(summary(2, company="Other House"), people=("School", "Student A")),
            replace(summary(3, due=day - dt.timedelta(days=1)), policy="P-1", papers_missing=2),
            summary(4, due=day + dt.timedelta(days=30)),
        ]
    )
    filters = page.filters
    offered = [filters.person.itemText(at) for at in range(filters.person.count())]
    assert offered == ["All schools and students", "School", "Student A"]
    for field, value, wanted in (
        (filters.rental_company, "Other House", [2]),
        (filters.production, "Production 3", [3]),
        (filters.policy, "P-1", [1, 3]),
        (filters.person, "School", [1, 2]),
    ):
        choose(field, value)
        assert shown(page) == [f"2026-{number:03d}" for number in wanted]
        choose(field, "")
    qtbot.keyClicks(filters.within, "7")
    qtbot.keyClick(filters.within, Qt.Key.Key_Return)
    assert shown(page) == ["2026-001", "2026-003"]
    filters.papers.click()
    assert shown(page) == ["2026-003"]
    filters.clear_button.click()
    assert len(shown(page)) == 4
    assert filters.within.text() == ""


def test_a_chosen_filter_stays_when_the_claims_are_read_anew(page: RegisterPage) -> None:
    page.show_claims([summary(1, company="Other House"), summary(2)])
    choose(page.filters.rental_company, "Other House")
    page.show_claims([summary(2), summary(3)])
    assert page.filters.rental_company.value() == "Other House"
    assert shown(page) == []
    assert page.table.isHidden() or not page.table.isVisible()
    page._nothing_found.button.click()
    assert shown(page) == ["2026-002", "2026-003"]


def test_a_view_is_kept_in_the_library_and_chosen_by_its_name(
    window: MainWindow, register: Register, idle: Callable[[], None]
) -> None:
    page = window.register_page
    page.show_claims([summary(1, "sent", asked="5.00"), summary(2), summary(3, "sent")])
    page.search.setText("production")
    choose(page.filters.stage, "sent")
    page.table.sortByColumn(page.table.rows_model().column_number("asked"), DESCENDING)
    page.views.keep_wanted.emit("  Sent,  dearest first ")
    idle()
    assert page.views.names == ("Sent, dearest first",)
    page.show_all()
    page.table.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
    assert shown(page) == ["2026-001", "2026-002", "2026-003"]
    page.views.chosen.emit("Sent, dearest first")
    assert shown(page) == ["2026-003", "2026-001"]
    assert page.search.text() == "production"
    assert list(saved_views(register)) == ["Sent, dearest first"]
    page.views.keep_wanted.emit("sent, DEAREST first")
    idle()
    assert page.views.names == ("sent, DEAREST first",)
    page.views.remove_wanted.emit("sent, DEAREST first")
    idle()
    assert page.views.names == ()


def test_columns_are_shown_and_hidden_and_stay_so(
    page: RegisterPage, qtbot: QtBot, settings: QSettings
) -> None:
    number = page.table.rows_model().column_number("policy")
    assert page.table.isColumnHidden(number)
    menu = page.columns_menu()
    action = next(one for one in menu.actions() if one.text() == "Policy")
    assert not action.isChecked()
    action.trigger()
    assert not page.table.isColumnHidden(number)
    page.remember()
    again = RegisterPage(settings)
    qtbot.addWidget(again)
    assert not again.table.isColumnHidden(number)


def test_missing_papers_are_said_in_words(page: RegisterPage) -> None:
    page.show_claims([replace(summary(1), papers_missing=2), summary(2)])
    column = page.table.rows_model().column_number("papers_missing")
    texts = [page.table.model().index(row, column).data() for row in range(2)]
    assert texts == ["! 2 missing", ""]


def test_stages_sort_in_the_order_of_the_work(page: RegisterPage) -> None:
    page.show_claims([summary(1, "paid"), summary(2, "preparing"), summary(3, "answered")])
    page.table.sortByColumn(5, Qt.SortOrder.AscendingOrder)
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
    texts = [page.table.model().index(row, 6).data() for row in range(3)]
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
    page.table.sortByColumn(7, Qt.SortOrder.DescendingOrder)
    page.remember()
    again = RegisterPage(settings)
    qtbot.addWidget(again)
    again.show_claims([summary(1, asked="5.00"), summary(2, asked="900.00")])
    assert again.table.columnWidth(1) == 333
    assert shown(again) == ["2026-002", "2026-001"]


def test_ten_thousand_claims_are_searched_sorted_and_summed(page: RegisterPage) -> None:
    rows = many_summaries(10_000)
    page.show_claims(rows)
    page.search.setText("ferry harbour")
    found = [row for row in rows if "Ferry" in row.title and "Harbour" in row.title]
    assert sorted(shown(page)) == sorted(row.reference for row in found)
    column = page.table.rows_model().column_number("asked")
    page.table.sortByColumn(column, DESCENDING)
    assert [row.asked for row in page.shown()] == sorted(
        (row.asked for row in found if row.asked is not None), reverse=True
    )
    whole = sum((row.asked for row in found if row.asked is not None), Decimal(0))
    assert page.figures["asked"].text() == f"{whole:,.2f} USD"
    page.search.clear()
    assert len(shown(page)) == 10_000


def test_the_model_holds_to_qts_rules(page: RegisterPage, qtmodeltester: Any) -> None:
    page.show_claims([summary(1), summary(2, "sent")])
    qtmodeltester.check(page.table.model())
