"""Text as text: broken into lines, drawn by scripts and directions, never read as markup.

Words of people and files go to the page through :class:`Text` alone.  It knows no tags and
no entities, so nothing that anybody writes can become a link, a font change or an error.
Line breaking is by words, between ideographs, and by letter where one word is wider than
the line.  Mixed directions follow the Unicode bidirectional algorithm (UAX 9).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from bidi.mirror import MIRRORED
from reportlab.lib.colors import Color
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfbase.ttfonts import shapeStr
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from ldapp.dossier.directions import runs_right_to_left, visual_order
from ldapp.dossier.fonts import Face, Run, Typesetter, is_right_to_left, runs_of
from ldapp.dossier.style import ACCENT, TextStyle
from ldapp.dossier.tagging import Kind, tagged

BASELINE_SHARE = 0.76
"""Where in its line a text stands: share of the leading above the baseline."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of text with a look of its own; ``link`` names a place in the dossier."""

    text: str
    face: Face | None = None
    colour: Color | None = None
    size: float | None = None
    link: str | None = None


@dataclass(frozen=True, slots=True)
class _Look:
    face: Face
    colour: Color
    size: float
    link: str | None


@dataclass(frozen=True, slots=True)
class _Line:
    pieces: tuple[tuple[str, _Look], ...]
    width: float
    goes_on: bool
    """Whether a blank or a line's end parts it from what follows; readers hear it as a blank."""
    right_to_left: bool
    """The direction of the whole paragraph, also where this line begins otherwise."""


@lru_cache(maxsize=20_000)
def _shaped_width(text: str, font: str, size: float) -> float:
    shaped = shapeStr(text, font, size, force=True)
    advances: float = sum(glyph.x_advance for glyph in shaped.__shapeData__)
    return advances * size / 1000


def _run_width(run: Run, size: float) -> float:
    if run.shaped:
        return _shaped_width(run.text, run.font, size)
    width: float = stringWidth(run.text, run.font, size)
    return width


def text_width(text: str, face: Face, size: float) -> float:
    """Return the width of a clean text in points."""
    return sum(_run_width(run, size) for run in runs_of(text, face))


def _is_ideograph(character: str) -> bool:
    return character > "\u2e7f" and unicodedata.east_asian_width(character) in {"W", "F"}


def _words(text: str) -> list[str]:
    """Cut a text where a line may break: after spaces, after ``/``, around ideographs."""
    words: list[str] = []
    start = 0
    for index in range(1, len(text)):
        before, here = text[index - 1], text[index]
        breaks = (
            (before == " " and here != " ")
            or (before in "/\u2013\u2014" and here.isalnum())
            or _is_ideograph(here)
            or _is_ideograph(before)
        )
        if breaks and here not in "。、，．！？）」』,.;:!?)":
            words.append(text[start:index])
            start = index
    words.append(text[start:])
    return words


def _clusters(word: str) -> list[str]:
    """Cut a word into letters with the marks that belong to them."""
    clusters: list[str] = []
    for character in word:
        if clusters and unicodedata.category(character).startswith("M"):
            clusters[-1] += character
        else:
            clusters.append(character)
    return clusters


def _break_lines(pieces: Sequence[tuple[str, _Look]], width: float) -> list[_Line]:
    """Break one paragraph into lines no wider than ``width``, but for a single letter."""
    lines: list[_Line] = []
    line: list[tuple[str, _Look]] = []
    used = 0.0
    backwards = runs_right_to_left(pieces)
    for text, look in pieces:
        for word in _words(text):
            wide = text_width(word, look.face, look.size)
            bare = word.rstrip(" ")
            bare_wide = wide if bare == word else text_width(bare, look.face, look.size)
            if line and used + bare_wide > width + 0.01:
                lines.append(_line(line, backwards))
                line, used = [], 0.0
            if bare_wide > width:
                for cluster in _clusters(word):
                    letter = text_width(cluster, look.face, look.size)
                    if line and used + letter > width + 0.01:
                        lines.append(_line(line, backwards))
                        line, used = [], 0.0
                    line.append((cluster, look))
                    used += letter
            else:
                line.append((word, look))
                used += wide
    lines.append(_line(line, backwards))
    return lines


def _line(pieces: list[tuple[str, _Look]], right_to_left: bool) -> _Line:
    merged: list[tuple[str, _Look]] = []
    for text, look in pieces:
        if merged and merged[-1][1] is look:
            merged[-1] = (merged[-1][0] + text, look)
        else:
            merged.append((text, look))
    goes_on = False
    if merged:
        last, look = merged[-1]
        merged[-1] = (last.rstrip(" "), look)
        goes_on = last.endswith(" ")
    width = sum(text_width(text, look.face, look.size) for text, look in merged)
    return _Line(pieces=tuple(merged), width=width, goes_on=goes_on, right_to_left=right_to_left)


class Text(Flowable):
    """A paragraph, or several parted by line ends, in one style with spans of other looks."""

    def __init__(
        self,
        content: str | Span | Iterable[str | Span],
        style: TextStyle,
        typesetter: Typesetter,
    ) -> None:
        super().__init__()
        self.style = style
        self.spaceBefore = style.before
        self.spaceAfter = style.after
        self.keepWithNext = style.keep_with_next
        self.means: Kind = "P"
        self._key = object()
        spans = [content] if isinstance(content, (str, Span)) else list(content)
        self._paragraphs: list[list[tuple[str, _Look]]] = [[]]
        for span in spans:
            self._add(span if isinstance(span, Span) else Span(span), typesetter)
        self._lines: list[_Line] | None = None
        self._lines_width = -1.0

    def _add(self, span: Span, typesetter: Typesetter) -> None:
        colour = span.colour or (ACCENT if span.link else self.style.colour)
        look = _Look(span.face or self.style.face, colour, span.size or self.style.size, span.link)
        for index, part in enumerate(typesetter.clean(span.text).split("\n")):
            if index:
                self._paragraphs.append([])
            if part:
                self._paragraphs[-1].append((part.replace("\t", "    "), look))

    def lines_for(self, width: float) -> list[_Line]:
        """Return the lines that the text has in a column of ``width``."""
        if self._lines is None or abs(self._lines_width - width) > 0.01:
            room = width - self.style.indent
            paragraphs = [_break_lines(pieces, room) for pieces in self._paragraphs]
            for lines in paragraphs[:-1]:
                lines[-1] = replace(lines[-1], goes_on=True)
            self._lines = [line for lines in paragraphs for line in lines]
            self._lines_width = width
        return self._lines

    def empty(self) -> Text:
        """Return a text of the same style without words or height."""
        return self._part([], 0)

    def natural_width(self) -> float:
        """Return the width that the text takes when no line is broken."""
        return max(
            (
                sum(text_width(text, look.face, look.size) for text, look in pieces)
                for pieces in self._paragraphs
            ),
            default=0.0,
        )

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Break the text for ``width`` and return the size that it takes."""
        self.width = width
        self.height = len(self.lines_for(width)) * self.style.leading
        return width, self.height

    def in_pages(self, width: float, height: float) -> list[Text]:
        """Return the text cut into parts no higher than ``height``."""
        lines = self.lines_for(width)
        fitting = max(int((height + 0.01) // self.style.leading), 1)
        return [
            self._part(lines[start : start + fitting], width)
            for start in range(0, len(lines), fitting)
        ]

    def split(self, width: float, height: float) -> list[Flowable]:
        """Split at a line, never leaving fewer than two lines on either page."""
        lines = self.lines_for(width)
        fitting = int((height + 0.01) // self.style.leading)
        if fitting >= len(lines):
            return [self]
        fitting = min(fitting, len(lines) - 2)
        if fitting < 2:
            return []
        return [self._part(lines[:fitting], width), self._part(lines[fitting:], width)]

    def _part(self, lines: list[_Line], width: float) -> Text:
        part = Text("", self.style, Typesetter())
        part._lines = lines
        part._lines_width = width
        part._paragraphs = [list(line.pieces) for line in lines]
        part.means, part._key = self.means, self._key
        return part

    def draw(self) -> None:
        """Draw the lines from the top of the frame that was wrapped for."""
        with tagged(self.canv, self.means, key=self._key):
            self._draw_lines()

    def _draw_lines(self) -> None:
        y = self.height - self.style.leading * BASELINE_SHARE
        for line in self.lines_for(self.width):
            right_to_left = line.right_to_left
            free = self.width - self.style.indent - line.width
            share = {"left": 0.0, "centre": 0.5, "right": 1.0}[self.style.align]
            if right_to_left and self.style.align == "left":
                share = 1.0
            x = self.style.indent + free * share
            pieces = line.pieces
            if line.goes_on and pieces and not right_to_left:
                pieces = (*pieces[:-1], (f"{pieces[-1][0]} ", pieces[-1][1]))
            draw_pieces(self.canv, x, y, pieces, right_to_left=right_to_left)
            y -= self.style.leading


def draw_pieces(
    canvas: Canvas,
    x: float,
    y: float,
    pieces: Sequence[tuple[str, _Look]],
    *,
    right_to_left: bool = False,
) -> float:
    """Draw pieces of text from ``x`` on the baseline ``y``; returns where the last one ends."""
    plain = not right_to_left and not any(
        not text.isascii() and any(is_right_to_left(one) for one in text) for text, _ in pieces
    )
    if plain:
        for text, look in pieces:
            x = _draw_runs(canvas, x, y, runs_of(text, look.face), look)
        return x
    for text, look, backwards in visual_order(pieces, right_to_left=right_to_left):
        runs = runs_of(text, look.face)
        if backwards:
            runs = [_mirrored(run) for run in reversed(runs)]
        else:
            runs = [_digits_unshaped(run) for run in runs]
        x = _draw_runs(canvas, x, y, runs, look)
    return x


def _mirrored(run: Run) -> Run:
    """Return a run of a right-to-left stretch as it is drawn from left to right."""
    if run.shaped and any(is_right_to_left(character) for character in run.text):
        return run  # the shaper turns it
    turned = "".join(
        MIRRORED.get(one, one) if unicodedata.mirrored(one) else one for one in reversed(run.text)
    )
    return Run(text=turned, font=run.font, shaped=False)


def _digits_unshaped(run: Run) -> Run:
    if all(unicodedata.bidirectional(one) in {"AN", "EN", "CS", "ES", "WS"} for one in run.text):
        return Run(text=run.text, font=run.font, shaped=False)
    return run


def _draw_runs(canvas: Canvas, x: float, y: float, runs: list[Run], look: _Look) -> float:
    if look.link is None:
        return _paint_runs(canvas, x, y, runs, look)
    with tagged(canvas, "Link"):
        end = _paint_runs(canvas, x, y, runs, look)
        box = (x, y - look.size * 0.25, end, y + look.size * 0.85)
        words = "".join(run.text for run in runs)
        canvas.linkRect(words, look.link, box, relative=1, Border="[0 0 0]")
    return end


def _paint_runs(canvas: Canvas, x: float, y: float, runs: list[Run], look: _Look) -> float:
    canvas.setFillColor(look.colour)
    for run in runs:
        if run.shaped:
            _draw_shaped(canvas, x, y, run, look.size)
        else:
            canvas.setFont(run.font, look.size)
            canvas.drawString(x, y, run.text)
        x += _run_width(run, look.size)
    return x


def _draw_shaped(canvas: Canvas, x: float, y: float, run: Run, size: float) -> None:
    """Draw joined or stacked letters; the glyphs carry the text that they stand for."""
    actual = ("\ufeff" + run.text).encode("utf-16-be").hex().upper()
    canvas.addLiteral(f"/Span <</ActualText <{actual}>>> BDC")
    text = canvas.beginText(x, y)
    text.setFont(run.font, size)
    text.textOut(shapeStr(run.text, run.font, size, force=True))
    canvas.drawText(text)
    canvas.addLiteral("EMC")


def draw_text(
    canvas: Canvas, x: float, y: float, text: str, style: TextStyle, typesetter: Typesetter
) -> float:
    """Draw one line of text with its left, middle or right at ``x``; returns its width."""
    look = _Look(style.face, style.colour, style.size, None)
    clean = typesetter.clean(text).replace("\n", " ")
    width = text_width(clean, style.face, style.size)
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[style.align]
    pieces = ((clean, look),)
    draw_pieces(canvas, x - width * share, y, pieces, right_to_left=runs_right_to_left(pieces))
    return width
