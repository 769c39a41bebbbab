"""Which column of a list holds what: proposed by headings and contents, or as matched."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise

from ldapp.claim.record import record
from ldapp.exchange.charge_words import is_section_title
from ldapp.exchange.column_match import ColumnMatch, ColumnName
from ldapp.exchange.column_words import (
    ColumnField,
    label_certainty,
    label_fields,
    plain_label,
)
from ldapp.exchange.number_text import read_number
from ldapp.exchange.table import Row, Table

_SEARCHED_ROWS = 80
_SAMPLE_ROWS = 200
_LEAST_FIT = 0.6
_COUNTED: tuple[ColumnField, ...] = ("quantity", "amount", "unit_price")
_COUNTED_LINE = re.compile(r"\d{1,4}\s*[x×]?\s+\S", re.IGNORECASE)
_LETTERS = re.compile(r"[A-Za-z]{1,2}")


@record
class FoundColumns:
    """Where in one table the headings are and which column, from 0, holds each field."""

    header: tuple[int, ...]
    """The indexes of the rows with the headings; empty where there are none."""
    fields: dict[ColumnField, tuple[int, ...]]
    headings: tuple[str, ...]
    """The heading of every column, for a person; its letter where it has none."""

    @property
    def first_row(self) -> int:
        """The index of the first row below the headings."""
        return self.header[-1] + 1 if self.header else 0

    def repeats_headings(self, row: Row) -> bool:
        """Return whether ``row`` is the headings again, as on every page of a list."""
        same = sum(
            1
            for text, heading in zip(row.texts(), self.headings, strict=False)
            if text and text == heading
        )
        return bool(self.header) and same >= 2

    def names(self) -> dict[ColumnField, ColumnName | tuple[ColumnName, ...]]:
        """Return the columns as a match names them: by heading where only one has it."""
        named: dict[ColumnField, ColumnName | tuple[ColumnName, ...]] = {}
        for field, indexes in self.fields.items():
            names = tuple(self._name(index) for index in indexes)
            named[field] = names[0] if len(names) == 1 else names
        return named

    def _name(self, index: int) -> str:
        heading = self.headings[index]
        plain = [plain_label(one) for one in self.headings]
        return heading if plain.count(plain_label(heading)) == 1 else column_letter(index)


def column_letter(index: int) -> str:
    """Return a column, counted from 0, as a spreadsheet names it: 0 is A, 26 is AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


# --- proposing --------------------------------------------------------------------------


def header_fits(texts: Sequence[str], wanted: Iterable[ColumnField]) -> dict[ColumnField, int]:
    """Return the column of each wanted field, by the words of one row of headings."""
    fits: list[tuple[float, int, ColumnField]] = []
    fields = frozenset(wanted)
    for index, text in enumerate(texts):
        for field, fit in label_fields(text).items():
            if field in fields and fit >= _LEAST_FIT:
                fits.append((fit, index, field))
    fits.sort(key=lambda one: (-one[0], one[1]))
    found: dict[ColumnField, int] = {}
    for _, index, field in fits:
        if field not in found and index not in found.values():
            found[field] = index
    return found


def header_strength(texts: Sequence[str], wanted: Iterable[ColumnField]) -> float:
    """Return how surely a row is one of headings; 0 where it is not.

    Headings are several, in different cells, and few cells of the row are anything else.
    """
    filled = [text for text in texts if text.strip()]
    found = header_fits(texts, wanted)
    if len(found) < 2 or not found.keys() & _TELLING:
        return 0.0
    known = sum(1 for text in filled if label_certainty(text))
    figures = sum(1 for text in filled if read_number(text) is not None)
    return len(found) - figures + known / len(filled)


_TELLING: frozenset[ColumnField] = frozenset(
    {"description", "quantity", "amount", "model", "gross", "unit_price"}
)


def find_header(rows: Sequence[Row], wanted: Iterable[ColumnField]) -> tuple[int, ...]:
    """Return the indexes of the one or two rows that hold the headings; empty if none does."""
    best: tuple[int, ...] = ()
    best_strength = 1.5
    wanted = tuple(wanted)
    for index, row in enumerate(rows[:_SEARCHED_ROWS]):
        strength = header_strength(row.texts(), wanted)
        if strength > best_strength:
            best, best_strength = (index,), strength
        if index + 1 == len(rows) or not strength:
            continue
        below = rows[index + 1].texts()
        filled = [text for text in below if text]
        if filled and is_section_title(" ".join(filled)):
            continue
        if not any(any(one.isdigit() for one in text) for text in below):
            joined = _joined((row, rows[index + 1]))
            strength = header_strength(joined, wanted) + _gain(row.texts(), below, joined)
            if strength > best_strength:
                best, best_strength = (index, index + 1), strength
    return best


def _gain(above: Sequence[str], below: Sequence[str], joined: Sequence[str]) -> float:
    """Return what speaks for headings on two lines: that both together are known ones."""
    filled = [text for text in below if text]
    if len(filled) > 1 and all(label_certainty(text) > 0.9 for text in filled):
        return 0.05  # Out and In below Quantity
    certain = [
        label_certainty(text) > 0.9
        for one, other, text in zip(above, below, joined, strict=False)
        if one and other
    ]
    return 0.05 if len(certain) > 1 and all(certain) else -0.5


def _joined(rows: Sequence[Row]) -> tuple[str, ...]:
    width = max((len(row.cells) for row in rows), default=0)
    return tuple(
        " ".join(text for row in rows if (text := row.cell(column).text.strip()))
        for column in range(width)
    )


def propose_columns(table: Table, wanted: Sequence[ColumnField]) -> FoundColumns:
    """Return the columns of ``table`` by its headings, or by its contents where it has none."""
    header = find_header(table.rows, wanted)
    width = max((len(row.cells) for row in table.rows), default=0)
    if not header and "description" in wanted:
        alone = _one_column(table.rows, width)
        if alone is not None:
            return alone
    if not header:
        fields = _by_contents(table.rows, wanted, width)
        return FoundColumns(header=(), fields=fields, headings=_headings((), width))
    texts = _joined([table.rows[index] for index in header])
    found = header_fits(texts, wanted)
    body = table.rows[header[-1] + 1 :][:_SAMPLE_ROWS]
    if "description" not in found and "model" not in found and "make" not in found:
        wordy = _wordiest(body, frozenset(found.values()), width)
        line = found.get("line")
        if line is not None and plain_label(texts[line]) in {"item", "items"}:
            wordy = line
            del found["line"]
        if wordy is not None:
            found["description"] = wordy
    fields = {field: (found[field],) for field in wanted if field in found}
    return FoundColumns(header=header, fields=fields, headings=_headings(texts, width))


def _one_column(rows: Sequence[Row], width: int) -> FoundColumns | None:
    """Return the only column of a list that is mere text; None where it has more."""
    held = {index for row in rows for index, text in enumerate(row.texts()) if text}
    if len(held) != 1:
        return None
    column = held.pop()
    texts = [text for row in rows if (text := row.cell(column).text.strip())]
    if sum(_COUNTED_LINE.match(text) is not None for text in texts) < 0.5 * len(texts):
        return None  # running text
    first = next(index for index, row in enumerate(rows) if row.cell(column).text.strip())
    text = rows[first].cell(column).text
    header = (first,) if "description" in label_fields(text) else ()
    heading = [""] * column + [text] if header else []
    return FoundColumns(
        header=header, fields={"description": (column,)}, headings=_headings(heading, width)
    )


def _headings(texts: Sequence[str], width: int) -> tuple[str, ...]:
    return tuple(
        " ".join(texts[index].split()) if index < len(texts) and texts[index].strip()
        else column_letter(index)
        for index in range(width)
    )  # fmt: skip


def _wordiest(rows: Sequence[Row], taken: frozenset[int], width: int) -> int | None:
    lengths = {
        column: sum(
            len(row.cell(column).text) for row in rows if read_number(row.cell(column).text) is None
        )
        for column in range(width)
        if column not in taken
    }
    best = max(lengths, key=lambda column: lengths[column], default=None)
    return best if best is not None and lengths[best] >= 3 * max(1, len(rows)) else None


def _by_contents(
    rows: Sequence[Row], wanted: Sequence[ColumnField], width: int
) -> dict[ColumnField, tuple[int, ...]]:
    """Guess from the cells of a list without headings: text, running numbers, pieces."""
    sample = [row for row in rows[:_SAMPLE_ROWS] if sum(1 for text in row.texts() if text) > 1]
    if len(sample) < 2:
        return {}
    whole: dict[int, list[int]] = {}
    for column in range(width):
        numbers = [read_number(row.cell(column).text) for row in sample]
        if all(number is not None and number == int(number) for number in numbers):
            whole[column] = [int(number) for number in numbers if number is not None]
    found: dict[ColumnField, tuple[int, ...]] = {}
    wordy = _wordiest(sample, frozenset(whole), width)
    if wordy is None:
        return {}
    found["description"] = (wordy,)
    running = next(
        (
            column
            for column, numbers in whole.items()
            if all(later > earlier for earlier, later in pairwise(numbers))
        ),
        None,
    )
    if running is not None and "line" in wanted:
        found["line"] = (running,)
    pieces = [column for column in whole if column != running]
    if pieces and "quantity" in wanted:
        found["quantity"] = (pieces[0],)
    return found


# --- applying a match -------------------------------------------------------------------


def apply_match(table: Table, match: ColumnMatch, wanted: Sequence[ColumnField]) -> FoundColumns:
    """Return where the columns of ``match`` are in ``table``, without those it does not have."""
    width = max((len(row.cells) for row in table.rows), default=0)
    header = _stated_header(table, match, wanted)
    texts = _joined([table.rows[index] for index in header]) if header else ()
    headings = _headings(texts, width)
    fields: dict[ColumnField, tuple[int, ...]] = {}
    for field, names in match.columns.items():
        indexes = tuple(
            index
            for name in (names if isinstance(names, tuple) else (names,))
            if (index := _index_of(name, headings, has_headings=bool(header))) is not None
        )
        if indexes:
            fields[field] = indexes
    return FoundColumns(header=header, fields=fields, headings=headings)


def _stated_header(
    table: Table, match: ColumnMatch, wanted: Sequence[ColumnField]
) -> tuple[int, ...]:
    if match.header_row == 0:
        return ()
    if match.header_row is not None:
        return tuple(
            index for index, row in enumerate(table.rows) if row.number == match.header_row
        )[:1]
    names = {
        plain_label(name)
        for names in match.columns.values()
        for name in (names if isinstance(names, tuple) else (names,))
        if isinstance(name, str)
    }
    best: tuple[int, ...] = ()
    most = (0, 0.0)
    for index, row in enumerate(table.rows[:_SEARCHED_ROWS]):
        here = sum(1 for text in row.texts() if text and plain_label(text) in names)
        strength = (here, header_strength(row.texts(), wanted))
        if here and strength > most:
            best, most = (index,), strength
    return best or find_header(table.rows, wanted) or _above_figures(table, match)


def _above_figures(table: Table, match: ColumnMatch) -> tuple[int, ...]:
    """Return the row above the first with figures, where a match names columns by letter."""
    width = max((len(row.cells) for row in table.rows), default=0)
    letters = tuple(column_letter(index) for index in range(width))
    for field in _COUNTED:
        name = match.columns.get(field)
        if name is None or isinstance(name, tuple):
            continue
        index = _index_of(name, letters, has_headings=False)
        if index is None:
            continue
        for number, row in enumerate(table.rows[:_SEARCHED_ROWS]):
            if read_number(row.cell(index).text) is not None:
                return (number - 1,) if number else ()
    return ()


def _index_of(name: ColumnName, headings: Sequence[str], *, has_headings: bool) -> int | None:
    if isinstance(name, int):
        return name - 1 if name <= len(headings) else None
    if has_headings:
        plain = plain_label(name)
        for wanted in (name.strip(), plain):
            for index, heading in enumerate(headings):
                if wanted in (heading, plain_label(heading)):
                    return index
    if _LETTERS.fullmatch(name):
        index = 0
        for letter in name.upper():
            index = index * 26 + ord(letter) - 64
        return index - 1 if index <= len(headings) else None
    return None


def missing_columns(
    match: ColumnMatch, found: FoundColumns
) -> tuple[tuple[ColumnField, ColumnName], ...]:
    """Return the fields and columns of ``match`` that the table does not have."""
    missing: list[tuple[ColumnField, ColumnName]] = []
    for field, names in match.columns.items():
        for name in names if isinstance(names, tuple) else (names,):
            if _index_of(name, found.headings, has_headings=bool(found.header)) is None:
                missing.append((field, name))
    return tuple(missing)
