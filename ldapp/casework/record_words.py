"""Records and fields of a claim in words, for the record of changes and for conflicts."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from decimal import Decimal
from functools import cache
from typing import Any, Literal, get_args, get_origin, get_type_hints

from ldapp.casework.code_words import CODE_WORDS, code_words
from ldapp.casework.field_words import field_words
from ldapp.claim.changes import COLLECTIONS, HEAD_KIND, POLICY_KIND
from ldapp.claim.claim import Claim
from ldapp.claim.journal import RecordChange
from ldapp.claim.orders import ORDER_KIND, SEPARATOR
from ldapp.language import SOURCE_LANGUAGE, language, marked, said
from ldapp.local_forms import day_in_digits, local_number

_NAMING = ("number", "reference", "title", "name", "description", "subject")
_ELSE = ("stage", "cause", "kind", "role")
"""What names a record that has nothing better."""
_LONGEST = 160


_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})(?:T(.+))?")
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
_KINDS: dict[str, str] = {
    "party": marked("party"),
    "agreement": marked("agreement"),
    "kit_line": marked("kit line"),
    "count": marked("count"),
    "count_entry": marked("count entry"),
    "movement": marked("movement"),
    "occurrence": marked("occurrence"),
    "finding": marked("finding"),
    "invoice": marked("invoice"),
    "charge": marked("charge"),
    "photo": marked("photo"),
    "clock_correction": marked("clock correction"),
    "issued_code": marked("issued code"),
    "document": marked("document"),
    "correspondence": marked("correspondence"),
    "recovered_item": marked("recovered item"),
    "split": marked("split"),
}


def field_name(name: str) -> str:
    """Return a field's name in words."""
    return field_words(name)


def value_text(value: Any, field: str = "") -> str:
    """Return a field's value as a person reads it: nested ones as one line."""
    text = " ".join(_value_words(value, field).split())
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _value_words(value: Any, field: str) -> str:
    if value is None or value in ("", [], {}):
        return "–"
    if isinstance(value, bool):
        return said("yes") if value else said("no")
    if isinstance(value, str):
        return _local_text(value, _field_types().get(field, frozenset()))
    if isinstance(value, list):
        plain = all(isinstance(one, str | int) for one in value)
        return (", " if plain else "; ").join(_value_words(one, field) for one in value)
    if isinstance(value, dict):
        stated = {name: one for name, one in value.items() if one not in (None, "", [], {})}
        return ", ".join(
            f"{field_words(name)}: {_nested(one, name)}" for name, one in stated.items()
        )
    return str(value)


def _local_text(value: str, types: frozenset[Any]) -> str:
    """Return a text of the claim file as it is said here: codes, amounts and days have others."""
    if Literal in types and value in CODE_WORDS:
        return code_words(value)
    if Decimal in types and _NUMBER.fullmatch(value):
        return local_number(value)
    day = _DAY.fullmatch(value) if types & {dt.date, dt.datetime} else None
    if day is None or language() == SOURCE_LANGUAGE:
        return value
    said_day = day_in_digits(dt.date.fromisoformat(day[1]))
    return f"{said_day} {day[2]}" if day[2] else said_day


@cache
def _field_types() -> dict[str, frozenset[Any]]:
    """Return what the fields of a claim's records may hold, by their names."""
    found: dict[str, set[Any]] = {}
    seen: set[type[Any]] = set()

    def look(hint: Any, field: str) -> None:
        if isinstance(hint, type) and dataclasses.is_dataclass(hint):
            if hint not in seen:
                seen.add(hint)
                for name, inner in get_type_hints(hint).items():
                    look(inner, name)
            return
        found.setdefault(field, set()).add(get_origin(hint) or hint)
        if get_origin(hint) is not Literal:
            for inner in get_args(hint):
                look(inner, field)

    look(Claim, "")
    return {name: frozenset(types) for name, types in found.items()}


def _nested(value: Any, field: str) -> str:
    words = _value_words(value, field)
    return f"({words})" if isinstance(value, dict | list) and len(value) > 1 else words


def record_name(first: Claim, second: Claim, change: RecordChange) -> str:
    """Return what a changed record is called, from either claim or from the change itself."""
    if change.kind == HEAD_KIND:
        return said("The claim itself")
    if change.kind == POLICY_KIND:
        return said("The policy")
    if change.kind == ORDER_KIND:
        return said(
            "The order of {kind} records", kind=_kind_words(change.key.partition(SEPARATOR)[0])
        )
    data = change.after or change.before or {}
    parent, _, rest = change.key.partition(SEPARATOR)
    if rest and change.kind == "count_entry":
        line = _find(first, "kit_line", rest) or _find(second, "kit_line", rest)
        count = _find(first, "count", parent) or _find(second, "count", parent)
        return said(
            "Count of {line} ({count})", line=_says(line) or rest, count=_says(count) or parent
        )
    says = _words(data, _NAMING)
    if not says and isinstance(data.get("line"), str):
        says = _says(_find(first, "kit_line", data["line"])) or data["line"]
    says = says or " ".join(
        code_words(data[name]) for name in _ELSE if isinstance(data.get(name), str) and data[name]
    )
    kind = _kind_words(change.kind)
    return f"{kind[:1].upper()}{kind[1:]} {says}".rstrip()


def _kind_words(kind: str) -> str:
    words = _KINDS.get(kind)
    return said(words) if words is not None else kind.replace("_", " ")


def _words(data: dict[str, Any], names: tuple[str, ...]) -> str:
    return " ".join(
        str(data[name]) for name in names if isinstance(data.get(name), str) and data[name]
    )


def _find(claim: Claim, kind: str, key: str) -> Any:
    for collection in COLLECTIONS:
        if collection.kind == kind:
            return next((one for one in getattr(claim, collection.field) if one.id == key), None)
    return None


def _says(one: Any) -> str:
    if one is None:
        return ""
    return " ".join(
        str(getattr(one, name))
        for name in _NAMING
        if isinstance(getattr(one, name, None), str) and getattr(one, name)
    )
