"""The report over all claims, in the window."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.report_page import ReportPage, span_of
from tests.casework.school_claims import keep, school_claim

MARCH, MAY = dt.date(2026, 3, 1), dt.date(2026, 5, 1)


@pytest.fixture
def page(window: MainWindow, register: Register, idle: Callable[[], None]) -> ReportPage:
    keep(register, school_claim(1, "600", MAY), school_claim(2, "500", MARCH))
    window.register_page.page_buttons["report"].click()
    idle()
    idle()
    page = window.overview
    assert isinstance(page, ReportPage)
    return page


def test_the_figures_follow_the_period(
    page: ReportPage, qtbot: QtBot, idle: Callable[[], None]
) -> None:
    assert [view.section.title for view in page.figures.views][:2] == ["Totals", "Losses by cause"]
    assert "Claims: 2" in page.figures.views[0].accessibleDescription()
    qtbot.keyClicks(page.starts, "2026-04-01")
    qtbot.keyClick(page.starts, Qt.Key.Key_Return)
    idle()
    assert page.span.value() == "own"
    assert "Claims: 1" in page.figures.views[0].accessibleDescription()
    qtbot.keyClicks(page.ends, "2026-04-02")
    qtbot.keyClick(page.ends, Qt.Key.Key_Return)
    idle()
    assert page._stack.currentWidget() is page.empty
    assert not page.pdf_button.isEnabled()
    page.empty.button.click()
    idle()
    assert "Claims: 2" in page.figures.views[0].accessibleDescription()
    assert page.starts.text() == ""


def test_it_is_written_as_pdf_and_csv(
    page: ReportPage,
    window: MainWindow,
    tmp_path: Path,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(
        "ldapp.desktop.report_page.QFileDialog.getSaveFileName",
        lambda *_: (str(tmp_path / "mine"), ""),
    )
    page.pdf_button.click()
    idle()
    assert (tmp_path / "mine.pdf").read_bytes().startswith(b"%PDF")
    page.csv_button.click()
    idle()
    assert "Student film 1" in (tmp_path / "mine.csv").read_text("utf-8-sig")
    assert "mine.csv" in window.strip.text()


def test_bars_are_drawn_in_the_window(page: ReportPage) -> None:
    view = page.figures.views[1]
    picture = view.grab().toImage()
    colours = {
        picture.pixelColor(x, y).name()
        for x in range(0, picture.width(), 7)
        for y in range(0, picture.height(), 3)
    }
    assert "#0f5c66" in colours or "#7ac5cd" in colours


@pytest.mark.parametrize(
    ("name", "first", "last"),
    [
        ("this_year", dt.date(2028, 1, 1), dt.date(2028, 12, 31)),
        ("last_year", dt.date(2027, 1, 1), dt.date(2027, 12, 31)),
        ("twelve_months", dt.date(2027, 3, 1), dt.date(2028, 2, 29)),
        ("all", None, None),
    ],
)
def test_named_periods(name: str, first: dt.date | None, last: dt.date | None) -> None:
    assert span_of(name, dt.date(2028, 2, 29)) == (first, last)
