"""The photo sheet: photos alone, four to a page, for the counter."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book
from ldapp.dossier.formats import date_text, shortened
from ldapp.dossier.frame import Heading, start_subsection
from ldapp.dossier.line_sheets import GUTTER, photo_rows
from ldapp.dossier.photo_index import times_words
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.style import BODY, NOTE, SMALL


def photo_sheet(book: Book, pictures: PreparedPictures) -> list[Flowable]:
    """Return the pages: photos by kit line in the order of the list, then those of no line."""
    story: list[Flowable] = [
        Heading(
            book,
            f"Photo sheet: {shortened(book.claim.title, 60) or book.claim.reference}",
            "sheet",
            0,
        ),
        book.text(
            f"Claim {book.claim.reference}, {date_text(book.request.date)}, {book.photo_words}",
            SMALL.but(after=6),
        ),
    ]
    if not book.photos:
        story.append(book.text("No photo has been taken in.", BODY))
        return story
    story.append(book.text(times_words(book), NOTE))
    placed: set[str] = set()
    number = 0
    for line in book.lines.values():
        photos = [one for one in book.photos_of_line(line.id) if one.id not in placed]
        if photos:
            number += 1
            placed.update(one.id for one in photos)
            title = f"Line {book.line_label(line.id)}"
            story.extend(_group(book, pictures, title, f"sheet-{number}", photos, line.id))
    rest = [one for one in book.photos if one.id not in placed]
    if rest:
        title = "Photos of no single line" if placed else "Photos"
        story.extend(_group(book, pictures, title, "sheet-rest", rest, None))
    return story


def _group(
    book: Book,
    pictures: PreparedPictures,
    title: str,
    anchor: str,
    photos: list[Photo],
    line: str | None,
) -> list[Flowable]:
    width = (book.text_width - GUTTER) / 2
    rows: list[list[Photo | None]] = [
        list(photos[index : index + 2]) for index in range(0, len(photos), 2)
    ]
    return [
        *start_subsection(book, title, anchor, room=250),
        *photo_rows(book, pictures, rows, ("", ""), width, line),
    ]
