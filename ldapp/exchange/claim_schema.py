"""The published JSON Schema of the claim file, generated from the classes.

``python -m ldapp.exchange.claim_schema`` writes it into resources/.
"""

from __future__ import annotations

import ast
import inspect
import json
import sys
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaMode, JsonSchemaValue
from pydantic_core import core_schema

from ldapp.claim.claim import CLAIM_FORMAT, Claim
from ldapp.exchange.claim_survey import AMOUNT_PATTERN, FRACTION_PATTERN, fields_of
from ldapp.exchange.column_match import ColumnMatch
from ldapp.reckoning.result import Step, Totals
from ldapp.resources import resource_folder

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


class _ClaimSchema(GenerateJsonSchema):
    """Amounts and shares as exact text; whole numbers may stand without quotes."""

    schema_dialect = _DIALECT

    def decimal_schema(self, schema: core_schema.DecimalSchema) -> JsonSchemaValue:
        return {"type": ["string", "integer"], "pattern": AMOUNT_PATTERN}

    def fraction_schema(self, schema: Any) -> JsonSchemaValue:
        return {"type": ["string", "integer"], "pattern": FRACTION_PATTERN}

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False


def claim_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the claim file.

    ``$defs`` also holds the forms of the reckoning's ``totals`` and ``working`` and of a
    MATCH.json, which no claim file contains.
    """
    schema, records = _schema_of(Claim)
    definitions: dict[str, Any] = schema.pop("$defs")
    for name, kind in _further_forms().items():
        further, more = _schema_of(kind)
        definitions |= further.pop("$defs", {})
        definitions[name] = further
        records |= more
    for name, record in records.items():
        target = schema if record is Claim else definitions.get(name)
        if target is not None:
            _describe_fields(target, record)
    schema["properties"]["format"] = {"const": CLAIM_FORMAT, "description": "Name and version."}
    schema["required"] = ["format", *schema["required"]]
    return {
        "$schema": _DIALECT,
        "title": "Claim file",
        **{key: value for key, value in schema.items() if key != "title"},
        "$defs": dict(sorted(definitions.items())),
    }


def claim_schema_text() -> str:
    """Return the schema as it is published: JSON, one space of indent, newline at the end."""
    return json.dumps(claim_schema(), ensure_ascii=False, indent=1) + "\n"


def _further_forms() -> dict[str, Any]:
    """Return the classes behind ``totals``, ``working`` and MATCH.json by the names used."""
    return {"totals": Totals, "working": Step, "column_match": ColumnMatch}


def _schema_of(
    kind: Any, mode: JsonSchemaMode = "validation"
) -> tuple[dict[str, Any], dict[str, type]]:
    schema = TypeAdapter(kind).json_schema(schema_generator=_ClaimSchema, mode=mode)
    records: dict[str, type] = {}
    _collect_records(kind, records)
    return schema, records


def _collect_records(kind: Any, found: dict[str, type]) -> None:
    if isinstance(kind, type) and hasattr(kind, "__dataclass_fields__"):
        if kind.__name__ not in found:
            found[kind.__name__] = kind
            for hint in fields_of(kind).values():
                _collect_records(hint, found)
        return
    for member in getattr(kind, "__args__", ()):
        _collect_records(member, found)


def _describe_fields(target: dict[str, Any], record: type) -> None:
    words = _module_words(sys.modules[record.__module__]).get(record.__name__, {})
    for name, one in target.get("properties", {}).items():
        if name in words:
            one["description"] = words[name]
    if "description" in target:
        target["description"] = _flowed(target["description"])


@cache
def _module_words(module: ModuleType) -> dict[str, dict[str, str]]:
    """Return, class by class, the text written below each field of a module's records."""
    found: dict[str, dict[str, str]] = {}
    for node in ast.parse(inspect.getsource(module)).body:
        if isinstance(node, ast.ClassDef):
            words = found.setdefault(node.name, {})
            for field, text in zip(node.body, node.body[1:], strict=False):
                if (
                    isinstance(field, ast.AnnAssign)
                    and isinstance(field.target, ast.Name)
                    and isinstance(text, ast.Expr)
                    and isinstance(text.value, ast.Constant)
                ):
                    words[field.target.id] = _flowed(str(text.value.value))
    return found


def _flowed(text: str) -> str:
    """Return a docstring as plain paragraphs, without its marks for code."""
    paragraphs = inspect.cleandoc(text).replace("``", '"').split("\n\n")
    return "\n".join(" ".join(paragraph.split()) for paragraph in paragraphs)


def schema_file() -> Path:
    """Return where the published schema lies."""
    return resource_folder() / "claim_file.schema.json"


def main() -> None:
    """Write the schema into resources/."""
    schema_file().write_text(claim_schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
