"""The Findings page: what the counts say, what is damaged, and which event caused it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import ClassVar

from PySide6.QtCore import QModelIndex, Qt, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import findings as work
from ldapp.casework.edit import find
from ldapp.casework.places import Page, Place
from ldapp.claim.findings import Finding, FindingKind
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.axis_figure import axis_figure
from ldapp.desktop.pages.custody_axis import CustodyAxis
from ldapp.desktop.pages.finding_forms import FindingForm, OccurrenceForm
from ldapp.desktop.pages.finding_rows import (
    FindingRow,
    FindingsModel,
    ProposalRow,
    edited,
    finding_rows,
    proposal_rows,
    proposals_model,
)
from ldapp.desktop.pages.first_row import FirstRow
from ldapp.desktop.pages.occurrence_cards import UNEXPLAINED, OccurrenceCards
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.pages.said import line_text
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import EmptyState, Label, primary_button
from ldapp.desktop.widgets.table_model import CellEdit
from ldapp.desktop.widgets.table_view import TableView
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of
from ldapp.reckoning.proposals import ProposedFinding

_KINDS = frozenset(
    {"finding", "occurrence", "kit_line", "count", "count_entry", "movement", "agreement"}
    | {"document", "party", "photo", "reckoning", "claim"}
)
_NEW = "new"


class FindingsPage(ClaimPage):
    """Proposals, findings, occurrences and the axis of custody; the form of the chosen one."""

    name: ClassVar[Page] = "findings"
    title: ClassVar[str] = marked("Findings")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self.proposals = proposals_model(self)
        self.proposal_table = TableView(said("Proposed findings"))
        self.proposal_table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.proposal_table.setModel(self.proposals)
        self.accept_chosen = QPushButton(said("&Accept chosen"))
        self.accept_all = primary_button(said("Accept a&ll"))
        self.model = FindingsModel(self._write, self)
        self.table = TableView(said("Findings"))
        self.table.setModel(self.model)
        self._first = FirstRow(self.table, self._is_nothing_shown, self._on_row)
        self.table.setDragEnabled(True)
        self.table.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.cards = OccurrenceCards()
        self.axis = CustodyAxis()
        self._nothing = EmptyState(
            said("Findings come from the counts, or are entered here when something is damaged."),
            said("Enter damage"),
            said("Enter a missing item"),
        )
        self._hint = Label(
            said("Choose a finding or an occurrence to read and change it."), muted=True, wrap=True
        )
        self._right = QStackedWidget()
        self._tables = QStackedWidget()
        self._lay_out()
        self._make_actions()
        self._connect()

    def _lay_out(self) -> None:
        self._proposed = QWidget()
        column = QVBoxLayout(self._proposed)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        top = QHBoxLayout()
        self._proposed_title = Label("", TypeSize.LARGE, bold=True)
        top.addWidget(self._proposed_title, 1)
        top.addWidget(self.accept_chosen)
        top.addWidget(self.accept_all)
        column.addLayout(top)
        column.addWidget(self.proposal_table, 1)
        self._tables.addWidget(self.table)
        self._tables.addWidget(self._nothing)
        self._found = self._titled(said("Findings"), self._tables, TypeSize.LARGE)
        self.add_damage = QPushButton(said("Enter &damage"))
        self.add_missing = QPushButton(said("Enter a &missing item"))
        self.put_under = QPushButton(said("P&ut under an occurrence"))
        for button in (self.add_damage, self.add_missing, self.put_under):
            self._found_head.addWidget(button)
        cards = self._titled(
            said("Occurrences: drag findings onto the event that caused them"), self.cards
        )
        self.new_occurrence = QPushButton(said("&New occurrence"))
        self._found_head.addWidget(self.new_occurrence)
        axis = QScrollArea()
        axis.setWidgetResizable(True)
        axis.setFrameShape(QFrame.Shape.NoFrame)
        axis.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        axis.setAccessibleName(said("Custody over time, scrolled"))
        axis.setWidget(self.axis)
        timeline = self._titled(said("Custody over time"), axis)
        left = QSplitter(Qt.Orientation.Vertical)
        left.setChildrenCollapsible(False)
        for part in (self._proposed, self._found, cards, timeline):
            left.addWidget(part)
        left.setSizes([150, 240, 170, 220])
        left.setStretchFactor(1, 1)
        hint = QWidget()
        column = QVBoxLayout(hint)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.addWidget(self._hint)
        column.addStretch(1)
        self._right.addWidget(hint)
        whole = QSplitter(Qt.Orientation.Horizontal)
        whole.setChildrenCollapsible(False)
        whole.addWidget(left)
        whole.addWidget(self._right)
        whole.setStretchFactor(0, 1)
        whole.setSizes([640, 340])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(whole)

    def _titled(self, title: str, widget: QWidget, size: TypeSize = TypeSize.NORMAL) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, 0)
        column.setSpacing(GRID)
        head = QHBoxLayout()
        head.addWidget(Label(title, size, bold=True), 1)
        column.addLayout(head)
        column.addWidget(widget, 1)
        self._found_head = head
        return part

    def _make_actions(self) -> None:
        for says, icon, key, slot in (
            (said("Accept all proposed findings"), "check", "", self._accept_all),
            (said("Enter damage"), "add", "Ctrl+D", self._enter_damage),
            (said("Enter a missing item"), "add", "", self._enter_missing),
            (said("Put findings under an occurrence"), "link", "Ctrl+U", self._ask_occurrence),
            (said("New occurrence"), "add", "", self._new_occurrence),
        ):
            self.offer(says, icon, key, slot)

    def _connect(self) -> None:
        self.accept_chosen.clicked.connect(self._accept_chosen)
        self.accept_all.clicked.connect(self._accept_all)
        self.add_damage.clicked.connect(self._enter_damage)
        self.add_missing.clicked.connect(self._enter_missing)
        self.put_under.clicked.connect(self._ask_occurrence)
        self.new_occurrence.clicked.connect(self._new_occurrence)
        self._nothing.acted.connect(self._enter_damage)
        self._nothing.second_acted.connect(self._enter_missing)
        self.table.selectionModel().currentRowChanged.connect(self._on_row)
        self.table.remove_wanted.connect(self._remove)
        self.cards.chosen.connect(self._show_occurrence)
        self.cards.dropped.connect(self._on_dropped)
        self.axis.chosen.connect(self._on_axis)

    # Forty fields take a while to make: each form waits until something is chosen for it.

    @cached_property
    def finding_form(self) -> FindingForm:
        """The form of the chosen finding."""
        form = FindingForm(self.context)
        form.working_asked.connect(self._go_to_working)
        self._right.addWidget(form)
        return form

    @cached_property
    def occurrence_form(self) -> OccurrenceForm:
        """The form of the chosen occurrence."""
        form = OccurrenceForm(self.context)
        self._right.addWidget(form)
        return form

    # --- showing -------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show findings, occurrences and the axis as they stand."""
        if kinds != EVERYTHING and not kinds & _KINDS:
            return
        claim, reckoning = self.context.claim, self.context.reckoning
        self.model.set_rows(finding_rows(claim, reckoning))
        self._tables.setCurrentIndex(0 if claim.findings else 1)
        self.put_under.setEnabled(bool(claim.findings))
        self.cards.show_claim(claim, reckoning)
        self.axis.show_figure(axis_figure(claim, reckoning))
        self._show_again()
        self._propose()

    def _propose(self) -> None:
        claim = self.context.claim

        def compute(progress: Progress) -> tuple[ProposedFinding, ...]:
            del progress
            return work.proposals(claim)

        job = self.context.jobs.run(said("Proposals"), compute, self._on_proposals)
        job.failed.connect(self.context.failed)

    @Slot(object)
    def _on_proposals(self, proposals: tuple[ProposedFinding, ...]) -> None:
        self.proposals.set_rows(proposal_rows(self.context.claim, proposals))
        self._proposed_title.setText(
            said_of(
                len(proposals),
                "The counts say {count} thing that no finding says yet",
                "The counts say {count} things that no finding says yet",
            )
        )
        self._proposed.setVisible(bool(proposals))

    def _show_again(self) -> None:
        """Show the record that was shown, as it stands now."""
        shown = self._right.currentWidget()
        claim = self.context.claim
        if isinstance(shown, FindingForm) and shown.finding is not None:
            finding = find(claim.findings, shown.finding.id)
            if finding is not None:
                self.finding_form.show_finding(finding)
                return
        elif isinstance(shown, OccurrenceForm) and shown.occurrence is not None:
            occurrence = find(claim.occurrences, shown.occurrence.id)
            if occurrence is not None:
                self.occurrence_form.show_occurrence(occurrence)
                return
        self._right.setCurrentIndex(0)
        self._first.choose_soon()

    def _is_nothing_shown(self) -> bool:
        return self._right.currentIndex() == 0

    def shut_down(self) -> None:
        """Choose nothing more; called before the claim is closed."""
        self._first.stop()
        super().shut_down()

    @Slot(QModelIndex, QModelIndex)
    def _on_row(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        row = self.model.row_at(current)
        if row is not None:
            self._show_finding(row.finding.id)

    def _show_finding(self, key: str) -> None:
        finding = find(self.context.claim.findings, key)
        if finding is not None:
            self.cards.mark("")
            self.finding_form.show_finding(finding)
            self._right.setCurrentWidget(self.finding_form)

    @Slot(str)
    def _show_occurrence(self, key: str) -> None:
        occurrence = find(self.context.claim.occurrences, key)
        if occurrence is not None:
            self.cards.mark(key)
            self.occurrence_form.show_occurrence(occurrence)
            self._right.setCurrentWidget(self.occurrence_form)

    def show_place(self, place: Place) -> None:
        """Show a finding or an occurrence."""
        if place.kind == "finding" and self.table.go_to_row(place.key):
            self._show_finding(place.key)
            self.table.setFocus()
            if place.field in self.finding_form.form.fields:
                self.finding_form.form.fields[place.field].setFocus()
        elif place.kind == "occurrence":
            self._show_occurrence(place.key)
            card = self.cards.cards.get(place.key)
            if card is not None:
                card.setFocus()
                self.cards.ensureWidgetVisible(card)
        elif self._proposed.isVisible():
            self.accept_all.setFocus()

    @Slot(str, str)
    def _on_axis(self, kind: str, key: str) -> None:
        if kind == "occurrence":
            self._show_occurrence(key)
        elif kind == "count":
            self.context.go_to.emit(Place("counts", "count", key))
        elif kind == "kit_line":
            one = next((one for one in self.context.claim.findings if one.line == key), None)
            if one is not None:
                self.table.go_to_row(one.id)

    @Slot(str)
    def _go_to_working(self, finding: str) -> None:
        self.context.go_to.emit(Place("reckoning", "finding", finding))

    # --- changing ------------------------------------------------------------------------

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        changed: dict[str, Finding] = {}
        try:
            for edit in edits:
                row: FindingRow = edit.row
                known = changed.get(row.finding.id, row.finding)
                changed[row.finding.id] = edited(edit._replace(row=row._replace(finding=known)))
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        label = said_of(len(changed), "Change {count} finding", "Change {count} findings")
        return bool(
            self.context.attempt(
                lambda: work.put_findings(self.context.desk, changed.values(), label)
            )
        )

    @Slot()
    def _accept_all(self) -> None:
        self._accept(list(self.proposals.rows))

    @Slot()
    def _accept_chosen(self) -> None:
        self._accept(self.proposal_table.selected_rows())

    def _accept(self, rows: Sequence[ProposalRow]) -> None:
        if rows:
            findings = [row.finding for row in rows]
            self.context.attempt(lambda: work.accept_proposals(self.context.desk, findings))

    @Slot()
    def _enter_damage(self) -> None:
        self._enter("damaged", said("Which line is damaged"))

    @Slot()
    def _enter_missing(self) -> None:
        self._enter("missing", said("Which line is missing"))

    def _enter(self, kind: FindingKind, question: str) -> None:
        lines = [Choice(line.id, line_text(line), line.location) for line in self.context.claim.kit]
        if not lines:
            self.context.message.emit(
                said("The kit list is empty. Import it on the Kit page first.")
            )
            return
        key = RecordChooser.ask(question, lines, self)
        if key is None:
            return
        finding = self.context.attempt(lambda: work.add_finding(self.context.desk, key, kind))
        if finding is not None:
            self.table.go_to_row(finding.id)
            self._show_finding(finding.id)
            self.finding_form.form.fields["narrative"].setFocus()

    @Slot()
    def _new_occurrence(self) -> None:
        occurrence = self.context.attempt(
            lambda: work.add_occurrence(self.context.desk, said("New occurrence"))
        )
        if occurrence is not None:
            self._show_occurrence(occurrence.id)
            self.occurrence_form.form.fields["title"].setFocus()

    @Slot()
    def _ask_occurrence(self) -> None:
        ids = [row.finding.id for row in self.table.selected_rows()]
        if not ids:
            self.context.message.emit(said("Choose the findings in the table first."))
            return
        choices = [
            Choice(_NEW, said("New occurrence")),
            *(Choice(one.id, one.title, one.place) for one in self.context.claim.occurrences),
            Choice(UNEXPLAINED, said("Explained by no event")),
        ]
        key = RecordChooser.ask(said("Put under which occurrence"), choices, self)
        if key is None:
            return
        if key == _NEW:
            made = self.context.attempt(
                lambda: work.add_occurrence(self.context.desk, said("New occurrence"))
            )
            if made is None:
                return
            key = made.id
        self._on_dropped(key, tuple(ids))

    @Slot(str, object)
    def _on_dropped(self, key: str, ids: tuple[str, ...]) -> None:
        self.context.attempt(lambda: work.assign_to_occurrence(self.context.desk, ids, key or None))

    @Slot(object)
    def _remove(self, rows: list[FindingRow]) -> None:
        ids = [row.finding.id for row in rows]
        if ids:
            self.context.attempt(lambda: work.remove_findings(self.context.desk, ids))
