"""A kit list from a spreadsheet, a PDF or the clipboard, looked at before it is added."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from ldapp.casework.edit import get
from ldapp.casework.kit import next_number
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine, Part
from ldapp.claim.parties import Party
from ldapp.errors import InputError, LdappError
from ldapp.exchange.column_match import (
    ColumnMatch,
    ColumnName,
    column_match_as_json,
    column_match_from_json,
)
from ldapp.exchange.column_words import KIT_FIELDS, ColumnField
from ldapp.exchange.kit_list import KitListReading, KitRow, ListedLine, kit_list_of
from ldapp.exchange.number_text import DateOrder, NumberStyle
from ldapp.exchange.table import TableFile
from ldapp.exchange.tables import read_tables, table_from_text
from ldapp.language import marked, said, said_of

__all__ = [
    "FIELD_LABELS",
    "KIT_FIELDS",
    "ColumnField",
    "KitListReading",
    "KitRow",
    "ListSource",
    "ListedLine",
    "import_lines",
    "match_from_choices",
    "match_to_remember",
    "match_with_headings_in",
    "open_list",
    "open_pasted_list",
    "read_list",
    "read_with_remembered",
    "require_lines",
    "with_styles",
]

FIELD_LABELS: dict[ColumnField, str] = {
    "line": marked("Line number"),
    "description": marked("Description"),
    "make": marked("Make"),
    "model": marked("Model"),
    "quantity": marked("Quantity"),
    "serials": marked("Serial numbers"),
    "asset_tags": marked("Asset tags"),
    "category": marked("Category"),
    "location": marked("Where it lives"),
    "owner": marked("Owner"),
    "day_rate": marked("Rate a day"),
    "replacement_cost": marked("Replacement cost"),
    "scheduled_value": marked("Scheduled value"),
    "acquired": marked("Bought new on"),
    "age": marked("Age"),
    "note": marked("Note"),
}


class ListSource(NamedTuple):
    """A file or clipboard text with its tables, opened once and read as often as columns change."""

    name: str
    tables: TableFile


def open_list(path: Path) -> ListSource:
    """Open a spreadsheet, text table or PDF; raises InputError where it holds no table."""
    return ListSource(path.name, read_tables(path))


def require_lines(path: Path) -> None:
    """Raise InputError where a file holds no kit list at all; faulty rows are looked at later."""
    reading = read_list(open_list(path))
    if not reading.rows and reading.faults:
        raise InputError(reading.faults)


def open_pasted_list(text: str) -> ListSource:
    """Take a table from the clipboard; raises InputError where it is none."""
    return ListSource(said("clipboard"), table_from_text(text))


def read_list(source: ListSource, match: ColumnMatch | None = None) -> KitListReading:
    """Return every row with what it will become and what is wrong with it."""
    return kit_list_of(source.tables, match)


def match_from_choices(
    reading: KitListReading,
    choices: Mapping[ColumnField, str | None],
    header_row: int | None = None,
) -> ColumnMatch:
    """Return the match that a person made; a field with None is in no column.

    ``header_row`` is the row with the headings, counted from 1, 0 for none, None as found.
    A description that was put together from several columns stays so unless another
    column was chosen for it.
    """
    columns: dict[ColumnField, ColumnName | tuple[ColumnName, ...]] = {}
    for field, heading in choices.items():
        present = reading.columns.get(field)
        if heading is None:
            continue
        if isinstance(present, tuple) and heading == present[0]:
            columns[field] = present
        else:
            columns[field] = heading
    if header_row is None:
        header_row = reading.header_row or 0
    return ColumnMatch(columns=columns, header_row=header_row)


def match_with_headings_in(row: int | None) -> ColumnMatch | None:
    """Return a match that says only where the headings are; None lets them be found."""
    return None if row is None else ColumnMatch(columns={}, header_row=row)


def with_styles(
    match: ColumnMatch, numbers: NumberStyle | None, dates: DateOrder | None
) -> ColumnMatch:
    """Return a match that says how the file writes numbers and days; None is "as found"."""
    return dataclasses.replace(match, numbers=numbers, dates=dates)


_COLUMN_LETTERS = re.compile(r"[A-Z]{1,3}")


def read_with_remembered(source: ListSource, kept: Any) -> KitListReading:
    """Read a list by a kept match where the list has all its columns, else as found."""
    match = _remembered_match(kept)
    if match is not None:
        reading = read_list(source, match)
        if _has_columns(reading, match):
            return reading
    return read_list(source)


def _has_columns(reading: KitListReading, match: ColumnMatch) -> bool:
    """Return whether a list has every column of a match, by heading or by letter."""
    names = [
        name
        for one in match.columns.values()
        for name in (one if isinstance(one, tuple) else (one,))
    ]
    return reading.columns.keys() == match.columns.keys() and all(
        name in reading.headings or _COLUMN_LETTERS.fullmatch(str(name)) for name in names
    )


def _remembered_match(data: Any) -> ColumnMatch | None:
    if not isinstance(data, dict):
        return None
    try:
        match = column_match_from_json(data, said("kept columns"))
    except InputError:
        # Kept by an older version; the columns are proposed anew.
        return None
    return dataclasses.replace(match, header_row=None) if match.columns else None


def match_to_remember(match: ColumnMatch) -> dict[str, Any]:
    """Return a match as the JSON value that is kept for the next list of this company."""
    return column_match_as_json(match)


def import_lines(desk: OpenClaim, reading: KitListReading, agreement: str) -> int:
    """Add all lines of a list under an agreement, as one change; return how many.

    Owners named in the list become parties where the claim does not have them yet.

    Raises:
        InputError: a row is faulty; nothing is added.
        LdappError: a line number is on the agreement's list already.
    """
    listed = reading.lines()
    claim = desk.claim
    get(claim.agreements, agreement, "agreement")
    owners, new_parties = _owners(claim, listed)
    first = int(next_number(claim, agreement))
    numbered = any(line.number for line in listed)
    taken = {line.number for line in claim.kit if line.agreement == agreement}
    lines = []
    for index, one in enumerate(listed):
        number = one.number if numbered else str(first + index)
        if number in taken:
            raise LdappError(
                said(
                    "Line number {number} is on this agreement's list already. Was the list "
                    "imported before? Remove those lines first, or choose another agreement.",
                    number=number,
                )
            )
        taken.add(number)
        lines.append(_kit_line(one, number, agreement, owners))
    desk.change(
        said_of(
            len(lines),
            "Import {count} kit line from {file}",
            "Import {count} kit lines from {file}",
            file=reading.file,
        ),
        lambda present: dataclasses.replace(
            present,
            parties=(*present.parties, *new_parties),
            kit=(*present.kit, *lines),
        ),
    )
    return len(lines)


def _owners(claim: Claim, listed: Sequence[ListedLine]) -> tuple[dict[str, str], tuple[Party, ...]]:
    by_name = {party.name.casefold(): party.id for party in claim.parties}
    new: list[Party] = []
    for line in listed:
        name = line.owner.strip()
        if name and name.casefold() not in by_name:
            party = Party(id=new_id(), role="owner", name=name)
            by_name[name.casefold()] = party.id
            new.append(party)
    return by_name, tuple(new)


def _kit_line(one: ListedLine, number: str, agreement: str, owners: dict[str, str]) -> KitLine:
    parts = tuple(
        Part(
            id=new_id(),
            description=part.description,
            per_unit=part.per_unit,
            replacement_cost=part.replacement_cost,
        )
        for part in one.parts
    )
    return KitLine(
        id=new_id(),
        number=number,
        agreement=agreement,
        description=one.description,
        quantity=one.quantity or 0,
        serials=one.serials,
        asset_tags=one.asset_tags,
        parts=parts,
        kind=one.kind,
        category=one.category,
        owner=owners.get(one.owner.strip().casefold()),
        location=one.location,
        day_rate=one.day_rate,
        replacement_cost=one.replacement_cost,
        scheduled_value=one.scheduled_value,
        acquired=one.acquired,
        age_months=one.age_months,
        note=one.note,
    )
