"""A screen of 1280 × 800 shows a page whole; at 200 % it has 640 × 400 points, and is scrolled."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QApplication, QScrollArea
from pytestqt.qtbot import QtBot

from ldapp.casework.demo import demo_claims
from ldapp.casework.places import PAGES, Page
from ldapp.catalogues import make_languages_known
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow
from ldapp.exchange.claim_file import read_claim_file
from ldapp.language import language, speak


@pytest.mark.parametrize("name", PAGES)
def test_every_page_can_be_scrolled_to_at_200_percent(
    qtbot: QtBot, window: MainWindow, view: ClaimView, idle: Callable[[], None], name: Page
) -> None:
    view.show_page(name)
    idle()
    window.resize(640, 400)
    qtbot.wait(50)
    QApplication.processEvents()
    assert (window.width(), window.height()) == (640, 400)
    page = view.page(name)
    needed = page.minimumSizeHint()
    assert page.width() >= needed.width(), "the page is squeezed"
    assert page.height() >= needed.height(), "the page is squeezed"
    floor = window.stack.parentWidget()
    assert floor is not None
    room = floor.parentWidget().parentWidget()
    assert isinstance(room, QScrollArea)
    corner = page.mapTo(window.stack, QPoint(page.width() - 1, page.height() - 1))
    room.ensureVisible(corner.x(), corner.y(), 1, 1)
    shown = QRect(QPoint(), room.viewport().size())
    assert shown.contains(window.stack.mapTo(room.viewport(), corner))


@pytest.mark.parametrize("spoken", ["en", "de"])
def test_at_1280_by_800_the_window_itself_is_never_scrolled(
    qtbot: QtBot,
    window: MainWindow,
    open_claim: Callable[[Claim], ClaimView],
    idle: Callable[[], None],
    spoken: str,
) -> None:
    make_languages_known()
    before = language()
    speak(spoken)
    try:
        view = open_claim(read_claim_file(demo_claims()[0].path))
        window.resize(1280, 800)
        for name in PAGES:
            view.show_page(name)
            idle()
            qtbot.wait(60)
            size = window.stack.size()
            assert (size.width(), size.height()) == room_of(window), name
    finally:
        speak(before)


def room_of(window: MainWindow) -> tuple[int, int]:
    """Return the size that the window's body has for a page, bars or no bars."""
    floor = window.stack.parentWidget()
    assert floor is not None
    room = floor.parentWidget().parentWidget()
    assert isinstance(room, QScrollArea)
    return room.maximumViewportSize().toTuple()
