"""The sections of a dossier in the order of its pages, as pieces."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from reportlab.platypus import Flowable

from ldapp.dossier.answers import answers_section
from ldapp.dossier.book import Book
from ldapp.dossier.closing import completeness_section, record_section
from ldapp.dossier.count_sheet import count_sheet
from ldapp.dossier.counts_pages import counts_section
from ldapp.dossier.disclosure import Section
from ldapp.dossier.exhibits import Placement, exhibit_list, exhibit_page
from ldapp.dossier.letter import letter_page
from ldapp.dossier.line_sheets import line_sheet_pieces
from ldapp.dossier.page_weights import WeighedExhibit
from ldapp.dossier.photo_index import photo_index_pieces
from ldapp.dossier.photo_sheet import photo_sheet_pieces
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.pieces import Piece, led_by
from ldapp.dossier.statement_of_loss import statement_section
from ldapp.dossier.summary import summary_section
from ldapp.dossier.what_happened import what_happened_section
from ldapp.dossier.workings import reckoning_section
from ldapp.language import marked, said

SECTION_TITLES: dict[Section, tuple[str, str]] = {
    "summary": (marked("Summary"), "summary"),
    "statement_of_loss": (marked("Statement of loss"), "statement"),
    "what_happened": (marked("What happened, with the custody timeline"), "what-happened"),
    "answer_to_charges": (marked("Answer to the charges"), "answers"),
    "line_sheets": (marked("Line sheets with photos"), "line-sheets"),
    "reckoning": (marked("Reckoning, step by step"), "reckoning"),
    "counts": (marked("Counts"), "counts"),
    "photo_index": (marked("Photos and photo index"), "photos"),
    "exhibits": (marked("Exhibits"), "exhibits"),
    "completeness": (marked("Completeness"), "completeness"),
    "record": (marked("Record"), "record"),
}

_TEXT_OF_A_SECTION = 15_000
_TEXT_OF_AN_ENTRY = 800


def all_pieces(
    book: Book,
    pictures: PreparedPictures,
    exhibits: list[WeighedExhibit],
    placements: list[Placement],
) -> list[Piece]:
    """Return the whole dossier as pieces, in the order in which it is read in one volume.

    ``placements`` takes, while pages are drawn, where attached pages belong.
    """
    makers: dict[Section, Callable[[], list[Flowable]]] = {
        "letter": lambda: letter_page(book, contents(book)),
        "summary": lambda: summary_section(book),
        "statement_of_loss": lambda: statement_section(book),
        "what_happened": lambda: what_happened_section(book),
        "answer_to_charges": lambda: answers_section(book),
        "reckoning": lambda: reckoning_section(book),
        "counts": lambda: counts_section(book),
        "completeness": lambda: completeness_section(book),
        "record": lambda: record_section(book),
        "count_sheet": lambda: count_sheet(book),
    }
    pieces: list[Piece] = []
    for section in book.disclosure.sections:
        if not book.has_section(section):
            continue
        if section == "line_sheets":
            pieces.extend(line_sheet_pieces(book, pictures))
        elif section == "photo_index":
            pictured = {photo for piece in pieces for photo in piece.photos}
            pieces.extend(photo_index_pieces(book, pictures, pictured))
        elif section == "photo_sheet":
            pieces.extend(photo_sheet_pieces(book, pictures))
        elif section == "exhibits":
            pieces.extend(_exhibit_pieces(book, exhibits, placements))
        else:
            anchors, entries = _announced(book, section)
            pieces.append(
                Piece(
                    section=section,
                    make=makers[section],
                    anchors=anchors,
                    text_bytes=_TEXT_OF_A_SECTION + entries * _TEXT_OF_AN_ENTRY,
                )
            )
    return pieces


def contents(book: Book) -> list[tuple[str, str]]:
    """Return title and anchor of each section behind the letter."""
    return [
        (said(SECTION_TITLES[section][0]), SECTION_TITLES[section][1])
        for section in book.disclosure.sections
        if section in SECTION_TITLES and book.has_section(section)
    ]


def _announced(book: Book, section: Section) -> tuple[tuple[str, ...], int]:
    """Return the places of a section that others link to, and how many entries it has."""
    own = (SECTION_TITLES[section][1],) if section in SECTION_TITLES else ()
    if section == "answer_to_charges":
        return own + _numbered("charge-{}", len(book.charges)), len(book.charges)
    if section == "reckoning":
        places = _numbered("working-charge-{}", len(book.charges))
        if book.shows("policy_working"):
            places += _numbered("working-occurrence-{}", len(book.reckoning.occurrences))
        return own + places, len(places)
    if section == "counts":
        entries = sum(len(one.entries) for one in book.counts) // 8
        return own + _numbered("count-{}", len(book.counts)), entries
    if section == "count_sheet":
        return own, 2 * len(book.lines)
    if section == "summary":
        return own, (len(book.findings) + len(book.charges)) // 5
    if section == "record":
        return own, (len(book.request.journal) + len(book.photos)) // 8
    return own, 0


def _numbered(pattern: str, number: int) -> tuple[str, ...]:
    return tuple(pattern.format(one) for one in range(1, number + 1))


def _exhibit_pieces(
    book: Book, exhibits: list[WeighedExhibit], placements: list[Placement]
) -> list[Piece]:
    pieces = [
        Piece(
            section="exhibits",
            make=partial(exhibit_list, book, [one.exhibit for one in exhibits]),
            text_bytes=_TEXT_OF_AN_ENTRY * (len(exhibits) + 2),
            label=said("the list of exhibits"),
        )
    ]
    for exhibit, weights in exhibits:
        anchor = f"exhibit-{exhibit.letter}"
        for number in range(exhibit.carried_pages):
            pieces.append(
                Piece(
                    section="exhibits",
                    make=partial(exhibit_page, book, exhibit, number, placements),
                    anchors=(anchor,) if number == 0 else (),
                    streams=weights[number],
                    text_bytes=_TEXT_OF_AN_ENTRY,
                    group=said("Exhibit {letter}", letter=exhibit.letter),
                    label=said("exhibit {letter}", letter=exhibit.letter),
                )
            )
    return led_by(list, "exhibits", pieces)
