"""One rental agreement: its facts, and its terms as sentences."""

from __future__ import annotations

import dataclasses
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QPushButton, QWidget

from ldapp.casework import papers, templates
from ldapp.casework.edit import find
from ldapp.casework.places import Place
from ldapp.claim.agreement import Agreement
from ldapp.claim.record import with_fields
from ldapp.claim.terms import Terms
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.agreement_sentences import AGREEMENT_GROUPS
from ldapp.desktop.pages.paper_parts.panel import PaperPanel
from ldapp.desktop.pages.paper_parts.reference_menu import ReferenceButton
from ldapp.desktop.pages.paper_parts.term_fields import TermFields
from ldapp.desktop.pages.paper_parts.terms_list import TermsList
from ldapp.desktop.pages.paper_parts.words import within_a_sentence
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    Field,
    LongTextField,
    ParsedField,
    date_field,
    instant_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import LabelledRows, Section
from ldapp.language import marked, said

_TEXTS = ("reference", "purchase_order", "note")


class AgreementPanel(PaperPanel):
    """What one agreement says."""

    kinds = frozenset({"agreement", "party", "document", "claim"})
    spoken = marked("Agreement")

    def __init__(
        self, context: ClaimContext, agreement: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(context, parent)
        self.agreement = agreement
        facts = Section(said("Agreement"))
        self.use_button = QPushButton(said("Take over kept terms"))
        self.use_button.setToolTip(
            said("Terms kept from an earlier claim with this rental company")
        )
        self.use_button.clicked.connect(self._on_use)
        self.keep_button = QPushButton(said("Keep these terms"))
        self.keep_button.setToolTip(said("For the next claim with this rental company"))
        self.keep_button.clicked.connect(self._on_keep)
        remove = QPushButton(said("Remove agreement"))
        remove.clicked.connect(self._on_remove)
        self.reference = ReferenceButton(context, self._terms)
        self.reference.chosen.connect(self._on_term)
        facts.body.addWidget(
            self.buttons(self.reference, self.use_button, self.keep_button, remove)
        )
        self.fields: dict[str, Field] = {
            "lessor": ChoiceField(),
            "renter": ChoiceField(),
            "reference": text_field(),
            "starts": instant_field(self._zone),
            "ends": instant_field(self._zone),
            "custody_began": instant_field(self._zone),
            "custody_ended": instant_field(self._zone),
            "signed": date_field(),
            "notified": date_field(),
            "paid": date_field(),
            "purchase_order": text_field(),
            "document": ChoiceField(),
            "note": LongTextField(lines=2),
        }
        rows = LabelledRows(across=2)
        for name, label, help_text in (
            ("lessor", said("Rental co&mpany"), ""),
            ("renter", said("Ren&ter"), said("Whether the policy insures it decides on cover.")),
            ("reference", said("Re&ference"), said("The agreement's or order's number.")),
            ("purchase_order", said("Purchase or&der"), ""),
            ("starts", said("Rental &begins"), ""),
            ("ends", said("Due bac&k"), ""),
            (
                "custody_began",
                said("C&ustody began"),
                said("When the event under “Risk begins” happened."),
            ),
            (
                "custody_ended",
                said("Custod&y ended"),
                said("When the event under “Risk ends” happened."),
            ),
            ("signed", said("&Signed on"), ""),
            ("document", said("S&igned paper"), said("One of the claim's documents.")),
            (
                "notified",
                said("N&otified on"),
                said("When either side told the other of the loss."),
            ),
            ("paid", said("&Paid on"), said("When the loss was paid to the rental company.")),
            ("note", said("&Note"), said("Private: printed in no dossier.")),
        ):
            rows.add(label, self.fields[name], help_text)
        facts.body.addWidget(rows)
        self.column.addWidget(facts)
        for name, field in self.fields.items():
            field.setProperty("attribute", name)
            field.committed.connect(self._on_fact)
            if isinstance(field, ParsedField | LongTextField):
                field.refused.connect(context.refuse)
        self.terms = TermsList(
            AGREEMENT_GROUPS, TermFields(context, self._own_document, self.paper_asked.emit)
        )
        self.terms.changed.connect(self._on_term)
        self.terms.refused.connect(context.refuse)
        self.column.addWidget(self.terms)
        self.column.addStretch(1)

    def _zone(self) -> str:
        return self.context.claim.zone

    def _own_document(self) -> str | None:
        one = self._present()
        return None if one is None else one.document

    def _terms(self) -> Terms | None:
        one = self._present()
        return None if one is None else one.terms

    def _present(self) -> Agreement | None:
        return find(self.context.claim.agreements, self.agreement)

    def refresh(self) -> None:
        """Show the agreement as it is."""
        one = self._present()
        if one is None:
            return
        claim = self.context.claim
        lessor, document = self.fields["lessor"], self.fields["document"]
        assert isinstance(lessor, ChoiceField)
        assert isinstance(document, ChoiceField)
        lessor.set_choices(
            [
                (party.id, party.name or said("(no name)"))
                for party in claim.parties
                if party.role in ("rental_company", "owner") or party.id == one.lessor
            ]
        )
        renter = self.fields["renter"]
        assert isinstance(renter, ChoiceField)
        renter.set_choices(
            [
                (None, said("not named")),
                *((party.id, party.name or said("(no name)")) for party in claim.parties),
            ]
        )
        document.set_choices(
            [(None, said("not attached")), *((d.id, d.title) for d in claim.documents)]
        )
        for name, field in self.fields.items():
            value = getattr(one, name)
            field.set_value(None if value == "" else value)
        self.terms.show_terms(one.terms)
        has_library = self.context.register is not None
        self.use_button.setEnabled(has_library)
        self.keep_button.setEnabled(has_library)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the sentences fit the width."""
        super().resizeEvent(event)
        self.terms.fit(event.size().width())

    def show_place(self, place: Place) -> None:
        """Bring a fact or a term into sight."""
        if place.field in self.fields:
            self.bring(self.fields[place.field])
        elif place.field in self.terms.rows:
            row = self.terms.rows[place.field]
            row.focus_term()
            self.scroll_to(row)

    @Slot(object)
    def _on_fact(self, value: Any) -> None:
        field, one = self.sender(), self._present()
        if field is None or one is None:
            return
        name = str(field.property("attribute"))
        if name in _TEXTS:
            value = value or ""
        changed = with_fields(one, **{name: value})
        self.context.attempt(lambda: papers.put_agreement(self.context.desk, changed))

    @Slot(str, object)
    def _on_term(self, attribute: str, value: Any) -> None:
        one = self._present()
        if one is None:
            return
        spec = self.terms.rows[attribute].spec
        changed = dataclasses.replace(one, terms=spec.write(one.terms, value))
        label = said("Term: {term}", term=within_a_sentence(said(spec.title)))
        self.context.attempt(lambda: papers.put_agreement(self.context.desk, changed, label))

    @Slot()
    def _on_keep(self) -> None:
        register = self.context.register
        if register is not None:
            name = self.context.attempt(
                lambda: templates.keep_agreement_terms(self.context.desk, register, self.agreement)
            )
            if name:
                self.context.message.emit(
                    said("Kept for the next agreement with {name}.", name=name)
                )

    @Slot()
    def _on_use(self) -> None:
        register = self.context.register
        if register is not None:
            self.context.attempt(
                lambda: templates.use_agreement_terms(self.context.desk, register, self.agreement)
            )

    @Slot()
    def _on_remove(self) -> None:
        self.context.attempt(lambda: papers.remove_agreement(self.context.desk, self.agreement))
