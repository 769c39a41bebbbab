"""Where the focus is can be seen: pixels change by 3 : 1 (WCAG 2.2, 1.4.11 and 2.4.7)."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QListView,
    QPlainTextEdit,
    QPushButton,
    QRadioButton,
    QTabBar,
    QTableView,
    QToolButton,
    QTreeView,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot

from ldapp.desktop.theme import Scheme, Theme, apply_theme
from ldapp.desktop.widgets.pieces import icon_button, link_button, primary_button
from tests.desktop.test_theme import contrast

SEEN = 20
"""So many pixels at least change by 3 : 1: a line of a letter's width is not enough."""


def items() -> QStandardItemModel:
    model = QStandardItemModel(3, 2)
    for row in range(3):
        for column in range(2):
            model.setItem(row, column, QStandardItem(f"{row} {column}"))
    return model


def listed(view: QListView | QTableView | QTreeView) -> QWidget:
    model = items()
    model.setParent(view)
    view.setModel(model)
    view.setCurrentIndex(model.index(1, 0))
    return view


def tabs() -> QWidget:
    bar = QTabBar()
    bar.addTab("One")
    bar.addTab("Two")
    return bar


def combo() -> QWidget:
    box = QComboBox()
    box.addItems(["One", "Two"])
    return box


def tool_button() -> QWidget:
    button = QToolButton()
    button.setText("More")
    button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return button


def checked(button: QCheckBox | QRadioButton) -> QWidget:
    button.setAutoExclusive(False)
    button.setChecked(True)
    return button


KINDS: dict[str, Callable[[], QWidget]] = {
    "button": lambda: QPushButton("Keep"),
    "primary button": lambda: primary_button("Keep"),
    "link": lambda: link_button("Keep"),
    "icon button": lambda: icon_button("kit", "Kit"),
    "tool button": tool_button,
    "field": QLineEdit,
    "text": QPlainTextEdit,
    "choice": combo,
    "box": lambda: QCheckBox("Blind"),
    "checked box": lambda: checked(QCheckBox("Blind")),
    "radio button": lambda: QRadioButton("Blind"),
    "chosen radio button": lambda: checked(QRadioButton("Blind")),
    "tabs": tabs,
    "list": lambda: listed(QListView()),
    "table": lambda: listed(QTableView()),
    "tree": lambda: listed(QTreeView()),
}


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    one = apply_theme(qapp)
    yield one
    one.choose("system")


def changed_pixels(one: QImage, other: QImage) -> int:
    """Count the pixels that differ by 3 : 1 between two pictures of one size."""
    known: dict[tuple[int, int], bool] = {}
    count = 0
    for y in range(one.height()):
        for x in range(one.width()):
            pair = (one.pixel(x, y), other.pixel(x, y))
            if pair[0] == pair[1]:
                continue
            if pair not in known:
                known[pair] = contrast(QColor(pair[0]), QColor(pair[1])) >= 3
            count += known[pair]
    return count


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("kind", KINDS)
def test_the_focus_is_seen(qtbot: QtBot, theme: Theme, scheme: Scheme, kind: str) -> None:
    theme.choose(scheme)
    root = QWidget()
    qtbot.addWidget(root)
    column = QVBoxLayout(root)
    other = QLineEdit()
    widget = KINDS[kind]()
    column.addWidget(other)
    column.addWidget(widget)
    root.resize(320, 260)
    root.show()
    qtbot.waitUntil(root.isActiveWindow)
    other.setFocus()
    QApplication.processEvents()
    without = widget.grab().toImage()
    # As with the keyboard: some styles show the focus only then.
    qtbot.keyClick(other, Qt.Key.Key_Tab)
    qtbot.waitUntil(widget.hasFocus)
    QApplication.processEvents()
    focused = widget.grab().toImage()
    assert changed_pixels(without, focused) >= SEEN
