"""Kit lists in the manner of papers that are met: by case, side by side, out and in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from reportlab.lib.pagesizes import LETTER
from reportlab.pdfgen.canvas import Canvas

from ldapp.exchange.kit_list import KitListReading, read_kit_list


def drawn(path: Path, rows: Sequence[Sequence[str]], places: Sequence[float]) -> Path:
    """Set rows on a page, each text at the place of its column."""
    canvas = Canvas(str(path), pagesize=LETTER)
    canvas.setFont("Helvetica", 8)
    for number, row in enumerate(rows):
        for place, text in zip(places, row, strict=False):
            canvas.drawString(place, 750 - 12 * number, text)
    canvas.save()
    return path


def listed(path: Path, rows: Sequence[Sequence[str]], places: Sequence[float]) -> Path:
    """Write rows as delimited text or on a page, as the name of ``path`` ends."""
    if path.suffix == ".pdf":
        return drawn(path, rows, places)
    path.write_text("\n".join(";".join(row) for row in rows), encoding="utf-8")
    return path


def units(reading: KitListReading) -> list[tuple[int | None, str]]:
    assert reading.faults == ()
    return [(row.line.quantity, row.line.description) for row in reading.rows]


@pytest.mark.parametrize("ending", ["pdf", "csv"])
def test_columns_side_by_side_are_one_list(tmp_path: Path, ending: str) -> None:
    rows = [
        ["Qty", "Item", "", "Qty", "Item"],
        ["4", "C-stand 40 in", "", "2", "LED panel 2x1"],
        ["2", "Combo stand", "", "1", "Fresnel 1 kW"],
        ["12", "Sandbag 25 lb", "", "", ""],
    ]
    path = listed(tmp_path / f"kit.{ending}", rows, [40, 70, 250, 320, 350])
    assert units(read_kit_list(path)) == [
        (4, "C-stand 40 in"), (2, "Combo stand"), (12, "Sandbag 25 lb"),
        (2, "LED panel 2x1"), (1, "Fresnel 1 kW"),
    ]  # fmt: skip


@pytest.mark.parametrize("ending", ["pdf", "csv"])
def test_a_packing_list_names_the_case_of_each_line(tmp_path: Path, ending: str) -> None:
    rows = [
        ["Qty", "Description", "Serial no."],
        ["CASE 1 - LENSES"],
        ["1", "Prime 35 mm T1.5", "SN101"],
        ["1", "Prime 50 mm T1.5", "SN102"],
        ["Case 2: Camera body"],
        ["1", "Camera body", "C-77"],
        ["2", "Battery 98 Wh", ""],
    ]
    reading = read_kit_list(listed(tmp_path / f"kit.{ending}", rows, [40, 80, 300]))
    assert units(reading) == [
        (1, "Prime 35 mm T1.5"), (1, "Prime 50 mm T1.5"), (1, "Camera body"), (2, "Battery 98 Wh"),
    ]  # fmt: skip
    assert [row.line.location for row in reading.rows] == [
        "CASE 1 - LENSES", "CASE 1 - LENSES", "Case 2: Camera body", "Case 2: Camera body",
    ]  # fmt: skip


@pytest.mark.parametrize("ending", ["pdf", "csv"])
def test_what_went_out_is_the_quantity_and_what_is_missing_is_said(
    tmp_path: Path, ending: str
) -> None:
    rows = [
        ["Item", "Out/In"],
        ["C-stand 40 in", "4/4"],
        ["Combo stand", "2/1"],
        ["Sandbag 25 lb", "12/12"],
    ]
    reading = read_kit_list(listed(tmp_path / f"kit.{ending}", rows, [40, 250]))
    assert units(reading) == [(4, "C-stand 40 in"), (2, "Combo stand"), (12, "Sandbag 25 lb")]
    assert [row.to_confirm for row in reading.rows] == [
        (), ('"2/1" is read as 2 out and 1 back; 2 are listed',), (),
    ]  # fmt: skip


def test_more_back_than_out_is_no_quantity(tmp_path: Path) -> None:
    rows = [["Item", "Qty"], ["C-stand 40 in", "4"], ["Combo stand", "1/2"]]
    reading = read_kit_list(listed(tmp_path / "kit.csv", rows, []))
    assert [fault.wrong for fault in reading.faults] == ['the quantity "1/2" is no number']


@pytest.mark.parametrize("ending", ["pdf", "csv"])
def test_serial_numbers_below_a_line_are_those_of_the_line(tmp_path: Path, ending: str) -> None:
    rows = [
        ["Qty", "Description", "Value"],
        ["1", "LED panel 2x1", "2450.00"],
        ["", "S/N K4411", ""],
        ["2", "Fresnel 1 kW", "900.00"],
        ["", "Serial nos. F1, F2", ""],
        ["4", "C-stand", "240.00"],
    ]
    reading = read_kit_list(listed(tmp_path / f"kit.{ending}", rows, [40, 80, 380]))
    assert units(reading) == [(1, "LED panel 2x1"), (2, "Fresnel 1 kW"), (4, "C-stand")]
    assert [row.line.serials for row in reading.rows] == [("K4411",), ("F1", "F2"), ()]
    assert [row.line.category for row in reading.rows] == ["", "", ""]
