"""The window's menus, toolbar and keys."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSize, Qt, Slot
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QDialog, QMenu, QSizePolicy, QToolBar, QWidget

from ldapp import __version__
from ldapp.casework.places import PAGES, Page
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.language_menu import LanguageMenu
from ldapp.desktop.page_titles import page_title
from ldapp.desktop.theme import Scheme
from ldapp.errors import MachineError
from ldapp.language import marked, said

if TYPE_CHECKING:
    from ldapp.desktop.jump import Target
    from ldapp.desktop.main_window import MainWindow

_SCHEMES: tuple[tuple[Scheme, str], ...] = (
    ("system", marked("Colours of the &system")),
    ("light", marked("&Light")),
    ("dark", marked("&Dark")),
)


class WindowActions(QObject):
    """Makes the actions once and keeps them true to what can be done."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.back = self._action(
            said("&Back to the register"), "register", window.back_to_register, "Alt+Left"
        )
        self.undo = self._action(said("&Undo"), "undo", self._undo, QKeySequence.StandardKey.Undo)
        self.redo = self._action(said("&Redo"), "redo", self._redo, QKeySequence.StandardKey.Redo)
        self.find = self._action(
            said("&Find on this page"), "search", self._find, QKeySequence.StandardKey.Find
        )
        self.jump = self._action(said("&Jump to…"), "chevron_right", self.show_jump, "Ctrl+K")
        self.points = self._action(
            said("&Weak points"), "panel", self._toggle_points, "Ctrl+Shift+W"
        )
        self.points.setCheckable(True)
        self.guide = self._action(
            said("&Guide at this page"),
            "help",
            window.show_guide,
            QKeySequence.StandardKey.HelpContents,
        )
        self.about = self._action(said("&About, cautions and licences"), "note", self._about, None)
        self.to_applications = self._action(
            said("Add to the a&pplications of this computer"),
            "pin",
            self._add_to_applications,
            None,
        )
        self.quit = self._action(
            said("&Quit"), "close", window.close, QKeySequence.StandardKey.Quit
        )
        self.pages = [self._page_action(number, name) for number, name in enumerate(PAGES, 1)]
        self.office_records = self._action(
            said("From the &office's records…"), "policies", window.show_office_records, None
        )
        self.record = self._action(said("Record of &changes…"), "text", window.show_record, None)
        self.wanted_papers = self._action(
            said("Papers that the policy &asks for…"), "check", window.show_wanted_papers, None
        )
        self.calendar = self._action(
            said("&Deadlines as a calendar file…"),
            "calendar",
            window.export_calendar_of_sight,
            None,
        )
        self.check = self._action(said("&Check the library…"), "check", window.check_library, None)
        self.settings = self._action(said("&Settings…"), "more", window.show_settings, "Ctrl+,")
        self.overviews = [
            self._overview_action(text, name, keys)
            for text, name, keys in (
                (said("&Policies and certificates"), "policies", "Ctrl+Shift+P"),
                (said("&Report over all claims"), "report", "Ctrl+Shift+R"),
            )
        ]
        self._make_menus()
        self._make_toolbar()

    def _action(
        self,
        text: str,
        icon_name: str,
        slot: Callable[..., object],
        keys: str | QKeySequence.StandardKey | None,
    ) -> QAction:
        action = QAction(text, self._window)
        if keys is not None:
            action.setShortcut(QKeySequence(keys))
            shown = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            action.setToolTip(f"{text.replace('&', '').rstrip('…')} ({shown})")
        keep_icon(action, icon_name)
        action.triggered.connect(slot)
        return action

    def _page_action(self, number: int, name: Page) -> QAction:
        action = QAction(page_title(name), self._window)
        action.setShortcut(QKeySequence(f"Ctrl+{number}"))
        action.setData(name)
        keep_icon(action, name)
        action.triggered.connect(self._on_page)
        return action

    def _overview_action(self, text: str, name: str, keys: str) -> QAction:
        action = self._action(text, name, self._on_overview, keys)
        action.setData(name)
        return action

    def _make_menus(self) -> None:
        bar = self._window.menuBar()
        claim = bar.addMenu(said("&Claim"))
        for action in self._window_new_actions():
            claim.addAction(action)
        claim.addSeparator()
        claim.addAction(self.record)
        claim.addAction(self.wanted_papers)
        claim.addAction(self.office_records)
        claim.addAction(self.back)
        claim.addSeparator()
        claim.addAction(self.quit)
        overall = bar.addMenu(said("&Register"))
        for action in self.overviews:
            overall.addAction(action)
        overall.addSeparator()
        overall.addAction(self.calendar)
        overall.addSeparator()
        overall.addAction(self.check)
        overall.addAction(self.settings)
        edit = bar.addMenu(said("&Edit"))
        for action in (self.undo, self.redo):
            edit.addAction(action)
        edit.addSeparator()
        for action in (self.find, self.jump):
            edit.addAction(action)
        view = bar.addMenu(said("&View"))
        for action in self.pages:
            view.addAction(action)
        view.addSeparator()
        view.addAction(self.points)
        view.addSeparator()
        self._add_schemes(view)
        self.languages = LanguageMenu(self._window.settings, view)
        self.languages.told.connect(self._window.show_message)
        view.addMenu(self.languages)
        help_menu = bar.addMenu(said("&Help"))
        help_menu.addAction(self.guide)
        if sys.platform.startswith("linux"):
            help_menu.addAction(self.to_applications)
        help_menu.addAction(self.about)

    def _window_new_actions(self) -> list[QAction]:
        made = []
        for kind, text, keys in (
            ("empty", said("&New claim…"), "Ctrl+N"),
            ("spreadsheet", said("New claim from a &spreadsheet…"), None),
            ("claim_file", said("Open a claim &file or bundle…"), "Ctrl+O"),
            ("demo", said("Open a &demo claim"), None),
        ):
            action = self._action(text, "add", self._on_new, keys)
            action.setData(kind)
            made.append(action)
        self.new = made
        return made

    def _add_schemes(self, view: QMenu) -> None:
        group = QActionGroup(self)
        for scheme, text in _SCHEMES:
            action = QAction(said(text), self._window)
            action.setCheckable(True)
            action.setData(scheme)
            action.setChecked(self._window.settings.value("look/scheme", "system") == scheme)
            group.addAction(action)
            view.addAction(action)
        group.triggered.connect(self._on_scheme)
        self.schemes = group

    def _make_toolbar(self) -> None:
        bar = QToolBar(said("Tools"), self._window)
        bar.setObjectName("tools")
        bar.setMovable(False)
        bar.setIconSize(QSize(20, 20))
        bar.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        bar.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.back.setIconText(said("Register"))
        self.jump.setIconText(said("Jump to"))
        self.points.setIconText(said("Weak points"))
        for action in (self.back, self.undo, self.redo):
            bar.addAction(action)
        room = QWidget()
        room.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        bar.addWidget(room)
        for action in (self.jump, self.points, self.guide):
            bar.addAction(action)
        guide = bar.widgetForAction(self.guide)
        if guide is not None:
            guide.setProperty("toolButtonStyle", Qt.ToolButtonStyle.ToolButtonIconOnly)
        for action in bar.actions():
            button = bar.widgetForAction(action)
            if button is not None and action.text():
                button.setAccessibleName(action.text().replace("&", ""))
        self._window.addToolBar(bar)
        self.toolbar = bar

    # --- kept true ----------------------------------------------------------------------

    def update(self) -> None:
        """Enable what can be done now."""
        view = self._window.claim_view
        reading = self._window.reading_cautions
        is_open = view is not None and not reading
        for action in (
            self.find,
            self.points,
            self.record,
            self.wanted_papers,
            self.office_records,
            *self.pages,
        ):
            action.setEnabled(is_open)
        self.back.setEnabled(is_open or self._window.overview is not None)
        self.find.setEnabled(self._window.register is not None and not reading)
        self.jump.setEnabled(not reading)
        self.toolbar.setVisible(is_open)
        for action in (*self.new, *self.overviews, self.calendar, self.check):
            action.setEnabled(self._window.register is not None and not reading)
        self.points.setChecked(view is not None and view.weak_points_shown)
        self.update_steps()

    def update_steps(self) -> None:
        """Name what undo and redo would do."""
        view = self._window.claim_view
        desk = view.context.desk if view else None
        for action, word, label in (
            (self.undo, said("Undo"), desk.undo_label if desk else None),
            (self.redo, said("Redo"), desk.redo_label if desk else None),
        ):
            action.setEnabled(label is not None)
            says = f"{word}: {label}" if label else word
            action.setText(says.replace("&", "&&"))
            short = says if len(says) <= 40 else says[:38] + "…"
            action.setIconText(short.replace("&", "&&"))
            button = self.toolbar.widgetForAction(action)
            if button is not None:
                button.setAccessibleName(says)

    # --- done ------------------------------------------------------------------------------

    @Slot()
    def _undo(self) -> None:
        view = self._window.claim_view
        if view is not None:
            view.context.attempt(view.context.desk.undo)
            self.update_steps()

    @Slot()
    def _redo(self) -> None:
        view = self._window.claim_view
        if view is not None:
            view.context.attempt(view.context.desk.redo)
            self.update_steps()

    @Slot()
    def _find(self) -> None:
        view = self._window.claim_view
        if view is not None:
            view.page(view.current_page).focus_search()
        else:
            self._window.register_page.search.setFocus()

    @Slot()
    def _toggle_points(self) -> None:
        view = self._window.claim_view
        if view is not None:
            view.show_weak_points(not view.weak_points_shown)

    @Slot()
    def _on_page(self) -> None:
        action, view = self.sender(), self._window.claim_view
        if isinstance(action, QAction) and view is not None:
            view.turn_to(action.data())

    @Slot()
    def _on_overview(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self._window.show_overview(str(action.data()))

    @Slot()
    def _on_new(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self._window.new_claim(str(action.data()))

    @Slot(QAction)
    def _on_scheme(self, action: QAction) -> None:
        self._window.choose_scheme(action.data())

    @Slot()
    def show_jump(self) -> None:
        """Ask where to jump to."""
        from ldapp.desktop.jump import JumpDialog, targets_in, targets_of  # noqa: PLC0415

        view = self._window.claim_view
        offered = targets_of(
            [
                *self.new,
                *self.overviews,
                self.calendar,
                self.check,
                self.settings,
                self.guide,
                self.about,
            ]
        )
        if view is not None:
            page = view.page(view.current_page)
            offered = [
                *targets_in(view.context.claim),
                *targets_of(
                    [
                        *page.actions(),
                        self.office_records,
                        self.back,
                        self.undo,
                        self.redo,
                        self.points,
                    ]
                ),
                *offered,
            ]
        dialog = JumpDialog(offered, self.go, self._window)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def go(self, target: Target) -> None:
        """Go where a target points, or do it."""
        view = self._window.claim_view
        if target.action is not None:
            target.action.trigger()
        elif target.place is not None and view is not None:
            view.show_place(target.place)

    @Slot()
    def _add_to_applications(self) -> None:
        from ldapp.desktop.applications_menu import (  # noqa: PLC0415 - only for this action
            add_to_applications,
            this_program,
        )

        try:
            entry = add_to_applications(this_program())
        except MachineError as error:
            self._window.show_failure(error)
            return
        self._window.show_message(
            said(
                "ldapp now stands among the applications ({entry}); files that end in "
                ".ldapp.zip or .ldapp.json open with it.",
                entry=entry,
            )
        )

    @Slot()
    def _about(self) -> None:
        from ldapp.desktop.about import AboutDialog  # noqa: PLC0415

        dialog: QDialog = AboutDialog(__version__, self._window)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()
