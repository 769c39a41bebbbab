"""Which lines of a page make up one row of its table.

A description may run over several lines while its figures stand beside the first, the
last or the middle one.  A document does this in one way throughout; the way is told from
all its rows together.  Rules and spacing say where rows part.  Lengths are points.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Literal, TypeAlias

from ldapp.exchange.charge_words import is_section_title, label_and_figure
from ldapp.exchange.column_words import COLUMN_FIELDS, ColumnField
from ldapp.exchange.columns import header_fits
from ldapp.exchange.number_text import read_amount, read_count
from ldapp.exchange.pdf_headings import Heading
from ldapp.exchange.pdf_words import Page, TextLine, Word

Side: TypeAlias = Literal["first", "middle", "last"]
"""Beside which line of a row's text its figures stand."""

_FIGURES: tuple[frozenset[ColumnField], ...] = (
    frozenset({"amount", "gross"}),
    frozenset({"quantity"}),
    frozenset({"unit_price", "day_rate", "replacement_cost"}),
)
_IN_FIGURES: frozenset[ColumnField] = frozenset(
    {"line", "quantity", "unit_price", "amount", "gross", "day_rate", "replacement_cost", "days",
     "tax", "tax_rate", "discount", "scheduled_value", "age"}
)  # fmt: skip
_WITHOUT_CHARGE = re.compile(r"in[ck]l\w*\.?|n/?c|no charge|free|gratis|inclus\w*", re.IGNORECASE)


@dataclasses.dataclass(frozen=True, slots=True)
class Body:
    """The lines of one page below the headings that hold for them."""

    page: Page
    lines: Sequence[TextLine]
    headings: tuple[Heading, ...]
    bounds: tuple[float, ...]


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
    only_described: bool
    """Whether all it has is text in the column of descriptions, set where that begins."""

    @property
    def goes_on(self) -> bool:
        """Whether its text begins in the middle of a sentence."""
        text = "".join(self.cells)
        return next((letter.islower() for letter in text if letter.isalpha()), False)


def table_rows(bodies: Sequence[Body]) -> list[list[tuple[TextLine, tuple[str, ...]]]]:
    """Return the rows of each body: for each its first line and its cells.

    A line without figures that belongs to no row (a heading, a footer) is a row by itself.
    """
    read = [_body_lines(body) for body in bodies]
    blocks = [
        [[lines[index] for index in block] for block in _blocks(lines, body.page)]
        for lines, body in zip(read, bodies, strict=True)
    ]
    side = _side([block for page in blocks for block in page])
    rows: list[list[tuple[TextLine, list[str]]]] = []
    last: list[str] | None = None
    """The cells of the last row so far, where it is one that can go on overleaf."""
    for page in blocks:
        here: list[tuple[TextLine, list[str]]] = []
        for group in (group for block in page for group in _rows_of(block, side)):
            cells = _joined_cells(group)
            if not here and last is not None and _is_rest(group) and len(last) == len(cells):
                last[:] = [_joined(filter(None, both)) for both in zip(last, cells, strict=True)]
                continue
            here.append((group[0].line, cells))
            if any(member.is_anchor for member in group):
                last = None if group[0].is_sum else cells
        rows.append(here)
    return [[(line, tuple(cells)) for line, cells in here] for here in rows]


def _joined_cells(group: Sequence[_BodyLine]) -> list[str]:
    return [
        _joined(cell for member in group if (cell := member.cells[column]))
        for column in range(len(group[0].cells))
    ]


def _joined(texts: Iterable[str]) -> str:
    """Join the lines of a cell; a word that was broken behind its hyphen stays one."""
    whole = ""
    for text in texts:
        apart = "" if not whole or re.search(r"\w[-/]$", whole) else " "
        whole = f"{whole}{apart}{text}"
    return whole


def _is_rest(group: Sequence[_BodyLine]) -> bool:
    """Tell the second half of a row that a page broke apart."""
    return all(
        member.only_described and not member.is_anchor and not member.is_heading for member in group
    )


# --- lines ------------------------------------------------------------------------------


def _body_lines(body: Body) -> list[_BodyLine]:
    fits = header_fits([heading.text for heading in body.headings], COLUMN_FIELDS)
    lines = [
        _body_line(part, body, fits) for line in body.lines for part in _without_text_beside(line)
    ]
    upper = sum(line.line.text.isupper() for line in lines if line.is_anchor)
    in_capitals = upper > 0.5 * sum(line.is_anchor for line in lines)
    for line in lines:
        if not line.is_anchor:
            line.is_heading = _looks_like_heading(line, fits.get("line"), in_capitals=in_capitals)
    for one, after in pairwise(lines):
        if after.goes_on:
            one.is_heading = False
    return lines


def _without_text_beside(line: TextLine) -> tuple[TextLine, ...]:
    """Part a line where a sum stands at its right end and other text at its left."""
    chunks = line.chunks()
    for cut in (-1, -2):
        if len(chunks) <= -cut:
            break
        words = tuple(word for chunk in chunks[cut:] for word in chunk.words)
        if label_and_figure(" ".join(word.text for word in words)) is not None:
            if label_and_figure(line.text) is not None:
                break
            before = tuple(word for chunk in chunks[:cut] for word in chunk.words)
            if read_amount(before[-1].text) is not None:
                break  # a charge whose last cell is headed by words
            return (
                dataclasses.replace(line, words=before),
                dataclasses.replace(line, words=words),
            )
    return (line,)


def _anchor_columns(fits: dict[ColumnField, int]) -> frozenset[int]:
    for wanted in _FIGURES:
        found = frozenset(index for field, index in fits.items() if field in wanted)
        if found:
            return found
    return frozenset()


def _body_line(line: TextLine, body: Body, fits: dict[ColumnField, int]) -> _BodyLine:
    figures = {index for field, index in fits.items() if field in _IN_FIGURES}
    cells: list[list[str]] = [[] for _ in range(len(body.bounds) + 1)]
    fonts: set[str] = set()
    text_words: list[Word] = []
    for word in line.words:
        middle = (word.x0 + word.x1) / 2
        column = sum(1 for bound in body.bounds if middle > bound)
        cells[column].append(word.text)
        if column not in figures:
            fonts.add(word.font)
            text_words.append(word)
    texts = [" ".join(words) for words in cells]
    printed = label_and_figure(line.text)
    if printed is not None:
        # However its label lies across the columns, it is one label and one figure.
        amount = next(
            (fits[field] for field in ("amount", "gross") if field in fits), len(texts) - 1
        )
        described = fits.get("description", 0)
        if described != amount:
            texts = [""] * len(texts)
            texts[described], texts[amount] = printed
    is_anchor = any(_is_figure(texts, column, fits) for column in _anchor_columns(fits))
    numbered = fits.get("line")
    if numbered is not None and texts[numbered].rstrip(".").isdecimal():
        others = [text for column, text in enumerate(texts) if text and column != numbered]
        is_anchor = is_anchor or bool(others)
    filled = {column for column, text in enumerate(texts) if text}
    measured = text_words or line.words
    return _BodyLine(
        line=line,
        cells=texts,
        fonts=frozenset(fonts),
        is_anchor=is_anchor,
        has_text=_has_text(filled, fits, figures, is_anchor=is_anchor),
        is_sum=printed is not None,
        is_heading=False,
        middle=sum(word.top + word.bottom for word in measured) / (2 * len(measured)),
        only_described=filled == {fits.get("description", -1)},
    )


def _has_text(
    filled: set[int], fits: dict[ColumnField, int], figures: set[int], *, is_anchor: bool
) -> bool:
    if is_anchor and "description" in fits:
        # A number of the article stands beside the figures, wherever these are.
        return fits["description"] in filled
    return bool(filled - figures)


def _is_figure(texts: Sequence[str], column: int, fits: dict[ColumnField, int]) -> bool:
    text = texts[column]
    if fits.get("quantity") == column:
        return read_count(text) is not None
    if read_amount(text) is not None:
        return True
    quantity = fits.get("quantity")
    return (
        bool(_WITHOUT_CHARGE.fullmatch(text))
        and quantity is not None
        and read_count(texts[quantity]) is not None
    )


def _looks_like_heading(one: _BodyLine, numbered: int | None, *, in_capitals: bool) -> bool:
    """Tell ``Missing items`` from the second line of a description at the same spacing."""
    text = one.line.text
    if len(text.split()) > 4 or not (text[:1].isupper() or text[:1].isdigit()):
        return False
    if is_section_title(text):
        return True
    if any(letter.isdigit() for letter in text):
        return False
    # Text where the line numbers stand is no second line of a description either.
    in_numbers = numbered is not None and bool(one.cells[numbered])
    return (text.isupper() and not in_capitals) or text.endswith(":") or in_numbers


# --- rows -------------------------------------------------------------------------------


def _parts(block: Sequence[_BodyLine]) -> Iterable[list[_BodyLine]]:
    """Part a block at sums and headings, which are rows by themselves."""
    part: list[_BodyLine] = []
    for line in block:
        if line.is_sum or line.is_heading:
            if part:
                yield part
            yield [line]
            part = []
        else:
            part.append(line)
    if part:
        yield part


def _rows_of(block: Sequence[_BodyLine], side: Side) -> list[list[_BodyLine]]:
    rows: list[list[_BodyLine]] = []
    for part in _parts(block):
        anchors = [index for index, line in enumerate(part) if line.is_anchor]
        if not anchors:
            rows.extend([line] for line in part)
        elif len(anchors) == 1:
            rows.extend(_around_one(part, anchors[0]))
        else:
            ends = _ends(part, anchors, side)
            rows.extend(part[start:end] for start, end in pairwise([0, *ends]))
    return rows


def _around_one(part: list[_BodyLine], anchor: int) -> list[list[_BodyLine]]:
    """Keep lines together but for those in another type, such as a heading in bold."""
    fonts = part[anchor].fonts
    rows: list[list[_BodyLine]] = []
    together: list[_BodyLine] | None = None
    for line in part:
        if fonts and line.fonts and not fonts & line.fonts:
            rows.append([line])
        elif together is None:
            together = [line]
            rows.append(together)
        else:
            together.append(line)
    return rows


def _ends(part: Sequence[_BodyLine], anchors: Sequence[int], side: Side) -> list[int]:
    """Return where each row of a part with several ends, in the way of the document."""
    if side == "last":
        return [*(anchor + 1 for anchor in anchors[:-1]), len(part)]
    if side == "middle":
        found = _ends_in_the_middle(part, anchors)
        if found is not None:
            return found
    return [*anchors[1:], len(part)]


def _ends_in_the_middle(part: Sequence[_BodyLine], anchors: Sequence[int]) -> list[int] | None:
    """Give each row as many lines below its figures as above; None where that leaves a rest."""
    ends: list[int] = []
    start = 0
    for anchor in anchors:
        end = anchor + (anchor - start) + 1
        if anchor < start or end > len(part):
            return None
        ends.append(end)
        start = end
    return ends if start == len(part) else None


def _side(blocks: Sequence[Sequence[_BodyLine]]) -> Side:
    """Tell beside which line of its text the figures of a row stand in this document."""
    votes: dict[Side, float] = {"first": 0.0, "middle": 0.0, "last": 0.0}
    for part in (part for block in blocks for part in _parts(block)):
        anchors = [index for index, line in enumerate(part) if line.is_anchor]
        if not anchors or len(anchors) == len(part):
            continue
        votes["first"] += anchors[0] == 0
        votes["last"] += anchors[-1] == len(part) - 1
        votes["middle"] += _ends_in_the_middle(part, anchors) is not None
        for before, after in pairwise(part):
            if after.goes_on and before.has_text and not before.goes_on:
                votes["first"] += 0.5 * (before.is_anchor and not after.is_anchor)
                votes["last"] += 0.5 * (after.is_anchor and not before.is_anchor)
    return max(votes, key=lambda side: votes[side])


# --- blocks -----------------------------------------------------------------------------


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
