"""Rows and columns from where the words of a PDF stand on the page.

Invoices and quotes are often printed without a full grid of lines.  The headings say how
many columns there are; white space that runs through all rows says where they part; rules
and spacing say which lines belong to one row.  Lengths are points from the top left.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from itertools import pairwise

from ldapp.exchange.charge_words import kind_in_words, sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS, ColumnField
from ldapp.exchange.columns import header_fits
from ldapp.exchange.number_text import read_number
from ldapp.exchange.pdf_headings import Heading, between_figures
from ldapp.exchange.pdf_words import Chunk, Page, TextLine, Word

# --- columns ----------------------------------------------------------------------------


def column_bounds(
    headings: Sequence[Heading], body: Sequence[TextLine], page: Page
) -> tuple[float, ...]:
    """Return where neighbouring columns part: one bound fewer than there are headings.

    White space that no chunk of the body crosses is where they can part; of several such
    places those are taken that leave at most one chunk of each line in a column.
    """
    inside = between_figures(body)
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
    is_heading: bool
    """Whether it looks like the heading of a section, which belongs to no row."""
    middle: float
    """The height of the middle of its text; of its figures where it has no text."""


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
    _without_beginnings(lines)
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
    text_words: list[Word] = []
    for word in line.words:
        middle = (word.x0 + word.x1) / 2
        column = sum(1 for bound in bounds if middle > bound)
        cells[column].append(word.text)
        if column not in figures:
            fonts.add(word.font)
            text_words.append(word)
    texts = [" ".join(words) for words in cells]
    is_anchor = any(read_number(texts[column]) is not None for column in anchors)
    if numbered is not None and texts[numbered].rstrip(".").isdecimal():
        others = [text for column, text in enumerate(texts) if text and column != numbered]
        is_anchor = is_anchor or bool(others)
    has_text = any(text for column, text in enumerate(texts) if column not in figures)
    measured = text_words or line.words
    return _BodyLine(
        line=line,
        cells=texts,
        fonts=frozenset(fonts),
        is_anchor=is_anchor,
        has_text=has_text,
        is_sum=is_anchor and sum_in_words(line.text) is not None,
        is_heading=not is_anchor and _looks_like_heading(line.text, texts, numbered),
        middle=sum(word.top + word.bottom for word in measured) / (2 * len(measured)),
    )


def _looks_like_heading(text: str, cells: Sequence[str], numbered: int | None) -> bool:
    """Tell ``Missing items`` from the second line of a description at the same spacing."""
    if len(text.split()) > 4 or not text[:1].isupper():
        return False
    if kind_in_words(text) is not None:
        return True
    if any(one.isdigit() for one in text):
        return False
    # Text where the line numbers stand is no second line of a description either.
    in_numbers = numbered is not None and bool(cells[numbered])
    return text.isupper() or text.endswith(":") or in_numbers


def _without_beginnings(lines: Sequence[_BodyLine]) -> None:
    """Take back headings that the next line goes on from in the middle of a sentence."""
    for one, after in pairwise(lines):
        text = "".join(after.cells)
        goes_on = next((letter.islower() for letter in text if letter.isalpha()), False)
        if one.is_heading and goes_on:
            one.is_heading = False


def _row_groups(lines: Sequence[_BodyLine], page: Page) -> list[list[int]]:
    """Return which lines make up each row, in the order of the page."""
    groups: list[list[int]] = []
    for block in _blocks(lines, page):
        anchors = [index for index in block if lines[index].is_anchor]
        if len(anchors) <= 1:
            groups.extend(_around_one(lines, block, anchors))
        else:
            groups.extend(_around_several(lines, block, _leans_up(lines)))
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


def _leans_up(lines: Sequence[_BodyLine]) -> bool | None:
    """Tell whether text without figures stands nearer to the row above than to the one below."""
    votes = 0
    for before, one, after in zip(lines, lines[1:], lines[2:], strict=False):
        if not one.is_anchor and before.has_text and after.has_text:
            up = one.middle - before.middle
            down = after.middle - one.middle
            votes += (up < down - 0.4) - (down < up - 0.4)
    return None if votes == 0 else votes > 0


def _around_several(
    lines: Sequence[_BodyLine], block: list[int], leans_up: bool | None
) -> list[list[int]]:
    """Give lines without figures to the row above; below where the text ends with figures."""
    upwards = lines[block[0]].is_anchor or not lines[block[-1]].is_anchor
    if lines[block[0]].is_anchor and lines[block[-1]].is_anchor and leans_up is not None:
        upwards = leans_up
    order = block if upwards else block[::-1]
    groups: list[list[int]] = []
    for index in order:
        one = lines[index]
        head = lines[groups[-1][0]] if groups else None
        joins = (
            head is not None
            and not one.is_anchor
            and not one.is_heading
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
    all_ruled = sum(ruled) >= 0.7 * (sum(line.is_anchor for line in lines) - 1) > 0
    gaps = [
        later.middle - earlier.middle
        for earlier, later in pairwise([line for line in lines if line.has_text])
    ]
    height = lines[0].line.words[0].height
    usual = [gap for gap in gaps if gap > 0.6 * height]
    closest = min(usual, default=height * 1.2)
    limit = max(closest * 1.12, closest + 0.6)
    blocks = [[0]]
    last_text = 0 if lines[0].has_text else None
    for index in range(1, len(lines)):
        gap = lines[index].middle - lines[index - 1].middle
        if lines[index].has_text and last_text is not None:
            gap = lines[index].middle - lines[last_text].middle
        wide = gap > limit and not _figures_between(lines, index, limit)
        if ruled[index - 1] or (wide and not all_ruled):
            blocks.append([index])
        else:
            blocks[-1].append(index)
        if lines[index].has_text:
            last_text = index
    return blocks


def _figures_between(lines: Sequence[_BodyLine], index: int, limit: float) -> bool:
    """Tell figures set at half the height between two lines of their row's text."""
    before, here = lines[index - 1], lines[index]
    gap = here.middle - before.middle
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
        any(earlier.middle < height < later.middle for height in wide)
        for earlier, later in pairwise(lines)
    ]
