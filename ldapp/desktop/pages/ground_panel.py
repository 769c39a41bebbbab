"""One charge: what is billed, owed and disputed, what it matches, and its grounds to switch."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import charges as work
from ldapp.casework.acceptance import charge_accepted
from ldapp.casework.edit import find
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.grounds import GROUNDS, GroundCode
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.ground_details import GroundDetails
from ldapp.desktop.pages.ground_rows import GroundLine, GroundRow, ground_lines
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.pages.said import finding_text, line_text
from ldapp.desktop.pages.side_form import SideForm
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import SwitchField
from ldapp.desktop.widgets.pieces import Label, Section, link_button
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said
from ldapp.reckoning.proposals import ProposedGround


class Amount(QWidget):
    """An amount with its caption, in the size that leaves room for three beside each other."""

    def __init__(self, caption: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._caption = caption
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._number = Label("", TypeSize.LARGE, bold=True)
        column.addWidget(self._number)
        column.addWidget(Label(caption, TypeSize.SMALL, muted=True))

    def show_figure(self, text: str) -> None:
        """Show an amount, already written out."""
        self._number.setText(text)
        self.setAccessibleName(f"{self._caption}: {text}")

    def text(self) -> str:
        """Return the amount as it is shown."""
        return self._number.text()


class ChargePanel(SideForm):
    """The chosen charge in full."""

    working_asked = Signal(str)

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(said("The chosen charge"), GRID * 39, parent)
        self._context = context
        self._charge: Charge | None = None
        self._shown: tuple[Any, ...] = ()
        column = self.column
        self._title = Label("", TypeSize.LARGE, bold=True, wrap=True)
        column.addWidget(self._title)
        figures = QHBoxLayout()
        self.billed, self.owed = Amount(said("billed")), Amount(said("owed"))
        self.disputed = Amount(said("disputed"))
        for figure in (self.billed, self.owed, self.disputed):
            figures.addWidget(figure)
        column.addLayout(figures)
        self._answer = Label("", wrap=True)
        column.addWidget(self._answer)
        self.accepting = Label("", TypeSize.SMALL, muted=True, wrap=True)
        self.accepting.setAccessibleName(said("If the charge is right"))
        column.addWidget(self.accepting)
        self.open_until = SwitchField(said("Open until documented"))
        self.open_until.committed.connect(self._on_open)
        column.addWidget(self.open_until)
        match = QHBoxLayout()
        self._match = Label("", wrap=True)
        match.addWidget(self._match, 1)
        self.change_match = QPushButton(said("Change &match"))
        self.change_match.clicked.connect(self._on_match)
        match.addWidget(self.change_match)
        column.addLayout(match)
        self.working = link_button(said("Show how it is reckoned"))
        self.working.clicked.connect(self._ask_working)
        column.addWidget(self.working)
        grounds = Section(said("Grounds"))
        self.add_ground = QPushButton(said("Add a &ground"))
        self.add_ground.clicked.connect(self._on_add_ground)
        self.show_answers = SwitchField(said("Likely ans&wers"))
        self.show_answers.setToolTip(said("For you alone: never printed for the rental company"))
        self.show_answers.committed.connect(self._on_show_answers)
        grounds.add_head(self.show_answers)
        grounds.add_head(self.add_ground)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(0)
        grounds.body.addLayout(self._rows)
        self._no_grounds = Label(
            said(
                "No ground is chosen, and the counts and terms suggest none: the charge "
                "is owed as billed."
            ),
            muted=True,
            wrap=True,
        )
        grounds.body.addWidget(self._no_grounds)
        column.addWidget(grounds)
        self.details = GroundDetails(context)
        self.details.hide()
        column.addWidget(self.details)
        column.addStretch(1)
        self.rows: dict[str, GroundRow] = {}

    @property
    def charge(self) -> Charge | None:
        """The charge that is shown."""
        return self._charge

    def show_charge(self, charge: Charge, proposed: tuple[ProposedGround, ...]) -> None:
        """Show one charge as it stands."""
        changed_charge = self._charge is None or self._charge.id != charge.id
        self._charge = charge
        if changed_charge:
            self.details.hide()
        claim, reckoning = self._context.claim, self._context.reckoning
        results = reckoning.charges if reckoning else ()
        result = next((one for one in results if one.charge == charge.id), None)
        currency = claim.currency
        self._title.setText(f"{charge.number} · {charge.description}")
        self.billed.show_figure(amount_text(charge.amount, currency))
        self.owed.show_figure(amount_text(result.owed, currency) if result else "…")
        self.disputed.show_figure(amount_text(result.disputed, currency) if result else "…")
        if result is not None:
            strong = result.strong
            says = said("Answer: {answer}.", answer=work.answer_says(charge, result.answer))
            if result.disputed or strong.disputed:
                alone = amount_text(strong.disputed, currency)
                more = said("With strong grounds alone {amount} is disputed.", amount=alone)
                says = f"{says} {more}"
            self._answer.setText(says)
        told = charge_accepted(claim, reckoning, charge.id) if reckoning is not None else None
        self.accepting.setText("\n".join(told.says) if told is not None else "")
        self.accepting.setVisible(told is not None)
        self.open_until.set_value(charge.open_until_documented)
        line = find(claim.kit, charge.line)
        finding = find(claim.findings, charge.finding)
        says = (
            said("Matches {line}", line=line_text(line))
            if line
            else said("Matches nothing in the claim")
        )
        if finding is not None:
            says += f"; {finding_text(claim, finding)}"
        if charge.match_reason:
            says += f"; {charge.match_reason}"
        self._match.setText(says)
        lines = ground_lines(charge, result, proposed)
        shown = (charge.id, tuple(lines))
        if shown != self._shown:
            self._shown = shown
            self._show_grounds(lines, currency)
        if self.details.isVisible() and self.details.code is not None:
            self.details.show_ground(charge, self.details.code)

    def _show_grounds(self, lines: Sequence[GroundLine], currency: str) -> None:
        focused = next((code for code, row in self.rows.items() if row.switch.hasFocus()), None)
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.rows = {}
        for line in lines:
            row = GroundRow(line, currency, self._rests_text(line), self)
            row.switched.connect(self._on_switched)
            row.details_asked.connect(self._on_details)
            row.removal_asked.connect(self._on_remove)
            row.answers.setVisible(self.show_answers.value())
            self._rows.addWidget(row)
            self.rows[line.code] = row
        self._no_grounds.setVisible(not lines)
        if focused in self.rows:
            self.rows[focused].switch.setFocus()

    def _rests_text(self, line: GroundLine) -> str:
        rests = line.fall.rests_on if line.fall else line.proposed.rests_on if line.proposed else ()
        return said("; rests on {clauses}", clauses=", ".join(rests)) if rests else ""

    # --- what the person does --------------------------------------------------------------

    @Slot(str, bool)
    def _on_switched(self, code: str, on: bool) -> None:
        charge = self._charge
        if charge is None:
            return
        ground = cast("GroundCode", code)
        self._context.attempt(lambda: work.switch_ground(self._context.desk, charge.id, ground, on))

    @Slot(object)
    def _on_show_answers(self, on: object) -> None:
        for row in self.rows.values():
            row.answers.setVisible(bool(on))

    @Slot(str)
    def _on_details(self, code: str) -> None:
        if self._charge is not None:
            self.details.show_ground(self._charge, cast("GroundCode", code))
            self.details.show()
            self.details.form.fields["words"].setFocus()
            self.ensureWidgetVisible(self.details)

    @Slot(str)
    def _on_remove(self, code: str) -> None:
        charge = self._charge
        if charge is not None:
            ground = cast("GroundCode", code)
            self._context.attempt(lambda: work.remove_ground(self._context.desk, charge.id, ground))

    @Slot()
    def _on_add_ground(self) -> None:
        charge = self._charge
        if charge is None:
            return
        taken = {one.code for one in charge.grounds}
        choices = [
            Choice(kind.code, said(kind.label), said("proved by {proof}", proof=said(kind.proof)))
            for kind in GROUNDS
            if kind.code not in taken
        ]
        key = RecordChooser.ask(said("Add a ground"), choices, self)
        if key is not None:
            ground = GroundChoice(code=cast("GroundCode", key))
            self._context.attempt(lambda: work.put_ground(self._context.desk, charge.id, ground))

    @Slot(object)
    def _on_open(self, on: object) -> None:
        charge = self._charge
        if charge is not None:
            self._context.attempt(
                lambda: work.set_open_until_documented(self._context.desk, charge.id, bool(on))
            )

    @Slot()
    def _on_match(self) -> None:
        charge, claim = self._charge, self._context.claim
        if charge is None:
            return
        choices = [Choice("", said("Matches nothing"))]
        for finding in claim.findings:
            line = find(claim.kit, finding.line)
            choices.append(
                Choice(f"finding {finding.id}", line_text(line), finding_text(claim, finding))
            )
        choices += [
            Choice(f"line {one.id}", line_text(one), said("no finding")) for one in claim.kit
        ]
        key = RecordChooser.ask(said("What the charge is for"), choices, self)
        if key is None:
            return
        kind, _, record = key.partition(" ")
        named = find(claim.findings, record) if kind == "finding" else None
        line_id = named.line if named else record or None
        self._context.attempt(
            lambda: work.match_charge(
                self._context.desk,
                charge.id,
                line_id,
                named.id if named else None,
                said("by hand") if line_id else "",
            )
        )

    @Slot()
    def _ask_working(self) -> None:
        if self._charge is not None:
            self.working_asked.emit(self._charge.id)
