"""The rows below the headings of a kit list: lines, parts of sets, headings, sums."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal

from ldapp.claim.kit import EquipmentKind
from ldapp.errors import Fault
from ldapp.exchange.card_numbers import EXPECTED_WITHOUT, REFUSED, holds_card_number
from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.equipment_words import likely_kind
from ldapp.exchange.number_text import DateOrder, NumberStyle, read_date, read_number
from ldapp.exchange.table import Cell, Row, Table

MOST_UNITS = 1_000_000
LONGEST_DESCRIPTION = 10_000

_PIECES = re.compile(
    r"(?P<before>x\s*)?(?P<number>[-–−+(]?\s*\d[\d.,'’ \u00a0\u202f]*\)?)\s*"
    r"(?P<unit>x|×|ea|each|pcs?|pieces?|units?|nos?|off|sets?|prs?|pairs?|kits?|lots?|rolls?|"
    r"stk|stück|st|satz|paar|rollen?|pi[eè]ces?|pces?|jeux?|paires?|uds?|unidad(?:es)?|"
    r"piezas?|juegos?|pares?)?\.?",
    re.IGNORECASE,
)
_COUNTED_SINGLY = re.compile(
    r"(x|×|ea|each|pcs?|pieces?|units?|nos?|off|stk|stück|st|pi[eè]ces?|pces?|uds?|"
    r"unidad(es)?|piezas?)$",
    re.IGNORECASE,
)
_PART_MARK = re.compile(
    r"^(?P<indent>\s{2,}|\t)?\s*(?P<mark>[-–—•·*›>└+]\s*|(?:incl(?:\.|uding|udes|uded)?|with|"
    r"consisting of|each with|inkl(?:\.|usive)?|inklusive|bestehend aus|dont|comprenant|avec|"
    r"incluye|incl\.|con)[:\s]\s*)?",
    re.IGNORECASE,
)
_PRICES: tuple[ColumnField, ...] = ("day_rate", "replacement_cost", "scheduled_value")
_BELOW = re.compile(r"[.\-/]\d+|[.\-]?[a-z]", re.IGNORECASE)
_PARTS_PER_UNIT = re.compile(r"^(?P<number>\d{1,3})\s*(?:x|×)\s*(?P<rest>\S.*)$", re.IGNORECASE)
_SUM = re.compile(
    r"(?:grand\s+|sub-?\s*)?(?:totals?|sum|summe|gesamt|zwischensumme|sous-total|somme|suma|"
    r"page \d+(?: of \d+)?|seite \d+(?: von \d+)?|carried forward|übertrag)"
    r"(?P<more>\s[^,]{0,30})?[:.]?",
    re.IGNORECASE,
)
_NO_SERIAL = frozenset(
    {"", "-", "–", "—", "n/a", "na", "none", "various", "div", "div.", "diverse", "x", "?"}
)
_SERIAL_LABEL = re.compile(
    r"^(?:s\s*/\s*n|sn|ser(?:ial)?(?:\s*(?:no|nos|number|numbers|nr))?|serien-?nr|seriennummer|"
    r"n[°o]\s*(?:de\s*)?s[eé]rie|asset|tag|#)\s*[.:#]*\s*",
    re.IGNORECASE,
)  # fmt: skip
_SERIAL_SEPARATOR = re.compile(r"[,;\n|]|\s/\s|\s+(?:and|und|et|y|&)\s+|\s{2,}")
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


class KitRowReader:
    """Reads the rows of one table by its columns."""

    def __init__(
        self,
        file: str,
        found: FoundColumns,
        numbers: NumberStyle | None,
        dates: DateOrder | None,
        *,
        loose_text: bool = False,
    ) -> None:
        self._file = file
        self._found = found
        self._numbers = numbers
        self._dates = dates
        self._loose_text = loose_text
        """Whether a row of text alone may stand outside the list, as on a page of a PDF."""
        self._heading = ""

    def read(self, table: Table) -> Iterator[Listed]:
        """Yield every line of the list, parts folded into the line above them."""
        current: Listed | None = None
        blank_before = True
        for row in table.rows[self._found.first_row :]:
            texts = [text for text in row.texts() if text]
            if not texts:
                blank_before = True
                continue
            if self._is_no_line(row, texts):
                continue
            heading = self._heading_of(row, texts, blank_before=blank_before)
            blank_before = False
            if heading is not None:
                self._heading = heading
                continue
            if self._loose_text and self._is_prose(row, texts):
                continue
            part = self._part_of(row, current)
            if part is not None and current is not None:
                current.parts.append(part)
                continue
            if current is not None:
                yield current
            current = self._line_of(row)
        if current is not None:
            yield current

    # --- which row is what --------------------------------------------------------------

    def _is_no_line(self, row: Row, texts: list[str]) -> bool:
        """Tell sums, page numbers and headings that a list repeats on every page."""
        if row.outside:
            return True
        number = self._text(row, "line") or ""
        label = _SUM.fullmatch(self._text(row, "description") or texts[0])
        if label and not any(one.isdigit() for one in number):
            return not (label["more"] and self._text(row, "quantity"))
        return self._found.repeats_headings(row)

    def _is_prose(self, row: Row, texts: list[str]) -> bool:
        """Tell text that stands below the list on a page: words, and no figure in its place."""
        if any(one.isdigit() for one in self._text(row, "quantity") or ""):
            return False
        priced = any(
            (cell := self._cell(row, field)) is not None and self._number(cell) is not None
            for field in _PRICES
        )
        return not priced and (len(texts) == 1 or len(" ".join(texts).split()) > 6)

    def _heading_of(self, row: Row, texts: list[str], *, blank_before: bool) -> str | None:
        """Return the heading that a row with one cell is, or None where it is a line."""
        if len(set(texts)) > 1:
            return None
        text = texts[0]
        described = self._text(row, "description")
        if described is None or read_number(text) is not None:
            return None
        marked = _PART_MARK.match(self._raw(row, "description"))
        if marked is not None and marked["mark"]:
            return None
        stands_apart = (
            not described
            or blank_before
            or text.isupper()
            or text.endswith(":")
            or ("line" in self._found.fields and len(text.split()) <= 5)
            or (self._loose_text and len(text.split()) <= 5)
        )
        return text.rstrip(":").strip() if stands_apart and len(text) <= 80 else None

    def _part_of(self, row: Row, line: Listed | None) -> ListedPartRow | None:
        if line is None:
            return None
        raw = self._raw(row, "description")
        found = _PART_MARK.match(raw)
        number = self._text(row, "line") or ""
        below = (
            bool(line.number)
            and number.startswith(line.number)
            and bool(_BELOW.fullmatch(number[len(line.number) :]))
        )
        marked = found is not None and (found["mark"] or found["indent"])
        if not (below or (marked and not number)):
            return None
        if self._text(row, "serials") or self._text(row, "asset_tags"):
            return None
        description = raw[found.end() :].strip() if found else raw.strip()
        if not description:
            return None
        stated = _PARTS_PER_UNIT.match(description)
        quantity = self._part_quantity(row)
        if quantity is None and self._text(row, "quantity"):
            return None
        per_unit = 1
        if stated:
            per_unit, description = int(stated["number"]) or 1, stated["rest"]
        elif quantity:
            units = line.quantity or 1
            if quantity % units == 0:
                per_unit = quantity // units
            else:
                per_unit = quantity
                line.to_confirm.append(
                    f'"{description}": {quantity} taken as the number of parts in each set'
                )
        cost = self._cell(row, "replacement_cost")
        value = self._number(cost) if cost is not None else None
        return ListedPartRow(" ".join(description.split()), per_unit, value)

    def _part_quantity(self, row: Row) -> int | None:
        pieces = self._pieces(self._cell(row, "quantity"))
        return pieces[0] if pieces and pieces[0] >= 0 else None

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

    def _pieces(self, cell: Cell | None) -> tuple[int, str] | None:
        """Return a quantity with the unit written behind it; None where it is not whole."""
        if cell is None or not cell.text.strip():
            return None
        text = cell.text.strip()
        unit = ""
        number: Decimal | None
        if cell.kind == "number":
            number = Decimal(text)
        else:
            found = _PIECES.fullmatch(text)
            if found is None:
                return None
            unit = found["unit"] or ""
            number = read_number(found["number"], self._numbers)
        if number is None or number != int(number) or abs(number) > MOST_UNITS:
            return None
        return int(number), unit

    # --- a line -------------------------------------------------------------------------

    def _line_of(self, row: Row) -> Listed:
        line = Listed(row=row.number, place=row.place)
        line.number = (self._text(row, "line") or "").rstrip(".")
        line.description = self._description(row, line)
        line.category = self._text(row, "category") or self._heading
        line.owner = self._text(row, "owner") or ""
        line.location = self._text(row, "location") or ""
        line.note = self._text(row, "note") or ""
        self._read_quantity(row, line)
        line.serials = self._read_marks(row, "serials", "serial number", line)
        line.asset_tags = self._read_marks(row, "asset_tags", "asset tag", line)
        line.day_rate = self._read_amount(row, "day_rate", "day rate", line)
        line.replacement_cost = self._read_amount(row, "replacement_cost", "replacement cost", line)
        line.scheduled_value = self._read_amount(row, "scheduled_value", "scheduled value", line)
        self._read_acquired(row, line)
        self._read_age(row, line)
        if line.quantity is not None and len(line.serials) > line.quantity:
            line.to_confirm.append(
                f"{len(line.serials)} serial numbers for a quantity of {line.quantity}"
            )
        for name in ("description", "category", "owner", "location", "note"):
            if holds_card_number(getattr(line, name)):
                self._fault(line, f"the {name} {REFUSED}", EXPECTED_WITHOUT)
                setattr(line, name, "")
        line.kind = likely_kind(line.description, line.category)
        return line

    def _fault(self, line: Listed, wrong: str, expected: str) -> None:
        line.faults.append(Fault(file=self._file, place=line.place, wrong=wrong, expected=expected))

    def _description(self, row: Row, line: Listed) -> str:
        words: list[str] = []
        for field in ("make", "model", "description"):
            text = " ".join((self._text(row, field) or "").split())
            if text and text.casefold() not in " ".join(words).casefold():
                words.append(text)
        description = " ".join(words)
        if not description:
            self._fault(line, "the description is missing", "what the line is")
        elif len(description) > LONGEST_DESCRIPTION:
            self._fault(
                line,
                f"the description has {len(description)} characters",
                f"at most {LONGEST_DESCRIPTION}",
            )
        return description

    def _read_quantity(self, row: Row, line: Listed) -> None:
        cell = self._cell(row, "quantity")
        if cell is None:
            return
        text = cell.text.strip()
        pieces = self._pieces(cell)
        if not text:
            self._fault(line, "the quantity is missing", "a whole number of pieces")
        elif pieces is None:
            number = self._number(cell)
            wrong = f'the quantity "{_short(text)}" is no number'
            if number is not None:
                wrong = f"the quantity {_short(text)} is no whole number of pieces"
                if abs(number) > MOST_UNITS:
                    wrong = f"the quantity {_short(text)} is too large"
            self._fault(line, wrong, "a whole number of pieces")
        elif pieces[0] < 0:
            self._fault(line, f"the quantity {_short(text)} is negative", "0 or more")
        else:
            line.quantity, unit = pieces
            if unit and not _COUNTED_SINGLY.match(unit):
                line.note = "; ".join(one for one in (line.note, f"listed in: {unit}") if one)

    def _read_marks(self, row: Row, field: ColumnField, name: str, line: Listed) -> tuple[str, ...]:
        text = self._text(row, field)
        if not text:
            return ()
        marks: list[str] = []
        for one in _SERIAL_SEPARATOR.split(text):
            mark = _SERIAL_LABEL.sub("", one.strip()).strip()
            if mark.casefold() in _NO_SERIAL:
                continue
            if mark in marks:
                line.to_confirm.append(f'the {name} "{_short(mark)}" is listed twice')
                continue
            if holds_card_number(mark):
                line.to_confirm.append(
                    f"the {name} ending in {mark[-4:]} could be a payment card number"
                )
            marks.append(mark)
        return tuple(marks)

    def _read_amount(self, row: Row, field: ColumnField, name: str, line: Listed) -> Decimal | None:
        cell = self._cell(row, field)
        if cell is None or cell.text.strip().casefold() in _NO_SERIAL:
            return None
        amount = self._number(cell)
        if amount is None:
            self._fault(
                line,
                f'the {name} "{_short(cell.text.strip())}" is no amount',
                "an amount such as 1250.00",
            )
        elif amount < 0:
            self._fault(line, f"the {name} {_short(cell.text.strip())} is negative", "0 or more")
            return None
        return amount

    def _read_acquired(self, row: Row, line: Listed) -> None:
        cell = self._cell(row, "acquired")
        if cell is None or cell.text.strip().casefold() in _NO_SERIAL:
            return
        text = cell.text.strip()
        line.acquired = read_date(text, self._dates)
        if line.acquired is None:
            if _YEAR_OR_MONTH.fullmatch(text):
                line.note = "; ".join(one for one in (line.note, f"acquired {text}") if one)
                line.to_confirm.append(f'"{text}" is no day; it is kept as a note')
            else:
                self._fault(
                    line,
                    f'"{_short(text)}" is no day, or could be two different ones',
                    "a day such as 2024-03-01",
                )

    def _read_age(self, row: Row, line: Listed) -> None:
        cell = self._cell(row, "age")
        if cell is None or cell.text.strip().casefold() in _NO_SERIAL:
            return
        age = self._number(cell)
        if age is None or age != int(age) or not 0 <= age < 2000:
            self._fault(
                line, f'the age "{_short(cell.text.strip())}" is no number of months', "months"
            )
        else:
            line.age_months = int(age)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
