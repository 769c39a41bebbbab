"""Over the photos: the folder that is watched, and clocks that the counter's code would set."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import counter_codes
from ldapp.casework.edit import find
from ldapp.casework.original_checks import OriginalsCheck, check_originals
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.counter_code_window import show_counter_code
from ldapp.desktop.pages.said import count_text
from ldapp.desktop.theme import GRID
from ldapp.desktop.watched_folder import WatchedFolder
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said, said_of


class PhotoEvidence(QWidget):
    """Nothing is seen of it while there is nothing to say."""

    def __init__(self, context: ClaimContext, count: Callable[[], str | None]) -> None:
        """``count`` gives the count at which photos are taken in, where one is seen."""
        super().__init__()
        self._context = context
        self._count = count
        self._not_now: set[str] = set()
        self._proposed: tuple[counter_codes.ProposedCorrection, ...] = ()
        self.watched = WatchedFolder.of(context)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._watch_strip())
        column.addWidget(self._code_strip())
        self.watch = self._action(said("Watch a folder for new photos"), "eye", self.ask_folder)
        self.go_on = self._action(said("Go on watching"), "eye", self._go_on)
        self.show_code = self._action(said("Show the counter's code"), "clock", self._show_code)
        self.look = self._action(
            said("Look for the code and for pictures alike"), "search", self._look
        )
        self.check = self._action(said("Check the originals"), "check", self._check)
        self.watched.changed.connect(self._show_watch)
        context.claim_changed.connect(self._on_changed)
        self._show_watch()
        self._show_proposed()

    def actions_here(self) -> list[QAction]:
        """What can be done, for menus."""
        return [self.watch, self.go_on, self.show_code, self.look, self.check]

    def _action(self, says: str, icon: str, slot: Callable[[], object]) -> QAction:
        action = QAction(says, self)
        keep_icon(action, icon)
        action.triggered.connect(slot)
        return action

    def _strip(self) -> tuple[QWidget, Label, QHBoxLayout]:
        strip = QWidget()
        row = QHBoxLayout(strip)
        row.setContentsMargins(GRID * 2, GRID, GRID, GRID)
        row.setSpacing(GRID)
        says = Label("", wrap=True)
        row.addWidget(says, 1)
        strip.hide()
        return strip, says, row

    def _watch_strip(self) -> QWidget:
        self.watch_strip = QWidget()
        column = QVBoxLayout(self.watch_strip)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        says, self.watch_says, _ = self._strip()
        row = QHBoxLayout()
        row.setContentsMargins(GRID * 2, 0, GRID, GRID)
        row.setSpacing(GRID)
        says.show()
        column.addWidget(says)
        column.addLayout(row)
        self.watch_strip.hide()
        label = QLabel(said("Taken &in at count"))
        self.at_count = ChoiceField(())
        self.at_count.setAccessibleName(said("Taken in at count"))
        label.setBuddy(self.at_count)
        self.at_count.committed.connect(self._on_count)
        self.stop = QPushButton(said("Stop w&atching"))
        self.stop.clicked.connect(self.watched.stop)
        self.at_count.setMinimumContentsLength(12)
        self.at_count.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        row.addWidget(label)
        row.addWidget(self.at_count)
        row.addStretch(1)
        row.addWidget(self.stop)
        return self.watch_strip

    def _code_strip(self) -> QWidget:
        self.code_strip, self.code_says, row = self._strip()
        self.accept = QPushButton(said("Set this cloc&k"))
        self.accept_all = QPushButton(said("Set a&ll"))
        self.not_now = QPushButton(said("Not no&w"))
        for button, slot in (
            (self.accept, self._accept),
            (self.accept_all, self._accept_all),
            (self.not_now, self._leave),
        ):
            button.clicked.connect(slot)
            row.addWidget(button)
        return self.code_strip

    # --- the watched folder ---------------------------------------------------------------

    @Slot()
    def ask_folder(self) -> None:
        """Ask for a folder and watch it."""
        name = QFileDialog.getExistingDirectory(self, said("Folder into which photos come"))
        if name:
            self.watched.watch(Path(name), self._count())

    @Slot()
    def _go_on(self) -> None:
        last = self.watched.last
        if last is not None:
            self.watched.watch(last, self._count())

    @Slot()
    def _show_watch(self) -> None:
        folder, last = self.watched.folder, self.watched.last
        self.watch_strip.setVisible(folder is not None)
        self.go_on.setVisible(folder is None and last is not None)
        self.go_on.setEnabled(self.go_on.isVisible())
        if last is not None:
            self.go_on.setText(said("Go on watching {name}", name=last.name))
        if folder is None:
            return
        self.watch_says.set_tone(None if self.watched.reachable else "amber")
        self.watch_says.setToolTip(str(folder))
        if not self.watched.reachable:
            text = said(
                "! {name} cannot be reached. It is watched again once it is back.", name=folder.name
            )
        elif not self.watched.ready:
            text = said("Looking at what is in {name} already.", name=folder.name)
        else:
            text = said_of(
                self.watched.number,
                "Watching {name} for new photos: {count} photo taken in so far.",
                "Watching {name} for new photos: {count} photos taken in so far.",
                name=folder.name,
            )
        self.watch_says.setText(text)
        self._show_counts()

    def _show_counts(self) -> None:
        counts = [(count.id, count_text(count)) for count in self._context.claim.counts]
        self.at_count.set_choices([("", said("no count")), *counts])
        self.at_count.set_value(self.watched.count or "")

    @Slot()
    def _on_count(self) -> None:
        self.watched.count = self.at_count.value() or None

    # --- the counter's code ---------------------------------------------------------------

    @Slot()
    def _show_code(self) -> None:
        show_counter_code(self._context, self.window())

    @Slot(object)
    def _on_changed(self, kinds: frozenset[str]) -> None:
        if kinds & {"photo", "clock_correction", "issued_code"}:
            self._show_proposed()
        if "count" in kinds and self.watched.folder is not None:
            self._show_counts()

    def _show_proposed(self) -> None:
        self._proposed = tuple(
            one
            for one in counter_codes.proposed_corrections(self._context.claim)
            if one.photo not in self._not_now
        )
        self.code_strip.setVisible(bool(self._proposed))
        if not self._proposed:
            return
        first, number = self._proposed[0], len(self._proposed)
        photo = find(self._context.claim.photos, first.photo)
        camera = f"{first.correction.make} {first.correction.model}".strip()
        self.code_says.setText(
            said(
                "{name} shows the counter's code of {time} UTC. {clock}",
                name=photo.name if photo else "",
                time=f"{first.correction.reference_time:%H:%M:%S}",
                clock=_clock(camera, first.fast_s),
            )
        )
        self.accept_all.setVisible(number > 1)
        self.accept_all.setText(said("Set a&ll {number}", number=number))

    @Slot()
    def _accept(self) -> None:
        first = self._proposed[:1]
        self._context.attempt(lambda: counter_codes.accept_corrections(self._context.desk, first))

    @Slot()
    def _accept_all(self) -> None:
        every = self._proposed
        self._context.attempt(lambda: counter_codes.accept_corrections(self._context.desk, every))

    @Slot()
    def _leave(self) -> None:
        self._not_now |= {one.photo for one in self._proposed[:1]}
        self._show_proposed()

    @Slot()
    def _look(self) -> None:
        desk = self._context.desk

        def look(progress: Progress) -> counter_codes.Looked:
            return counter_codes.look_into_pictures(desk, desk.originals, progress)

        self._context.run(said("Looking into the pictures"), look, self._on_looked)

    @Slot(object)
    def _on_looked(self, looked: counter_codes.Looked) -> None:
        self._context.message.emit(
            said_of(
                looked.pictures,
                "{count} picture looked into; {with_code} show a code that was issued here.",
                "{count} pictures looked into; {with_code} show a code that was issued here.",
                with_code=looked.with_code,
            )
        )

    # --- the originals --------------------------------------------------------------------

    @Slot()
    def _check(self) -> None:
        claim, originals = self._context.claim, self._context.desk.originals

        def check(progress: Progress) -> OriginalsCheck:
            return check_originals(claim, originals, progress)

        self._context.run(said("Checking the originals"), check, self._on_checked)

    @Slot(object)
    def _on_checked(self, found: OriginalsCheck) -> None:
        self._context.originals_checked(found.changed)
        parts = []
        if found.changed_names:
            parts.append(
                said(
                    "Changed since they were taken in: {names}. Put them back from a backup; "
                    "no dossier is written with them.",
                    names=_some(found.changed_names),
                )
            )
        if found.missing_names:
            parts.append(said("Missing: {names}.", names=_some(found.missing_names)))
        if parts:
            self._context.refuse(" ".join(parts))
        else:
            self._context.message.emit(
                said_of(
                    found.checked,
                    "{count} original checked: all as they were taken in.",
                    "{count} originals checked: all as they were taken in.",
                )
            )


def _some(names: tuple[str, ...]) -> str:
    first = ", ".join(names[:5])
    if len(names) <= 5:
        return first
    return said("{names} and {number} more", names=first, number=len(names) - 5)


def _clock(camera: str, fast_s: float | None) -> str:
    if fast_s is None:
        return said("It says what the clock of {camera} is worth.", camera=camera)
    seconds = round(abs(fast_s))
    if seconds <= 1:
        return said("The clock of {camera} is right to the second.", camera=camera)
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    parts = ((hours, "h"), (minutes, "min"), (rest, "s"))
    apart = " ".join(f"{number} {unit}" for number, unit in parts if number)
    if fast_s > 0:
        return said("The clock of {camera} is {apart} fast.", camera=camera, apart=apart)
    return said("The clock of {camera} is {apart} slow.", camera=camera, apart=apart)
