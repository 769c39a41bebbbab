"""A button that offers public tables and rules, and keeps those of this paper beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QPushButton, QWidget

from ldapp.casework import reference
from ldapp.claim.terms import DepreciationTable
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.name_dialog import NameDialog
from ldapp.language import marked, said, said_of

_CHECK = marked("Reference only: your own paper and the law of the place decide.")


def _from_memory(title: str) -> str:
    return said("{title} (from memory)", title=title)


class ReferenceButton(QPushButton):
    """Fills depreciation, deadlines and holidays of a paper from reference data."""

    chosen = Signal(str, object)
    """The attribute of the terms, and its new value."""

    def __init__(
        self,
        context: ClaimContext,
        terms: Callable[[], Any],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(said("Public tables and rules"), parent)
        self._context = context
        self._terms = terms
        self.setToolTip(said(_CHECK))
        self.list = QMenu(self)
        self.list.setToolTipsVisible(True)
        self.list.aboutToShow.connect(self.fill)
        self.setMenu(self.list)

    @Slot()
    def fill(self) -> None:
        """Offer what there is now: shipped, own, and what this paper has to be kept."""
        memory = self._context.register
        self.list.clear()
        depreciation = self.list.addMenu(said("Depreciate by a published table"))
        depreciation.setToolTipsVisible(True)
        for table in self._context.attempt(lambda: reference.tables(memory)) or ():
            self._add(depreciation, table.title, table.rule.source, self._use_table, table)
        by_place: dict[str, QMenu] = {}
        for one in self._context.attempt(lambda: reference.rules(memory)) or ():
            place = said("Your own") if one.place == reference.OWN else one.place
            if place not in by_place:
                by_place[place] = self.list.addMenu(said("Deadlines: {place}", place=place))
                by_place[place].setToolTipsVisible(True)
            title = _from_memory(one.rule.title) if one.rule.from_memory else one.rule.title
            self._add(by_place[place], title, one.rule.source, self._use_rule, one)
        years = reference.years_of(self._context.claim, dt.datetime.now().astimezone().date())
        calendars = self._context.attempt(lambda: reference.holidays(memory, *years)) or ()
        days = self.list.addMenu(said("Holidays, {first} to {last}", first=years[0], last=years[1]))
        days.setToolTipsVisible(True)
        shipped = len(calendars) - len(reference.own_holiday_places(memory))
        for number, calendar in enumerate(calendars):
            text = calendar.place
            if number >= shipped:
                text = said("{place}, your own", place=text)
            if calendar.from_memory:
                text = _from_memory(text)
            self._add(days, text, calendar.source, self._use_holidays, calendar)
        self.list.addSeparator()
        self._add_keeping(memory)

    def _add(
        self, menu: QMenu, text: str, source: str, use: Callable[[], None], carried: Any
    ) -> None:
        # What people called a table may hold "&"; it is no key here.
        action = QAction(text.replace("&", "&&"), menu)
        action.setData(carried)
        action.setToolTip(f"{source}. {said(_CHECK)}" if source else said(_CHECK))
        action.triggered.connect(use)
        menu.addAction(action)

    def _add_keeping(self, memory: Any) -> None:
        terms = self._terms()
        if memory is None or terms is None:
            return
        keep_table = self.list.addAction(said("Keep this paper's table for other claims…"))
        keep_table.setEnabled(isinstance(terms.depreciation, DepreciationTable))
        keep_table.triggered.connect(self._keep_table)
        keep_rules = self.list.addAction(said("Keep this paper's deadlines for other claims"))
        keep_rules.setEnabled(bool(terms.deadlines))
        keep_rules.triggered.connect(self._keep_rules)
        keep_days = self.list.addAction(said("Keep this paper's holidays for other claims"))
        keep_days.setEnabled(terms.holidays is not None)
        keep_days.triggered.connect(self._keep_holidays)
        forget = self.list.addMenu(said("Take off your own list"))
        for table in reference.tables(memory):
            if table.status == reference.OWN:
                self._add(forget, table.title, table.rule.source, self._forget_table, table.code)
        for one in reference.rules(memory):
            if one.place == reference.OWN:
                self._add(forget, one.rule.title, one.rule.source, self._forget_rule, one.rule.code)
        for place in reference.own_holiday_places(memory):
            self._add(
                forget, said("Holidays: {place}", place=place), "", self._forget_holidays, place
            )
        forget.setEnabled(not forget.isEmpty())

    def _carried(self) -> Any:
        action = self.sender()
        return action.data() if isinstance(action, QAction) else None

    @Slot()
    def _use_table(self) -> None:
        table = self._carried()
        if table is not None:
            self.chosen.emit("depreciation", table.rule)

    @Slot()
    def _use_rule(self) -> None:
        one, terms = self._carried(), self._terms()
        if one is not None and terms is not None:
            self.chosen.emit("deadlines", reference.with_rule(terms.deadlines, one.rule))

    @Slot()
    def _use_holidays(self) -> None:
        calendar, terms = self._carried(), self._terms()
        if calendar is not None and terms is not None:
            self.chosen.emit("holidays", reference.with_holidays(terms.holidays, calendar))

    @Slot()
    def _keep_holidays(self) -> None:
        memory, terms = self._context.register, self._terms()
        if memory is None or terms is None or terms.holidays is None:
            return
        calendar = terms.holidays
        kept = self._context.attempt(lambda: reference.keep_holidays(memory, calendar))
        if kept is not None:
            self._context.message.emit(
                said("The holidays of {place} are kept for other claims.", place=kept.place)
            )

    @Slot()
    def _forget_holidays(self) -> None:
        memory, place = self._context.register, self._carried()
        if memory is not None and place is not None:
            self._context.attempt(lambda: reference.forget_own_holidays(memory, place))

    @Slot()
    def _keep_table(self) -> None:
        memory, terms = self._context.register, self._terms()
        if memory is None or not isinstance(terms.depreciation, DepreciationTable):
            return
        title = NameDialog.ask(
            said("Keep the table"), said("&Title"), (terms.depreciation.source,), self
        )
        if title:
            kept = self._context.attempt(
                lambda: reference.keep_table(memory, title, terms.depreciation)
            )
            if kept is not None:
                self._context.message.emit(
                    said("“{title}” is kept for other claims.", title=kept.title)
                )

    @Slot()
    def _keep_rules(self) -> None:
        memory, terms = self._context.register, self._terms()
        if memory is None or terms is None:
            return
        kept = self._context.attempt(
            lambda: [reference.keep_rule(memory, rule) for rule in terms.deadlines]
        )
        if kept is not None:
            self._context.message.emit(
                said_of(
                    len(kept),
                    "{count} deadline kept for other claims.",
                    "{count} deadlines kept for other claims.",
                )
            )

    @Slot()
    def _forget_table(self) -> None:
        memory, code = self._context.register, self._carried()
        if memory is not None and code is not None:
            self._context.attempt(lambda: reference.forget_own_table(memory, code))

    @Slot()
    def _forget_rule(self) -> None:
        memory, code = self._context.register, self._carried()
        if memory is not None and code is not None:
            self._context.attempt(lambda: reference.forget_own_rule(memory, code))
