"""The papers that the claim's policy asks for: which are there, and what is asked at all."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QPushButton,
    QScrollArea,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.wanted_papers import (
    PAPER_NAMES,
    USUAL_PAPERS,
    PaperState,
    paper_states,
    state_wanted_papers,
)
from ldapp.claim.policy import WantedPaper
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label, LabelledRows, MessageStrip
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of

if TYPE_CHECKING:
    from ldapp.casework.open_claim import OpenClaim

_WHEN = (
    (None, marked("not asked for")),
    ("always", marked("with every claim")),
    ("theft", marked("after each theft or vandalism")),
    ("damage", marked("for each damage")),
    ("replacement", marked("for each replacement")),
)

_COLUMNS: tuple[Column[PaperState], ...] = (
    Column(
        name="state",
        title=marked("State"),
        text=lambda one: said("✓ there") if one.state == "there" else said("! missing"),
        role=lambda one: None if one.state == "there" else "amber",
        spoken=lambda one: said("there") if one.state == "there" else said("missing"),
        width=12,
    ),
    Column(name="what", title=marked("Paper"), text=lambda one: one.what, width=32, bold=True),
    Column(
        name="concerns",
        title=marked("For"),
        text=lambda one: one.concerns or said("the whole claim"),
        width=30,
    ),
    Column(name="title", title=marked("Document"), text=lambda one: one.title, width=28),
    Column(name="clause", title=marked("Clause"), text=lambda one: one.clause, width=10),
)


class WantedPapersDialog(QDialog):
    """A checklist over the claim's documents, and the policy's list that it follows."""

    place_wanted = Signal(object)
    """The Place where a missing paper belongs."""

    def __init__(self, desk: OpenClaim, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setWindowTitle(said("Papers that the policy asks for"))
        self.resize(GRID * 120, GRID * 62)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        self.summary = Label("", TypeSize.LARGE, bold=True)
        column.addWidget(self.summary)
        self.source = Label("", TypeSize.SMALL, muted=True, wrap=True)
        column.addWidget(self.source)
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.model = RowsModel(
            _COLUMNS, lambda one: (one.kind, one.concerns, one.place), parent=self
        )
        self.table = TableView(said("Papers that the policy asks for"))
        self.table.setModel(self.model)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.opened.connect(self._on_opened)
        tabs = QTabWidget()
        tabs.setDocumentMode(True)
        tabs.setAccessibleName(said("Papers and what is asked for"))
        tabs.addTab(self.table, said("&Checklist"))
        tabs.addTab(self._asked(), said("&What the policy asks for"))
        column.addWidget(tabs, 1)
        self.tabs = tabs
        close = QPushButton(said("Close"))
        close.clicked.connect(self.accept)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self._show()

    def _asked(self) -> QWidget:
        rows = LabelledRows()
        self.fields: dict[str, ChoiceField] = {}
        for kind, name in PAPER_NAMES.items():
            field = ChoiceField([(value, said(label)) for value, label in _WHEN])
            field.setProperty("kind", kind)
            field.committed.connect(self._on_asked)
            rows.add(said(name).replace("&", "&&"), field)
            self.fields[kind] = field
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setWidget(rows)
        return area

    def _wanted(self) -> tuple[WantedPaper, ...]:
        policy = self._desk.claim.policy
        return () if policy is None else policy.terms.papers or USUAL_PAPERS

    def _show(self) -> None:
        policy = self._desk.claim.policy
        states = paper_states(self._desk.claim)
        missing = sum(one.state == "missing" for one in states)
        self.model.set_rows(states)
        self.tabs.setEnabled(policy is not None)
        if policy is None:
            self.summary.setText(said("This claim has no policy yet"))
            self.source.setText(said("Add it under Papers; what it asks for is then listed here."))
            return
        self.summary.setText(
            said_of(missing, "{count} paper missing", "{count} papers missing")
            if missing
            else said("Every paper is there")
        )
        self.source.setText(
            said("As the policy says; choose there what it asks for.")
            if policy.terms.papers
            else said(
                "The policy does not say what it asks for: these are the usual papers "
                "(common practice, no source). The policy's wording decides."
            )
        )
        when: dict[str, str] = {one.kind: one.when for one in self._wanted()}
        for kind, field in self.fields.items():
            field.set_value(when.get(kind))

    @Slot(object)
    def _on_asked(self, when: Any) -> None:
        field = self.sender()
        if field is None:
            return
        kind = field.property("kind")
        before = {one.kind: one for one in self._wanted()}
        if when is None:
            before.pop(kind, None)
        else:
            one = before.get(kind) or WantedPaper(kind=kind)
            before[kind] = dataclasses.replace(one, when=when)
        try:
            state_wanted_papers(self._desk, tuple(before.values()))
        except LdappError as error:
            self.strip.refuse(str(error))
        self._show()

    @Slot(object)
    def _on_opened(self, row: PaperState | None) -> None:
        if row is not None:
            self.place_wanted.emit(row.place)
            self.accept()
