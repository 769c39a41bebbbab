"""Proposed matches of charges with kit lines and findings, each with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import charges as work
from ldapp.casework.charge_matching import Match
from ldapp.casework.edit import find
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.said import found_text, line_text
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, primary_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said, said_of


class MatchRow(NamedTuple):
    """A proposed match with its texts."""

    match: Match
    charge: str
    line: str
    finding: str


COLUMNS: tuple[Column[MatchRow], ...] = (
    Column(name="charge", title=marked("Charge"), text=lambda row: row.charge, width=30),
    Column(name="line", title=marked("Probably for"), text=lambda row: row.line, width=28),
    Column(
        name="finding",
        title=marked("Finding"),
        text=lambda row: row.finding or said("none yet"),
        width=20,
    ),
    Column(
        name="reason",
        title=marked("Why"),
        text=lambda row: row.match.reason,
        tip=lambda row: row.match.reason,
        width=40,
    ),
)


class MatchesPanel(QWidget):
    """Lists proposed matches; the person accepts some or all."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        top = QHBoxLayout()
        self._title = Label("", TypeSize.LARGE, bold=True)
        top.addWidget(self._title, 1)
        self.accept_chosen = QPushButton(said("&Accept chosen"))
        self.accept_all = primary_button(said("Accept a&ll"))
        top.addWidget(self.accept_chosen)
        top.addWidget(self.accept_all)
        column.addLayout(top)
        self.model: RowsModel[MatchRow] = RowsModel(
            COLUMNS, lambda row: row.match.charge, parent=self
        )
        self.table = TableView(said("Proposed matches"))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setModel(self.model)
        column.addWidget(self.table, 1)
        self.accept_chosen.clicked.connect(self._accept_chosen)
        self.accept_all.clicked.connect(self._accept_all)
        self.hide()

    def show_matches(self, matches: Sequence[Match]) -> None:
        """Show these proposals; none hides the panel."""
        claim = self._context.claim
        charges = {one.id: one for invoice in claim.invoices for one in invoice.charges}
        rows = [
            MatchRow(
                match,
                f"{charges[match.charge].number} · {charges[match.charge].description}",
                line_text(find(claim.kit, match.line)),
                found_text(finding) if (finding := find(claim.findings, match.finding)) else "",
            )
            for match in matches
            if match.charge in charges
        ]
        self.model.set_rows(rows)
        self._title.setText(
            said_of(len(rows), "{count} proposed match", "{count} proposed matches")
        )
        self.setVisible(bool(rows))

    @Slot()
    def _accept_all(self) -> None:
        self._accept(list(self.model.rows))

    @Slot()
    def _accept_chosen(self) -> None:
        self._accept(self.table.selected_rows())

    def _accept(self, rows: Sequence[MatchRow]) -> None:
        if rows:
            matches = [row.match for row in rows]
            self._context.attempt(lambda: work.accept_matches(self._context.desk, matches))
