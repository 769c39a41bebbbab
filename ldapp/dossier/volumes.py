"""Numbered volumes: which pieces share a file, and the page that says what is where.

The pages that a recipient reads first stay together in volume 1: letter, summary, answers,
reckoning and whatever has no pictures.  Line sheets, photos and exhibits follow in their
order and fill the volumes one after the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from reportlab.platypus import Flowable, NextPageTemplate, PageBreak

from ldapp.dossier.book import Book
from ldapp.dossier.disclosure import Section
from ldapp.dossier.formats import date_text
from ldapp.dossier.frame import Heading
from ldapp.dossier.pieces import Piece
from ldapp.dossier.request import VERSION_TITLES
from ldapp.dossier.sections import SECTION_TITLES
from ldapp.dossier.style import BODY, SMALL, SUBSECTION
from ldapp.dossier.tables import Column, Row, table
from ldapp.dossier.text import Span
from ldapp.language import said

VOLUME_ITSELF = 400_000
"""Bytes that the typeface and the order of a volume take, more or less."""

_WITH_PICTURES: frozenset[Section] = frozenset(
    {"line_sheets", "photo_index", "photo_sheet", "exhibits"}
)

_SMALL_GROUP = 0.25
"""Share of a volume up to which a group rather moves to the next volume than is parted."""

Volume = list[Piece]


def weight(pieces: Iterable[Piece]) -> int:
    """Return the bytes that pieces take in one volume, estimated where they are words."""
    streams: dict[str, int] = {}
    words = 0
    for piece in pieces:
        streams.update(piece.streams)
        words += piece.text_bytes
    return words + sum(streams.values())


def into_volumes(pieces: Sequence[Piece], room: int, first: int) -> list[Volume]:
    """Return the pieces in as few volumes as the room of each allows, evenly filled.

    ``room`` is the bytes that the pieces of a volume may take, ``first`` what volume 1
    holds besides them.  A piece that is larger than that has a volume of its own.
    """
    if weight(pieces) + first <= room:
        return [list(pieces)]
    ordered = sorted(pieces, key=lambda one: one.section in _WITH_PICTURES)
    fewest = _filled(ordered, room, first)
    for percent in range(50, 100, 5):
        even = _filled(ordered, room * percent // 100, first)
        if len(even) <= len(fewest):
            return even
    return fewest


def _filled(ordered: Sequence[Piece], room: int, first: int) -> list[Volume]:
    shelf = _Shelf(room, first)
    for _, grouped in groupby(ordered, key=lambda one: (one.group or id(one), one.section)):
        group = list(grouped)
        if not shelf.fits(group) and weight(group) <= room * _SMALL_GROUP:
            shelf.next_volume()
        for piece in group:
            if not shelf.fits([piece]):
                shelf.next_volume()
            shelf.put(piece)
    return shelf.volumes


class _Shelf:
    """Volumes that are being filled."""

    def __init__(self, room: int, first: int) -> None:
        self._room = room
        self._left = room - first
        self._streams: set[str] = set()
        self.volumes: list[Volume] = [[]]

    def _cost(self, pieces: Iterable[Piece]) -> int:
        streams: dict[str, int] = {}
        words = 0
        for piece in pieces:
            words += piece.text_bytes
            streams.update(piece.streams)
        return words + sum(size for name, size in streams.items() if name not in self._streams)

    def fits(self, pieces: Sequence[Piece]) -> bool:
        return self._cost(pieces) <= self._left

    def put(self, piece: Piece) -> None:
        self._left -= self._cost([piece])
        self._streams.update(piece.streams)
        self.volumes[-1].append(piece)

    def next_volume(self) -> None:
        """Begin another volume, unless this one is empty yet."""
        if self.volumes[-1]:
            self.volumes.append([])
            self._left = self._room
            self._streams = set()


def announce(book: Book, volumes: Sequence[Volume]) -> None:
    """Name every place that will be printed, so that other pages can refer to it."""
    for number, volume in enumerate(volumes, 1):
        for piece in volume:
            for anchor in piece.anchors:
                book.will_print(anchor, number)


def story_of(book: Book, volumes: Sequence[Volume], number: int) -> list[Flowable]:
    """Return what one volume, counted from 1, holds; a later one begins with what is where."""
    volume = volumes[number - 1]
    story: list[Flowable] = []
    if number > 1:
        story.extend(_opening(book, volumes, number))
        before = volumes[number - 2][-1]
        if before.section == volume[0].section:
            story.extend(_going_on(book, before, volume[0]))
    for piece in volume:
        story.extend(piece.make())
        if number == 1 and len(volumes) > 1 and piece is volume[0]:
            story.extend(_what_is_where(book, volumes, number))
    return story


def _opening(book: Book, volumes: Sequence[Volume], number: int) -> list[Flowable]:
    title = said(VERSION_TITLES[book.request.version])
    says = said(
        "{dossier} of {day}, claim {reference}",
        dossier=title,
        day=date_text(book.request.date),
        reference=book.claim.reference,
    )
    if book.claim.title:
        says = f"{says}, {book.claim.title}"
    return [
        NextPageTemplate("plain"),
        Heading(
            book,
            said("Volume {volume} of {volumes}", volume=number, volumes=len(volumes)),
            f"volume-{number}",
            0,
        ),
        book.text(says, BODY),
        *_what_is_where(book, volumes, number),
    ]


def _what_is_where(book: Book, volumes: Sequence[Volume], number: int) -> list[Flowable]:
    rows = []
    for each in range(1, len(volumes) + 1):
        says = (
            said("Volume {volume} (this one)", volume=each)
            if each == number
            else said("Volume {volume}", volume=each)
        )
        label = Span(says, face="bold")
        rows.append(Row([label, "; ".join(contents_of(volumes, each))]))
    return [
        book.text(said("What is where"), SUBSECTION),
        table(book, [Column(said("Volume"), 92), Column(said("Holds"), share=1.0)], rows),
        book.text(
            said(
                "The dossier is sent in {number} volumes, so that each keeps to a size that "
                "mail systems take. Pages are counted within each volume.",
                number=len(volumes),
            ),
            SMALL,
        ),
    ]


def contents_of(volumes: Sequence[Volume], number: int) -> list[str]:
    """Return in words what a volume holds, each section by its title."""
    everywhere: dict[Section, int] = {}
    for volume in volumes:
        for piece in volume:
            everywhere[piece.section] = everywhere.get(piece.section, 0) + 1
    lines = []
    for section, grouped in groupby(volumes[number - 1], key=lambda one: one.section):
        pieces = list(grouped)
        title = _title(section)
        if len(pieces) < everywhere[section]:
            labels = list(dict.fromkeys(one.label for one in pieces if one.label))
            if len(labels) > 1:
                title = said(
                    "{section}: {first} to {last}", section=title, first=labels[0], last=labels[-1]
                )
            elif labels:
                title = said("{section}: {part}", section=title, part=labels[0])
        lines.append(title)
    return lines


def _title(section: Section) -> str:
    if section in SECTION_TITLES:
        return said(SECTION_TITLES[section][0])
    return {"letter": said("Letter"), "photo_sheet": said("Photos")}.get(
        section, said("Count sheet")
    )


def _going_on(book: Book, before: Piece, first: Piece) -> list[Flowable]:
    """Return the heading of a section that the volume before began."""
    title = said("{section}, continued", section=_title(first.section))
    story: list[Flowable] = [
        PageBreak(),
        Heading(book, title, f"{first.section}-in-volume-{book.volume}", 0),
    ]
    if first.group and first.group == before.group:
        story.append(book.text(said("{section}, continued", section=first.group), SUBSECTION))
    return story
