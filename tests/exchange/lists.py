"""Lists written for the tests: the same invented kit in the forms that offices send."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from pathlib import Path
from xml.sax.saxutils import escape

import openpyxl

Value = str | int | float | None


def write_xlsx(path: Path, sheets: dict[str, Sequence[Sequence[object]]]) -> Path:
    workbook = openpyxl.Workbook()
    workbook.remove(workbook.active)
    for name, rows in sheets.items():
        sheet = workbook.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    workbook.save(path)
    return path


def write_ods(path: Path, sheets: dict[str, Sequence[Sequence[Value]]]) -> Path:
    """Write an OpenDocument spreadsheet (OASIS ODF 1.3) with text and float cells."""
    tables = ""
    for name, rows in sheets.items():
        tables += f'<table:table table:name="{escape(name)}">'
        for row in rows:
            tables += "<table:table-row>"
            for value in row:
                if value is None:
                    tables += "<table:table-cell/>"
                elif isinstance(value, str):
                    tables += (
                        '<table:table-cell office:value-type="string">'
                        f"<text:p>{escape(value)}</text:p></table:table-cell>"
                    )
                else:
                    tables += (
                        f'<table:table-cell office:value-type="float" office:value="{value}">'
                        f"<text:p>{value}</text:p></table:table-cell>"
                    )
            tables += "</table:table-row>"
        tables += "</table:table>"
    path.write_bytes(ods_bytes(tables))
    return path


def ods_bytes(tables: str) -> bytes:
    namespace = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        '<?xml version="1.0" encoding="UTF-8"?>'
        f'<office:document-content xmlns:office="{namespace}:office:1.0" '
        f'xmlns:table="{namespace}:table:1.0" xmlns:text="{namespace}:text:1.0" '
        'office:version="1.3"><office:body><office:spreadsheet>'
        f"{tables}</office:spreadsheet></office:body></office:document-content>"
    )
    mimetype = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        '<?xml version="1.0" encoding="UTF-8"?>'
        f'<manifest:manifest xmlns:manifest="{namespace}:manifest:1.0">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{mimetype}"/>'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
        "</manifest:manifest>"
    )
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("mimetype", mimetype)
        archive.writestr("content.xml", content)
        archive.writestr("META-INF/manifest.xml", manifest)
    return held.getvalue()
