"""The custody timeline: who saw what when, and between which counts each loss fell."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from ldapp.claim.agreement import Agreement
from ldapp.dossier.book import Book
from ldapp.dossier.formats import photo_instant, shortened
from ldapp.dossier.labels import SHORT_STAGE_LABELS
from ldapp.dossier.style import (
    ACCENT,
    ACCENT_PALE,
    HAIRLINE,
    INK,
    LOSS,
    LOSS_PALE,
    QUIET,
    RULE,
    WHITE,
    TextStyle,
)
from ldapp.dossier.tagging import tagged
from ldapp.dossier.text import draw_text, text_width
from ldapp.language import said, said_of
from ldapp.local_forms import short_day

_LABEL = TextStyle(size=7.2, leading=9, colour=QUIET)
_NAME = TextStyle(size=7.2, leading=9)
_LEFT = 118.0
"""Width of the names to the left of the axis."""
_ROW = 17.0
_BAR_ROW = 13.0
_ABOVE = 26.0
_BELOW = 22.0
MOST_BARS = 16
"""More bars than this would no longer be read: then lines share a bar."""


@dataclass(frozen=True, slots=True)
class LossBar:
    """Units that went in one and the same bracket."""

    words: str
    begins: dt.datetime | None
    """None: no count ever saw them; the bar begins with the axis."""
    ends: dt.datetime
    outside: bool
    """Lost outside our custody."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One point on the axis; ``words`` stand above it, where there are any."""

    at: dt.datetime
    words: str = ""


@dataclass(frozen=True, slots=True)
class TimelineRows:
    """What the figure shows, all instants aware."""

    custody: tuple[dt.datetime, dt.datetime] | None
    counts: tuple[Mark, ...]
    movements: tuple[Mark, ...]
    occurrences: tuple[Mark, ...]
    photos: tuple[Mark, ...]
    losses: tuple[LossBar, ...]

    @property
    def instants(self) -> list[dt.datetime]:
        """Every instant of the figure, earliest first."""
        found = [
            mark.at
            for row in (self.counts, self.movements, self.occurrences, self.photos)
            for mark in row
        ]
        found.extend(self.custody or ())
        for bar in self.losses:
            found.append(bar.ends)
            if bar.begins is not None:
                found.append(bar.begins)
        return sorted(found)


def timeline_rows(book: Book, agreement: Agreement) -> TimelineRows:
    """Gather what is known of one agreement's time from counts, movements, events, photos."""
    lines = {line.id for line in book.lines.values() if line.agreement == agreement.id}
    counts = [
        one
        for one in book.counts
        if one.at is not None and (not one.agreements or agreement.id in one.agreements)
    ]
    begins = agreement.custody_began or agreement.starts
    ends = agreement.custody_ended or agreement.ends
    noons = [
        dt.datetime.combine(one.day, dt.time(12), tzinfo=book.zone)
        if one.at is None and one.day is not None
        else one.at
        for one in book.occurrences
    ]
    photos = [photo_instant(book.verdict(one)) for one in book.photos]
    return TimelineRows(
        custody=(begins, ends) if begins is not None and ends is not None else None,
        counts=tuple(
            Mark(one.at, f"{book.count_numbers[one.id]} {said(SHORT_STAGE_LABELS[one.stage])}")
            for one in counts
            if one.at is not None
        ),
        movements=tuple(
            Mark(one.at, one.ticket) for one in book.claim.movements if one.line in lines
        ),
        occurrences=tuple(
            Mark(noon, book.occurrence_title(one.id))
            for one, noon in zip(book.occurrences, noons, strict=True)
            if noon is not None
        ),
        photos=tuple(Mark(one) for one in photos if one is not None),
        losses=_losses(book, lines),
    )


class _Gone(NamedTuple):
    line: str
    part: str | None
    seen: dt.datetime | None
    at: dt.datetime
    outside: bool


def _losses(book: Book, lines: set[str]) -> tuple[LossBar, ...]:
    bars: dict[_Gone, int] = {}
    for one in book.line_counts:
        if one.line not in lines:
            continue
        for bracket in one.brackets:
            if bracket.gone.at is None:
                continue
            seen = bracket.last_seen.at if bracket.last_seen is not None else None
            outside = bracket.custody in ("before", "after")
            key = _Gone(one.line, one.part, seen, bracket.gone.at, outside)
            bars[key] = bars.get(key, 0) + 1
    if len(bars) > MOST_BARS:
        return _losses_of_several_lines(bars)
    made = []
    for gone, units in bars.items():
        kit = book.lines[gone.line]
        name = kit.description
        if gone.part is not None:
            name = next((p.description for p in kit.parts if p.id == gone.part), name)
        made.append(LossBar(f"{units} × {name}", gone.seen, gone.at, gone.outside))
    return tuple(sorted(made, key=lambda bar: (bar.ends, bar.begins or bar.ends, bar.words)))


def _losses_of_several_lines(bars: dict[_Gone, int]) -> tuple[LossBar, ...]:
    """Return one bar for all lines that lost something between the same two counts."""
    grouped: dict[tuple[dt.datetime | None, dt.datetime, bool], list[tuple[str, int]]] = {}
    for gone, units in bars.items():
        key = (gone.seen, gone.at, gone.outside)
        grouped.setdefault(key, []).append((gone.line, units))
    made = [
        LossBar(
            said(
                "{units} of {lines}",
                units=said_of(sum(units for _, units in found), "{count} unit", "{count} units"),
                lines=said_of(len({line for line, _ in found}), "{count} line", "{count} lines"),
            ),
            *key,
        )
        for key, found in grouped.items()
    ]
    return tuple(sorted(made, key=lambda bar: (bar.ends, bar.begins or bar.ends, bar.words)))


class Timeline(Flowable):
    """The figure, drawn as lines and shapes."""

    def __init__(self, book: Book, rows: TimelineRows) -> None:
        super().__init__()
        self._book = book
        self._rows = rows
        self._bars = rows.losses[:MOST_BARS]
        self._left_over = len(rows.losses) - len(self._bars)
        instants = rows.instants
        span = (instants[-1] - instants[0]) if len(instants) > 1 else dt.timedelta(days=1)
        margin = max(span * 0.03, dt.timedelta(hours=2))
        self._first = instants[0] - margin
        self._last = instants[-1] + margin

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the whole width, and a row for each kind of thing and each loss."""
        self.width = width
        named = [self._rows.counts, self._rows.occurrences]
        self._label_rows = [len(self._levels(row)) for row in named]
        plain = sum(1 for row in (self._rows.movements, self._rows.photos) if row)
        bars = len(self._bars) + (1 if self._left_over else 0)
        height = _ROW * plain + _BAR_ROW * bars + _ABOVE + _BELOW
        height += sum(_ROW + _LABEL.leading * (levels - 1) for levels in self._label_rows if levels)
        self.height = height
        return width, self.height

    def _x(self, at: dt.datetime) -> float:
        share = (at - self._first) / (self._last - self._first)
        return _LEFT + share * (self.width - _LEFT - 6)

    def _levels(self, marks: Sequence[Mark]) -> list[list[int]]:
        """Spread the words above marks over levels so that none overlap.

        Later words stand lower, so that no line from words to mark crosses other words.
        """
        levels: list[list[int]] = []
        begins: list[float] = []
        order = sorted(range(len(marks)), key=lambda one: marks[one].at, reverse=True)
        for index in order:
            wide = text_width(_cut(self._book, marks[index].words), "regular", _LABEL.size)
            start = min(self._x(marks[index].at) - 3, self.width - wide)
            for level, begin in enumerate(begins):
                if start + wide + 6 <= begin:
                    levels[level].append(index)
                    begins[level] = start
                    break
            else:
                levels.append([index])
                begins.append(start)
        return levels

    def draw(self) -> None:
        """Draw axis, rows and bars."""
        with tagged(self.canv, "Figure", whole=True, alt=timeline_words(self._book, self._rows)):
            self._draw_figure()

    def _draw_figure(self) -> None:
        canvas = self.canv
        rows = self._rows
        top = self.height - 4
        bottom = 20.0
        if rows.custody is not None:
            begins, ends = (self._x(one) for one in rows.custody)
            canvas.setFillColor(ACCENT_PALE)
            canvas.rect(begins, bottom, ends - begins, top - bottom, stroke=0, fill=1)
            words = said("our custody")
            if ends - begins > text_width(words, "regular", _LABEL.size) + 6:
                style = _LABEL.but(colour=ACCENT)
                draw_text(canvas, begins + 3, top - 8, words, style, self._book.typesetter)
        self._draw_axis(canvas, bottom, top)
        y = top - 12
        y = self._draw_named(
            canvas, y, said("Counts"), rows.counts, self._label_rows[0], ACCENT, "dot"
        )
        y = self._draw_named(
            canvas, y, said("Occurrences"), rows.occurrences, self._label_rows[1], LOSS, "diamond"
        )
        y = self._draw_plain(canvas, y, said("Movements"), rows.movements, INK)
        y = self._draw_plain(
            canvas,
            y,
            said_of(len(rows.photos), "{count} photo", "{count} photos"),
            rows.photos,
            RULE,
        )
        for bar in self._bars:
            self._draw_bar(canvas, y - 8, bar)
            y -= _BAR_ROW
        if self._left_over:
            words = said_of(
                self._left_over,
                "and {count} more bracket; see the line sheets",
                "and {count} more brackets; see the line sheets",
            )
            draw_text(canvas, _LEFT, y - 9, words, _LABEL, self._book.typesetter)

    def _draw_axis(self, canvas: Canvas, bottom: float, top: float) -> None:
        canvas.setStrokeColor(RULE)
        canvas.setLineWidth(0.8)
        canvas.line(_LEFT, bottom, self.width, bottom)
        zone = self._book.zone
        first = self._first.astimezone(zone)
        last = self._last.astimezone(zone)
        days = (last.date() - first.date()).days
        room = (self.width - _LEFT) / 34
        step = next((one for one in (1, 2, 7, 14, 28, 91, 182, 365) if days / one <= room), 730)
        day = first.date() + dt.timedelta(days=1)
        while day <= last.date():
            at = dt.datetime.combine(day, dt.time(0), tzinfo=zone)
            x = self._x(at)
            if (day - first.date()).days % step == 1 % step and _LEFT <= x <= self.width:
                canvas.setStrokeColor(HAIRLINE)
                canvas.setLineWidth(0.4)
                canvas.line(x, bottom, x, top)
                if x < self.width - 14:
                    draw_text(
                        canvas,
                        x + 1.5,
                        bottom - 9,
                        short_day(day),
                        _LABEL,
                        self._book.typesetter,
                    )
            day += dt.timedelta(days=1)
        draw_text(
            canvas,
            0,
            bottom - 9,
            said("days begin at 00:00, {zone}", zone=zone.key),
            _LABEL.but(size=6.2),
            self._book.typesetter,
        )

    def _draw_named(
        self,
        canvas: Canvas,
        y: float,
        name: str,
        marks: Sequence[Mark],
        label_rows: int,
        colour: Color,
        shape: str,
    ) -> float:
        if not marks:
            return y
        base = y - 9 * label_rows - 5
        draw_text(canvas, 0, base - 2.4, name, _NAME, self._book.typesetter)
        for level, indices in enumerate(self._levels(marks)):
            for index in indices:
                mark = marks[index]
                words = _cut(self._book, mark.words)
                x = self._x(mark.at)
                start = min(x - 3, self.width - text_width(words, "regular", _LABEL.size))
                height = base + 6 + 9 * level
                canvas.setStrokeColor(colour)
                canvas.setLineWidth(0.5)
                canvas.line(x, base, x, height - 1)
                draw_text(
                    canvas, start, height, words, _LABEL.but(colour=INK), self._book.typesetter
                )
        canvas.setFillColor(colour)
        canvas.setStrokeColor(WHITE)
        canvas.setLineWidth(0.8)
        for mark in marks:
            x = self._x(mark.at)
            if shape == "dot":
                canvas.circle(x, base, 3.4, stroke=1, fill=1)
            else:
                path = canvas.beginPath()
                path.moveTo(x, base + 4.4)
                path.lineTo(x + 4.4, base)
                path.lineTo(x, base - 4.4)
                path.lineTo(x - 4.4, base)
                path.close()
                canvas.drawPath(path, stroke=1, fill=1)
        return base - 6

    def _draw_plain(
        self, canvas: Canvas, y: float, name: str, marks: Sequence[Mark], colour: Color
    ) -> float:
        if not marks:
            return y
        base = y - 9
        draw_text(canvas, 0, base - 2.4, name, _NAME, self._book.typesetter)
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(1)
        for mark in marks:
            x = self._x(mark.at)
            canvas.line(x, base - 3, x, base + 3)
        return y - _ROW

    def _draw_bar(self, canvas: Canvas, y: float, bar: LossBar) -> None:
        begins = self._x(bar.begins) if bar.begins is not None else _LEFT
        ends = self._x(bar.ends)
        words = _fit(self._book, bar.words, _LEFT - 6)
        draw_text(canvas, 0, y - 2.4, words, _NAME, self._book.typesetter)
        colour = RULE if bar.outside else LOSS
        canvas.setFillColor(HAIRLINE if bar.outside else LOSS_PALE)
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(0.8)
        canvas.rect(begins, y - 3, max(ends - begins, 2), 6, stroke=0, fill=1)
        canvas.line(ends, y - 4, ends, y + 4)
        if bar.begins is not None:
            canvas.line(begins, y - 4, begins, y + 4)


def timeline_words(book: Book, rows: TimelineRows) -> str:
    """Return what the figure shows as sentences, for readers that do not see it."""
    told = []
    if rows.custody is not None:
        begins, ends = (book.time(one) for one in rows.custody)
        told.append(said("Our custody from {begins} to {ends}.", begins=begins, ends=ends))
    told.extend(
        said("Count {count}: {time}.", count=one.words, time=book.time(one.at))
        for one in rows.counts
    )
    told.extend(
        said("Occurrence {occurrence}: {time}.", occurrence=one.words, time=book.time(one.at))
        for one in rows.occurrences
    )
    if rows.movements:
        told.append(said_of(len(rows.movements), "{count} movement.", "{count} movements."))
    if rows.photos:
        told.append(said_of(len(rows.photos), "{count} photo.", "{count} photos."))
    told.extend(_gone_words(book, bar) for bar in rows.losses)
    return book.typesetter.clean(" ".join(told))


def _gone_words(book: Book, bar: LossBar) -> str:
    by = book.time(bar.ends)
    if bar.begins is None:
        if bar.outside:
            return said("{units} gone by {time}, outside our custody.", units=bar.words, time=by)
        return said("{units} gone by {time}.", units=bar.words, time=by)
    since = book.time(bar.begins)
    if bar.outside:
        return said(
            "{units} gone after {since} by {time}, outside our custody.",
            units=bar.words,
            since=since,
            time=by,
        )
    return said("{units} gone after {since} by {time}.", units=bar.words, since=since, time=by)


def _cut(book: Book, words: str) -> str:
    return _fit(book, words, 170)


def _fit(book: Book, words: str, width: float) -> str:
    """Return words cut with an ellipsis so that they fit."""
    clean = book.typesetter.clean(shortened(words, 80)).replace("\n", " ")
    if text_width(clean, "regular", _NAME.size) <= width:
        return clean
    while clean and text_width(clean + "…", "regular", _NAME.size) > width:
        clean = clean[:-1]
    return clean.rstrip() + "…"
