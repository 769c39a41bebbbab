"""The rules by which parties bear the rest: shares in their order, and groups."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QHBoxLayout, QWidget

from ldapp.casework import papers, shares
from ldapp.casework.edit import find
from ldapp.casework.open_claim import new_id
from ldapp.claim.documents import Split
from ldapp.claim.parties import Party
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.words import said_choices
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    Field,
    ParsedField,
    SeveralField,
    money_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import Label, Section, icon_button, link_button
from ldapp.desktop.widgets.sentence_form import SentenceForm
from ldapp.desktop.widgets.values import parse_decimal, plain_number
from ldapp.language import marked, said

_TOGETHER = (
    (None, marked("in equal parts (not stated)")),
    ("in_equal_parts", marked("in equal parts")),
    ("jointly", marked("jointly, each for all of it")),
)


class RuleRow(QWidget):
    """A sentence with fields, and the cross that takes it off."""

    def __init__(
        self,
        form: SentenceForm,
        take_off_says: str,
        take_off: Callable[[], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.form = form
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID)
        row.addWidget(form, 1)
        self.take_off = icon_button("close", take_off_says)
        self.take_off.clicked.connect(take_off)
        row.addWidget(self.take_off, 0, Qt.AlignmentFlag.AlignTop)


class RulesSection(Section):
    """Rows of one kind, made anew when what they show has changed its number."""

    def __init__(self, title: str, none: str, add: str, context: ClaimContext) -> None:
        super().__init__(title)
        self.context = context
        self.rows: dict[str, RuleRow] = {}
        self.add_button = link_button(add)
        self.add_button.clicked.connect(self._on_add)
        self.add_head(self.add_button)
        self._none = Label(none, muted=True, wrap=True)
        self.body.addWidget(self._none)

    @Slot()
    def _on_add(self) -> None:
        self.add()

    def add(self) -> None:
        """Begin one more."""

    def show_rows(self, keys: list[str], make: Callable[[str], RuleRow]) -> None:
        """Keep the rows of these records, in this order."""
        self._none.setVisible(not keys)
        if list(self.rows) == keys:
            return
        for row in self.rows.values():
            self.body.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows = {key: make(key) for key in keys}
        for row in self.rows.values():
            self.body.addWidget(row)


class SplitsSection(RulesSection):
    """Who bears a part of what nobody else pays, in order."""

    def __init__(self, context: ClaimContext) -> None:
        super().__init__(
            said("Who bears the rest"),
            said(
                "Not stated: the renter as a whole bears what waiver and insurance do "
                "not pay. The rule for a deductible alone stands in the policy."
            ),
            said("Add a share"),
            context,
        )

    def refresh(self) -> None:
        """Show the shares."""
        claim = self.context.claim
        self.show_rows([one.id for one in claim.splits], self._row)
        parties = [(one.id, one.name or said("(no name)")) for one in claim.parties]
        events = [(None, said("every event")), *((one.id, one.title) for one in claim.occurrences)]
        for split in claim.splits:
            form = self.rows[split.id].form
            _offer(form.fields["party"], parties)
            _offer(form.fields["occurrence"], events)
            form.show_values(
                {
                    one.name: getattr(split, one.name) or None
                    for one in dataclasses.fields(split)
                    if one.name in form.fields
                }
            )

    def _row(self, key: str) -> RuleRow:
        fields: dict[str, tuple[str, Field]] = {
            "party": (said("Who bears it"), ChoiceField()),
            "share_percent": (
                said("Share in percent"),
                ParsedField(parse_decimal, plain_number, characters=5, right=True),
            ),
            "amount": (said("Amount"), money_field(self._currency)),
            "at_most": (said("At most"), money_field(self._currency)),
            "occurrence": (said("Of which event"), ChoiceField()),
            "note": (said("Where the rule is written"), text_field(characters=30)),
        }
        form = SentenceForm(
            said(
                "[party] bears [share_percent] % of what is left, or [amount] (both "
                "empty: the rest), at most [at_most], of [occurrence]; by [note]."
            ),
            fields,
        )
        form.refused.connect(self.context.refuse)

        def commit(name: str, value: Any) -> None:
            split = find(self.context.claim.splits, key)
            if split is not None:
                if name == "note":
                    value = value or ""
                changed = dataclasses.replace(split, **{name: value})
                self.context.attempt(lambda: shares.put_split(self.context.desk, changed))

        form.committed.connect(commit)
        return RuleRow(form, said("Remove this share"), lambda: self._remove(key))

    def _currency(self) -> str:
        return self.context.claim.currency

    def add(self) -> None:
        """Add a share of the first party that bears none yet."""
        claim = self.context.claim
        if not claim.parties:
            self.context.message.emit(
                said("Enter the parties first: a share is borne by one of them.")
            )
            return
        taken = {split.party for split in claim.splits}
        likely = sorted(claim.parties, key=lambda one: one.role not in ("student", "department"))
        party = next((one for one in likely if one.id not in taken), likely[0])
        split = Split(id=new_id(), party=party.id)
        self.context.attempt(lambda: shares.put_split(self.context.desk, split))

    def _remove(self, key: str) -> None:
        left = tuple(one for one in self.context.claim.splits if one.id != key)
        self.context.attempt(lambda: papers.put_splits(self.context.desk, left))


class GroupsSection(RulesSection):
    """Who belongs to a group, and how it bears its part."""

    def __init__(self, context: ClaimContext) -> None:
        super().__init__(
            said("Groups"),
            said("No group: each party bears its part by itself."),
            said("Add a group of students"),
            context,
        )

    def refresh(self) -> None:
        """Show the groups."""
        claim = self.context.claim
        groups = [one for one in claim.parties if one.members]
        self.show_rows([one.id for one in groups], self._row)
        persons = [
            (one.id, one.name or said("(no name)")) for one in claim.parties if not one.members
        ]
        for group in groups:
            form = self.rows[group.id].form
            _offer(form.fields["members"], persons)
            form.show_values(
                {"name": group.name, "members": group.members, "together": group.together}
            )

    def _row(self, key: str) -> RuleRow:
        fields: dict[str, tuple[str, Field]] = {
            "name": (said("Name of the group"), text_field(characters=22)),
            "members": (said("Who belongs to the group"), SeveralField((), said("nobody yet"))),
            "together": (
                said("How the group bears its part"),
                ChoiceField(said_choices(_TOGETHER)),
            ),
        }
        form = SentenceForm(said("[name] is [members]; they bear their part [together]."), fields)
        form.refused.connect(self.context.refuse)

        def commit(name: str, value: Any) -> None:
            group = find(self.context.claim.parties, key)
            if group is None:
                return
            if name == "members" and not value:
                self.context.message.emit(
                    said("A group needs its members. The cross takes it off.")
                )
                self.refresh()
                return
            if name == "name":
                value = value or ""
            changed: Party = dataclasses.replace(group, **{name: value})
            self.context.attempt(lambda: papers.put_party(self.context.desk, changed))

        form.committed.connect(commit)
        return RuleRow(form, said("Remove this group"), lambda: self._remove(key))

    def add(self) -> None:
        """Add a group of all students."""
        if not any(one.role == "student" for one in self.context.claim.parties):
            self.context.message.emit(
                said("Enter the students as parties first: a group is of them.")
            )
            return
        self.context.attempt(lambda: shares.add_group(self.context.desk))

    def _remove(self, key: str) -> None:
        self.context.attempt(lambda: papers.remove_party(self.context.desk, key))


def _offer(field: Field, choices: list[tuple[Any, str]]) -> None:
    if isinstance(field, ChoiceField | SeveralField):
        field.set_choices(choices)
