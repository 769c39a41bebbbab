"""After sending: what was sent and answered, offers and settlements by charge, what turned up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Literal, TypeAlias

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import after_sending as work
from ldapp.casework.places import Place
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.after_sending_charges import StandingsPanel
from ldapp.desktop.pages.after_sending_entries import EntriesPanel
from ldapp.desktop.pages.after_sending_found import FoundPanel
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, Separator
from ldapp.desktop.widgets.values import date_text
from ldapp.language import said, said_of
from ldapp.local_forms import grouped
from ldapp.reckoning.result import Reckoning

Part: TypeAlias = Literal["entries", "charges", "found"]
_PARTS: tuple[Part, ...] = ("entries", "charges", "found")


class AfterSending(QWidget):
    """One part at a time, each with the whole width; the next deadline above all of them."""

    closed = Signal()

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.deadline = Label("", bold=True, wrap=True)
        self.back = QPushButton(said("&Back to the charges"))
        self.entries = EntriesPanel(context)
        self.standings = StandingsPanel(context, self._chosen_entry)
        self.found = FoundPanel(context)
        self.parts = QTabBar()
        self.parts.setAccessibleName(said("Parts of what came after sending"))
        self.parts.setExpanding(False)
        self.parts.setDrawBase(False)
        self._stack = QStackedWidget()
        for panel in (self.entries, self.standings, self.found):
            self.parts.addTab("")
            self._stack.addWidget(panel)
        head = QHBoxLayout()
        head.setSpacing(GRID * 2)
        head.addWidget(Label(said("After sending"), TypeSize.LARGE, bold=True))
        head.addWidget(self.deadline, 1)
        head.addWidget(self.back)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        whole.setSpacing(GRID)
        whole.addLayout(head)
        whole.addWidget(self.parts)
        whole.addWidget(Separator())
        whole.addWidget(self._stack, 1)
        self.back.clicked.connect(self.closed)
        self.parts.currentChanged.connect(self._stack.setCurrentIndex)
        self.standings.found.connect(self._show_found)

    @property
    def agreement(self) -> str | None:
        """Whose rental company new entries are with."""
        return self.entries.agreement

    @agreement.setter
    def agreement(self, agreement: str | None) -> None:
        self.entries.agreement = agreement

    def _chosen_entry(self) -> str:
        return self.entries.form.key

    def show_part(self, part: Part) -> None:
        """Bring a part into sight."""
        self.parts.setCurrentIndex(_PARTS.index(part))

    def show_claim(self) -> None:
        """Show everything as it stands."""
        claim = self._context.claim
        for panel in (self.entries, self.standings, self.found):
            panel.show_claim()
        for number, (title, members) in enumerate(
            (
                (said("Sent and received"), len(claim.correspondence)),
                (said("By charge"), self.standings.rows.rowCount()),
                (said("Turned up again"), len(claim.recovered)),
            )
        ):
            self.parts.setTabText(number, f"{title} ({grouped(members)})")
        today = work.now_in(claim).date()
        self.deadline.setText(next_deadline_text(claim, self._context.reckoning, today))

    def show_place(self, place: Place) -> None:
        """Bring an entry or an item that turned up into sight."""
        if place.kind == "recovered_item":
            self._show_found(place.key)
        else:
            self.show_part("entries")
            self.entries.show_entry(place.key)

    @Slot(str)
    def _show_found(self, item: str) -> None:
        self.show_part("found")
        self.found.show_item(item)


def next_deadline_text(claim: Claim, reckoning: Reckoning | None, today: dt.date) -> str:
    """Say which answer is overdue, if one is, and what is due next."""
    coming = deadline_text(work.coming_deadlines(claim, reckoning, today), today)
    overdue = work.overdue_deadlines(claim, reckoning, today)
    if not overdue:
        return coming
    last = overdue[0]
    late = (today - last.day).days
    others = len(overdue) - 1
    if others:
        says = said_of(
            late,
            "⚠ Overdue since {day}, {count} day ago (and {others} more): {says}",
            "⚠ Overdue since {day}, {count} days ago (and {others} more): {says}",
            day=date_text(last.day),
            others=grouped(others),
            says=last.says,
        )
    else:
        says = said_of(
            late,
            "⚠ Overdue since {day}, {count} day ago: {says}",
            "⚠ Overdue since {day}, {count} days ago: {says}",
            day=date_text(last.day),
            says=last.says,
        )
    return f"{says}\n{coming}"


def deadline_text(coming: Sequence[work.NextDeadline], today: dt.date) -> str:
    """Say what is due next, in how many days, and from whom."""
    if not coming:
        return said("No deadline is running.")
    first = coming[0]
    days = (first.day - today).days
    mark = "⚠ " if first.ours and days <= 3 else ""
    day, says = date_text(first.day), first.says
    if days == 0:
        return mark + said("Next deadline: {day}, today. {says}", day=day, says=says)
    if days == 1:
        return mark + said("Next deadline: {day}, tomorrow. {says}", day=day, says=says)
    return mark + said_of(
        days,
        "Next deadline: {day}, in {count} day. {says}",
        "Next deadline: {day}, in {count} days. {says}",
        day=day,
        says=says,
    )
