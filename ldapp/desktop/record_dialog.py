"""The record of a claim's changes: who changed what, when, and from what to what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QLineEdit,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.record_changes import ChangedField, changed_fields
from ldapp.claim.journal import EntryOutline
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, MessageStrip
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.errors import LdappError
from ldapp.language import marked, marked_in, said, said_of
from ldapp.local_forms import day_in_digits

if TYPE_CHECKING:
    from ldapp.casework.open_claim import OpenClaim


def _when(one: EntryOutline) -> str:
    local = one.at.astimezone()
    return f"{day_in_digits(local.date())} {local:%H:%M}"


_ENTRIES: tuple[Column[EntryOutline], ...] = (
    Column(
        name="number",
        title=marked("No."),
        text=lambda one: str(one.number),
        key=lambda one: one.number,
        right=True,
        width=7,
    ),
    Column(name="at", title=marked("When"), text=_when, key=lambda one: one.at, width=18),
    Column(name="who", title=marked("Who"), text=lambda one: one.who, width=18),
    Column(name="label", title=marked("What"), text=lambda one: one.label, width=44),
    Column(
        name="undoes",
        title=marked("Takes back"),
        text=lambda one: "" if one.undoes is None else said("entry {number}", number=one.undoes),
        key=lambda one: one.undoes,
        width=14,
    ),
)

_FIELDS: tuple[Column[ChangedField], ...] = (
    Column(
        name="record",
        title=marked_in("what was changed", "Record"),
        text=lambda one: one.record,
        width=34,
        bold=True,
    ),
    Column(name="field", title=marked("Field"), text=lambda one: one.field, width=20),
    Column(
        name="before",
        title=marked("Before"),
        text=lambda one: one.before,
        width=30,
        tip=lambda one: one.before,
    ),
    Column(
        name="after",
        title=marked("After"),
        text=lambda one: one.after,
        width=30,
        tip=lambda one: one.after,
    ),
)


class RecordDialog(QDialog):
    """Entries above, what the chosen one changed below."""

    def __init__(self, desk: OpenClaim, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setWindowTitle(said("Record of changes"))
        self.resize(GRID * 130, GRID * 80)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        outline = desk.outline()
        people = sorted({one.who for one in outline if one.who}, key=str.casefold)
        column.addWidget(
            Label(
                said_of(
                    len(outline),
                    "{count} entry by {people}",
                    "{count} entries by {people}",
                    people=", ".join(people) or said("nobody"),
                ),
                TypeSize.LARGE,
                bold=True,
                wrap=True,
            )
        )
        self.search = QLineEdit()
        self.search.setPlaceholderText(said("Search person or change"))
        self.search.setAccessibleName(said("Search the record of changes"))
        self.search.setClearButtonEnabled(True)
        column.addWidget(self.search)
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.entries_model = RowsModel(_ENTRIES, lambda one: one.number, parent=self)
        self.entries_model.set_rows(reversed(outline))
        self.search.textChanged.connect(self.entries_model.search)
        self.entries = _table(said("Entries"), self.entries_model)
        self.entries.selectionModel().currentRowChanged.connect(self._show_entry)
        self.fields_model = RowsModel(_FIELDS, lambda one: one.place, parent=self)
        self.fields = _table(said("What the entry changed"), self.fields_model)
        splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.addWidget(self.entries)
        splitter.addWidget(self.fields)
        splitter.setChildrenCollapsible(False)
        column.addWidget(splitter, 1)
        close = QPushButton(said("Close"))
        close.clicked.connect(self.accept)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        if outline:
            self.entries.selectRow(0)

    @Slot()
    def _show_entry(self) -> None:
        row: EntryOutline | None = self.entries.current_row()
        if row is None:
            self.fields_model.set_rows(())
            return
        try:
            self.fields_model.set_rows(changed_fields(self._desk, row.number))
        except LdappError as error:
            self.strip.refuse(str(error))


def _table(name: str, model: RowsModel[EntryOutline] | RowsModel[ChangedField]) -> TableView:
    table = TableView(name)
    table.setModel(model)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    return table
