"""CSV that no spreadsheet executes and that reads back as what it was."""

from __future__ import annotations

import csv
import datetime as dt
import io
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ldapp.exchange.csv_out import csv_bytes, harmless_text


def read_back(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_values_are_written_exactly() -> None:
    data = csv_bytes([["Item", 2, Decimal("-1250.50"), dt.date(2026, 3, 2), None, True]])
    assert data == b'\xef\xbb\xbf"Item",2,-1250.50,"2026-03-02","","yes"\r\n'


def test_a_time_and_a_large_number() -> None:
    at = dt.datetime(2026, 3, 2, 7, 41, tzinfo=dt.UTC)
    assert read_back(csv_bytes([[at, Decimal("1E+3"), False]])) == [
        ["2026-03-02T07:41:00+00:00", "1000", "no"]
    ]


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "\u202e=1", "\ufeff=1", "＝1"],
)
def test_text_that_looks_like_a_formula_is_marked_as_text(text: str) -> None:
    assert harmless_text(text) == f"'{text}"
    ((cell,),) = read_back(csv_bytes([[text]]))
    assert cell == f"'{text}"


@pytest.mark.parametrize("text", ["", "Stand", "1 x 2", "a=b", "{0}", "<b>", "'quoted'"])
def test_other_text_is_left_as_it_is(text: str) -> None:
    assert harmless_text(text) == text


@given(st.lists(st.text(alphabet=st.characters(exclude_categories=["Cs"])), min_size=2, max_size=4))
def test_any_text_comes_back(texts: list[str]) -> None:
    assert read_back(csv_bytes([texts])) == [[harmless_text(text) for text in texts]]
