"""A key with Alt means one thing at a time: no two things in sight have the same letter."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QGroupBox,
    QLabel,
    QMenu,
    QMenuBar,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from ldapp.casework.demo import demo_claims
from ldapp.casework.places import PAGES
from ldapp.casework.register import Register
from ldapp.catalogues import make_languages_known
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.counts import CountsPage
from ldapp.desktop.pages.papers import PapersPage
from ldapp.exchange.claim_file import read_claim_file
from ldapp.language import speak
from tests.casework.school_claims import keep, school_claim
from tests.desktop.every_dialog import every_dialog

MAY = dt.date(2026, 5, 1)


def letters_in_sight(window: QWidget) -> Iterator[tuple[str, str]]:
    """Give every letter that works with Alt, and what it belongs to."""
    for widget in window.findChildren(QWidget):
        if not widget.isVisibleTo(window):
            continue
        texts: list[str] = []
        if isinstance(widget, QAbstractButton) or (
            isinstance(widget, QLabel) and widget.buddy() is not None
        ):
            texts = [widget.text()]
        elif isinstance(widget, QGroupBox):
            texts = [widget.title()]
        elif isinstance(widget, QTabBar):
            texts = [widget.tabText(number) for number in range(widget.count())]
        elif isinstance(widget, QMenuBar):
            texts = [action.text() for action in widget.actions()]
        for text in texts:
            key = QKeySequence.mnemonic(text)
            if not key.isEmpty():
                yield key.toString(), f"{type(widget).__name__} {text}"


def clashes(window: QWidget) -> dict[str, list[str]]:
    """Return every letter that belongs to several things in sight."""
    owners: dict[str, list[str]] = defaultdict(list)
    for letter, owner in letters_in_sight(window):
        owners[letter].append(owner)
    return {letter: found for letter, found in owners.items() if len(found) > 1}


def letters_in_menu(menu: QMenu) -> dict[str, list[str]]:
    """Return every letter that belongs to several entries of one menu."""
    owners: dict[str, list[str]] = defaultdict(list)
    for action in menu.actions():
        key = QKeySequence.mnemonic(action.text())
        if not key.isEmpty():
            owners[key.toString()].append(action.text())
    return {letter: found for letter, found in owners.items() if len(found) > 1}


def every_tab(root: QWidget) -> Iterator[str]:
    """Show every tab below a widget, one after the other; name where we are."""
    yield ""
    bars = [one for one in root.findChildren(QTabBar) if one.isVisibleTo(root)]
    for bar in bars:
        shown = bar.currentIndex()
        for number in range(bar.count()):
            if number != shown and bar.isTabEnabled(number) and bar.isTabVisible(number):
                bar.setCurrentIndex(number)
                yield f" {bar.tabText(number)}"
        bar.setCurrentIndex(shown)


@pytest.fixture(params=["en", "de"], autouse=True)
def language(request: pytest.FixtureRequest) -> Iterator[str]:
    make_languages_known()
    speak(request.param)
    yield request.param
    speak("en")


@pytest.fixture
def demo_view(open_claim: Callable[..., ClaimView]) -> ClaimView:
    return open_claim(read_claim_file(demo_claims()[0].path))


def test_letters_of_pages_are_told_apart(
    qtbot: QtBot, window: MainWindow, demo_view: ClaimView, idle: Callable[[], None]
) -> None:
    found = {}
    for name in PAGES:
        demo_view.show_page(name)
        idle()
        qtbot.wait(80)
        idle()
        page = demo_view.page(name)
        parts = page._parts if isinstance(page, PapersPage) else (None,)
        for part in parts:
            if isinstance(page, PapersPage):
                page.show_part(str(part))
                qtbot.wait(80)
            for tab in every_tab(page):
                QApplication.processEvents()
                if wrong := clashes(window):
                    found[f"{name} {part or ''}{tab}"] = wrong
    assert found == {}


def test_letters_of_the_offices_pages_are_told_apart(
    window: MainWindow, register: Register, idle: Callable[[], None]
) -> None:
    keep(register, school_claim(1, "600", MAY), school_claim(2, "500", MAY))
    window.refresh_register()
    idle()
    found = {}
    if wrong := clashes(window):
        found["register"] = wrong
    for name in ("policies", "report"):
        window.show_overview(name)
        idle()
        idle()
        for tab in every_tab(window.overviews[name]):
            idle()
            if wrong := clashes(window):
                found[f"{name}{tab}"] = wrong
    assert found == {}


def test_letters_of_the_counter_are_told_apart(
    demo_view: ClaimView, idle: Callable[[], None]
) -> None:
    page = demo_view.page("counts")
    assert isinstance(page, CountsPage)
    demo_view.show_page("counts")
    page.open_counter_view(demo_view.context.claim.counts[-1].id)
    idle()
    counter = page.counter_view
    assert counter is not None
    assert clashes(counter) == {}
    counter.show_end()
    assert clashes(counter) == {}
    counter.close()


def test_letters_of_dialogs_are_told_apart(
    qtbot: QtBot, demo_view: ClaimView, register: Register, jobs: JobRunner, tmp_path: Path
) -> None:
    found = {}
    for make in every_dialog(demo_view, register, jobs, tmp_path):
        dialog = make()
        qtbot.addWidget(dialog)
        dialog.show()
        for tab in every_tab(dialog):
            if wrong := clashes(dialog):
                found[type(dialog).__name__ + tab] = wrong
        dialog.close()
    assert found == {}


def test_letters_of_menus_are_told_apart(window: MainWindow, demo_view: ClaimView) -> None:
    for name in PAGES:
        demo_view.show_page(name)
    found = {
        menu.title() or menu.accessibleName() or repr(menu): wrong
        for menu in window.findChildren(QMenu)
        if (wrong := letters_in_menu(menu))
    }
    assert found == {}
