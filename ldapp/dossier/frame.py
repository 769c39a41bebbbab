"""The page: margins, header, footer with page x of y, headings, outline and contents.

The number of pages and the page of each heading are known only at the end.  Both are
drawn through form objects that are filled in last, so one pass over the pages is enough
and every bookmark stays on its page.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    PageBreak,
    PageTemplate,
    Spacer,
)

from ldapp.dossier.book import Book
from ldapp.dossier.fonts import font
from ldapp.dossier.formats import date_text, shortened
from ldapp.dossier.request import VERSION_TITLES
from ldapp.dossier.style import (
    ACCENT,
    HAIRLINE,
    LOSS,
    MARGIN_BOTTOM,
    MARGIN_SIDE,
    MARGIN_TOP,
    MILLIMETRE,
    QUIET,
    SECTION,
    SUBSECTION,
    TextStyle,
)
from ldapp.dossier.tagging import grouped
from ldapp.dossier.text import Span, Text, draw_text, text_width
from ldapp.language import language, marked, said

_FOOTER = TextStyle(size=7.4, leading=9.4, colour=QUIET)
_CONTENTS = TextStyle(size=8.4, leading=11.6, colour=ACCENT)
_ABOVE_SECTION = 18.0
"""Room above the heading of a section that does not begin a page."""
_FORM_WIDTH = 60.0
_FOOTER_WIDTH = 160.0
INVENTED = marked("Invented demonstration claim: persons, firms and events do not exist")


class Heading(Text):
    """A heading that is a place in the outline and can be linked to."""

    def __init__(self, book: Book, title: str, anchor: str, level: int) -> None:
        super().__init__(title, SECTION if level == 0 else SUBSECTION, book.typesetter)
        self.keepWithNext = False
        self._book = book
        self._title = book.typesetter.clean(title).replace("\n", " ")
        self._anchor = anchor
        self._level = level
        self.means = "H1" if level == 0 else "H2"
        book.will_print(anchor)

    def split(self, width: float, height: float) -> list[Flowable]:
        """Never split a heading over two pages."""
        return []

    def draw(self) -> None:
        """Draw the heading, and enter it into the outline."""
        self.canv.bookmarkHorizontal(self._anchor, 0, self.height + 12)
        self.canv.addOutlineEntry(self._title, self._anchor, self._level, closed=self._level > 0)
        self._book.page_of[self._anchor] = self.canv.getPageNumber()
        super().draw()


class Anchor(Flowable):
    """A place without a sign of its own that links lead to."""

    def __init__(self, book: Book, name: str) -> None:
        super().__init__()
        self._book = book
        self._name = name
        book.will_print(name)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take no room."""
        return 0, 0

    def draw(self) -> None:
        """Set the bookmark a little above, so that the reader sees what it is about."""
        self.canv.bookmarkHorizontal(self._name, 0, 14)
        self._book.page_of[self._name] = self.canv.getPageNumber()


class ContentsLine(Flowable):
    """One line of the contents: title, a thin rule, page number; the title is a link."""

    def __init__(self, book: Book, title: str, anchor: str) -> None:
        super().__init__()
        self._text = Text(Span(title, link=book.link(anchor)), _CONTENTS, book.typesetter)
        self._book, self._anchor = book, anchor
        book.in_contents.add(anchor)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take one line, or as many as a long title needs."""
        self.width = width
        self._number_room = 30.0 if self._book.volumes == 1 else 58.0
        _, self.height = self._text.wrap(width - self._number_room, height)
        self.height += 2
        return width, self.height

    def draw(self) -> None:
        """Draw the title and the place of the page number, filled in at the end."""
        canvas = self.canv
        with grouped(canvas, "TOC", key=self._book), grouped(canvas, "TOCI"):
            self._text.drawOn(canvas, 0, 1)
        natural = min(self._text.natural_width(), self.width - self._number_room)
        y = _CONTENTS.leading * 0.24 + 1
        canvas.setStrokeColor(HAIRLINE)
        canvas.setLineWidth(0.5)
        canvas.line(natural + 6, y + 2, self.width - self._number_room + 10, y + 2)
        canvas.saveState()
        canvas.translate(self.width - _FORM_WIDTH, y)
        canvas.doForm(_page_form(self._anchor))
        canvas.restoreState()


def _page_form(anchor: str) -> str:
    return f"page-of-{anchor}"


def start_section(book: Book, title: str, anchor: str, *, new_page: bool = True) -> list[Flowable]:
    """Return the heading of a section, on a new page or where there is room for some of it."""
    heading = Heading(book, title, anchor, 0)
    if new_page:
        return [PageBreak(), heading]
    return [CondPageBreak(130), Spacer(0, _ABOVE_SECTION), heading]


def start_subsection(book: Book, title: str, anchor: str, *, room: float = 96) -> list[Flowable]:
    """Return a heading within a section that never stands alone at the foot of a page."""
    return [CondPageBreak(room), Heading(book, title, anchor, 1)]


class Pages(BaseDocTemplate):
    """The document: the letter's first page, then plain pages with header and footer."""

    def __init__(self, target: Path, book: Book, *, on_page: Callable[[int], None]) -> None:
        width, height = book.page_size
        font("NotoSans-Regular")
        super().__init__(
            str(target),
            pagesize=book.page_size,
            invariant=1,
            pageCompression=1,
            lang=language(),
            initialFontName="NotoSans-Regular",
            title=f"{said(VERSION_TITLES[book.request.version])} · {shortened(book.first_words)}",
            author=book.sender.name if book.sender is not None else "",
            subject=said(
                "Claim {reference}, {day}",
                reference=book.claim.reference,
                day=date_text(book.request.date),
            ),
            creator="ldapp",
            producer="ldapp",
        )
        self._book = book
        self._on_page = on_page
        self.pages_drawn = 0

        def frame(name: str, top: float) -> Frame:
            return Frame(
                MARGIN_SIDE,
                MARGIN_BOTTOM,
                width - 2 * MARGIN_SIDE,
                height - top - MARGIN_BOTTOM,
                leftPadding=0,
                rightPadding=0,
                topPadding=0,
                bottomPadding=0,
                id=name,
            )

        self.addPageTemplates(
            [
                PageTemplate("letter", [frame("letter", 18 * MILLIMETRE)], onPage=self._furnish),
                PageTemplate("plain", [frame("plain", MARGIN_TOP)], onPage=self._furnish),
            ]
        )

    def _furnish(self, canvas: Canvas, document: BaseDocTemplate) -> None:
        """Draw header and footer of a page."""
        self._on_page(canvas.getPageNumber())
        book = self._book
        width, height = book.page_size
        right = width - MARGIN_SIDE
        y = MARGIN_BOTTOM - 9 * MILLIMETRE
        canvas.saveState()
        canvas.setStrokeColor(HAIRLINE)
        canvas.setLineWidth(0.5)
        canvas.line(MARGIN_SIDE, y + 11, right, y + 11)
        left = (
            f"{book.claim.reference}  ·  {said(VERSION_TITLES[book.request.version])}  ·  "
            f"{date_text(book.request.date)}"
        )
        draw_text(canvas, MARGIN_SIDE, y, left, _FOOTER, book.typesetter)
        canvas.translate(right - _FOOTER_WIDTH, y)
        canvas.doForm(_footer_form(canvas.getPageNumber()))
        canvas.restoreState()
        top = height - MARGIN_TOP + 7 * MILLIMETRE
        if book.claim.invented:
            draw_text(
                canvas,
                right,
                height - 11 * MILLIMETRE,
                said(INVENTED),
                _FOOTER.but(align="right", colour=LOSS, face="italic"),
                book.typesetter,
            )
        if canvas.getPageNumber() > 1 and self.pageTemplate.id != "letter":
            draw_text(
                canvas, MARGIN_SIDE, top, shortened(book.claim.title, 60), _FOOTER, book.typesetter
            )

    def _endBuild(self) -> None:  # noqa: N802 - the library's name
        self._doSave = 0
        super()._endBuild()  # type: ignore[misc]  # missing in its types
        canvas = self.canv
        self.pages_drawn = canvas.getPageNumber() - 1
        for page in range(1, self.pages_drawn + 1):
            words = said("Page {page} of {pages}", page=page, pages=self.pages_drawn)
            if self._book.volumes > 1:
                words = said(
                    "Volume {volume} of {volumes}  ·  page {page} of {pages}",
                    volume=self._book.volume,
                    volumes=self._book.volumes,
                    page=page,
                    pages=self.pages_drawn,
                )
            _number_form(canvas, _footer_form(page), words, _FOOTER, _FOOTER_WIDTH)
        for anchor in sorted(self._book.in_contents):
            number = str(self._book.page_of.get(anchor, ""))
            volume = self._book.other_volume(anchor)
            if volume is not None:
                number = said("vol. {volume}, p. {number}", volume=volume, number=number)
            _number_form(canvas, _page_form(anchor), number, _CONTENTS, _FORM_WIDTH)
        canvas.save()


def _footer_form(page: int) -> str:
    return f"footer-{page}"


def _number_form(canvas: Canvas, name: str, words: str, style: TextStyle, width: float) -> None:
    """Define a form that draws words at the right end of its width."""
    canvas.beginForm(name, 0, -4, width, 12)
    canvas.setFillColor(style.colour)
    canvas.setFont("NotoSans-Regular", style.size)
    canvas.drawString(width - text_width(words, "regular", style.size), 0, words)
    canvas.endForm()
