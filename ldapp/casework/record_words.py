"""Records and fields of a claim in words, for the record of changes and for conflicts."""

from __future__ import annotations

import json
from typing import Any

from ldapp.claim.changes import COLLECTIONS, HEAD_KIND, POLICY_KIND
from ldapp.claim.claim import Claim
from ldapp.claim.journal import RecordChange
from ldapp.claim.orders import ORDER_KIND, SEPARATOR

_NAMING = ("number", "reference", "title", "name", "description", "subject")
_ELSE = ("stage", "cause", "kind", "role")
"""What names a record that has nothing better."""
_LONGEST = 160


def field_name(name: str) -> str:
    """Return a field's name in words."""
    return name.replace("_", " ")


def value_text(value: Any) -> str:
    """Return a field's value as a person reads it: nested ones as one line."""
    if value is None or value in ("", [], {}):
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        text = value
    elif isinstance(value, list) and all(isinstance(one, str | int) for one in value):
        text = ", ".join(str(one) for one in value)
    else:
        text = json.dumps(value, ensure_ascii=False)
    text = " ".join(text.split())
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def record_name(first: Claim, second: Claim, change: RecordChange) -> str:
    """Return what a changed record is called, from either claim or from the change itself."""
    kind = change.kind.replace("_", " ")
    if change.kind == HEAD_KIND:
        return "The claim itself"
    if change.kind == POLICY_KIND:
        return "The policy"
    if change.kind == ORDER_KIND:
        return f"The order of {change.key.partition(SEPARATOR)[0].replace('_', ' ')} records"
    data = change.after or change.before or {}
    parent, _, rest = change.key.partition(SEPARATOR)
    if rest and change.kind == "count_entry":
        line = _find(first, "kit_line", rest) or _find(second, "kit_line", rest)
        count = _find(first, "count", parent) or _find(second, "count", parent)
        return f"Count of {_says(line) or rest} ({_says(count) or parent})"
    says = _words(data, _NAMING)
    if not says and isinstance(data.get("line"), str):
        says = _says(_find(first, "kit_line", data["line"])) or data["line"]
    return f"{kind.capitalize()} {says or field_name(_words(data, _ELSE))}".rstrip()


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
