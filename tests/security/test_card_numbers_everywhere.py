"""A payment card number comes into no text of a claim, whichever way it is brought.

The numbers are test numbers that payment processors publish; no account belongs to them.
"""

from __future__ import annotations

import dataclasses
import json
import types
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Union, get_args, get_origin

import pytest

from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.errors import InputError, LdappError
from ldapp.exchange.card_numbers import holds_card_number
from ldapp.exchange.claim_file import claim_as_json, claim_from_json
from ldapp.exchange.claim_references import REFERENCES, may_hold_long_number
from ldapp.exchange.claim_survey import bare_type, fields_of
from ldapp.store.claim_library import Library
from tests.exchange.lists import write_xlsx
from tests.rich_claim import rich_claim

CARD = "4111 1111 1111 1111"
Step = str | int


def _texts(value: Any, place: tuple[Step, ...] = ()) -> Iterator[tuple[Step, ...]]:
    """Give the place of every running text in a record of the claim."""
    owner = type(value).__name__
    for name, hint in fields_of(type(value)).items():
        if not may_hold_long_number(owner, name) and (owner, name) not in REFERENCES:
            yield from _texts_in(getattr(value, name), hint, (*place, name))


def _texts_in(value: Any, hint: Any, place: tuple[Step, ...]) -> Iterator[tuple[Step, ...]]:
    kind = bare_type(hint)
    members = get_args(kind) if get_origin(kind) in {Union, types.UnionType} else (kind,)
    if isinstance(value, str):
        if any(bare_type(one) is str for one in members):
            yield place
    elif isinstance(value, tuple):
        (inner,) = (get_args(bare_type(one))[0] for one in members if get_origin(one) is tuple)
        for index, one in enumerate(value):
            yield from _texts_in(one, inner, (*place, index))
    elif dataclasses.is_dataclass(value):
        yield from _texts(value, place)


RICH = rich_claim()
EVERY_PLACE = [one for one in _texts(RICH) if one[0] != "journal"]
PLACES = list(
    {tuple(step for step in one if isinstance(step, str)): one for one in EVERY_PLACE}.values()
)
"""One place for every field of every kind of record."""


def _placed(data: Any, place: tuple[Step, ...], text: str) -> str | None:
    """Put ``text`` at a place in a claim file; None where the file leaves that place out."""
    for step in place[:-1]:
        if isinstance(data, dict) and step not in data:
            return None
        data = data[step]
    if isinstance(data, dict) and not isinstance(data.get(place[-1]), str):
        return None
    data[place[-1]] = text
    return text


def test_the_walk_finds_the_texts_that_people_write() -> None:
    fields = {str(place[-1]) for place in PLACES if isinstance(place[-1], str)}
    assert {
        "title", "note", "description", "statement", "text", "address", "email", "phone", "name",
        "witness", "counted_by", "location", "category", "place", "issued_by", "source",
    } <= fields  # fmt: skip
    assert len(PLACES) > 60


def test_no_text_of_a_claim_file_takes_a_card_number() -> None:
    whole = claim_as_json(RICH)
    tried = 0
    for place in PLACES:
        data = json.loads(whole)
        if _placed(data, place, f"paid by card {CARD}") is None:
            continue
        with pytest.raises(InputError, match="payment card") as refused:
            claim_from_json(json.dumps(data), "claim.json")
        assert CARD not in str(refused.value), place
        tried += 1
    assert tried > 60


def test_the_record_of_changes_takes_none_either() -> None:
    data = json.loads(claim_as_json(RICH))
    data["journal"][0]["changes"] = [
        {"kind": "party", "key": "p", "after": {"id": "p", "role": "lessor", "name": CARD}}
    ]
    with pytest.raises(InputError, match="payment card"):
        claim_from_json(json.dumps(data), "claim.json")


def _empty_desk(folder: Path) -> tuple[Register, OpenClaim]:
    register = Register(Library.open(folder), "Ada")
    return register, register.create("2026-001", "Harbour Lights", "EUR", "UTC")


def _records_with(card: str) -> Iterator[tuple[str, Claim]]:
    """Give a claim with a card number in one text of one collection, for every such text."""
    for place in PLACES:
        if len(place) >= 3 and isinstance(place[1], int):
            yield ".".join(map(str, place)), _replaced(RICH, place, card)


def _replaced(value: Any, place: tuple[Step, ...], text: str) -> Any:
    if not place:
        return text
    if isinstance(value, tuple):
        index = int(place[0])
        return (*value[:index], _replaced(value[index], place[1:], text), *value[index + 1 :])
    name = str(place[0])
    return dataclasses.replace(value, **{name: _replaced(getattr(value, name), place[1:], text)})


def test_no_change_at_the_desk_brings_one_in(tmp_path: Path) -> None:
    register, desk = _empty_desk(tmp_path / "library")
    try:
        tried = 0
        for name, claim in _records_with(CARD):
            collection = name.split(".")[0]
            members = getattr(claim, collection)
            with pytest.raises(LdappError, match="payment card number"):
                desk.change(
                    "Try", lambda old, c=collection, m=members: dataclasses.replace(old, **{c: m})
                )
            tried += 1
        assert tried > 50
        assert register.summaries()[0].title == "Harbour Lights"
        assert difference(desk.claim, register.open(desk.claim.id).claim) == ()
    finally:
        register.close()


def test_a_long_serial_number_is_the_persons_to_judge(tmp_path: Path) -> None:
    register, desk = _empty_desk(tmp_path / "library")
    kit = tuple(
        dataclasses.replace(line, serials=("4111111111111111",), parts=()) for line in RICH.kit[:1]
    )
    assert desk.change("Kit", lambda old: dataclasses.replace(old, kit=kit))
    register.close()


def test_a_kit_list_with_one_is_refused_row_by_row(tmp_path: Path) -> None:
    from ldapp.exchange.kit_list import read_kit_list

    rows = [["Qty", "Description", "Location"], [1, f"Stand {CARD}", "A"], [1, "Flag", CARD]]
    reading = read_kit_list(write_xlsx(tmp_path / "list.xlsx", {"Kit": rows}))
    faults = [fault.sentence() for row in reading.rows for fault in row.faults]
    assert sum("payment card number" in one for one in faults) == 2
    assert CARD not in " ".join(faults)


@pytest.mark.parametrize("text", ["+49 1512 3456789 01", "+4111111111111", "call +1 411 111 1111"])
def test_a_telephone_number_is_none(text: str) -> None:
    assert not holds_card_number(text)


def test_a_plus_does_not_hide_one() -> None:
    assert holds_card_number("+4111 1111 1111 1111")
