"""Writers that put a drawn sheet on paper: several independent makers of PDFs."""

from __future__ import annotations

import html
import random
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from fpdf import FPDF
from fpdf.fonts import FontFace
from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageSize, QPdfWriter, QTextDocument
from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table

from tests.exchange.layouts.drawn import Sheet, SheetRow

FONTS = Path(__file__).parents[3] / "resources" / "fonts"
_LATIN = set(range(32, 256)) | {ord(one) for one in "€’–—"}


def _is_latin(sheet: Sheet) -> bool:
    texts = [text for row in sheet.rows for text in row.cells]
    texts += [text for pair in sheet.sums for text in pair]
    return all(ord(one) in _LATIN for text in texts for one in text)


def _font(sheet: Sheet, lot: random.Random, choices: Sequence[str]) -> str:
    """Return a built-in font where it has every sign of the sheet, else an embedded one."""
    if _is_latin(sheet) and lot.random() < 0.8:
        return lot.choice(choices)
    for name, file in (("Noto", "NotoSans-Regular.ttf"), ("Noto-Bold", "NotoSans-Bold.ttf")):
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, FONTS / file))
    return "Noto"


def _bold(font: str) -> str:
    return {"Times-Roman": "Times-Bold"}.get(font, f"{font}-Bold")


# --- flowing tables ---------------------------------------------------------------------


def flowing(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """A table that flows over the pages, with rules, shades and alignment by lot."""
    font = _font(sheet, lot, ("Helvetica", "Times-Roman", "Courier"))
    size = lot.choice((7.5, 8, 9)) if font != "Courier" else 6.5
    style = ParagraphStyle(
        "cell", fontName=font, fontSize=size, leading=size * lot.choice((1.1, 1.2, 1.35))
    )
    bold = ParagraphStyle("bold", parent=style, fontName=_bold(font))
    place = sheet.fields.index("description")
    wrapped_headings = lot.random() < 0.4

    def cells(row: SheetRow) -> list[Any]:
        if row.kind == "section":
            return [
                Paragraph(html.escape(one), bold) if index == place else one
                for index, one in enumerate(row.cells)
            ]
        return [
            Paragraph(html.escape(one), style)
            if one and sheet.fields[index] in {"description", "kind"} and row.kind != "sum"
            else one
            for index, one in enumerate(row.cells)
        ]

    headings = [
        one.replace(" ", "\n", 1) if wrapped_headings and width < 75 else one
        for one, width in zip(sheet.headings, sheet.widths, strict=True)
    ]
    spans: list[Any] = []
    span = lot.random() < 0.4
    for number, row in enumerate(sheet.rows, 1):
        if row.kind == "section" and span:
            row.cells[0] = row.cells[place]
            if place:
                row.cells[place] = ""
            spans.append(("SPAN", (0, number), (-1, number)))
    table_rows = []
    for row in sheet.rows:
        one = cells(row)
        if row.kind == "section" and span:
            one[0] = Paragraph(html.escape(row.cells[0]), bold)
        table_rows.append(one)
    table = Table(
        [headings, *table_rows],
        sheet.widths,
        repeatRows=lot.choice((0, 1, 1)),
        style=[*_rules(sheet, lot, size, font), *spans],
    )
    parts: list[Any] = [_above(sheet, style), Spacer(1, 10), table, Spacer(1, 6)]
    if sheet.sums:
        parts.append(
            Table(
                [list(pair) for pair in sheet.sums],
                [150, 90],
                hAlign=lot.choice(("RIGHT", "RIGHT", "LEFT")),
                style=[
                    ("ALIGN", (1, 0), (1, -1), "RIGHT"),
                    ("FONT", (0, 0), (-1, -1), font, size),
                    *([("GRID", (0, 0), (-1, -1), 0.4, colors.grey)] if lot.random() < 0.3 else []),
                ],
            )
        )
    parts += [Paragraph(html.escape(one), style) for one in sheet.after]

    def footer(canvas: Canvas, document: Any) -> None:
        if sheet.footer:
            canvas.setFont(font, 7)
            canvas.drawString(60, 25, sheet.footer.format(document.page, 2))

    page = lot.choice((A4, LETTER))
    SimpleDocTemplate(
        str(path), pagesize=page, leftMargin=40, rightMargin=40, topMargin=40, bottomMargin=45
    ).build(parts, onFirstPage=footer, onLaterPages=footer)


def _above(sheet: Sheet, style: ParagraphStyle) -> Table:
    rows = [
        [Paragraph(html.escape(one), style) for one in (line if len(line) > 1 else [line[0], ""])]
        for line in sheet.before
    ]
    return Table(rows, [280, 230], style=[("TOPPADDING", (0, 0), (-1, -1), 0)], hAlign="LEFT")


def _rules(sheet: Sheet, lot: random.Random, size: float, font: str) -> list[Any]:
    pad = lot.choice((1, 2, 3, 5))
    side = lot.choice(("RIGHT", "RIGHT", "RIGHT", "LEFT", "CENTER"))
    first = lot.choice((0, 1))
    style: list[Any] = [
        ("FONT", (0, 0), (-1, -1), font, size),
        ("FONT", (0, 0), (-1, 0), _bold(font), size),
        ("VALIGN", (0, 0), (-1, -1), lot.choice(("TOP", "TOP", "MIDDLE", "BOTTOM"))),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
    ]
    for column in range(len(sheet.fields)):
        if sheet.is_right(column):
            style.append(("ALIGN", (column, first), (column, -1), side))
    rules = lot.choice(("none", "none", "grid", "below", "header", "shaded", "uprights", "box"))
    if rules == "grid":
        style.append(("GRID", (0, 0), (-1, -1), 0.4, colors.black))
    elif rules == "below":
        style.append(("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.grey))
    elif rules == "header":
        style.append(("LINEBELOW", (0, 0), (-1, 0), 0.8, colors.black))
    elif rules == "box":
        style.append(("BOX", (0, 0), (-1, -1), 0.8, colors.black))
        style.append(("BACKGROUND", (0, 0), (-1, 0), colors.lightgrey))
    elif rules == "shaded":
        style.append(("ROWBACKGROUNDS", (0, 1), (-1, -1), [colors.whitesmoke, colors.white]))
    elif rules == "uprights":
        style.append(("BOX", (0, 0), (-1, -1), 0.5, colors.black))
        style.append(("LINEAFTER", (0, 0), (-2, -1), 0.5, colors.black))
        style.append(("LINEBELOW", (0, 0), (-1, 0), 0.5, colors.black))
    return style


# --- drawn line by line -----------------------------------------------------------------


def typed(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """Text set line by line as an old program does; a row may break over two pages."""
    font = _font(sheet, lot, ("Courier", "Helvetica"))
    size = 7.0 if font == "Courier" else 8.0
    step = size * lot.choice((1.2, 1.4))
    page = lot.choice((A4, LETTER))
    canvas = Canvas(str(path), pagesize=page)
    left = 40.0
    starts = [left + sum(sheet.widths[:index]) for index in range(len(sheet.widths))]
    at_last = lot.random() < 0.25
    apart = lot.choice((0.0, 0.0, step * 0.5))
    repeat = lot.random() < 0.6
    keep = lot.random() < 0.7
    y = page[1] - 40
    total = [""]

    def put(column: int, text: str, height: float) -> None:
        if sheet.is_right(column):
            canvas.drawRightString(starts[column] + sheet.widths[column] - 6, height, text)
        else:
            canvas.drawString(starts[column], height, text)

    def headings(height: float) -> float:
        canvas.setFont(font if lot.random() < 0.5 else _bold(font), size)
        for column, text in enumerate(sheet.headings):
            put(column, text, height)
        canvas.setFont(font, size)
        return height - step * 1.3

    def turn(height: float) -> float:
        if height > 50:
            return height
        canvas.drawString(left, 25, sheet.footer.format(canvas.getPageNumber(), 2))
        canvas.showPage()
        canvas.setFont(font, size)
        height = page[1] - 50
        return headings(height) if repeat else height

    canvas.setFont(font, size)
    for line in sheet.before:
        for text, x in zip(line, (left, left + 300), strict=False):
            canvas.drawString(x, y, text)
        y -= step
    y = headings(y - step)
    amount = sheet.fields.index("amount")
    for row in sheet.rows:
        y = turn(y)
        texts = {
            column: _folded(text, sheet.widths[column] - 6, font, size)
            if sheet.fields[column] in {"description", "kind"} and row.kind != "sum"
            else [text]
            for column, text in enumerate(row.cells)
            if text
        }
        tall = max(map(len, texts.values()))
        if keep and y - tall * step < 45:
            y = turn(0)
        figures_at = tall - 1 if at_last else 0
        for number in range(tall):
            y = turn(y)
            for column, folded in texts.items():
                if len(folded) > 1 or sheet.fields[column] in {"description", "kind"}:
                    if number < len(folded):
                        put(column, folded[number], y)
                elif number == figures_at:
                    put(column, folded[0], y)
            y -= step
        y -= apart
        total[0] = row.cells[amount]
    y -= step
    for label, figure in sheet.sums:
        y = turn(y)
        canvas.drawRightString(left + sum(sheet.widths) - 100, y, label)
        canvas.drawRightString(left + sum(sheet.widths) - 6, y, figure)
        y -= step
    y -= step
    for text in sheet.after:
        y = turn(y)
        canvas.drawString(left, y, text)
        y -= step
    canvas.drawString(left, 25, sheet.footer.format(canvas.getPageNumber(), 2))
    canvas.save()


def _folded(text: str, width: float, font: str, size: float) -> list[str]:
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and pdfmetrics.stringWidth(longer, font, size) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


# --- a second writer --------------------------------------------------------------------


def second_writer(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """Tables of fpdf2."""
    pdf = FPDF(format=lot.choice(("A4", "letter")))
    pdf.set_margins(12, 12)
    if (
        _is_latin(sheet)
        and "€" not in str(sheet)
        and "’" not in str(sheet)
        and "–" not in str(sheet)
    ):
        font = lot.choice(("Helvetica", "Times"))
    else:
        font = "Noto"
        pdf.add_font("Noto", "", FONTS / "NotoSans-Regular.ttf")
        pdf.add_font("Noto", "B", FONTS / "NotoSans-Bold.ttf")
    pdf.add_page()
    pdf.set_font(font, size=8)
    for line in sheet.before:
        for text in line[:-1]:
            pdf.cell(100, 4.5, text)
        pdf.cell(80, 4.5, line[-1], new_x="LMARGIN", new_y="NEXT")
    pdf.ln(4)
    with pdf.table(
        col_widths=tuple(sheet.widths),
        text_align=tuple(
            "RIGHT" if sheet.is_right(column) else "LEFT" for column in range(len(sheet.fields))
        ),
        borders_layout=lot.choice(
            (
                "ALL",
                "NONE",
                "HORIZONTAL_LINES",
                "MINIMAL",
                "SINGLE_TOP_LINE",
                "INTERNAL",
                "NO_HORIZONTAL_LINES",
            )
        ),
        cell_fill_color=235,
        cell_fill_mode=lot.choice(("NONE", "ROWS")),
        headings_style=FontFace(emphasis="BOLD"),
        line_height=lot.choice((4, 5, 6)),
        v_align=lot.choice(("MIDDLE", "TOP", "BOTTOM")),
        repeat_headings=lot.choice((0, 1)),
    ) as table:
        table.row(sheet.headings)
        for row in sheet.rows:
            if row.kind == "section":
                spanned = table.row()
                spanned.cell(next(one for one in row.cells if one), colspan=len(row.cells))
            else:
                table.row(row.cells)
    pdf.ln(3)
    for label, figure in sheet.sums:
        pdf.cell(150, 5, label, align="R")
        pdf.cell(33, 5, figure, align="R", new_x="LMARGIN", new_y="NEXT")
    pdf.ln(4)
    for text in sheet.after:
        pdf.multi_cell(0, 4, text, new_x="LMARGIN", new_y="NEXT")
    pdf.output(str(path))


# --- from HTML --------------------------------------------------------------------------


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
        f"<br><table align='right'>{sums}</table><br clear='all'>{after}</body></html>"
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


Writer = Callable[[Sheet, Path, random.Random], None]

WRITERS: dict[str, Writer] = {
    "flowing": flowing,
    "typed": typed,
    "second_writer": second_writer,
    "text_document": text_document,
}
OTHER_WRITERS: dict[str, tuple[str, Writer]] = {
    "browser": ("chromium", browser),
    "html_printer": ("weasyprint", html_printer),
    "office": ("soffice", office),
}


def found_writers() -> dict[str, Writer]:
    """Return the writers of this machine: those of the tests, and programs that are found."""
    found = dict(WRITERS)
    for name, (program, writer) in OTHER_WRITERS.items():
        if shutil.which(program):
            found[name] = writer
    return found
