"""Forms for one finding and for one occurrence, with the cautions where damage is entered."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any, cast

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QWidget

from ldapp.casework import findings as work
from ldapp.casework.cautions import cautions_for_damage
from ldapp.casework.edit import find
from ldapp.claim.causes import CAUSE_LABELS, CAUSES, Cause
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding, Occurrence, Repair
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.record_form import RecordForm, number_field
from ldapp.desktop.pages.said import day_text, line_text, moment_text, money_or_not_yet
from ldapp.desktop.pages.side_form import SideForm
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    LongTextField,
    SwitchField,
    date_field,
    instant_field,
    money_field,
    text_field,
    whole_field,
)
from ldapp.desktop.widgets.pieces import Label, Section, link_button
from ldapp.language import marked, said
from ldapp.local_forms import local_number
from ldapp.reckoning.result import FindingResult

_REPAIR_FIELDS = (
    "parts",
    "labour",
    "labour_hours",
    "other",
    "discount",
    "document",
    "carried_out",
    "out_of_service_from",
    "out_of_service_until",
)
_LEAST_WIDTH = GRID * 40
_REPAIR_MONEY = frozenset({"parts", "labour", "other", "discount"})
_KNOWN_FROM = {
    "occurrence": marked("from the occurrence"),
    "bracket": marked("found at a count"),
    "last_count": marked("from the last count"),
    "rental_end": marked("from the end of the rental"),
    "nothing": marked("not known"),
}


def _cause_choices() -> list[tuple[Cause | None, str]]:
    return [(None, said("not said")), *((cause, said(CAUSE_LABELS[cause])) for cause in CAUSES)]


class FindingForm(SideForm):
    """Everything that can be said of one finding."""

    working_asked = Signal(str)
    """The id of a finding whose working should be shown."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(said("The chosen finding"), _LEAST_WIDTH, parent)
        self._context = context
        self._finding: Finding | None = None
        column = self.column
        self._title = Label("", TypeSize.LARGE, bold=True, wrap=True)
        self._value = Label("", wrap=True)
        self._lacking = Label("", wrap=True)
        self._lacking.set_tone("amber")
        self._when = Label("", TypeSize.SMALL, muted=True, wrap=True)
        self.working = link_button(said("Show how it is reckoned"))
        self.working.clicked.connect(self._ask_working)
        self.cautions = Label("", wrap=True)
        self.cautions.set_tone("amber")
        self.cautions.setAccessibleName(said("Cautions for this equipment"))
        for widget in (
            self._title,
            self.cautions,
            self._value,
            self._lacking,
            self._when,
            self.working,
        ):
            column.addWidget(widget)
        self.form = self._make_form()
        self.repair = self._make_repair()
        self.value = self._make_value()
        self._repair_section = Section(said("Repair"))
        self._repair_section.body.addWidget(self.repair)
        self._value_section = Section(said("Value and replacement"))
        self._value_section.body.addWidget(self.value)
        for part in (self.form, self._repair_section, self._value_section):
            column.addWidget(part)
        column.addStretch(1)

    def _make_form(self) -> RecordForm:
        form = RecordForm()
        form.add_field(
            "kind",
            said("&Kind"),
            ChoiceField([(one, said(name)) for one, name in work.FINDING_NAMES.items()]),
        )
        form.add_field("quantity", said("Un&its"), whole_field(least=1))
        form.add_field("part", said("&Part"), ChoiceField())
        form.add_field(
            "serials", said("Serial num&bers"), text_field(characters=24), said("Several: commas.")
        )
        form.add_field("occurrence", said("&Occurrence"), ChoiceField())
        form.add_field("cause", said("Cau&se"), ChoiceField(_cause_choices()))
        form.add_field(
            "narrative",
            said("&What was found"),
            LongTextField(lines=4),
            said("Facts only: what is broken or missing, where, what was seen."),
        )
        form.add_field(
            "note", said("Private no&te"), LongTextField(lines=2), said("Printed in no dossier.")
        )
        form.committed.connect(self._on_committed)
        form.refused.connect(self._context.message)
        return form

    def _make_repair(self) -> RecordForm:
        form, currency = RecordForm(), self._currency
        form.add_field("parts", said("Parts"), money_field(currency))
        form.add_field("labour", said("Labour"), money_field(currency))
        form.add_field("labour_hours", said("Hours of labour"), number_field())
        form.add_field("other", said("Other cost"), money_field(currency))
        form.add_field("discount", said("Discount received"), money_field(currency))
        form.add_field(
            "document",
            said("Estimate or bill"),
            ChoiceField(),
            said("Without one the repair is undocumented."),
        )
        form.add_field("carried_out", said("Repair"), SwitchField(said("Carried out")))
        form.add_field("out_of_service_from", said("Out of service from"), date_field())
        form.add_field("out_of_service_until", said("Out of service until"), date_field())
        form.committed.connect(self._on_repair)
        form.refused.connect(self._context.message)
        return form

    def _make_value(self) -> RecordForm:
        form, currency = RecordForm(), self._currency
        form.add_field(
            "beyond_repair",
            said("Beyond repair"),
            ChoiceField([(None, said("by the terms")), (True, said("yes")), (False, said("no"))]),
        )
        form.add_field("salvage", said("Worth of one wreck"), money_field(currency))
        form.add_field("stated_value", said("Stated, one unit"), money_field(currency))
        form.add_field("stated_value_reason", said("Reason for it"), LongTextField(lines=2))
        form.add_field("set_value", said("Set before the loss"), money_field(currency))
        form.add_field("remainder_value", said("Rest of the set"), money_field(currency))
        form.add_field("replaced_for", said("Spent on new ones"), money_field(currency))
        form.add_field("replaced_on", said("Replaced on"), date_field())
        form.add_field("rent_paid_days", said("Days with rent paid"), number_field())
        form.add_field(
            "lost_rental_proved", said("Lost rental"), SwitchField(said("Shown by the lessor"))
        )
        form.committed.connect(self._on_committed)
        form.refused.connect(self._context.message)
        return form

    def _currency(self) -> str:
        return self._context.claim.currency

    @property
    def finding(self) -> Finding | None:
        """The finding that is shown."""
        return self._finding

    def show_finding(self, finding: Finding) -> None:
        """Show one finding of the claim."""
        self._finding = finding
        claim, reckoning = self._context.claim, self._context.reckoning
        line = find(claim.kit, finding.line)
        self._title.setText(line_text(line))
        damaged = finding.kind == "damaged"
        texts = cautions_for_damage(line.kind) if damaged and line else ()
        self.cautions.setText("\n".join(f"⚠ {text}" for text in texts))
        self.cautions.setVisible(bool(texts))
        results = reckoning.findings if reckoning else ()
        self._show_result(
            next((one for one in results if one.finding == finding.id), None), claim.currency
        )
        self._offer_choices(claim, finding)
        values = {name: getattr(finding, name) for name in (*self.form.fields, *self.value.fields)}
        values["serials"] = ", ".join(finding.serials) or None
        self.form.show_values({name: values[name] for name in self.form.fields})
        self.value.show_values({name: values[name] for name in self.value.fields})
        repair = finding.repair
        blank: dict[str, Any] = dict.fromkeys(_REPAIR_FIELDS)
        self.repair.show_values(
            {name: getattr(repair, name) for name in _REPAIR_FIELDS} if repair else blank
        )
        self._repair_section.setVisible(damaged)

    def _offer_choices(self, claim: Claim, finding: Finding) -> None:
        line = find(claim.kit, finding.line)
        parts = line.parts if line else ()
        self._choose(
            "part", [(None, said("the whole unit")), *((p.id, p.description) for p in parts)]
        )
        self._choose(
            "occurrence",
            [(None, said("none explains it")), *((one.id, one.title) for one in claim.occurrences)],
        )
        papers = [
            (one.id, one.title)
            for one in claim.documents
            if one.kind in ("repair_estimate", "repair_invoice", "other", "receipt", "quote")
        ]
        document = cast("ChoiceField", self.repair.fields["document"])
        document.set_choices([(None, said("none yet")), *papers])

    def _choose(self, name: str, choices: Sequence[tuple[Any, str]]) -> None:
        cast("ChoiceField", self.form.fields[name]).set_choices(choices)

    def _show_result(self, result: FindingResult | None, currency: str) -> None:
        self._value.setVisible(result is not None)
        self._when.setVisible(result is not None)
        self.working.setVisible(result is not None)
        self._lacking.setVisible(bool(result and (result.lacking or result.would_help)))
        if result is None:
            return
        amount = money_or_not_yet(result.reckoned, currency)
        if result.unit_value is not None:
            units = local_number(str(result.reckoned_quantity))
            amount += f" ({units} × {money_or_not_yet(result.unit_value, currency)})"
        if result.total_loss:
            says = said("Reckoned: {amount}, a total loss", amount=amount)
        else:
            says = said("Reckoned: {amount}", amount=amount)
        if result.title_passes:
            says = said("{says}; title passes on payment, so ask for the wreck", says=says)
        self._value.setText(says)
        loss = result.date_of_loss
        when = moment_text(loss.at) or day_text(loss.day)
        self._when.setText(
            said(
                "Date of loss: {when}, {known_from}",
                when=when,
                known_from=said(_KNOWN_FROM[loss.known_from]),
            )
            if when
            else said("Date of loss: not known")
        )
        lines = [said("⚠ Lacking: {fact}", fact=one) for one in result.lacking]
        lines += [said("Would help: {fact}", fact=one) for one in result.would_help]
        self._lacking.setText("\n".join(lines))

    @Slot()
    def _ask_working(self) -> None:
        if self._finding is not None:
            self.working_asked.emit(self._finding.id)

    def _put(self, finding: Finding) -> None:
        self._context.attempt(lambda: work.put_finding(self._context.desk, finding))

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        finding = self._finding
        if finding is None:
            return
        values: dict[str, Any] = {name: value}
        if name == "serials":
            values = {name: tuple(s.strip() for s in str(value or "").split(",") if s.strip())}
        elif name in ("stated_value", "stated_value_reason"):
            # Both together: the value is refused without its reason.
            values = {
                "stated_value": self.value.fields["stated_value"].value(),
                "stated_value_reason": self.value.fields["stated_value_reason"].value() or "",
            }
            if values["stated_value"] is not None and not values["stated_value_reason"]:
                self._context.message.emit(
                    said("Now write the reason for the stated value beside it.")
                )
                self.value.fields["stated_value_reason"].setFocus()
                return
        elif name == "rent_paid_days":
            values = {name: value if value is not None else Decimal(0)}
        elif name in ("narrative", "note"):
            values = {name: value or ""}
        elif name == "quantity" and value is None:
            return
        self._put(with_fields(finding, **values))

    @Slot(str, object)
    def _on_repair(self, name: str, value: object) -> None:
        finding = self._finding
        if finding is None:
            return
        if name in _REPAIR_MONEY and value is None:
            value = Decimal(0)
        repair = with_fields(finding.repair or Repair(), **{name: value})
        self._put(dataclasses.replace(finding, repair=None if repair == Repair() else repair))


class OccurrenceForm(SideForm):
    """Everything that can be said of one occurrence."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(said("The chosen occurrence"), _LEAST_WIDTH, parent)
        self._context = context
        self._occurrence: Occurrence | None = None
        column = self.column
        self._title = Label(said("Occurrence"), TypeSize.LARGE, bold=True, wrap=True)
        column.addWidget(self._title)
        self.form = RecordForm()
        zone = self._zone
        self.form.add_field("title", said("&Title"), text_field(characters=30))
        self.form.add_field(
            "at", said("T&ime"), instant_field(zone), said("Day and time, as far as known.")
        )
        self.form.add_field("day", said("or onl&y the day"), date_field())
        self.form.add_field("place", said("&Place"), text_field(characters=30))
        self.form.add_field("abroad", said("Abroad"), SwitchField(said("Happened abroad")))
        self.form.add_field("cause", said("Cau&se"), ChoiceField(_cause_choices()))
        self.form.add_field(
            "forced_entry",
            said("Forced entry"),
            ChoiceField([(None, said("not said")), (True, said("yes")), (False, said("no"))]),
        )
        self.form.add_field(
            "narrative",
            said("&What happened"),
            LongTextField(lines=6),
            said("In order, with times; facts only."),
        )
        self.form.add_field(
            "persons", said("Pers&ons"), text_field(characters=30), said("Several: commas.")
        )
        self.form.add_field("report_number", said("Incident report no."), text_field(characters=20))
        self.form.add_field("police_report", said("Police report no."), text_field(characters=20))
        self.form.add_field("third_party", said("Third party"), ChoiceField())
        self.form.committed.connect(self._on_committed)
        self.form.refused.connect(context.message)
        column.addWidget(self.form)
        self.remove = link_button(said("Remove this occurrence"))
        self.remove.clicked.connect(self._on_remove)
        column.addWidget(self.remove)
        column.addStretch(1)

    def _zone(self) -> str:
        return self._context.claim.zone

    @property
    def occurrence(self) -> Occurrence | None:
        """The occurrence that is shown."""
        return self._occurrence

    def show_occurrence(self, occurrence: Occurrence) -> None:
        """Show one occurrence of the claim."""
        self._occurrence = occurrence
        parties = [
            (one.id, one.name) for one in self._context.claim.parties if one.role == "third_party"
        ]
        third = cast("ChoiceField", self.form.fields["third_party"])
        third.set_choices([(None, said("none")), *parties])
        values = {name: getattr(occurrence, name) for name in self.form.fields}
        values["persons"] = ", ".join(occurrence.persons)
        for name in ("title", "place", "persons", "report_number", "police_report"):
            values[name] = values[name] or None
        self.form.show_values(values)

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        one = self._occurrence
        if one is None:
            return
        if name == "persons":
            value = tuple(p.strip() for p in str(value or "").split(",") if p.strip())
        elif name in ("title", "place", "report_number", "police_report", "narrative"):
            value = value or ""
        elif name in ("at", "day") and not isinstance(value, dt.date):
            value = None
        changed = with_fields(one, **{name: value})
        self._context.attempt(lambda: work.put_occurrence(self._context.desk, changed))

    @Slot()
    def _on_remove(self) -> None:
        one = self._occurrence
        if one is not None:
            self._context.attempt(lambda: work.remove_occurrence(self._context.desk, one.id))
