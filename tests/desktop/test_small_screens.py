"""A screen of 1280 × 800 at 200 % has 640 × 400 points: everything can still be scrolled to."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QApplication, QScrollArea
from pytestqt.qtbot import QtBot

from ldapp.casework.places import PAGES, Page
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow


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
    room = window.stack.parentWidget().parentWidget()
    assert isinstance(room, QScrollArea)
    corner = page.mapTo(window.stack, QPoint(page.width() - 1, page.height() - 1))
    room.ensureVisible(corner.x(), corner.y(), 1, 1)
    shown = QRect(QPoint(), room.viewport().size())
    assert shown.contains(window.stack.mapTo(room.viewport(), corner))
