"""What moved between two counts: added, exchanged, returned early, under a ticket."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import counts
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.casework.open_claim import new_id
from ldapp.claim.counts import Movement, MovementKind
from ldapp.claim.kit import KitLine
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.pages.kit_parts.columns import natural_key, split_list
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.table_model import CellEdit, Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import instant_text, parse_instant, parse_whole
from ldapp.errors import LdappError
from ldapp.language import marked, marked_in, said

MOVEMENT_NAMES: dict[MovementKind, str] = {
    "added": marked_in("movement", "added"),
    "exchanged": marked_in("movement", "exchanged"),
    "returned_early": marked_in("movement", "returned early"),
    "used_up": marked_in("movement", "used up"),
    "transferred": marked_in("movement", "transferred"),
}
_DIRECTIONS: dict[str, str] = {
    "one_for_one": marked("one for one"),
    "in": marked("this line gained"),
    "out": marked("this line lost"),
}


def _choices(names: Mapping[Any, str]) -> list[tuple[str, str]]:
    return [(value, said(label)) for value, label in names.items()]


class Movements(QWidget):
    """An editable table of all movements."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._line: KitLine | None = None
        self._lines: dict[str, KitLine] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, GRID * 2, GRID)
        row.setSpacing(GRID)
        self.model = RowsModel(self._columns(), lambda one: one.id, writer=self._write, parent=self)
        self.table = TableView(said("Movements"))
        self.table.setModel(self.model)
        self.table.remove_wanted.connect(self._remove)
        row.addWidget(self.table, 1)
        side = QVBoxLayout()
        side.setContentsMargins(0, GRID, 0, 0)
        self.add_button = QPushButton(said("Add movement"))
        keep_icon(self.add_button, "add")
        self.add_button.clicked.connect(self._on_add)
        remove = QPushButton(said("Remove"))
        remove.clicked.connect(self._on_remove)
        self._hint = Label("", muted=True, wrap=True)
        self._hint.setFixedWidth(GRID * 24)
        for widget in (self.add_button, remove, self._hint):
            side.addWidget(widget)
        side.addStretch(1)
        row.addLayout(side)

    def _columns(self) -> tuple[Column[Movement], ...]:
        return (
            Column(
                name="kind",
                title=marked("What"),
                text=lambda one: said(MOVEMENT_NAMES[one.kind]),
                edit_text=lambda one: one.kind,
                editable=True,
                choices=lambda _: _choices(MOVEMENT_NAMES),
                width=15,
            ),
            Column(
                name="line",
                title=marked("Line"),
                text=lambda one: self._lines[one.line].number if one.line in self._lines else "?",
                key=lambda one: natural_key(
                    self._lines[one.line].number if one.line in self._lines else ""
                ),
                editable=True,
                width=7,
            ),
            Column(
                name="description",
                title=marked("Description"),
                text=lambda one: (
                    self._lines[one.line].description
                    if one.line in self._lines
                    else said("removed")
                ),
                width=26,
            ),
            Column(
                name="quantity",
                title=marked("Units"),
                text=lambda one: str(one.quantity),
                key=lambda one: one.quantity,
                right=True,
                editable=True,
                width=7,
            ),
            Column(
                name="at",
                title=marked("When"),
                text=lambda one: instant_text(one.at),
                key=lambda one: one.at,
                editable=True,
                width=22,
            ),
            Column(
                name="ticket",
                title=marked("Ticket"),
                text=lambda one: one.ticket,
                editable=True,
                width=12,
            ),
            Column(
                name="direction",
                title=marked("Exchange"),
                text=lambda one: (
                    said(_DIRECTIONS[one.direction]) if one.kind == "exchanged" else ""
                ),
                edit_text=lambda one: one.direction,
                editable=True,
                choices=lambda _: _choices(_DIRECTIONS),
                width=16,
            ),
            Column(
                name="serials_out",
                title=marked("Serials out"),
                text=lambda one: ", ".join(one.serials_out),
                editable=True,
                width=16,
            ),
            Column(
                name="serials_in",
                title=marked("Serials in"),
                text=lambda one: ", ".join(one.serials_in),
                editable=True,
                width=16,
            ),
            Column(
                name="note",
                title=marked("Note"),
                text=lambda one: one.note,
                editable=True,
                width=20,
            ),
        )

    def refresh(self) -> None:
        """Show the movements of the claim."""
        claim = self.context.claim
        self._lines = {line.id: line for line in claim.kit}
        self.model.set_rows(claim.movements)

    def show_line(self, line: KitLine | None) -> None:
        """Know which line a new movement is for."""
        self._line = line
        self.add_button.setEnabled(line is not None)
        self._hint.setText(
            said(
                "For line {number}, {description}.",
                number=line.number,
                description=line.description,
            )
            if line
            else said("Put the cursor on the line that moved.")
        )

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        changed: dict[str, Movement] = {}
        try:
            for row, column, text in edits:
                movement = changed.get(row.id, row)
                value = self._value(column, text.strip())
                changed[row.id] = with_fields(movement, **{column: value})
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        done = [
            self.context.attempt(partial(counts.put_movement, self.context.desk, one))
            for one in changed.values()
        ]
        return all(one is not None for one in done)

    def _value(self, column: str, text: str) -> Any:
        if column == "quantity":
            return parse_whole(text)
        if column == "at":
            return parse_instant(text, self.context.claim.zone)
        if column in ("serials_in", "serials_out"):
            return split_list(text)
        if column == "line":
            found = [line.id for line in self._lines.values() if line.number == text]
            if len(found) != 1:
                raise LdappError(said("“{text}” is not the number of one kit line.", text=text))
            return found[0]
        for name, choices in (
            ("kind", _choices(MOVEMENT_NAMES)),
            ("direction", _choices(_DIRECTIONS)),
        ):
            if column == name:
                named: dict[str, str] = {label: value for value, label in choices}
                value = named.get(text, text)
                if value not in dict(choices):
                    raise LdappError(
                        said("“{text}” is none of: {listed}.", text=text, listed=", ".join(named))
                    )
                return value
        return refuse_card_numbers(text)

    @Slot()
    def _on_add(self) -> None:
        if self._line is None:
            return
        now = dt.datetime.now(ZoneInfo(self.context.claim.zone)).replace(second=0, microsecond=0)
        movement = Movement(
            id=new_id(),
            kind="returned_early",
            line=self._line.id,
            quantity=1,
            at=now.replace(tzinfo=dt.timezone(now.utcoffset() or dt.timedelta())),
        )
        self.context.attempt(partial(counts.put_movement, self.context.desk, movement))
        if self.table.go_to_row(movement.id):
            self.table.setFocus()

    @Slot()
    def _on_remove(self) -> None:
        self._remove(self.table.selected_rows())

    @Slot(object)
    def _remove(self, rows: list[Any]) -> None:
        for movement in rows:
            self.context.attempt(partial(counts.remove_movement, self.context.desk, movement.id))
