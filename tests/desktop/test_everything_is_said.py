"""Every text in sight is one that a translator gets, or one that a person wrote.

The program speaks a language in which each of its words stands between brackets; what is left
outside of brackets must be in the claim, a number, a day, or a name that no language changes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QGroupBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QTabBar,
    QTableView,
    QTreeView,
    QWidget,
)
from pytestqt.qtbot import QtBot

from ldapp.casework.demo import demo_claims
from ldapp.casework.places import PAGES
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.counts import CountsPage
from ldapp.desktop.pages.papers import PapersPage
from ldapp.exchange.claim_file import claim_as_json, read_claim_file
from ldapp.resources import resource
from tests.languages.marked import in_marked_language

ROWS_LOOKED_AT = 60
SAME_EVERYWHERE = re.compile(
    r"""
    \bSHA-?256\b | \bISO\b | \bUTC\b | \bPDF\b | \bCSV\b | \bGPS\b | \bIANA\b | \b[A-Z]{3}\b
    | \bCtrl\b | \bAlt\b | \bShift\b | \bEsc\b | \bReturn\b | \bIns\b | \bDel\b | \bF\d+\b | \bMB\b
    | \bkB\b | \bldapp\b | \bDossier\b | \bEnglish\b | \bDeutsch\b | \b[0-9a-f]{8,64}\b
    | \bSpace\b | \b[A-Z]\w+/[\w/-]+  # the names of a key and of a time zone
    | \bIMG\w*\b | \b\w+\.(?:jpg|jpeg|heic|pdf|csv|xlsx|png)\b
    """,
    re.VERBOSE | re.IGNORECASE,
)


def outside_of_brackets(text: str) -> str:
    """Return what of a text stands in no bracket at all."""
    left, depth = [], 0
    for character in text:
        if character == "⟦":
            depth += 1
        elif character == "⟧":
            depth -= 1
        elif depth == 0:
            left.append(character)
    return "".join(left)


class Texts:
    """The texts in sight of a window, and which of them nobody can translate."""

    def __init__(self, claims: list[Claim], who: str) -> None:
        # The cautions are a file of their own in each language.
        cautions = resource("wording", "cautions.json").read_text("utf-8")
        words = set(re.findall(r"[^\W\d_]{2,}", cautions))
        for claim in claims:
            words |= set(re.findall(r"[^\W\d_]{2,}", claim_as_json(claim).decode("utf-8")))
        self._of_the_claim = {word.lower() for word in words} | {who.lower()}

    def untranslated(self, text: str) -> bool:
        left = SAME_EVERYWHERE.sub(" ", outside_of_brackets(text).replace("&", ""))
        words = re.findall(r"[^\W\d_]{3,}…?", left)
        return any(not self._is_of_the_claim(word.lower()) for word in words)

    def _is_of_the_claim(self, word: str) -> bool:
        if word.endswith("…"):
            return any(known.startswith(word[:-1]) for known in self._of_the_claim)
        return word in self._of_the_claim


def texts_of(widget: QWidget) -> Iterator[str]:
    """Give what a widget shows and what it says to who cannot see it."""
    yield widget.accessibleName()
    yield widget.accessibleDescription()
    yield widget.toolTip()
    yield widget.statusTip()
    if isinstance(widget, QLabel | QAbstractButton):
        yield widget.text()
    elif isinstance(widget, QGroupBox):
        yield widget.title()
    elif isinstance(widget, QTabBar):
        yield from (widget.tabText(number) for number in range(widget.count()))
    elif isinstance(widget, QComboBox):
        yield from (widget.itemText(number) for number in range(min(widget.count(), 60)))
    elif isinstance(widget, QLineEdit | QPlainTextEdit):
        yield widget.placeholderText()
    elif isinstance(widget, QAbstractItemView) and not isinstance(widget, QHeaderView):
        model = widget.model()
        if model is not None:
            headed = isinstance(widget, QTableView | QTreeView)
            yield from texts_of_model(model, headed)
    for action in widget.actions():
        yield from texts_of_action(action)


def texts_of_action(action: QAction) -> Iterator[str]:
    yield action.text()
    yield action.toolTip()
    menu = action.menu()
    if menu is not None:
        for one in menu.actions():  # type: ignore[attr-defined]
            yield from texts_of_action(one)


def texts_of_model(model: QAbstractItemModel, headed: bool) -> Iterator[str]:
    role = Qt.ItemDataRole
    listed = isinstance(model, QAbstractListModel)
    for column in range(1 if listed else model.columnCount(QModelIndex())):
        if headed:
            yield str(model.headerData(column, Qt.Orientation.Horizontal) or "")
        todo = [
            model.index(row, column)
            for row in range(min(model.rowCount(QModelIndex()), ROWS_LOOKED_AT))
        ]
        while todo:
            index = todo.pop()
            yield from cell_texts(index, (role.DisplayRole, role.ToolTipRole))
            todo += [
                model.index(row, column, index) for row in range(min(model.rowCount(index), 9))
            ]


def cell_texts(index: QModelIndex, roles: tuple[Qt.ItemDataRole, ...]) -> Iterator[str]:
    for role in roles:
        value = index.data(role)
        if isinstance(value, str):
            yield value


def not_said(root: QWidget, texts: Texts) -> list[str]:
    """Return every text in sight that is neither said nor from the claim."""
    found = set()
    for widget in [root, *root.findChildren(QWidget)]:
        if not widget.isVisibleTo(root):
            continue
        if widget.objectName() in ("ScrollLeftButton", "ScrollRightButton"):
            continue  # Qt's own, translated by Qt
        for text in texts_of(widget):
            if text and texts.untranslated(text):
                found.add(f"{type(widget).__name__}: {text[:160]}")
    return sorted(found)


@pytest.fixture
def claims() -> list[Claim]:
    return [read_claim_file(one.path) for one in demo_claims()]


@pytest.fixture(autouse=True)
def marked_language() -> Iterator[None]:
    with in_marked_language():
        yield


def test_what_is_left_outside_of_brackets_is_found(claims: list[Claim]) -> None:
    texts = Texts(claims[:1], "Ada")
    assert texts.untranslated("⟦Photo⟧ taken at night")
    assert not texts.untranslated("⟦Photo {x}⟧ · 12.50 USD, SHA-256")
    assert not texts.untranslated(f"⟦Line⟧ {claims[0].kit[0].description}")


@pytest.mark.parametrize("number", range(3))
def test_every_page_of_a_claim(
    number: int,
    qtbot: QtBot,
    window: MainWindow,
    register: Register,
    claims: list[Claim],
    idle: Callable[[], None],
) -> None:
    demo = demo_claims()[number]
    key = register.take_in_demo(demo)
    window.refresh_register()
    idle()
    texts = Texts(claims, "Ada")
    found = {}
    if wrong := not_said(window, texts):
        found["register"] = wrong
    window.open_claim(key)
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    view = window.claim_view
    assert view is not None
    qtbot.waitUntil(lambda: view.context.up_to_date, timeout=20_000)
    for name in PAGES:
        view.show_page(name)
        idle()
        qtbot.wait(60)
        idle()
        QApplication.processEvents()
        page = view.page(name)
        if isinstance(page, PapersPage):
            for part in page._parts:
                page.show_part(part)
                qtbot.wait(150)
                if wrong := not_said(window, texts):
                    found[f"{name} {part}"] = wrong
        if isinstance(page, CountsPage):
            for place in range(page.below.count()):
                page.below.setCurrentIndex(place)
                if wrong := not_said(window, texts):
                    found[f"{name} {place}"] = wrong
        if wrong := not_said(window, texts):
            found[name] = wrong
    assert not found, "\n".join(f"{where}: {text}" for where in found for text in found[where])
