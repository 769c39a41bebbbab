"""Everything that can have the focus says what it is, and nothing is cut off at 1280 × 800."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractButton, QAbstractScrollArea, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from ldapp.casework.places import PAGES, Page
from ldapp.desktop.about import AboutDialog
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.guide import Guide
from ldapp.desktop.jump import JumpDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.new_claim import NewClaimDialog
from ldapp.desktop.pages.bundle_dialog import BundleDialog
from ldapp.desktop.pages.count_parts.damage_dialog import DamageDialog, SerialsDialog
from ldapp.desktop.pages.count_parts.new_count_dialog import NewCountDialog
from ldapp.desktop.pages.counts import CountsPage
from ldapp.desktop.pages.kit import KitPage
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.pages.seal_dialog import SealDialog


def nameless(root: QWidget) -> list[str]:
    """Return every visible widget that takes the focus and has no name for a screen reader."""
    found = []
    for widget in [root, *root.findChildren(QWidget)]:
        if widget.focusPolicy() == Qt.FocusPolicy.NoFocus or not widget.isVisibleTo(root):
            continue
        if isinstance(widget, QLineEdit) and isinstance(widget.parentWidget(), QComboBox):
            continue
        parent = widget.parentWidget()
        if isinstance(parent, QAbstractScrollArea) and widget is parent.viewport():
            continue
        interface = QAccessible.queryAccessibleInterface(widget)
        name = interface.text(QAccessible.Text.Name) if interface else ""
        if not name.strip():
            found.append(f"{type(widget).__name__} in {type(parent).__name__}: {widget!r}")
    return found


@pytest.mark.parametrize("name", PAGES)
def test_every_page(qtbot: QtBot, view: ClaimView, window: MainWindow, name: Page) -> None:
    view.show_page(name)
    qtbot.waitUntil(view.page(name).isVisible, timeout=2000)
    assert nameless(window) == []


def test_the_parts_of_papers(qtbot: QtBot, view: ClaimView) -> None:
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    view.show_page("papers")
    for part in ("facts", "parties", "a1", "policy", "documents"):
        page.show_part(part)
        assert nameless(page.panel(part)) == [], part


def test_the_parts_of_kit_and_counts(qtbot: QtBot, view: ClaimView) -> None:
    kit = view.page("kit")
    assert isinstance(kit, KitPage)
    view.show_page("kit")
    for number in range(kit.details.count()):
        kit.details.setCurrentIndex(number)
        assert nameless(kit) == []
    page = view.page("counts")
    assert isinstance(page, CountsPage)
    view.show_page("counts")
    for number in range(page.below.count()):
        page.below.setCurrentIndex(number)
        assert nameless(page) == []
    page.open_counter_view("c2")
    counter = page.counter_view
    assert counter is not None
    assert nameless(counter) == []
    counter.show_end()
    assert nameless(counter) == []
    counter.close()


def test_the_register_and_the_first_start(window: MainWindow) -> None:
    assert nameless(window) == []


def test_dialogs(qtbot: QtBot, window: MainWindow, view: ClaimView) -> None:
    line = view.context.claim.kit[0]
    entry = view.context.claim.counts[0].entries[0]
    makers: list[Callable[[], QWidget]] = [
        lambda: NewClaimDialog("2026-001"),
        lambda: AboutDialog("1"),
        lambda: SealDialog("statement.pdf"),
        lambda: BundleDialog("Statement of loss", may_be_shared=True),
        lambda: JumpDialog([], print),
        lambda: DroppedFilesDialog([], ("photos", "documents")),
        lambda: DamageDialog(line, entry),
        lambda: SerialsDialog(line, entry),
        lambda: NewCountDialog(view.context.claim, "Ada"),
        Guide,
    ]
    for make in makers:
        dialog = make()
        qtbot.addWidget(dialog)
        dialog.show()
        assert nameless(dialog) == [], type(dialog).__name__
        dialog.close()


def test_the_window_fits_1280_by_800(window: MainWindow, view: ClaimView) -> None:
    for name in PAGES:
        view.show_page(name)
        hint = view.page(name).minimumSizeHint()
        assert hint.width() <= 1280 - 168 - 240, f"{name} needs {hint.width()} pixels"
        assert hint.height() <= 800 - 110, f"{name} needs {hint.height()} pixels"


def test_buttons_have_words_or_a_tooltip(window: MainWindow, view: ClaimView) -> None:
    for button in window.findChildren(QAbstractButton):
        if button.isVisible() and button.focusPolicy() != Qt.FocusPolicy.NoFocus:
            assert button.text() or button.toolTip() or button.accessibleName()
