"""The rows below the headings of a kit list: lines, parts of sets, headings, sums."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from ldapp.exchange.column_words import ColumnField
from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.department_words import is_department
from ldapp.exchange.kit_lines import KitLineReader, Listed, ListedPartRow
from ldapp.exchange.kit_quantities import pieces_in, states_number
from ldapp.exchange.number_text import DateOrder, NumberStyle, read_number
from ldapp.exchange.serial_text import labelled_marks, marks_in
from ldapp.exchange.table import Row, Table
from ldapp.language import said

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


class KitRowReader(KitLineReader):
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
        super().__init__(file, found, numbers, dates)
        self._loose_text = loose_text
        """Whether a row of text alone may stand outside the list, as on a page of a PDF."""
        self._always_filled = False
        """Whether a column beside description and quantity is filled in almost every line."""

        self._numbered_and_filled = False
        """Whether each line that has more than words and pieces is numbered, and no other."""

    def read(self, table: Table) -> Iterator[Listed]:
        """Yield every line of the list, parts folded into the line above them."""
        current: Listed | None = None
        blank_before = True
        body = table.rows[self._found.first_row :]
        self._look_at(body)
        self._heading = self._heading_above(table)
        last_line = self._last_line(body)
        for index, row in enumerate(body):
            texts = [text for text in row.texts() if text]
            if not texts:
                blank_before = True
                continue
            if self._is_no_line(row, texts):
                continue
            marks = labelled_marks(texts[0]) if len(set(texts)) == 1 else None
            if marks is not None and not marks[0] and current is not None:
                self._add_marks(current, marks[1])
                continue
            heading = self._heading_of(row, texts, blank_before=blank_before)
            blank_before = False
            if heading is not None:
                self._heading = heading
                continue
            if index > last_line and not self._found.fields.keys().isdisjoint({"quantity"}):
                continue  # remarks below the list
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

    def _add_marks(self, line: Listed, text: str) -> None:
        """Take serial numbers on a row of their own to the line above."""
        more = [one for one in marks_in(text, line.quantity) if one not in line.serials]
        line.serials = (*line.serials, *more)
        if line.quantity is not None and len(line.serials) > line.quantity:
            line.to_confirm.append(
                said(
                    "{number} serial numbers for a quantity of {quantity}",
                    number=len(line.serials),
                    quantity=line.quantity,
                )
            )

    # --- which row is what --------------------------------------------------------------

    def _look_at(self, body: Sequence[Row]) -> None:
        """Learn from all rows what a row that is a line has in common."""
        lines = [
            row for row in body if pieces_in(self._cell(row, "quantity"), self._numbers) is not None
        ]
        described = self._found.fields.get("description", ())
        counted = self._found.fields.get("quantity", ())
        width = max((len(row.cells) for row in body), default=0)
        self._always_filled = any(
            sum(bool(row.cell(column).text.strip()) for row in lines) >= 0.8 * len(lines)
            for column in range(width)
            if column not in described and column not in counted
        ) and bool(lines)
        numbers = self._found.fields.get("line", ())
        numbered = sum(bool(self._text(row, "line")) for row in lines)
        whole = [
            row
            for row in lines
            if any(
                row.cell(column).text.strip()
                for column in range(width)
                if column not in {*described, *counted, *numbers}
            )
        ]
        self._numbered_and_filled = numbered == len(whole) >= 0.5 * len(lines) > 0 and all(
            self._text(row, "line") for row in whole
        )
        if not counted:
            texts = [self._text(row, "description") or "" for row in body]
            plain = sum(
                states_number(text) and not states_number(text, plainly=False) for text in texts
            )
            self._plain_counts = plain >= 0.6 * sum(map(bool, texts)) > 0

    def _heading_above(self, table: Table) -> str:
        """Return the heading above a list whose headings stand again below each heading."""
        first = self._found.header[0] if self._found.header else 0
        repeated = any(
            self._found.repeats_headings(row) for row in table.rows[self._found.first_row :]
        )
        if not first or not repeated:
            return ""
        texts = [text for text in table.rows[first - 1].texts() if text]
        return texts[0].rstrip(":").strip() if len(texts) == 1 else ""

    def _last_line(self, body: Sequence[Row]) -> int:
        """Return the index of the last row before the text that stands apart below the list."""
        last = max(
            (index for index, row in enumerate(body) if self._looks_counted(row)),
            default=len(body),
        )
        if self._loose_text:
            return last
        following = last + 1
        apart = following < len(body) and not any(body[following].texts())
        return last if apart else len(body)

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
        if "quantity" not in self._found.fields and states_number(text):
            return None
        marked = _PART_MARK.match(self._raw(row, "description"))
        if marked is not None and marked["mark"]:
            return None
        stands_apart = (
            self._always_filled
            or is_department(text)
            or not described
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
        unnumbered = not number and self._is_bare(row)
        if not (below or (marked and not number) or unnumbered):
            return None
        if self._text(row, "serials") or self._text(row, "asset_tags"):
            return None
        description = raw[found.end() :].strip() if found else raw.strip()
        if not description:
            return None
        if unnumbered and not below and not marked:
            line.to_confirm.append(
                said(
                    '"{description}" has no number; taken as a part of this line',
                    description=description,
                )
            )
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
                    said(
                        '"{description}": {quantity} taken as the number of parts in each set',
                        description=description,
                        quantity=quantity,
                    )
                )
        cost = self._cell(row, "replacement_cost")
        value = self._number(cost) if cost is not None else None
        return ListedPartRow(" ".join(description.split()), per_unit, value)

    def _is_bare(self, row: Row) -> bool:
        """Tell a row of pieces and words alone in a list whose lines are numbered and priced."""
        filled = {index for index, text in enumerate(row.texts()) if text}
        fields: tuple[ColumnField, ...] = ("description", "quantity")
        own = {index for field in fields for index in self._found.fields.get(field, ())}
        return self._numbered_and_filled and filled == own

    def _part_quantity(self, row: Row) -> int | None:
        pieces = pieces_in(self._cell(row, "quantity"), self._numbers)
        return pieces[0] if pieces and pieces[0] >= 0 else None

    def _looks_counted(self, row: Row) -> bool:
        text = self._text(row, "quantity") or ""
        if not self._loose_text:
            return bool(text or self._text(row, "serials"))
        # On a page other text may stand where the list had its quantities.
        return len(text) <= 12 and any(one.isdigit() for one in text)
