"""The people and firms of a claim, as an editable table with the details of one beside it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QAbstractItemView, QPushButton, QWidget

from ldapp.casework import papers
from ldapp.casework.edit import find
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.casework.open_claim import new_id
from ldapp.casework.places import Place
from ldapp.claim.parties import Party
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.pages.paper_parts.panel import PaperPanel
from ldapp.desktop.pages.paper_parts.words import ROLES, chosen_by_words, said_choices, said_words
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import LongTextField, ParsedField, text_field
from ldapp.desktop.widgets.pieces import LabelledRows, Section
from ldapp.desktop.widgets.table_model import CellEdit, Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.errors import LdappError
from ldapp.language import marked, said


def _role_choices(party: Party) -> Sequence[tuple[str, str]]:
    del party
    return said_choices(ROLES)


PARTY_COLUMNS: tuple[Column[Party], ...] = (
    Column(
        name="role",
        title=marked("Role"),
        text=lambda party: said_words(ROLES, party.role),
        edit_text=lambda party: party.role,
        editable=True,
        choices=_role_choices,
        width=16,
    ),
    Column(
        name="name", title=marked("Name"), text=lambda party: party.name, editable=True, width=28
    ),
    Column(
        name="contact",
        title=marked("Contact"),
        text=lambda party: party.contact,
        editable=True,
        width=20,
    ),
    Column(
        name="email",
        title=marked("E-mail"),
        text=lambda party: party.email,
        editable=True,
        width=24,
    ),
    Column(
        name="phone", title=marked("Phone"), text=lambda party: party.phone, editable=True, width=16
    ),
)


class PartiesPanel(PaperPanel):
    """Add, edit and remove parties."""

    kinds = frozenset({"party"})
    spoken = marked("Parties")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        section = Section(said("Parties"))
        self.add_button = QPushButton(said("Add party"))
        keep_icon(self.add_button, "add")
        self.add_button.clicked.connect(self._on_add)
        self.remove_button = QPushButton(said("Remove"))
        self.remove_button.clicked.connect(self._on_remove)
        section.add_head(self.records_button())
        section.add_head(self.remove_button)
        section.add_head(self.add_button)
        self.model = RowsModel(
            PARTY_COLUMNS, lambda party: party.id, writer=self._write, parent=self
        )
        self.table = TableView(said("Parties"))
        self.table.setModel(self.model)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setMinimumHeight(GRID * 26)
        self.table.remove_wanted.connect(self._on_remove)
        self.table.selectionModel().currentRowChanged.connect(self._show_details)
        section.body.addWidget(self.table)
        self.column.addWidget(section)
        self._details = Section(said("Details"))
        rows = LabelledRows()
        self.fields: dict[str, ParsedField | LongTextField] = {
            "address": LongTextField(),
            "reference": text_field(),
            "note": LongTextField(lines=2),
        }
        rows.add(said("&Address"), self.fields["address"])
        rows.add(
            said("&Their reference"),
            self.fields["reference"],
            said("Customer, claim or student number."),
        )
        rows.add(said("&Note"), self.fields["note"], said("Private: printed in no dossier."))
        self._details.body.addWidget(rows)
        self.column.addWidget(self._details)
        self.column.addStretch(1)
        for name, field in self.fields.items():
            field.setProperty("attribute", name)
            field.committed.connect(self._on_detail)
            field.refused.connect(context.refuse)

    def refresh(self) -> None:
        """Show the parties."""
        self.model.set_rows(self.context.claim.parties)
        if self.table.current_row() is None and self.context.claim.parties:
            self.table.setCurrentIndex(self.model.index(0, 1))
        self._show_details()

    def show_place(self, place: Place) -> None:
        """Put the cursor on a party."""
        self.table.go_to_row(place.key, 1)
        self.table.setFocus()

    @Slot()
    def _show_details(self) -> None:
        party: Party | None = self.table.current_row()
        self._details.setVisible(party is not None)
        self.remove_button.setEnabled(party is not None)
        if party is not None:
            present = find(self.context.claim.parties, party.id) or party
            self._details.set_title(present.name or said("Details"))
            for name, field in self.fields.items():
                field.set_value(getattr(present, name) or None)

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        changed: dict[str, Party] = {}
        try:
            for row, column, text in edits:
                refuse_card_numbers(text)
                party = changed.get(row.id, row)
                value = text
                if column == "role":
                    role = chosen_by_words(ROLES, text)
                    if role is None:
                        raise LdappError(
                            said("“{text}” is no role. Choose one from the list.", text=text)
                        )
                    value = role
                changed[row.id] = dataclasses.replace(party, **{column: value})
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        done = [
            self.context.attempt(partial(papers.put_party, self.context.desk, one))
            for one in changed.values()
        ]
        return all(one is not None for one in done)

    @Slot(object)
    def _on_detail(self, value: Any) -> None:
        field, party = self.sender(), self.table.current_row()
        if field is None or party is None:
            return
        present = find(self.context.claim.parties, party.id) or party
        changed = dataclasses.replace(present, **{str(field.property("attribute")): value or ""})
        self.context.attempt(lambda: papers.put_party(self.context.desk, changed))

    @Slot()
    def _on_add(self) -> None:
        party = Party(id=new_id(), role="production", name="")
        self.context.attempt(lambda: papers.put_party(self.context.desk, party))
        if self.table.go_to_row(party.id, 1):
            self.table.setFocus()
            self.table.edit(self.table.currentIndex())

    @Slot()
    def _on_remove(self) -> None:
        party = self.table.current_row()
        if party is not None:
            self.context.attempt(lambda: papers.remove_party(self.context.desk, party.id))
