"""Owed, disputed and the answer are in sight on a small screen with the weak points open."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.charge_columns import FIRST
from ldapp.desktop.pages.charges import ChargesPage

from .conftest import page_claim

Show = Callable[..., Any]
NARROW = 806
"""What a window of 1280 pixels leaves to a page while the weak points are open."""


def in_sight(page: ChargesPage, name: str) -> bool:
    number = page.model.column_number(name)
    right = page.table.columnViewportPosition(number) + page.table.columnWidth(number)
    return right <= page.table.viewport().width()


def test_what_is_asked_first_is_in_sight_on_a_small_screen(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    for width in (NARROW, 1100, NARROW):
        page.resize(width, 640)
        qtbot.waitUntil(lambda: all(in_sight(page, name) for name in FIRST), timeout=3000)
        for name in ("amount", "owed", "disputed"):
            number = page.model.column_number(name)
            longest = max(
                page.table.fontMetrics().horizontalAdvance(
                    str(page.model.index(row, number).data())
                )
                for row in range(page.model.rowCount())
            )
            assert page.table.columnWidth(number) >= longest + 16
    answer = page.model.index(0, page.model.column_number("answer"))
    assert answer.data(Qt.ItemDataRole.ToolTipRole) == answer.data()


@pytest.fixture
def pages() -> list[ChargesPage]:
    """Pages are kept until Qt has let go of their widgets: models are asked until then."""
    return []


def test_columns_and_split_that_a_person_sets_are_kept(
    qtbot: QtBot, open_context: Callable[[Claim], ClaimContext], pages: list[ChargesPage]
) -> None:
    context = open_context(page_claim())
    first = ChargesPage(context)
    pages.append(first)
    qtbot.addWidget(first)
    first.resize(1100, 640)
    first.show()
    qtbot.waitUntil(lambda: first.model.rowCount() > 0, timeout=10000)
    assert not first.columns.set_by_hand
    head = first.table.horizontalHeader()
    number = first.model.column_number("description")
    edge = head.sectionViewportPosition(number) + head.sectionSize(number) - 1
    at = head.viewport().rect().center()
    at.setX(edge)
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(head.viewport(), left, Qt.KeyboardModifier.NoModifier, at)
    at.setX(edge + 57)
    QTest.mouseMove(head.viewport(), at)
    QTest.mouseRelease(head.viewport(), left, Qt.KeyboardModifier.NoModifier, at)
    assert first.columns.set_by_hand
    width = first.table.columnWidth(number)
    first.split.setSizes([560, 540])
    first.split.splitterMoved.emit(560, 1)
    sizes = first.split.sizes()
    first.resize(NARROW, 640)
    assert first.table.columnWidth(number) == width
    first.shut_down()
    first.hide()

    second = ChargesPage(context)
    pages.append(second)
    qtbot.addWidget(second)
    second.resize(1100, 640)
    second.show()
    qtbot.waitUntil(lambda: second.model.rowCount() > 0, timeout=10000)
    assert second.table.columnWidth(number) == width
    assert second.split.sizes() == sizes
    second.shut_down()
