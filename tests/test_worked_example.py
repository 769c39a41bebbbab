"""The worked example of the guide says what the program computes."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any

import pytest

from ldapp import cli
from ldapp.resources import resource


def tables() -> list[list[list[str]]]:
    """Return the chapter's tables: rows of cells, without headings and marks."""
    text = resource("guide", "worked_example.md").read_text(encoding="utf-8")
    found: list[list[list[str]]] = []
    inside = False
    for line in text.splitlines():
        if not line.startswith("|"):
            inside = False
            continue
        if not inside:
            found.append([])
            inside = True
        found[-1].append([cell.strip(" *") for cell in line.strip("|").split("|")])
    return [rows[2:] for rows in found]


def amount(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


@pytest.fixture
def reckoned(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    path = resource("examples", "worked_example.json")
    assert cli.main(["reckon", str(path), "--json"]) == 0
    result: dict[str, Any] = json.loads(capsys.readouterr().out)
    return result


def test_the_charges_are_as_the_chapter_says(reckoned: dict[str, Any]) -> None:
    *rows, together = tables()[0]
    keys = ("billed", "owed", "disputed")
    said = [[amount(cell) for cell in row[1:4]] for row in rows]
    assert said == [[Decimal(one[key]) for key in keys] for one in reckoned["charges"]]
    assert [amount(cell) for cell in together[1:4]] == [
        Decimal(reckoned["totals"][key]) for key in keys
    ]


def test_the_occurrences_are_as_the_chapter_says(reckoned: dict[str, Any]) -> None:
    *rows, together = tables()[1]
    keys = ("loss", "policy", "renter")
    said = {tuple(amount(cell) for cell in row[1:]) for row in rows}
    assert said == {tuple(Decimal(one[key]) for key in keys) for one in reckoned["occurrences"]}
    assert [amount(cell) for cell in together[1:]] == [
        Decimal(reckoned["totals"][key]) for key in keys
    ]


def test_every_other_amount_of_the_chapter_stands_in_a_working(reckoned: dict[str, Any]) -> None:
    text = resource("guide", "worked_example.md").read_text(encoding="utf-8")
    named = {amount(found) for found in re.findall(r"\d[\d,]*\.\d\d", text)}
    working = json.dumps(reckoned) + resource("examples", "worked_example.json").read_text(
        encoding="utf-8"
    )
    computed = {Decimal(found) for found in re.findall(r"\d+\.\d\d", working)}
    # A fifth of the price, and what is left of it: steps in between that the chapter explains.
    computed |= {Decimal("3150.00") / 5, Decimal("3150.00") * 4 / 5}
    # Rates are written without decimals in a working.
    computed |= {Decimal("40.00")}
    assert named <= computed
