"""Exhibits: attached documents, each page within the dossier's frame and stamped.

A page of an attached PDF is drawn as a picture of itself (:mod:`ldapp.dossier.attached_pdf`),
a paper that is text is set (:mod:`ldapp.dossier.attached_text`), a scan is a picture.  A PDF
whose text names what a version withholds is not enclosed in it, unless the other side has the
paper already.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pikepdf
from reportlab.platypus import Flowable, PageBreak

from ldapp.claim.documents import Document
from ldapp.dossier.attached_pdf import MOST_PAGES, open_attached_pdf, pages_that_name
from ldapp.dossier.attached_text import LARGEST, read_text_paper
from ldapp.dossier.book import Book
from ldapp.dossier.disclosure import is_known_to_the_other_side
from ldapp.dossier.formats import date_text, shortened, size_text
from ldapp.dossier.frame import Heading, start_section
from ldapp.dossier.labels import DOCUMENT_LABELS
from ldapp.dossier.photo_panel import draw_picture
from ldapp.dossier.picture_file import Picture, PictureFile
from ldapp.dossier.pictures import coded
from ldapp.dossier.request import Saying
from ldapp.dossier.style import (
    BODY,
    HAIRLINE,
    MARGIN_BOTTOM,
    MARGIN_TOP,
    NOTE,
    QUIET,
    SMALL,
    TextStyle,
)
from ldapp.dossier.tables import Column, Row, table
from ldapp.dossier.tagging import reserve_figure, tagged
from ldapp.dossier.text import Span, Text
from ldapp.errors import LdappError
from ldapp.evidence.pictures import upright
from ldapp.evidence.read import read_photo
from ldapp.language import marked, said, said_of

_PICTURE_PIXELS = 2000
_MOST_LETTERS = 300_000
"""Letters of a text that are set; some hundred pages."""
_PLAIN = TextStyle(size=8.2, leading=11.2)
_TEXT_INSET = 14.0
_ABOVE_A_PAGE = 78.0
"""Room for the heading and the stamp above an attached page of text."""
_HELD_BACK = marked(
    "Its pages are not enclosed: the text names what is not for this recipient. Its hash is listed."
)


@dataclass(slots=True)
class Exhibit:
    """One exhibit as it will be carried: a PDF's pages, a picture, or only its name."""

    letter: str
    document: Document
    pdf: pikepdf.Pdf | None = None
    pages: int = 0
    picture: Picture | None = None
    texts: list[Text] = field(default_factory=list)
    """The pages of a paper that is text."""
    says: list[Saying] = field(default_factory=list)

    @property
    def carried_pages(self) -> int:
        """How many pages of it the dossier holds."""
        if self.picture is not None:
            return 1
        return len(self.texts) or min(self.pages, MOST_PAGES)


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a page of an attached PDF is to be drawn, in points of the dossier's page."""

    page: int
    """Counted from nought."""
    box: tuple[float, float, float, float]
    exhibit: Exhibit
    exhibit_page: int
    figure: int
    """The number under which the structure of the page knows it."""


def open_exhibits(book: Book, kept: PictureFile) -> list[Exhibit]:
    """Open every exhibit that this version carries; a fault becomes a sentence."""
    exhibits = []
    for letter, document in book.exhibits.values():
        exhibit = Exhibit(letter=letter, document=document)
        _open(book, exhibit, kept)
        exhibits.append(exhibit)
        for says in exhibit.says:
            book.said_of_exhibits.append((letter, says))
            book.fall_short(_about(exhibit, says))
    return exhibits


def _about(exhibit: Exhibit, says: Saying) -> Saying:
    return lambda: said(
        "Exhibit {letter} ({title}): {says}",
        letter=exhibit.letter,
        title=shortened(exhibit.document.title, 60),
        says=says(),
    )


def _open(book: Book, exhibit: Exhibit, kept: PictureFile) -> None:
    document = exhibit.document
    if not document.sha256:
        exhibit.says.append(lambda: said("No file was taken in for it."))
        return
    try:
        path = book.request.originals.path_of(document.sha256)
        with path.open("rb") as file:
            start = file.read(1024)
        if b"%PDF-" in start:
            _open_pdf(book, path, exhibit)
        elif not _open_text(book, path, exhibit):
            _open_picture(path, exhibit, kept)
    except (LdappError, OSError):
        exhibit.says.append(
            lambda: said("Its original is not where it was kept; only its hash is listed.")
        )


def _open_pdf(book: Book, path: Path, exhibit: Exhibit) -> None:
    opened = open_attached_pdf(path)
    exhibit.says.extend(opened.says)
    if opened.pdf is None:
        return
    words = book.withheld
    if words and not is_known_to_the_other_side(exhibit.document, book.claim):
        named = pages_that_name(path, words, opened.pages)
        if named is None:
            book.fall_short(
                lambda: said(
                    "Exhibit {letter} ({title}) has pages without text, so nobody but "
                    "you can see whether it names a student, the policy or an insurer. Look "
                    "at it before you send it.",
                    letter=exhibit.letter,
                    title=shortened(exhibit.document.title, 60),
                )
            )
        elif named:
            opened.pdf.close()
            exhibit.says[:] = [lambda: said(_HELD_BACK)]
            return
    exhibit.pdf, exhibit.pages = opened.pdf, opened.pages


def _open_text(book: Book, path: Path, exhibit: Exhibit) -> bool:
    """Read a paper that is text or an e-mail; return whether it is one."""
    if path.stat().st_size > LARGEST:
        return False
    text = read_text_paper(path.read_bytes(), exhibit.document.name)
    if text is None:
        return False
    if len(text) > _MOST_LETTERS:
        exhibit.says.append(lambda: said("Only its beginning is shown; its hash covers all."))
    if book.typesetter.withhold(text) != text:
        exhibit.says.append(lambda: said("Words that are not for this recipient are masked in it."))
    shown = book.text(text[:_MOST_LETTERS], _PLAIN)
    height = book.page_size[1] - MARGIN_TOP - MARGIN_BOTTOM - _ABOVE_A_PAGE
    exhibit.texts = shown.in_pages(book.text_width - 2 * _TEXT_INSET, height)[:MOST_PAGES]
    return True


def _open_picture(path: Path, exhibit: Exhibit, kept: PictureFile) -> None:
    facts = read_photo(path)
    if facts.kind is not None and facts.kind.startswith(("video/", "audio/")):
        exhibit.says.append(
            lambda: said("A film or a sound: it is kept as it is and listed with its hash.")
        )
        return
    try:
        scan = coded(upright(path, facts, _PICTURE_PIXELS))
    except (LdappError, OSError):
        exhibit.says.append(
            lambda: said(
                "It is neither a PDF nor a picture nor text, so it is listed with its "
                "hash and not shown; a PDF made of it would be."
            )
        )
        return
    exhibit.picture = kept.put(scan)


def exhibit_list(book: Book, exhibits: list[Exhibit]) -> list[Flowable]:
    """Return the beginning of the section: what is attached, and behind which letter."""
    story = start_section(book, said("Exhibits"), "exhibits", new_page=bool(exhibits))
    if not exhibits:
        story.append(book.text(said("No document is attached."), BODY))
        return story
    story.append(
        book.text(
            said("Attached pages are shown within this dossier's page, larger ones made smaller."),
            NOTE,
        )
    )
    columns = [
        Column(said("Exhibit"), 44),
        Column(said("Document"), share=1.0),
        Column(said("Dated"), 86),
        Column(said("Pages"), 36, align="right"),
        Column(said("Size"), 86, align="right"),
    ]
    rows = []
    for exhibit in exhibits:
        document = exhibit.document
        anchor = f"exhibit-{exhibit.letter}"
        small = [
            said(DOCUMENT_LABELS[document.kind]),
            document.name,
            *(one() for one in exhibit.says),
        ]
        spans: list[Span | str] = [
            document.title or document.name,
            Span("\n" + "\n".join(one for one in small if one), size=7, colour=QUIET),
            Span(f"\n{document.sha256}", size=6.0, colour=QUIET),
        ]
        rows.append(
            Row(
                [
                    book.spans_to(Span(exhibit.letter, face="bold"), anchor, short=True),
                    spans,
                    date_text(document.dated),
                    str(exhibit.carried_pages) if exhibit.carried_pages else "–",
                    size_text(document.bytes) if document.bytes else "–",
                ]
            )
        )
    story.append(table(book, columns, rows))
    return story


def exhibit_page(
    book: Book, exhibit: Exhibit, number: int, placements: list[Placement]
) -> list[Flowable]:
    """Return one page of an exhibit, counted from nought, on a page of the dossier."""
    return [PageBreak(), ExhibitPage(book, exhibit, number, placements)]


class ExhibitPage(Flowable):
    """One page of an exhibit: its stamp, and the room where the page will stand."""

    def __init__(
        self, book: Book, exhibit: Exhibit, number: int, placements: list[Placement]
    ) -> None:
        super().__init__()
        self._book, self._exhibit, self._number = book, exhibit, number
        self._placements = placements
        pages = exhibit.carried_pages
        title = shortened(exhibit.document.title or exhibit.document.name)
        self._heading = None
        if number == 0:
            words = said_of(
                pages,
                "Exhibit {letter} – {title} ({count} page)",
                "Exhibit {letter} – {title} ({count} pages)",
                letter=exhibit.letter,
                title=title,
            )
            self._heading = Heading(book, words, f"exhibit-{exhibit.letter}", 1)
        stamp = said(
            "Exhibit {letter}, page {number} of {pages}",
            letter=exhibit.letter,
            number=number + 1,
            pages=pages,
        )
        self._stamp = book.text(stamp, SMALL.but(align="right"))
        self._says = f"{stamp}: {book.typesetter.clean(title)}"

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the whole page."""
        self.width, self.height = width, height
        return width, height

    def draw(self) -> None:
        """Draw the stamp, and remember where the page belongs."""
        top = self.height
        if self._heading is not None:
            _, high = self._heading.wrap(self.width, self.height)
            self._heading.drawOn(self.canv, 0, top - high)
            top -= high + 2
        _, high = self._stamp.wrap(self.width, self.height)
        self._stamp.drawOn(self.canv, 0, top - high)
        top -= high + 4
        self.canv.setStrokeColor(HAIRLINE)
        self.canv.setLineWidth(0.5)
        self.canv.rect(0, 0, self.width, top, stroke=1, fill=0)
        picture = self._exhibit.picture
        inset = 3.0
        if picture is not None:
            across, down = picture.upright_size
            scale = min((self.width - 2 * inset) / across, (top - 2 * inset) / down, 72 / 96)
            width, height = across * scale, down * scale
            left = (self.width - width) / 2
            with tagged(self.canv, "Figure", whole=True, alt=self._says):
                draw_picture(self.canv, picture, left, top - inset - height, width, height)
            return
        if self._exhibit.texts:
            page = self._exhibit.texts[self._number]
            _, high = page.wrap(self.width - 2 * _TEXT_INSET, top)
            page.drawOn(self.canv, _TEXT_INSET, top - _TEXT_INSET - high)
            return
        left, bottom = self.canv.absolutePosition(inset, inset)
        right, upper = self.canv.absolutePosition(self.width - inset, top - inset)
        self._placements.append(
            Placement(
                page=self.canv.getPageNumber() - 1,
                box=(left, bottom, right, upper),
                exhibit=self._exhibit,
                exhibit_page=self._number,
                figure=reserve_figure(self.canv, self._says),
            )
        )


def place_pages(pdf: pikepdf.Pdf, placements: list[Placement]) -> None:
    """Draw the attached pages where the dossier left room for them.

    The names that are given here are fixed: those that the library would choose are
    different each time.
    """
    for one in placements:
        assert one.exhibit.pdf is not None
        source = one.exhibit.pdf.pages[one.exhibit_page]
        form = pdf.copy_foreign(source.as_form_xobject())
        page = pdf.pages[one.page]
        name = page.add_resource(form, pikepdf.Name.XObject, pikepdf.Name("/Attached"))
        placed = page.calc_form_xobject_placement(form, name, pikepdf.Rectangle(*one.box))
        # An attached page begins with the colours of a fresh page, not with ours.
        page.contents_add(b"q\n", prepend=True)
        figure = b"/Figure <</MCID %d>> BDC\n" % one.figure
        page.contents_add(b"\nQ\n" + figure + b"q\n" + placed + b"Q\nEMC\n")
