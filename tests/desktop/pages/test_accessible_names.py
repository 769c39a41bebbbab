"""Everything that takes the focus has a name, on every page, empty and full."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QComboBox, QLineEdit, QScrollBar, QSplitter, QTabBar, QWidget
from pytestqt.qtbot import QtBot

from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.dossier import DossierPage
from ldapp.desktop.pages.findings import FindingsPage
from ldapp.desktop.pages.photos import PhotosPage
from ldapp.desktop.pages.reckoning import ReckoningPage
from ldapp.desktop.widgets.pieces import EmptyState

from .conftest import page_claim

PAGES: tuple[type[ClaimPage], ...] = (
    PhotosPage,
    FindingsPage,
    ChargesPage,
    ReckoningPage,
    DossierPage,
)


def nameless(page: QWidget) -> list[str]:
    """Return what takes the focus by Tab and tells a screen reader no name."""
    found = []
    for widget in page.findChildren(QWidget):
        inside = widget.parent()
        if (
            isinstance(widget, QScrollBar | QSplitter)
            # Hidden by itself: an empty state without an action.  Other pages of a stack count.
            or (widget.isHidden() and isinstance(inside, EmptyState))
            or (isinstance(widget, QTabBar) and widget.isHidden() and not widget.count())
            or not widget.focusPolicy() & Qt.FocusPolicy.TabFocus
            or (isinstance(widget, QLineEdit) and isinstance(inside, QComboBox))
            or widget.objectName().startswith("qt_")
            # The list of a combo box is a window of its own that speaks through the box.
            or widget.window() is not page.window()
        ):
            continue
        spoken = QAccessible.queryAccessibleInterface(widget)
        name = spoken.text(QAccessible.Text.Name) if spoken is not None else ""
        if not name.strip():
            found.append(f"{type(widget).__name__} in {type(inside).__name__}")
    return found


@pytest.mark.parametrize("kind", PAGES, ids=lambda kind: kind.__name__)
def test_every_widget_has_a_name(
    qtbot: QtBot,
    show_page: Callable[..., Any],
    with_photos: Callable[[ClaimContext], None],
    kind: type[ClaimPage],
) -> None:
    page = show_page(kind, page_claim(), with_photos)
    if isinstance(page, PhotosPage):
        page.grid.choose((page.context.claim.photos[0].id,))
        page.suggestions.show()
        page.clock.show_photo(page.context.claim.photos[0])
        page.compare.show_photos((page.context.claim.photos[0].id,))
    if isinstance(page, FindingsPage):
        page.table.go_to_row("f2")
        assert page.occurrence_form is not None
    if isinstance(page, ChargesPage):
        page.table.go_to_row("ch1")
        qtbot.waitUntil(lambda: bool(page.panel.rows), timeout=5000)
    qtbot.wait(100)
    assert nameless(page) == []


@pytest.mark.parametrize("kind", PAGES, ids=lambda kind: kind.__name__)
def test_an_empty_claim_opens_on_every_page(
    qtbot: QtBot, open_context: Callable[[Claim], ClaimContext], kind: type[ClaimPage]
) -> None:
    context = open_context(Claim(id="e", reference="R", currency="USD", zone="UTC"))
    failures: list[object] = []
    context.failed.connect(failures.append)
    page = kind(context)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: context.up_to_date, timeout=10000)
    qtbot.wait(600)
    qtbot.waitUntil(lambda: not context.jobs.busy, timeout=20000)
    page.shut_down()
    assert failures == []
    assert nameless(page) == []


@pytest.mark.parametrize("kind", PAGES, ids=lambda kind: kind.__name__)
def test_every_action_has_words(
    open_context: Callable[[Claim], ClaimContext], qtbot: QtBot, kind: type[ClaimPage]
) -> None:
    page = kind(open_context(page_claim()))
    qtbot.addWidget(page)
    assert page.actions()
    assert all(len(action.text()) > 3 for action in page.actions())
    page.shut_down()
