"""The lines of a page below the headings of its table: their cells, and what they look like.

Lengths are points.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from itertools import pairwise

from ldapp.exchange.charge_words import (
    is_section_title,
    is_total_of_section,
    label_and_figure,
    sum_in_words,
)
from ldapp.exchange.column_words import COLUMN_FIELDS, ColumnField
from ldapp.exchange.columns import header_fits
from ldapp.exchange.department_words import is_department
from ldapp.exchange.number_text import read_amount, read_count
from ldapp.exchange.pdf_heading_lines import Heading
from ldapp.exchange.pdf_words import Page, TextLine, Word

_FIGURES: tuple[frozenset[ColumnField], ...] = (
    frozenset({"amount", "gross"}),
    frozenset({"quantity"}),
    frozenset({"unit_price", "day_rate", "replacement_cost"}),
)
_IN_FIGURES: frozenset[ColumnField] = frozenset(
    {"line", "quantity", "unit_price", "amount", "gross", "day_rate", "replacement_cost", "days",
     "tax", "tax_rate", "discount", "scheduled_value", "age"}
)  # fmt: skip
_BESIDE_GAP = 0.5
"""Heights of the letters between small print and a sum; two words are closer."""
_WITH_CENTS = re.compile(r"\d[.,]\d{2,3}\D?$(?<!\.)")
_WITHOUT_CHARGE = re.compile(r"in[ck]l\w*\.?|n/?c|no charge|free|gratis|inclus\w*", re.IGNORECASE)


@dataclasses.dataclass(frozen=True, slots=True)
class Body:
    """The lines of one page below the headings that hold for them."""

    page: Page
    lines: Sequence[TextLine]
    headings: tuple[Heading, ...]
    bounds: tuple[float, ...]


@dataclasses.dataclass(slots=True)
class BodyLine:
    """One line: its text by columns, and how it looks."""

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
    """Whether all it has is text in the column of descriptions."""
    goes_on: bool
    """Whether its text begins in the middle of a sentence."""
    no_room: bool
    """Whether the line of text above had no room for its first word."""
    runs_on: bool
    """Whether it is text alone that ends what stands on the line above."""
    first_word: float
    """How wide the first word of its description is."""
    start: float
    """Where its description begins; 0 without one."""
    end: float
    """Where its description ends; 0 without one."""


def body_lines(bodies: Sequence[Body]) -> list[list[BodyLine]]:
    """Return the lines of each page, those with text beside a sum parted in two."""
    pages: list[tuple[list[BodyLine], dict[ColumnField, int]]] = []
    texts: list[str] = []
    for body in bodies:
        fits = header_fits([heading.text for heading in body.headings], COLUMN_FIELDS)
        lines = [
            _body_line(part, body, fits)
            for line in body.lines
            for part in _without_text_beside(line)
        ]
        described = fits.get("description")
        texts += [
            line.line.text if described is None else line.cells[described]
            for line in lines
            if line.is_anchor and not line.is_sum
        ]
        pages.append((lines, fits))
    in_capitals = sum(text.isupper() for text in texts) > 0.5 * sum(map(bool, texts))
    for lines, fits in pages:
        _tell_headings(lines, fits, in_capitals=in_capitals)
    return [lines for lines, _ in pages]


def _tell_headings(
    lines: list[BodyLine], fits: dict[ColumnField, int], *, in_capitals: bool
) -> None:
    described = fits.get("description")
    for line in lines:
        if not line.is_anchor and not line.is_heading:
            line.is_heading = _looks_like_heading(line, fits.get("line"), in_capitals=in_capitals)
    _keep_broken_text(lines, in_capitals=in_capitals)
    if described is not None:
        _keep_indents(lines, described)
    for one, after in pairwise(lines):
        if after.goes_on:
            one.is_heading = False
        if after.is_sum and one.line.number == after.line.number and not one.goes_on:
            one.is_heading = True  # small print beside the sums, which belongs to no row


def _keep_indents(lines: Sequence[BodyLine], described: int) -> None:
    """Set spaces before descriptions that stand in from the edge of all others: parts of sets."""
    charged = [line for line in lines if line.is_anchor and not line.is_sum and line.start]
    limit = indent_from([line.start for line in charged])
    for line in charged:
        if limit is not None and line.start > limit:
            line.cells[described] = f"    {line.cells[described]}"


def indent_from(starts: Sequence[float]) -> float | None:
    """Return how far from the left texts that are set in begin; None where none are.

    Texts in the middle of their column, or flush right, begin at many places.
    """
    edge = min(starts, default=0.0)
    indent = min((start for start in starts if start > edge + 4), default=edge)
    at_edge = sum(start < edge + 1 for start in starts)
    indented = sum(indent - 1 < start < indent + 1 for start in starts)
    if 4 * at_edge < len(starts) or 10 * (at_edge + indented) < 9 * len(starts):
        return None
    return edge + 4


def _keep_broken_text(lines: Sequence[BodyLine], *, in_capitals: bool) -> None:
    """Take no line for a heading where text was broken for want of room.

    Only in a list in capitals can the words of a heading begin what goes on below.
    """
    last = max((index for index, line in enumerate(lines) if line.is_anchor), default=0)
    ends = sorted(
        line.end
        for line in lines[: last + 1]
        if not line.is_sum and (line.is_anchor or line.only_described)
    )
    if len(ends) < 4 or ends[-1] - ends[-3] > 40:
        return  # too few long lines to tell where the column ends
    # Figures may stand at half the height between two lines of their text.
    for one, after in pairwise([line for line in lines if line.end]):
        space = 0.25 * after.line.words[0].height
        broken = one.end + space + after.first_word > ends[-1] - 3
        if not broken or not one.fonts & after.fonts or one.is_sum or after.is_sum:
            continue
        if after.only_described and after.start > after.line.words[0].x0:
            continue  # it runs across from the column before
        if any(is_section_title(text) and text[:1].isupper() for text in _texts(one, after)):
            continue
        after.no_room = True
        if in_capitals or one.line.text.endswith(":"):
            one.is_heading = after.is_heading = False
        if after.only_described and not one.is_heading and not _is_titled(after.line.text):
            after.is_heading = False
            after.runs_on = True


def _texts(*lines: BodyLine) -> list[str]:
    return [line.line.text for line in lines]


def _is_titled(text: str) -> bool:
    return is_section_title(text) or is_department(text) or text.endswith(":")


def _without_text_beside(line: TextLine) -> tuple[TextLine, ...]:
    """Part a line where a sum stands at its right end and other text at its left."""
    spaces = [after.x0 - one.x1 for one, after in pairwise(line.words)]
    # In a type of equal widths a space is wide itself.
    narrow = min(spaces, default=0.0) < 0.4 * line.words[0].height
    chunks = line.chunks(_BESIDE_GAP) if narrow else line.chunks()
    for cut in (-1, -2):
        if len(chunks) <= -cut:
            break
        words = tuple(word for chunk in chunks[cut:] for word in chunk.words)
        printed = label_and_figure(" ".join(word.text for word in words))
        if printed is not None:
            whole = label_and_figure(line.text)
            if whole is not None and sum_in_words(whole[0]) == sum_in_words(printed[0]):
                break
            before = tuple(word for chunk in chunks[:cut] for word in chunk.words)
            if _WITH_CENTS.search(before[-1].text):
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


def _body_line(line: TextLine, body: Body, fits: dict[ColumnField, int]) -> BodyLine:
    figures = {index for field, index in fits.items() if field in _IN_FIGURES}
    cells: list[list[str]] = [[] for _ in range(len(body.bounds) + 1)]
    fonts: set[str] = set()
    text_words: list[Word] = []
    described: list[Word] = []
    starts = {chunk.words[0] for chunk in line.chunks()}
    for word in line.words:
        middle = (word.x0 + word.x1) / 2
        column = sum(1 for bound in body.bounds if middle > bound)
        # Two spaces part what stands apart, so that no two figures become one.
        apart = bool(cells[column]) and word in starts
        cells[column].append(f" {word.text}" if apart else word.text)
        if column not in figures:
            fonts.add(word.font)
            text_words.append(word)
        if column == fits.get("description"):
            described.append(word)
    texts = [" ".join(words) for words in cells]
    counted, priced = fits.get("quantity"), fits.get("unit_price")
    is_charge = counted is not None and read_count(texts[counted]) is not None
    if priced is not None:
        is_charge = is_charge and read_amount(texts[priced]) is not None
    if "description" in fits:
        is_charge = is_charge and bool(texts[fits["description"]])
    printed = None if is_charge else label_and_figure(line.text)
    if printed is not None:
        # However its label lies across the columns, it is one label and one figure.
        texts = sum_cells(*printed, body) or texts
    is_sum = printed is not None or _sums_up_a_section(texts, fits)
    is_anchor = any(_is_figure(texts, column, fits) for column in _anchor_columns(fits))
    described_at = fits.get("description", -1)
    if counted is not None and described_at >= 0 and texts[described_at]:
        # A part of a set has a number of pieces, and no price of its own.
        is_anchor = is_anchor or _is_figure(texts, counted, fits)
    numbered = fits.get("line")
    if numbered is not None and texts[numbered].rstrip(".").isdecimal():
        others = [text for column, text in enumerate(texts) if text and column != numbered]
        is_anchor = is_anchor or bool(others)
    is_across = not is_anchor and printed is None and _runs_across(line, texts, fits)
    if is_across:
        texts = ["" if column != described_at else line.text for column in range(len(texts))]
    filled = {column for column, text in enumerate(texts) if text}
    measured = text_words or line.words
    return BodyLine(
        line=line,
        cells=texts,
        fonts=frozenset(fonts),
        is_anchor=is_anchor,
        has_text=_has_text(filled, fits, figures, is_anchor=is_anchor),
        is_sum=is_sum,
        is_heading=is_across,
        middle=sum(word.top + word.bottom for word in measured) / (2 * len(measured)),
        only_described=filled == {fits.get("description", -1)},
        goes_on=_goes_on(texts, fits, figures),
        no_room=False,
        runs_on=False,
        first_word=described[0].x1 - described[0].x0 if described else 0.0,
        start=described[0].x0 if described else 0.0,
        end=described[-1].x1 if described else 0.0,
    )


def _runs_across(line: TextLine, texts: Sequence[str], fits: dict[ColumnField, int]) -> bool:
    """Tell ``CASE 1 - LENSES`` that runs from the quantities into the descriptions."""
    counted, described = fits.get("quantity", -1), fits.get("description", -1)
    first = next((letter for letter in line.text if letter.isalpha()), "")
    return (
        0 <= counted == described - 1
        and len(line.chunks()) == 1
        and len(line.words) <= 8
        and first.isupper()
        and {column for column, text in enumerate(texts) if text} <= {counted, described}
        and any(letter.isalpha() for letter in texts[counted])
        and read_count(texts[counted]) is None
    )


def _sums_up_a_section(texts: Sequence[str], fits: dict[ColumnField, int]) -> bool:
    """Tell ``Grip total`` with a figure below the amounts, and nothing else."""
    described = fits.get("description", -1)
    amount = next((fits[field] for field in ("amount", "gross") if field in fits), -1)
    filled = {column for column, text in enumerate(texts) if text}
    return (
        -1 not in (described, amount)
        and filled == {described, amount}
        and len({*fits} & {"quantity", "unit_price"}) > 0
        and read_amount(texts[amount]) is not None
        and is_total_of_section(texts[described])
    )


def sum_cells(label: str, figure: str, body: Body) -> list[str] | None:
    """Return the cells of a sum: its label below the descriptions, its figure below the amounts.

    None where one column holds both.
    """
    fits = header_fits([heading.text for heading in body.headings], COLUMN_FIELDS)
    texts = [""] * (len(body.bounds) + 1)
    amount = next((fits[field] for field in ("amount", "gross") if field in fits), len(texts) - 1)
    described = fits.get("description", 0)
    if described == amount:
        return None
    texts[described], texts[amount] = label, figure
    return texts


def _goes_on(texts: Sequence[str], fits: dict[ColumnField, int], figures: set[int]) -> bool:
    wordy = [fits["description"]] if "description" in fits else range(len(texts))
    text = "".join(texts[column] for column in wordy if column not in figures)
    return next((letter.islower() for letter in text if letter.isalpha()), False)


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


def _looks_like_heading(one: BodyLine, numbered: int | None, *, in_capitals: bool) -> bool:
    """Tell ``Missing items`` from the second line of a description at the same spacing."""
    text = one.line.text
    if len(text.split()) > 4 or not (text[:1].isupper() or text[:1].isdigit()):
        return False
    if is_section_title(text) or is_department(text):
        return True
    if any(letter.isdigit() for letter in text):
        return False
    # Text where the line numbers stand is no second line of a description either.
    in_numbers = numbered is not None and bool(one.cells[numbered])
    return (text.isupper() and not in_capitals) or text.endswith(":") or in_numbers
