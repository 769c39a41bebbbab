"""Kit lists in every form that offices send, right and wrong."""

from __future__ import annotations

import datetime as dt
import json
import time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from reportlab.lib import colors
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.platypus import Paragraph, SimpleDocTemplate
from reportlab.platypus import Table as LaidOut

from ldapp.errors import InputError
from ldapp.exchange.column_match import ColumnMatch, column_match_from_json
from ldapp.exchange.kit_list import (
    KitListReading,
    ListedLine,
    ListedPart,
    kit_list_as_json,
    kit_list_of,
    read_kit_list,
)
from ldapp.exchange.tables import table_from_text
from tests.exchange.lists import write_ods, write_xlsx


def read(tmp_path: Path, content: str | bytes, match: ColumnMatch | None = None) -> KitListReading:
    path = tmp_path / "list.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_kit_list(path, match)


def says(reading: KitListReading) -> list[tuple[str, str]]:
    return [(fault.place, fault.wrong) for fault in reading.faults]


PLAIN = """Line,Qty,Description,Serial No.,Location,Day Rate,Replacement Value
1,8,"Stand 40 in, with head and arm",,Truck left,6.00,245.00
2,1,LED panel 2x1,LP-0417,Cart 2,95.00,"3,150.00"
"""

LINES = (
    ListedLine(
        number="1",
        description="Stand 40 in, with head and arm",
        quantity=8,
        kind="grip",
        location="Truck left",
        day_rate=Decimal("6.00"),
        replacement_cost=Decimal("245.00"),
    ),
    ListedLine(
        number="2",
        description="LED panel 2x1",
        quantity=1,
        serials=("LP-0417",),
        kind="lighting",
        location="Cart 2",
        day_rate=Decimal("95.00"),
        replacement_cost=Decimal("3150.00"),
    ),
)


def test_a_plain_list(tmp_path: Path) -> None:
    reading = read(tmp_path, PLAIN)
    assert reading.lines() == LINES
    assert reading.columns == {
        "line": "Line",
        "description": "Description",
        "quantity": "Qty",
        "serials": "Serial No.",
        "location": "Location",
        "day_rate": "Day Rate",
        "replacement_cost": "Replacement Value",
    }
    assert [row.place for row in reading.rows] == ["row 2", "row 3"]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "latin-1"]
)
def test_any_separator_and_encoding(tmp_path: Path, separator: str, encoding: str) -> None:
    rows = [["Pos", "Bezeichnung", "Menge"], ["1", "Verlängerung 15 m – süß", "4"]]
    if encoding == "latin-1":
        rows[1][1] = "Verlängerung 15 m - süß"
    text = "\r\n".join(separator.join(row) for row in rows)
    (line,) = read(tmp_path, text.encode(encoding)).lines()
    assert line.description == rows[1][1]
    assert line.quantity == 4


def test_a_stated_separator_and_quoted_line_breaks(tmp_path: Path) -> None:
    reading = read(tmp_path, 'sep=;\r\nQty;Item;S/N\r\n2;"Head, ""small""";"A1\nA2"\r\n')
    (line,) = reading.lines()
    assert line.description == 'Head, "small"'
    assert line.serials == ("A1", "A2")
    assert reading.rows[0].place == "row 3"


@pytest.mark.parametrize(
    ("headings", "values"),
    [
        (
            "Pos;Bezeichnung;Menge;Seriennummer;Lagerort;Tagesmiete;Neuwert",
            "6,00;245,00;95,00;3.150,00",
        ),
        (
            "N°;Désignation;Qté;N° de série;Emplacement;Tarif jour;Valeur à neuf",
            "6,00;245,00;95,00;3 150,00",
        ),
        (
            "N.º;Descripción;Cantidad;N.º de serie;Ubicación;Tarifa diaria;Valor de reposición",
            "6,00;245,00;95,00;3.150,00",
        ),
        (
            "#;Item;Qty out;S/N;Case;Rate (USD);Repl. value",
            "6.00;245.00;95.00;3,150.00",
        ),
    ],
)
def test_headings_and_numbers_of_four_languages(tmp_path: Path, headings: str, values: str) -> None:
    one, two, three, four = values.split(";")
    reading = read(
        tmp_path,
        f"{headings}\n1;Stand 40 in, with head and arm;8;;Truck left;{one};{two}\n"
        f"2;LED panel 2x1;1;LP-0417;Cart 2;{three};{four}\n",
    )
    assert reading.lines() == LINES


def test_an_office_spreadsheet_with_a_letterhead_and_two_sheets(tmp_path: Path) -> None:
    path = write_xlsx(
        tmp_path / "list.xlsx",
        {
            "Grip": [
                ["Example Rental House (invented)"],
                [],
                ["Order", "A-204", None, dt.date(2026, 3, 2)],
                [None, None, "Replacement"],
                ["Line", "Qty", "Description", "Value each", "Purchased", "Serial"],
                [1, 8, "Stand", 0.1 * 3, dt.date(2024, 3, 1), 100234],
            ],
            "Camera": [["Line", "Qty", "Description"], [1, 2.0, "Camera body"]],
            "Notes": [["Please check at once."]],
        },
    )
    reading = read_kit_list(path)
    stand, camera = reading.lines()
    assert stand.replacement_cost == Decimal("0.3")
    assert stand.acquired == dt.date(2024, 3, 1)
    assert stand.serials == ("100234",)
    assert camera.quantity == 2
    assert (stand.number, camera.number) == ("1", "Camera 1")
    assert reading.sheets == ("Grip", "Camera")
    assert [row.place for row in reading.rows] == ["sheet Grip, row 6", "sheet Camera, row 2"]
    only = read_kit_list(
        path, ColumnMatch(columns={"description": "Description", "quantity": "Qty"}, sheet="Camera")
    )
    assert [line.description for line in only.lines()] == ["Camera body"]


def test_an_open_document_spreadsheet(tmp_path: Path) -> None:
    path = write_ods(
        tmp_path / "list.ods",
        {"List": [["Qty", "Item", "Value"], [8, "Stand", 245.5], [1, "Panel", None]]},
    )
    stand, panel = read_kit_list(path).lines()
    assert (stand.quantity, stand.replacement_cost) == (8, Decimal("245.5"))
    assert panel.replacement_cost is None


def test_text_from_the_clipboard(tmp_path: Path) -> None:
    reading = kit_list_of(table_from_text("Item\tQty\r\nStand\t8\r\nFlag 24x36\t4\r\n"))
    assert [(line.number, line.quantity) for line in reading.lines()] == [("1", 8), ("2", 4)]


def test_a_list_without_headings_is_told_by_its_contents(tmp_path: Path) -> None:
    reading = read(tmp_path, "1;Stand 40 in;8\n2;Flag 24x36;4\n3;Sandbag 25 lb;10\n")
    assert reading.columns == {"description": "B", "line": "A", "quantity": "C"}
    assert [line.quantity for line in reading.lines()] == [8, 4, 10]


@pytest.mark.parametrize(
    ("text", "quantity", "note"),
    [
        ("2 ea", 2, ""),
        ("2 pcs.", 2, ""),
        ("x2", 2, ""),
        ("2x", 2, ""),
        ("12 Stk.", 12, ""),
        ("3 pièces", 3, ""),
        ("2.0", 2, ""),
        ('"2,00"', 2, ""),
        ('"1,200"', 1200, ""),
        ("2 pairs", 2, "listed in: pairs"),
        ("0", 0, ""),
    ],
)
def test_quantities_as_they_are_written(
    tmp_path: Path, text: str, quantity: int, note: str
) -> None:
    (line,) = read(tmp_path, f"Item,Qty\nStand,{text}\n").lines()
    assert (line.quantity, line.note) == (quantity, note)


@pytest.mark.parametrize(
    ("text", "serials"),
    [
        ("A1, A2;A3", ("A1", "A2", "A3")),
        ("SN: A1 / A2", ("A1", "A2")),
        ("S/N A1 and A2", ("A1", "A2")),
        ("Serial no. 0042", ("0042",)),
        ("n/a", ()),
        ("-", ()),
    ],
)
def test_serial_numbers_are_parted(tmp_path: Path, text: str, serials: tuple[str, ...]) -> None:
    (line,) = read(tmp_path, f'Item,Qty,Serial\nHead,3,"{text}"\n').lines()
    assert line.serials == serials


def test_headings_parts_and_sums(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Line;Description;Qty;Value\n"
        ";GRIP;;\n"
        "10;C-stand;8;245.00\n"
        ";- arm;8;48.00\n"
        ";- grip head;16;31.00\n"
        ";incl. 2 x safety cable;;\n"
        "10.1;base;8;\n"
        ";Sub-total;;1,960.00\n"
        "\n"
        ";Camera;;\n"
        "20;Lens set;1;8,800.00\n"
        "Total;;;9,999.00\n",
    )
    stand, lenses = reading.lines()
    assert stand.category == "GRIP"
    assert stand.parts == (
        ListedPart(description="arm", replacement_cost=Decimal("48.00")),
        ListedPart(description="grip head", per_unit=2, replacement_cost=Decimal("31.00")),
        ListedPart(description="safety cable", per_unit=2),
        ListedPart(description="base"),
    )
    assert lenses.category == "Camera"


def test_make_and_model_become_the_description(tmp_path: Path) -> None:
    reading = read(tmp_path, "Qty,Manufacturer,Model\n2,Invented Works,Panel 7\n")
    assert reading.lines()[0].description == "Invented Works Panel 7"


# --- what is wrong ----------------------------------------------------------------------


def test_every_fault_of_every_row_is_said_and_nothing_is_taken(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Line,Description,Qty,Day rate,Purchased,Serial\n"
        "1,Stand,two,6.00,,\n"
        "2,Flag,-3,,,\n"
        "3,,1,,,X\n"
        "3,Panel,1,about 90,,\n"
        "5,Cable,,,,\n"
        "6,Cable,2.5,-3.00,,\n"
        "7,Good line,1,1.00,01/02/2024,\n",
    )
    assert says(reading) == [
        ("row 2", 'the quantity "two" is no number'),
        ("row 3", "the quantity -3 is negative"),
        ("row 4", "the description is missing"),
        ("row 5", 'the day rate "about 90" is no amount'),
        ("row 5", 'the line number "3" already stands in row 4'),
        ("row 6", "the quantity is missing"),
        ("row 7", "the quantity 2.5 is no whole number of pieces"),
        ("row 7", "the day rate -3.00 is negative"),
        ("row 8", '"01/02/2024" is no day, or could be two different ones'),
    ]
    assert len(reading.rows) == 7
    assert reading.rows[6].line.description == "Good line"
    with pytest.raises(InputError, match=r"list\.csv, row 2: the quantity"):
        reading.lines()


def test_a_list_without_a_quantity_column(tmp_path: Path) -> None:
    reading = read(tmp_path, "Line,Description,Serial\n1,Stand,\n2,Panel,LP-1\n")
    (fault,) = reading.faults
    assert fault.wrong == "no column with quantities was found"
    assert "Line, Description, Serial" in fault.expected


@pytest.mark.parametrize(
    ("content", "wrong"),
    [
        (b"", "the file is empty"),
        (b"\n\n ; \n", "the file is empty"),
        (b"\xef\xbb\xbf", "the file is empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "the file is no text and no spreadsheet"),
        (b"<html><table></table></html>", "this is a web page or XML, not a list"),
        (b"PK\x03\x04rubbish", "this is no spreadsheet, or it is damaged"),
        (b"\xd0\xcf\x11\xe0rubbish", "this is no spreadsheet, or it is damaged"),
        (b"%PDF-1.7\nrubbish", "this is no readable PDF, or it is damaged"),
    ],
)
def test_what_is_no_list_gets_one_sentence(tmp_path: Path, content: bytes, wrong: str) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, content)
    (fault,) = caught.value.faults
    assert (fault.file, fault.wrong) == ("list.csv", wrong)


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_kit_list(tmp_path / "none.csv")
    with pytest.raises(InputError, match="this is a folder"):
        read_kit_list(tmp_path)


def test_headings_without_lines(tmp_path: Path) -> None:
    assert says(read(tmp_path, "Item,Qty,Value\n")) == [
        ("", "there are headings but no lines below them")
    ]


def test_running_text_is_no_list(tmp_path: Path) -> None:
    reading = read(tmp_path, "Dear all,\nplease find the list attached.\n")
    assert [wrong for _, wrong in says(reading)] == [
        "no column with descriptions was found",
        "no column with quantities was found",
    ]


def test_payment_card_numbers_are_refused_in_text_and_asked_about_in_serials(
    tmp_path: Path,
) -> None:
    reading = read(
        tmp_path, "Item,Qty,Serial,Notes\nHead,1,4111111111111111,card 4111 1111 1111 1111\n"
    )
    (fault,) = reading.faults
    assert "payment card" in fault.wrong
    assert reading.rows[0].line.note == ""
    assert reading.rows[0].to_confirm == (
        "the serial number ending in 1111 could be a payment card number",
    )
    assert "4111 1111" not in json.dumps(kit_list_as_json(reading))


def test_what_a_person_should_look_at_does_not_keep_the_list_out(tmp_path: Path) -> None:
    reading = read(
        tmp_path, "Item,Qty,Serial,Acquired\nHead,1,A1;A2;A1,2024\nLamp;- door,3,,\n- wire,2,,\n"
    )
    head, lamp = reading.lines()
    assert head.note == "acquired 2024"
    assert len(reading.rows[0].to_confirm) == 3
    assert lamp.parts[0].per_unit == 2
    assert len(reading.rows[1].to_confirm) == 1


# --- the column match -------------------------------------------------------------------


def test_columns_corrected_by_the_person(tmp_path: Path) -> None:
    content = "Code,Count,Words,More\nX1,8,Stand,tall\n"
    for columns in (
        {"description": "Words", "quantity": "Count"},
        {"description": "C", "quantity": "b"},
        {"description": 3, "quantity": 2},
    ):
        reading = read(tmp_path, content, column_match_from_json(columns, "MATCH.json"))
        assert [(one.description, one.quantity) for one in reading.lines()] == [("Stand", 8)]
    both = column_match_from_json(
        {"columns": {"description": ["Words", "More"], "quantity": "Count"}}, "MATCH.json"
    )
    assert read(tmp_path, content, both).lines()[0].description == "Stand tall"


def test_the_columns_of_a_reading_read_it_again(tmp_path: Path) -> None:
    reading = read(tmp_path, PLAIN)
    again = read(tmp_path, PLAIN, reading.match)
    assert again.lines() == reading.lines()


def test_a_match_can_state_how_numbers_and_days_are_written(tmp_path: Path) -> None:
    match = ColumnMatch(
        columns={
            "description": "Item",
            "quantity": "Qty",
            "day_rate": "Rate",
            "acquired": "Bought",
        },
        numbers="comma",
        dates="month_first",
    )
    (line,) = read(tmp_path, "Item;Qty;Rate;Bought\nHead;1;1,234;3/2/2024\n", match).lines()
    assert line.day_rate == Decimal("1.234")
    assert line.acquired == dt.date(2024, 3, 2)


def test_a_match_that_names_a_column_that_is_not_there(tmp_path: Path) -> None:
    match = column_match_from_json({"description": "Thing", "quantity": "Qty"}, "MATCH.json")
    (fault,) = read(tmp_path, PLAIN, match).faults
    assert fault.wrong == 'there is no column "Thing" for the description'
    assert "Description" in fault.expected


def test_duplicate_headings_are_told_apart_by_letter(tmp_path: Path) -> None:
    reading = read(tmp_path, "Item,Qty,Qty\nStand,8,7\n")
    assert reading.columns["quantity"] == "B"
    assert reading.lines()[0].quantity == 8


# --- form and size ----------------------------------------------------------------------


def test_the_json_of_the_command_line(tmp_path: Path) -> None:
    data = json.loads(json.dumps(kit_list_as_json(read(tmp_path, PLAIN + "3,x,Flag,,,,\n"))))
    assert data["columns"]["quantity"] == "Qty"
    assert data["lines"][1] | {"line": "2"} == data["lines"][1]
    assert data["lines"][1]["serials"] == ["LP-0417"]
    assert data["lines"][1]["replacement_cost"] == "3150.00"
    assert data["lines"][2]["quantity"] is None
    assert data["faults"] == [
        {
            "place": "row 4",
            "says": 'the quantity "x" is no number. Expected: a whole number of pieces.',
        }
    ]


def test_twenty_thousand_rows_are_read_in_order(tmp_path: Path) -> None:
    rows = "".join(f"{n},Stand {n},{n % 9},SN-{n}\n" for n in range(1, 20_001))
    started = time.process_time()
    reading = read(tmp_path, "Line,Description,Qty,Serial\n" + rows)
    lines = reading.lines()
    assert len(lines) == 20_000
    assert lines[-1].description == "Stand 20000"
    assert time.process_time() - started < 60  # a quadratic reading would take many minutes


def test_hostile_text_prints_as_itself(tmp_path: Path) -> None:
    nasty = ["=1+1", "@SUM(A1)", "<b>x</b>", "{0.__class__}", "'; DROP TABLE kit; --", "\u202etxt"]
    rows = "".join(f'{n};"{text}";1\n' for n, text in enumerate(nasty, 1))
    reading = read(tmp_path, "Line;Item;Qty\n" + rows)
    assert [line.description for line in reading.lines()] == nasty


# --- lists in PDFs ----------------------------------------------------------------------


@pytest.mark.parametrize("ruled", [True, False])
def test_a_list_in_a_pdf_quote(tmp_path: Path, ruled: bool) -> None:
    style = getSampleStyleSheet()["BodyText"]
    rows: list[list[Any]] = [["Qty", "Equipment", "Serial No.", "Day rate", "Value"]]
    for number in range(60):
        text = f"Stand {number} with head, arm and a long name that needs a second line"
        rows.append(
            [str(number % 9 + 1), Paragraph(text, style), f"S-{number}", "6.00", "1,245.00"]
        )
    rules = [("GRID", (0, 0), (-1, -1), 0.5, colors.black)] if ruled else []
    table = LaidOut(
        rows,
        [40, 200, 80, 60, 60],
        repeatRows=1,
        style=[*rules, ("VALIGN", (0, 0), (-1, -1), "TOP")],
    )
    path = tmp_path / "quote.pdf"
    SimpleDocTemplate(str(path)).build(
        [
            Paragraph("Quote 204 of Example Rental House (invented)", style),
            table,
            Paragraph("Valid for ten days. All equipment subject to prior rental.", style),
        ]
    )
    reading = read_kit_list(path)
    lines = reading.lines()
    assert [line.quantity for line in lines] == [number % 9 + 1 for number in range(60)]
    assert lines[42].description == (
        "Stand 42 with head, arm and a long name that needs a second line"
    )
    assert lines[42].serials == ("S-42",)
    assert lines[42].replacement_cost == 1245
