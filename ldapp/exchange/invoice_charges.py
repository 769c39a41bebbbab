"""One charge of an invoice: what the cells of its row say, and what is wrong with them."""

from __future__ import annotations

import dataclasses
import re
from decimal import Decimal

from ldapp.claim.charges import ChargeKind
from ldapp.errors import Fault
from ldapp.exchange.card_numbers import EXPECTED_WITHOUT, REFUSED, holds_card_number
from ldapp.exchange.charge_words import counts_hours, is_plain_hire, kind_in_words
from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.counted_words import counted_in_words
from ldapp.exchange.number_text import NumberStyle, read_amount, read_count, read_number
from ldapp.exchange.serial_text import labelled_marks
from ldapp.exchange.table import Cell, Row
from ldapp.language import said

_EMPTY = frozenset({"", "-", "–", "—", "n/a", "na"})
_NUMBERED = re.compile(r"[A-Z]{0,3}[-.]?\d{1,4}(?:[-.]\d{1,2}){0,2}[a-z]?", re.IGNORECASE)
_NO_CHARGE = re.compile(
    r"(?:incl\w*|included|no charge|n/?c|inkl\w*|inclus\w*|gratis|free)\.?", re.I
)


@dataclasses.dataclass(slots=True)
class BilledRow:
    """One charge as it is read; ``amount`` None where it could not be."""

    place: str
    number: str = ""
    description: str = ""
    kind: ChargeKind = "other"
    quantity: Decimal | None = None
    unit_price: Decimal | None = None
    amount: Decimal | None = None
    days: Decimal | None = None
    discount: Decimal | None = None
    """As a share of the price."""
    tax_rate: Decimal | None = None
    """As a share of the amount."""
    tax: Decimal | None = None
    taxable: bool | None = None
    serials: str = ""
    faults: list[Fault] = dataclasses.field(default_factory=list)


class ChargeReader:
    """Reads the cells of a row by the columns of its table."""

    def __init__(self, file: str, found: FoundColumns, numbers: NumberStyle | None) -> None:
        self._file = file
        self._found = found
        self._numbers = numbers
        counted = found.headings[found.fields["quantity"][0]] if "quantity" in found.fields else ""
        self._section_kind: ChargeKind | None = "repair_labour" if counts_hours(counted) else None
        self._in_hire = False
        units = found.fields.get("quantity", ())
        headed = kind_in_words(found.headings[units[0]]) if units and found.header else None
        self._kind_of_units: ChargeKind | None = "missing" if headed == "missing" else None
        """What a heading such as ``Qty missing`` says of all lines."""
        self.to_confirm: list[str] = []

    # --- cells --------------------------------------------------------------------------

    def _cell(self, row: Row, field: ColumnField) -> Cell | None:
        indexes = self._found.fields.get(field, ())
        return row.cell(indexes[0]) if indexes else None

    def _text(self, row: Row, field: ColumnField) -> str:
        indexes = self._found.fields.get(field, ())
        return " ".join(text for index in indexes if (text := row.cell(index).text.strip()))

    def _number(self, cell: Cell) -> Decimal | None:
        if cell.kind == "number":
            return Decimal(cell.text)
        return read_amount(cell.text, self._numbers)

    def _number_at(self, row: Row, field: ColumnField) -> Decimal | None:
        cell = self._cell(row, field)
        return self._number(cell) if cell is not None else None

    # --- a charge -----------------------------------------------------------------------

    def _charge_of(self, row: Row, count: int, label_alone: str = "") -> BilledRow:
        charge = BilledRow(place=self._place(row, count))
        if label_alone:
            # A discount, freight or a fee between the sums, wherever its label stands.
            charge.description = " ".join(label_alone.split())
            figure = next(text for text in reversed(row.texts()) if text)
            charge.amount = read_amount(figure, self._numbers)
            charge.kind = self._kind(row, charge)
            self._refuse_card(charge)
            return charge
        number, _, beside = self._text(row, "line").partition("  ")
        charge.number = number.rstrip(".")
        charge.description = " ".join(self._text(row, "description").split())
        charge.serials = ", ".join(
            text for field in _MARKS if (text := " ".join(self._text(row, field).split()))
        )
        if beside and not charge.serials:
            # Two columns whose headings could not be told apart.
            charge.serials = " ".join(beside.split())
            self.to_confirm.append(
                said(
                    '{place}: "{marks}" beside the line number is taken as a serial number or tag',
                    place=charge.place,
                    marks=charge.serials,
                )
            )
        self._take_labelled_marks(charge)
        charge.quantity = self._quantity(row, charge)
        charge.unit_price = self._amount(row, "unit_price", said("unit price"), charge)
        charge.days = self._plain_number(row, "days")
        charge.discount = self._percentage(row, "discount")
        charge.tax_rate = self._percentage(row, "tax_rate")
        self._read_tax(row, charge)
        field: ColumnField = "amount" if "amount" in self._found.fields else "gross"
        charge.amount = self._amount(row, field, "amount", charge)
        if charge.amount is None and not charge.faults:
            self._without_amount(row, field, charge)
        if not charge.description and not charge.faults:
            charge.description = charge.serials or self._text(row, "kind")
        if not charge.description:
            self._fault(charge, said("the description is missing"), said("what is charged"))
        charge.kind = self._kind(row, charge)
        self._read_counted_words(charge)
        self._refuse_card(charge)
        return charge

    def _take_labelled_marks(self, charge: BilledRow) -> None:
        """Take ``S/N K1234`` at the end of a description as serial numbers."""
        labelled = labelled_marks(charge.description)
        if labelled is not None and labelled[0]:
            charge.description = labelled[0]
            charge.serials = ", ".join(one for one in (charge.serials, labelled[1]) if one)

    def _place(self, row: Row, count: int) -> str:
        """Name the place of a charge as a person finds it: on a page by its printed number.

        A page of a PDF shows no numbers of its lines; where its charges have none either,
        they are counted from the first of the invoice.
        """
        number = self._text(row, "line").partition("  ")[0].rstrip(".")
        if not row.page:
            return row.place
        if _NUMBERED.fullmatch(number):
            return said("page {page}, charge {number}", page=row.page, number=number)
        return said(
            "page {page}, charge {number} counted from the first", page=row.page, number=count
        )

    def _read_counted_words(self, charge: BilledRow) -> None:
        """Take what the words count where no column of the row does."""
        words = counted_in_words(charge.description, charge.amount, self._numbers)
        if charge.quantity is None and charge.unit_price is None:
            charge.quantity, charge.unit_price = words.quantity, words.unit_price
            if words.unit_price is not None and charge.days is None:
                charge.days = words.days
        if charge.quantity is None and charge.unit_price and charge.amount and not charge.days:
            pieces = charge.amount / charge.unit_price
            if 1 < pieces < 1000 and pieces == int(pieces) and not charge.discount:
                charge.quantity = Decimal(int(pieces))
                self.to_confirm.append(
                    said(
                        "{place}: no quantity was found; amount over price makes {pieces}",
                        place=charge.place,
                        pieces=int(pieces),
                    )
                )
        whole_line = charge.quantity in {None, Decimal(1)}
        if charge.kind == "loss_of_use" and charge.days is None and whole_line:
            charge.days = words.days

    def _without_amount(self, row: Row, field: ColumnField, charge: BilledRow) -> None:
        if _NO_CHARGE.fullmatch(self._text(row, field)):
            charge.amount = Decimal(0)
        elif charge.unit_price is not None and field not in self._found.fields:
            charge.amount = charge.unit_price * (charge.quantity or 1)
            self.to_confirm.append(
                said(
                    "{place}: no amount is printed; quantity times price was taken",
                    place=charge.place,
                )
            )
        else:
            self._fault(charge, said("the amount is missing"), said("an amount such as 1250.00"))

    def _fault(self, charge: BilledRow, wrong: str, expected: str) -> None:
        charge.faults.append(
            Fault(file=self._file, place=charge.place, wrong=wrong, expected=expected)
        )

    def _refuse_card(self, charge: BilledRow) -> None:
        if holds_card_number(charge.description):
            charge.description = ""
            self._fault(
                charge, said(REFUSED, field=said("the description")), said(EXPECTED_WITHOUT)
            )

    def _quantity(self, row: Row, charge: BilledRow) -> Decimal | None:
        cell = self._cell(row, "quantity")
        if cell is None or cell.text.strip().casefold() in _EMPTY:
            return None
        number = self._number(cell)
        if number is None:
            number = read_count(cell.text, self._numbers)
        if number is None:
            self._fault(
                charge,
                said('the quantity "{short}" is no number', short=short_text(cell.text)),
                said("a number of pieces"),
            )
        return number

    def _amount(self, row: Row, field: ColumnField, name: str, charge: BilledRow) -> Decimal | None:
        cell = self._cell(row, field)
        if cell is None or cell.text.strip().casefold() in _EMPTY:
            return None
        number = self._number(cell)
        if number is None and not _NO_CHARGE.fullmatch(cell.text.strip()):
            without_unit = re.sub(r"\s*/\s*\w+\.?$", "", cell.text.strip())
            number = read_amount(without_unit, self._numbers)
            if number is None:
                self._fault(
                    charge,
                    said(
                        'the {name} "{short}" is no amount', name=name, short=short_text(cell.text)
                    ),
                    said("an amount such as 1250.00"),
                )
        return number

    def _plain_number(self, row: Row, field: ColumnField) -> Decimal | None:
        cell = self._cell(row, field)
        if cell is None:
            return None
        number = self._number(cell)
        if number is None:
            number = read_count(cell.text, self._numbers)
        return number

    def _percentage(self, row: Row, field: ColumnField) -> Decimal | None:
        cell = self._cell(row, field)
        if cell is None or not cell.text.strip():
            return None
        number = read_number(cell.text.replace("%", "").strip(), self._numbers)
        if number is None:
            return None
        if cell.kind == "number" and 0 < abs(number) < 1:
            return abs(number)  # a spreadsheet holds 8 % as 0.08
        return abs(number) / 100

    def _read_tax(self, row: Row, charge: BilledRow) -> None:
        cell = self._cell(row, "tax")
        if cell is None or not cell.text.strip():
            return
        text = cell.text.strip()
        if "%" in text:
            charge.tax_rate = self._percentage(row, "tax")
        elif (number := self._number(cell)) is not None:
            charge.tax = number
        else:
            charge.taxable = _TAX_FLAGS.get(text.casefold())

    def _kind(self, row: Row, charge: BilledRow) -> ChargeKind:
        by_column = kind_in_words(self._text(row, "kind"))
        by_words = kind_in_words(charge.description)
        if charge.amount is not None and charge.amount < 0:
            return "credit"
        if self._section_kind is not None and by_words in _WITHIN.get(self._section_kind, ()):
            by_words = None
        kind = by_column or by_words or self._section_kind
        if kind is None and not (self._in_hire or is_plain_hire(charge.description)):
            kind = self._kind_of_units
        kind = kind or "other"
        return "other" if kind == "credit" else kind


_WITHIN: dict[ChargeKind, frozenset[ChargeKind | None]] = {
    "repair_labour": frozenset({"cleaning", "repair", "replacement", "missing", "lamp"}),
    "repair_parts": frozenset({"cleaning", "repair", "replacement", "missing", "lamp"}),
    "missing": frozenset({"lamp", "replacement", "repair_parts"}),
    "repair": frozenset({"replacement"}),
}
"""What the words of a line do not make of it below the heading of such a section:
``Replace focus ring`` below *Labour* is labour."""

_MARKS: tuple[ColumnField, ...] = ("serials", "asset_tags")
_TAX_FLAGS = {
    "t": True,
    "y": True,
    "yes": True,
    "x": True,
    "*": True,
    "taxable": True,
    "n": False,
    "no": False,
    "exempt": False,
    "nt": False,
    "non-taxable": False,
}


def short_text(text: str) -> str:
    """Return a text in one line of at most 40 letters, for a sentence about it."""
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:39] + "…"
