"""Each count in full: when, where, by whom, acknowledged how, and the whole list."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from ldapp.claim.counts import Count, Signature
from ldapp.claim.signed_counts import changed_words, is_under_another_state
from ldapp.dossier.book import Book, interleave
from ldapp.dossier.formats import MINUS, NONE, shortened
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.grid import Grid, GridLook, GridRow
from ldapp.dossier.labels import (
    ACKNOWLEDGEMENT_LABELS,
    CONDITION_LABELS,
    MOVEMENT_LABELS,
    STAGE_LABELS,
)
from ldapp.dossier.style import BODY, CELL, HAIRLINE, INK, LOSS, SMALL
from ldapp.dossier.tables import Column, Content, Row, facts, table
from ldapp.dossier.tagging import tagged
from ldapp.dossier.text import Span, Text
from ldapp.language import said, said_in


def counts_section(book: Book) -> list[Flowable]:
    """Return the section."""
    story = start_section(book, said("Counts"), "counts", new_page=bool(book.counts))
    if not book.counts:
        story.append(
            book.text(
                said(
                    "No count has been recorded. Without a count at pickup the list stands "
                    "as written (common practice, no source)."
                ),
                BODY,
            )
        )
        return story
    for count in book.counts:
        story.extend(_count(book, count))
    story.extend(_movements(book))
    return story


def _movements(book: Book) -> list[Flowable]:
    """Return what was added, exchanged or returned between the counts, under which ticket."""
    moved = sorted(
        (one for one in book.claim.movements if one.line in book.lines), key=lambda one: one.at
    )
    if not moved:
        return []
    columns = [
        Column(said("When"), 134),
        Column(said_in("narrow column", "Line"), 34),
        Column(said("Item"), share=1.0),
        Column(said("Movement"), 76),
        Column(said_in("narrow column", "Qty"), 28, align="right"),
        Column(said("Ticket"), 104),
    ]
    rows = []
    for one in moved:
        line = book.lines[one.line]
        ticket: list[Span | str] = [one.ticket]
        exhibit = book.exhibit_spans([one.document])
        if exhibit:
            ticket.extend([", " if one.ticket else "", *exhibit])
        rows.append(
            Row(
                [
                    book.time(one.at),
                    line.number,
                    shortened(line.description),
                    said(MOVEMENT_LABELS[one.kind]),
                    str(one.quantity),
                    ticket,
                ]
            )
        )
    return [
        *start_subsection(book, said("Movements between the counts"), "movements"),
        table(book, columns, rows, style=CELL.but(size=7.8, leading=10.4)),
    ]


def _count(book: Book, count: Count) -> list[Flowable]:
    number = book.count_numbers[count.id]
    title = said("Count {number}: {stage}", number=number, stage=said(STAGE_LABELS[count.stage]))
    story = start_subsection(book, title, f"count-{number}", room=260 if count.signatures else 180)
    story.append(facts(book, count_facts(book, count)))
    if count.signatures:
        story.append(signatures(book, count))
    story.append(_list(book, count))
    return story


def count_facts(book: Book, count: Count) -> list[tuple[str, Content]]:
    """Return when, where, by whom and acknowledged how a count was taken."""
    when = book.time(count.at)
    if count.until is not None:
        when = said("{begin} until {end}", begin=when, end=book.time(count.until))
    acknowledged = said(ACKNOWLEDGEMENT_LABELS[count.acknowledgement])
    if count.acknowledged_by:
        acknowledged = f"{acknowledged}, {count.acknowledged_by}"
    if count.refused_at is not None:
        acknowledged = said(
            "{acknowledged}, refused at {time}",
            acknowledged=acknowledged,
            time=book.time(count.refused_at),
        )
    changed = changed_words(count, book.claim.kit, book.lines)
    says: list[Span | str] = [acknowledged]
    if changed:
        says += ["; ", Span(changed, face="bold", colour=LOSS)]
    pairs: list[tuple[str, Content]] = [
        (said("When"), when),
        (said("Where"), count.place),
        (said("Counted by"), count.counted_by),
        (said("Witness"), count.witness),
        (said("Acknowledged"), says),
        (
            said("Way of counting"),
            said("blind: the expected number was hidden") if count.blind else "",
        ),
    ]
    exhibits = interleave(book.exhibit_spans([count.document]))
    if exhibits:
        pairs.append((said("Exhibit"), exhibits))
    return pairs


def _list(book: Book, count: Count) -> Flowable:
    expected = {
        (one.line, at.count): at.expected
        for one in book.line_counts
        if one.part is None
        for at in one.counted
    }
    columns = [
        Column(said_in("narrow column", "Line"), 34),
        Column(said("Item"), share=1.0),
        Column(
            said_in("narrow column", "Listed")
            if count.stage == "pickup"
            else said_in("narrow column", "Expected"),
            44,
            align="right",
        ),
        Column(said_in("narrow column", "Counted"), 42, align="right"),
        Column(said_in("narrow column", "Difference"), 52, align="right"),
        Column(said("Condition"), 78),
        Column(said("Remark"), 92),
    ]
    rows = []
    order = {line: index for index, line in enumerate(book.lines)}
    entries = sorted(
        (one for one in count.entries if one.line in order), key=lambda one: order[one.line]
    )
    for entry in entries:
        line = book.lines[entry.line]
        at_pickup = count.stage == "pickup"
        wanted = line.quantity if at_pickup else expected.get((entry.line, count.id))
        difference: Content = ""
        if wanted is not None and entry.quantity is not None and wanted != entry.quantity:
            off = entry.quantity - wanted
            difference = Span(f"{MINUS if off < 0 else '+'}{abs(off)}", face="bold", colour=LOSS)
        parts = ", ".join(
            f"{one.quantity} × {name}"
            for one in entry.parts
            if one.quantity is not None
            for name in [next((p.description for p in line.parts if p.id == one.part), "")]
            if name
        )
        changed = book.changed_mark(count.id, entry.line)
        remark = "; ".join(part for part in (entry.note, parts, changed) if part)
        condition = said(CONDITION_LABELS[entry.condition])
        marked = entry.condition in ("damaged", "not_working")
        rows.append(
            Row(
                [
                    line.number,
                    line.description,
                    NONE if wanted is None else str(wanted),
                    NONE if entry.quantity is None else str(entry.quantity),
                    difference,
                    Span(condition, face="bold", colour=LOSS) if marked else condition,
                    remark,
                ]
            )
        )
    return table(book, columns, rows, style=CELL.but(size=7.8, leading=10.4))


class SignatureStrokes(Flowable):
    """A signature as it was drawn, above a line."""

    def __init__(self, book: Book, signature: Signature, width: float, height: float) -> None:
        super().__init__()
        self._strokes = signature.strokes
        self._says = book.typesetter.clean(said("Signature of {name}", name=signature.name))
        self.width, self.height = width, height

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the size that was given."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the strokes and the line below them."""
        with tagged(self.canv, "Figure", whole=True, alt=self._says):
            self._draw_strokes()

    def _draw_strokes(self) -> None:
        canvas = self.canv
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        for stroke in self._strokes:
            points = [
                (min(max(x, 0), 1) * self.width, (1 - min(max(y, 0), 1)) * self.height)
                for x, y in stroke
            ]
            if len(points) > 1:
                path = canvas.beginPath()
                path.moveTo(*points[0])
                for point in points[1:]:
                    path.lineTo(*point)
                canvas.drawPath(path, stroke=1, fill=0)
        canvas.setStrokeColor(HAIRLINE)
        canvas.setLineWidth(0.6)
        canvas.line(0, 0, self.width, 0)


def _signed_words(book: Book, one: Signature, count: Count) -> str:
    side = (
        said("{name}, for us", name=one.name)
        if one.side == "ours"
        else said("{name}, for the rental company", name=one.name)
    )
    says = [side, book.time(one.at)]
    if is_under_another_state(one, count):
        says.append(said("signed before the count was changed"))
    return "\n".join(says)


def signatures(book: Book, count: Count) -> Flowable:
    """Return a count's signatures as they were drawn, with names and times below.

    A signature that was given under other entries says so: none stands under what it did not sign.
    """
    width, signed = 150.0, count.signatures
    strokes: list[Flowable] = [SignatureStrokes(book, one, width, 40) for one in signed]
    names: list[Text] = [book.text(_signed_words(book, one, count), SMALL) for one in signed]
    rows: list[GridRow] = []
    for start in range(0, len(signed), 2):
        for cells in (strokes, names):
            row: list[Flowable] = [*cells[start : start + 2]]
            # A name is never torn from its signature.
            rows.append(GridRow([*row, Spacer(0, 0)][:2], keep_with_next=cells is strokes))
    look = GridLook(left=(0.0, 0.0), right=0.0, above=2.0, below=2.0, ruled=False)
    return Grid([book.text_width / 2] * 2, rows, look, space_after=6.0)
