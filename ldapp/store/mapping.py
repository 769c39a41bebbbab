"""The one place where records become rows and rows become records.

A mapping is derived from a record's fields and the columns of its table: a field
goes to the column of its name, in the way that the column's type says.  Amounts are
whole minor units of the currency in ``amounts_in``; an instant has a second column
with the offset in which it was said; nested records are JSON text.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Callable, Sequence
from decimal import Decimal, InvalidOperation
from functools import cache, cached_property
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import TypeAdapter, ValidationError
from pydantic_core import PydanticSerializationError
from sqlalchemy import Column, Table

from ldapp.errors import LdappError
from ldapp.language import said, said_of
from ldapp.local_forms import local_number
from ldapp.reckoning.money import minor_digits
from ldapp.store.column_types import (
    BIGGEST_INTEGER,
    DecimalText,
    MinorUnits,
    RecordText,
    UtcDateTime,
    WallClockText,
)
from ldapp.store.faults import damaged
from ldapp.store.record_names import record_name

_CURRENCY = re.compile(r"[A-Z]{3}")
AMOUNTS_IN = "amounts_in"
OFFSET = "_offset"

Write = Callable[[Any, str], Any]
"""Field value and the row's currency to column value."""
Read = Callable[[Any, Any], Any]
"""Column value and the value of its companion (currency or offset) to field value."""


@cache
def checked_currency(code: str) -> str:
    """Return ``code``; raises LdappError where it is no ISO 4217 code."""
    if not _CURRENCY.fullmatch(code):
        raise LdappError(
            said(
                "The currency {code!r} cannot be saved. Expected: a code of three "
                "capital letters by ISO 4217, such as USD.",
                code=code,
            )
        )
    return code


class _Refused(Exception):  # noqa: N818 - turned into a sentence by the caller
    """Why a value cannot be kept without changing it."""


def to_minor_units(amount: Decimal, currency: str) -> int:
    """Return ``amount`` in whole minor units of ``currency``; refuse what would be rounded."""
    digits = minor_digits(currency)
    try:
        scaled = amount.scaleb(digits)
        units = int(scaled)
    except (InvalidOperation, ValueError, OverflowError) as error:
        raise _Refused(said("{amount} is no amount of money", amount=amount)) from error
    if units != scaled:
        decimals = (
            said_of(digits, "one decimal", "{count} decimals") if digits else said("no decimals")
        )
        raise _Refused(
            said(
                "{amount} has more digits than {currency} has ({decimals})",
                amount=local_number(str(amount)),
                currency=currency,
                decimals=decimals,
            )
        )
    if abs(units) > BIGGEST_INTEGER:
        raise _Refused(said("{amount} is too large an amount", amount=local_number(str(amount))))
    return units


def _write_amount(amount: Decimal, currency: str) -> int:
    return to_minor_units(amount, currency)


def _read_amount(units: int, currency: str) -> Decimal:
    return Decimal(units).scaleb(-minor_digits(currency))


def _write_instant(value: dt.datetime, _: str) -> dt.datetime:
    if value.tzinfo is None:
        raise _Refused(said("{value} has no time zone", value=value.isoformat()))
    try:
        return value.astimezone(dt.UTC)
    except OverflowError as error:
        raise _Refused(said("{value} is outside the calendar", value=value.isoformat())) from error


_ZONES: dict[int, dt.timezone] = {0: dt.UTC}


def _read_instant(value: dt.datetime, offset: int | None) -> dt.datetime:
    seconds = offset or 0
    zone = _ZONES.get(seconds)
    if zone is None:
        zone = _ZONES[seconds] = dt.timezone(dt.timedelta(seconds=seconds))
    return value.astimezone(zone) if seconds else value


def offset_in_seconds(value: dt.datetime) -> int:
    """Return how far east of UTC an aware time was said, in seconds."""
    offset = value.utcoffset()
    assert offset is not None
    return round(offset.total_seconds())


def _write_text(value: str, _: str) -> str:
    try:
        value.encode()
    except UnicodeEncodeError as error:
        raise _Refused(said("{value!r} holds a character that is no text", value=value)) from error
    if "\0" in value:  # an office's database would refuse it, and no paper can show it
        raise _Refused(said("{value!r} holds a character that is no text", value=value))
    return value


def _write_whole(value: int, _: str) -> int:
    if abs(value) > BIGGEST_INTEGER:
        raise _Refused(said("{value} is too large a number", value=value))
    return value


def _write_exact(value: Decimal, _: str) -> str:
    if not value.is_finite():
        raise _Refused(said("{value} is no number", value=value))
    return str(value)


def _read_exact(text: str, _: Any) -> Decimal:
    return Decimal(text)


def _write_wall_clock(value: dt.datetime, _: str) -> str:
    return value.isoformat()


def _read_wall_clock(text: str, _: Any) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in (Union, type(int | None)):
        others = [one for one in get_args(hint) if one is not type(None)]
        if len(others) == 1:
            return others[0]
    return hint


def _choices(hint: Any) -> dict[str, str] | None:
    """Return the members of a closed list of words, or None where ``hint`` is none."""
    hint = _without_none(hint)
    if get_origin(hint) is Literal:
        return {str(one): str(one) for one in get_args(hint)}
    return None


def _choice(allowed: dict[str, str]) -> tuple[Write, Read]:
    def write(value: str, _: str) -> str:
        if value not in allowed:
            raise _Refused(
                said("{value!r} is none of {allowed}", value=value, allowed=", ".join(allowed))
            )
        return value

    def read(value: str, _: Any) -> str:
        if value not in allowed:
            raise ValueError(f"{value!r} is none of {', '.join(allowed)}")
        return value

    return write, read


def _nested(hint: Any) -> tuple[Write, Read]:
    made: list[TypeAdapter[Any]] = []

    def adapter() -> TypeAdapter[Any]:
        if not made:  # built at the first use: dozens of them would slow down every start
            made.append(TypeAdapter(hint))
        return made[0]

    def write(value: Any, _: str) -> str:
        if value == ():
            return "[]"
        try:
            return adapter().dump_json(value).decode()
        except (PydanticSerializationError, UnicodeError) as error:
            raise _Refused(said("it holds a character that is no text")) from error

    def read(text: str, _: Any) -> Any:
        return () if text == "[]" else adapter().validate_json(text)

    return write, read


class RecordMapping:
    """One kind of record and its table."""

    def __init__(
        self,
        kind: str,
        record: type[Any],
        table: Table,
        *,
        left_out: tuple[str, ...] = (),
        renamed: dict[str, str] | None = None,
    ) -> None:
        """Pair the fields of ``record``, but for ``left_out``, with the columns of ``table``."""
        self.kind = kind
        self.record = record
        self.table = table
        hints = get_type_hints(record, include_extras=False)
        full_hints = get_type_hints(record, include_extras=True)
        renamed = renamed or {}
        self.fields = tuple(
            field.name for field in dataclasses.fields(record) if field.name not in left_out
        )
        self.columns = {field: renamed.get(field, field) for field in self.fields}
        self._writers: list[tuple[str, str, Write | None]] = []
        self._instants: list[tuple[str, str]] = []
        self._readers: list[tuple[str, Read, str | None]] = []
        self.has_amounts = AMOUNTS_IN in table.c
        for field, column_name in self.columns.items():
            if column_name not in table.c:
                raise TypeError(
                    f"{kind}.{field} has no column: add it to ldapp.store.models "
                    "and to a new migration"
                )
            column: Column[Any] = table.c[column_name]
            write, read, companion = self._converters(column, hints[field], full_hints[field])
            self._writers.append((field, column_name, write))
            if read is not None:
                self._readers.append((field, read, companion))
            if companion == column_name + OFFSET:
                self._instants.append((field, companion))

    @property
    def name(self) -> str:
        """What a record of the kind is called, in the language spoken now."""
        return record_name(self.kind)

    def _converters(
        self, column: Column[Any], hint: Any, full_hint: Any
    ) -> tuple[Write | None, Read | None, str | None]:
        kind = column.type
        if isinstance(kind, MinorUnits):
            return _write_amount, _read_amount, AMOUNTS_IN if self.has_amounts else "currency"
        if isinstance(kind, UtcDateTime):
            return _write_instant, _read_instant, column.name + OFFSET
        if isinstance(kind, RecordText):
            return *_nested(full_hint), None
        if isinstance(kind, DecimalText):
            return _write_exact, _read_exact, None
        if isinstance(kind, WallClockText):
            return _write_wall_clock, _read_wall_clock, None
        allowed = _choices(hint)
        if allowed is not None:
            return *_choice(allowed), None
        plain = _without_none(hint)
        if plain is str:
            return _write_text, None, None
        if plain is int:
            return _write_whole, None, None
        if plain in (bool, dt.date):
            return None, None, None
        raise TypeError(f"{self.kind}.{column.name} has a column that cannot hold {hint}")

    @cached_property
    def _companions(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one for _, _, one in self._readers if one is not None))

    @cached_property
    def selected(self) -> tuple[Column[Any], ...]:
        """The columns that :meth:`from_row` reads, in its order."""
        names = (*self.columns.values(), *self._companions)
        return tuple(self.table.c[name] for name in names)

    @cached_property
    def _reading(self) -> tuple[tuple[str, Read, int | None], ...]:
        start = len(self.fields)
        place = {name: start + index for index, name in enumerate(self._companions)}
        return tuple(
            (field, read, None if companion is None else place[companion])
            for field, read, companion in self._readers
        )

    def to_row(self, one: Any, currency: str) -> dict[str, Any]:
        """Return the columns for a record whose amounts are in ``currency``.

        Raises:
            LdappError: a value would not come back as it is.
        """
        row: dict[str, Any] = {}
        if self.has_amounts:
            row[AMOUNTS_IN] = checked_currency(currency)
        for field, column, write in self._writers:
            value = getattr(one, field)
            if value is not None and write is not None:
                try:
                    value = write(value, currency)
                except _Refused as refused:
                    raise LdappError(self._refusal(one, field, str(refused))) from refused
            row[column] = value
        for field, column in self._instants:
            value = getattr(one, field)
            row[column] = None if value is None else offset_in_seconds(value)
        return row

    def _refusal(self, one: Any, field: str, why: str) -> str:
        who = next(
            (
                str(getattr(one, name))
                for name in ("number", "name", "title", "id", "line")
                if getattr(one, name, "")
            ),
            "",
        )
        return said(
            "The {kind} {name!r} cannot be saved: {field}: {reason}. Correct it and save again; "
            "nothing was changed.",
            kind=self.name,
            name=who,
            field=field.replace("_", " "),
            reason=why,
        )

    def from_row(self, row: Sequence[Any], **more: Any) -> Any:
        """Return the record of a row of :attr:`selected`; ``more`` gives the other fields.

        Raises:
            DamagedLibraryError: a column holds what this program never writes.
        """
        values = dict(zip(self.fields, row, strict=False))
        for field, read, companion in self._reading:
            value = values[field]
            if value is not None:
                try:
                    values[field] = read(value, None if companion is None else row[companion])
                except (ValueError, InvalidOperation, ValidationError, OverflowError) as error:
                    raise damaged(
                        said("The library's database"),
                        said(
                            "the field {field} of a {kind} holds {value!r}",
                            field=field.replace("_", " "),
                            kind=self.name,
                            value=value,
                        ),
                    ) from error
        return self.record(**values, **more)
