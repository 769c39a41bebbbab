"""The count sheet: to print before a count, in the order of the truck, a code per line."""

from __future__ import annotations

import segno
from reportlab.platypus import Flowable, HRFlowable, Spacer

from ldapp.claim.counts import Count
from ldapp.claim.kit import KitLine
from ldapp.dossier.book import Book
from ldapp.dossier.counts_pages import count_facts, signatures
from ldapp.dossier.formats import date_text
from ldapp.dossier.frame import Heading
from ldapp.dossier.grid import plain_grid
from ldapp.dossier.labels import CONDITION_LABELS, STAGE_LABELS
from ldapp.dossier.line_code import line_code
from ldapp.dossier.style import BODY, CELL, HAIRLINE, INK, NOTE, RULE, SMALL, WHITE
from ldapp.dossier.tables import Column, Content, Row, facts, table
from ldapp.dossier.tagging import tagged
from ldapp.dossier.text import Span
from ldapp.language import said, said_in

CODE_SIZE = 30.0
_QUIET_ZONE = 2
"""Modules of white around a code; ISO/IEC 18004 asks for 4, the cell's padding gives the rest."""


def _columns() -> tuple[Column, ...]:
    return (
        Column("", CODE_SIZE + 8),
        Column(said_in("narrow column", "Line"), 34),
        Column(said("Item"), share=1.3),
        Column(said_in("narrow column", "Listed"), 40, align="right"),
        Column(said("Counted"), 66),
        Column(said("Remark"), share=0.9),
    )


class Code(Flowable):
    """A scannable two-dimensional code (ISO/IEC 18004), drawn as filled squares."""

    def __init__(self, content: str, size: float) -> None:
        super().__init__()
        self.width = self.height = size
        self._content = content
        # Any mask can be read; weighing all eight for each line would take seconds.
        self._matrix = segno.make_qr(content, error="m", mask=3, boost_error=False).matrix

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the size that was given."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw each run of dark modules of a row as one rectangle."""
        with tagged(
            self.canv,
            "Figure",
            whole=True,
            alt=said("Code that reads {content}", content=self._content),
        ):
            self._draw_modules()

    def _draw_modules(self) -> None:
        canvas = self.canv
        modules = len(self._matrix) + 2 * _QUIET_ZONE
        step = self.width / modules
        canvas.setFillColor(WHITE)
        canvas.rect(0, 0, self.width, self.height, stroke=0, fill=1)
        canvas.setFillColor(INK)
        path = canvas.beginPath()
        for number, row in enumerate(self._matrix):
            y = self.height - (number + _QUIET_ZONE + 1) * step
            start = None
            for place, dark in enumerate([*row, 0]):
                if dark and start is None:
                    start = place
                elif not dark and start is not None:
                    path.rect((start + _QUIET_ZONE) * step, y, (place - start) * step, step)
                    start = None
        canvas.drawPath(path, stroke=0, fill=1)


class Blank(Flowable):
    """An empty box to write a number into."""

    def __init__(self, width: float, height: float) -> None:
        super().__init__()
        self.width, self.height = width, height

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the size that was given."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the box."""
        self.canv.setStrokeColor(HAIRLINE)
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, 0, self.width, self.height, stroke=1, fill=0)


def count_sheet(book: Book) -> list[Flowable]:
    """Return the pages: kit lines grouped by where they live, to fill in or as counted."""
    taken = next((one for one in book.claim.counts if one.id == book.request.count), None)
    stage = said(STAGE_LABELS[book.request.stage if taken is None else taken.stage])
    title = (
        said("Count sheet: {stage}", stage=stage)
        if taken is None
        else said("Count as taken: {stage}", stage=stage)
    )
    story: list[Flowable] = [
        Heading(book, title, "sheet", 0),
        book.text(
            said(
                "{title}, claim {reference}, printed for {date}",
                title=book.claim.title or book.claim.reference,
                reference=book.claim.reference,
                date=date_text(book.request.date),
            ),
            SMALL.but(after=4),
        ),
    ]
    story.extend(_to_fill_in(book) if taken is None else _as_taken(book, taken))
    if not book.lines:
        story.append(book.text(said("The kit list is empty."), BODY))
        return story
    groups: dict[str, list[KitLine]] = {}
    for line in book.lines.values():
        groups.setdefault(line.location.strip(), []).append(line)
    order = sorted(groups, key=lambda place: (place == "", place))
    rows: list[Row] = []
    for place in order:
        if len(groups) > 1:
            rows.append(Row([place or said("No place recorded")], band=True))
        rows.extend(_row(book, line, taken) for line in groups[place])
    story.append(table(book, _columns(), rows, style=CELL))
    return story


def _to_fill_in(book: Book) -> list[Flowable]:
    labels = (
        (said("Date and time"), 30),
        (said("Place"), 60),
        (said("Counted by"), 60),
        (said("Witness"), 60),
    )
    return [
        facts(book, [(label, "_" * room) for label, room in labels]),
        book.text(
            said(
                "Write the number that is there, also 0; leave blank what was not "
                "counted. Note condition, shortages and serial numbers in the remark. "
                "Both sides sign."
            ),
            NOTE,
        ),
        Spacer(0, 26),
        _signature_lines(book),
        Spacer(0, 12),
    ]


def _as_taken(book: Book, count: Count) -> list[Flowable]:
    story: list[Flowable] = [facts(book, count_facts(book, count))]
    if count.signatures:
        story.append(signatures(book, count))
    return [*story, Spacer(0, 6)]


def _signature_lines(book: Book) -> Flowable:
    gap = 24.0
    width = (book.text_width - gap) / 2
    lines = [
        HRFlowable(width=width, thickness=0.6, color=RULE, spaceBefore=0, spaceAfter=2)
        for _ in range(2)
    ]
    words = [
        book.text(side, SMALL)
        for side in (
            said("For the production: name, signature, time"),
            said("For the rental company: name, signature, time"),
        )
    ]
    return plain_grid(
        [width, gap, width],
        [[lines[0], Spacer(0, 0), lines[1]], [words[0], Spacer(0, 0), words[1]]],
    )


def _row(book: Book, line: KitLine, taken: Count | None) -> Row:
    item: list[str | Span] = [line.description]
    details = []
    if line.parts:
        details.append(", ".join(f"{one.per_unit} × {one.description}" for one in line.parts))
    if line.serials:
        details.append(said("Serial numbers {listed}", listed=", ".join(line.serials)))
    if details:
        item.append(Span("\n" + "\n".join(details), size=7))
    code = Code(line_code(book.claim.reference, line.id), CODE_SIZE)
    number: Content = Blank(50, 22)
    remark = ""
    if taken is not None:
        number = said("not counted")
        entry = next((one for one in taken.entries if one.line == line.id), None)
        remark = changed = book.changed_mark(taken.id, line.id)
        if entry is not None:
            if entry.quantity is not None:
                number = Span(str(entry.quantity), face="bold")
            remark = "; ".join(
                one for one in (said(CONDITION_LABELS[entry.condition]), entry.note, changed) if one
            )
    return Row([code, line.number, item, str(line.quantity), number, remark])
