"""Writers that put a drawn sheet on paper: several independent makers of PDFs."""

from __future__ import annotations

import html
import random
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from fpdf import FPDF
from fpdf.fonts import FontFace
from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table

from tests.exchange.layouts.truth import Sheet, SheetRow
from tests.exchange.layouts.web_papers import browser, html_printer, office, text_document
from tests.exchange.table_rules import table_rules

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
    if sheet.summary:
        look = [("ALIGN", (1, 0), (-1, -1), "RIGHT"), ("FONT", (0, 0), (-1, -1), font, size)]
        parts += [Spacer(1, 8), Table(sheet.summary, [70] * 4, hAlign="LEFT", style=look)]
    parts += [Paragraph(html.escape(one), style) for one in sheet.after]

    def footer(canvas: Canvas, document: Any) -> None:
        if sheet.footer:
            canvas.setFont(font, 7)
            for number, text in enumerate(_footer(sheet, document.page)):
                canvas.drawString(60, 25 - 8 * number, text)

    page = lot.choice((A4, LETTER))
    SimpleDocTemplate(
        str(path), pagesize=page, leftMargin=40, rightMargin=40, topMargin=40, bottomMargin=45
    ).build(parts, onFirstPage=footer, onLaterPages=footer)


def _footer(sheet: Sheet, page: int) -> list[str]:
    return sheet.footer.format(page, 2).split("\n")


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
    return [*style, *table_rules(rules)]


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

    def foot() -> None:
        for number, text in enumerate(_footer(sheet, canvas.getPageNumber())):
            canvas.drawString(left, 25 - 9 * number, text)

    def turn(height: float) -> float:
        if height > 50:
            return height
        foot()
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
    for texts_of_tax in sheet.summary:
        y = turn(y - step)
        for column, text in enumerate(texts_of_tax):
            canvas.drawRightString(left + 70 * (column + 1), y, text)
    y -= step
    for text in sheet.after:
        y = turn(y)
        canvas.drawString(left, y, text)
        y -= step
    foot()
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


class _Footed(FPDF):
    """A document with the foot of the sheet, where that has two lines."""

    def __init__(self, sheet: Sheet, page: str) -> None:
        super().__init__(format=page)
        self.sheet = sheet

    def footer(self) -> None:
        """Set the foot of a page."""
        if "\n" in self.sheet.footer:
            self.set_y(-16)
            for text in _footer(self.sheet, self.page_no()):
                self.cell(0, 4, text.replace("·", "-"), new_x="LMARGIN", new_y="NEXT")


def second_writer(sheet: Sheet, path: Path, lot: random.Random) -> None:
    """Tables of fpdf2."""
    pdf = _Footed(sheet, lot.choice(("A4", "letter")))
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
    for line in sheet.summary:
        for text in line[:-1]:
            pdf.cell(30, 4.5, text, align="R")
        pdf.cell(30, 4.5, line[-1], align="R", new_x="LMARGIN", new_y="NEXT")
    for text in sheet.after:
        pdf.multi_cell(0, 4, text, new_x="LMARGIN", new_y="NEXT")
    pdf.output(str(path))


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
