"""What can be done on the Photos page: its actions, their keys, and the bar that shows them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QToolBar, QWidget

from ldapp.desktop.icons import keep_icon
from ldapp.desktop.widgets.pieces import icon_button
from ldapp.language import said


class PhotoActions:
    """The actions, each with its key; those of :attr:`on_chosen` need chosen photos."""

    def __init__(self, page: QWidget) -> None:
        self._page = page
        self.add_files = self._made(said("Add photos"), "add")
        self.add_folder = self._made(said("Add a folder of photos"), "import")
        self.add_card = self._made(said("Add photos from a card"), "import")
        self.suggest = self._made(said("Suggested pairings"), "pin", "S")
        self.pair_with = self._made(said("Pair with a line"), "link", "P")
        self.choose_count = self._made(said("Say at which count"), "counts", "K")
        self.choose_finding = self._made(said("Say which finding they show"), "findings", "F")
        self.unpair = self._made(said("Unpair"), "unlink", "U")
        self.look = self._made(said("Look at it large"), "eye", "Space")
        self.side_by_side = self._made(said("Compare two photos"), "compare", "C")
        self.trusted_clock = self._made(said("Reference picture of a trusted clock"), "clock", "R")
        self.leave_out = self._made(said("Leave out of the dossier"), "skip", "X")
        self.turn_right = self._made(said("Turn right"), "turn_right", "]")
        self.turn_left = self._made(said("Turn left"), "turn_left", "[")
        self.remove = self._made(said("Remove from the claim"), "delete")
        self.show_facts = self._made(said("Facts of the photo"), "panel", "I")
        self.show_facts.setCheckable(True)
        self.show_facts.setChecked(True)
        self.on_chosen = (
            self.pair_with,
            self.choose_count,
            self.choose_finding,
            self.unpair,
            self.look,
            self.side_by_side,
            self.trusted_clock,
            self.leave_out,
            self.turn_right,
            self.turn_left,
            self.remove,
        )

    def _made(self, says: str, icon: str, key: str = "") -> QAction:
        action = QAction(says, self._page)
        keep_icon(action, icon)
        if key:
            action.setShortcut(QKeySequence(key))
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            action.setToolTip(f"{says} ({key})")
        self._page.addAction(action)
        return action

    def fill(self, bar: QToolBar, evidence: list[QAction]) -> None:
        """Put the actions on the bar; ``evidence`` are those of watched folder and code."""
        add = icon_button("add", said("Add photos"))
        add.setText(said("Add"))
        add.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        add.setPopupMode(add.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(add)
        menu.addActions([self.add_files, self.add_folder, self.add_card])
        menu.addSeparator()
        menu.addActions(evidence)
        self._page.addActions(evidence)
        add.setMenu(menu)
        bar.addWidget(add)
        bar.addSeparator()
        bar.addActions([self.suggest, self.pair_with, self.choose_count, self.unpair])
        bar.addSeparator()
        bar.addActions([self.look, self.side_by_side, self.trusted_clock])
        bar.addSeparator()
        bar.addActions([self.turn_left, self.turn_right, self.leave_out, self.remove])
        bar.addSeparator()
        bar.addAction(self.show_facts)
