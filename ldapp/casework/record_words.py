"""Records and fields of a claim in words, for the record of changes and for conflicts."""

from __future__ import annotations

from typing import Any

from ldapp.casework.code_words import code_words
from ldapp.casework.field_words import field_words
from ldapp.claim.changes import COLLECTIONS, HEAD_KIND, POLICY_KIND
from ldapp.claim.claim import Claim
from ldapp.claim.journal import RecordChange
from ldapp.claim.orders import ORDER_KIND, SEPARATOR
from ldapp.language import marked, said

_NAMING = ("number", "reference", "title", "name", "description", "subject")
_ELSE = ("stage", "cause", "kind", "role")
"""What names a record that has nothing better."""
_LONGEST = 160


CODE_FIELDS = frozenset(
    (
        "acknowledgement",
        "action",
        "age",
        "applies",
        "applies_to",
        "base",
        "bases",
        "binds",
        "bounds_per",
        "cause",
        "causes",
        "channel",
        "code",
        "component",
        "condition",
        "days_from",
        "direction",
        "ends_when_damaged",
        "ends_when_lost",
        "event",
        "excluded_causes",
        "form",
        "kept_by",
        "kind",
        "limit_form",
        "method",
        "of_several",
        "other_insurance_shares",
        "outcome",
        "per",
        "perils",
        "preview_match",
        "refund",
        "role",
        "rounded",
        "rule",
        "set_off",
        "share_form",
        "shows",
        "side",
        "source",
        "stage",
        "starts",
        "state",
        "step",
        "together",
        "unit",
        "way",
        "when",
        "year",
    )
)
"""Fields that may hold a code of the claim file in place of a person's words."""
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
        return code_words(value) if field in CODE_FIELDS else value
    if isinstance(value, list):
        plain = all(isinstance(one, str | int) for one in value)
        return (", " if plain else "; ").join(_value_words(one, field) for one in value)
    if isinstance(value, dict):
        stated = {name: one for name, one in value.items() if one not in (None, "", [], {})}
        return ", ".join(
            f"{field_words(name)}: {_nested(one, name)}" for name, one in stated.items()
        )
    return str(value)


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
