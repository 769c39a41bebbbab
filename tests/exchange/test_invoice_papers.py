"""What stands beside and between the sums of an invoice on a page."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from reportlab.lib.pagesizes import LETTER
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from ldapp.exchange.invoice_file import InvoiceReading, read_invoice

ROWS = [
    {40: "Qty", 80: "Description", 400: "Price", 480: "Amount"},
    {40: "1", 80: "Lost C-stand 40 in", 400: "200.00", 480: "200.00"},
    {40: "2", 80: "Repair LED panel 2x1: bent yoke", 400: "50.00", 480: "100.00"},
]


def read(tmp_path: Path, rows: Sequence[dict[int, str]]) -> InvoiceReading:
    path = tmp_path / "invoice.pdf"
    canvas = Canvas(str(path), pagesize=LETTER)
    canvas.setFont("Helvetica", 8)
    for number, row in enumerate([{40: "Invoice no. LD-7, 3 March 2026, all in USD"}, *rows]):
        for place, text in row.items():
            canvas.drawString(place, 750 - 14 * number, text)
    canvas.save()
    return read_invoice(path)


def test_small_print_close_beside_a_sum_is_no_part_of_its_label(tmp_path: Path) -> None:
    print_ = "Interest of 1.5 % a month. Minimum charge 25.00."
    beside = int(40 + stringWidth(print_, "Helvetica", 8) + 5)
    reading = read(
        tmp_path,
        [
            *ROWS,
            {400: "Taxable amount", 480: "300.00"},
            {400: "Tax at 10 %", 480: "30.00"},
            {40: print_, beside: "Total incl. tax", 480: "330.00"},
        ],
    )
    assert [line.amount for line in reading.lines] == [Decimal(200), Decimal(100)]
    assert (reading.net, reading.tax, reading.gross) == (Decimal(300), Decimal(30), Decimal(330))
    assert (reading.faults, reading.wrong_sums) == ((), ())


def test_the_label_of_a_total_may_take_two_lines(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        [
            *ROWS,
            {400: "Taxable amount", 480: "300.00"},
            {400: "Tax at 10 %", 480: "30.00"},
            {400: "Total incl."},
            {400: "tax", 480: "330.00"},
        ],
    )
    assert (reading.net, reading.tax, reading.gross) == (Decimal(300), Decimal(30), Decimal(330))


def test_amounts_that_run_together_are_named(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        [
            *ROWS,
            {},
            {80: "Lost flag 24x36", 470: "bent 48.00 A 60.00 A"},
            {},
            {40: "1", 80: "Lost sandbag", 400: "30.00", 480: "30.00"},
        ],
    )
    assert reading.to_confirm == ('page 1, line 5: "bent 48.00 A 60.00 A" was taken to no line',)
