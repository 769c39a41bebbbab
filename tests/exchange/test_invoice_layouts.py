"""Invoices drawn by lot, on paper and in spreadsheets: read as they were meant, to the cent."""

from __future__ import annotations

import random
import re
from decimal import Decimal
from pathlib import Path

import pytest

from ldapp.exchange.invoice_file import invoice_as_json, read_invoice
from tests.exchange.layouts.compare import differences
from tests.exchange.layouts.drawn import Drawing
from tests.exchange.layouts.habits import draw
from tests.exchange.layouts.papers import WRITERS
from tests.exchange.layouts.spreadsheets import SHEETS

SEEDS = range(12)
"""More of them: ``python -m tests.exchange.layouts``."""


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("writer", WRITERS)
def test_a_drawn_invoice_is_read_as_it_was_meant(writer: str, seed: int, tmp_path: Path) -> None:
    truth, sheet = Drawing(seed).draw()
    path = tmp_path / "invoice.pdf"
    WRITERS[writer](sheet, path, random.Random(seed))
    assert differences(truth, read_invoice(path)) == []


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(
    ("writer", "seed"),
    [
        ("flowing", 6014),  # half a cent of included tax, rounded with the net amount
        ("flowing", 6021),  # "Cantidad P." above "unitario"
        ("flowing", 6034),  # a page number below the sums
        ("flowing", 6048),  # "4 uds" beside the description
        ("text_document", 21),  # a row that is drawn on both pages
        ("text_document", 23),  # text in capitals that goes on overleaf
        ("flowing", 9002),  # a note of two lines, the second without a small letter
        ("flowing", 9034),  # one charge on the last page, under the headings of the first
        ("flowing", 9062),  # "Mietausfall:" alone on a line whose next word had no room
        ("second_writer", 9006),  # the last row of a page, below the boxes for want of a rule
        ("second_writer", 9031),  # a tax below headings that stand again
        ("second_writer", 9034),  # "A" as the last line of a description
        ("second_writer", 9069),  # the section "RENTAL" below text in capitals
        ("second_writer", 9072),  # lines and notes at one distance, figures at half the height
        ("flowing", 9126),  # a column of serial numbers without one
        ("flowing", 9158),  # "1 Rental charges" where the quantities stand
        ("text_document", 9106),  # "+ 8.1 % gesetzl. MwSt." below the quantities
        ("flowing", 20000),  # serial numbers on lines of their own
        ("typed", 20008),  # the same, where figures stand beside the last line
        ("flowing", 20046),  # a deposit between "Balance due" and "Amount due"
        ("typed", 20038),  # notes between text in capitals, figures beside the first line
        ("typed", 20056),  # the same, figures beside the last line
        ("flowing", 20019),  # a table of the tax below the total
        ("second_writer", 20007),  # "Charged per the rental agreement" is the heading of no section
        ("second_writer", 20023),  # "Grip total" between closely set lines
        ("typed", 9058),  # text at the foot of a page, figures overleaf
        ("typed", 9072),  # figures at the foot of a page, text overleaf
        ("text_document", 9058),  # text that is drawn at the foot of a page and again overleaf
    ],
)
def test_what_was_once_read_wrong(writer: str, seed: int, tmp_path: Path) -> None:
    truth, sheet = draw(seed)
    path = tmp_path / "invoice.pdf"
    WRITERS[writer](sheet, path, random.Random(seed))
    assert differences(truth, read_invoice(path)) == []


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("form", SHEETS)
def test_an_invoice_in_a_spreadsheet_is_read_as_it_was_meant(
    form: str, seed: int, tmp_path: Path
) -> None:
    truth, sheet = Drawing(seed).draw()
    ending, write = SHEETS[form]
    path = tmp_path / f"invoice.{ending}"
    write(sheet, path, random.Random(seed))
    assert differences(truth, read_invoice(path)) == []


@pytest.mark.parametrize("seed", range(8))
def test_an_amount_that_is_one_unit_too_high_is_found_in_its_place(
    seed: int, tmp_path: Path
) -> None:
    drawing = Drawing(seed)
    truth, sheet = drawing.draw()
    amount = sheet.fields.index("amount")
    rows = [row for row in sheet.rows if row.kind == "charge"]
    lot = random.Random(seed)
    index = lot.randrange(len(rows))
    unit = Decimal(1).scaleb(-drawing.money.places)
    wrong = truth.lines[index].amount + unit
    rows[index].cells[amount] = drawing.figure(wrong) + (" A" if drawing.tax_code else "")
    path = tmp_path / "invoice.pdf"
    WRITERS["flowing"](sheet, path, lot)
    reading = read_invoice(path)
    said = [fault["says"] for fault in invoice_as_json(reading)["faults"]]
    assert said
    if truth.lines[index].price is not None:
        # Both figures and the difference stand in the sentence, and the place is the line's.
        first = reading.wrong_sums[0]
        assert first.place == reading.lines[index].place
        # It is named by its number on the invoice, or counted, and never by a line of the page.
        counted = "" if "line" in sheet.fields else " counted from the first"
        assert re.fullmatch(rf"page \d+, charge {index + 1}{counted}", first.place)
        assert f"{truth.lines[index].amount}" in first.wrong
        assert f"{wrong} is printed, {unit} more" in first.wrong
    assert any(f"{unit} less" in one for one in said if "sum to" in one)
    label = next(fault.place for fault in reading.wrong_sums if "sum to" in fault.wrong)
    assert re.fullmatch(r'page \d+, ".+"', label)
