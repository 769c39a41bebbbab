"""What is wrong with the data of a claim file, in the words of the trade.

The walk follows the record classes of :mod:`ldapp.claim` beside the raw JSON values, so
that it can name every unknown key, missing entry, number written as a JSON fraction,
repeated id and reference that names nothing, all at once and each with its place.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
import types
from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints
from zoneinfo import ZoneInfo

from annotated_types import Ge, MinLen
from babel.numbers import list_currencies
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from ldapp.claim.claim import Claim
from ldapp.errors import Fault
from ldapp.exchange.card_numbers import (
    EXPECTED_WITHOUT,
    REFUSED,
    holds_card_number,
    texts_of,
)
from ldapp.exchange.claim_references import (
    MEMBER_NAMES,
    NUMBERS_NOT_MONEY,
    REFERENCES,
    UNIQUE,
    WALL_CLOCK_FIELDS,
    may_hold_long_number,
)
from ldapp.language import said

AMOUNT_PATTERN = r"^-?[0-9]+(\.[0-9]+)?$"
FRACTION_PATTERN = r"^-?[0-9]+(\.[0-9]+|/[1-9][0-9]*)?$"

Place = tuple[str | int, ...]


def place_text(place: Place) -> str:
    """Return a place as it is written for a person: ``kit[3].quantity``, counted from 0."""
    text = ""
    for step in place:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


@cache
def fields_of(record: Any) -> dict[str, Any]:
    """Return the names of a record's fields with their types, in the order of the class."""
    hints = get_type_hints(record, include_extras=True)
    return {field.name: hints[field.name] for field in dataclasses.fields(record)}


@cache
def _required_fields(record: Any) -> tuple[str, ...]:
    return tuple(
        field.name
        for field in dataclasses.fields(record)
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    )


def bare_type(hint: Any) -> Any:
    """Return ``hint`` without the remarks that ``Annotated`` carries."""
    return get_args(hint)[0] if get_origin(hint) is Annotated else hint


def _is_record(kind: Any) -> bool:
    return isinstance(kind, type) and dataclasses.is_dataclass(kind)


def _is_union(hint: Any) -> bool:
    return get_origin(hint) in {Union, types.UnionType}


def member_type(hint: Any, raw: Any) -> Any:
    """Return the type that ``raw`` is meant to be: the member of a union, without None."""
    hint = bare_type(hint)
    if not _is_union(hint):
        return hint
    members = [member for member in get_args(hint) if member is not types.NoneType]
    if len(members) > 1 and isinstance(raw, dict):
        for member in members:
            if raw.get("method") in get_args(fields_of(member).get("method")):
                return member
    return bare_type(members[0])


def nearest(word: str, words: tuple[str, ...]) -> str | None:
    """Return the one of ``words`` that is written most like ``word``, if any comes close."""
    found = process.extractOne(
        word.lower(), words, scorer=DamerauLevenshtein.normalized_similarity, score_cutoff=0.5
    )
    return None if found is None else str(found[0])


def expected_words(hint: Any, owner: str = "", field: str = "") -> str:
    """Return what a value of type ``hint`` looks like in the file, for a person."""
    remarks = get_args(hint)[1:] if get_origin(hint) is Annotated else ()
    kind = bare_type(hint)
    if _is_union(kind):
        members = [member for member in get_args(kind) if member is not types.NoneType]
        words = said(" or ").join(expected_words(member, owner, field) for member in members)
        return (
            said("{words}, or null", words=words) if len(members) < len(get_args(kind)) else words
        )
    if get_origin(kind) is Literal:
        return said("one of {words}", words=", ".join(str(word) for word in get_args(kind)))
    if get_origin(kind) is tuple:
        return (
            said("a pair of numbers") if get_args(kind)[-1] is float else said("a list in brackets")
        )
    if _is_record(kind):
        return said("an object with {words}", words=", ".join(fields_of(kind)))
    if kind is Decimal:
        if field in NUMBERS_NOT_MONEY:
            return said('a number as text, such as "2" or "2.5"')
        return said('an amount as text with a decimal point, such as "1250.00"')
    if kind is Fraction:
        return said('a share as text, such as "3/20" or "0.15"')
    if kind is dt.datetime:
        if (owner, field) in WALL_CLOCK_FIELDS:
            return said("the camera's date and time without an offset, such as 2026-03-02T07:41:09")
        return said("a date and time with its offset, such as 2026-03-02T07:41:09-07:00")
    if kind is dt.date:
        return said("a day, such as 2026-03-02")
    if kind is int:
        least = next((remark.ge for remark in remarks if isinstance(remark, Ge)), None)
        return (
            said("a whole number")
            if least is None
            else said("a whole number, {least} or more", least=least)
        )
    if kind is str:
        return (
            said("text, not empty")
            if any(isinstance(one, MinLen) for one in remarks)
            else said("text")
        )
    if kind is bool:
        return said("true or false")
    return said("a number") if kind is float else said("another value")


@dataclasses.dataclass
class Survey:
    """The faults found in the raw data of one claim file."""

    file: str
    faults: list[Fault] = dataclasses.field(default_factory=list)
    faulty_places: set[Place] = dataclasses.field(default_factory=set)
    ids: dict[str, set[str]] = dataclasses.field(default_factory=lambda: defaultdict(set))
    references: list[tuple[str, str, Place]] = dataclasses.field(default_factory=list)
    parts: dict[str, set[str]] = dataclasses.field(default_factory=dict)
    part_references: list[tuple[str, str, Place]] = dataclasses.field(default_factory=list)

    def add(self, place: Place, wrong: str, expected: str) -> None:
        """Note one fault; the words may be several sentences' worth, without the full stop."""
        self.faulty_places.add(place)
        self.faults.append(
            Fault(file=self.file, place=place_text(place), wrong=wrong, expected=expected)
        )


def survey_claim(raw: dict[str, Any], file: str) -> Survey:
    """Walk the raw data of a claim file and return everything that is wrong with it."""
    survey = Survey(file)
    _walk_record(survey, Claim, raw, ())
    _check_parts(survey)
    for collection, name, place in survey.references:
        if name not in survey.ids[collection]:
            survey.add(
                place,
                said(
                    "{text} is not the id of {member} of this claim",
                    text=shown(name),
                    member=said(MEMBER_NAMES[collection]),
                ),
                said(
                    'the id of {member} that stands under "{collection}"',
                    member=said(MEMBER_NAMES[collection]),
                    collection=collection,
                ),
            )
    return survey


def shown(value: Any) -> str:
    """Return a value as the file has it, cut to a readable length; no payment card number."""
    if isinstance(value, str) and holds_card_number(value):
        return said("a payment card number")
    text = f'"{value}"' if isinstance(value, str) else _json_like(value)
    return text if len(text) <= 60 else text[:57] + "…" + ('"' if text[0] == '"' else "")


def _json_like(value: Any) -> str:
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, dict):
        return said("an object")
    if isinstance(value, list | tuple):
        return "a list"
    return str(value)


@cache
def _shape(hint: Any) -> tuple[str, Any]:
    """Return what a type asks of the walk, and the type of the members where it has any."""
    kind = bare_type(hint)
    if _is_union(kind):
        choices = [member for member in get_args(kind) if member is not types.NoneType]
        return ("choice", kind) if len(choices) > 1 else _shape(choices[0])
    if _is_record(kind):
        return "record", kind
    if get_origin(kind) is tuple:
        members = get_args(kind)
        return ("list", members[0]) if members[-1] is Ellipsis else ("pair", None)
    if kind is Decimal or kind is Fraction:
        return "number", kind
    return ("time" if kind is dt.datetime else "text" if kind is str else "other"), None


def _walk(survey: Survey, hint: Any, raw: Any, place: Place, owner: str, field: str) -> None:
    if raw is None:
        return
    shape, member = _shape(hint)
    if shape == "choice":
        member = member_type(hint, raw)
        shape = "record" if _is_record(member) else "other"
    if shape == "record":
        if isinstance(raw, dict):
            _walk_record(survey, member, raw, place)
    elif shape == "list":
        for index, one in enumerate(raw if isinstance(raw, list) else ()):
            _walk(survey, member, one, (*place, index), owner, field)
    elif shape == "pair":
        if field == "position":
            _check_position(survey, raw, place)
    elif shape == "number":
        _check_number(survey, member, raw, place, owner, field)
    elif shape == "time":
        _check_time(survey, raw, place, owner, field)
    elif shape == "text" and isinstance(raw, str):
        _check_text(survey, raw, place, owner, field, hint)
    elif isinstance(raw, dict) and any(map(holds_card_number, texts_of(field, raw))):
        # A value that the journal keeps of a record as it was or became.
        survey.add(place, said(REFUSED, field=said("a text in it")), said(EXPECTED_WITHOUT))


def _walk_record(survey: Survey, record: Any, raw: dict[str, Any], place: Place) -> None:
    fields = fields_of(record)
    for key in raw:
        if key not in fields:
            guess = nearest(key, tuple(fields))
            survey.add(
                (*place, key),
                said('the key "{key}" is not known here', key=key),
                said('"{guess}", if that is meant', guess=guess)
                if guess
                else said("one of {words}", words=", ".join(fields)),
            )
    for name in _required_fields(record):
        if name not in raw:
            survey.add(
                (*place, name),
                said('"{name}" is missing', name=name),
                expected_words(fields[name], record.__name__, name),
            )
    for name, hint in fields.items():
        if name in raw:
            _walk(survey, hint, raw[name], (*place, name), record.__name__, name)
    _check_unique(survey, record, raw, place)
    if record.__name__ == "KitLine":
        survey.parts[str(raw.get("id"))] = {name for _, name in _keys_of(raw.get("parts"), "id")}
    elif record.__name__ == "CountEntry":
        for index, name in _keys_of(raw.get("parts"), "part"):
            survey.part_references.append(
                (str(raw.get("line")), name, (*place, "parts", index, "part"))
            )
    elif record.__name__ in {"Finding", "Movement"} and isinstance(raw.get("part"), str):
        survey.part_references.append((str(raw.get("line")), raw["part"], (*place, "part")))
    elif record is Claim:
        _check_currency_and_zone(survey, raw)


def _check_unique(survey: Survey, record: Any, raw: dict[str, Any], place: Place) -> None:
    for collection, key, name in UNIQUE.get(record.__name__, ()):
        seen: dict[str, int] = {}
        for index, value in _keys_of(raw.get(collection), key):
            if value in seen:
                survey.add(
                    (*place, collection, index, key),
                    said(
                        "{text} already stands at {place}",
                        text=shown(value),
                        place=place_text((*place, collection, seen[value])),
                    ),
                    said(
                        "{member} once, with its own {key}",
                        member=said(name),
                        key=key,
                    ),
                )
            seen.setdefault(value, index)
        if record is Claim:
            survey.ids[collection] |= seen.keys()


def _keys_of(members: Any, key: str) -> Iterator[tuple[int, str]]:
    for index, one in enumerate(members if isinstance(members, list) else ()):
        if isinstance(one, dict) and isinstance(one.get(key), str):
            yield index, one[key]


def _check_parts(survey: Survey) -> None:
    for line, part, place in survey.part_references:
        if line in survey.parts and part not in survey.parts[line]:
            survey.add(
                place,
                said(
                    "{part} is not the id of a part of the kit line {line}",
                    part=shown(part),
                    line=shown(line),
                ),
                said("the id of one of that line's parts"),
            )


def _check_number(
    survey: Survey, kind: type[Any], raw: Any, place: Place, owner: str, field: str
) -> None:
    if isinstance(raw, float):
        survey.add(
            place,
            said("{raw} is written as a JSON number, which is not exact", raw=raw),
            expected_words(kind, owner, field),
        )
    elif isinstance(raw, str):
        pattern = AMOUNT_PATTERN if kind is Decimal else FRACTION_PATTERN
        if not re.match(pattern, raw) or raw.endswith("\n"):
            survey.add(
                place,
                said("{shown} is no number", shown=shown(raw)),
                expected_words(kind, owner, field),
            )


def _check_time(survey: Survey, raw: Any, place: Place, owner: str, field: str) -> None:
    if not isinstance(raw, str):
        return
    try:
        aware = dt.datetime.fromisoformat(raw).tzinfo is not None
    except ValueError:
        return
    if aware is ((owner, field) in WALL_CLOCK_FIELDS) and "T" in raw:
        survey.add(
            place,
            said("{time} has an offset from UTC", time=shown(raw))
            if aware
            else said("{time} has no offset from UTC", time=shown(raw)),
            expected_words(dt.datetime, owner, field),
        )


def _check_text(survey: Survey, raw: str, place: Place, owner: str, field: str, hint: Any) -> None:
    target = REFERENCES.get((owner, field))
    if target is not None:
        if raw != "" or not _is_union(hint):
            survey.references.append((target, raw, place))
    elif not may_hold_long_number(owner, field) and holds_card_number(raw):
        survey.add(place, said(REFUSED, field=said("the text")), said(EXPECTED_WITHOUT))


def _check_position(survey: Survey, raw: Any, place: Place) -> None:
    numbers = [one for one in raw if isinstance(one, int | float)] if isinstance(raw, list) else []
    if len(numbers) == 2 and not (abs(numbers[0]) <= 90 and abs(numbers[1]) <= 180):
        survey.add(
            place,
            said("{north}, {east} is no place on earth", north=numbers[0], east=numbers[1]),
            said("latitude (-90 to 90) and longitude (-180 to 180) in degrees"),
        )


def _check_currency_and_zone(survey: Survey, raw: dict[str, Any]) -> None:
    currency, zone = raw.get("currency"), raw.get("zone")
    if isinstance(currency, str) and currency not in list_currencies():
        survey.add(
            ("currency",),
            said("{shown} is no currency code", shown=shown(currency)),
            said("a code of ISO 4217, such as EUR or USD"),
        )
    if isinstance(zone, str) and not is_zone(zone):
        survey.add(
            ("zone",),
            said("{shown} is no time zone", shown=shown(zone)),
            said("a name of the IANA time zone database, such as Europe/Berlin"),
        )


def is_zone(name: str) -> bool:
    """Return whether ``name`` is a time zone of the IANA database."""
    try:
        ZoneInfo(name)
    except (ValueError, OSError, KeyError):  # the last is ZoneInfoNotFoundError
        return False
    return True
