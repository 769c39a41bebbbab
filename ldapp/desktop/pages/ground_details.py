"""Our own words and figures for one ground, and the papers, photos and counts behind it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import charges as work
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.grounds import GROUND_BY_CODE, GroundCode
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.words import DOCUMENT_KINDS
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.pages.record_form import RecordForm, number_field
from ldapp.desktop.pages.said import count_text, first_upper
from ldapp.desktop.theme import TypeSize
from ldapp.desktop.widgets.fields import LongTextField, money_field, text_field, whole_field
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.desktop.widgets.pieces import Label, icon_button
from ldapp.language import said


class GroundDetails(QWidget):
    """Our own words and figures for one ground, and what supports it."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._charge = ""
        self._code: GroundCode | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self._title = Label("", bold=True, wrap=True)
        column.addWidget(self._title)
        self.form = RecordForm()
        self.form.add_field(
            "words", said("Own w&ords"), LongTextField(lines=3), said("Printed in the answer.")
        )
        self.form.add_field("clause", said("Clau&se"), text_field(characters=14))
        self.form.add_field("quantity", said("Our units"), whole_field())
        self.form.add_field(
            "amount", said("Our amount"), money_field(lambda: context.claim.currency)
        )
        self.form.add_field("days", said("Our days"), number_field())
        self.form.add_field("rate", said("Our rate"), number_field())
        self.form.committed.connect(self._on_committed)
        self.form.refused.connect(context.message)
        column.addWidget(self.form)
        adding = QWidget()
        row = FlowLayout(adding)
        for says, slot in (
            (said("Add document"), self._add_document),
            (said("Add photo"), self._add_photo),
            (said("Add count"), self._add_count),
        ):
            button = QPushButton(says)
            button.clicked.connect(slot)
            row.addWidget(button)
        column.addWidget(adding)
        self._rests = QVBoxLayout()
        column.addLayout(self._rests)

    @property
    def code(self) -> GroundCode | None:
        """The ground that is shown."""
        return self._code

    def show_ground(self, charge: Charge, code: GroundCode) -> None:
        """Show one ground of a charge."""
        self._charge, self._code = charge.id, code
        choice = self._choice(charge)
        self._title.setText(first_upper(said(GROUND_BY_CODE[code].label)))
        values: dict[str, Any] = {name: getattr(choice, name) for name in self.form.fields}
        values["clause"] = values["clause"] or None
        self.form.show_values(values)
        while (item := self._rests.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        claim = self._context.claim
        named = [
            *(
                (said("document: {title}", title=one.title), "documents", one.id)
                for one in claim.documents
                if one.id in choice.documents
            ),
            *(
                (said("photo: {photo}", photo=one.name), "photos", one.id)
                for one in claim.photos
                if one.id in choice.photos
            ),
            *(
                (said("count: {count}", count=count_text(one)), "counts", one.id)
                for one in claim.counts
                if one.id in choice.counts
            ),
        ]
        for says, field, key in named:
            self._rests.addWidget(_Support(self, says, field, key))

    def _choice(self, charge: Charge) -> GroundChoice:
        assert self._code is not None
        known = next((one for one in charge.grounds if one.code == self._code), None)
        return known or GroundChoice(code=self._code)

    def _put(self, **values: Any) -> None:
        charge = self._context.attempt(lambda: work.find_charge(self._context.claim, self._charge))
        if charge is not None:
            ground = dataclasses.replace(self._choice(charge), **values)
            self._context.attempt(lambda: work.put_ground(self._context.desk, charge.id, ground))

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        self._put(**{name: value or "" if name in ("words", "clause") else value})

    def _add(self, field: str, title: str, choices: Sequence[Choice]) -> None:
        key = RecordChooser.ask(title, choices, self) if choices else None
        if not choices:
            self._context.message.emit(said("There is nothing of that kind in the claim yet."))
        if key is not None:
            self.change_support(field, key, add=True)

    def change_support(self, field: str, key: str, *, add: bool) -> None:
        """Add or take off a document, photo or count that supports the ground."""
        charge = work.find_charge(self._context.claim, self._charge)
        known: tuple[str, ...] = getattr(self._choice(charge), field)
        without = tuple(one for one in known if one != key)
        self._put(**{field: (*without, key) if add else without})

    @Slot()
    def _add_document(self) -> None:
        papers, kinds = self._context.claim.documents, dict(DOCUMENT_KINDS)
        self._add(
            "documents",
            said("Which document"),
            [Choice(one.id, one.title, said(kinds[one.kind])) for one in papers],
        )

    @Slot()
    def _add_photo(self) -> None:
        photos = self._context.claim.photos
        self._add("photos", said("Which photo"), [Choice(one.id, one.name) for one in photos])

    @Slot()
    def _add_count(self) -> None:
        counts = self._context.claim.counts
        self._add(
            "counts",
            said("Which count"),
            [Choice(one.id, count_text(one), one.place) for one in counts],
        )


class _Support(QWidget):
    """One thing that a ground rests on, with the button that takes it off."""

    def __init__(self, details: GroundDetails, says: str, field: str, key: str) -> None:
        super().__init__(details)
        self._details, self._field, self._key = details, field, key
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(Label(says, TypeSize.SMALL, wrap=True), 1)
        button = icon_button("close", said("Take off {support}", support=says))
        button.clicked.connect(self._on_remove)
        row.addWidget(button)

    @Slot()
    def _on_remove(self) -> None:
        self._details.change_support(self._field, self._key, add=False)
