"""A photo on the page: the picture, its markings, and what is known of it below."""

from __future__ import annotations

import math
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFImageXObject
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from ldapp.claim.photo_facts import STANDING_SAYS
from ldapp.claim.photos import Marking, Photo
from ldapp.dossier.book import Book
from ldapp.dossier.formats import exact_time_text, photo_time_text, shortened
from ldapp.dossier.labels import STAGE_LABELS
from ldapp.dossier.picture_file import STAND_IN, Picture
from ldapp.dossier.pictures import NoPicture, PreparedPictures
from ldapp.dossier.style import (
    CELL_SMALL,
    HAIRLINE,
    INK,
    LOSS,
    PANEL,
    QUIET,
    SMALL,
    WHITE,
    TextStyle,
)
from ldapp.dossier.tagging import tagged
from ldapp.dossier.text import Span, Text, draw_text
from ldapp.language import said

_LEAST_RESOLUTION = 96
"""Dots per inch below which a small picture is printed smaller rather than coarser."""

_TURN_MATRICES: dict[int, tuple[float, float, float, float, float, float]] = {
    1: (1, 0, 0, 1, 0, 0),
    2: (-1, 0, 0, 1, 1, 0),
    3: (-1, 0, 0, -1, 1, 1),
    4: (1, 0, 0, -1, 0, 1),
    5: (0, -1, -1, 0, 1, 1),
    6: (0, -1, 1, 0, 0, 1),
    7: (0, 1, 1, 0, 0, 0),
    8: (0, 1, -1, 0, 1, 0),
}
"""For each Exif orientation, the unit square of the stored picture onto that of the seen one."""

_CAPTION = TextStyle(size=7.2, leading=9.6)


def draw_picture(
    canvas: Canvas, picture: Picture, x: float, y: float, width: float, height: float
) -> None:
    """Draw a picture upright into a box; its data stands in the file once."""
    if not canvas.hasForm(picture.name):
        _register(canvas, picture, picture.name)
    a, b, c, d, e, f = _TURN_MATRICES[picture.turn]
    canvas.saveState()
    canvas.transform(a * width, b * height, c * width, d * height, x + e * width, y + f * height)
    canvas.doForm(picture.name)
    canvas.restoreState()


def _register(canvas: Any, picture: Picture, name: str) -> None:
    """Put a stand-in for the coded picture into the file; the picture itself is appended.

    The library's own call would decode the picture to find its name, and hold it three
    times in memory while it assembles the file.
    """
    image: Any = PDFImageXObject(name)
    image.width, image.height = picture.width, picture.height
    image.bitsPerComponent = 8
    image.colorSpace = "DeviceGray" if picture.components == 1 else "DeviceRGB"
    image.streamContent = STAND_IN + name.encode("ascii")
    image._filters = ("DCTDecode",)
    image.mask = None
    canvas._setXObjects(image)
    canvas._doc.Reference(image, canvas._doc.getXObjectName(name))
    canvas._doc.addForm(name, image)


class PhotoBox(Flowable):
    """One picture in a frame of fixed size, or the sentence that stands in its place."""

    def __init__(
        self,
        book: Book,
        photo: Photo,
        picture: Picture | NoPicture,
        width: float,
        height: float,
    ) -> None:
        super().__init__()
        self.width, self.height = width, height
        self._book, self._photo, self._picture = book, photo, picture

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the size that was given."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw frame, picture and markings."""
        canvas = self.canv
        canvas.setFillColor(PANEL)
        canvas.rect(0, 0, self.width, self.height, stroke=0, fill=1)
        if isinstance(self._picture, NoPicture):
            canvas.setStrokeColor(HAIRLINE)
            canvas.setLineWidth(0.8)
            canvas.rect(0.4, 0.4, self.width - 0.8, self.height - 0.8, stroke=1, fill=0)
            words = self._book.text(self._picture.says(), SMALL.but(align="centre"))
            inner = self.width - 24
            _, high = words.wrap(inner, self.height)
            words.drawOn(canvas, 12, (self.height - high) / 2)
            return
        with tagged(canvas, "Figure", whole=True, alt=picture_words(self._book, self._photo)):
            self._draw_picture(self._picture)

    def _draw_picture(self, picture: Picture) -> None:
        canvas = self.canv
        across, down = picture.upright_size
        scale = min(self.width / across, self.height / down, 72 / _LEAST_RESOLUTION)
        width, height = across * scale, down * scale
        x, y = (self.width - width) / 2, (self.height - height) / 2
        draw_picture(canvas, picture, x, y, width, height)
        canvas.saveState()
        path = canvas.beginPath()
        path.rect(x, y, width, height)
        canvas.clipPath(path, stroke=0, fill=0)
        for marking in self._photo.markings:
            _draw_marking(self._book, canvas, marking, (x, y, width, height))
        canvas.restoreState()


def picture_words(book: Book, photo: Photo) -> str:
    """Return what a picture shows, as far as people said it, for readers that do not see it."""
    words = [said("Photo {number}", number=book.photo_numbers[photo.id])]
    count = book.photo_count(photo, None)
    if count is not None:
        words.append(said(STAGE_LABELS[count.stage]))
    lines = (one.line for one in photo.pairings if one.line in book.lines)
    words.extend(said("line {line}", line=book.line_label(line)) for line in dict.fromkeys(lines))
    words.extend(said("marked: {words}", words=one.text) for one in photo.markings if one.text)
    return book.typesetter.clean(", ".join(words)).replace("\n", " ")


def _draw_marking(
    book: Book, canvas: Canvas, marking: Marking, box: tuple[float, float, float, float]
) -> None:
    """Draw one marking; points are fractions of the upright picture, from its top left."""
    if marking.kind == "redaction" or not marking.points:
        return  # burnt into the picture
    left, bottom, width, height = box
    points = [(left + x * width, bottom + (1 - y) * height) for x, y in marking.points]
    for colour, thickness in ((WHITE, 3.2), (LOSS, 1.6)):
        canvas.setStrokeColor(colour)
        canvas.setFillColor(colour)
        canvas.setLineWidth(thickness)
        canvas.setLineCap(1)
        _stroke_marking(canvas, marking.kind, points)
    if marking.text:
        x, y = points[0] if marking.kind == "arrow" else points[-1]
        style = TextStyle(size=7.4, leading=9, face="bold", colour=INK)
        words = marking.text
        canvas.saveState()
        shown = Text(words, style, book.typesetter)
        wide = min(shown.natural_width(), width - 8)
        _, high = shown.wrap(wide + 0.5, height)
        x = min(max(x + 4, left + 2), left + width - wide - 6)
        y = min(max(y - high - 4, bottom + 2), bottom + height - high - 2)
        canvas.setFillColor(WHITE)
        canvas.roundRect(x - 2, y - 1, wide + 4.5, high + 1, 1.5, stroke=0, fill=1)
        shown.drawOn(canvas, x, y)
        canvas.restoreState()


def _stroke_marking(canvas: Canvas, kind: str, points: list[tuple[float, float]]) -> None:
    if len(points) == 1:
        x, y = points[0]
        canvas.circle(x, y, 9 if kind == "ring" else 2.4, stroke=1, fill=kind != "ring")
        return
    (x1, y1), (x2, y2) = points[0], points[-1]
    if kind == "ring":
        canvas.ellipse(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2), stroke=1, fill=0)
    elif kind == "box":
        canvas.rect(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1), stroke=1, fill=0)
    else:
        path = canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        canvas.drawPath(path, stroke=1, fill=0)
        angle = math.atan2(y2 - points[-2][1], x2 - points[-2][0])
        if kind == "arrow":
            _arrow_head(canvas, x2, y2, angle)
        elif kind == "measure":
            _bar(canvas, x2, y2, angle)
            _bar(canvas, x1, y1, angle)


def _arrow_head(canvas: Canvas, x: float, y: float, angle: float) -> None:
    for side in (2.6, -2.6):
        canvas.line(x, y, x + 7 * math.cos(angle + side), y + 7 * math.sin(angle + side))


def _bar(canvas: Canvas, x: float, y: float, angle: float) -> None:
    across, up = 4 * math.cos(angle + math.pi / 2), 4 * math.sin(angle + math.pi / 2)
    canvas.line(x - across, y - up, x + across, y + up)


class PhotoPanel(Flowable):
    """A picture with its number, stage, time, standing and hash below it."""

    def __init__(
        self,
        book: Book,
        photo: Photo,
        pictures: PreparedPictures,
        width: float,
        height: float,
        *,
        line: str | None = None,
        anchor: bool = True,
    ) -> None:
        super().__init__()
        picture = pictures.by_photo[photo.id]
        self._box = PhotoBox(book, photo, picture, width, height)
        self._caption = _caption(book, photo, line)
        self._anchor = f"photo-{book.photo_numbers[photo.id]}" if anchor else None
        self._book = book
        self.width = width
        self._picture_height = height
        self.height = height
        self._caption_height = 0.0

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the picture's size and the caption below it."""
        self._caption_height = sum(one.wrap(self.width, height)[1] for one in self._caption)
        self.height = self._picture_height + 4 + self._caption_height + 8
        return self.width, self.height

    def draw(self) -> None:
        """Draw picture and caption."""
        if self._anchor is not None:
            self.canv.bookmarkHorizontal(self._anchor, 0, self.height + 20)
            self._book.page_of.setdefault(self._anchor, self.canv.getPageNumber())
        self._box.drawOn(self.canv, 0, self.height - self._picture_height)
        y = self.height - self._picture_height - 4
        for words in self._caption:
            y -= words.height
            words.drawOn(self.canv, 0, y)


def _caption(book: Book, photo: Photo, line: str | None) -> list[Text]:
    verdict = book.verdict(photo)
    count = book.photo_count(photo, line)
    first = [Span(said("Photo {number}", number=book.photo_numbers[photo.id]), face="bold")]
    if count is not None:
        first.append(Span(f"  {said(STAGE_LABELS[count.stage])}", face="regular"))
    shown = [one.line for one in photo.pairings if one.line in book.lines]
    if line is None and shown:
        of_line = said("line {line}", line=book.line_label(shown[0]))
        first.append(Span(f"  {of_line}", face="regular"))
    first.append(Span(f"  {shortened(photo.name, 40)}", size=6.8, colour=QUIET))
    standing = (
        said(STANDING_SAYS[verdict.standing]) if verdict is not None else said("time not judged")
    )
    corrected = ""
    if verdict is not None and verdict.corrected_utc is not None:
        time = exact_time_text(verdict.corrected_utc, book.zone)
        corrected = said("; corrected to {time}", time=time)
    rows = [
        book.text(first, _CAPTION.but(size=7.8, leading=10.4)),
        book.text(f"{photo_time_text(verdict)} – {standing}{corrected}", _CAPTION),
        book.text(photo.facts.sha256, CELL_SMALL.but(size=5.4, leading=8)),
    ]
    notes = [one.text for one in photo.markings if one.kind == "note" and not one.points]
    if notes:
        rows.insert(2, book.text("; ".join(notes), _CAPTION))
    return rows


__all__ = ["PhotoBox", "PhotoPanel", "draw_picture", "draw_text"]
