"""Tables in spreadsheets (XLSX, XLS, ODS), read by python-calamine.

Before the reader sees a file its size unpacked and the reach of its cells are checked,
because a small file can state a sheet of billions of cells.
"""

from __future__ import annotations

import datetime as dt
import re
import zipfile
import zlib
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.parsers.expat import ExpatError

import python_calamine

from ldapp.exchange.spreadsheet_reach import DeclaresEntitiesError, cells_spanned
from ldapp.exchange.table import (
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    Row,
    Table,
    TableFile,
    refusal,
    row_place,
)
from ldapp.language import said

LARGEST_UNPACKED = 256 * 1024 * 1024
"""Bytes of all parts of a spreadsheet together."""
MOST_CELLS = 4_000_000
"""Cells of the rectangle that a sheet's content spans."""


def read_spreadsheet(path: Path) -> TableFile:
    """Read every sheet of the spreadsheet at ``path``.

    Raises:
        InputError: it is damaged, locked by a password, no spreadsheet, or too large.
    """
    file = path.name
    if zipfile.is_zipfile(path):
        _refuse_bombs(path)
    try:
        workbook = python_calamine.CalamineWorkbook.from_path(str(path))
    except python_calamine.PasswordError:
        raise refusal(
            file, said("the spreadsheet is locked by a password"), said("one without")
        ) from None
    except (python_calamine.CalamineError, OSError, ValueError):
        raise refusal(file, said("this is no spreadsheet, or it is damaged")) from None
    names = workbook.sheet_names
    tables = []
    for name in names:
        try:
            sheet = workbook.get_sheet_by_name(name)
            tables.append(_table(sheet, name if len(names) > 1 else "", file))
        except (python_calamine.CalamineError, ValueError):
            raise refusal(
                file, said("the sheet cannot be read"), place=said("sheet {name}", name=name)
            ) from None
    if not any(table.rows for table in tables):
        raise refusal(file, said("the spreadsheet is empty"))
    return TableFile(
        name=file, kind="spreadsheet", tables=tuple(tables), formats=_currency_formats(path)
    )


_FORMAT_CODE = re.compile(rb'formatCode="([^"]{1,200})"')
_OF_DOCUMENT = re.compile(rb"<number:currency-symbol[^>]{0,300}>([^<]{1,8})<")
_NAMED = re.compile(r"\[\$([^\]-]{1,5})(?:-[0-9A-F]+)?\]|\"([^\"]{1,5})\"|([$€£¥])")
_LARGEST_STYLES = 4 * 1024 * 1024


def _currency_formats(path: Path) -> tuple[str, ...]:
    """Return the signs and codes of currencies that the formats of numbers name."""
    if not zipfile.is_zipfile(path):
        return ()
    with zipfile.ZipFile(path) as archive:
        names = set(archive.namelist())
        part = next((one for one in ("xl/styles.xml", "content.xml") if one in names), None)
        if part is None:
            return ()
        with archive.open(part) as file:
            data = file.read(_LARGEST_STYLES)
    if part == "content.xml":
        return tuple(sign.decode("utf-8", "replace") for sign in _OF_DOCUMENT.findall(data))
    codes = (code.decode("utf-8", "replace") for code in _FORMAT_CODE.findall(data))
    return tuple(
        next(filter(None, found.groups())).strip()
        for code in codes
        for found in _NAMED.finditer(code.replace("&quot;", '"'))
    )


def _table(sheet: Any, name: str, file: str) -> Table:
    rows = []
    for number, values in enumerate(sheet.to_python(skip_empty_area=False), 1):
        if number > MOST_ROWS:
            if any(value != "" for value in values):
                raise refusal(
                    file,
                    said("there are more than {most_rows} rows", most_rows=MOST_ROWS),
                    said("at most {most_rows} rows", most_rows=MOST_ROWS),
                )
            continue
        cells = tuple(_cell(value) for value in values[:MOST_COLUMNS])
        rows.append(Row(number=number, place=row_place(name, number), cells=cells))
    return Table(name=name, rows=tuple(rows))


def _cell(value: Any) -> Cell:
    if isinstance(value, str):
        return Cell(value[:LONGEST_CELL])
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        return Cell(exact_text(value), "number")
    if isinstance(value, dt.datetime):
        if value.time() == dt.time():
            return Cell(value.date().isoformat(), "date")
        return Cell(value.isoformat(), "date")
    if isinstance(value, dt.date):
        return Cell(value.isoformat(), "date")
    return Cell(str(value))


def exact_text(value: float) -> str:
    """Return a number of a spreadsheet in digits: the 15 that a spreadsheet shows.

    Binary rests of its own arithmetic (37.050000000000004) do not reach an amount.
    """
    if isinstance(value, int) or (value.is_integer() and abs(value) < 2**53):
        return str(int(value))
    return f"{Decimal(f'{value:.15g}'):f}"


def _refuse_bombs(path: Path) -> None:
    file = path.name
    try:
        with zipfile.ZipFile(path) as archive:
            parts = archive.infolist()
            if sum(part.file_size for part in parts) > LARGEST_UNPACKED:
                raise refusal(file, said("the spreadsheet is too large when unpacked"))
            for part in parts:
                if re.search(r"/(work)?sheets/[^/]*\.bin$", part.filename):
                    # Its cells can be as far away as they like, and are not XML.
                    raise refusal(
                        file, said("this is a binary workbook"), said("XLSX, XLS, ODS or CSV")
                    )
                if not part.filename.endswith((".xml", ".rels")):
                    continue
                with archive.open(part) as opened:
                    reach = cells_spanned(opened)
                if reach > MOST_CELLS:
                    raise refusal(
                        file,
                        said(
                            "a cell lies so far outside the list that the sheet spans "
                            "{reach} cells",
                            reach=reach,
                        ),
                        said(
                            "at most {most_cells} cells; delete the stray cells",
                            most_cells=MOST_CELLS,
                        ),
                    )
    except DeclaresEntitiesError:
        raise refusal(
            file, said("a part of the spreadsheet declares entities, which no spreadsheet needs")
        ) from None
    except (
        zipfile.BadZipFile, zlib.error, EOFError, OSError, ExpatError, UnicodeDecodeError,
        NotImplementedError, RuntimeError,
    ):  # fmt: skip
        raise refusal(file, said("this is no spreadsheet, or it is damaged")) from None
