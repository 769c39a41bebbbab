"""What one count says of one line beside its number: condition, note, serials, parts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QScrollArea, QWidget

from ldapp.casework import counts
from ldapp.casework.count_sheet import CONDITION_LABELS
from ldapp.casework.counts import entry_of
from ldapp.claim.counts import Count
from ldapp.claim.kit import KitLine
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.pages.count_parts.signed_change import change_count
from ldapp.desktop.pages.said import first_upper
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ChoiceField, LongTextField, ParsedField, whole_field
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said
from ldapp.local_forms import grouped


class LineEntry(QScrollArea):
    """Condition, note, serial numbers and parts of the cell with the cursor."""

    damage_wanted = Signal()
    serials_wanted = Signal()

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._count: str | None = None
        self._line: str | None = None
        self.setAccessibleName(said("This line"))
        self.setWidgetResizable(True)
        self._body = QWidget()
        self.setWidget(self._body)
        grid = QGridLayout(self._body)
        grid.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        grid.setHorizontalSpacing(GRID * 2)
        grid.setVerticalSpacing(GRID)
        self._title = Label("", bold=True, wrap=True)
        grid.addWidget(self._title, 0, 0, 1, 3)
        self.condition = ChoiceField(
            [(one, first_upper(said(label))) for one, label in CONDITION_LABELS.items()]
        )
        self.note = LongTextField(lines=2)
        for row, (text, field) in enumerate(
            ((said("Con&dition"), self.condition), (said("What is &seen"), self.note)), 1
        ):
            label = QLabel(text)
            label.setProperty("muted", True)
            label.setBuddy(field)
            field.setAccessibleName(text.replace("&", ""))
            grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(field, row, 1)
        self.condition.committed.connect(self._on_condition)
        self.note.committed.connect(self._on_note)
        self.note.refused.connect(context.refuse)
        damage = QPushButton(said("Damage… (D)"))
        keep_icon(damage, "warning")
        damage.clicked.connect(self.damage_wanted)
        grid.addWidget(damage, 1, 2)
        self.serials_button = QPushButton(said("Serial numbers… (S)"))
        self.serials_button.clicked.connect(self.serials_wanted)
        grid.addWidget(self.serials_button, 2, 2, Qt.AlignmentFlag.AlignTop)
        self._serials = Label("", muted=True, wrap=True)
        grid.addWidget(self._serials, 3, 0, 1, 3)
        self._parts = QGridLayout()
        self._parts.setHorizontalSpacing(GRID)
        grid.addLayout(self._parts, 4, 0, 1, 3)
        grid.setColumnStretch(1, 1)
        grid.setRowStretch(5, 1)
        self._part_fields: dict[str, ParsedField] = {}
        self._shown_parts: tuple[Any, ...] = ()

    def show_entry(self, count: Count | None, line: KitLine | None) -> None:
        """Show another cell, or the same one after a change."""
        self._count = count.id if count else None
        self._line = line.id if line else None
        self._shown = (count, line)
        here = count is not None and line is not None
        self._body.setEnabled(here)
        if count is None or line is None:
            self._title.setText(said("Put the cursor on a count of a line."))
            self._serials.setText("")
            return
        entry = entry_of(count, line.id)
        self._title.setText(
            said("Line {number}, {description}", number=line.number, description=line.description)
        )
        self.condition.set_value(entry.condition)
        self.note.set_value(entry.note)
        seen = entry.serials_seen
        if seen is None:
            self._serials.setText(
                said(
                    "Serial numbers listed: {listed}; not looked at.",
                    listed=", ".join(line.serials),
                )
                if line.serials
                else ""
            )
        else:
            gone = [one for one in line.serials if one not in seen]
            strange = [one for one in seen if one not in line.serials]
            words = [said("Serial numbers seen: {listed}.", listed=", ".join(seen) or said("none"))]
            if gone:
                words.append(said("! Not seen: {listed}.", listed=", ".join(gone)))
            if strange:
                words.append(said("! Not on the list: {listed}.", listed=", ".join(strange)))
            self._serials.setText(" ".join(words))
        self._show_parts(line, {one.part: one.quantity for one in entry.parts})

    def _change(self, change: Callable[..., bool], *given: Any) -> None:
        count, line = self._count, self._line
        done = change_count(self.context, self, change, count, line, *given)
        if done is None and (count, line) == (self._count, self._line):
            self.show_entry(*self._shown)

    def _show_parts(self, line: KitLine, quantities: dict[str, int | None]) -> None:
        if line.parts != self._shown_parts:
            self._shown_parts = line.parts
            while self._parts.count():
                item = self._parts.takeAt(0)
                widget = item.widget() if item else None
                if widget is not None:
                    widget.deleteLater()
            self._part_fields = {}
            for row, part in enumerate(line.parts):
                field = whole_field()
                field.setProperty("part", part.id)
                field.setAccessibleName(said("How many: {part}", part=part.description))
                field.committed.connect(self._on_part)
                field.refused.connect(self.context.refuse)
                self._parts.addWidget(Label(part.description), row, 0)
                self._parts.addWidget(field, row, 1)
                self._parts.addWidget(
                    Label(
                        said("of {number} listed", number=grouped(part.per_unit * line.quantity)),
                        muted=True,
                    ),
                    row,
                    2,
                )
                self._part_fields[part.id] = field
        for part_id, field in self._part_fields.items():
            field.set_value(quantities.get(part_id))

    @Slot(object)
    def _on_condition(self, condition: Any) -> None:
        if self._count and self._line:
            self._change(counts.enter_condition, condition)

    @Slot(object)
    def _on_note(self, note: str) -> None:
        if self._count and self._line:
            self._change(counts.enter_condition, self.condition.value(), note)

    @Slot(object)
    def _on_part(self, quantity: int | None) -> None:
        field = self.sender()
        if self._count and self._line and field is not None:
            quantities = {str(field.property("part")): quantity}
            self._change(counts.enter_parts, quantities)
