"""A report over all claims as a PDF: the sections of a drawing, page after page."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from ldapp.dossier.drawing import WIDTH, Bar, Rule, Section, Tone, Words
from ldapp.dossier.fonts import Face, Typesetter, font
from ldapp.dossier.formats import shortened
from ldapp.dossier.style import (
    ACCENT,
    ACCENT_PALE,
    HAIRLINE,
    INK,
    LOSS,
    MARGIN_BOTTOM,
    MARGIN_TOP,
    PAPER_SIZES,
    QUIET,
    TextStyle,
)
from ldapp.dossier.text import draw_text, text_width
from ldapp.language import language, said

_COLOURS: dict[Tone, Color] = {
    "ink": INK,
    "quiet": QUIET,
    "accent": ACCENT,
    "pale": ACCENT_PALE,
    "warning": LOSS,
}
_BETWEEN = 18.0
_TITLE = TextStyle(size=16, leading=20, face="bold", colour=ACCENT)
_SUBTITLE = TextStyle(size=9, leading=12, colour=QUIET)
_FOOTER = TextStyle(size=7.4, leading=9.4, colour=QUIET)


def report_pdf(
    title: str, subtitle: str, sections: Sequence[Section], *, paper: str = "a4", footer: str = ""
) -> bytes:
    """Return the sections as a PDF; the same sections give the same bytes.

    A section that is higher than what is left of a page begins the next one.
    """
    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        return _Writer(title, subtitle, paper, footer).written(sections)
    finally:
        rl_config.useA85 = before


class _Writer:
    """One document: pages are counted before, so that each can say how many there are."""

    def __init__(self, title: str, subtitle: str, paper: str, footer: str) -> None:
        self.title, self.subtitle, self.footer = title, subtitle, footer
        self.size = PAPER_SIZES[paper]
        self.left = (self.size[0] - WIDTH) / 2
        self.typesetter = Typesetter()
        font("NotoSans-Regular")
        self.file = BytesIO()
        # As a mapping: the library's type stubs take the name of a font for a number.
        options: dict[str, Any] = {"lang": language(), "initialFontName": "NotoSans-Regular"}
        self.canvas = Canvas(
            self.file, pagesize=self.size, pageCompression=1, invariant=1, **options
        )
        self.canvas.setTitle(self.typesetter.clean(title))
        self.canvas.setSubject(self.typesetter.clean(subtitle))

    def written(self, sections: Sequence[Section]) -> bytes:
        pages = self._pages(sections)
        for number, page in enumerate(pages, 1):
            y = self.size[1] - MARGIN_TOP
            if number == 1:
                y = self._head(y)
            for section in page:
                self._draw(section, y)
                self.canvas.bookmarkHorizontal(section.title, 0, y + 6)
                self.canvas.addOutlineEntry(section.title, section.title, 0)
                y -= section.height + _BETWEEN
            self._foot(number, len(pages))
            self.canvas.showPage()
        self.canvas.save()
        return self.file.getvalue()

    def _pages(self, sections: Sequence[Section]) -> list[list[Section]]:
        room = self.size[1] - MARGIN_TOP - MARGIN_BOTTOM
        pages: list[list[Section]] = [[]]
        left = room - 48
        for section in sections:
            if section.height > left and pages[-1]:
                pages.append([])
                left = room
            pages[-1].append(section)
            left -= section.height + _BETWEEN
        return pages

    def _head(self, y: float) -> float:
        draw_text(self.canvas, self.left, y - 12, self.title, _TITLE, self.typesetter)
        draw_text(self.canvas, self.left, y - 28, self.subtitle, _SUBTITLE, self.typesetter)
        return y - 48

    def _foot(self, number: int, of: int) -> None:
        y = MARGIN_BOTTOM / 2
        draw_text(self.canvas, self.left, y, self.footer, _FOOTER, self.typesetter)
        draw_text(
            self.canvas,
            self.left + WIDTH,
            y,
            said("page {page} of {pages}", page=number, pages=of),
            _FOOTER.but(align="right"),
            self.typesetter,
        )

    def _draw(self, section: Section, top: float) -> None:
        for item in section.items:
            if isinstance(item, Bar):
                self.canvas.setFillColor(_COLOURS[item.tone])
                y = top - item.y - item.height
                self.canvas.rect(self.left + item.x, y, item.width, item.height, stroke=0, fill=1)
            elif isinstance(item, Rule):
                self.canvas.setStrokeColor(HAIRLINE)
                self.canvas.setLineWidth(0.6)
                y = top - item.y
                self.canvas.line(self.left + item.x, y, self.left + item.x + item.width, y)
            else:
                self._write(item, top)

    def _write(self, item: Words, top: float) -> None:
        face: Face = "bold" if item.bold else "regular"
        style = TextStyle(size=item.size, face=face, colour=_COLOURS[item.tone], align=item.align)
        text = self.typesetter.clean(item.text).replace("\n", " ")
        while len(text) > 1 and text_width(text, style.face, item.size) > item.width:
            text = shortened(text, len(text) - 2)
        x = self.left + item.x + (item.width if item.align == "right" else 0)
        draw_text(self.canvas, x, top - item.y, text, style, self.typesetter)
