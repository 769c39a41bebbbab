"""A match of columns and fields, as a person corrects it and as it is remembered.

A match names columns by their heading, by their letter as a spreadsheet shows it, or by
their number counted from 1.  It is kept as MATCH.json::

    {"format": "ldapp-match/1", "columns": {"description": "Item", "quantity": "Qty"}}

The plain object of fields and columns alone is accepted as well.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal, TypeAlias

from annotated_types import Ge, MinLen
from pydantic import TypeAdapter, ValidationError

from ldapp.claim.record import record
from ldapp.errors import Fault, InputError
from ldapp.exchange.claim_survey import nearest
from ldapp.exchange.column_words import COLUMN_FIELDS, ColumnField
from ldapp.exchange.number_text import DateOrder, NumberStyle
from ldapp.exchange.table import refusal
from ldapp.language import said

MATCH_FORMAT = "ldapp-match/1"

ColumnName: TypeAlias = Annotated[str, MinLen(1)] | Annotated[int, Ge(1)]


@record
class ColumnMatch:
    """The form of MATCH.json: the column of each field, and how the file writes numbers.

    A description may be put together from several columns, in the order given.
    """

    format: Literal["ldapp-match/1"] = "ldapp-match/1"
    columns: dict[ColumnField, ColumnName | tuple[ColumnName, ...]]
    sheet: str | None = None
    """The only sheet to read; None for all that hold such a list."""
    header_row: Annotated[int, Ge(0)] | None = None
    """The row with the headings, counted from 1; 0 for none; None to look for it."""
    numbers: NumberStyle | None = None
    """Which sign stands before the decimals; None to tell by the numbers."""
    dates: DateOrder | None = None
    """What a day in figures begins with; None to tell by the days."""


@cache
def _adapter() -> TypeAdapter[ColumnMatch]:
    return TypeAdapter(ColumnMatch)


def column_match_as_json(match: ColumnMatch) -> dict[str, Any]:
    """Return a match as plain JSON values, without what is left to be found."""
    data: dict[str, Any] = _adapter().dump_python(match, mode="json", exclude_none=True)
    return data


def column_match_from_json(data: Any, file: str) -> ColumnMatch:
    """Return the match that ``data`` holds, whole or as the plain object of columns.

    Raises:
        InputError: it is no match; every fault is listed.
    """
    if not isinstance(data, dict):
        raise refusal(file, said("this is no column match"), _a_match())
    if "columns" not in data and "format" not in data:
        data = {"columns": data}
    faults: list[Fault] = []
    columns = data.get("columns")
    for field in columns if isinstance(columns, dict) else ():
        if field not in COLUMN_FIELDS:
            guess = nearest(str(field), COLUMN_FIELDS)
            wanted = (
                said('"{guess}", if that is meant', guess=guess)
                if guess
                else ", ".join(COLUMN_FIELDS)
            )
            faults.append(
                Fault(
                    file=file,
                    place=f"columns.{field}",
                    wrong=said('"{field}" is not known', field=field),
                    expected=wanted,
                )
            )
    if faults:
        raise InputError(tuple(faults))
    try:
        return _adapter().validate_json(json.dumps(data), strict=True)
    except ValidationError as error:
        places = {".".join(str(step) for step in one["loc"][:2]) for one in error.errors()}
        raise InputError(
            tuple(
                Fault(
                    file=file,
                    place=place,
                    wrong=said("this is no column match"),
                    expected=_a_match(),
                )
                for place in sorted(places)
            )
        ) from None


def _a_match() -> str:
    return said(
        "an object {example} with headings, letters or numbers of columns",
        example=f'{{"format": "{MATCH_FORMAT}", "columns": {{"description": "Item", …}}}}',
    )


def read_column_match(path: Path) -> ColumnMatch:
    """Read the MATCH.json at ``path``.

    Raises:
        InputError: it cannot be read or is no match.
    """
    try:
        data = json.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        raise refusal(
            path.name,
            said("the file cannot be read ({strerror})", strerror=error.strerror),
            _a_match(),
        ) from error
    except (ValueError, RecursionError):
        raise refusal(path.name, said("this is not JSON"), _a_match()) from None
    return column_match_from_json(data, path.name)
