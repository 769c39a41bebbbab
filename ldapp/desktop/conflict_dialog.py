"""Two versions of a claim side by side: theirs in the library, mine not saved yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.desktop.theme import GRID, Role, TypeSize
from ldapp.desktop.widgets.pieces import Label, MessageStrip, primary_button
from ldapp.desktop.widgets.table_model import CellEdit, Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.errors import LdappError
from ldapp.language import marked, marked_in, said, said_in, said_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ldapp.casework.conflicts import Conflict, FieldPair, RecordKey, RecordPair
    from ldapp.casework.open_claim import OpenClaim

_CHOICES = (("mine", marked("keep mine")), ("theirs", marked("take theirs")))


class _Line:
    """One field of one record, and which version of the record is taken."""

    __slots__ = ("choice", "field", "is_first", "record")

    def __init__(
        self, record: RecordPair, field: FieldPair, *, is_first: bool, choice: str
    ) -> None:
        self.record, self.field, self.is_first, self.choice = record, field, is_first, choice


def _choices() -> tuple[tuple[str, str], ...]:
    return tuple((choice, said(label)) for choice, label in _CHOICES)


def _role(line: _Line) -> Role | None:
    return "amber" if line.record.both and line.is_first else None


def _record_text(line: _Line) -> str:
    if not line.is_first:
        return ""
    return (
        said("! {name} (both changed it)", name=line.record.name)
        if line.record.both
        else line.record.name
    )


_COLUMNS: tuple[Column[_Line], ...] = (
    Column(
        name="record",
        title=marked_in("what was changed", "Record"),
        text=_record_text,
        role=_role,
        width=36,
        bold=True,
        tip=lambda line: line.record.name,
    ),
    Column(name="field", title=marked("Field"), text=lambda line: line.field.name, width=18),
    Column(
        name="theirs",
        title=marked("Theirs, in the library"),
        text=lambda line: line.field.theirs,
        width=30,
        tip=lambda line: line.field.theirs,
    ),
    Column(
        name="mine",
        title=marked("Mine, not saved yet"),
        text=lambda line: line.field.mine,
        width=30,
        tip=lambda line: line.field.mine,
    ),
    Column(
        name="choice",
        title=marked("For this record"),
        text=lambda line: said(dict(_CHOICES)[line.choice]) if line.is_first else "",
        edit_text=lambda line: line.choice,
        choices=lambda line: _choices() if line.is_first else (),
        editable=True,
        width=16,
    ),
)


class ConflictDialog(QDialog):
    """Choose record by record; what is kept of mine is saved as a new change on top of theirs."""

    def __init__(self, desk: OpenClaim, conflict: Conflict, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setWindowTitle(said("Two versions of this claim"))
        self.resize(GRID * 140, GRID * 70)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        self.title = Label("", TypeSize.LARGE, bold=True, wrap=True)
        column.addWidget(self.title)
        self.remark = Label("", muted=True, wrap=True)
        column.addWidget(self.remark)
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.model = RowsModel(
            _COLUMNS,
            lambda line: (line.record.key, line.field.name),
            writer=self._choose,
            parent=self,
        )
        self.table = TableView(said("Records that differ"))
        self.table.setModel(self.model)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        column.addWidget(self.table, 1)
        row = QHBoxLayout()
        row.setSpacing(GRID)
        for text, slot in (
            (said("Take theirs for all"), self._all_theirs),
            (said("Keep mine for all"), self._all_mine),
        ):
            button = QPushButton(text)
            button.clicked.connect(slot)
            row.addWidget(button)
        row.addStretch(1)
        later = QPushButton(said("Decide later"))
        later.clicked.connect(self.reject)
        row.addWidget(later)
        self.save_button = primary_button(said("Save"))
        self.save_button.clicked.connect(self._save)
        row.addWidget(self.save_button)
        column.addLayout(row)
        self._lines: list[_Line] = []
        self._show(conflict)

    def _show(self, conflict: Conflict) -> None:
        both = sum(one.both for one in conflict.records)
        self.title.setText(
            said(
                "{who} saved this claim before your change “{label}”",
                who=conflict.who or said("Somebody"),
                label=conflict.label,
            )
        )
        self.remark.setText(
            said_of(
                len(conflict.records),
                "Everything of theirs is in the library and stays. You changed {count} record; "
                "{both} of them they changed too. Choose for each whether yours goes on "
                "top of theirs, as a change of its own.",
                "Everything of theirs is in the library and stays. You changed {count} records; "
                "{both} of them they changed too. Choose for each whether yours goes on "
                "top of theirs, as a change of its own.",
                both=both or said_in("how many of several records", "none"),
            )
        )
        # What only I changed loses nobody's work; where both did, theirs stands until chosen.
        self._lines = [
            _Line(
                record,
                field,
                is_first=place == 0,
                choice="theirs" if record.both else "mine",
            )
            for record in conflict.records
            for place, field in enumerate(record.fields)
        ]
        self.model.set_rows(self._lines)

    def chosen(self) -> list[RecordKey]:
        """Return the records of which mine is kept."""
        return [line.record.key for line in self._lines if line.is_first and line.choice == "mine"]

    def _choose(self, edits: Sequence[CellEdit]) -> bool:
        for edit in edits:
            if edit.text in dict(_CHOICES):
                self._set(edit.row.record.key, edit.text)
        self.model.update_all()
        return True

    def _set(self, key: RecordKey | None, choice: str) -> None:
        for line in self._lines:
            if key is None or line.record.key == key:
                line.choice = choice

    @Slot()
    def _all_theirs(self) -> None:
        self._set(None, "theirs")
        self.model.update_all()

    @Slot()
    def _all_mine(self) -> None:
        self._set(None, "mine")
        self.model.update_all()

    @Slot()
    def _save(self) -> None:
        try:
            self._desk.settle_conflict(self.chosen())
        except LdappError as error:
            again = self._desk.conflict()
            if again is not None:
                self._show(again)
            self.strip.refuse(str(error))
            return
        self.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter in the table choose, not save."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.accept()
            return
        super().keyPressEvent(event)
