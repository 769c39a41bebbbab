"""One line of a kit list: what its cells say, and what is wrong with them."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from decimal import Decimal

from ldapp.claim.kit import EquipmentKind
from ldapp.errors import Fault
from ldapp.exchange.card_numbers import EXPECTED_WITHOUT, REFUSED, holds_card_number
from ldapp.exchange.column_words import ColumnField, field_words
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.equipment_words import likely_kind
from ldapp.exchange.kit_quantities import (
    MOST_UNITS,
    is_counted_singly,
    out_and_in,
    pieces_in,
    stated_quantity,
    without_box,
)
from ldapp.exchange.number_text import DateOrder, NumberStyle, read_date, read_number
from ldapp.exchange.serial_text import is_no_mark, marks_in
from ldapp.exchange.table import Cell, Row
from ldapp.language import said

LONGEST_DESCRIPTION = 10_000

_CASE = re.compile(
    r"(?:flight\s?)?(?:case|koffer|kiste|caisse|malle|caja|maleta|box|cart|truck|rack)(?!\w)",
    re.IGNORECASE,
)
"""How the heading of what is packed together begins."""
_YEAR_OR_MONTH = re.compile(
    r"(?:(?:0?[1-9]|1[0-2])[/.-])?(?:19|20)\d{2}|(?:19|20)\d{2}-(?:0[1-9]|1[0-2])"
)


@dataclasses.dataclass(slots=True)
class ListedPartRow:
    """A part as it is read, before its line is complete."""

    description: str
    per_unit: int
    replacement_cost: Decimal | None


@dataclasses.dataclass(slots=True)
class Listed:
    """One line as it is read; parts and faults are still added to it."""

    row: int
    place: str
    number: str = ""
    description: str = ""
    quantity: int | None = None
    serials: tuple[str, ...] = ()
    asset_tags: tuple[str, ...] = ()
    parts: list[ListedPartRow] = dataclasses.field(default_factory=list)
    kind: EquipmentKind = "other"
    category: str = ""
    owner: str = ""
    location: str = ""
    day_rate: Decimal | None = None
    replacement_cost: Decimal | None = None
    scheduled_value: Decimal | None = None
    acquired: dt.date | None = None
    age_months: int | None = None
    note: str = ""
    faults: list[Fault] = dataclasses.field(default_factory=list)
    to_confirm: list[str] = dataclasses.field(default_factory=list)


class KitLineReader:
    """Reads the cells of a row by the columns of its table."""

    def __init__(
        self,
        file: str,
        found: FoundColumns,
        numbers: NumberStyle | None,
        dates: DateOrder | None,
    ) -> None:
        self._file = file
        self._found = found
        self._numbers = numbers
        self._dates = dates
        self._heading = ""
        """The heading of the section that the rows stand in."""
        self._plain_counts = False
        """Whether the descriptions begin with their number of pieces."""

    # --- cells --------------------------------------------------------------------------

    def _cell(self, row: Row, field: ColumnField) -> Cell | None:
        indexes = self._found.fields.get(field, ())
        return row.cell(indexes[0]) if indexes else None

    def _text(self, row: Row, field: ColumnField) -> str | None:
        """Return the text of a field without spaces around it; None where it has no column."""
        indexes = self._found.fields.get(field)
        if indexes is None:
            return None
        return " ".join(text for index in indexes if (text := row.cell(index).text.strip()))

    def _raw(self, row: Row, field: ColumnField) -> str:
        indexes = self._found.fields.get(field, ())
        return " ".join(row.cell(index).text for index in indexes)

    def _number(self, cell: Cell) -> Decimal | None:
        if cell.kind == "number":
            return Decimal(cell.text)
        return read_number(cell.text, self._numbers)

    # --- a line -------------------------------------------------------------------------

    def _line_of(self, row: Row) -> Listed:
        line = Listed(row=row.number, place=row.place)
        line.number = (self._text(row, "line") or "").rstrip(".")
        line.description = self._description(row, line)
        line.category = self._text(row, "category") or self._heading
        line.owner = self._text(row, "owner") or ""
        line.location = self._text(row, "location") or ""
        if "location" not in self._found.fields and _CASE.match(self._heading):
            line.location = self._heading
        line.note = self._text(row, "note") or ""
        self._read_quantity(row, line)
        line.serials = self._read_marks(row, "serials", said("serial number"), line)
        line.asset_tags = self._read_marks(row, "asset_tags", said("asset tag"), line)
        line.day_rate = self._read_amount(row, "day_rate", said("day rate"), line)
        line.replacement_cost = self._read_amount(
            row, "replacement_cost", said("replacement cost"), line
        )
        line.scheduled_value = self._read_amount(
            row, "scheduled_value", said("scheduled value"), line
        )
        self._read_acquired(row, line)
        self._read_age(row, line)
        if line.quantity is not None and len(line.serials) > line.quantity:
            line.to_confirm.append(
                said(
                    "{number} serial numbers for a quantity of {quantity}",
                    number=len(line.serials),
                    quantity=line.quantity,
                )
            )
        for name in ("description", "category", "owner", "location", "note"):
            if holds_card_number(getattr(line, name)):
                wrong = said(REFUSED, field=said("the {name}", name=field_words(name)))
                self._fault(line, wrong, said(EXPECTED_WITHOUT))
                setattr(line, name, "")
        line.kind = likely_kind(line.description, line.category)
        return line

    def _fault(self, line: Listed, wrong: str, expected: str) -> None:
        line.faults.append(Fault(file=self._file, place=line.place, wrong=wrong, expected=expected))

    def _description(self, row: Row, line: Listed) -> str:
        words: list[str] = []
        for field in ("make", "model", "description"):
            text = " ".join((self._text(row, field) or "").split())
            text = without_box(text)
            if text and text.casefold() not in " ".join(words).casefold():
                words.append(text)
        description = " ".join(words)
        if not description:
            self._fault(line, said("the description is missing"), said("what the line is"))
        elif len(description) > LONGEST_DESCRIPTION:
            self._fault(
                line,
                said("the description has {number} characters", number=len(description)),
                said("at most {longest_description}", longest_description=LONGEST_DESCRIPTION),
            )
        return description

    def _read_quantity(self, row: Row, line: Listed) -> None:
        cell = self._cell(row, "quantity")
        if cell is None:
            self._read_stated_quantity(line)
            return
        text = cell.text.strip()
        pieces = pieces_in(cell, self._numbers)
        if not text:
            self._fault(line, said("the quantity is missing"), said("a whole number of pieces"))
        elif pieces is None:
            number = self._number(cell)
            wrong = said('the quantity "{short}" is no number', short=_short(text))
            if number is not None:
                wrong = said(
                    "the quantity {short} is no whole number of pieces", short=_short(text)
                )
                if abs(number) > MOST_UNITS:
                    wrong = said("the quantity {short} is too large", short=_short(text))
            self._fault(line, wrong, said("a whole number of pieces"))
        elif pieces[0] < 0:
            self._fault(
                line,
                said("the quantity {short} is negative", short=_short(text)),
                said("0 or more"),
            )
        else:
            line.quantity, unit = pieces
            pair = out_and_in(text)
            if pair is not None and pair[0] != pair[1]:
                line.to_confirm.append(
                    said(
                        '"{text}" is read as {out} out and {back} back; {out} are listed',
                        text=text,
                        out=pair[0],
                        back=pair[1],
                    )
                )
            if not is_counted_singly(unit):
                line.note = "; ".join(
                    one for one in (line.note, said("listed in: {unit}", unit=unit)) if one
                )

    def _read_stated_quantity(self, line: Listed) -> None:
        """Take the number of pieces from the description of a list that has no column for it."""
        stated = stated_quantity(line.description, plainly=self._plain_counts)
        if stated is not None:
            line.quantity, line.description = stated
            return
        line.quantity = 1
        line.to_confirm.append(said("no quantity is listed; taken as one unit"))

    def _read_marks(self, row: Row, field: ColumnField, name: str, line: Listed) -> tuple[str, ...]:
        indexes = self._found.fields.get(field, ())
        text = "\n".join(row.cell(index).text.strip() for index in indexes)
        marks: list[str] = []
        for mark in marks_in(text, line.quantity):
            if mark in marks:
                line.to_confirm.append(
                    said('the {name} "{short}" is listed twice', name=name, short=_short(mark))
                )
                continue
            if holds_card_number(mark):
                line.to_confirm.append(
                    said(
                        "the {name} ending in {mark} could be a payment card number",
                        name=name,
                        mark=mark[-4:],
                    )
                )
            marks.append(mark)
        return tuple(marks)

    def _read_amount(self, row: Row, field: ColumnField, name: str, line: Listed) -> Decimal | None:
        cell = self._cell(row, field)
        if cell is None or is_no_mark(cell.text):
            return None
        amount = self._number(cell)
        if amount is None:
            self._fault(
                line,
                said(
                    'the {name} "{short}" is no amount', name=name, short=_short(cell.text.strip())
                ),
                said("an amount such as 1250.00"),
            )
        elif amount < 0:
            self._fault(
                line,
                said("the {name} {short} is negative", name=name, short=_short(cell.text.strip())),
                said("0 or more"),
            )
            return None
        return amount

    def _read_acquired(self, row: Row, line: Listed) -> None:
        cell = self._cell(row, "acquired")
        if cell is None or is_no_mark(cell.text):
            return
        text = cell.text.strip()
        line.acquired = read_date(text, self._dates)
        if line.acquired is None:
            if _YEAR_OR_MONTH.fullmatch(text):
                line.note = "; ".join(
                    one for one in (line.note, said("acquired {day}", day=text)) if one
                )
                line.to_confirm.append(said('"{text}" is no day; it is kept as a note', text=text))
            else:
                self._fault(
                    line,
                    said('"{short}" is no day, or could be two different ones', short=_short(text)),
                    said("a day such as 2024-03-01"),
                )

    def _read_age(self, row: Row, line: Listed) -> None:
        cell = self._cell(row, "age")
        if cell is None or is_no_mark(cell.text):
            return
        age = self._number(cell)
        if age is None or age != int(age) or not 0 <= age < 2000:
            self._fault(
                line,
                said('the age "{short}" is no number of months', short=_short(cell.text.strip())),
                said("months"),
            )
        else:
            line.age_months = int(age)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
