"""The worked example of the guide says what the program computes."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any

import pytest

from ldapp import cli
from ldapp.resources import resource

LANGUAGES = ("en", "de")

in_each_language = pytest.mark.parametrize("spoken", LANGUAGES)


def chapter(spoken: str) -> str:
    """Return the chapter as it stands in a language, and not the English one in its place."""
    folder = ("guide",) if spoken == "en" else ("guide", spoken)
    return resource(*folder, "worked_example.md").read_text(encoding="utf-8")


def tables(spoken: str) -> list[list[list[str]]]:
    """Return the chapter's tables: rows of cells, without headings and marks."""
    text = chapter(spoken)
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


def amount(text: str, spoken: str) -> Decimal:
    """Read an amount in the form of its language alone: 1,234.50 or 1.234,50."""
    pattern, grouping = {
        "en": (r"\d{1,3}(,\d{3})*\.\d\d", ","),
        "de": (r"\d{1,3}(\.\d{3})*,\d\d", "."),
    }[spoken]
    assert re.fullmatch(pattern, text), text
    return Decimal(text.replace(grouping, "").replace(",", "."))


@pytest.fixture
def reckoned(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    path = resource("examples", "worked_example.json")
    assert cli.main(["reckon", str(path), "--json"]) == 0
    result: dict[str, Any] = json.loads(capsys.readouterr().out)
    return result


@in_each_language
def test_the_charges_are_as_the_chapter_says(reckoned: dict[str, Any], spoken: str) -> None:
    *rows, together = tables(spoken)[0]
    keys = ("billed", "owed", "disputed")
    said = [[amount(cell, spoken) for cell in row[1:4]] for row in rows]
    assert said == [[Decimal(one[key]) for key in keys] for one in reckoned["charges"]]
    assert [amount(cell, spoken) for cell in together[1:4]] == [
        Decimal(reckoned["totals"][key]) for key in keys
    ]


@in_each_language
def test_the_occurrences_are_as_the_chapter_says(reckoned: dict[str, Any], spoken: str) -> None:
    *rows, together = tables(spoken)[1]
    keys = ("loss", "policy", "renter")
    said = {tuple(amount(cell, spoken) for cell in row[1:]) for row in rows}
    assert said == {tuple(Decimal(one[key]) for key in keys) for one in reckoned["occurrences"]}
    assert [amount(cell, spoken) for cell in together[1:]] == [
        Decimal(reckoned["totals"][key]) for key in keys
    ]


@in_each_language
def test_every_other_amount_of_the_chapter_stands_in_a_working(
    reckoned: dict[str, Any], spoken: str
) -> None:
    written = {"en": r"\d[\d,]*\.\d\d(?!\d)", "de": r"\d[\d.]*,\d\d(?!\d)"}[spoken]
    named = {amount(found, spoken) for found in re.findall(written, chapter(spoken))}
    assert len(named) > 20
    working = json.dumps(reckoned) + resource("examples", "worked_example.json").read_text(
        encoding="utf-8"
    )
    computed = {Decimal(found) for found in re.findall(r"\d+\.\d\d", working)}
    # A fifth of the price, and what is left of it: steps in between that the chapter explains.
    computed |= {Decimal("3150.00") / 5, Decimal("3150.00") * 4 / 5}
    # Rates are written without decimals in a working.
    computed |= {Decimal("40.00")}
    assert named <= computed


def test_the_chapter_names_the_same_amounts_in_the_same_order_in_each_language() -> None:
    english = re.findall(r"\d[\d,]*\.\d\d(?!\d)", chapter("en"))
    german = re.findall(r"\d[\d.]*,\d\d(?!\d)", chapter("de"))
    assert [amount(one, "de") for one in german] == [amount(one, "en") for one in english]
