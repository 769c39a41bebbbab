"""The claims' documents as PDFs, drawn with reportlab so that the same input gives the same bytes."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from reportlab import rl_config
from reportlab.lib import colors
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    Flowable,
    KeepTogether,
    Paragraph,
    SimpleDocTemplate,
    Spacer,
    Table,
    TableStyle,
)

INK, HAND, GREY = colors.HexColor("#1d1d21"), colors.HexColor("#1c2f8a"), colors.HexColor("#6a6c72")


@dataclass(frozen=True)
class House:
    """Who issues a paper: its letterhead, face and colour."""

    name: str
    lines: tuple[str, ...]
    colour: str = "#27456b"
    face: str = "Helvetica"
    page: tuple[float, float] = LETTER

    @property
    def bold(self) -> str:
        return {
            "Helvetica": "Helvetica-Bold",
            "Times-Roman": "Times-Bold",
            "Courier": "Courier-Bold",
        }[self.face]


@dataclass
class Paper:
    house: House
    title: str
    number: str
    parts: list[Flowable] = field(default_factory=list)

    def style(self, size: float = 9.5, **more) -> ParagraphStyle:
        face = more.pop("face", self.house.face)
        return ParagraphStyle(
            "x", fontName=face, fontSize=size, leading=size * 1.36, textColor=INK, **more
        )

    def text(self, words: str, size: float = 9.5, bold: bool = False) -> Paper:
        self.parts.append(
            Paragraph(words, self.style(size, face=self.house.bold if bold else self.house.face))
        )
        self.parts.append(Spacer(1, 2.2 * mm))
        return self

    def facts(self, pairs: Sequence[tuple[str, str]], columns: int = 2) -> Paper:
        """Labelled facts in a quiet grid."""
        rows, row = [], []
        for label, value in pairs:
            row.append(
                Paragraph(
                    f'<font color="#6a6c72" size="7.5">{label}</font><br/>{value}', self.style(9.5)
                )
            )
            if len(row) == columns:
                rows.append(row)
                row = []
        if row:
            rows.append(row + [""] * (columns - len(row)))
        wide = (self.house.page[0] - 40 * mm) / columns
        table = Table(rows, colWidths=[wide] * columns)
        table.setStyle(
            TableStyle(
                [
                    ("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.HexColor("#c9cbd0")),
                    ("VALIGN", (0, 0), (-1, -1), "TOP"),
                    ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ]
            )
        )
        self.parts += [table, Spacer(1, 4 * mm)]
        return self

    def clauses(self, clauses: Sequence[tuple[str, str, str]]) -> Paper:
        """Numbered clauses: (number, heading or "", words)."""
        for number, heading, words in clauses:
            style = self.style(9, leftIndent=11 * mm, bulletIndent=0)
            head = f"<b>{heading}</b><br/>" if heading else ""
            self.parts.append(
                KeepTogether(
                    [Paragraph(head + words, style, bulletText=number), Spacer(1, 1.1 * mm)]
                )
            )
        self.parts.append(Spacer(1, 2 * mm))
        return self

    def table(
        self,
        head: Sequence[str],
        rows: Sequence[Sequence[str]],
        widths: Sequence[float],
        right: Sequence[int] = (),
        by_hand: Sequence[int] = (),
        size: float = 8,
        foot: int = 0,
    ) -> Paper:
        """A ruled table; columns in `by_hand` are filled in with a pen, the last `foot` rows are totals."""
        cells = [
            [
                Paragraph(
                    f"<b>{h}</b>",
                    self.style(size, face=self.house.bold, alignment=TA_RIGHT if k in right else 0),
                )
                for k, h in enumerate(head)
            ]
        ]
        for r, row in enumerate(rows):
            line = []
            for k, value in enumerate(row):
                face = "Times-Italic" if k in by_hand else self.house.face
                if foot and r >= len(rows) - foot:
                    face = self.house.bold
                style = self.style(
                    size + (1.2 if k in by_hand else 0),
                    face=face,
                    alignment=TA_RIGHT if k in right else 0,
                )
                style.leading = style.fontSize * 1.12
                if k in by_hand:
                    style.textColor = HAND
                line.append(Paragraph(value, style))
            cells.append(line)
        table = Table(cells, colWidths=[w * mm for w in widths], repeatRows=1)
        look = [
            ("GRID", (0, 0), (-1, -1), 0.4, colors.HexColor("#9a9ca3")),
            ("BACKGROUND", (0, 0), (-1, 0), colors.HexColor("#e8eaee")),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("TOPPADDING", (0, 0), (-1, -1), 0.8),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.9),
        ]
        table.setStyle(TableStyle(look))
        self.parts += [table, Spacer(1, 4 * mm)]
        return self

    def signatures(self, names: Sequence[tuple[str, str, int]]) -> Paper:
        """Lines with a name below and a signature above; a seed of 0 leaves the line empty."""
        self.parts.append(
            KeepTogether([_Signatures(names, self.house.page[0] - 40 * mm, self.house.face)])
        )
        return self

    def made(self) -> bytes:
        stream = io.BytesIO()
        document = SimpleDocTemplate(
            stream,
            pagesize=self.house.page,
            leftMargin=20 * mm,
            rightMargin=20 * mm,
            topMargin=33 * mm,
            bottomMargin=17 * mm,
            title=f"{self.title} {self.number}",
            author=self.house.name,
            subject="Invented for demonstration",
            invariant=1,
        )
        before, rl_config.useA85 = rl_config.useA85, 0
        try:
            document.build(self.parts, canvasmaker=lambda *a, **k: _Numbered(*a, paper=self, **k))
        finally:
            rl_config.useA85 = before
        return stream.getvalue()


class _Signatures(Flowable):
    def __init__(self, names: Sequence[tuple[str, str, int]], width: float, face: str) -> None:
        super().__init__()
        self.names, self.width, self.height, self.face = names, width, 26 * mm, face

    def draw(self) -> None:
        pen = self.canv
        wide = self.width / len(self.names)
        for k, (name, role, seed) in enumerate(self.names):
            x = k * wide
            pen.setStrokeColor(INK)
            pen.setLineWidth(0.6)
            pen.line(x, 9 * mm, x + wide - 8 * mm, 9 * mm)
            pen.setFillColor(INK)
            pen.setFont(self.face, 8)
            pen.drawString(x, 5.4 * mm, name)
            pen.setFillColor(GREY)
            pen.drawString(x, 2 * mm, role)
            if seed:
                pen.setStrokeColor(HAND)
                pen.setLineWidth(1.1)
                path = pen.beginPath()
                for i, (px, py) in enumerate(strokes(seed)):
                    at = (x + 4 * mm + px * 42 * mm, 9 * mm + py * 12 * mm)
                    (path.moveTo if i == 0 else path.lineTo)(*at)
                pen.drawPath(path)


def strokes(seed: int) -> list[tuple[float, float]]:
    """A signature-like line in a box of width and height 1."""
    rng = np.random.default_rng(seed)
    loops = 4 + int(rng.integers(0, 5))
    heights = rng.integers(20, 100, size=loops + 2) / 100
    heights[0] = 0.95
    lean, lift = float(rng.integers(-12, 30)) / 100, float(rng.integers(0, 628)) / 100
    out = []
    for k in range(121):
        t = k / 120
        place = t * loops
        i, f = int(place), place - int(place)
        high = heights[i] * (1 - f) + heights[i + 1] * f
        a = 2 * math.pi * place + lift
        x = 0.03 + 0.88 * t + 0.055 * math.sin(a) + lean * 0.2 * math.cos(a) * high
        y = 0.38 + (0.46 * math.cos(a) * high if t < 0.86 else 0.10 * math.cos(a) * (1 - t) * 6)
        out.append((round(min(1.0, max(0.0, x)), 3), round(min(1.0, max(0.0, y)), 3)))
    return out


class _Numbered(Canvas):
    """Draws the letterhead, and `page x of y` once the number of pages is known."""

    def __init__(self, *args, paper: Paper, **more) -> None:
        super().__init__(*args, **more)
        self._paper, self._pages = paper, []

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for number, page in enumerate(self._pages, 1):
            self.__dict__.update(page)
            self._furniture(number, len(self._pages))
            super().showPage()
        super().save()

    def _furniture(self, number: int, count: int) -> None:
        house = self._paper.house
        width, height = house.page
        self.setFillColor(colors.HexColor(house.colour))
        self.rect(20 * mm, height - 27.5 * mm, width - 40 * mm, 0.9 * mm, stroke=0, fill=1)
        self.setFont(house.bold, 13)
        self.drawString(20 * mm, height - 18 * mm, house.name)
        self.setFillColor(GREY)
        self.setFont(house.face, 7.5)
        for k, line in enumerate(house.lines):
            self.drawString(20 * mm, height - 22 * mm - k * 3.3 * mm, line)
        self.setFillColor(INK)
        self.setFont(house.bold, 12)
        self.drawRightString(width - 20 * mm, height - 18 * mm, self._paper.title)
        self.setFont(house.face, 9)
        self.drawRightString(width - 20 * mm, height - 23 * mm, self._paper.number)
        self.setFillColor(GREY)
        self.setFont(house.face, 7.5)
        self.drawString(
            20 * mm,
            11 * mm,
            "Invented for demonstration: no such person, company, policy or event exists.",
        )
        self.drawRightString(
            width - 20 * mm, 11 * mm, f"{self._paper.number}   page {number} of {count}"
        )
