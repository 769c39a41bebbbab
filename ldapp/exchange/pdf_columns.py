"""Where the columns of a table in a PDF part, told by its headings and the rows below.

The headings say how many columns there are and what each holds.  A bound between two of
them can lie wherever few words cross it; of all ways to lay the bounds that one is taken
with which the cells hold what their headings promise: figures below *Amount*, one piece
of text below *Description*.  Lengths are points.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from ldapp.exchange.charge_words import sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS, ColumnField
from ldapp.exchange.columns import header_fits
from ldapp.exchange.number_text import read_amount
from ldapp.exchange.pdf_heading_lines import Heading
from ldapp.exchange.pdf_headings import between_figures
from ldapp.exchange.pdf_words import Page, TextLine, Word

_MOST_LINES = 80
"""Lines from which the bounds are told; a longer table shows nothing new."""
_MOST_PLACES = 9
"""Places that are tried between two headings."""

_MONEY: frozenset[ColumnField] = frozenset(
    {"unit_price", "amount", "gross", "tax", "day_rate", "replacement_cost", "scheduled_value"}
)
_COUNTS: frozenset[ColumnField] = frozenset({"quantity", "days", "discount", "tax_rate", "age"})
_IN_EVERY_ROW: frozenset[ColumnField] = frozenset({"quantity", "amount"})
_FILLED = frozenset({*_MONEY, *_COUNTS, "line", "description", "kind", "unit"})
"""Columns that are not there to be empty."""
_BEHIND_DIGITS = re.compile(
    r"\d{3}(?!\d)|(?:ea|pcs?|stk|st|stück|pces?|uds?|units?|pi[eè]ces?|pieces)\.?$", re.IGNORECASE
)
_TAX_CODE = re.compile(r"(?<=\d) [A-Z*]$")
"""The letter of a rate of tax behind an amount."""
_COUNT = re.compile(
    r"(?:[x×]\s*)?[-–−(]?\d[\d.,'’\s]*\)?\s*(?:%|[^\W\d]{1,8}\.?|[x×]|-)?|[-–—]|n/?a", re.I
)
_WITH_CURRENCY = re.compile(r"(?:USD|EUR|GBP|CHF|CAD|AUD|NZD|SEK|NOK|DKK|PLN|CZK|JPY)$")
_NO_MONEY = re.compile(
    r"[-–—]|n/?[ac]|\D{0,4}incl\w*\.?|inkl\w*\.?|free|gratis|no charge|[a-z*]|\d{1,2}([.,]\d+)? ?%",
    re.IGNORECASE,
)


@dataclasses.dataclass(frozen=True, slots=True)
class _Row:
    """One line of the sample: its words, and at which of them a new piece of text begins."""

    words: tuple[Word, ...]
    begins: tuple[bool, ...]


def column_bounds(
    headings: Sequence[Heading], body: Sequence[TextLine], page: Page
) -> tuple[float, ...]:
    """Return where neighbouring columns part: one bound fewer than there are headings."""
    if len(headings) < 2:
        return ()
    inside = between_figures(body)
    rows = [_row(line) for line in inside if sum_in_words(line.text) is None][:_MOST_LINES]
    fits = header_fits([heading.text for heading in headings], COLUMN_FIELDS)
    kinds = {column: field for field, column in fits.items()}
    candidates = []
    for left, right in pairwise(headings):
        ruled = [
            x
            for x, top, _ in page.uprights
            if left.x1 - 2 <= x <= right.x0 + 2 and (not inside or top < inside[-1].bottom)
        ]
        candidates.append([ruled[0]] if ruled else _places(left, right, rows))
    return _best_bounds(candidates, headings, kinds, rows)


def _row(line: TextLine) -> _Row:
    starts = {chunk.words[0] for chunk in line.chunks()}
    return _Row(line.words, tuple(word in starts for word in line.words))


def _places(left: Heading, right: Heading, rows: Sequence[_Row]) -> list[float]:
    """Return the middles of the gaps between two headings that the fewest words cross."""
    start, end = left.x0 + 1, right.x1 - 1
    if end <= start:
        return [(left.x1 + right.x0) / 2]
    edges: list[tuple[float, float]] = [(left.x0, left.x1), (right.x0, right.x1)]
    edges += [(word.x0, word.x1) for row in rows for word in row.words]
    turns: list[tuple[float, int]] = []
    for left_edge, right_edge in edges:
        first, last = max(left_edge, start), min(right_edge, end)
        if first < last:
            turns += [(first, 1), (last, -1)]
    turns.sort()
    gaps: list[tuple[int, float, float]] = []
    crossing, at = 0, start
    for x, turn in [*turns, (end, 0)]:
        if x - at > 0.4:
            gaps.append((crossing, at, x))
        at = x
        crossing += turn
    if not gaps:
        return [(left.x1 + right.x0) / 2]
    gaps.sort(key=lambda gap: (gap[0], gap[1] - gap[2]))
    places = {(first + last) / 2 for _, first, last in gaps[:_MOST_PLACES]}
    if left.x1 < right.x0:
        # Next to the headings themselves there is a place in every case.
        places |= {min(left.x1 + 1, right.x0), max(right.x0 - 1, left.x1)}
    return sorted(places)


def _best_bounds(
    candidates: Sequence[Sequence[float]],
    headings: Sequence[Heading],
    kinds: dict[int, ColumnField],
    rows: Sequence[_Row],
) -> tuple[float, ...]:
    ways: dict[float, tuple[float, tuple[float, ...]]] = {float("-inf"): (0.0, ())}
    for index, places in enumerate(candidates):
        following: dict[float, tuple[float, tuple[float, ...]]] = {}
        for x in places:
            crossed = _crossed(x, rows)
            earlier = [
                (
                    total + crossed + _cost(low, x, headings[index], kinds.get(index), rows),
                    (*way, x),
                )
                for low, (total, way) in ways.items()
                if low < x
            ]
            if earlier:
                following[x] = min(earlier)
        if not following:
            x = (headings[index].x1 + headings[index + 1].x0) / 2
            total, way = min(ways.values())
            following[x] = (total, (*way, x))
        ways = following
    last = len(headings) - 1
    return min(
        (total + _cost(low, float("inf"), headings[last], kinds.get(last), rows), way)
        for low, (total, way) in ways.items()
    )[1]


def _crossed(x: float, rows: Sequence[_Row]) -> float:
    """Return what it costs to part here: words cut through, and pieces of text cut apart."""
    cost = 0.0
    for row in rows:
        before = ""
        for word, begins in zip(row.words, row.begins, strict=True):
            if word.x0 + 0.5 < x < word.x1 - 0.5:
                cost += 3
            elif word.x0 >= x:
                if not begins:
                    # 6 299,75 is one number, not two, and 4 pcs one quantity.
                    whole = before[-1:].isdigit() and _BEHIND_DIGITS.match(word.text)
                    cost += 0.25 if not whole else 3.0 if word.text[0].isdigit() else 0.6
                break
            before = word.text
    return cost


def _cost(
    low: float, high: float, heading: Heading, field: ColumnField | None, rows: Sequence[_Row]
) -> float:
    """Return how badly the text between two bounds fits below a heading."""
    cost = 0.0
    filled = 0
    every = 0.45 if field in _IN_EVERY_ROW else 0.0
    for row in rows:
        held: list[str] = []
        pieces = 0
        for word, begins in zip(row.words, row.begins, strict=True):
            if low < (word.x0 + word.x1) / 2 <= high:
                pieces += begins or not held
                held.append(word.text)
        if held:
            filled += 1
            cost += _misfit(" ".join(held), field, pieces)
        elif sum(row.begins) > 1:
            cost += every
    if filled <= 0.03 * len(rows):
        # Serial numbers, remarks and what comes back may be empty in every row.
        cost += 0.5 * len(rows) if field in _FILLED else 0.2
    inside = low < (heading.x0 + heading.x1) / 2 <= high
    return cost + (0.0 if inside else len(rows) + 1)


def _misfit(text: str, field: ColumnField | None, pieces: int) -> float:
    if field in _MONEY:
        return 0.0 if _is_money(_TAX_CODE.sub("", text)) else 1.5
    if field in _COUNTS:
        return 0.0 if _COUNT.fullmatch(text) and not _WITH_CURRENCY.search(text) else 1.5
    if field == "line":
        return 0.0 if len(text) <= 8 and pieces < 2 else 1.5
    cost = float(max(0, pieces - 1))
    if field == "description" and not any(one.isalpha() for one in text):
        cost += 1.0
    return cost


@lru_cache(maxsize=20_000)
def _is_money(text: str) -> bool:
    return read_amount(text) is not None or bool(_NO_MONEY.fullmatch(text))
