"""The headings of a table in a PDF: which line has them, and where each column begins."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from itertools import pairwise

from ldapp.exchange.charge_words import is_section_title, sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS, label_certainty, label_fields
from ldapp.exchange.columns import header_strength
from ldapp.exchange.number_text import read_amount, read_count, read_number
from ldapp.exchange.pdf_heading_lines import (
    KNOWN,
    Heading,
    apart,
    merged_headings,
    stacked,
)
from ldapp.exchange.pdf_words import Chunk, Page, TextLine, Word, has_figures

_HALF_KNOWN = 0.6
"""The certainty from which a part of a text is a known label."""
_SURE = 1.5
"""The strength from which a line is one of headings."""


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
    for first in range(len(lines)):
        if _is_charge(lines[first]) or is_section_title(lines[first].text):
            continue
        headings = _headings(lines[first])
        held = [headings]
        for last in range(first, min(first + 3, len(lines))):
            if last > first:
                gap = lines[last].top - lines[last - 1].bottom
                if gap > 0.9 * lines[last].words[0].height or _has_counts(lines[last]):
                    break
                if is_section_title(lines[last].text) and len(lines[last].chunks()) == 1:
                    break
                held.append(_headings(lines[last]))
                headings = merged_headings(headings, held[-1])
                if _is_beside(held[0], held[-1]) and not _is_linked(held):
                    continue  # such as a letterhead above the headings
            strength = header_strength([one.text for one in headings], COLUMN_FIELDS)
            if last > first:
                merged = [label_certainty(one.text) > 0.9 for one in headings if one.merged]
                whole = len(merged) > 1 and all(merged)
                strength += 0.05 if whole else -0.3 * (last - first)
            if strength > _SURE and (best is None or strength > best.strength + 0.01):
                best = Header(headings, first, last, strength)
    return _with_lines_beside(best, lines) if best is not None else None


def _is_charge(line: TextLine) -> bool:
    """Tell a line with several figures, which needs no looking up word by word."""
    return sum(read_number(chunk.text) is not None for chunk in line.chunks()) > 1


def _is_beside(one: Sequence[Heading], other: Sequence[Heading]) -> bool:
    return max(one[0].x0, other[0].x0) >= min(one[-1].x1, other[-1].x1)


def _is_linked(lines: Sequence[Sequence[Heading]]) -> bool:
    """Tell lines of which the first and the last stand over one another, or over a third."""
    reached = [0]
    for index in reached:
        reached += [
            other
            for other in range(len(lines))
            if other not in reached
            and any(apart(one, two) < 0 for one in lines[index] for two in lines[other])
        ]
    return len(lines) - 1 in reached


def _has_counts(line: TextLine) -> bool:
    """Tell a line with figures, such as ``4 pcs`` or ``769,96 €``, which is none of headings."""
    return any(
        read_count(chunk.text) is not None or read_amount(chunk.text) is not None
        for chunk in line.chunks()
    )


def _with_lines_beside(header: Header, lines: Sequence[TextLine]) -> Header:
    """Take in the other lines of headings that are set on several, such as ``HT`` below."""
    for step in (-1, 1):
        while header.last - header.first < 3:
            index = header.first - 1 if step < 0 else header.last + 1
            if not 0 <= index < len(lines):
                break
            upper, lower = (index, index + 1) if step < 0 else (index - 1, index)
            space = lines[lower].top - lines[upper].bottom
            if space > 0.6 * lines[index].words[0].height or _has_counts(lines[index]):
                break
            more = [
                Heading(one.text, one.x0, one.x1, words=one.words) for one in lines[index].chunks()
            ]
            if not _all_beside(header.headings, more):
                break
            above, below = (more, header.headings) if step < 0 else (header.headings, more)
            merged = stacked(above, below, header.headings)
            if is_section_title(lines[index].text) and not _ends_a_label(more, merged):
                break
            strength = header_strength([one.text for one in merged], COLUMN_FIELDS)
            if strength < header.strength - 0.6:
                break
            header = Header(
                merged, min(index, header.first), max(index, header.last), header.strength
            )
    return header


def _ends_a_label(more: Sequence[Heading], merged: Sequence[Heading]) -> bool:
    """Tell ``missing`` below ``Qty``, which is the heading of no section."""
    held = [one for one in merged if any(apart(one, word) < 0 for word in more)]
    return all(
        label_certainty(one.text) > KNOWN and "description" not in label_fields(one.text)
        for one in held
    )


def _all_beside(headings: Sequence[Heading], more: Sequence[Heading]) -> bool:
    """Tell words that each stand over or under one heading, and not just the description."""
    over = [[one for one in headings if apart(one, word) < 0] for word in more]
    if not all(len(one) == 1 for one in over):
        return False
    held = [one[0] for one in over]
    if len(set(held)) < len(held):
        return False
    return any("description" not in label_fields(one.text) for one in held)


def _headings(line: TextLine) -> tuple[Heading, ...]:
    headings: list[Heading] = []
    for chunk in line.chunks():
        for words in _parted(_unglued(chunk.words)):
            one = Chunk(words)
            headings.append(Heading(one.text, one.x0, one.x1, words=words))
    return tuple(headings)


def _fit(words: Sequence[Word]) -> float:
    return label_certainty(" ".join(word.text for word in words))


def _label_parts(words: tuple[Word, ...], spare: int = 0) -> list[tuple[Word, ...]] | None:
    """Return words as several known labels one behind the other; None where they are not.

    ``spare`` of them may be labels of which just a part is known.
    """
    best: list[tuple[Word, ...]] | None = None
    for cut in range(1, len(words)):
        left, right = words[:cut], words[cut:]
        fit = _fit(left)
        left_spare = spare - (fit <= KNOWN)
        if fit < _HALF_KNOWN or left_spare < 0:
            continue
        fit = _fit(right)
        if fit > KNOWN or (fit >= _HALF_KNOWN and left_spare > 0):
            found = [left, right]
        else:
            rest = _label_parts(right, left_spare)
            if rest is None:
                continue
            found = [left, *rest]
        if best is None or len(found) < len(best):
            best = found
    return best


def _parted(words: tuple[Word, ...]) -> list[tuple[Word, ...]]:
    """Part headings that stand closer than columns do, where each part is a known label."""
    fit = _fit(words)
    if fit > KNOWN:
        return [words]  # a label as a whole; the lines below may show that it is two
    parts = _label_parts(words)
    if parts is None:
        parts = _label_parts(words, 1)
        if parts is not None and min(map(_fit, parts)) <= fit:
            parts = None  # the whole is better known than its parts
    return parts or [words]


def _unglued(words: tuple[Word, ...]) -> tuple[Word, ...]:
    """Part words such as ``QuantityPrice`` that touch because their columns are narrow."""
    apart: list[Word] = []
    for word in words:
        cut = next(
            (
                cut
                for cut in range(3, len(word.text) - 2)
                if label_certainty(word.text) == 0
                and label_certainty(word.text[:cut]) > KNOWN
                and label_certainty(word.text[cut:]) > KNOWN
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
        after = headings[index + 1] if index + 1 < len(headings) else None
        double = sum(
            1
            for line in lines
            if any(
                _overlap(one, left) and one.x1 < right.x1 and _nearest(other, right, after)
                for one, other in pairwise(line)
            )
        )
        behind = sum(_only_below(line, left, right) for line in lines)
        # The first of two columns may be empty in many lines, that of serial numbers above all.
        seen = double > 1 and double > 0.2 * len(lines) and double + behind > 0.6 * len(lines)
        if lines and (seen or double > 0.6 * len(lines)):
            parted.append(Heading(left.text, left.x0, left.x1, words=left.words))
            parted.append(Heading(right.text, right.x0, right.x1, words=right.words))
        else:
            parted.append(heading)
    return tuple(parted)


def _nearest(chunk: Chunk, heading: Chunk, after: Heading | None) -> bool:
    """Tell text that stands under a heading rather than under the one behind it."""
    if after is None:
        return chunk.x1 > heading.x0
    shared = min(chunk.x1, heading.x1) - max(chunk.x0, heading.x0)
    beyond = min(chunk.x1, after.x1) - max(chunk.x0, after.x0)
    return chunk.x0 < after.x0 and chunk.x1 > heading.x0 and (shared > 0 or beyond < 0)


def _only_below(line: Sequence[Chunk], left: Chunk, right: Chunk) -> bool:
    """Tell a line with text under the second of two labels and none under the first."""
    return not any(_overlap(one, left) for one in line) and any(
        _overlap(one, right) for one in line
    )


def _overlap(one: Chunk, other: Chunk) -> bool:
    return min(one.x1, other.x1) - max(one.x0, other.x0) > -2


def between_figures(body: Sequence[TextLine]) -> Sequence[TextLine]:
    """Return the lines down to the last with figures, without sums and the text below."""
    kinds = [sum_in_words(line.text) for line in body]
    sums = [index for index, kind in enumerate(kinds) if kind is not None]
    end = sums[-1] if sums else len(body)
    if sums and kinds[end] in {"gross", "balance"}:
        body = body[: end + 1]  # what follows the total is no charge, such as a table of the tax
    figures = [
        index
        for index, line in enumerate(body)
        # A lone number below the sums is that of the page.
        if index not in sums and (_is_charge(line) if index > end else has_figures(line))
    ]
    last = figures[-1] if figures else len(body) - 1
    return [line for line in body[: last + 1] if sum_in_words(line.text) is None]
