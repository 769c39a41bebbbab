"""Begins a count: which stage, when, where, who, and whether it is blind."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import ZoneInfo

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from ldapp.casework.counts import STAGE_NAMES
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Stage
from ldapp.desktop.pages.count_parts.name_suggestion import suggest_name
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ChoiceField, SwitchField, instant_field, text_field
from ldapp.desktop.widgets.pieces import Label, LabelledRows
from ldapp.language import said


class NewCount(NamedTuple):
    """What was entered."""

    stage: Stage
    at: dt.datetime | None
    place: str
    counted_by: str
    witness: str
    blind: bool


def next_stage(claim: Claim) -> Stage:
    """Return the stage of the count that is likely to come next."""
    stages = {count.stage for count in claim.counts}
    if "pickup" not in stages:
        return "pickup"
    return "return" if "return" not in stages else "check_in"


class NewCountDialog(QDialog):
    """One small thing: how a count begins."""

    def __init__(self, claim: Claim, who: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Begin a count"))
        self.setMinimumWidth(GRID * 62)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID * 2)
        rows = LabelledRows()
        self.stage = ChoiceField([(one, said(name)) for one, name in STAGE_NAMES.items()])
        self.stage.set_value(next_stage(claim))
        self.at = instant_field(lambda: claim.zone)
        now = dt.datetime.now(ZoneInfo(claim.zone)).replace(second=0, microsecond=0)
        self.at.set_value(now.replace(tzinfo=dt.timezone(now.utcoffset() or dt.timedelta())))
        self.place = text_field(characters=40)
        self.counted_by = text_field()
        suggest_name(self.counted_by, who)
        self.witness = text_field()
        self.blind = SwitchField(
            said("What is expected stays hidden until a line has been entered")
        )
        rows.add(said("&Stage"), self.stage)
        rows.add(
            said("&When"), self.at, said("Without an offset: the clock in {zone}.", zone=claim.zone)
        )
        rows.add(said("&Place"), self.place)
        rows.add(said("C&ounted by"), self.counted_by)
        rows.add(
            said("Wi&tness"), self.witness, said("A person of the other side, where there is one.")
        )
        rows.add(said("&Blind"), self.blind)
        column.addWidget(rows)
        self._refusal = Label("", wrap=True)
        self._refusal.set_tone("red")
        self._refusal.hide()
        column.addWidget(self._refusal)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText(said("Begin"))
        buttons.accepted.connect(self._on_accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.stage.setFocus()

    def entered(self) -> NewCount:
        """Return what was entered."""
        return NewCount(
            self.stage.value(),
            self.at.value(),
            self.place.value() or "",
            self.counted_by.value() or "",
            self.witness.value() or "",
            self.blind.value(),
        )

    @Slot()
    def _on_accept(self) -> None:
        for field in (self.at, self.place, self.counted_by, self.witness):
            if field.refusal:
                self._refusal.setText(field.refusal)
                self._refusal.show()
                return
        self.accept()

    @classmethod
    def ask(cls, claim: Claim, who: str, parent: QWidget | None = None) -> NewCount | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(claim, who, parent)
        try:
            return dialog.entered() if dialog.exec() else None
        finally:
            dialog.deleteLater()
