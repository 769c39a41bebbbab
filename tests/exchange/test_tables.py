"""Spreadsheets that are damaged, locked or meant to fill the memory are refused by name."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from ldapp.errors import InputError
from ldapp.exchange.spreadsheets import exact_text
from ldapp.exchange.tables import read_tables, table_from_text
from tests.exchange.lists import ods_bytes, write_xlsx


def refused(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_tables(path)
    (fault,) = caught.value.faults
    assert fault.file == path.name
    return fault.wrong


def with_sheet(path: Path, cells: str) -> Path:
    """Replace the cells of a spreadsheet's first sheet."""
    write_xlsx(path, {"One": [["Qty"]]})
    held = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                text = data.decode()
                start, end = text.index("<sheetData>"), text.index("</sheetData>")
                data = (text[: start + 11] + cells + text[end:]).encode()
            new.writestr(name, data)
    path.write_bytes(held.getvalue())
    return path


def test_a_cell_at_the_far_end_of_a_sheet_is_refused_before_it_fills_the_memory(
    tmp_path: Path,
) -> None:
    far = '<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row>'
    assert "17179869184 cells" in refused(with_sheet(tmp_path / "far.xlsx", far))


@pytest.mark.parametrize(
    "cells",
    [
        '<row r="1"><c r="A48860233475" t="inlineStr"><is><t>x</t></is></c></row>',
        '<row r="48860233475"><c t="inlineStr"><is><t>x</t></is></c></row>',
        f'<row r="1"><c s="{"0" * 300}" t="inlineStr" r="ZZZZZZZ1"><is><t>x</t></is></c></row>',
        "<row r='99999999'><c t='inlineStr' r = 'A99999999'><is><t>x</t></is></c></row>",
    ],
)
def test_a_cell_beyond_any_sheet_never_reaches_the_reader(tmp_path: Path, cells: str) -> None:
    # The reader asks for the memory of every cell up to it, and ends the program without.
    assert "lies so far outside the list" in refused(with_sheet(tmp_path / "far.xlsx", cells))


def test_a_part_that_declares_entities_is_not_read(tmp_path: Path) -> None:
    declared = '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>'
    path = tmp_path / "entities.ods"
    path.write_bytes(ods_bytes('<table:table table:name="x"/>'))
    held = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(held, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            new.writestr(name, declared.encode() + data if name == "content.xml" else data)
    path.write_bytes(held.getvalue())
    assert "declares entities" in refused(path)


def test_a_repeat_of_a_billion_cells_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "far.ods"
    path.write_bytes(
        ods_bytes(
            '<table:table table:name="x"><table:table-row table:number-rows-repeated="1000000">'
            '<table:table-cell table:number-columns-repeated="1000" office:value-type="string">'
            "<text:p>x</text:p></table:table-cell></table:table-row></table:table>"
        )
    )
    assert "1000000000 cells" in refused(path)


def test_empty_repeats_to_the_end_of_a_sheet_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "usual.ods"
    path.write_bytes(
        ods_bytes(
            '<table:table table:name="x"><table:table-row><table:table-cell '
            'office:value-type="string"><text:p>Qty</text:p></table:table-cell></table:table-row>'
            '<table:table-row table:number-rows-repeated="1048575"><table:table-cell '
            'table:number-columns-repeated="16384"/></table:table-row></table:table>'
        )
    )
    (table,) = read_tables(path).tables
    assert table.rows[0].texts()[0] == "Qty"


def test_a_spreadsheet_that_unpacks_to_gigabytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as file,
    ):
        for _ in range(300):
            file.write(b" " * 1024 * 1024)
    assert path.stat().st_size < 1_000_000
    assert "too large when unpacked" in refused(path)


def test_an_empty_spreadsheet_and_another_archive(tmp_path: Path) -> None:
    assert refused(write_xlsx(tmp_path / "empty.xlsx", {"One": []})) == "the spreadsheet is empty"
    path = tmp_path / "other.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.txt", "hello")
    assert refused(path) == "this is no spreadsheet, or it is damaged"


def test_a_damaged_spreadsheet_is_refused_wherever_it_is_cut(tmp_path: Path) -> None:
    whole = write_xlsx(tmp_path / "whole.xlsx", {"One": [["Qty", "Item"], [1, "x"]]}).read_bytes()
    path = tmp_path / "cut.xlsx"
    for length in range(4, len(whole) - 1, len(whole) // 40):
        path.write_bytes(whole[:length])
        assert refused(path) == "this is no spreadsheet, or it is damaged"


def test_empty_clipboard() -> None:
    with pytest.raises(InputError, match="clipboard: the file is empty"):
        table_from_text(" \n")


def test_numbers_of_a_spreadsheet_are_exact_text() -> None:
    assert exact_text(12.35 * 3) == "37.05"
    assert exact_text(1250.0) == "1250"
    assert exact_text(0.00001) == "0.00001"
    assert exact_text(1e20) == "100000000000000000000"
    assert exact_text(12345678901234.0) == "12345678901234"
