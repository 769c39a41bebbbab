"""The columns in which an import shows what each row of a list will become."""

from __future__ import annotations

from collections.abc import Callable

from ldapp.casework.kit_import import KitRow
from ldapp.desktop.pages.paper_parts.words import EQUIPMENT_KINDS
from ldapp.desktop.theme import Role
from ldapp.desktop.widgets.table_model import Column
from ldapp.desktop.widgets.values import amount_text, date_text
from ldapp.language import marked, said

_KIND_LABELS = dict(EQUIPMENT_KINDS)


def import_columns(currency: Callable[[], str]) -> tuple[Column[KitRow], ...]:
    """Return the columns of a preview; ``currency`` is the claim's."""

    def money(name: str, title: str) -> Column[KitRow]:
        def shown(row: KitRow) -> str:
            amount = getattr(row.line, name)
            return "" if amount is None else amount_text(amount, currency())

        return Column(name=name, title=title, text=shown, right=True, width=11)

    def words(name: str, title: str, width: int) -> Column[KitRow]:
        return Column(
            name=name, title=title, text=lambda row: str(getattr(row.line, name)), width=width
        )

    return (
        Column(name="place", title=marked("From"), text=lambda row: row.place, width=10),
        words("number", marked("Line"), 8),
        words("description", marked("Description"), 34),
        Column(
            name="quantity",
            title=marked("Quantity"),
            text=lambda row: "" if row.line.quantity is None else str(row.line.quantity),
            right=True,
            width=9,
        ),
        Column(
            name="says",
            title=marked("Look at"),
            text=_says,
            role=_says_role,
            tip=_says,
            width=32,
        ),
        Column(
            name="serials",
            title=marked("Serial numbers"),
            text=lambda row: ", ".join(row.line.serials),
            width=20,
        ),
        Column(
            name="kind",
            title=marked("Kind (proposed)"),
            text=lambda row: said(_KIND_LABELS[row.line.kind]),
            width=18,
        ),
        Column(
            name="parts",
            title=marked("Parts"),
            text=lambda row: ", ".join(part.description for part in row.line.parts),
            width=20,
        ),
        words("location", marked("Where it lives"), 16),
        money("replacement_cost", marked("Replacement")),
        money("day_rate", marked("Rate a day")),
        Column(
            name="acquired",
            title=marked("Bought new"),
            text=lambda row: date_text(row.line.acquired) if row.line.acquired else "",
            width=11,
        ),
        words("owner", marked("Owner"), 16),
        words("category", marked("Category"), 16),
        words("note", marked("Note"), 20),
    )


def _says(row: KitRow) -> str:
    faults = [
        said("! {wrong}; expected: {expected}", wrong=fault.wrong, expected=fault.expected)
        for fault in row.faults
    ]
    return "   ".join([*faults, *(f"? {words}" for words in row.to_confirm)])


def _says_role(row: KitRow) -> Role | None:
    return "red" if row.faults else "amber" if row.to_confirm else None
