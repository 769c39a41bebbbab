"""What can be done on the Photos page: its actions, their keys, and the bar that shows them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QMenu, QToolBar, QToolButton, QWidget

from ldapp.desktop.icons import keep_icon
from ldapp.desktop.widgets.pieces import icon_button
from ldapp.language import said, said_in


class PhotoBar(QToolBar):
    """A bar that says its actions in words where it is wide enough, else with icons alone."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._worded: list[QAction] = []

    def say_in_words(self, actions: list[QAction]) -> None:
        """These have words, the first of them longest."""
        self._worded = actions
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Say in words what fits."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        for words in range(len(self._worded), -1, -1):
            for number, action in enumerate(self._worded):
                button = self.widgetForAction(action)
                if isinstance(button, QToolButton):
                    button.setToolButtonStyle(
                        Qt.ToolButtonStyle.ToolButtonTextBesideIcon
                        if number < words
                        else Qt.ToolButtonStyle.ToolButtonIconOnly
                    )
            layout = self.layout()
            if layout is not None:
                layout.invalidate()
            if self.sizeHint().width() <= self.width():
                return


def _menu_button(icon: str, says: str, word: str) -> tuple[QToolButton, QMenu]:
    button = icon_button(icon, says)
    button.setText(word)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
    button.setPopupMode(button.ToolButtonPopupMode.InstantPopup)
    menu = QMenu(button)
    button.setMenu(menu)
    return button, menu


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

        self._worded = (
            (self.suggest, said("Suggestions")),
            (self.pair_with, said("Pair")),
            (self.choose_count, said("Count")),
            (self.look, said("Look")),
            (self.side_by_side, said("Compare")),
        )
        for action, word in self._worded:
            action.setIconText(word)

    def _made(self, says: str, icon: str, key: str = "") -> QAction:
        action = QAction(says, self._page)
        keep_icon(action, icon)
        if key:
            action.setShortcut(QKeySequence(key))
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            name = said_in("a key", "Space") if key == "Space" else key
            action.setToolTip(f"{says} ({name})")
        self._page.addAction(action)
        return action

    def fill(self, bar: PhotoBar, evidence: list[QAction]) -> None:
        """Put the actions on the bar; ``evidence`` are those of watched folder and code."""
        add, menu = _menu_button("add", said("Add photos"), said("Add"))
        menu.addActions([self.add_files, self.add_folder, self.add_card])
        menu.addSeparator()
        menu.addActions(evidence)
        self._page.addActions(evidence)
        bar.addWidget(add)
        bar.addSeparator()
        bar.addActions([self.suggest, self.pair_with, self.choose_count])
        bar.addSeparator()
        bar.addActions([self.look, self.side_by_side])
        bar.addSeparator()
        more, menu = _menu_button("more", said("More to do with the chosen photos"), said("More"))
        menu.addActions([self.choose_finding, self.unpair])
        menu.addSeparator()
        menu.addActions([self.turn_left, self.turn_right, self.leave_out, self.trusted_clock])
        menu.addSeparator()
        menu.addAction(self.remove)
        bar.addWidget(more)
        bar.addAction(self.show_facts)
        for action in bar.actions():
            button = bar.widgetForAction(action)
            if action.text():
                button.setAccessibleName(action.text())
        bar.say_in_words([action for action, _ in self._worded])
