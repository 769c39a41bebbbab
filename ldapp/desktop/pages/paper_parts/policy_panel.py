"""The insurance policy: its facts, and its terms as sentences."""

from __future__ import annotations

import dataclasses
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QPushButton, QStackedWidget, QVBoxLayout, QWidget

from ldapp.casework import papers, templates
from ldapp.casework.places import Place
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.name_dialog import NameDialog
from ldapp.desktop.pages.paper_parts.panel import FROM_RECORDS, PaperPanel, fit_to_content
from ldapp.desktop.pages.paper_parts.policy_sentences import POLICY_GROUPS
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
    money_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import EmptyState, LabelledRows, Section
from ldapp.language import marked, said

_PARTIES = ("insurer", "insured", "broker", "loss_payee")
_TEXTS = ("number", "claim_number", "note")
_DAYS = ("notified", "proof_requested", "proof_given", "decided", "first_paid")
"""What happened with the insurer, and when: deadlines start from these."""


class PolicyPanel(PaperPanel):
    """What the policy says, or the offer to add one."""

    kinds = frozenset({"policy", "party", "document", "claim"})
    spoken = marked("Policy")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._stack = QStackedWidget()
        self.empty = EmptyState(
            said("No policy: what the rental company is owed is borne by the renter alone."),
            said("Add the policy"),
            said(FROM_RECORDS),
        )
        self.empty.acted.connect(self._on_add)
        self.empty.second_acted.connect(self.show_records)
        self._stack.addWidget(self.empty)
        self.column.addWidget(self._stack, 1)
        self.terms: TermsList | None = None
        self.fields: dict[str, Field] = {}

    def _build(self) -> None:
        page = QWidget()
        fit_to_content(page)
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        facts = Section(said("Policy"))
        self.reference = ReferenceButton(self.context, self._terms)
        self.reference.chosen.connect(self._on_term)
        buttons: list[QWidget] = [self.reference, self.records_button()]
        for text, slot in (
            (said("Take over kept terms"), self._on_use),
            (said("Keep these terms"), self._on_keep),
            (said("Remove policy"), self._on_remove),
        ):
            button = QPushButton(text)
            button.clicked.connect(slot)
            buttons.append(button)
        facts.body.addWidget(self.buttons(*buttons))
        self.fields = {
            "insurer": ChoiceField(),
            "number": text_field(),
            "insured": ChoiceField(),
            "broker": ChoiceField(),
            "loss_payee": ChoiceField(),
            "claim_number": text_field(),
            "document": ChoiceField(),
            "aggregate_used_before": money_field(self._currency),
            **{name: date_field() for name in _DAYS},
            "note": LongTextField(lines=2),
        }
        rows = LabelledRows(across=2)
        for name, label, help_text in (
            ("insurer", said("&Insurer"), ""),
            ("number", said("&Policy number"), ""),
            ("insured", said("Insure&d"), ""),
            ("broker", said("&Broker"), ""),
            ("loss_payee", said("&Loss payee"), said("Who is paid first or jointly.")),
            ("claim_number", said("Insurer's clai&m number"), ""),
            ("document", said("P&olicy or certificate"), said("One of the claim's documents.")),
            (
                "aggregate_used_before",
                said("&Annual limit used before"),
                said("By earlier claims of the same policy year."),
            ),
            ("notified", said("In&surer told on"), ""),
            (
                "proof_requested",
                said("Proof as&ked for on"),
                said("When the insurer asked for it."),
            ),
            ("proof_given", said("Proof &given on"), ""),
            ("decided", said("Decided on"), said("When the insurer accepted or denied.")),
            ("first_paid", said("&First paid on"), ""),
            ("note", said("&Note"), said("Private: printed in no dossier.")),
        ):
            rows.add(label, self.fields[name], help_text)
        facts.body.addWidget(rows)
        column.addWidget(facts)
        for name, field in self.fields.items():
            field.setProperty("attribute", name)
            field.committed.connect(self._on_fact)
            if isinstance(field, ParsedField | LongTextField):
                field.refused.connect(self.context.refuse)
        self.terms = TermsList(
            POLICY_GROUPS, TermFields(self.context, self._own_document, self.paper_asked.emit)
        )
        self.terms.changed.connect(self._on_term)
        self.terms.refused.connect(self.context.refuse)
        self.terms.fit(self.width())
        column.addWidget(self.terms)
        column.addStretch(1)
        self._stack.addWidget(page)

    def _currency(self) -> str:
        return self.context.claim.currency

    def refresh(self) -> None:
        """Show the policy as it is."""
        claim = self.context.claim
        policy = claim.policy
        if policy is None:
            self._stack.setCurrentIndex(0)
            return
        if self.terms is None:
            self._build()
        assert self.terms is not None
        parties = [(party.id, party.name or said("(no name)")) for party in claim.parties]
        for name in _PARTIES:
            field = self.fields[name]
            assert isinstance(field, ChoiceField)
            field.set_choices(
                parties if name == "insurer" else [(None, said("not named")), *parties]
            )
        document = self.fields["document"]
        assert isinstance(document, ChoiceField)
        document.set_choices(
            [(None, said("not attached")), *((d.id, d.title) for d in claim.documents)]
        )
        for name, field in self.fields.items():
            value = getattr(policy, name)
            field.set_value(None if value == "" else value)
        self.terms.show_terms(policy.terms)
        self._stack.setCurrentIndex(1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the sentences fit the width."""
        super().resizeEvent(event)
        if self.terms is not None:
            self.terms.fit(event.size().width())

    def show_place(self, place: Place) -> None:
        """Bring a fact or a term into sight."""
        if place.field in self.fields:
            self.bring(self.fields[place.field])
        elif self.terms is not None and place.field in self.terms.rows:
            row = self.terms.rows[place.field]
            row.focus_term()
            self.scroll_to(row)

    @Slot(object)
    def _on_fact(self, value: Any) -> None:
        field, policy = self.sender(), self.context.claim.policy
        if field is None or policy is None:
            return
        name = str(field.property("attribute"))
        if name in _TEXTS:
            value = value or ""
        elif name == "aggregate_used_before" and value is None:
            value = type(policy)(id="", insurer="").aggregate_used_before
        changed = with_fields(policy, **{name: value})
        self.context.attempt(lambda: papers.put_policy(self.context.desk, changed))

    def _own_document(self) -> str | None:
        policy = self.context.claim.policy
        return None if policy is None else policy.document

    def _terms(self) -> PolicyTerms | None:
        policy = self.context.claim.policy
        return None if policy is None else policy.terms

    @Slot(str, object)
    def _on_term(self, attribute: str, value: Any) -> None:
        policy = self.context.claim.policy
        if policy is None or self.terms is None:
            return
        spec = self.terms.rows[attribute].spec
        changed = dataclasses.replace(policy, terms=spec.write(policy.terms, value))
        label = said("Policy term: {term}", term=within_a_sentence(said(spec.title)))
        self.context.attempt(lambda: papers.put_policy(self.context.desk, changed, label))

    @Slot()
    def _on_add(self) -> None:
        insurers = [one.name for one in self.context.claim.parties if one.role == "insurer"]
        name = NameDialog.ask(said("The policy"), said("&Insurer"), insurers, self)
        if name:
            self.context.attempt(lambda: papers.add_policy(self.context.desk, name))

    @Slot()
    def _on_keep(self) -> None:
        register = self.context.register
        if register is not None:
            name = self.context.attempt(
                lambda: templates.keep_policy_terms(self.context.desk, register)
            )
            if name:
                self.context.message.emit(said("Kept for the next claim with {name}.", name=name))

    @Slot()
    def _on_use(self) -> None:
        register = self.context.register
        if register is not None:
            self.context.attempt(lambda: templates.use_policy_terms(self.context.desk, register))

    @Slot()
    def _on_remove(self) -> None:
        self.context.attempt(lambda: papers.put_policy(self.context.desk, None))
