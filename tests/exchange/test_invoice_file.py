"""L&D invoices of many houses: lines, kinds and sums read right, wrong arithmetic found."""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from ldapp.claim.claim import Claim
from ldapp.errors import InputError
from ldapp.exchange.claim_file import claim_as_json, claim_from_json
from ldapp.exchange.column_match import ColumnMatch, column_match_from_json
from ldapp.exchange.invoice_file import (
    InvoiceReading,
    invoice_as_json,
    invoice_from_reading,
    invoice_of_tables,
    read_invoice,
)
from ldapp.exchange.tables import table_from_text
from tests.exchange import invoices
from tests.exchange.drawn_invoices import draw_invoice
from tests.exchange.invoices import LAYOUTS, LINES, NET, rounded
from tests.exchange.lists import write_xlsx


def read(tmp_path: Path, content: str, match: ColumnMatch | None = None) -> InvoiceReading:
    path = tmp_path / "invoice.csv"
    path.write_text(content, encoding="utf-8")
    return read_invoice(path, match)


def wrong(reading: InvoiceReading) -> list[tuple[str, str]]:
    return [(fault.place, fault.wrong) for fault in (*reading.faults, *reading.wrong_sums)]


# --- layouts ----------------------------------------------------------------------------

RATES = {
    "german_uprights": "0.19",
    "typed": "0.19",
    "french_zebra": "0.20",
    "swiss_text_document": "0.081",
}
CURRENCIES = {"typed": "EUR", "french_zebra": "EUR", "swiss_text_document": "CHF"}


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_is_read_right_by_itself(layout: str, tmp_path: Path) -> None:
    reading = read_invoice(LAYOUTS[layout](tmp_path / "invoice.pdf"))
    assert [
        (line.description, line.quantity, line.unit_price, line.amount, line.kind)
        for line in reading.lines
    ] == [
        (line.description, Decimal(line.quantity), Decimal(line.price), line.amount, line.kind)
        for line in LINES
    ]
    assert wrong(reading) == []
    assert reading.number == "LD-3071"
    assert reading.dated == dt.date(2026, 3, 12)
    assert reading.currency == CURRENCIES.get(layout, "USD")
    if layout == "tax_included":
        assert reading.tax_included
        assert reading.gross == NET
        assert reading.tax == NET - rounded(NET / Decimal("1.10"))
    else:
        tax = rounded(NET * Decimal(RATES.get(layout, "0.0825")))
        assert (reading.net, reading.tax, reading.gross) == (NET, tax, NET + tax)


def test_an_invoice_of_two_pages(tmp_path: Path) -> None:
    reading = read_invoice(invoices.two_pages(tmp_path / "invoice.pdf"))
    assert len(PdfReader(tmp_path / "invoice.pdf").pages) == 2
    assert [line.number for line in reading.lines] == [str(n) for n in range(1, 41)]
    assert [line.amount for line in reading.lines] == [line.amount for line in LINES[:8]] * 5
    assert reading.lines[33].description == "Missing: cable 50 ft (5)"
    assert wrong(reading) == []
    assert reading.net == sum(line.amount for line in reading.lines)
    assert reading.dated is None  # 03/12/2026 could be two days


def test_the_quantity_is_the_column_that_multiplies(tmp_path: Path) -> None:
    reading = read_invoice(invoices.short_column(tmp_path / "invoice.pdf"))
    assert reading.columns["quantity"] == "Qty short"
    assert reading.columns["unit_price"] == "Unit price"
    assert [(line.quantity, line.kind) for line in reading.lines] == [
        (2, "missing"),
        (3, "missing"),
        (1, "repair"),
    ]
    assert wrong(reading) == []


def test_a_spreadsheet_with_continued_text_and_sections(tmp_path: Path) -> None:
    path = write_xlsx(
        tmp_path / "invoice.xlsx",
        {
            "Invoice": [
                ["Example Rental House (invented)"],
                ["Invoice no.", "LD-9", None, "Invoice date", dt.date(2026, 3, 12)],
                [],
                ["Item", "Serial", "Qty", "Unit price (EUR)", "Total"],
                ["Missing items"],
                ["Stand 40 in", None, 2, 245, 490],
                ["with head and arm of the older kind"],
                ["Subtotal", None, None, None, 490],
                ["Damaged items"],
                ["LED panel", "LP-0417", 1, 37.05 * 3, 37.05 * 3],
                ["Total", None, None, None, 601.15],
            ]
        },
    )
    reading = read_invoice(path)
    assert wrong(reading) == []
    assert [(line.description, line.kind, line.serials) for line in reading.lines] == [
        ("Stand 40 in with head and arm of the older kind", "missing", ""),
        ("LED panel", "repair", "LP-0417"),
    ]
    assert (reading.number, reading.dated, reading.currency) == (
        "LD-9",
        dt.date(2026, 3, 12),
        "EUR",
    )
    assert (reading.net, reading.tax, reading.gross) == (None, None, Decimal("601.15"))


def test_days_discounts_and_units(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Description,Qty,Days,Price,Disc %,Amount\n"
        "Loss of use panel,2,5 days,95.00,10,855.00\n"
        "Repair labour,2.5 hrs,,95.00,,237.50\n"
        "Case,1,,included,,included\n",
    )
    assert wrong(reading) == []
    assert [line.amount for line in reading.lines] == [Decimal("855.00"), Decimal("237.50"), 0]
    assert reading.lines[0].days == 5


def test_an_invoice_pasted_from_an_e_mail() -> None:
    reading = invoice_of_tables(
        table_from_text("Item\tQty\tPrice\tAmount\nMissing stand\t2\t245.00\t490.00\n")
    )
    assert reading.lines[0].amount == 490


# --- arithmetic -------------------------------------------------------------------------


def test_wrong_arithmetic_is_found_to_the_cent(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Pos,Description,Qty,Price,Amount\n"
        "1,Missing stand,2,245.00,490.01\n"
        "2,Cleaning,3,12.50,37.50\n"
        ",Subtotal,,,527.50\n"
        ",Sales tax 8.25%,,,43.53\n"
        ",Total,,,571.05\n",
    )
    assert wrong(reading) == [
        ("row 2", "2 × 245.00 is 490.00, but 490.01 is printed, 0.01 more"),
        ("row 4", "the lines sum to 527.51, but 527.50 is printed, 0.01 less"),
        ("row 5", "8.25 % of 527.51 is 43.52, but 43.53 is printed, 0.01 more"),
        ("row 6", "net and tax sum to 571.03, but 571.05 is printed, 0.02 more"),
    ]
    assert reading.faults == ()
    assert reading.lines[0].amount == Decimal("490.01")  # as billed


@pytest.mark.parametrize(
    ("sums", "faults"),
    [
        (",Total,,,527.50\n", []),
        (",Total,,,530.00\n", ["the lines sum to 527.50, but 530.00 is printed, 2.50 more"]),
        (",Net,,,527.50\n,VAT 20%,,,105.50\n,Total incl. VAT,,,633.00\n", []),
        (",Total,,,527.50\n,Includes VAT 20%,,,87.92\n", []),
        (
            ",Total,,,527.50\n,Includes VAT 20%,,,105.50\n",
            ["20 % tax within 527.50 is 87.92, but 105.50 is printed, 17.58 more"],
        ),
        (",Subtotal,,,527.50\n,Sales tax 8.25% on 490.00,,,40.43\n,Total,,,567.93\n", []),
        (",Total,,,527.50\n,Deposit applied,,,-500.00\n,Balance due,,,27.50\n", []),
        (",Page total,,,527.50\n,Brought forward,,,527.50\n,Total,,,527.50\n", []),
    ],
)
def test_sums_of_many_kinds(tmp_path: Path, sums: str, faults: list[str]) -> None:
    reading = read(
        tmp_path,
        "Pos,Description,Qty,Price,Amount\n"
        "1,Missing stand,2,245.00,490.00\n2,Cleaning,3,12.50,37.50\n" + sums,
    )
    assert [fault for _, fault in wrong(reading)] == faults
    assert len(reading.lines) == 2


def test_rates_by_line_and_sub_totals_by_section(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Item;Menge;Preis;MwSt %;Betrag\n"
        "Fehlend: Stativ;1;100,00;19 %;100,00\n"
        "Zwischensumme;;;;100,00\n"
        "Buch;1;50,00;7 %;50,00\n"
        "Zwischensumme;;;;51,00\n"
        "Nettobetrag;;;;150,00\n"
        "MwSt. 19 %;;;;19,00\n"
        "MwSt. 7 %;;;;3,50\n"
        "Gesamtbetrag;;;;172,50\n",
    )
    assert wrong(reading) == [
        ("row 5", "the lines above it sum to 50.00, but 51.00 is printed, 1.00 more")
    ]
    assert reading.tax == Decimal("22.50")


def test_tax_may_be_rounded_line_by_line(tmp_path: Path) -> None:
    lines = "".join(f"Item {n},1,0.10,0.10\n" for n in range(5))
    reading = read(
        tmp_path,
        f"Item,Qty,Price,Amount\n{lines}Net,,,0.50\nVAT 25%,,,0.15\nTotal,,,0.65\n",
    )
    assert wrong(reading) == []


def test_credits_and_brackets(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Item,Qty,Price,Amount\n"
        "Missing stand,2,245.00,490.00\n"
        "Credit for one stand found,1,245.00,(245.00)\n"
        "Rent credit,,,-10.00\n"
        "Total,,,235.00\n",
    )
    assert wrong(reading) == []
    assert [line.kind for line in reading.lines] == ["missing", "credit", "credit"]
    assert reading.lines[1].amount == -245


# --- what is wrong ----------------------------------------------------------------------


def test_faults_name_their_row_and_keep_the_invoice_out(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Item,Qty,Price,Amount\n"
        "Stand,two,245.00,490.00\n"
        "Panel,1,about 90,90.00\n"
        "Cable,1,62.00,\n"
        ",1,5.00,5.00\n"
        "Card 4111 1111 1111 1111,1,5.00,5.00\n",
    )
    assert wrong(reading)[:5] == [
        ("row 2", 'the quantity "two" is no number'),
        ("row 3", 'the unit price "about 90" is no amount'),
        ("row 4", "the amount is missing"),
        ("row 5", "the description is missing"),
        ("row 6", "the description holds a payment card number; such numbers are never stored"),
    ]
    assert "4111" not in json.dumps(invoice_as_json(reading))
    with pytest.raises(InputError, match=r"invoice\.csv, row 2"):
        taken_in(reading)


def test_a_table_without_amounts(tmp_path: Path) -> None:
    reading = read(tmp_path, "Item,Qty\nStand,2\n")
    assert reading.lines == ()
    assert "Description, Quantity, Amount" in reading.faults[0].expected


def test_a_scanned_page_gets_a_sentence_that_says_so(tmp_path: Path) -> None:
    path = tmp_path / "scan.pdf"
    canvas = Canvas(str(path))
    canvas.drawImage(ImageReader(Image.new("RGB", (200, 300), "white")), 0, 0, 500, 700)
    canvas.save()
    with pytest.raises(InputError, match="pictures of pages but no text") as caught:
        read_invoice(path)
    assert "by hand beside the picture" in caught.value.faults[0].expected


def test_a_locked_and_a_damaged_pdf(tmp_path: Path) -> None:
    whole = invoices.grid(tmp_path / "whole.pdf")
    writer = PdfWriter(clone_from=whole)
    writer.encrypt("secret", algorithm="AES-256")
    writer.write(tmp_path / "locked.pdf")
    with pytest.raises(InputError, match="locked by a password"):
        read_invoice(tmp_path / "locked.pdf")
    data = whole.read_bytes()
    for cut in (30, len(data) // 3, len(data) // 2):
        (tmp_path / "cut.pdf").write_bytes(data[:cut])
        with pytest.raises(InputError) as caught:
            read_invoice(tmp_path / "cut.pdf")
        assert len(caught.value.faults) == 1


def test_a_column_that_is_not_there(tmp_path: Path) -> None:
    match = column_match_from_json({"description": "Thing", "amount": "Amount"}, "MATCH.json")
    reading = read(tmp_path, "Item,Qty,Price,Amount\nStand,2,245.00,490.00\n", match)
    assert wrong(reading) == [("", 'there is no column "Thing" for the description')]


# --- what becomes of it -----------------------------------------------------------------


def taken_in(reading: InvoiceReading, **given: Any) -> Any:
    return invoice_from_reading(
        reading,
        invoice_id="invoice",
        agreement="agreement",
        claim_currency="USD",
        charge_id=lambda number: f"charge-{number}",
        **given,
    )


def test_a_reading_becomes_an_invoice_of_the_claim(tmp_path: Path) -> None:
    reading = read_invoice(invoices.grid(tmp_path / "invoice.pdf"))
    invoice = taken_in(reading, received=dt.date(2026, 3, 13))
    assert invoice.currency is None
    assert invoice.gross == reading.gross
    assert [charge.id for charge in invoice.charges][:2] == ["charge-1", "charge-2"]
    assert sum(charge.amount for charge in invoice.charges) == NET
    claim = Claim(id="c", reference="r", currency="USD", zone="UTC", invoices=(invoice,))
    with pytest.raises(InputError, match="is not the id of an agreement"):
        claim_from_json(claim_as_json(claim), "c")


def test_an_invoice_without_a_date_asks_for_it(tmp_path: Path) -> None:
    reading = read(tmp_path, "Item,Qty,Price,Amount\nStand,2,245.00,490.00\n")
    with pytest.raises(InputError, match="the date of the invoice was not found"):
        taken_in(reading)
    assert taken_in(reading, dated=dt.date(2026, 1, 2), number="7").number == "7"


def test_the_json_of_the_command_line(tmp_path: Path) -> None:
    data = json.loads(json.dumps(invoice_as_json(read_invoice(invoices.grid(tmp_path / "i.pdf")))))
    assert data["currency"] == "USD"
    assert (
        data["lines"][3]
        | {
            "description": "Repair labour",
            "quantity": "2.5",
            "unit_price": "95.00",
            "amount": "237.50",
            "kind": "repair_labour",
        }
        == data["lines"][3]
    )
    assert (data["net"], data["tax"], data["gross"]) == ("2801.95", "231.16", "3033.11")
    assert data["faults"] == []


def test_the_columns_of_a_reading_read_it_again(tmp_path: Path) -> None:
    path = invoices.bare_top(tmp_path / "invoice.pdf")
    reading = read_invoice(path)
    assert read_invoice(path, reading.match).lines == reading.lines


def test_labels_may_stand_over_number_and_date(tmp_path: Path) -> None:
    path = tmp_path / "invoice.pdf"
    canvas = Canvas(str(path))
    canvas.setFont("Helvetica", 10)
    for y, left, right in (
        (780, "Example Rental House (invented)", "L&D INVOICE"),
        (766, "Dock 4", "LD-20418"),
        (740, "Invoice date", "Terms"),
        (726, "6 November 2026", "30 days"),
    ):
        canvas.drawString(60, y, left)
        canvas.drawString(400, y, right)
    for y, texts in (
        (690, ("Charge", "Qty", "Each", "Amount")),
        (672, ("Stand", "1", "5.00", "5.00")),
    ):
        for x, text in zip((60, 300, 380, 460), texts, strict=True):
            canvas.drawString(x, y, text)
    canvas.save()
    reading = read_invoice(path)
    assert (reading.number, reading.dated) == ("LD-20418", dt.date(2026, 11, 6))
    assert [line.amount for line in reading.lines] == [5]


def test_a_pdf_that_unpacks_to_gigabytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.pdf"
    document = pikepdf.new()
    page = document.add_blank_page()
    page.Contents = document.make_stream(b" " * (300 * 1024 * 1024))
    document.save(path, compress_streams=True)
    assert path.stat().st_size < 1_000_000
    with pytest.raises(InputError, match="too large when unpacked"):
        read_invoice(path)


@pytest.mark.parametrize("seed", range(24))
def test_layouts_drawn_by_lot_are_read_right(seed: int, tmp_path: Path) -> None:
    charges, net, tax = draw_invoice(seed, tmp_path / "invoice.pdf")
    reading = read_invoice(tmp_path / "invoice.pdf")
    assert [
        (line.description, line.quantity, line.unit_price, line.amount) for line in reading.lines
    ] == charges
    assert (reading.net, reading.tax, reading.gross) == (net, tax, net + tax)
    assert wrong(reading) == []


def test_headings_that_touch_and_text_close_below_the_total(tmp_path: Path) -> None:
    path = tmp_path / "invoice.pdf"
    canvas = Canvas(str(path))
    canvas.setFont("Helvetica", 10)
    canvas.drawString(60, 720, "Item")
    canvas.drawString(300, 720, "Quantity")
    width = canvas.stringWidth("Quantity", "Helvetica", 10)
    canvas.drawString(300 + width, 720, "Price each")
    canvas.drawString(460, 720, "Amount")
    rows = (
        ("Missing stand of the", "", "", ""),
        ("older kind", "2", "5.00", "10.00"),
        ("Cleaning", "1", "5.00", "5.00"),
        ("", "", "Total", "15.00"),
        ("Please pay within ten days.", "", "", ""),
    )
    for number, texts in enumerate(rows):
        for x, text in zip((60, 300, 345, 460), texts, strict=True):
            canvas.drawString(x, 708 - 12 * number, text)
    canvas.save()
    reading = read_invoice(path)
    assert [(line.description, line.quantity, line.unit_price) for line in reading.lines] == [
        ("Missing stand of the older kind", 2, 5),
        ("Cleaning", 1, 5),
    ]
    assert reading.gross == 15
    assert wrong(reading) == []
