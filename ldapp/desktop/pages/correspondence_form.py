"""One thing sent or received, as fields."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from ldapp.casework import after_sending as work
from ldapp.casework.edit import find
from ldapp.claim.documents import Channel
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.after_sending_rows import WAYS
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.pages.said import party_of_agreement
from ldapp.desktop.theme import TypeSize
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    LongTextField,
    date_field,
    instant_field,
    money_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import marked_in, said

_NEEDED = frozenset({"at", "subject", "step", "direction", "channel"})
_CHANNELS: dict[Channel, str] = {
    "email": marked_in("how a letter went", "email"),
    "post": marked_in("how a letter went", "post"),
    "hand": marked_in("how a letter went", "hand"),
    "telephone": marked_in("how a letter went", "telephone"),
    "meeting": marked_in("how a letter went", "meeting"),
    "portal": marked_in("how a letter went", "portal"),
}


class CorrespondenceForm(QWidget):
    """Changes the chosen entry at once; every change can be undone."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._key = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self.form = RecordForm(across=2)
        add = self.form.add_field
        add("at", said("&When"), instant_field(lambda: context.claim.zone))
        add("subject", said("S&ubject"), text_field(characters=30))
        add(
            "step",
            said("Wh&at"),
            ChoiceField([(one, said(name)) for one, name in work.STEP_NAMES.items()]),
        )
        add(
            "reply_by",
            said("Answer &due"),
            date_field(),
            said("Shown among the deadlines until answered."),
        )
        add(
            "direction",
            said("Wa&y"),
            ChoiceField([(one, said(name)) for one, name in WAYS.items()]),
        )
        add(
            "channel",
            said("By"),
            ChoiceField([(one, said(name)) for one, name in _CHANNELS.items()]),
        )
        add("agreement", said("Re&ntal company"), ChoiceField())
        add("party", said("W&ith"), ChoiceField())
        add("document", said("&Paper"), ChoiceField())
        for name, label in (
            ("offered", said("&Offered, all")),
            ("settled", said("Settled, all")),
            ("paid", said("Paid")),
        ):
            add(name, label, money_field(lambda: context.claim.currency))
        add(
            "text",
            said("In short"),
            LongTextField(lines=2),
            said("For the desk; printed in no letter."),
        )
        self.form.committed.connect(self._on_committed)
        self.form.refused.connect(context.message)
        column.addWidget(self.form)
        self.hash = Label("", TypeSize.SMALL, muted=True, wrap=True)
        column.addWidget(self.hash)

    @property
    def key(self) -> str:
        """The id of the entry that is shown, or nothing."""
        return self._key

    def show_entry(self, key: str) -> None:
        """Show one entry as it stands; one that is gone empties the form."""
        claim = self._context.claim
        entry = find(claim.correspondence, key)
        self._key = entry.id if entry is not None else ""
        self.setEnabled(entry is not None)
        fields = self.form.fields
        cast("ChoiceField", fields["agreement"]).set_choices(
            [
                (None, said("not with one alone")),
                *((one.id, party_of_agreement(claim, one.id)) for one in claim.agreements),
            ]
        )
        cast("ChoiceField", fields["party"]).set_choices(
            [(None, said("not said")), *((one.id, one.name) for one in claim.parties)]
        )
        cast("ChoiceField", fields["document"]).set_choices(
            [(None, said("not attached")), *((one.id, one.title) for one in claim.documents)]
        )
        self.form.show_values(
            {name: None if entry is None else getattr(entry, name) for name in fields}
        )
        sent = entry is not None and entry.sha256
        self.hash.setText(
            said("SHA-256 of the file as sent: {sha256}", sha256=entry.sha256)
            if entry and sent
            else ""
        )
        self.hash.setVisible(bool(sent))

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        entry = find(self._context.claim.correspondence, self._key)
        if entry is None:
            return
        if value is None and name in _NEEDED:
            self._context.message.emit(
                said("What was sent or received needs a time and a subject.")
            )
            self.form.show_values({name: getattr(entry, name)})
            return
        changed = with_fields(entry, **{name: value or "" if name == "text" else value})
        self._context.attempt(lambda: work.put_entry(self._context.desk, changed))
