"""The photo sheet: photos alone, four to a page, for the counter."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from reportlab.platypus import Flowable

from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book
from ldapp.dossier.formats import date_text, shortened
from ldapp.dossier.frame import Heading, start_subsection
from ldapp.dossier.photo_index import times_words
from ldapp.dossier.photo_rows import in_pairs, photo_pieces
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.pieces import Piece, led_by
from ldapp.dossier.style import BODY, NOTE, SMALL
from ldapp.language import said


def photo_sheet_pieces(book: Book, pictures: PreparedPictures) -> list[Piece]:
    """Return the pages: photos by kit line in the order of the list, then those of no line."""
    plain = Piece(section="photo_sheet", make=list)
    if not book.photos:
        words = said("No photo has been taken in.")
        return [replace(plain, make=lambda: [*_head(book), book.text(words, BODY)])]
    pieces: list[Piece] = []
    placed: set[str] = set()
    number = 0
    for line in book.lines.values():
        photos = [one for one in book.photos_of_line(line.id) if one.id not in placed]
        if photos:
            number += 1
            placed.update(one.id for one in photos)
            group = replace(plain, group=said("Line {line}", line=book.line_label(line.id)))
            pieces.extend(_group(book, pictures, group, f"sheet-{number}", photos, line.id))
    rest = [one for one in book.photos if one.id not in placed]
    if rest:
        group = replace(plain, group=said("Photos of no single line") if placed else said("Photos"))
        pieces.extend(_group(book, pictures, group, "sheet-rest", rest, None))

    def head() -> list[Flowable]:
        says = (times_words(book), pictures.print_words)
        return [*_head(book), *(book.text(one, NOTE) for one in says)]

    return led_by(head, "sheet", pieces)


def _head(book: Book) -> list[Flowable]:
    title = said(
        "Photo sheet: {title}",
        title=shortened(book.claim.title, 60) or book.claim.reference,
    )
    says = said(
        "Claim {reference}, {day}, {photos}",
        reference=book.claim.reference,
        day=date_text(book.request.date),
        photos=book.photo_words,
    )
    return [Heading(book, title, "sheet", 0), book.text(says, SMALL.but(after=6))]


def _group(
    book: Book,
    pictures: PreparedPictures,
    like: Piece,
    anchor: str,
    photos: list[Photo],
    line: str | None,
) -> list[Piece]:
    head = partial(start_subsection, book, like.group, anchor, room=250)
    return led_by(head, anchor, photo_pieces(book, pictures, in_pairs(photos), like, line=line))
