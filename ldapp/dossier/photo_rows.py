"""Photos two by two at the same scale, each row a piece of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from reportlab.platypus import Flowable, Spacer

from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book
from ldapp.dossier.grid import Grid, GridLook, GridRow
from ldapp.dossier.photo_panel import PhotoPanel
from ldapp.dossier.picture_file import Picture
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.pieces import Piece
from ldapp.dossier.style import LABEL
from ldapp.language import said

GUTTER = 14.0
PICTURE_SHARE = 0.75
"""Height of a picture's frame as a share of its width."""

_TEXT_OF_A_ROW = 1_500
"""Bytes that the captions of a row take in the file, more or less."""


def in_pairs(photos: Sequence[Photo]) -> list[list[Photo | None]]:
    """Return photos two by two; the last may stand alone."""
    return [list(photos[index : index + 2]) for index in range(0, len(photos), 2)]


def photo_pieces(
    book: Book,
    pictures: PreparedPictures,
    rows: Sequence[Sequence[Photo | None]],
    like: Piece,
    *,
    heads: tuple[str, str] = ("", ""),
    line: str | None = None,
) -> list[Piece]:
    """Return rows of photos as pieces of the section and group of another piece.

    ``heads`` stand above the first row, and again above a photo that has none beside it, since
    it may come first on a page; ``line`` is the kit line that the row is about.
    """
    pieces = []
    for index, row in enumerate(rows):
        shown = [photo for photo in row if photo is not None]
        kept = [pictures.by_photo.get(photo.id) for photo in shown]
        label = said("photo {number}", number=book.photo_numbers[shown[0].id])
        pieces.append(
            replace(
                like,
                make=_maker(book, pictures, row, _heads_of(row, index, heads), line),
                anchors=tuple(f"photo-{book.photo_numbers[photo.id]}" for photo in shown),
                photos=tuple(photo.id for photo in shown),
                streams={one.name: one.bytes for one in kept if isinstance(one, Picture)},
                text_bytes=_TEXT_OF_A_ROW,
                label=like.label or label,
            )
        )
    return pieces


def _heads_of(row: Sequence[Photo | None], index: int, heads: tuple[str, str]) -> tuple[str, str]:
    if index == 0:
        return heads
    if None not in row:
        return ("", "")
    left, right = (
        head if photo is not None else "" for head, photo in zip(heads, row, strict=True)
    )
    return left, right


def _maker(
    book: Book,
    pictures: PreparedPictures,
    row: Sequence[Photo | None],
    heads: tuple[str, str],
    line: str | None,
) -> Callable[[], list[Flowable]]:
    def make() -> list[Flowable]:
        return [_row(book, pictures, row, heads, line)]

    return make


def _row(
    book: Book,
    pictures: PreparedPictures,
    row: Sequence[Photo | None],
    heads: tuple[str, str],
    line: str | None,
) -> Grid:
    width = (book.text_width - GUTTER) / 2
    made: list[GridRow] = []
    if any(heads):
        labels: list[Flowable] = [book.text(head, LABEL) for head in heads]
        made.append(GridRow(labels, keep_with_next=True))
    cells: list[Flowable] = []
    for photo in row:
        if photo is None:
            cells.append(Spacer(0, 0))
            continue
        first = photo.id not in book.pictured
        book.pictured.add(photo.id)
        cells.append(
            PhotoPanel(book, photo, pictures, width, width * PICTURE_SHARE, line=line, anchor=first)
        )
    made.append(GridRow([*cells, Spacer(0, 0)][:2]))
    look = GridLook(left=(0.0, 0.0), right=0.0, above=2.0, below=2.0, ruled=False)
    grid = Grid([width + GUTTER, width], made, look, space_after=0.0)
    grid.spaceBefore = 0.0
    return grid
