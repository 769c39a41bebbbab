"""The words of a PDF and where they stand: lines, chunks, rules.  Lengths are points."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from babel.numbers import list_currencies

from ldapp.exchange.number_text import read_number
from ldapp.language import said

_WITH_CURRENCY = re.compile(rf"(\d{{1,4}})({'|'.join(sorted(list_currencies()))})")
_COLUMN_GAP = 0.85
"""A gap between two words wider than this many heights of the letters parts two chunks."""


@dataclasses.dataclass(frozen=True, slots=True)
class Word:
    """One word and the box it stands in."""

    text: str
    x0: float
    x1: float
    top: float
    bottom: float
    font: str = ""

    @property
    def height(self) -> float:
        """The height of the letters."""
        return self.bottom - self.top


@dataclasses.dataclass(frozen=True, slots=True)
class Chunk:
    """Words that stand close together on one line."""

    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        """The words with one space between."""
        return " ".join(word.text for word in self.words)

    @property
    def x0(self) -> float:
        """The left edge."""
        return self.words[0].x0

    @property
    def x1(self) -> float:
        """The right edge."""
        return max(word.x1 for word in self.words)


@dataclasses.dataclass(frozen=True, slots=True)
class TextLine:
    """The words of one line, from left to right."""

    page: int
    number: int
    """Counted from 1 on its page."""
    words: tuple[Word, ...]

    @property
    def middle(self) -> float:
        """The height of its middle."""
        return sum(word.top + word.bottom for word in self.words) / (2 * len(self.words))

    @property
    def top(self) -> float:
        """The upper edge of its highest word."""
        return min(word.top for word in self.words)

    @property
    def bottom(self) -> float:
        """The lower edge of its lowest word."""
        return max(word.bottom for word in self.words)

    @property
    def text(self) -> str:
        """The whole line."""
        return " ".join(word.text for word in self.words)

    @property
    def place(self) -> str:
        """How it is named to a person."""
        return said("page {page}, line {number}", page=self.page, number=self.number)

    def chunks(self, gap: float = _COLUMN_GAP) -> tuple[Chunk, ...]:
        """Return the words parted wherever a gap is wider than ``gap`` heights."""
        chunks: list[list[Word]] = []
        for word in self.words:
            if chunks and word.x0 - chunks[-1][-1].x1 <= gap * word.height:
                chunks[-1].append(word)
            else:
                chunks.append([word])
        return tuple(Chunk(tuple(words)) for words in chunks)


@dataclasses.dataclass(frozen=True, slots=True)
class Page:
    """What is needed of one page."""

    number: int
    lines: tuple[TextLine, ...]
    rules: tuple[tuple[float, float, float], ...]
    """Lines across: height, left and right end."""
    uprights: tuple[tuple[float, float, float], ...]
    """Lines down: distance from the left, upper and lower end."""


def lines_of(page: int, words: Sequence[Word]) -> tuple[TextLine, ...]:
    """Group words into lines: those whose middles lie within a third of their height."""
    groups: list[list[Word]] = []
    for word in sorted(words, key=lambda one: ((one.top + one.bottom) / 2, one.x0)):
        middle = (word.top + word.bottom) / 2
        if groups:
            last = groups[-1]
            known = sum(one.top + one.bottom for one in last) / (2 * len(last))
            if abs(middle - known) <= max(1.0, word.height / 3):
                last.append(word)
                continue
        groups.append([word])
    return tuple(
        TextLine(page, number, tuple(sorted(group, key=lambda one: one.x0)))
        for number, group in enumerate(groups, 1)
    )


def has_figures(line: TextLine) -> bool:
    """Return whether a line has a number that stands by itself."""
    return any(read_number(chunk.text) is not None for chunk in line.chunks())


def _whole_rules(edges: Sequence[dict[str, Any]]) -> tuple[tuple[float, float, float], ...]:
    """Join the pieces of rules across: each cell of a shaded row has its own."""
    pieces = sorted(
        (edge["top"], edge["x0"], edge["x1"]) for edge in edges if edge["orientation"] == "h"
    )
    rules: list[tuple[float, float, float]] = []
    for height, start, end in pieces:
        if rules:
            known, first, last = rules[-1]
            if height - known < 0.7 and start <= last + 2 and end >= first - 2:
                rules[-1] = (known, min(first, start), max(last, end))
                continue
        rules.append((height, start, end))
    return tuple(rules)


def _unglued(word: Word | None, after: Word | None) -> tuple[Word, ...]:
    """Part a quantity from the currency of the price that touches it: ``2EUR 409.91``."""
    if word is None:
        return ()
    glued = _WITH_CURRENCY.fullmatch(word.text)
    if glued is None or after is None or read_number(after.text) is None:
        return (word,)
    x = word.x0 + (word.x1 - word.x0) * len(glued[1]) / len(word.text)
    return (
        dataclasses.replace(word, text=glued[1], x1=x),
        dataclasses.replace(word, text=glued[2], x0=x),
    )


def page_of(number: int, page: Any) -> Page:
    """Return what is needed of a page of pdfplumber."""
    words = [
        Word(
            text=word["text"],
            x0=word["x0"],
            x1=word["x1"],
            top=word["top"],
            bottom=word["bottom"],
            font=word["fontname"],
        )
        for word in page.extract_words(
            x_tolerance_ratio=0.18, y_tolerance=2, extra_attrs=["fontname"], use_text_flow=False
        )
    ]
    words = [part for word, after in pairwise([*words, None]) for part in _unglued(word, after)]
    edges = page.edges
    uprights = tuple(
        (edge["x0"], edge["top"], edge["bottom"])
        for edge in edges
        if edge["orientation"] == "v" and edge["bottom"] - edge["top"] > 8
    )
    return Page(number, lines_of(number, words), _whole_rules(edges), uprights)
