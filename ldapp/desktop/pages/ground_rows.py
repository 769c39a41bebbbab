"""One ground of a charge as the panel shows it: its switch, what it takes, what it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from ldapp.casework.ground_answers import likely_answers
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.grounds import GROUND_BY_CODE, GROUNDS, GroundCode
from ldapp.desktop.pages.said import MINUS
from ldapp.desktop.pages.statement_entry import against_text
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import SwitchField
from ldapp.desktop.widgets.pieces import Label, Separator, icon_button
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said
from ldapp.reckoning.proposals import ProposedGround
from ldapp.reckoning.result import ChargeResult, GroundFall


class GroundLine(NamedTuple):
    """One ground as the panel shows it."""

    code: GroundCode
    choice: GroundChoice | None
    fall: GroundFall | None
    proposed: ProposedGround | None
    overlaps: str = ""
    """What it would take that grounds in force take already, and which; empty without."""

    @property
    def on(self) -> bool:
        """Whether it is switched on."""
        return self.choice is not None and self.choice.on


def ground_lines(
    charge: Charge, result: ChargeResult | None, proposed: Sequence[ProposedGround]
) -> list[GroundLine]:
    """Return the grounds chosen, in force or worth weighing, in the order in which they count."""
    choices = {one.code: one for one in charge.grounds}
    falls = {one.code: one for one in result.grounds} if result else {}
    worth = {one.choice.code: one for one in proposed if one.charge == charge.id}
    force = ", ".join(
        said("“{ground}”", ground=said(GROUND_BY_CODE[code].label))
        for code, one in falls.items()
        if one.amount
    )
    return [
        GroundLine(
            kind.code,
            choices.get(kind.code),
            falls.get(kind.code),
            worth.get(kind.code),
            force if _overlaps(worth.get(kind.code)) else "",
        )
        for kind in GROUNDS
        if kind.code in choices or kind.code in falls or kind.code in worth
    ]


def _overlaps(proposed: ProposedGround | None) -> bool:
    return (
        proposed is not None and proposed.beside is not None and proposed.beside < proposed.amount
    )


class _SwitchedByName(Label):
    """A ground's name beside its switch: unlike the text of a switch it may take two lines."""

    clicked = Signal()

    def __init__(self, text: str) -> None:
        super().__init__(text, wrap=True)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Switch, as a click on the text of a switch does."""
        if event.button() == Qt.MouseButton.LeftButton and self.rect().contains(
            event.position().toPoint()
        ):
            self.clicked.emit()


class GroundRow(QWidget):
    """A ground with its switch, the amount it takes, its strength and what it rests on."""

    switched = Signal(str, bool)
    details_asked = Signal(str)
    removal_asked = Signal(str)

    def __init__(self, line: GroundLine, currency: str, rests: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.code = line.code
        ground = said(GROUND_BY_CODE[line.code].label)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GRID, 0, GRID)
        column.setSpacing(2)
        top = QHBoxLayout()
        top.setSpacing(GRID)
        self.switch = SwitchField()
        self.switch.set_value(line.on or (line.choice is None and line.fall is not None))
        self.switch.setAccessibleName(said("Ground: {ground}", ground=ground))
        self.switch.committed.connect(self._on_switched)
        top.addWidget(self.switch, 0, Qt.AlignmentFlag.AlignVCenter)
        self.name = _SwitchedByName(ground)
        self.name.clicked.connect(self.switch.click)
        top.addWidget(self.name, 1)
        details = icon_button("text", said("Own words and figures for: {ground}", ground=ground))
        details.clicked.connect(self._on_details)
        top.addWidget(details)
        if line.choice is not None:
            remove = icon_button("close", said("Take off: {ground}", ground=ground))
            remove.clicked.connect(self._on_remove)
            top.addWidget(remove)
        column.addLayout(top)
        below = QHBoxLayout()
        below.setSpacing(GRID)
        says = self._strength(line)
        if line.overlaps and line.proposed is not None and line.proposed.beside is not None:
            same = amount_text(line.proposed.amount - line.proposed.beside, currency)
            says = said(
                "takes the same {amount} as {overlaps}; {says}",
                amount=same,
                overlaps=line.overlaps,
                says=says,
            )
        self.strength = Label(f"{says}{rests}", TypeSize.SMALL, wrap=True, muted=True)
        self.amount = Label(self._amount_text(line, currency), bold=line.fall is not None)
        self.amount.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        below.addWidget(self.strength, 1)
        below.addWidget(self.amount)
        column.addLayout(below)
        if line.choice is not None and line.choice.words:
            column.addWidget(
                Label(said("“{words}”", words=line.choice.words), TypeSize.SMALL, wrap=True)
            )
        if line.fall is not None and line.fall.not_stated:
            note = Label(f"⚠ {line.fall.not_stated}", TypeSize.SMALL, wrap=True)
            note.set_tone("amber")
            column.addWidget(note)
        self.against = Label("", TypeSize.SMALL, wrap=True)
        self.against.setText("" if line.fall is None else against_text(line.fall))
        self.against.set_tone("amber")
        self.against.setToolTip(said("For you alone: never printed for the rental company"))
        self.against.setVisible(bool(self.against.text()))
        column.addWidget(self.against)
        self.answers = Label("", TypeSize.SMALL, wrap=True)
        answer = likely_answers()[line.code]
        self.answers.setText(
            said("They may say: {theirs}\nOurs: {ours}", theirs=answer.theirs, ours=answer.ours)
        )
        self.answers.hide()
        column.addWidget(self.answers)
        column.addWidget(Separator())

    def _amount_text(self, line: GroundLine, currency: str) -> str:
        if line.fall is not None:
            return f"{MINUS}{amount_text(line.fall.amount, currency)}"
        if line.proposed is not None and line.choice is None:
            if line.overlaps and line.proposed.beside is not None:
                return said(
                    "would take {amount} more", amount=amount_text(line.proposed.beside, currency)
                )
            return said("would take {amount}", amount=amount_text(line.proposed.amount, currency))
        return said("takes nothing") if line.on else said("off")

    def _strength(self, line: GroundLine) -> str:
        strong = line.fall.strong if line.fall else line.proposed.strong if line.proposed else None
        if strong is None:
            return said("proved by {proof}", proof=said(GROUND_BY_CODE[line.code].proof))
        if strong:
            return said("✓ strong")
        return said(
            "○ not strong yet: it needs {proof}", proof=said(GROUND_BY_CODE[line.code].proof)
        )

    @Slot(object)
    def _on_switched(self, on: object) -> None:
        self.switched.emit(self.code, bool(on))

    @Slot()
    def _on_details(self) -> None:
        self.details_asked.emit(self.code)

    @Slot()
    def _on_remove(self) -> None:
        self.removal_asked.emit(self.code)
