"""The published schema is current, and examples and faults agree with the reader."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from ldapp.claim.grounds import GROUND_CODES
from ldapp.errors import InputError
from ldapp.exchange.claim_file import claim_as_json, claim_from_json, read_claim_file
from ldapp.exchange.claim_schema import claim_schema, claim_schema_text, schema_file
from ldapp.resources import resource
from tests.rich_claim import rich_claim

EXAMPLES = ("minimal", "dispute", "insurer")


def validator() -> Draft202012Validator:
    schema = claim_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def raw_claim() -> dict[str, Any]:
    data: dict[str, Any] = json.loads(claim_as_json(rich_claim()))
    return data


def test_the_published_schema_is_current() -> None:
    assert schema_file().read_text(encoding="utf-8") == claim_schema_text(), (
        "run: python -m ldapp.exchange.claim_schema"
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_validate_and_can_be_read(name: str) -> None:
    path: Path = resource("examples", f"{name}.json")
    validator().validate(json.loads(path.read_bytes()))
    claim = read_claim_file(path)
    assert claim.invented
    assert claim_as_json(claim) == path.read_bytes()


def test_the_rich_claim_validates() -> None:
    validator().validate(raw_claim())


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.update(kti=[]),
        lambda data: data.pop("reference"),
        lambda data: data["kit"][0].update(replacement_cost=12.5),
        lambda data: data["kit"][0].update(replacement_cost="1,250.00"),
        lambda data: data["kit"][0].update(quantity=-1),
        lambda data: data["kit"][0].update(kind="lamps"),
        lambda data: data["findings"][0].update(quantity="1"),
        lambda data: data["agreements"][0]["terms"]["lessors_discount"].update(rate="1/0"),
    ],
)
def test_what_the_schema_refuses_the_reader_refuses(change: Any) -> None:
    data = raw_claim()
    change(data)
    assert not validator().is_valid(data)
    with pytest.raises(InputError):
        claim_from_json(json.dumps(data), "claim.json")


def test_words_and_descriptions_stand_in_the_schema() -> None:
    definitions = claim_schema()["$defs"]
    assert definitions["GroundChoice"]["properties"]["code"]["enum"] == list(GROUND_CODES)
    assert (
        "counting goes in this order"
        in definitions["KitLine"]["properties"]["location"]["description"].lower()
    )
    assert "``" not in claim_schema_text()
