"""Rows and columns from where the words of a PDF stand on the page.

Invoices and quotes are often printed without a full grid of lines.  The headings say how
many columns there are; white space that runs through all rows says where they part; rules
and spacing say which lines belong to one row.  Lengths are points from the top left.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from ldapp.exchange.charge_words import sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS, ColumnField, label_certainty
from ldapp.exchange.columns import header_fits, header_strength
from ldapp.exchange.number_text import read_number

_COLUMN_GAP = 0.85
"""A gap between two words wider than this many heights of the letters parts two chunks."""
_HEADING_GAP = 1.6
"""A gap wider than this many usual gaps between words may part two headings."""
_SURE = 1.5
"""The strength from which a line is one of headings."""


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
        return f"page {self.page}, line {self.number}"

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

    @property
    def word_gap(self) -> float:
        """The usual gap between two words of running text, in heights of the letters."""
        gaps = sorted(
            gap
            for line in self.lines
            for chunk in line.chunks()
            for left, right in pairwise(chunk.words)
            if (gap := (right.x0 - left.x1) / max(left.height, 1.0)) > 0.1
        )
        return gaps[len(gaps) // 2] if gaps else 0.28


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


# --- headings ---------------------------------------------------------------------------


@dataclasses.dataclass(frozen=True, slots=True)
class Heading:
    """The heading of one column."""

    text: str
    x0: float
    x1: float
    merged: bool = False
    """Whether it stands on several lines."""
    words: tuple[Word, ...] = ()
    """Its words, where it stands on one line."""


@dataclasses.dataclass(frozen=True, slots=True)
class Header:
    """The headings of a table, which lines they take, and how sure they are."""

    headings: tuple[Heading, ...]
    first: int
    last: int
    strength: float


def find_header(page: Page) -> Header | None:
    """Return the strongest headings among the lines of a page; the first of equal ones."""
    best: Header | None = None
    lines = page.lines
    gap_between = page.word_gap * _HEADING_GAP
    for first in range(len(lines)):
        headings = _headings(lines[first], gap_between)
        for last in range(first, min(first + 3, len(lines))):
            if last > first:
                gap = lines[last].top - lines[last - 1].bottom
                if gap > 0.9 * lines[last].words[0].height or _has_figures(lines[last]):
                    break
                headings = _merged(headings, _headings(lines[last], gap_between))
            strength = header_strength([one.text for one in headings], COLUMN_FIELDS)
            if last > first:
                merged = [label_certainty(one.text) > 0.9 for one in headings if one.merged]
                whole = len(merged) > 1 and all(merged)
                strength += 0.05 if whole else -0.3 * (last - first)
            if strength > _SURE and (best is None or strength > best.strength + 0.01):
                best = Header(headings, first, last, strength)
    return best


def _has_figures(line: TextLine) -> bool:
    return any(read_number(chunk.text) is not None for chunk in line.chunks())


def _headings(line: TextLine, gap: float) -> tuple[Heading, ...]:
    headings: list[Heading] = []
    for chunk in line.chunks():
        for words in _parted(chunk.words, gap):
            one = Chunk(words)
            headings.append(Heading(one.text, one.x0, one.x1, words=words))
    return tuple(headings)


def _fit(words: Sequence[Word]) -> float:
    return label_certainty(" ".join(word.text for word in words))


def _parted(words: tuple[Word, ...], gap: float) -> list[tuple[Word, ...]]:
    """Part headings that stand closer than columns do, where each part is a known label."""
    whole = _fit(words) > 0.9
    for cut in range(len(words) - 1, 0, -1):
        if whole and words[cut].x0 - words[cut - 1].x1 < gap * words[cut].height:
            continue
        left, right = words[:cut], words[cut:]
        if _fit(left) > 0.9 and _fit(right) > (0.0 if whole else 0.9):
            return [left, *_parted(right, gap)]
    return [words]


def parted_by_body(headings: Sequence[Heading], body: Sequence[TextLine]) -> tuple[Heading, ...]:
    """Part headings such as ``Line Item`` where the lines below show two columns, not one."""
    lines = [line.chunks() for line in _between_figures(body)]
    lines = [line for line in lines if len(line) > 2]
    parted: list[Heading] = []
    for index, heading in enumerate(headings):
        start = headings[index - 1].x1 if index else float("-inf")
        end = headings[index + 1].x0 if index + 1 < len(headings) else float("inf")
        double = 0
        for line in lines:
            inside = [chunk for chunk in line if start < (chunk.x0 + chunk.x1) / 2 < end]
            double += len(inside) > 1 and inside[0].x1 < heading.x1
        cut = _label_cut(heading.words) if double > 0.6 * len(lines) else None
        if cut is None:
            parted.append(heading)
            continue
        for words in (heading.words[:cut], heading.words[cut:]):
            one = Chunk(words)
            parted.append(Heading(one.text, one.x0, one.x1, words=words))
    return tuple(parted)


def _label_cut(words: tuple[Word, ...]) -> int | None:
    return next(
        (
            cut
            for cut in range(1, len(words))
            if _fit(words[:cut]) > 0.9 and _fit(words[cut:]) > 0.9
        ),
        None,
    )


def _merged(above: tuple[Heading, ...], below: tuple[Heading, ...]) -> tuple[Heading, ...]:
    merged = list(above)
    for one in below:
        over = [
            index
            for index, known in enumerate(merged)
            if min(known.x1, one.x1) - max(known.x0, one.x0) > 0
        ]
        if len(over) == 1:
            known = merged[over[0]]
            merged[over[0]] = Heading(
                f"{known.text} {one.text}",
                min(known.x0, one.x0),
                max(known.x1, one.x1),
                merged=True,
            )
        elif not over:
            merged.append(one)
        else:
            return above
    return tuple(sorted(merged, key=lambda heading: heading.x0))


# --- columns ----------------------------------------------------------------------------


def column_bounds(
    headings: Sequence[Heading], body: Sequence[TextLine], page: Page
) -> tuple[float, ...]:
    """Return where neighbouring columns part: one bound fewer than there are headings.

    White space that no chunk of the body crosses is where they can part; of several such
    places those are taken that leave at most one chunk of each line in a column.
    """
    inside = _between_figures(body)
    all_chunks = [line.chunks() for line in inside]
    chunks = [line for line in all_chunks if len(line) > 1]
    candidates = []
    for left, right in pairwise(headings):
        ruled = [
            x
            for x, top, bottom in page.uprights
            if left.x1 - 2 <= x <= right.x0 + 2 and (not inside or top < inside[-1].bottom)
        ]
        candidates.append([ruled[0]] if ruled else _white_places(left, right, all_chunks))
    return _best_bounds(candidates, headings, chunks)


def _between_figures(body: Sequence[TextLine]) -> Sequence[TextLine]:
    """Return the lines down to the last with figures, without sums and the text below."""
    figures = [
        index
        for index, line in enumerate(body)
        if _has_figures(line) and sum_in_words(line.text) is None
    ]
    last = figures[-1] if figures else len(body) - 1
    return [line for line in body[: last + 1] if sum_in_words(line.text) is None]


def _white_places(left: Heading, right: Heading, lines: Sequence[tuple[Chunk, ...]]) -> list[float]:
    start, end = left.x0 + 1, right.x1 - 1
    steps = max(2, int(end - start) + 1)
    places = [start + (end - start) * step / (steps - 1) for step in range(steps)]
    crossed = [0] * steps
    for line in lines:
        for chunk in line:
            for step, x in enumerate(places):
                if chunk.x0 < x < chunk.x1:
                    crossed[step] += 1
    for step, x in enumerate(places):
        if x < left.x1 or x > right.x0:
            crossed[step] += 1  # a bound through a heading is worth one row's text
    least = min(crossed)
    runs: list[list[float]] = []
    for step, x in enumerate(places):
        if crossed[step] > least:
            continue
        if runs and step and crossed[step - 1] == least:
            runs[-1].append(x)
        else:
            runs.append([x])
    runs.sort(key=len, reverse=True)
    return sorted((run[0] + run[-1]) / 2 for run in runs[:6])


def _best_bounds(
    candidates: Sequence[Sequence[float]],
    headings: Sequence[Heading],
    lines: Sequence[tuple[Chunk, ...]],
) -> tuple[float, ...]:
    def cost(low: float, high: float, heading: Heading) -> float:
        total = 0.0
        filled = 0
        for line in lines:
            inside = sum(1 for chunk in line if low < (chunk.x0 + chunk.x1) / 2 <= high)
            filled += inside > 0
            total += max(0, inside - 1)
        total += 0.0 if filled else 0.5 * len(lines)
        return total + (0.0 if low < (heading.x0 + heading.x1) / 2 <= high else len(lines) + 1)

    ways: dict[float, tuple[float, tuple[float, ...]]] = {float("-inf"): (0.0, ())}
    for index, places in enumerate(candidates):
        following: dict[float, tuple[float, tuple[float, ...]]] = {}
        for x in places:
            following[x] = min(
                (total + cost(low, x, headings[index]), (*way, x))
                for low, (total, way) in ways.items()
                if low < x
            )
        ways = following
    return min(
        (total + cost(low, float("inf"), headings[-1]), way) for low, (total, way) in ways.items()
    )[1]


# --- rows -------------------------------------------------------------------------------

_FIGURES: tuple[frozenset[ColumnField], ...] = (
    frozenset({"amount", "gross"}),
    frozenset({"quantity"}),
    frozenset({"unit_price", "day_rate", "replacement_cost"}),
)


@dataclasses.dataclass(slots=True)
class _BodyLine:
    line: TextLine
    cells: list[str]
    fonts: frozenset[str]
    is_anchor: bool
    """Whether it has the figure that only one line of a row has."""
    has_text: bool
    is_sum: bool
    """Whether it prints a sum; its row has no other lines."""


def body_rows(
    headings: Sequence[Heading],
    bounds: Sequence[float],
    body: Sequence[TextLine],
    page: Page,
) -> list[tuple[TextLine, tuple[str, ...]]]:
    """Return the rows below the headings: for each its first line and its cells.

    A line without figures that belongs to no row (a heading, a footer) is a row by itself.
    """
    fits = header_fits([heading.text for heading in headings], COLUMN_FIELDS)
    anchors = _anchor_columns(fits)
    figures = {
        index
        for field, index in fits.items()
        if field
        in {"line", "quantity", "unit_price", "amount", "gross", "day_rate", "replacement_cost",
            "days", "tax", "tax_rate", "discount"}
    }  # fmt: skip
    lines = [_body_line(line, bounds, anchors, fits.get("line"), figures) for line in body]
    rows: list[tuple[TextLine, tuple[str, ...]]] = []
    for group in _row_groups(lines, page):
        members = [lines[index] for index in group]
        cells = tuple(
            " ".join(cell for member in members if (cell := member.cells[column]))
            for column in range(len(headings))
        )
        rows.append((members[0].line, cells))
    return rows


def _anchor_columns(fits: dict[ColumnField, int]) -> frozenset[int]:
    for wanted in _FIGURES:
        found = frozenset(index for field, index in fits.items() if field in wanted)
        if found:
            return found
    return frozenset()


def _body_line(
    line: TextLine,
    bounds: Sequence[float],
    anchors: frozenset[int],
    numbered: int | None,
    figures: set[int],
) -> _BodyLine:
    cells: list[list[str]] = [[] for _ in range(len(bounds) + 1)]
    fonts: set[str] = set()
    for word in line.words:
        middle = (word.x0 + word.x1) / 2
        column = sum(1 for bound in bounds if middle > bound)
        cells[column].append(word.text)
        if column not in figures:
            fonts.add(word.font)
    texts = [" ".join(words) for words in cells]
    is_anchor = any(read_number(texts[column]) is not None for column in anchors)
    if numbered is not None and texts[numbered].rstrip(".").isdecimal():
        others = [text for column, text in enumerate(texts) if text and column != numbered]
        is_anchor = is_anchor or bool(others)
    has_text = any(text for column, text in enumerate(texts) if column not in figures)
    is_sum = is_anchor and sum_in_words(line.text) is not None
    return _BodyLine(line, texts, frozenset(fonts), is_anchor, has_text, is_sum)


def _row_groups(lines: Sequence[_BodyLine], page: Page) -> list[list[int]]:
    """Return which lines make up each row, in the order of the page."""
    groups: list[list[int]] = []
    for block in _blocks(lines, page):
        anchors = [index for index in block if lines[index].is_anchor]
        if len(anchors) <= 1:
            groups.extend(_around_one(lines, block, anchors))
        else:
            groups.extend(_around_several(lines, block, anchors))
    return groups


def _around_one(
    lines: Sequence[_BodyLine], block: list[int], anchors: list[int]
) -> list[list[int]]:
    if not anchors or lines[anchors[0]].is_sum:
        return [[index] for index in block]
    fonts = lines[anchors[0]].fonts
    apart = [
        index for index in block if fonts and lines[index].fonts and not fonts & lines[index].fonts
    ]
    together = [index for index in block if index not in apart]
    return sorted([[index] for index in apart] + [together])


def _around_several(
    lines: Sequence[_BodyLine], block: list[int], anchors: list[int]
) -> list[list[int]]:
    """Give lines without figures to the row above; below where the text ends with figures."""
    upwards = lines[block[0]].is_anchor or not lines[block[-1]].is_anchor
    order = block if upwards else block[::-1]
    groups: list[list[int]] = []
    for index in order:
        one = lines[index]
        head = lines[groups[-1][0]] if groups else None
        joins = (
            head is not None
            and not one.is_anchor
            and head.is_anchor
            and not head.is_sum
            and (not one.fonts or not head.fonts or bool(one.fonts & head.fonts))
        )
        if joins:
            groups[-1].append(index)
        else:
            groups.append([index])
    return sorted(sorted(group) for group in groups)


def _blocks(lines: Sequence[_BodyLine], page: Page) -> list[list[int]]:
    """Part the lines where a rule runs between them or the gap is wider than within a row."""
    if not lines:
        return []
    ruled = _rules_between(lines, page)
    gaps = [
        later.line.middle - earlier.line.middle
        for earlier, later in pairwise([line for line in lines if line.has_text])
    ]
    height = lines[0].line.words[0].height
    usual = [gap for gap in gaps if gap > 0.6 * height]
    closest = min(usual, default=height * 1.2)
    limit = max(closest * 1.12, closest + 0.6)
    blocks = [[0]]
    last_text = 0 if lines[0].has_text else None
    for index in range(1, len(lines)):
        gap = lines[index].line.middle - lines[index - 1].line.middle
        if lines[index].has_text and last_text is not None:
            gap = lines[index].line.middle - lines[last_text].line.middle
        parted = ruled[index - 1] if any(ruled) else False
        if parted or (gap > limit and not _figures_between(lines, index, limit)):
            blocks.append([index])
        else:
            blocks[-1].append(index)
        if lines[index].has_text:
            last_text = index
    return blocks


def _figures_between(lines: Sequence[_BodyLine], index: int, limit: float) -> bool:
    """Tell figures set at half the height between two lines of their row's text."""
    before, here = lines[index - 1], lines[index]
    gap = here.line.middle - before.line.middle
    return gap < limit * 0.7 and (before.has_text is False or here.has_text is False)


def _rules_between(lines: Sequence[_BodyLine], page: Page) -> list[bool]:
    left = min(line.line.words[0].x0 for line in lines)
    right = max(line.line.words[-1].x1 for line in lines)
    wide = [
        height
        for height, start, end in page.rules
        if min(end, right) - max(start, left) > 0.5 * (right - left)
    ]
    return [
        any(earlier.line.middle < height < later.line.middle for height in wide)
        for earlier, later in pairwise(lines)
    ]


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
    edges = page.edges
    uprights = tuple(
        (edge["x0"], edge["top"], edge["bottom"])
        for edge in edges
        if edge["orientation"] == "v" and edge["bottom"] - edge["top"] > 8
    )
    return Page(number, lines_of(number, words), _whole_rules(edges), uprights)
