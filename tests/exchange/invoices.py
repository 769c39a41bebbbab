"""Invoices drawn for the tests: one set of invented charges in the layouts of ten houses."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

from fpdf import FPDF
from fpdf.fonts import FontFace
from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QPageSize, QPdfWriter, QTextDocument
from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table

CENT = Decimal("0.01")


@dataclasses.dataclass(frozen=True)
class Line:
    """One charge of the invented invoice."""

    description: str
    quantity: str
    price: str
    kind: str

    @property
    def amount(self) -> Decimal:
        return (Decimal(self.quantity) * Decimal(self.price)).quantize(CENT, ROUND_HALF_UP)


_LONG = "Missing: stand 40 in, with head and arm, two of the eight that went out on ticket T-1"
_LONGER = (
    "LED panel 2x1, serial LP-0417: repair of a bent barn door and of the yoke, by the workshop"
)
LINES = (
    Line(_LONG, "2", "245.00", "missing"),
    Line("Missing: cable 50 ft", "3", "62.40", "missing"),
    Line(_LONGER, "1", "1248.35", "repair"),
    Line("Repair labour", "2.5", "95.00", "repair_labour"),
    Line("Loss of use, LED panel, 5 days", "5", "95.00", "loss_of_use"),
    Line("Cleaning of flags", "4", "12.50", "cleaning"),
    Line("Freight", "1", "38.90", "freight"),
    Line("Credit: one sandbag found", "1", "-25.00", "credit"),
    Line("Administration fee", "1", "100.00", "administration"),
)  # fmt: skip
NET = sum((line.amount for line in LINES), Decimal(0))


def rounded(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)


def point(amount: Decimal) -> str:
    return f"{amount:,.2f}"


def comma(amount: Decimal, thousands: str = ".") -> str:
    return f"{amount:,.2f}".replace(",", "T").replace(".", ",").replace("T", thousands)


def french(amount: Decimal) -> str:
    return comma(amount, "\u00a0")


def swiss(amount: Decimal) -> str:
    return point(amount).replace(",", "'")


def pieces(line: Line, write: Callable[[Decimal], str]) -> str:
    quantity = Decimal(line.quantity)
    return str(int(quantity)) if quantity == int(quantity) else write(quantity).rstrip("0")


def _paragraph(text: str) -> Paragraph:
    style = getSampleStyleSheet()["BodyText"]
    style.fontSize, style.leading, style.spaceBefore, style.spaceAfter = 9, 11, 0, 0
    return Paragraph(text, style)


def _platypus(path: Path, parts: Sequence[Any], page: tuple[float, float] = LETTER) -> Path:
    style = getSampleStyleSheet()["BodyText"]
    head = [
        Paragraph("Example Rental House (invented), 1 Invented Street", style),
        Paragraph("Loss and damage invoice no. LD-3071", style),
        Paragraph("Invoice date: March 12, 2026, all amounts in USD", style),
        Spacer(1, 12),
    ]
    SimpleDocTemplate(str(path), pagesize=page).build([*head, *parts])
    return path


def _rows(write: Callable[[Decimal], str], wrap: bool = True) -> list[list[Any]]:
    return [
        [
            str(number),
            _paragraph(line.description) if wrap else line.description,
            pieces(line, write),
            write(Decimal(line.price)),
            write(line.amount),
        ]
        for number, line in enumerate(LINES, 1)
    ]


def _sums(
    write: Callable[[Decimal], str], labels: tuple[str, str, str], rate: str
) -> list[list[str]]:
    tax = rounded(NET * Decimal(rate))
    return [
        ["", "", "", labels[0], write(NET)],
        ["", "", "", labels[1], write(tax)],
        ["", "", "", labels[2], write(NET + tax)],
    ]


WIDTHS = [30, 250, 40, 80, 80]
RIGHT = ("ALIGN", (2, 0), (-1, -1), "RIGHT")
SMALL = ("FONTSIZE", (0, 0), (-1, -1), 9)
ENGLISH = ["No.", "Description", "Qty", "Unit price", "Amount"]


def grid(path: Path) -> Path:
    """A full grid with wrapped descriptions, sums inside the grid."""
    rows = [
        ENGLISH,
        *_rows(point),
        *_sums(point, ("Subtotal", "Sales tax 8.25%", "Total"), "0.0825"),
    ]
    table = Table(
        rows,
        WIDTHS,
        style=[
            RIGHT,
            SMALL,
            ("GRID", (0, 0), (-1, -1), 0.5, colors.black),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ],
    )
    return _platypus(path, [table])


def bare_bottom(path: Path) -> Path:
    """No rules at all; figures stand beside the last line of a wrapped description."""
    rows = [
        ENGLISH,
        *_rows(point),
        *_sums(point, ("Subtotal", "Sales tax 8.25%", "Total"), "0.0825"),
    ]
    return _platypus(path, [Table(rows, WIDTHS, style=[RIGHT, SMALL])])


def bare_middle(path: Path) -> Path:
    """No rules; figures stand at half the height of a wrapped description."""
    rows = [
        ENGLISH,
        *_rows(point),
        *_sums(point, ("Subtotal", "Sales tax 8.25%", "Total"), "0.0825"),
    ]
    return _platypus(
        path, [Table(rows, WIDTHS, style=[RIGHT, SMALL, ("VALIGN", (0, 0), (-1, -1), "MIDDLE")])]
    )


def bare_top(path: Path) -> Path:
    """No rules; figures beside the first line, prices with the sign of the currency."""

    def write(amount: Decimal) -> str:
        return f"${point(amount)}" if amount >= 0 else f"-${point(-amount)}"

    rows = [
        ENGLISH,
        *_rows(write),
        *_sums(write, ("Subtotal", "Sales tax 8.25%", "Total due"), "0.0825"),
    ]
    for row, line in zip(rows[1:], LINES, strict=False):
        row[2] = pieces(line, point)
    return _platypus(
        path, [Table(rows, WIDTHS, style=[RIGHT, SMALL, ("VALIGN", (0, 0), (-1, -1), "TOP")])]
    )


def german_uprights(path: Path) -> Path:
    """Lines down between columns and a box around all rows, German numbers."""
    rows: list[list[Any]] = [
        ["Pos.", "Bezeichnung", "Menge", "Einzelpreis", "Gesamt"],
        *_rows(comma),
    ]
    rows += _sums(comma, ("Nettobetrag", "zzgl. 19 % MwSt.", "Rechnungsbetrag"), "0.19")
    end = len(LINES)
    table = Table(
        rows,
        WIDTHS,
        style=[
            RIGHT,
            SMALL,
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("BOX", (0, 0), (-1, end), 0.7, colors.black),
            ("LINEBELOW", (0, 0), (-1, 0), 0.7, colors.black),
            ("LINEAFTER", (0, 0), (-2, end), 0.4, colors.black),
        ],
    )
    return _platypus(path, [table], A4)


def typed(path: Path) -> Path:
    """Drawn line by line at even spacing: wrapped text, sections and their sub-totals."""
    canvas = Canvas(str(path), pagesize=A4)
    canvas.setFont("Courier", 9)
    canvas.drawString(50, 800, "Beispiel Verleih (erfunden)")
    canvas.drawString(50, 786, "Rechnung Nr. LD-3071   Rechnungsdatum: 12.03.2026   Beträge in EUR")
    canvas.drawString(50, 750, "Pos")
    canvas.drawString(80, 750, "Artikel")
    canvas.drawRightString(370, 750, "Anzahl")
    canvas.drawRightString(450, 750, "Preis")
    canvas.drawRightString(540, 750, "Betrag")
    y = 738.0
    section = Decimal(0)
    for number, line in enumerate(LINES, 1):
        words, row = line.description.split(), ""
        lines = []
        for word in words:
            if len(row) + len(word) > 40:
                lines.append(row)
                row = ""
            row = f"{row} {word}".strip()
        lines.append(row)
        canvas.drawString(50, y, str(number))
        canvas.drawRightString(370, y, pieces(line, comma))
        canvas.drawRightString(450, y, comma(Decimal(line.price)))
        canvas.drawRightString(540, y, comma(line.amount))
        for text in lines:
            canvas.drawString(80, y, text)
            y -= 12
        section += line.amount
        if number in {3, 7}:
            canvas.drawString(80, y, "Zwischensumme")
            canvas.drawRightString(540, y, comma(section))
            section = Decimal(0)
            y -= 12
    tax = rounded(NET * Decimal("0.19"))
    for label, amount in (("Summe netto", NET), ("MwSt. 19 %", tax), ("Gesamtbetrag", NET + tax)):
        canvas.drawString(300, y, label)
        canvas.drawRightString(540, y, comma(amount))
        y -= 12
    canvas.drawString(50, y - 30, "Zahlbar in 10 Tagen auf Konto 1234567890 bei der Beispielbank.")
    canvas.save()
    return path


def two_pages(path: Path) -> Path:
    """Many lines over two pages, headings repeated, a sum carried forward, footers."""
    rows: list[list[Any]] = []
    total = Decimal(0)
    for repeat in range(5):
        for line in LINES[:8]:
            number = len(rows) + 1
            rows.append(
                [
                    str(number),
                    _paragraph(f"{line.description} ({repeat + 1})"),
                    pieces(line, point),
                    point(Decimal(line.price)),
                    point(line.amount),
                ]
            )
            total += line.amount
    half = 22
    carried = sum((LINES[index % 8].amount for index in range(half)), Decimal(0))
    rows.insert(half, ["", "Carried forward", "", "", point(carried)])
    rows.insert(half + 1, ["", "Brought forward", "", "", point(carried)])
    tax = rounded(total * Decimal("0.0825"))
    rows += [
        ["", "Subtotal", "", "", point(total)],
        ["", "Sales tax (8.25%)", "", "", point(tax)],
        ["", "Total due", "", "", point(total + tax)],
    ]

    def footer(canvas: Canvas, document: Any) -> None:
        canvas.setFont("Helvetica", 7)
        canvas.drawString(72, 40, "Example Rental House (invented), tel. 555 0100, account 12345")
        canvas.drawRightString(540, 40, f"Page {document.page} of 2")

    table = Table(
        [ENGLISH, *rows],
        WIDTHS,
        repeatRows=1,
        style=[
            RIGHT,
            SMALL,
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LINEBELOW", (0, 0), (-1, 0), 0.5, colors.black),
        ],
    )
    style = getSampleStyleSheet()["BodyText"]
    SimpleDocTemplate(str(path), pagesize=LETTER).build(
        [
            Paragraph("Invoice number: LD-3071", style),
            Paragraph("Date 03/12/2026", style),
            Paragraph("USD", style),
            table,
        ],
        onFirstPage=footer,
        onLaterPages=footer,
    )
    return path


def short_column(path: Path) -> Path:
    """Out, in and short beside each other, a class of charge, headings on two lines."""
    rows: list[list[Any]] = [
        [
            "Item",
            "Qty\nout",
            "Qty\nin",
            "Qty\nshort",
            "Charge\nclass",
            "Unit\nprice",
            "Extended\namount",
        ]
    ]
    for line in LINES[:3]:
        short = int(Decimal(line.quantity))
        rows.append(
            [
                _paragraph(line.description.split(":")[-1].strip()),
                str(short + 6),
                "6",
                str(short),
                line.kind.title(),
                point(Decimal(line.price)),
                point(line.amount),
            ]
        )
    total = sum((line.amount for line in LINES[:3]), Decimal(0))
    rows.append(["", "", "", "", "", "Total USD", point(total)])
    table = Table(
        rows,
        [180, 40, 40, 40, 60, 70, 80],
        style=[
            ("ALIGN", (1, 0), (-1, -1), "RIGHT"),
            SMALL,
            ("LINEBELOW", (0, 0), (-1, -1), 0.3, colors.grey),
        ],
    )
    return _platypus(path, [table])


def french_zebra(path: Path) -> Path:
    """By another PDF writer: every second row shaded, French numbers and headings."""
    pdf = FPDF()
    pdf.add_page()
    pdf.set_font("Helvetica", size=9)
    pdf.cell(
        text="Maison Exemple (inventée)  Facture n° LD-3071  Date de facture : 12/03/2026",
        new_x="LMARGIN",
        new_y="NEXT",
    )
    pdf.cell(text="Tous les montants en EUR", new_x="LMARGIN", new_y="NEXT")
    with pdf.table(
        col_widths=(10, 90, 15, 35, 35),
        text_align=("LEFT", "LEFT", "RIGHT", "RIGHT", "RIGHT"),
        borders_layout="NONE",
        cell_fill_color=230,
        cell_fill_mode="ROWS",
        headings_style=FontFace(emphasis="BOLD"),
        line_height=5,
    ) as table:
        table.row(("N°", "Désignation", "Qté", "P.U. HT", "Montant HT"))
        for number, line in enumerate(LINES, 1):
            table.row(
                (
                    str(number),
                    line.description,
                    pieces(line, french),
                    french(Decimal(line.price)),
                    french(line.amount),
                )
            )
    tax = rounded(NET * Decimal("0.20"))
    for label, amount in (("Total HT", NET), ("TVA 20 %", tax), ("Total TTC", NET + tax)):
        pdf.cell(150, 6, label, align="R")
        pdf.cell(40, 6, french(amount), align="R", new_x="LMARGIN", new_y="NEXT")
    pdf.output(str(path))
    return path


def tax_included(path: Path) -> Path:
    """By another PDF writer: prices with tax, credits in brackets, no line numbers."""

    def write(amount: Decimal) -> str:
        return f"${point(amount)}" if amount >= 0 else f"(${point(-amount)})"

    pdf = FPDF(format="letter")
    pdf.add_page()
    pdf.set_font("Times", size=10)
    pdf.cell(text="Example Rental House (invented)", new_x="LMARGIN", new_y="NEXT")
    pdf.cell(text="INVOICE # LD-3071       Invoice Date 2026-03-12", new_x="LMARGIN", new_y="NEXT")
    pdf.ln(5)
    widths = (20, 100, 35, 35)
    for width, text in zip(widths, ("QTY", "ITEM", "PRICE EACH", "TOTAL"), strict=True):
        pdf.cell(width, 6, text, border="B")
    pdf.ln(8)
    for line in LINES:
        pdf.cell(widths[0], 5, pieces(line, point))
        x, y = pdf.get_x(), pdf.get_y()
        pdf.multi_cell(widths[1], 5, line.description, align="L", new_x="RIGHT", new_y="TOP")
        bottom = y + 5 * len(
            pdf.multi_cell(widths[1], 5, line.description, dry_run=True, output="LINES")
        )
        pdf.set_xy(x + widths[1], y)
        pdf.cell(widths[2], 5, write(Decimal(line.price)), align="R")
        pdf.cell(widths[3], 5, write(line.amount), align="R")
        pdf.set_xy(pdf.l_margin, bottom + 1.5)
    tax = NET - rounded(NET / Decimal("1.10"))
    pdf.ln(3)
    pdf.cell(155, 6, "Total (incl. tax)", align="R")
    pdf.cell(35, 6, write(NET), align="R", new_x="LMARGIN", new_y="NEXT")
    pdf.cell(155, 6, "Includes GST 10%", align="R")
    pdf.cell(35, 6, write(tax), align="R", new_x="LMARGIN", new_y="NEXT")
    pdf.output(str(path))
    return path


def swiss_text_document(path: Path) -> Path:
    """By a third PDF writer, from a text document with a borderless table, Swiss numbers."""

    def row(*cells: str) -> str:
        ends = "".join(f"<td align='right'>{cell}</td>" for cell in cells[2:])
        return f"<tr><td>{cells[0]}</td><td>{cells[1]}</td>{ends}</tr>"

    rows = "".join(
        row(
            str(number),
            line.description,
            pieces(line, point),
            swiss(Decimal(line.price)),
            swiss(line.amount),
        )
        for number, line in enumerate(LINES, 1)
    )
    tax = rounded(NET * Decimal("0.081"))
    sums = (("Total exkl. MwSt.", NET), ("MwSt. 8.1%", tax), ("Total CHF", NET + tax))
    rows += "".join(row("", "", "", label, swiss(amount)) for label, amount in sums)
    document = QTextDocument()
    document.setHtml(
        "<p>Beispiel Verleih (erfunden)</p><p>Rechnung Nr: LD-3071</p><p>Datum: 12. März 2026</p>"
        "<table cellpadding='4' width='100%'><tr><th align='left'>Pos</th>"
        "<th align='left'>Bezeichnung</th><th align='right'>Menge</th>"
        f"<th align='right'>Preis</th><th align='right'>Betrag</th></tr>{rows}</table>"
    )
    writer = QPdfWriter(str(path))
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setResolution(96)
    writer.setPageMargins(QMarginsF(15, 15, 15, 15))
    document.setPageSize(QSizeF(writer.width(), writer.height()))
    document.print_(writer)
    return path


LAYOUTS: dict[str, Callable[[Path], Path]] = {
    "grid": grid,
    "bare_top": bare_top,
    "bare_bottom": bare_bottom,
    "bare_middle": bare_middle,
    "german_uprights": german_uprights,
    "typed": typed,
    "french_zebra": french_zebra,
    "tax_included": tax_included,
    "swiss_text_document": swiss_text_document,
}
