"""The rows below the headings of an invoice: charges, sections, continued text, sums."""

from __future__ import annotations

import dataclasses
import re
from decimal import Decimal

from ldapp.exchange.charge_words import (
    SumKind,
    is_plain_hire,
    is_remark,
    is_section_title,
    is_taken_off,
    is_total_of_section,
    kind_in_words,
    says_included,
    sum_in_words,
)
from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.invoice_cells import with_parted_cells
from ldapp.exchange.invoice_charges import BilledRow, ChargeReader, short_text
from ldapp.exchange.invoice_check import SumRow
from ldapp.exchange.number_text import NumberStyle, read_amount, read_number
from ldapp.exchange.serial_text import labelled_marks
from ldapp.exchange.table import Row, Table
from ldapp.language import said

_RATE = re.compile(r"(?<![\d.,])(\d{1,2}(?:[.,]\d{1,4})?)\s*%")
_CENTS = re.compile(r"\d[.,]\d{2}(?!\d)")
_UNFINISHED = re.compile(
    r"[,&+:(]$|\s[-–—]$|\w-$|(?<!\w)(?:with|and|of|the|mit|und|von|avec|et|de|du|con|y|del)$",
    re.IGNORECASE,
)
"""The end of a text that goes on below."""


class InvoiceRowReader(ChargeReader):
    """Reads the rows of an invoice's table by its columns."""

    def __init__(
        self, file: str, found: FoundColumns, numbers: NumberStyle | None, *, spaced_freely: bool
    ) -> None:
        super().__init__(file, found, numbers)
        self._spaced_freely = spaced_freely
        """Whether text rows stand where a page has them, their lines already put together."""
        self._after_sum = False
        """Whether no charge has followed the last sum: text here belongs to none."""
        self._loose: list[tuple[int, str, str]] = []
        """Text that belongs to no line: how many charges stand above it, its place."""

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
                    said(
                        '{place}: "{short}" was taken to no line',
                        place=place,
                        short=short_text(text),
                    )
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
        summed = is_total_of_section(words)
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
        return said('page {page}, "{label}"', page=row.page, label=short_text(label))

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
        amount = self._text(row, "amount")
        if _CENTS.search(amount) and not self._after_sum:
            # Two rows that run into one another have an amount that none can read.
            self.to_confirm.append(
                said(
                    '{place}: "{short}" was taken to no line',
                    place=row.place,
                    short=short_text(amount),
                )
            )
        labelled = labelled_marks(text)
        if labelled is not None and not labelled[0] and charges and not self._after_sum:
            last = charges[-1]
            last.serials = ", ".join(one for one in (last.serials, labelled[1]) if one)
            return
        first = next((letter for letter in text if letter.isalpha()), "")
        titled = first.isupper() and is_section_title(text)
        if self._stands_in_figures(row) and not titled:
            return  # the second line of a column's heading, which is that of no section
        kind = kind_in_words(text)
        described = self._text(row, "description")
        alone = bool(described) and described == text
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
            self._take_labelled_marks(charges[-1])
            if charges[-1].kind == "other":
                charges[-1].kind = self._kind(row, charges[-1])
            self._refuse_card(charges[-1])
        elif len(text.split()) <= 6 and is_plain_hire(text) and not is_remark(text):
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


def _share(text: str) -> Decimal:
    return Decimal(text.replace(",", ".")) / 100
