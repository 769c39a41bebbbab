"""What stands between and beside the sums of an invoice, and in which currency they are."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from reportlab.pdfgen.canvas import Canvas

from ldapp.exchange.invoice_file import InvoiceReading, invoice_as_json, read_invoice
from tests.exchange.lists import write_xlsx


def read(tmp_path: Path, content: str) -> InvoiceReading:
    path = tmp_path / "invoice.csv"
    path.write_text(content, encoding="utf-8")
    return read_invoice(path)


def wrong(reading: InvoiceReading) -> list[str]:
    return [fault.wrong for fault in (*reading.faults, *reading.wrong_sums)]


@pytest.mark.parametrize(
    ("sums", "extra", "net", "tax", "gross"),
    [
        (
            (
                ",,Subtotal,500.00\n,,Discount 10%,-50.00\n,,Shipping,35.00\n"
                ",,Sales tax 8%,38.80\n,,Total,523.80\n"
            ),
            [("Discount 10%", "credit", "-50.00"), ("Shipping", "freight", "35.00")],
            "485.00",
            "38.80",
            "523.80",
        ),
        (
            ",,Subtotal,500.00\n,,Less 10% discount,50.00\n,,Total,450.00\n",
            [("Less 10% discount", "credit", "-50.00")],
            None,
            None,
            "450.00",
        ),
        (
            (
                ",,Subtotal,500.00\n,,Tax 8%,40.00\n,,Total,540.00\n,,Amount paid,100.00\n"
                ",,Amount due,440.00\n"
            ),
            [],
            "500.00",
            "40.00",
            "540.00",
        ),
    ],
)
def test_what_stands_between_the_sums(
    tmp_path: Path,
    sums: str,
    extra: list[tuple[str, str, str]],
    net: str | None,
    tax: str | None,
    gross: str,
) -> None:
    reading = read(
        tmp_path, "Description,Qty,Unit price,Amount\nMissing stand,2,250.00,500.00\n" + sums
    )
    assert wrong(reading) == []
    assert [(one.description, one.kind, str(one.amount)) for one in reading.lines[1:]] == extra
    found = (reading.net, reading.tax, reading.gross)
    assert found == tuple(None if one is None else Decimal(one) for one in (net, tax, gross))


def test_columns_of_net_tax_and_gross_have_a_sum_each(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Description,Qty,Net,VAT,Gross\nMissing stand,2,500.00,100.00,600.00\n"
        "Cleaning,1,50.00,10.00,60.00\nTotal,,550.00,110.00,660.00\n",
    )
    assert wrong(reading) == []
    assert (reading.net, reading.tax, reading.gross) == (550, 110, 660)


def test_the_currency_of_a_spreadsheet_can_stand_in_its_number_formats(tmp_path: Path) -> None:
    path = write_xlsx(
        tmp_path / "invoice.xlsx",
        {"Invoice": [["Item", "Qty", "Price", "Amount"], ["Stand", 2, 5, 10]]},
    )
    book = openpyxl.load_workbook(path)
    book["Invoice"]["D2"].number_format = '#,##0.00 "€"'
    book.save(path)
    assert read_invoice(path).currency == "EUR"


def test_figures_that_stand_apart_never_become_one(tmp_path: Path) -> None:
    # 10 pieces at 912,62: with a heading over both columns neither is 10 912,62.
    canvas = Canvas(str(tmp_path / "invoice.pdf"))
    for y, texts in (
        (800, ("Artikel", "Menge", "Betrag")),
        (780, ("Stativ", "10", "912,62", "9.126,20")),
    ):
        for x, text in zip(
            (50, 200, 230, 400) if len(texts) == 4 else (50, 200, 400), texts, strict=True
        ):
            canvas.drawString(x, y, text)
    canvas.save()
    reading = read_invoice(tmp_path / "invoice.pdf")
    assert all(line.quantity != Decimal("10912.62") for line in reading.lines)
    assert reading.faults


@pytest.mark.parametrize(
    ("currency", "amount"), [("JPY", "500"), ("EUR", "500.00"), ("KWD", "500.000")]
)
def test_amounts_have_the_decimals_of_their_currency(
    tmp_path: Path, currency: str, amount: str
) -> None:
    reading = read(
        tmp_path,
        f"All amounts in {currency}\nItem,Qty,Price,Amount\nStand,2,250,500\nTotal,,,500\n",
    )
    printed = invoice_as_json(reading)
    assert (printed["currency"], printed["lines"][0]["amount"]) == (currency, amount)
    assert printed["gross"] == amount


def test_three_decimals_are_decimals_where_the_currency_has_them(tmp_path: Path) -> None:
    rows = "Item,Qty,Price,Amount\nStand,2,12.500,25.000\n"
    assert read(tmp_path, f"Amounts in KWD\n{rows}").lines[0].amount == 25
    assert read(tmp_path, f"Amounts in EUR\n{rows}").lines[0].amount == 25_000
