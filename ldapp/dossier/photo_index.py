"""The photo index: every photo used, with its device, time, standing, size and hash."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from reportlab.platypus import Flowable

from ldapp.claim.photo_facts import STANDING_SAYS
from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book
from ldapp.dossier.formats import (
    NONE,
    capitalized,
    date_text,
    exact_time_text,
    joined,
    photo_time_text,
    size_text,
)
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.labels import OFFSET_SOURCE_LABELS, STAGE_LABELS
from ldapp.dossier.photo_rows import in_pairs, photo_pieces
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.pieces import Piece, led_by
from ldapp.dossier.style import BODY, CELL, NOTE, QUIET
from ldapp.dossier.tables import Column, Row, table
from ldapp.dossier.text import Span
from ldapp.dossier.wording import fill, words
from ldapp.language import said

_HASH_SIZE = 6.2
_TEXT_OF_AN_ENTRY = 400
"""Bytes that an entry of the index takes in the file, more or less."""


def photo_index_pieces(book: Book, pictures: PreparedPictures, pictured: set[str]) -> list[Piece]:
    """Return the section: photos that no line sheet has ``pictured``, then the index of all."""

    def begin() -> list[Flowable]:
        story = start_section(book, said("Photos"), "photos", new_page=bool(book.photos))
        says = [times_words(book), pictures.print_words] if book.photos else []
        return [*story, *(book.text(one, NOTE) for one in says)]

    plain = Piece(section="photo_index", make=list)
    if not book.photos:
        words = said("No photo has been taken in.")
        return led_by(begin, "photos", [replace(plain, make=lambda: [book.text(words, BODY)])])
    rest = [photo for photo in book.photos if photo.id not in pictured]
    pieces: list[Piece] = []
    if rest:
        further = partial(
            start_subsection, book, said("Further photos"), "photos-further", room=240
        )
        pieces.extend(
            led_by(further, "photos-further", photo_pieces(book, pictures, in_pairs(rest), plain))
        )
    index = replace(
        plain,
        make=lambda: _index(book),
        text_bytes=_TEXT_OF_AN_ENTRY * len(book.photos),
        label=said("the index of all photos"),
    )
    return led_by(begin, "photos", [*pieces, index])


def _index(book: Book) -> list[Flowable]:
    columns = [
        Column(said("Photo"), 36, align="right"),
        Column(said("File"), 142),
        Column(said("Time and standing"), share=1.0),
    ]
    rows = [Row([_number(book, one), _file(book, one), _time(book, one)]) for one in book.photos]
    return [
        *start_subsection(book, said("Photo index"), "photo-index", room=150),
        table(book, columns, rows, style=CELL.but(size=7.8, leading=10.4)),
    ]


def times_words(book: Book) -> str:
    """Return the sentences that say what the times of photos are worth."""
    taken_in = [one.taken_in for one in book.photos if one.taken_in is not None]
    if not taken_in:
        return words("pages", "photo_times_without_import")
    first = min(taken_in).astimezone(book.zone).date()
    return fill(words("pages", "photo_times"), {"first_import": date_text(first)})


def _number(book: Book, photo: Photo) -> Span:
    number = book.photo_numbers[photo.id]
    return Span(str(number), link=book.link(f"photo-{number}"))


def _file(book: Book, photo: Photo) -> list[Span | str]:
    facts = photo.facts
    device = " ".join(part for part in (facts.make, facts.model) if part)
    small = [device or said("device not named")]
    if book.shows("device_serial") and facts.serial:
        small.append(said("serial number {serial}", serial=facts.serial))
    if photo.taken_by:
        small.append(said("taken by {taken_by}", taken_by=photo.taken_by))
    size = size_text(facts.bytes)
    if facts.width and facts.height:
        size = said(
            "{width} × {height} pixels, {size}", width=facts.width, height=facts.height, size=size
        )
    small.append(size)
    lines = joined(
        [
            said("line {number}", number=book.lines[one].number)
            for one in dict.fromkeys(pairing.line for pairing in photo.pairings)
            if one in book.lines and book.lines[one].number
        ]
    )
    count = book.photo_count(photo)
    shows = [part for part in (lines, said(STAGE_LABELS[count.stage]) if count else "") if part]
    if shows:
        small.append(said("shows {what}", what=", ".join(shows)))
    volume = book.other_volume(f"photo-{book.photo_numbers[photo.id]}")
    if volume is not None:
        small.append(said("printed in volume {volume}", volume=volume))
    return [photo.name, Span("\n" + "\n".join(small), size=7, colour=QUIET)]


def _time(book: Book, photo: Photo) -> list[Span | str]:
    verdict = book.verdict(photo)
    spans: list[Span | str] = [photo_time_text(verdict)]
    if verdict is not None:
        source = said(OFFSET_SOURCE_LABELS[verdict.offset_source])
        if source:
            spans.append(Span(f" ({source})", colour=QUIET))
        spans.append(Span(f"\n{capitalized(said(STANDING_SAYS[verdict.standing]))}", face="bold"))
        if verdict.corrected_utc is not None:
            spans.append(
                said(
                    "; corrected to {time}",
                    time=exact_time_text(verdict.corrected_utc, book.zone),
                )
            )
        if book.shows("photo_reasons"):
            told = [f"{one.code} {one.says}" for one in verdict.reasons]
            if told:
                spans.append(Span("\n" + "\n".join(told), size=7, colour=QUIET))
    else:
        spans.append(Span(f"\n{NONE}"))
    if photo.confirmed_by:
        says = said("Confirmed by {person}", person=photo.confirmed_by)
        if photo.confirmed_on is not None:
            day = date_text(photo.confirmed_on)
            says = said("Confirmed by {person} on {day}", person=photo.confirmed_by, day=day)
        spans.append(f"\n{says}")
    spans.append(Span(f"\n{photo.facts.sha256}", size=_HASH_SIZE, colour=QUIET))
    return spans
