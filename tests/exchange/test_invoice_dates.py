"""The day of an invoice: by its label, beside its number, and never the day of something else."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from ldapp.exchange.invoice_file import read_invoice

TABLE = "Description,Qty,Amount\nFlag torn,1,72.00\n"
DAY = dt.date(2026, 5, 15)


@pytest.mark.parametrize(
    ("head", "day"),
    [
        ("Invoice ML-88213 Tax point: 15 May 2026", DAY),
        ("Tax point date: 2026-05-15", DAY),
        ("Damage invoice 2026-1044                 15 May 2026", DAY),
        ("Invoice no. LD-9 - 2026-05-15", DAY),
        # A day of something else is none of the invoice's.
        ("Invoice LD-9\nReturn date: 2026-03-09", None),
        ("Due date: 2026-06-30\nDate: 2026-05-15", DAY),
        ("Delivery date 2026-03-02 Date 2026-05-15", DAY),
        ("Invoice LD-9 for the rental 2 March 2026", None),
        ("Invoice LD-9 2026-03-02 - 2026-03-09", None),
        # What has a label goes before what has none.
        ("Invoice LD-9  2026-03-02\nInvoice date: 2026-05-15", DAY),
    ],
)
def test_the_day_of_the_invoice(head: str, day: dt.date | None, tmp_path: Path) -> None:
    path = tmp_path / "invoice.csv"
    path.write_text("".join(f'"{one}",,\n' for one in head.splitlines()) + TABLE, encoding="utf-8")
    assert read_invoice(path).dated == day
