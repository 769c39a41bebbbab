"""What belongs to one line beside its columns: parts, prices of other days, comparables."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QTabWidget, QVBoxLayout, QWidget

from ldapp.casework import kit
from ldapp.casework.edit import find
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.casework.open_claim import new_id
from ldapp.claim.kit import Comparable, DatedPrice, KitLine, Part
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.table_model import CellEdit, Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import (
    amount_text,
    date_text,
    parse_date,
    parse_money,
    parse_whole,
)
from ldapp.errors import LdappError
from ldapp.language import marked, said


class _Row:
    """A member of one of the line's tuples, with its place there."""

    def __init__(self, place: int, member: Any) -> None:
        self.place = place
        self.member = member

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Row) and other.place == self.place and other.member == self.member

    def __hash__(self) -> int:
        return hash(self.place)


Parse = Callable[[str], Any]


class SubTable(QWidget):
    """An editable table over one tuple of a kit line (its parts, its prices)."""

    def __init__(
        self,
        details: LineDetails,
        attribute: str,
        name: str,
        add_text: str,
        columns: Sequence[tuple[str, str, Callable[[Any], str], Parse, int]],
        new_member: Callable[[], Any],
        empty: str,
    ) -> None:
        super().__init__(details)
        self._details = details
        self._attribute = attribute
        self._parsers = {name: parse for name, _, _, parse, _ in columns}
        self._new_member = new_member
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, GRID * 2, GRID)
        row.setSpacing(GRID)
        self.model = RowsModel(
            [_column(*one) for one in columns],
            lambda one: one.place,
            writer=self._write,
            parent=self,
        )
        self.table = TableView(name)
        self.table.setModel(self.model)
        self.table.remove_wanted.connect(self._remove)
        row.addWidget(self.table, 1)
        side = QVBoxLayout()
        side.setContentsMargins(0, GRID, 0, 0)
        self.add_button = QPushButton(add_text)
        keep_icon(self.add_button, "add")
        self.add_button.clicked.connect(self._on_add)
        remove = QPushButton(said("Remove"))
        remove.clicked.connect(self._on_remove)
        hint = Label(empty, muted=True, wrap=True)
        hint.setFixedWidth(GRID * 26)
        for widget in (self.add_button, remove, hint):
            side.addWidget(widget)
        side.addStretch(1)
        row.addLayout(side)

    def show_line(self, line: KitLine | None) -> None:
        """Show the members of a line."""
        members = getattr(line, self._attribute) if line is not None else ()
        self.model.set_rows([_Row(place, one) for place, one in enumerate(members)])
        self.add_button.setEnabled(line is not None)

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        line = self._details.line()
        if line is None:
            return False
        members = list(getattr(line, self._attribute))
        try:
            for row, column, text in edits:
                value = self._parsers[column](text.strip())
                members[row.place] = dataclasses.replace(members[row.place], **{column: value})
        except LdappError as error:
            self._details.context.failed.emit(error)
            return False
        return self._details.put(with_fields(line, **{self._attribute: tuple(members)}))

    @Slot()
    def _on_add(self) -> None:
        line = self._details.line()
        if line is not None:
            members = (*getattr(line, self._attribute), self._new_member())
            self._details.put(with_fields(line, **{self._attribute: members}))
            self.table.go_to_row(len(members) - 1)
            self.table.setFocus()

    @Slot()
    def _on_remove(self) -> None:
        self._remove(self.table.selected_rows())

    @Slot(object)
    def _remove(self, rows: list[Any]) -> None:
        line = self._details.line()
        if line is not None and rows:
            gone = {row.place for row in rows}
            members = tuple(
                one for place, one in enumerate(getattr(line, self._attribute)) if place not in gone
            )
            self._details.put(with_fields(line, **{self._attribute: members}))


def _column(
    name: str, title: str, text: Callable[[Any], str], parse: Parse, width: int
) -> Column[_Row]:
    del parse
    return Column(
        name=name,
        title=title,
        text=lambda row: text(row.member),
        editable=True,
        width=width,
        choices=_event_choices if name == "event" else None,
    )


_EVENTS = {
    "delivery": marked("delivery"),
    "loss": marked("loss"),
    "purchase": marked("purchase"),
    "invoice": marked("invoice"),
}
"""The events of DatedPrice."""


def _event_choices(row: _Row) -> Sequence[tuple[str, str]]:
    del row
    return tuple((event, said(name)) for event, name in _EVENTS.items())


class LineDetails(QTabWidget):
    """Beside the list: the parts, prices and comparables of the line with the cursor."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._line: str | None = None
        self.setDocumentMode(True)
        self.setAccessibleName(said("Details of the line"))
        self.tabBar().setAccessibleName(said("Details of the line"))
        self.parts = SubTable(
            self,
            "parts",
            said("Parts"),
            said("Add part"),
            (
                ("description", marked("Part"), lambda one: one.description, self._text, 30),
                ("per_unit", marked("Per unit"), lambda one: str(one.per_unit), self._per_unit, 9),
                ("replacement_cost", marked("Replacement"), self._cost, self._money, 14),
            ),
            lambda: Part(id=new_id(), description=said("New part")),
            said(
                "What goes out with each unit and can be missing by itself: arm, barn doors, cable."
            ),
        )
        self.prices = SubTable(
            self,
            "prices",
            said("Prices"),
            said("Add price"),
            (
                ("event", marked("Day of"), lambda one: said(_EVENTS[one.event]), self._event, 12),
                ("price", marked("Price"), self._price, self._needed_money, 14),
                ("dated", marked("Dated"), lambda one: _day(one.dated), self._day, 12),
            ),
            lambda: DatedPrice(event="delivery", price=Decimal(0)),
            said("Documented prices of other days, where the agreement names the day."),
        )
        self.comparables = SubTable(
            self,
            "comparables",
            said("Comparables"),
            said("Add comparable"),
            (
                ("source", marked("Source"), lambda one: one.source, self._text, 30),
                ("dated", marked("Dated"), lambda one: _day(one.dated), self._needed_day, 12),
                ("price", marked("Price"), self._price, self._needed_money, 14),
            ),
            self._new_comparable,
            said("Dated offers or sales of the same thing, for a market value."),
        )
        for widget, title in (
            (self.parts, said("Parts")),
            (self.prices, said("Prices of other days")),
            (self.comparables, said("Comparables")),
        ):
            self.addTab(widget, title)

    def line(self) -> KitLine | None:
        """Return the line shown, as it is in the claim now."""
        return find(self.context.claim.kit, self._line)

    def show_line(self, line: KitLine | None) -> None:
        """Show another line, or the same one after a change."""
        self._line = line.id if line else None
        for number, (table, title) in enumerate(
            (
                (self.parts, said("Parts")),
                (self.prices, said("Prices of other days")),
                (self.comparables, said("Comparables")),
            )
        ):
            table.show_line(line)
            members = table.model.rowCount()
            self.setTabText(number, f"{title} ({members})" if members else title)

    def put(self, line: KitLine) -> bool:
        """Change the line in the claim."""
        return self.context.attempt(partial(kit.put_line, self.context.desk, line)) is not None

    def _cost(self, part: Part) -> str:
        cost = part.replacement_cost
        return "" if cost is None else amount_text(cost, self.context.claim.currency)

    def _price(self, one: DatedPrice | Comparable) -> str:
        return amount_text(one.price, self.context.claim.currency)

    def _money(self, text: str) -> Decimal | None:
        return self._needed_money(text) if text else None

    def _needed_money(self, text: str) -> Decimal:
        return parse_money(text, self.context.claim.currency, least=Decimal(0))

    @staticmethod
    def _text(text: str) -> str:
        if not text:
            raise LdappError(said("This needs a name."))
        return refuse_card_numbers(text)

    @staticmethod
    def _per_unit(text: str) -> int:
        return parse_whole(text, 1)

    @staticmethod
    def _event(text: str) -> str:
        if text not in _EVENTS:
            raise LdappError(
                said(
                    "“{text}” is no such day. Expected: {days}.",
                    text=text,
                    days=", ".join(said(name) for name in _EVENTS.values()),
                )
            )
        return text

    @staticmethod
    def _day(text: str) -> Any:
        return parse_date(text) if text else None

    @staticmethod
    def _needed_day(text: str) -> Any:
        return parse_date(text)

    def _new_comparable(self) -> Comparable:
        return Comparable(
            source=said("New comparable"),
            dated=dt.datetime.now().astimezone().date(),
            price=Decimal(0),
        )


def _day(day: Any) -> str:
    return date_text(day) if day else ""
