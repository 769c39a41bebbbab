"""What every page of an open claim is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QAction, QKeySequence, QShowEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from ldapp.casework.places import Page, Place
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.icons import keep_icon


class ClaimPage(QWidget):
    """A page that refreshes itself only while it is seen.

    ``refresh`` gets the kinds of record that changed since it was last called, and
    besides them "reckoning", "verdicts" and "weak_points" when those were computed anew;
    the first call gets ``EVERYTHING``.  Actions made with ``offer`` or added with
    ``addAction`` are offered by Ctrl+K.
    """

    name: ClassVar[Page]
    title: ClassVar[str]

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._stale: frozenset[str] = EVERYTHING
        context.claim_changed.connect(self._on_kinds)
        context.reckoned.connect(self._on_reckoned)
        context.verdicts_found.connect(self._on_verdicts)
        context.weak_points_found.connect(self._on_weak_points)

    def offer(self, says: str, icon: str, key: str, slot: Callable[[], object]) -> QAction:
        """Offer an action on this page and by Ctrl+K; ``key`` works only here and may be empty."""
        action = QAction(says, self)
        keep_icon(action, icon)
        if key:
            action.setShortcut(QKeySequence(key))
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.triggered.connect(slot)
        self.addAction(action)
        return action

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show the claim as it stands; ``kinds`` says what may have changed."""
        raise TypeError(f"{type(self).__name__} shows nothing: it must define refresh.")

    def show_place(self, place: Place) -> None:
        """Bring a record or a field of this page into sight and give it the focus."""

    def take_files(self, paths: list[Path]) -> None:
        """Take in files that were dropped and meant for this page."""

    def shut_down(self) -> None:
        """Stop this page's own background work; called before its claim is closed."""

    def focus_search(self) -> None:
        """Give the focus to the page's search, if it has one (a QLineEdit named "search")."""
        search = self.findChild(QLineEdit, "search")
        if search is not None:
            search.setFocus()
            search.selectAll()

    def refresh_if_stale(self) -> None:
        """Refresh now where something changed since the last time."""
        if self._stale:
            kinds, self._stale = self._stale, frozenset()
            self.refresh(kinds)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while the page was out of sight."""
        super().showEvent(event)
        self.refresh_if_stale()

    @Slot(object)
    def _on_kinds(self, kinds: frozenset[str]) -> None:
        self._stale |= kinds
        if self.isVisible():
            self.refresh_if_stale()

    @Slot(object)
    def _on_reckoned(self, reckoning: object) -> None:
        del reckoning
        self._on_kinds(frozenset({"reckoning"}))

    @Slot(object)
    def _on_verdicts(self, verdicts: object) -> None:
        del verdicts
        self._on_kinds(frozenset({"verdicts"}))

    @Slot(object)
    def _on_weak_points(self, points: object) -> None:
        del points
        self._on_kinds(frozenset({"weak_points"}))
