"""A kit list from a table: every row read, and every row that cannot be taken named.

An import is all or nothing for one file; reading lists everything, so that the person
sees all faults at once and can correct the columns or the file.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from pathlib import Path
from typing import Any

from ldapp.claim.kit import EquipmentKind
from ldapp.claim.record import record
from ldapp.errors import Fault, InputError
from ldapp.exchange.column_match import ColumnMatch, ColumnName
from ldapp.exchange.column_words import KIT_FIELDS, ColumnField, field_words
from ldapp.exchange.columns import FoundColumns, apply_match, missing_columns, propose_columns
from ldapp.exchange.kit_lines import Listed
from ldapp.exchange.kit_quantities import states_units
from ldapp.exchange.kit_rows import KitRowReader
from ldapp.exchange.number_text import DateOrder, NumberStyle, date_order, number_style
from ldapp.exchange.side_by_side import one_below_the_other
from ldapp.exchange.table import Table, TableFile
from ldapp.exchange.tables import read_tables
from ldapp.language import said


@record
class ListedPart:
    """A part of a set, listed below the line it belongs to."""

    description: str
    per_unit: int = 1
    replacement_cost: Decimal | None = None


@record
class ListedLine:
    """What one line of a list says; amounts for one unit in the list's currency.

    ``owner`` and ``category`` are the list's own words; ``kind`` is proposed from them.
    """

    number: str
    description: str
    quantity: int | None
    serials: tuple[str, ...] = ()
    asset_tags: tuple[str, ...] = ()
    parts: tuple[ListedPart, ...] = ()
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


@record
class KitRow:
    """One line with the place it was read from, what is wrong with it and what to look at."""

    row: int
    place: str
    line: ListedLine
    faults: tuple[Fault, ...] = ()
    to_confirm: tuple[str, ...] = ()


@record
class KitListReading:
    """A kit list as read: its columns, its lines, and everything that keeps it out."""

    file: str
    columns: dict[ColumnField, ColumnName | tuple[ColumnName, ...]]
    headings: tuple[str, ...]
    """The headings of all columns of the first table read, for correcting the match."""
    header_row: int | None
    sheets: tuple[str, ...]
    numbers: NumberStyle | None
    dates: DateOrder | None
    rows: tuple[KitRow, ...]
    faults: tuple[Fault, ...]
    """All faults, those of the rows included."""

    @property
    def match(self) -> ColumnMatch:
        """The columns as they can be remembered and given again."""
        return ColumnMatch(columns=self.columns)

    def lines(self) -> tuple[ListedLine, ...]:
        """Return the lines for an import.

        Raises:
            InputError: anything is wrong; nothing of the file is to be taken in then.
        """
        if self.faults:
            raise InputError(self.faults)
        return tuple(row.line for row in self.rows)


def read_kit_list(path: Path, columns: ColumnMatch | None = None) -> KitListReading:
    """Read the kit list at ``path``, by ``columns`` or by columns that are proposed.

    Raises:
        InputError: the file cannot be read as a list at all.  What is wrong with its
            columns and rows stands in the reading.
    """
    return kit_list_of(read_tables(path), columns)


def kit_list_of(file: TableFile, columns: ColumnMatch | None = None) -> KitListReading:
    """Read a kit list from the tables of a file; see :func:`read_kit_list`."""
    file = dataclasses.replace(file, tables=tuple(map(one_below_the_other, file.tables)))
    chosen, faults = _tables_with_list(file, columns)
    rows: list[KitRow] = []
    styles: list[NumberStyle | None] = []
    orders: list[DateOrder | None] = []
    earlier: set[str] = set()
    for table, found in chosen:
        numbers, dates = _styles(table, found, columns)
        styles.append(numbers)
        orders.append(dates)
        reader = KitRowReader(file.name, found, numbers, dates, loose_text=file.kind == "pdf")
        listed = list(reader.read(table))
        _number(file.name, table.name, listed, earlier)
        rows.extend(_kit_row(one) for one in listed)
    if chosen and not rows and not faults:
        faults.append(
            Fault(
                file=file.name,
                place="",
                wrong=said("there are headings but no lines below them"),
                expected=said("one line for each kind of equipment"),
            )
        )
    for row in rows:
        faults.extend(row.faults)
    found = chosen[0][1] if chosen else propose_columns(_largest(file), KIT_FIELDS)
    table = chosen[0][0] if chosen else _largest(file)
    return KitListReading(
        file=file.name,
        columns=found.names(),
        headings=found.headings,
        header_row=table.rows[found.header[-1]].number if found.header else None,
        sheets=tuple(table.name for table, _ in chosen if table.name),
        numbers=styles[0] if styles else None,
        dates=orders[0] if orders else None,
        rows=tuple(rows),
        faults=tuple(faults),
    )


def _largest(file: TableFile) -> Table:
    return max(file.tables, key=lambda table: len(table.rows))


def _tables_with_list(
    file: TableFile, columns: ColumnMatch | None
) -> tuple[list[tuple[Table, FoundColumns]], list[Fault]]:
    tables = [table for table in file.tables if table.rows]
    if columns is not None and columns.sheet is not None:
        named = [table for table in tables if table.name == columns.sheet]
        # A workbook with one sheet does not name it.
        tables = named or [table for table in tables if not table.name]
        if not tables:
            sheets = ", ".join(table.name for table in file.tables)
            return [], [
                _fault(
                    file,
                    said('there is no sheet "{sheet}"', sheet=columns.sheet),
                    said("one of {sheets}", sheets=sheets),
                )
            ]
    if columns is not None:
        applied = [(table, apply_match(table, columns, KIT_FIELDS)) for table in tables]
        complete = [one for one in applied if not missing_columns(columns, one[1])]
        if not complete:
            best = max(applied, key=lambda one: len(one[1].fields))
            return [], [
                _fault(
                    file,
                    said(
                        'there is no column "{name}" for the {field}',
                        name=name,
                        field=field_words(field),
                    ),
                    said("one of the headings: {headings}", headings=", ".join(best[1].headings)),
                )
                for field, name in missing_columns(columns, best[1])
            ]
        return complete, _missing_needed(file, *complete[0])
    proposed = [(table, propose_columns(table, KIT_FIELDS)) for table in tables]
    usable = [one for one in proposed if not _missing_needed(file, *one)]
    counted = [one for one in usable if "quantity" in one[1].fields]
    usable = counted or usable  # a sheet without quantities is no list beside one with
    if usable:
        with_header = [one for one in usable if one[1].header]
        return with_header or usable[:1], []
    best = max(proposed, key=lambda one: (len(one[1].fields), len(one[0].rows)))
    missing = _missing_needed(file, *best)
    readable = best[1].fields.keys() & {"description", "model", "make"}
    return ([best] if readable and best[1].header else []), missing


def _missing_needed(file: TableFile, table: Table, found: FoundColumns) -> list[Fault]:
    has = found.fields.keys()
    headings = ", ".join(found.headings)
    faults = []
    if not has & {"description", "model", "make"}:
        faults.append(
            _fault(
                file,
                said("no column with descriptions was found"),
                said(
                    "a heading such as Description or Item; the columns are: {headings}",
                    headings=headings,
                ),
            )
        )
    if "quantity" not in has and not states_units(table, found):
        faults.append(
            _fault(
                file,
                said("no column with quantities was found"),
                said(
                    "a heading such as Quantity or Qty; the columns are: {headings}",
                    headings=headings,
                ),
            )
        )
    return faults


def _fault(file: TableFile, wrong: str, expected: str) -> Fault:
    return Fault(file=file.name, place="", wrong=wrong, expected=expected)


_NUMBER_FIELDS: tuple[ColumnField, ...] = (
    "quantity",
    "day_rate",
    "replacement_cost",
    "scheduled_value",
)


def _styles(
    table: Table, found: FoundColumns, columns: ColumnMatch | None
) -> tuple[NumberStyle | None, DateOrder | None]:
    """Return how a table writes numbers and days: as stated, else as its cells show."""
    body = table.rows[found.first_row :]

    def texts(fields: tuple[ColumnField, ...]) -> list[str]:
        return [
            cell.text
            for field in fields
            for index in found.fields.get(field, ())
            for row in body
            if (cell := row.cell(index)).kind == "text" and cell.text
        ]

    numbers = columns.numbers if columns else None
    dates = columns.dates if columns else None
    return (
        numbers or number_style(texts(_NUMBER_FIELDS)),
        dates or date_order(texts(("acquired",))),
    )


def _number(file: str, sheet: str, listed: list[Listed], earlier: set[str]) -> None:
    """Name lines that are numbered twice, and number those that are not, in list order.

    Sheets often begin again with 1; such a number is then told apart by its sheet.
    """
    seen: dict[str, str] = {}
    for one in listed:
        if one.number and one.number in seen:
            one.faults.append(
                Fault(
                    file=file,
                    place=one.place,
                    wrong=said(
                        'the line number "{number}" already stands in {seen}',
                        number=one.number,
                        seen=seen[one.number],
                    ),
                    expected=said("each line number once"),
                )
            )
        elif one.number:
            seen[one.number] = one.place
            if one.number in earlier:
                one.number = f"{sheet} {one.number}"
    taken = earlier | {one.number for one in listed}
    following = 1
    for one in listed:
        if not one.number:
            while str(following) in taken:
                following += 1
            one.number = str(following)
            taken.add(one.number)
    earlier |= taken


def _kit_row(listed: Listed) -> KitRow:
    parts = tuple(
        ListedPart(
            description=part.description,
            per_unit=part.per_unit,
            replacement_cost=part.replacement_cost,
        )
        for part in listed.parts
    )
    values = {
        field.name: getattr(listed, field.name)
        for field in dataclasses.fields(ListedLine)
        if field.name != "parts"
    }
    line = ListedLine(parts=parts, **values)
    return KitRow(
        row=listed.row,
        place=listed.place,
        line=line,
        faults=tuple(listed.faults),
        to_confirm=tuple(listed.to_confirm),
    )


def kit_list_as_json(reading: KitListReading) -> dict[str, Any]:
    """Return a reading as ``ldapp kit`` prints it; amounts are exact text."""
    return {
        "columns": {
            field: list(names) if isinstance(names, tuple) else names
            for field, names in reading.columns.items()
        },
        "lines": [_line_as_json(row) for row in reading.rows],
        "faults": [
            {"place": fault.place, "says": fault.without_place()} for fault in reading.faults
        ],
        "to_confirm": [
            {"place": row.place, "says": words} for row in reading.rows for words in row.to_confirm
        ],
    }


def _line_as_json(row: KitRow) -> dict[str, Any]:
    line = row.line
    return {
        "line": line.number,
        "description": line.description,
        "quantity": line.quantity,
        "serials": list(line.serials),
        "asset_tags": list(line.asset_tags),
        "parts": [
            {
                "description": part.description,
                "per_unit": part.per_unit,
                "replacement_cost": amount_text(part.replacement_cost),
            }
            for part in line.parts
        ],
        "kind": line.kind,
        "category": line.category,
        "owner": line.owner,
        "location": line.location,
        "day_rate": amount_text(line.day_rate),
        "replacement_cost": amount_text(line.replacement_cost),
        "scheduled_value": amount_text(line.scheduled_value),
        "acquired": line.acquired.isoformat() if line.acquired else None,
        "age_months": line.age_months,
        "note": line.note,
        "place": row.place,
    }


def amount_text(amount: Decimal | None, decimals: int = 2) -> str | None:
    """Return an amount in digits with at least ``decimals`` places, more only where it has them."""
    if amount is None:
        return None
    places = max(decimals, -int(amount.normalize().as_tuple().exponent))
    return f"{amount:.{places}f}"
