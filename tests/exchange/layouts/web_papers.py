"""Writers that print a drawn sheet as HTML: a text document, a browser, an office suite."""

from __future__ import annotations

import html
import random
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageSize, QPdfWriter, QTextDocument

from tests.exchange.layouts.truth import Sheet


def as_html(sheet: Sheet, lot: random.Random, *, with_css: bool = True) -> str:
    """Return the sheet as HTML, for writers that print it."""
    rules = lot.choice(("none", "none", "grid", "below", "zebra", "header"))
    css = {
        "none": "",
        "grid": "table.t td,table.t th{border:1px solid #000}",
        "below": "table.t td{border-bottom:1px solid #999}",
        "zebra": "table.t tr:nth-child(even) td{background:#eee}",
        "header": "table.t th{border-bottom:2px solid #000}",
    }[rules]
    valign = lot.choice(("top", "middle", "bottom"))
    align = ["right" if sheet.is_right(column) else "left" for column in range(len(sheet.fields))]
    head_tag = lot.choice(("thead", "tbody"))
    size = lot.choice((8, 9))

    def td(tag: str, column: int, text: str) -> str:
        nowrap = "" if sheet.fields[column] in {"description", "kind"} else " nowrap"
        return (
            f"<{tag} align='{align[column]}' valign='{valign}'{nowrap}>{html.escape(text)}</{tag}>"
        )

    rows = []
    for row in sheet.rows:
        if row.kind == "section":
            text = html.escape(next(one for one in row.cells if one))
            rows.append(f"<tr><td colspan='{len(row.cells)}'><b>{text}</b></td></tr>")
        else:
            rows.append(
                "<tr>" + "".join(td("td", c, one) for c, one in enumerate(row.cells)) + "</tr>"
            )
    headings = "".join(
        f"<th align='{align[c]}'>{html.escape(one)}</th>" for c, one in enumerate(sheet.headings)
    )
    before = "".join(
        "<tr>" + "".join(f"<td width='50%'>{html.escape(one)}</td>" for one in line) + "</tr>"
        for line in sheet.before
    )
    sums = "".join(
        f"<tr><td align='right'>{html.escape(label)}</td>"
        f"<td align='right'>{html.escape(figure)}</td></tr>"
        for label, figure in sheet.sums
    )
    summary = "".join(
        "<tr>" + "".join(f"<td align='right'>{html.escape(one)}</td>" for one in line) + "</tr>"
        for line in sheet.summary
    )
    if summary:
        summary = f"<table>{summary}</table>"
    after = "".join(f"<p>{html.escape(one)}</p>" for one in sheet.after)
    family = lot.choice(("serif", "sans-serif", "Liberation Sans", "Liberation Serif"))
    style = (
        f"body{{font:{size}pt {family}}}table.t{{border-collapse:collapse;width:100%}}"
        f"td,th{{padding:2px 4px}}{css}"
    )
    padding = 3 if with_css else lot.choice((2, 4))
    border = 1 if rules == "grid" and not with_css else 0
    return (
        f"<html><head><meta charset='utf-8'><style>{style if with_css else ''}</style></head><body>"
        f"<table width='100%'>{before}</table><br>"
        f"<table class='t' cellpadding='{padding}' cellspacing='0' border='{border}' width='100%'>"
        f"<{head_tag}><tr>{headings}</tr></{head_tag}><tbody>{''.join(rows)}</tbody></table>"
        f"<br><table align='right'>{sums}</table><br clear='all'>{summary}{after}</body></html>"
    )


def text_document(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """A text document printed by Qt."""
    document = QTextDocument()
    font = document.defaultFont()
    font.setPointSizeF(8)
    document.setDefaultFont(font)
    document.setHtml(as_html(sheet, lot, with_css=False))
    writer = QPdfWriter(str(path))
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setResolution(96)
    writer.setPageMargins(QMarginsF(12, 12, 12, 12))
    document.setPageSize(QSizeF(writer.width(), writer.height()))
    document.print_(writer)


def _run(command: Sequence[str]) -> None:
    subprocess.run(command, check=True, capture_output=True, timeout=120)


def browser(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """A page printed by a web browser."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "invoice.html"
        page.write_text(as_html(sheet, lot), encoding="utf-8")
        _run([
            "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
            f"--user-data-dir={folder}/profile", f"--print-to-pdf={path}", page.as_uri(),
        ])  # fmt: skip


def html_printer(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """A page printed by an HTML printer that is no browser."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "invoice.html"
        page.write_text(as_html(sheet, lot), encoding="utf-8")
        _run(["weasyprint", str(page), str(path)])


def office(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """A document of an office suite, exported."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / f"{path.stem}.html"
        page.write_text(as_html(sheet, lot, with_css=False), encoding="utf-8")
        _run([
            "soffice", f"-env:UserInstallation=file://{Path.home()}/.layouts-office", "--headless",
            "--convert-to", "pdf:writer_web_pdf_Export", "--outdir", str(path.parent), str(page),
        ])  # fmt: skip
