"""The headings of a table in a PDF: which line has them, and where each column begins."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from ldapp.exchange.charge_words import sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS, label_certainty
from ldapp.exchange.columns import header_strength
from ldapp.exchange.pdf_words import Chunk, Page, TextLine, Word, has_figures

_HEADING_GAP = 1.6
"""A gap wider than this many usual gaps between words may part two headings."""
_KNOWN = 0.9
"""The certainty from which a text is a known label as a whole."""
_SURE = 1.5
"""The strength from which a line is one of headings."""


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
                if gap > 0.9 * lines[last].words[0].height or has_figures(lines[last]):
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


def _headings(line: TextLine, gap: float) -> tuple[Heading, ...]:
    headings: list[Heading] = []
    for chunk in line.chunks():
        for words in _parted(_unglued(chunk.words), gap):
            one = Chunk(words)
            headings.append(Heading(one.text, one.x0, one.x1, words=words))
    return tuple(headings)


def _fit(words: Sequence[Word]) -> float:
    return label_certainty(" ".join(word.text for word in words))


def _label_parts(words: tuple[Word, ...]) -> list[tuple[Word, ...]] | None:
    """Return words as several known labels one behind the other; None where they are not."""
    for cut in range(1, len(words)):
        left, right = words[:cut], words[cut:]
        if _fit(left) <= _KNOWN:
            continue
        if _fit(right) > _KNOWN:
            return [left, right]
        rest = _label_parts(right)
        if rest is not None:
            return [left, *rest]
    return None


def _parted(words: tuple[Word, ...], gap: float) -> list[tuple[Word, ...]]:
    """Part headings that stand closer than columns do, where each part is a known label."""
    if _fit(words) <= _KNOWN:
        return _label_parts(words) or [words]
    for cut in range(len(words) - 1, 0, -1):
        if words[cut].x0 - words[cut - 1].x1 < gap * words[cut].height:
            continue
        left, right = words[:cut], words[cut:]
        if _fit(left) > _KNOWN and _fit(right) > 0:
            return [left, *_parted(right, gap)]
    return [words]


def _unglued(words: tuple[Word, ...]) -> tuple[Word, ...]:
    """Part words such as ``QuantityPrice`` that touch because their columns are narrow."""
    apart: list[Word] = []
    for word in words:
        cut = next(
            (
                cut
                for cut in range(3, len(word.text) - 2)
                if label_certainty(word.text) == 0
                and label_certainty(word.text[:cut]) > _KNOWN
                and label_certainty(word.text[cut:]) > _KNOWN
            ),
            None,
        )
        if cut is None:
            apart.append(word)
            continue
        x = word.x0 + (word.x1 - word.x0) * cut / len(word.text)
        apart.append(dataclasses.replace(word, text=word.text[:cut], x1=x))
        apart.append(dataclasses.replace(word, text=word.text[cut:], x0=x))
    return tuple(apart)


def parted_by_body(headings: Sequence[Heading], body: Sequence[TextLine]) -> tuple[Heading, ...]:
    """Part headings such as ``Line Item`` where the lines below show two columns, not one."""
    lines = [line.chunks() for line in between_figures(body)]
    lines = [line for line in lines if len(line) > 2]
    parted: list[Heading] = []
    for index, heading in enumerate(headings):
        parts = _label_parts(heading.words)
        if parts is None or len(parts) > 2:
            parted.append(heading)
            continue
        left, right = Chunk(parts[0]), Chunk(parts[1])
        end = headings[index + 1].x0 if index + 1 < len(headings) else float("inf")
        double = sum(
            1
            for line in lines
            if any(_overlap(chunk, left) and chunk.x1 < right.x1 for chunk in line)
            and any(
                chunk.x0 > left.x1 - 2 and chunk.x0 < end and chunk.x1 > right.x0 for chunk in line
            )
        )
        if double > 0.6 * len(lines) and lines:
            parted.append(Heading(left.text, left.x0, left.x1, words=left.words))
            parted.append(Heading(right.text, right.x0, right.x1, words=right.words))
        else:
            parted.append(heading)
    return tuple(parted)


def _overlap(one: Chunk, other: Chunk) -> bool:
    return min(one.x1, other.x1) - max(one.x0, other.x0) > -2


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


def between_figures(body: Sequence[TextLine]) -> Sequence[TextLine]:
    """Return the lines down to the last with figures, without sums and the text below."""
    figures = [
        index
        for index, line in enumerate(body)
        if has_figures(line) and sum_in_words(line.text) is None
    ]
    last = figures[-1] if figures else len(body) - 1
    return [line for line in body[: last + 1] if sum_in_words(line.text) is None]
