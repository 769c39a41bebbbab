"""Kit lists as offices write them: many forms of one kit, read as it was meant."""

from __future__ import annotations

from pathlib import Path

import pytest
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.platypus import Paragraph, SimpleDocTemplate, Table

from ldapp.exchange.kit_list import KitListReading, read_kit_list
from tests.exchange.lists import write_xlsx

Read = list[tuple[str, int | None, tuple[str, ...]]]


def lines(reading: KitListReading) -> Read:
    return [(row.line.description, row.line.quantity, row.line.serials) for row in reading.rows]


def read(tmp_path: Path, text: str, encoding: str = "utf-8") -> KitListReading:
    path = tmp_path / "kit.csv"
    path.write_bytes(text.encode(encoding))
    return read_kit_list(path)


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252", "mac_roman", "cp850"]
)
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_every_encoding_and_separator(tmp_path: Path, encoding: str, separator: str) -> None:
    rows = [
        ["Désignation", "Qté", "N° de série"],
        ["Pied à crémaillère", "2", "A-1"],
        ["Projecteur Fresnel, équipé", "1", ""],
    ]
    text = "\r\n".join(separator.join(f'"{cell}"' for cell in row) for row in rows)
    reading = read(tmp_path, text.replace("°", "o") if encoding == "cp850" else text, encoding)
    assert lines(reading) == [
        ("Pied à crémaillère", 2, ("A-1",)),
        ("Projecteur Fresnel, équipé", 1, ()),
    ]


@pytest.mark.parametrize(
    ("cell", "quantity", "serials"),
    [
        ("A-1/A-2", 2, ("A-1", "A-2")),
        ("A-1 A-2", 2, ("A-1", "A-2")),
        ("1001–1003", 3, ("1001", "1002", "1003")),
        ("1001-03", 3, ("1001", "1002", "1003")),
        ("SN-010 to SN-012", 3, ("SN-010", "SN-011", "SN-012")),
        ("10001, 10002; 10003/10004", 4, ("10001", "10002", "10003", "10004")),
        ("SN1001\nSN1002", 2, ("SN1001", "SN1002")),
        ("S/N: 77, s/n 78", 2, ("77", "78")),
        ("2023-0417", 1, ("2023-0417",)),
        ("A 1/2", 1, ("A 1/2",)),
        ("1001–1005", 2, ("1001–1005",)),
    ],
)
def test_serial_numbers_in_one_cell(
    tmp_path: Path, cell: str, quantity: int, serials: tuple[str, ...]
) -> None:
    reading = read(tmp_path, f'Item,Qty,Serials\nPanel,{quantity},"{cell}"\n')
    assert reading.faults == ()
    assert lines(reading) == [("Panel", quantity, serials)]


def test_numbers_within_descriptions(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Item,Value\n2x C-stand,245\n3 x Flag 24x36,95\nLED panel (2),3950\nHead,700\n",
    )
    assert reading.faults == ()
    assert [one[:2] for one in lines(reading)] == [
        ("C-stand", 2),
        ("Flag 24x36", 3),
        ("LED panel", 2),
        ("Head", 1),
    ]
    assert reading.rows[3].to_confirm == ("no quantity is listed; taken as one unit",)


def test_a_list_that_is_mere_text(tmp_path: Path) -> None:
    reading = read(tmp_path, "Equipment\n2 C-stand 40 in\n10 Sandbag 25 lb\n1 LED panel 2x1\n")
    assert [one[:2] for one in lines(reading)] == [
        ("C-stand 40 in", 2),
        ("Sandbag 25 lb", 10),
        ("LED panel 2x1", 1),
    ]


def test_each_unit_on_a_row_of_its_own(tmp_path: Path) -> None:
    reading = read(tmp_path, "Asset,Description,Serial\nA-1,Panel,S-1\nA-2,Panel,S-2\n")
    assert reading.faults == ()
    assert lines(reading) == [("Panel", 1, ("S-1",)), ("Panel", 1, ("S-2",))]


def test_sections_without_blank_rows(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Description,Qty,Value\nCamera department,,\nBody A,1,12000\nLenses,,\nPrime 35,1,4000\n"
        "Grip & stands,,\nStand,2,245\n",
    )
    assert reading.faults == ()
    assert [(row.line.description, row.line.category) for row in reading.rows] == [
        ("Body A", "Camera department"),
        ("Prime 35", "Lenses"),
        ("Stand", "Grip & stands"),
    ]


def test_headings_again_below_each_case(tmp_path: Path) -> None:
    reading = read(
        tmp_path, "Case 1\nItem,Qty\nBody,1\nCap,1\n\nCase 2\nItem,Qty\nPrime 35,1\nPrime 50,1\n"
    )
    assert [row.line.category for row in reading.rows] == ["Case 1", "Case 1", "Case 2", "Case 2"]


def test_remarks_below_the_list_are_no_lines(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Item,Qty,Value\nStand,2,245\n\nPrepared by the office (invented),,\nAll prices in USD,,\n",
    )
    assert reading.faults == ()
    assert len(reading.rows) == 1


def test_a_quantity_that_is_missing_is_said(tmp_path: Path) -> None:
    reading = read(tmp_path, "Item,Qty\nStand,2\nHead,\nBag,0\n")
    assert [(fault.place, fault.wrong) for fault in reading.faults] == [
        ("row 3", "the quantity is missing")
    ]


def test_what_went_out_counts_not_what_was_ordered(tmp_path: Path) -> None:
    reading = read(tmp_path, "Item,Ordered,Shipped,Back\nStand,4,3,3\nHead,2,2,1\n")
    assert [one[1] for one in lines(reading)] == [3, 2]


def test_out_and_in_below_a_heading_of_both(tmp_path: Path) -> None:
    path = write_xlsx(
        tmp_path / "kit.xlsx",
        {
            "Packing": [
                ["Item", "Quantity", None, "Serial"],
                [None, "Out", "In", None],
                ["Stand", 4, None, None],
                ["Panel", 2, None, "P-1, P-2"],
            ]
        },
    )
    assert lines(read_kit_list(path)) == [("Stand", 4, ()), ("Panel", 2, ("P-1", "P-2"))]


@pytest.mark.parametrize("ruled", [False, True])
def test_a_packing_list_as_a_pdf(tmp_path: Path, ruled: bool) -> None:
    style = getSampleStyleSheet()["BodyText"]
    rows = [
        ["", "Qty", "Description", "Serial / asset no.", "Case"],
        ["", "", "GRIP", "", ""],
        [
            "[ ]",
            "4",
            Paragraph("C-stand 40 in with head and arm, of the older kind", style),
            "",
            "A1",
        ],
        ["[ ]", "10", "Sandbag 25 lb", "", "A1"],
        ["", "", "ELECTRIC", "", ""],
        ["[ ]", "2", "LED panel 2x1", "LP-0417, LP-0418", "B2"],
    ]
    path = tmp_path / "kit.pdf"
    grid = [("GRID", (0, 0), (-1, -1), 0.5, "black")] if ruled else []
    SimpleDocTemplate(str(path)).build(
        [
            Paragraph("Packing list (invented), pickup 2026-03-02", style),
            Table(rows, [25, 40, 190, 130, 50], style=grid),
            Paragraph("Checked by: ____________   Date: ________", style),
            Paragraph("Report shortages within 24 hours to the owner.", style),
        ]
    )
    reading = read_kit_list(path)
    assert reading.faults == ()
    assert lines(reading) == [
        ("C-stand 40 in with head and arm, of the older kind", 4, ()),
        ("Sandbag 25 lb", 10, ()),
        ("LED panel 2x1", 2, ("LP-0417", "LP-0418")),
    ]
    assert [row.line.category for row in reading.rows] == ["GRIP", "GRIP", "ELECTRIC"]
    assert [row.line.location for row in reading.rows] == ["A1", "A1", "B2"]
