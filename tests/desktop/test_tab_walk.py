"""Tab alone goes round every page of a claim and comes by every button and field in sight.

A button of a bar may have a key of its own instead.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QHeaderView,
    QLineEdit,
    QRadioButton,
    QTabBar,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from ldapp.casework.demo import demo_claims
from ldapp.casework.places import PAGES, Page
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow
from ldapp.exchange.claim_file import read_claim_file

MOST = 600


def walked(qtbot: QtBot, key: Qt.Key) -> list[QWidget]:
    """Press a key until the focus is where it was before; return where it has been."""
    places: list[QWidget] = []
    while (now := QApplication.focusWidget()) is not None and now not in places:
        places.append(now)
        assert len(places) < MOST
        qtbot.keyClick(now, key)
    return places


def is_a_control(widget: QWidget) -> bool:
    inner = isinstance(widget.parentWidget(), QComboBox | QTabBar | QAbstractItemView)
    kinds = QAbstractButton | QLineEdit | QComboBox | QAbstractItemView
    # One choice of several is reached with the arrow keys from its neighbour.
    other = isinstance(widget, QHeaderView | QRadioButton)
    return isinstance(widget, kinds) and not inner and not other and not has_a_key(widget)


def has_a_key(widget: QWidget) -> bool:
    """Whether a key of its own does what a click on it does."""
    action = widget.defaultAction() if isinstance(widget, QToolButton) else None
    return action is not None and not action.shortcut().isEmpty()


@pytest.mark.parametrize("name", PAGES)
def test_tab_comes_by_everything(
    qtbot: QtBot,
    window: MainWindow,
    open_claim: Callable[..., ClaimView],
    idle: Callable[[], None],
    name: Page,
) -> None:
    view = open_claim(read_claim_file(demo_claims()[0].path))
    view.show_page(name)
    idle()
    qtbot.wait(80)
    page = view.page(name)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    view.setFocus()
    window.focusNextPrevChild(True)
    reached = walked(qtbot, Qt.Key.Key_Tab)
    backwards = walked(qtbot, Qt.Key.Key_Backtab)
    proxies = {one.focusProxy() for one in reached}
    missed = [
        f"{type(one).__name__} {one.accessibleName()} {getattr(one, 'text', str)()}"
        for one in page.findChildren(QWidget)
        if is_a_control(one)
        and one.isVisibleTo(window)
        and one.isEnabled()
        and one not in reached
        and one not in proxies
        and one.focusProxy() not in reached
    ]
    assert missed == []
    assert set(reached) == set(backwards), "Shift+Tab goes another way"
