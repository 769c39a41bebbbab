"""Kit lists as XLSX and CSV, the same bytes every time."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
import zipfile
from collections.abc import Sequence

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font, PatternFill

FIXED = dt.datetime(2026, 1, 1, 0, 0, 0)  # noqa: DTZ001 - a spreadsheet's own property has no zone
Cell = str | int | float | dt.date | None


def xlsx(
    title: str,
    above: Sequence[str],
    head: Sequence[str],
    rows: Sequence[Sequence[Cell]],
    widths: Sequence[int],
) -> bytes:
    book = Workbook()
    page = book.active
    page.title = title
    for line in above:
        page.append([line])
    page.cell(1, 1).font = Font(bold=True, size=13)
    page.append([])
    page.append(list(head))
    top = page.max_row
    for cell in page[top]:
        cell.font = Font(bold=True, color="FFFFFF")
        cell.fill = PatternFill("solid", fgColor="2B3A4E")
        cell.alignment = Alignment(vertical="center", wrap_text=True)
    for row in rows:
        page.append(list(row))
    for k, width in enumerate(widths):
        page.column_dimensions[chr(65 + k)].width = width
        name = head[k].lower()
        for cells in page.iter_rows(min_row=top + 1, min_col=k + 1, max_col=k + 1):
            if any(word in name for word in ("rate", "value", "cost", "price")):
                cells[0].number_format = "#,##0.00"
            elif isinstance(cells[0].value, dt.date):
                cells[0].number_format = "yyyy-mm-dd"
    page.freeze_panes = page.cell(top + 1, 1)
    book.properties.creator = "demo_claims.draw"
    book.properties.created = book.properties.modified = FIXED
    stream = io.BytesIO()
    book.save(stream)
    return _stable(stream.getvalue())


def _stable(data: bytes) -> bytes:
    """The same archive with fixed times: the writer stamps parts and properties with now."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as new,
    ):
        for name in sorted(old.namelist()):
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(
                    rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*",
                    rb"\g<1>2026-01-01T00:00:00Z",
                    content,
                )
            entry = zipfile.ZipInfo(name, (2026, 1, 1, 0, 0, 0))
            entry.compress_type, entry.create_system, entry.external_attr = (
                zipfile.ZIP_DEFLATED,
                3,
                0o644 << 16,
            )
            new.writestr(entry, content)
    return out.getvalue()


def delimited(head: Sequence[str], rows: Sequence[Sequence[Cell]], separator: str = ",") -> bytes:
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=separator, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow(
            ["" if v is None else v.isoformat() if isinstance(v, dt.date) else v for v in row]
        )
    return stream.getvalue().encode("utf-8")
