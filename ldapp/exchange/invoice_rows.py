"""The rows below the headings of an invoice: charges, sections, continued text, sums."""

from __future__ import annotations

import dataclasses
import re
from decimal import Decimal

from ldapp.claim.charges import ChargeKind
from ldapp.errors import Fault
from ldapp.exchange.card_numbers import EXPECTED_WITHOUT, REFUSED, holds_card_number
from ldapp.exchange.charge_words import (
    SumKind,
    counts_hours,
    is_plain_hire,
    is_remark,
    is_section_title,
    is_taken_off,
    kind_in_words,
    says_included,
    sum_in_words,
)
from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.counted_words import counted_in_words
from ldapp.exchange.invoice_cells import with_parted_cells
from ldapp.exchange.invoice_check import SumRow
from ldapp.exchange.number_text import NumberStyle, read_amount, read_count, read_number
from ldapp.exchange.table import Cell, Row, Table
from ldapp.language import said

_EMPTY = frozenset({"", "-", "–", "—", "n/a", "na"})
_RATE = re.compile(r"(?<![\d.,])(\d{1,2}(?:[.,]\d{1,4})?)\s*%")
_NO_CHARGE = re.compile(
    r"(?:incl\w*|included|no charge|n/?c|inkl\w*|inclus\w*|gratis|free)\.?", re.I
)

_TOTAL_OF = re.compile(
    r"(?:sub-?\s?totals?|totals?|summe|zwischensumme|sous-total|somme|suma)(?!\w)"
    r"(?!\s+(?:loss|damage)\b)[^,;]{0,50}$",
    re.IGNORECASE,
)
"""A label such as ``Total missing equipment``, which no list of words has in full."""
_UNFINISHED = re.compile(
    r"[,&+:(]$|\s[-–—]$|\w-$|(?<!\w)(?:with|and|of|the|mit|und|von|avec|et|de|du|con|y|del)$",
    re.IGNORECASE,
)
"""The end of a text that goes on below."""
_SUM_OF = re.compile(r"[^,;\d]{1,40}\s(?:sub-?\s?total|total|summe|gesamt)\s*:?", re.IGNORECASE)
"""A label such as ``Labour total``."""


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


class InvoiceRowReader:
    """Reads the rows of an invoice's table by its columns."""

    def __init__(
        self, file: str, found: FoundColumns, numbers: NumberStyle | None, *, spaced_freely: bool
    ) -> None:
        self._file = file
        self._found = found
        self._numbers = numbers
        self._spaced_freely = spaced_freely
        """Whether text rows stand where a page has them, their lines already put together."""
        counted = found.headings[found.fields["quantity"][0]] if "quantity" in found.fields else ""
        self._section_kind: ChargeKind | None = "repair_labour" if counts_hours(counted) else None
        self._in_hire = False
        units = found.fields.get("quantity", ())
        headed = kind_in_words(found.headings[units[0]]) if units and found.header else None
        self._kind_of_units: ChargeKind | None = "missing" if headed == "missing" else None
        """What a heading such as ``Qty missing`` says of all lines."""
        self._after_sum = False
        """Whether no charge has followed the last sum: text here belongs to none."""
        self._loose: list[tuple[int, str, str]] = []
        """Text that belongs to no line: how many charges stand above it, its place."""
        self.to_confirm: list[str] = []

    def read(self, table: Table) -> tuple[list[BilledRow], list[SumRow]]:
        """Return the charges and the sums of the table, both in the order of the page."""
        charges: list[BilledRow] = []
        sums: list[SumRow] = []
        blank_before = True
        for printed in table.rows[self._found.first_row :]:
            if not any(printed.texts()):
                blank_before = True
                continue
            row = printed
            if self._spaced_freely:
                row = with_parted_cells(printed, self._found, self._numbers)
            if self._found.repeats_headings(row):
                continue
            totals = self._sums_of(row, len(charges))
            after_sum = self._after_sum
            label_alone = self._label_alone(row) if after_sum else ""
            self._after_sum = bool(totals or label_alone) or (
                self._after_sum and not self._has_figures(row)
            )
            if totals:
                sums.extend(totals)
            elif row.outside:
                continue
            elif not self._has_figures(row):
                self._take_text(row, charges, blank_before=blank_before)
            elif not (self._is_over(sums) and not self._is_full(row)):
                charge = self._charge_of(row, len(charges) + 1, label_alone)
                if after_sum and charge.unit_price is None and is_taken_off(charge.description):
                    charge.amount = -abs(charge.amount) if charge.amount is not None else None
                    charge.kind = self._kind(row, charge)
                charges.append(charge)
            blank_before = False
        for above, place, text in self._loose:
            if 0 < above < len(charges):
                self.to_confirm.append(
                    said('{place}: "{short}" was taken to no line', place=place, short=_short(text))
                )
        return charges, sums

    # --- which row is what --------------------------------------------------------------

    def _is_over(self, sums: list[SumRow]) -> bool:
        """Tell that the invoice's total has been printed: what follows is no charge."""
        return any(one.kind in {"gross", "balance"} for one in sums)

    def _is_full(self, row: Row) -> bool:
        return all(self._number_at(row, field) is not None for field in ("quantity", "amount"))

    def _has_figures(self, row: Row) -> bool:
        return any(
            self._number_at(row, field) is not None for field in ("amount", "gross", "unit_price")
        ) or bool(self._text(row, "amount") and self._text(row, "quantity"))

    def _label_alone(self, row: Row) -> str:
        """Return the label of a row between the sums that stands in no column of its own."""
        if self._text(row, "description"):
            return ""
        texts = [text for text in row.texts() if text]
        figures = [text for text in texts if read_amount(text, self._numbers) is not None]
        return " ".join(texts[:-1]) if len(figures) == 1 and texts[-1] in figures else ""

    def _sums_of(self, row: Row, after: int) -> list[SumRow]:
        """Return what a row sums up: one figure, or those of the columns net, tax and gross."""
        total = self._sum_of(row, after)
        if total is None:
            return []
        net, gross = self._number_at(row, "amount"), self._number_at(row, "gross")
        tax = self._number_at(row, "tax")
        if total.kind not in {"gross", "net"} or net is None or gross is None:
            return [total]
        parts: list[tuple[SumKind, Decimal | None]] = [("net", net), ("tax", tax), ("gross", gross)]
        return [
            dataclasses.replace(total, kind=kind, value=value, rate=None, figures=())
            for kind, value in parts
            if value is not None
        ]

    def _sum_of(self, row: Row, after: int) -> SumRow | None:
        """Return the sum that a row prints; None where it is a charge or text."""
        priced = self._number_at(row, "unit_price") is not None or self._text(row, "line")
        if priced and self._number_at(row, "quantity") is not None and not row.outside:
            return None
        figures = [
            (column, number)
            for column, cell in enumerate(row.cells)
            if cell.text.strip() and (number := self._number(cell)) is not None
        ]
        counted = {column for column, _ in figures}
        labels = [text for column, text in enumerate(row.texts()) if text and column not in counted]
        words = " ".join(labels)
        # A label that runs over the edge of its cell comes in two pieces.
        kind = (
            sum_in_words(words)
            or sum_in_words("".join(labels))
            or sum_in_words("".join(words.split()))
        )
        summed = _TOTAL_OF.match(words) or _SUM_OF.fullmatch(words)
        if kind is None and not priced and summed and self._number_at(row, "quantity") is None:
            kind = "sub_total"
        value: Decimal | None = figures[-1][1] if figures else None
        if kind is None or value is None:
            kind, value, words = self._sum_in_one_cell(row)
        if kind is None or value is None:
            return None
        rate = _RATE.search(" ".join(row.texts()))
        return SumRow(
            place=self._place_of_sum(row, words),
            kind=kind,
            label=words,
            value=value,
            rate=_share(rate[1]) if rate else None,
            included=says_included(words),
            after=after,
            figures=(*(number for _, number in figures[:-1]), *self._figures_in(words)),
        )

    def _place_of_sum(self, row: Row, label: str) -> str:
        """Name the place of a sum on a page by its label, and by its row elsewhere."""
        if not row.page:
            return row.place
        return said('page {page}, "{label}"', page=row.page, label=_short(label))

    def _figures_in(self, words: str) -> list[Decimal]:
        """Return the amounts in a label such as ``Sales tax 8.25% on 490.00``."""
        numbers = (read_number(word, self._numbers) for word in words.split())
        return [number for number in numbers if number is not None]

    def _sum_in_one_cell(self, row: Row) -> tuple[SumKind | None, Decimal | None, str]:
        """Read ``Total: 617.00 EUR`` where label and figure share a cell."""
        text = " ".join(one for one in row.texts() if one)
        found = re.fullmatch(r"(?P<label>.*?[^\d\s.,-])\s*:?\s+(?P<figure>[-(]?[^\s]*\d.*)", text)
        if found is None:
            return None, None, ""
        for cut in re.finditer(r"\s", text):
            label, figure = text[: cut.start()], text[cut.end() :]
            value = read_number(figure, self._numbers)
            kind = sum_in_words(label)
            if value is not None and kind is not None:
                return kind, value, label
        return None, None, ""

    def _take_text(self, row: Row, charges: list[BilledRow], *, blank_before: bool) -> None:
        """Take a row without figures as the heading of a section, or as continued text."""
        text = " ".join(" ".join(one for one in row.texts() if one).split())
        if set(text.casefold().split()) == {"cr"}:
            self._take_off_last(charges, row)
            return
        titled = text[:1].isupper() and is_section_title(text)
        if self._stands_in_figures(row) and not titled:
            return  # the second line of a column's heading, which is that of no section
        kind = kind_in_words(text)
        described = self._text(row, "description")
        alone = bool(described) and described == text
        first = next((letter for letter in text if letter.isalpha()), "")
        goes_on = first.islower() and alone
        unfinished = bool(charges) and bool(_UNFINISHED.search(charges[-1].description))
        continues = (unfinished and alone and not titled) or (
            not self._spaced_freely
            and not blank_before
            and not text.endswith(":")
            and not text.isupper()
            and not is_section_title(text)
            and (kind is None or len(text.split()) > 3)
        )
        if charges and bool(described) and not self._after_sum and (goes_on or continues):
            broken = self._spaced_freely and re.search(r"\w[-/]$", charges[-1].description)
            apart = "" if broken else " "
            charges[-1].description = f"{charges[-1].description}{apart}{described}"
            if charges[-1].kind == "other":
                charges[-1].kind = self._kind(row, charges[-1])
            self._refuse_card(charges[-1])
        elif len(text) <= 60 and is_plain_hire(text) and not is_remark(text):
            self._section_kind = None if kind == "fee" else kind
            self._in_hire = self._section_kind is None
        elif len(text) <= 60 and kind is not None and not is_remark(text):
            self._section_kind = kind
            self._in_hire = False
        elif alone and self._spaced_freely and not text.endswith(":"):
            self._loose.append((len(charges), row.place, text))

    def _take_off_last(self, charges: list[BilledRow], row: Row) -> None:
        """Read ``CR`` that is set below the figures of the last charge: both are taken off."""
        last = charges[-1] if charges and not self._after_sum else None
        if last is None or last.amount is None or last.amount <= 0:
            self.to_confirm.append(said('{place}: "CR" was taken to no amount', place=row.place))
            return
        last.amount = -last.amount
        if last.unit_price is not None and self._text(row, "unit_price"):
            last.unit_price = -last.unit_price
        last.kind = "credit"

    def _stands_in_figures(self, row: Row) -> bool:
        fields: tuple[ColumnField, ...] = ("quantity", "unit_price", "amount", "gross", "days")
        columns = {index for field in fields for index in self._found.fields.get(field, ())}
        filled = {index for index, text in enumerate(row.texts()) if text}
        return filled <= columns

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

    def _place(self, row: Row, count: int) -> str:
        """Name the place of a charge as a person finds it: on a page by its printed number.

        A page of a PDF shows no numbers of its lines; where its charges have none either,
        they are counted from the first of the invoice.
        """
        number = self._text(row, "line").partition("  ")[0].rstrip(".")
        if not row.page:
            return row.place
        if number:
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
                said('the quantity "{short}" is no number', short=_short(cell.text)),
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
                    said('the {name} "{short}" is no amount', name=name, short=_short(cell.text)),
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


def _share(text: str) -> Decimal:
    return Decimal(text.replace(",", ".")) / 100


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:39] + "…"
