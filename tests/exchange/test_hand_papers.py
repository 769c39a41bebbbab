"""Invoices in the manner of papers that are met are read right without a person."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from ldapp.exchange.invoice_file import read_invoice
from tests.exchange.hand_papers import PAPERS, Paper


def _number(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.__name__)
def test_a_paper_is_read_as_it_is_meant(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "invoice.pdf"
    meant = paper(path)
    reading = read_invoice(path)
    read = [
        (line.description, line.quantity, line.unit_price, line.amount, line.kind)
        for line in reading.lines
    ]
    assert read == [
        (words, Decimal(quantity), _number(price), Decimal(amount), kind)
        for words, quantity, price, amount, kind in meant.lines
    ]
    assert [line.days for line in reading.lines] == [
        _number(meant.days.get(index)) for index in range(len(meant.lines))
    ]
    assert (reading.net, reading.tax, reading.gross) == (
        _number(meant.net), _number(meant.tax), _number(meant.gross),
    )  # fmt: skip
    assert reading.faults == ()
    assert reading.wrong_sums == ()
