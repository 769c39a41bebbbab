"""Damage seen at a count: the cautions for this kind of equipment, the condition, a note."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.cautions import cautions_for_damage
from ldapp.casework.count_sheet import CONDITION_LABELS
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.claim.counts import Condition, CountEntry
from ldapp.claim.kit import KitLine
from ldapp.desktop.icons import mark
from ldapp.desktop.pages.said import first_upper
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label, LabelledRows
from ldapp.errors import LdappError
from ldapp.language import said


class Damage(NamedTuple):
    """What was seen."""

    condition: Condition
    note: str


def _line_title(line: KitLine) -> str:
    return said("Line {number}  {description}", number=line.number, description=line.description)


class DamageDialog(QDialog):
    """One small thing: the state of a line, with the cautions first."""

    def __init__(self, line: KitLine, entry: CountEntry, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Damage"))
        self.setMinimumWidth(GRID * 66)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(Label(_line_title(line), TypeSize.LARGE, bold=True, wrap=True))
        for caution in cautions_for_damage(line.kind):
            row = QHBoxLayout()
            row.setSpacing(GRID)
            sign = Label()
            sign.setPixmap(mark("warning", "amber"))
            row.addWidget(sign, 0, Qt.AlignmentFlag.AlignTop)
            row.addWidget(Label(caution, wrap=True), 1)
            column.addLayout(row)
        rows = LabelledRows()
        self.condition = ChoiceField(
            [(one, first_upper(said(label))) for one, label in CONDITION_LABELS.items()]
        )
        seen = entry.condition
        self.condition.set_value("damaged" if seen in ("not_looked_at", "as_sent_out") else seen)
        self.note = QPlainTextEdit(entry.note)
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(GRID * 12)
        rows.add(said("Con&dition"), self.condition)
        rows.add(
            said("What is &seen"),
            self.note,
            said("How many units, which part, what it looks like."),
        )
        column.addWidget(rows)
        self._refusal = Label("", wrap=True)
        self._refusal.set_tone("red")
        self._refusal.hide()
        column.addWidget(self._refusal)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._on_accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.note.setFocus()

    def entered(self) -> Damage:
        """Return what was entered."""
        return Damage(self.condition.value(), self.note.toPlainText().strip())

    @Slot()
    def _on_accept(self) -> None:
        try:
            refuse_card_numbers(self.note.toPlainText())
        except LdappError as error:
            self._refusal.setText(str(error))
            self._refusal.show()
            return
        self.accept()

    @classmethod
    def ask(cls, line: KitLine, entry: CountEntry, parent: QWidget | None = None) -> Damage | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(line, entry, parent)
        try:
            return dialog.entered() if dialog.exec() else None
        finally:
            dialog.deleteLater()


class SerialsDialog(QDialog):
    """Which serial numbers of a line were there: ticked, or typed one a line."""

    def __init__(self, line: KitLine, entry: CountEntry, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Serial numbers seen"))
        self.setMinimumWidth(GRID * 50)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(Label(_line_title(line), TypeSize.LARGE, bold=True, wrap=True))
        rows = LabelledRows()
        self.serials = QPlainTextEdit("\n".join(entry.serials_seen or ()))
        self.serials.setTabChangesFocus(True)
        self.serials.setFixedHeight(GRID * 18)
        listed = ", ".join(line.serials) or said("none")
        rows.add(
            said("Serial numbers &seen"),
            self.serials,
            said("One a line. Listed: {listed}.", listed=listed),
        )
        column.addWidget(rows)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        everything = buttons.addButton(
            said("All as listed"), QDialogButtonBox.ButtonRole.ActionRole
        )
        everything.setEnabled(bool(line.serials))
        self._listed = line.serials
        everything.clicked.connect(self._on_all)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.serials.setFocus()

    @Slot()
    def _on_all(self) -> None:
        self.serials.setPlainText("\n".join(self._listed))

    def entered(self) -> tuple[str, ...]:
        """Return the serial numbers, each once."""
        lines = (one.strip() for one in self.serials.toPlainText().splitlines())
        return tuple(dict.fromkeys(one for one in lines if one))

    @classmethod
    def ask(
        cls, line: KitLine, entry: CountEntry, parent: QWidget | None = None
    ) -> tuple[str, ...] | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(line, entry, parent)
        try:
            return dialog.entered() if dialog.exec() else None
        finally:
            dialog.deleteLater()
