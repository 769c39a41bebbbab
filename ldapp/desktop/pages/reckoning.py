"""The Reckoning page: what is owed and to whom, who pays it, and how each amount comes about."""

from __future__ import annotations

from typing import ClassVar, NamedTuple

from PySide6.QtCore import QPoint, Qt, Slot
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QMenu,
    QPushButton,
    QRadioButton,
    QSplitter,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.places import Page, Place
from ldapp.casework.reckoning import with_strong_grounds_alone
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.both_readings import BothReadings, ReadingRow, reading_rows
from ldapp.desktop.pages.statement import Statement, statement
from ldapp.desktop.pages.what_if_panel import WhatIfPanel
from ldapp.desktop.pages.working_tree import StatementModel, WorkingTree
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import EmptyState, Figure, Label
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import marked, said
from ldapp.reckoning.result import Reckoning

_GO: dict[str, Page] = {
    "charge": "charges",
    "invoice": "charges",
    "finding": "findings",
    "occurrence": "findings",
    "kit_line": "kit",
    "count": "counts",
    "agreement": "papers",
    "policy": "papers",
}


class _Computed(NamedTuple):
    asked: int
    claim: Claim
    shown: Reckoning
    rows: Statement
    readings: list[ReadingRow]


class ReckoningPage(ClaimPage):
    """Large figures once, the statement below, what-if at the side."""

    name: ClassVar[Page] = "reckoning"
    title: ClassVar[str] = marked("Reckoning")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._shown: Reckoning | None = None
        self._asked = 0
        self._first = True
        self.owed = Figure(said("owed"))
        self.disputed = Figure(said("disputed"))
        self.others = Figure(said("paid by others"))
        self.borne = Figure(said("left to bear"))
        self.all_grounds = QRadioButton(said("&All grounds"))
        self.strong_grounds = QRadioButton(said("Only &strong grounds"))
        self.all_grounds.setChecked(True)
        self.currency = Label("", TypeSize.SMALL, muted=True)
        self.incomplete = Label("", wrap=True)
        self.incomplete.set_tone("amber")
        self.model = StatementModel(self)
        self.tree = WorkingTree(said("Statement"))
        self.tree.setModel(self.model)
        self.readings = BothReadings()
        self.views = QTabBar()
        self.views.setAccessibleName(said("Statement, or both readings"))
        self.views.setExpanding(False)
        self.views.setDrawBase(False)
        for title in (said("Statement"), said("Both readings")):
            self.views.addTab(title)
        self._views = QStackedWidget()
        self.what_if = WhatIfPanel(context)
        self.what_if.hide()
        self._what_if_button = QPushButton(said("&What if …"))
        self._copy_button = QPushButton(said("Copy with its wor&king"))
        self._unfold_button = QPushButton(said("&Unfold all"))
        self._stack = QStackedWidget()
        self._empty = EmptyState(
            said(
                "The reckoning follows from findings, terms and charges. Enter a finding "
                "or an invoice, and what is owed appears here with its working."
            ),
            said("Go to Findings"),
            said("Go to Charges"),
        )
        self._impossible = EmptyState(
            said(
                "A term cannot be as it is entered, so nothing is reckoned. The weak "
                "points name it."
            ),
            said("Go to Papers"),
        )
        self._lay_out()
        self._make_actions()

    def _lay_out(self) -> None:
        figures = QHBoxLayout()
        figures.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, 0)
        figures.setSpacing(GRID * 5)
        for figure in (self.owed, self.disputed, self.others, self.borne):
            figures.addWidget(figure)
        figures.addStretch(1)
        switches = QHBoxLayout()
        switches.setContentsMargins(GRID * 2, 0, GRID * 2, GRID)
        switches.setSpacing(GRID * 2)
        group = QButtonGroup(self)
        for button in (self.all_grounds, self.strong_grounds):
            group.addButton(button)
            switches.addWidget(button)
        switches.addWidget(self.currency, 1)
        for one in (self._unfold_button, self._copy_button):
            switches.addWidget(one)
        tabs = QHBoxLayout()
        tabs.setContentsMargins(GRID * 2, 0, GRID * 2, 0)
        tabs.addWidget(self.views)
        tabs.addStretch(1)
        tabs.addWidget(self._what_if_button)
        self.incomplete.setContentsMargins(GRID * 2, 0, GRID * 2, 0)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addLayout(figures)
        column.addWidget(self.incomplete)
        column.addLayout(tabs)
        column.addLayout(switches)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        self._views.addWidget(self.tree)
        self._views.addWidget(self.readings)
        split.addWidget(self._views)
        split.addWidget(self.what_if)
        split.setStretchFactor(0, 1)
        split.setSizes([700, 420])
        column.addWidget(split, 1)
        self._stack.addWidget(page)
        self._stack.addWidget(self._empty)
        self._stack.addWidget(self._impossible)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)

    def _make_actions(self) -> None:
        for says, icon, key, slot in (
            (said("Copy the amount with its working"), "copy", "", self.tree.copy_working),
            (said("What if: another deductible or basis"), "split", "Ctrl+I", self._show_what_if),
            (said("Both readings side by side"), "compare", "Ctrl+Shift+B", self._show_readings),
            (said("Unfold all amounts"), "chevron_down", "", self._unfold_all),
            (said("Fold all amounts"), "chevron_up", "", self.tree.collapseAll),
            (said("Go to what the amount is about"), "link", "", self._go_there),
        ):
            self.offer(says, icon, key, slot)
        self._what_if_button.clicked.connect(self._show_what_if)
        self._copy_button.clicked.connect(self._copy)
        self._unfold_button.clicked.connect(self._unfold_all)
        self.all_grounds.toggled.connect(self._on_switch)
        self.views.currentChanged.connect(self._on_view)
        self.readings.working_asked.connect(self._show_working)
        self._empty.acted.connect(self._go_to_findings)
        self._impossible.acted.connect(self._go_to_papers)
        self._empty.second_acted.connect(self._go_to_charges)
        self.tree.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.tree.customContextMenuRequested.connect(self._menu)

    # --- showing -------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show the latest reckoning."""
        del kinds
        claim = self.context.claim
        something = bool(claim.findings or any(one.charges for one in claim.invoices))
        impossible = self.context.up_to_date and self.context.reckoning is None
        self._stack.setCurrentIndex(1 if not something else 2 if impossible else 0)
        if something and self.context.reckoning is not None:
            self._compute()

    @Slot(bool)
    def _on_switch(self, on: bool) -> None:
        del on
        self._compute()

    def _compute(self) -> None:
        reckoning = self.context.reckoning
        if reckoning is None:
            return
        claim, verdicts = self.context.claim, dict(self.context.verdicts)
        strong = self.strong_grounds.isChecked()
        self._asked += 1
        asked = self._asked

        def compute(progress: Progress) -> _Computed:
            del progress
            shown = reckoning
            if strong:
                shown = with_strong_grounds_alone(claim, verdicts, reckoning.as_of)
            # Both readings always stand with all grounds: the strong ones have a column there.
            readings = reading_rows(claim, reckoning)
            return _Computed(asked, claim, shown, statement(claim, shown), readings)

        job = self.context.jobs.run("Statement", compute, self._on_computed)
        job.failed.connect(self.context.failed)

    @Slot(object)
    def _on_computed(self, outcome: _Computed) -> None:
        if outcome.asked != self._asked:
            return
        shown, rows = outcome.shown, outcome.rows
        self._shown = shown
        self.readings.show_readings(outcome.claim, outcome.readings)
        unfolded, place = self.tree.unfolded(), self.tree.verticalScrollBar().value()
        current = self.tree.current_entry()
        self.model.show_statement(rows)
        if self._first:
            self._first = False
            unfolded = [("section", "owed"), ("section", "borne"), ("section", "others")]
            unfolded += [one.key for one in rows.sections[0].under]
        self.tree.unfold(unfolded)
        if current is not None and current.key != ("", ""):
            self.tree.setCurrentIndex(self.model.index_of(current.key))
        self.tree.verticalScrollBar().setValue(place)
        totals = shown.totals
        for figure, amount in (
            (self.owed, totals.loss),
            (self.disputed, totals.disputed),
            (self.others, totals.paid_by_others),
            (self.borne, totals.renter),
        ):
            figure.show_figure(amount_text(amount, shown.currency))
        self.currency.setText(
            said("{currency} with the strong grounds alone", currency=shown.currency)
            if self.strong_grounds.isChecked()
            else shown.currency
        )
        lacking = [] if totals.complete else [said("Some amounts cannot be computed yet")]
        lacking += [one for result in shown.findings for one in result.lacking][:2]
        self.incomplete.setText(f"⚠ {'; '.join(dict.fromkeys(lacking))}." if lacking else "")
        self.incomplete.setVisible(bool(lacking))
        if self.what_if.isVisible():
            self.what_if.refresh()

    def show_place(self, place: Place) -> None:
        """Go to the working of a charge, a finding, an occurrence or a deadline."""
        self.views.setCurrentIndex(0)
        if place.kind:
            self.tree.show_key((place.kind, place.key))
        self.tree.setFocus()

    @Slot(int)
    def _on_view(self, number: int) -> None:
        self._views.setCurrentIndex(number)
        for one in (
            self.all_grounds,
            self.strong_grounds,
            self.currency,
            self._unfold_button,
            self._copy_button,
        ):
            one.setVisible(number == 0)

    @Slot()
    def _show_readings(self) -> None:
        self.views.setCurrentIndex(1 - self.views.currentIndex())
        shown = self.readings.table if self.views.currentIndex() else self.tree
        shown.setFocus()

    @Slot(str)
    def _show_working(self, charge: str) -> None:
        self.show_place(Place("reckoning", "charge", charge))

    # --- doing ---------------------------------------------------------------------------

    @Slot()
    def _show_what_if(self) -> None:
        self.what_if.setVisible(not self.what_if.isVisible())
        if self.what_if.isVisible():
            self.what_if.refresh()
            self.what_if.form.fields["deductible"].setFocus()

    @Slot()
    def _copy(self) -> None:
        if self.tree.current_entry() is None:
            self.context.message.emit(said("Choose an amount in the statement first."))
            return
        self.tree.copy_working()
        self.context.message.emit(said("The amount and its working are on the clipboard."))

    @Slot()
    def _unfold_all(self) -> None:
        index = self.tree.currentIndex()
        if index.isValid():
            self.tree.expandRecursively(index)
        else:
            self.tree.expandToDepth(2)

    @Slot()
    def _go_there(self) -> None:
        entry = self.tree.current_entry()
        if entry is None:
            return
        kind, key = entry.key
        if kind in ("paper", "term"):
            paper, _, term = key.rpartition(" ") if kind == "term" else (key, "", "")
            policy = self.context.claim.policy
            if policy is not None and policy.id == paper:
                self.context.go_to.emit(Place("papers", "policy", "", term))
            else:
                self.context.go_to.emit(Place("papers", "agreement", paper, term))
        elif kind in _GO:
            self.context.go_to.emit(Place(_GO[kind], kind, key))

    @Slot()
    def _go_to_papers(self) -> None:
        self.context.go_to.emit(Place("papers"))

    @Slot()
    def _go_to_findings(self) -> None:
        self.context.go_to.emit(Place("findings"))

    @Slot()
    def _go_to_charges(self) -> None:
        self.context.go_to.emit(Place("charges"))

    @Slot(QPoint)
    def _menu(self, at: QPoint) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addActions(self.actions())
        menu.popup(self.tree.viewport().mapToGlobal(at))
