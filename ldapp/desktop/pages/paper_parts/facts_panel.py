"""The claim's own facts."""

from __future__ import annotations

import re
from typing import Any
from zoneinfo import available_timezones

import babel.numbers
from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QWidget

from ldapp.casework import papers
from ldapp.casework.places import Place
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.new_claim import choice_with_search
from ldapp.desktop.pages.paper_parts.panel import PaperPanel
from ldapp.desktop.pages.paper_parts.words import said_choices
from ldapp.desktop.register_columns import STAGE_LABELS
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    Field,
    LongTextField,
    ParsedField,
    date_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import (
    LabelledRows,
    Section,
)
from ldapp.desktop.widgets.values import parse_decimal
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_in


def position_text(position: tuple[float, float]) -> str:
    """Write a position so that it can be typed again."""
    return f"{position[0]:.5f}, {position[1]:.5f}"


def parse_position(text: str) -> tuple[float, float]:
    """Read ``39.7392, -104.9903`` or ``39,7392; -104,9903``: latitude and longitude in degrees.

    Raises:
        LdappError: it is no place on the earth.
    """
    parts = [part for part in text.split(";" if ";" in text else ",") if part.strip()]
    if len(parts) == 2:
        latitude, longitude = (_degrees(part) for part in parts)
        if abs(latitude) <= 90 and abs(longitude) <= 180:
            return latitude, longitude
    raise LdappError(
        said(
            "“{text}” is no position. Expected: latitude, longitude in degrees, "
            "39.7392, -104.9903.",
            text=text,
        )
    )


def _degrees(text: str) -> float:
    # Positions are written with a point in every language; "39.739" is no thousands here.
    if re.fullmatch(r"[+-]?\d+\.\d+", text.strip()):
        return float(text)
    return float(parse_decimal(text))


class FactsPanel(PaperPanel):
    """Reference, production, stage, currency, zone, place."""

    kinds = frozenset({"claim"})
    spoken = marked("Facts of the claim")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        facts = Section(said("Claim"))
        rows = LabelledRows()
        self.fields: dict[str, Field] = {
            "reference": text_field(),
            "title": text_field(characters=44),
            "stage": ChoiceField(said_choices(STAGE_LABELS.items())),
            "opened": date_field(),
            "place": text_field(characters=44),
            "position": ParsedField(parse_position, position_text, characters=24),
            "note": LongTextField(),
        }
        self.currency = self._searched(
            "currency", sorted(babel.numbers.list_currencies()), said("Currency")
        )
        self.zone = self._searched("zone", sorted(available_timezones()), said("Time zone"))
        for name, label, help_text in (
            ("reference", said("Re&ference"), said("Stands on every page that is sent.")),
            ("title", said("&Production"), ""),
            ("stage", said_in("of the claim", "&Stage"), said("How far the claim has come.")),
            ("opened", said("&Opened"), ""),
            ("place", said("P&lace"), said("Where the job was; printed.")),
            (
                "position",
                said("Pos&ition"),
                said("Compared with the positions in photos; optional."),
            ),
        ):
            rows.add(label, self.fields[name], help_text)
        rows.add(
            said("Currenc&y"), self.currency, said("Amounts are not converted when it is changed.")
        )
        rows.add(
            said("Time &zone"), self.zone, said("Times without an offset are taken to be there.")
        )
        rows.add(said("&Note"), self.fields["note"], said("Private: printed in no dossier."))
        facts.body.addWidget(rows)
        self.column.addWidget(facts)
        for name, field in self.fields.items():
            field.setProperty("fact", name)
            field.committed.connect(self._on_committed)
            if isinstance(field, ParsedField | LongTextField):
                field.refused.connect(context.refuse)
        self.column.addStretch(1)

    def _searched(self, fact: str, values: list[str], name: str) -> QComboBox:
        box = choice_with_search(values, "", name)
        box.setProperty("fact", fact)
        box.activated.connect(self._on_searched)
        edit = box.lineEdit()
        if edit is not None:
            edit.setAccessibleName(name)
            edit.editingFinished.connect(self._on_searched_typed)
        return box

    def refresh(self) -> None:
        """Show the facts as they are."""
        claim = self.context.claim
        for name, field in self.fields.items():
            value = getattr(claim, name)
            field.set_value(value if value != "" else None)
        for box, value in ((self.currency, claim.currency), (self.zone, claim.zone)):
            if box.currentText() != value:
                box.setCurrentText(value)

    def show_place(self, place: Place) -> None:
        """Give a fact the focus."""
        if place.field in self.fields:
            self.bring(self.fields[place.field])

    @Slot(object)
    def _on_committed(self, value: Any) -> None:
        field = self.sender()
        name = field.property("fact") if field else ""
        if name in ("reference", "title", "place", "note"):
            value = value or ""
        self._change(name, value)

    @Slot()
    def _on_searched(self) -> None:
        box = self.sender()
        if isinstance(box, QComboBox):
            self._change(str(box.property("fact")), box.currentText().strip())

    @Slot()
    def _on_searched_typed(self) -> None:
        for box in (self.currency, self.zone):
            name = str(box.property("fact"))
            if box.currentText().strip() != getattr(self.context.claim, name):
                self._change(name, box.currentText().strip())

    def _change(self, name: str, value: Any) -> None:
        done = self.context.attempt(lambda: papers.change_facts(self.context.desk, **{name: value}))
        if done is None:
            self.refresh()
