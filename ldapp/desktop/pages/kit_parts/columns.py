"""The columns of the kit list, and how typed text becomes a line."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from ldapp.casework.free_text import looks_like_card_number, refuse_card_numbers
from ldapp.claim.claim import Claim
from ldapp.claim.kit import EquipmentKind, KitLine
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.words import EQUIPMENT_KINDS
from ldapp.desktop.theme import Role
from ldapp.desktop.widgets.table_model import Column
from ldapp.desktop.widgets.values import (
    amount_text,
    date_text,
    parse_date,
    parse_money,
    parse_whole,
    plain_number,
)
from ldapp.errors import LdappError
from ldapp.language import marked, said

_KIND_LABELS = dict(EQUIPMENT_KINDS)
_NO_KIND = marked("“{text}” is not a kind of equipment of this claim. Choose one from the list.")
_NO_AGREEMENT = marked("“{text}” is not an agreement of this claim. Choose one from the list.")
_NO_PARTY = marked("“{text}” is not a party of this claim. Choose one from the list.")
SERIAL_COLUMNS = ("serials", "asset_tags")


def natural_key(text: str) -> tuple[Any, ...]:
    """Return a key by which 2 comes before 10, and 10 before 10a."""
    return tuple(
        (0, int(part), "") if part.isdigit() else (1, 0, part)
        for part in re.findall(r"\d+|\D+", text.casefold())
    )


class KitColumns:
    """Declares the columns over one claim; faults and names are looked up as they are now."""

    def __init__(self, context: ClaimContext) -> None:
        self._context = context
        self.faults: dict[str, tuple[str, ...]] = {}
        self._agreement_names: dict[str, str] = {}
        self._party_names: dict[str, str] = {}

    def take_up(self, claim: Claim, faults: dict[str, tuple[str, ...]]) -> None:
        """Look at the claim as it is now."""
        self.faults = faults
        self._party_names = {party.id: party.name for party in claim.parties}
        self._agreement_names = {
            one.id: self._party_names.get(one.lessor, "") or one.reference or said("Agreement")
            for one in claim.agreements
        }

    def agreement_names(self) -> dict[str, str]:
        """Return what each agreement is called, by its id."""
        return dict(self._agreement_names)

    def _money(self, name: str, title: str) -> Column[KitLine]:
        def amount(line: KitLine) -> Decimal | None:
            value: Decimal | None = getattr(line, name)
            return value

        def shown(line: KitLine) -> str:
            value = amount(line)
            return "" if value is None else amount_text(value, self._context.claim.currency)

        def edited(line: KitLine) -> str:
            value = amount(line)
            return "" if value is None else plain_number(value)

        return Column(
            name=name,
            title=title,
            text=shown,
            key=amount,
            edit_text=edited,
            right=True,
            editable=True,
            width=12,
        )

    def _fault_text(self, line: KitLine) -> str:
        faults = self.faults.get(line.id, ())
        return f"! {'; '.join(faults)}" if faults else ""

    def _fault_role(self, line: KitLine) -> Role | None:
        return "amber" if line.id in self.faults else None

    def _agreement_choices(self, line: KitLine) -> Sequence[tuple[str, str]]:
        del line
        return tuple(self._agreement_names.items())

    def _owner_choices(self, line: KitLine) -> Sequence[tuple[str, str]]:
        del line
        named = [(key, name) for key, name in self._party_names.items() if name]
        return [("", said("(the rental company)")), *named]

    def all(self) -> tuple[Column[KitLine], ...]:
        """Return every column in the order of the list."""
        plain = _text_column
        return (
            Column(
                name="number",
                title=marked("Line"),
                text=lambda line: line.number,
                key=lambda line: natural_key(line.number),
                editable=True,
                width=7,
            ),
            plain("description", marked("Description"), 38),
            Column(
                name="quantity",
                title=marked("Quantity"),
                text=lambda line: str(line.quantity),
                key=lambda line: line.quantity,
                right=True,
                editable=True,
                width=9,
            ),
            Column(
                name="faults",
                title=marked("Look at"),
                text=self._fault_text,
                key=lambda line: len(self.faults.get(line.id, ())) or None,
                role=self._fault_role,
                tip=self._fault_text,
                width=20,
            ),
            plain("location", marked("Where it lives"), 18),
            self._money("replacement_cost", marked("Replacement")),
            _tuple_column("serials", marked("Serial numbers"), 22),
            _tuple_column("asset_tags", marked("Asset tags"), 16),
            Column(
                name="kind",
                title=marked("Kind"),
                text=lambda line: said(_KIND_LABELS[line.kind]),
                edit_text=lambda line: line.kind,
                editable=True,
                choices=lambda _: _kind_choices(),
                width=18,
            ),
            plain("category", marked("Category"), 16),
            self._money("scheduled_value", marked("Scheduled")),
            self._money("day_rate", marked("Rate a day")),
            Column(
                name="acquired",
                title=marked("Bought new"),
                text=lambda line: date_text(line.acquired) if line.acquired else "",
                key=lambda line: line.acquired,
                editable=True,
                width=12,
            ),
            Column(
                name="age_months",
                title=marked("Age, months"),
                text=lambda line: "" if line.age_months is None else str(line.age_months),
                key=lambda line: line.age_months,
                right=True,
                editable=True,
                width=12,
            ),
            Column(
                name="owner",
                title=marked("Owner"),
                text=lambda line: self._party_names.get(line.owner or "", ""),
                edit_text=lambda line: line.owner or "",
                editable=True,
                choices=self._owner_choices,
                width=18,
            ),
            Column(
                name="agreement",
                title=marked("Agreement"),
                text=lambda line: self._agreement_names.get(line.agreement, ""),
                edit_text=lambda line: line.agreement,
                editable=True,
                choices=self._agreement_choices,
                width=20,
            ),
            plain("note", marked("Note"), 24),
        )

    # --- from text --------------------------------------------------------------------

    def with_text(self, line: KitLine, column: str, text: str) -> KitLine:
        """Return the line with a cell's text taken as its value.

        Raises:
            LdappError: the text is no such value.
        """
        text = text.strip()
        try:
            return dataclasses.replace(line, **{column: self._value(column, text)})
        except LdappError as error:
            raise LdappError(
                said("Line {number}: {fault}", number=line.number, fault=error)
            ) from error

    def _value(self, column: str, text: str) -> Any:
        currency = self._context.claim.currency
        if column in SERIAL_COLUMNS:
            return split_list(text)
        if column == "quantity":
            return parse_whole(text) if text else 0
        if column in ("replacement_cost", "scheduled_value", "day_rate"):
            return parse_money(text, currency, least=Decimal(0)) if text else None
        if column == "acquired":
            return parse_date(text) if text else None
        if column == "age_months":
            return parse_whole(text) if text else None
        lookups: dict[str, Callable[[str], Any]] = {
            "kind": lambda one: _choose(one, dict(_kind_choices()), _NO_KIND),
            "agreement": lambda one: _choose(one, self._agreement_names, _NO_AGREEMENT),
            "owner": lambda one: _choose(one, self._party_names, _NO_PARTY) if one else None,
        }
        if column in lookups:
            return lookups[column](text)
        return refuse_card_numbers(text)


def _text_column(name: str, title: str, width: int) -> Column[KitLine]:
    return Column(
        name=name,
        title=title,
        text=lambda line: str(getattr(line, name)),
        editable=True,
        width=width,
    )


def _tuple_column(name: str, title: str, width: int) -> Column[KitLine]:
    return Column(
        name=name,
        title=title,
        text=lambda line: ", ".join(getattr(line, name)),
        editable=True,
        tip=lambda line: "\n".join(getattr(line, name)),
        width=width,
    )


def split_list(text: str) -> tuple[str, ...]:
    """Return the serial numbers or tags between commas, semicolons or line ends."""
    return tuple(one.strip() for one in re.split(r"[,;\n]+", text) if one.strip())


def card_like(column: str, text: str) -> bool:
    """Return whether a serial number or tag in a cell could be a payment card number."""
    return column in SERIAL_COLUMNS and any(looks_like_card_number(one) for one in split_list(text))


def _kind_choices() -> tuple[tuple[EquipmentKind, str], ...]:
    return tuple((kind, said(label)) for kind, label in EQUIPMENT_KINDS)


def _choose(text: str, labels: dict[Any, str], refusal: str) -> Any:
    if text in labels:
        return text
    folded = text.casefold()
    found = [value for value, label in labels.items() if label.casefold() == folded]
    if len(found) != 1:
        raise LdappError(said(refusal, text=text))
    return found[0]
