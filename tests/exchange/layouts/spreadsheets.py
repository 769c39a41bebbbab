"""Writers that put a drawn sheet into delimited text and spreadsheets."""

from __future__ import annotations

import csv
import io
import random
from pathlib import Path

import openpyxl

from ldapp.exchange.number_text import read_number
from tests.exchange.layouts.truth import FIGURES, Sheet
from tests.exchange.lists import write_ods


def _rows(sheet: Sheet, lot: random.Random) -> list[list[str]]:
    width = len(sheet.fields)
    rows: list[list[str]] = [list(line) for line in sheet.before]
    rows += [[]] * lot.randint(0, 2)
    rows.append(list(sheet.headings))
    for row in sheet.rows:
        if row.kind == "section":
            rows += [[]] * lot.randint(0, 1)
        rows.append(list(row.cells))
    rows += [[]] * lot.randint(0, 1)
    place = width - 2 if width > 2 and lot.random() < 0.5 else sheet.fields.index("description")
    amount = sheet.fields.index("amount")
    for label, figure in sheet.sums:
        cells = [""] * width
        cells[place if place != amount else 0] = label
        cells[amount] = figure
        rows.append(cells)
    rows.append([])
    rows += [[text] for text in sheet.after]
    return rows


def delimited(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """Delimited text in one of the encodings and separators that offices use."""
    held = io.StringIO()
    separator = lot.choice(";,\t|")
    csv.writer(held, delimiter=separator, lineterminator=lot.choice(("\n", "\r\n"))).writerows(
        _rows(sheet, lot)
    )
    text = held.getvalue()
    for encoding in lot.sample(("utf-8", "utf-8-sig", "utf-16", "cp1252", "mac_roman"), k=5):
        try:
            path.write_bytes(text.encode(encoding))
        except UnicodeEncodeError:
            continue
        return


def workbook(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """A workbook whose figures are numbers, beside a sheet that is no invoice."""
    book = openpyxl.Workbook()
    notes = book.active
    notes.title = "Notes"
    notes.append(["Example House (invented)", "1 Invented Street"])
    page = book.create_sheet("Invoice")
    figures = {column for column, field in enumerate(sheet.fields) if field in FIGURES}
    style = "comma" if "," in _last_sign(sheet) else "point"
    for number, row in enumerate(_rows(sheet, lot), 1):
        for column, text in enumerate(row):
            value: object = text or None
            found = read_number(text, style) if column in figures else None
            if found is not None and "%" not in text and found.as_tuple().exponent not in {-3}:
                value = float(found) if found != int(found) else int(found)
            cell = page.cell(row=number, column=column + 1, value=value)
            if not isinstance(value, str | None):
                signs = [
                    one for one in ("CHF", "KWD", "INR", "USD", "CA$", *"$€£₹¥") if one in text
                ]
                signs += ["EUR"] if "EUR" in text else []
                cell.number_format = f"[${signs[0]}] #,##0.00" if signs else "General"
    if lot.random() < 0.5:
        book.move_sheet("Invoice", -1)
    book.save(path)


def open_document(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """An OpenDocument spreadsheet whose cells are text."""
    write_ods(path, {"Invoice": [[text or None for text in row] for row in _rows(sheet, lot)]})


def _last_sign(sheet: Sheet) -> str:
    """Return the sign before the decimals, as the first price or amount writes it."""
    amount = sheet.fields.index("amount")
    for row in sheet.rows:
        text = row.cells[amount]
        if row.kind == "charge" and any(one.isdigit() for one in text):
            digits = [one for one in text if one.isdigit() or one in ".,"]
            return next((one for one in reversed(digits) if one in ".,"), ".")
    return "."


SHEETS = {
    "delimited": ("csv", delimited),
    "workbook": ("xlsx", workbook),
    "open_document": ("ods", open_document),
}
