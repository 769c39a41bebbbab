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

from ldapp.exchange.charge_words import label_and_figure, sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS
from ldapp.exchange.columns import header_fits
from ldapp.exchange.number_text import read_amount
from ldapp.exchange.pdf_blocks import blocks_of
from ldapp.exchange.pdf_body import Body, BodyLine, body_lines, sum_cells
from ldapp.exchange.pdf_words import TextLine
from ldapp.exchange.serial_text import labelled_marks

Side: TypeAlias = Literal["first", "middle", "last"]
"""Beside which line of a row's text its figures stand."""
_TALLEST_ROW = 25
"""Lines of one row."""


def table_rows(bodies: Sequence[Body]) -> list[list[tuple[TextLine, tuple[str, ...]]]]:
    """Return the rows of each body: for each its first line and its cells.

    A line without figures that belongs to no row (a heading, a footer) is a row by itself.
    """
    read = body_lines(bodies)
    blocks = [
        [[lines[index] for index in block] for block in blocks_of(lines, body.page)]
        for lines, body in zip(read, bodies, strict=True)
    ]
    side = _side([block for page in blocks for block in page])
    pages = [[group for block in page for group in _rows_of(block, side)] for page in blocks]
    edge = _edge(pages)
    if side != "first":
        _join_torn_rows(pages, edge)
    pages = [_with_whole_labels(page, body) for page, body in zip(pages, bodies, strict=True)]
    rows: list[list[tuple[TextLine, list[str]]]] = []
    last: list[str] | None = None
    """The cells of the last row so far, where it is one that can go on overleaf."""
    last_line: BodyLine | None = None
    for body, page in zip(bodies, pages, strict=True):
        here: list[tuple[TextLine, list[str]]] = []
        for group in page:
            cells = _sum_around_figure(group, body) or _joined_cells(group)
            if not here and last is not None and _is_drawn_again(last, cells, body):
                continue
            if (
                not here
                and last is not None
                and last_line is not None
                and (side != "last" or _has_no_room(last_line, group[0], edge))
                and _is_rest(group)
                and len(last) == len(cells)
            ):
                last[:] = [_joined(filter(None, both)) for both in zip(last, cells, strict=True)]
                continue
            here.append((group[0].line, cells))
            if any(member.is_anchor for member in group):
                last = None if group[0].is_sum else cells
                last_line = group[-1]
        rows.append(here)
    return [[(line, tuple(cells)) for line, cells in here] for here in rows]


def _with_whole_labels(page: Sequence[list[BodyLine]], body: Body) -> list[list[BodyLine]]:
    """Join the label of a sum that runs over two lines: ``Total incl.`` above ``tax``."""
    rows: list[list[BodyLine]] = []
    for row in page:
        line = row[0]
        printed = label_and_figure(line.line.text) if line.is_sum else None
        above = rows[-1] if rows else []
        if printed is not None and len(above) == 1 and not above[0].is_anchor:
            words = above[0].line.words
            over = words[-1].x1 > line.line.words[0].x0 and words[0].x0 < line.line.words[-1].x1
            label = f"{above[0].line.text} {printed[0]}"
            cells = sum_cells(label, printed[1], body)
            begun = sum_in_words(above[0].line.text) is not None
            if over and begun and sum_in_words(label) is not None and cells is not None:
                rows[-1] = [dataclasses.replace(line, cells=cells)]
                continue
        rows.append(row)
    return rows


def _edge(pages: Sequence[list[list[BodyLine]]]) -> float:
    """Return how far to the right the descriptions reach."""
    rows = [row for page in pages for row in page if any(line.is_anchor for line in row)]
    return max((line.end for row in rows for line in row if not line.is_sum), default=0.0)


def _join_torn_rows(pages: Sequence[list[list[BodyLine]]], edge: float) -> None:
    """Put the text that a page ends with before the figures of its row overleaf.

    It is the first text below the last figures, before what stands at the foot of the page,
    and the next word had no room on its line.  Some programs draw it again overleaf.
    """
    for before, after in pairwise(pages):
        charged = [index for index, row in enumerate(before) if any(one.is_anchor for one in row)]
        at = charged[-1] + 1 if charged else len(before)
        if at >= len(before) or before[at - 1][0].is_sum or not _is_rest(before[at]):
            continue
        begun = before[at]
        texts = [line.line.text for line in begun]
        again = after[:1] if [line.line.text for row in after[:1] for line in row] == texts else []
        following = after[len(again) :]
        row = following[0] if following else []
        if not any(one.is_anchor and not one.is_sum for one in row) or not row[0].end:
            continue
        if _has_no_room(begun[-1], row[0], edge):
            after[:] = [[*begun, *row], *following[1:]]
            del before[at]


def _has_no_room(line: BodyLine, after: BodyLine, edge: float) -> bool:
    """Tell text that was broken because the next word would have gone beyond the edge."""
    return line.end + after.first_word > edge - 3


def _is_drawn_again(last: Sequence[str], cells: Sequence[str], body: Body) -> bool:
    """Tell the last row of a page, which some programs draw again where the next begins.

    Only its line number says so for certain.
    """
    fits = header_fits([heading.text for heading in body.headings], COLUMN_FIELDS)
    numbered, described = fits.get("line"), fits.get("description")
    if numbered is None or len(last) != len(cells) or not cells[numbered]:
        return False
    return all(
        one == other or (column == described and one in other)
        for column, (one, other) in enumerate(zip(cells, last, strict=True))
    )


def _joined_cells(group: Sequence[BodyLine]) -> list[str]:
    return [
        _joined(cell for member in group if (cell := member.cells[column]))
        for column in range(len(group[0].cells))
    ]


def _sum_around_figure(group: Sequence[BodyLine], body: Body) -> list[str] | None:
    """Return the cells of a sum whose label runs over the lines above and below its figure."""
    if len(group) < 2 or any(member.is_sum for member in group):
        return None
    figures = [one.line.text for one in group if read_amount(one.line.text) is not None]
    label = " ".join(
        one.line.text for one in group if len(figures) == 1 and one.line.text != figures[0]
    )
    if not label or sum_in_words(label) is None:
        return None
    return sum_cells(label, figures[0], body)


def _joined(texts: Iterable[str]) -> str:
    """Join the lines of a cell; a word that was broken behind its hyphen stays one."""
    whole = ""
    for text in texts:
        apart = "" if not whole or re.search(r"\w[-/]$", whole) else " "
        whole = f"{whole}{apart}{text}"
    return whole


def _is_rest(group: Sequence[BodyLine]) -> bool:
    """Tell the second half of a row that a page broke apart."""
    return all(
        member.only_described and not member.is_anchor and not member.is_heading for member in group
    )


# --- rows -------------------------------------------------------------------------------


def _parts(block: Sequence[BodyLine], *, marks_apart: bool = False) -> Iterable[list[BodyLine]]:
    """Part a block at sums and headings, which are rows by themselves.

    So is ``S/N K1234`` below a row whose figures stand beside its first or last line.
    """
    part: list[BodyLine] = []
    for line in block:
        marked = labelled_marks(line.line.text) if marks_apart and _is_text(line) else None
        if line.is_sum or line.is_heading or (marked is not None and not marked[0]):
            if part:
                yield part
            yield [line]
            part = []
        else:
            part.append(line)
    if part:
        yield part


def _rows_of(block: Sequence[BodyLine], side: Side) -> list[list[BodyLine]]:
    rows: list[list[BodyLine]] = []
    for part in _parts(block, marks_apart=side != "middle"):
        anchors = [index for index, line in enumerate(part) if line.is_anchor]
        if not anchors:
            for line in part:
                if line.runs_on and line is not part[0]:
                    rows[-1].append(line)
                else:
                    rows.append([line])
        elif len(anchors) == 1:
            rows.extend(_around_one(part, anchors[0]))
        elif side == "middle" and (paragraphs := _paragraphs(part)) is not None:
            rows.extend(paragraphs)
        elif side == "first" and anchors[0] and all(map(_is_text, part[: anchors[0]])):
            # What stands above the first figures ends the row that the page before began.
            rows.append(list(part[: anchors[0]]))
            rows.extend(part[start:end] for start, end in pairwise([*anchors, len(part)]))
        else:
            ends = _ends(part, anchors, side)
            rows.extend(part[start:end] for start, end in pairwise([0, *ends]))
    return rows


def _is_text(line: BodyLine) -> bool:
    return line.only_described and not line.is_anchor


def _paragraphs(part: Sequence[BodyLine]) -> list[list[BodyLine]] | None:
    """Part lines that stand closely into rows with their figures at half the height.

    Each row has as many lines above its figures as below, or is text alone.  Of all ways
    that one is taken in which text goes on below where the next word had no room, and
    begins anew where it had.  None where there is no way.
    """
    best: list[tuple[float, int] | None] = [(0.0, 0)]
    for end in range(1, len(part) + 1):
        ways: list[tuple[float, int]] = []
        for start in range(max(0, end - _TALLEST_ROW), end):
            before, cost = best[start], _cost_of_row(part[start:end])
            if before is not None and cost is not None:
                cost += before[0] + (start > 0 and part[start].no_room)
                ways.append((cost, start))
        best.append(min(ways, default=None))
    starts = [len(part)]
    while starts[-1] > 0:
        last = best[starts[-1]]
        if last is None:
            return None
        starts.append(last[1])
    starts.reverse()
    return [list(part[start:end]) for start, end in pairwise(starts)]


def _cost_of_row(row: Sequence[BodyLine]) -> float | None:
    """Return how unlikely lines are one row; None where they cannot be."""
    anchors = [index for index, line in enumerate(row) if line.is_anchor]
    if len(anchors) > 1 or (anchors and 2 * anchors[0] != len(row) - 1):
        return None
    if not anchors and not all(line.only_described for line in row):
        return None
    joined = sum(bool(line.end) and not line.no_room for line in row[1:])
    undescribed = not any(line.end for line in row)
    return 2.0 * joined + 5.0 * undescribed + (0.1 if not anchors else 0.0)


def _around_one(part: list[BodyLine], anchor: int) -> list[list[BodyLine]]:
    """Keep lines together but for those in another type, such as a heading in bold."""
    fonts = part[anchor].fonts
    rows: list[list[BodyLine]] = []
    together: list[BodyLine] | None = None
    for line in part:
        if fonts and line.fonts and not fonts & line.fonts:
            rows.append([line])
        elif together is None:
            together = [line]
            rows.append(together)
        else:
            together.append(line)
    return rows


def _ends(part: Sequence[BodyLine], anchors: Sequence[int], side: Side) -> list[int]:
    """Return where each row of a part with several ends, in the way of the document."""
    if side == "last":
        return [*(anchor + 1 for anchor in anchors[:-1]), len(part)]
    if side == "middle":
        ends = [end for end, _ in _ends_in_the_middle(part, anchors)]
        return [*ends[:-1], len(part)]
    return [*anchors[1:], len(part)]


def _ends_in_the_middle(part: Sequence[BodyLine], anchors: Sequence[int]) -> list[tuple[int, bool]]:
    """Give each row as many lines below its figures as above; tell for each whether that fits."""
    ends: list[tuple[int, bool]] = []
    start = 0
    for index, anchor in enumerate(anchors):
        following = anchors[index + 1] if index + 1 < len(anchors) else len(part)
        end = 2 * anchor - start + 1
        fits = anchor >= start and end <= following
        end = min(max(end, anchor + 1), following)
        ends.append((end, fits))
        start = end
    ends[-1] = (ends[-1][0], ends[-1][1] and start == len(part))
    return ends


def _side(blocks: Sequence[Sequence[BodyLine]]) -> Side:
    """Tell beside which line of its text the figures of a row stand in this document."""
    votes: dict[Side, float] = {"first": 0.0, "middle": 0.0, "last": 0.0}
    edge = max(
        (
            line.end
            for block in blocks
            if any(one.is_anchor and not one.is_sum for one in block)
            for line in block
            if not line.is_sum and (line.is_anchor or line.only_described)
        ),
        default=0.0,
    )
    for part in (part for block in blocks for part in _parts(block)):
        anchors = [index for index, line in enumerate(part) if line.is_anchor]
        if not anchors or len(anchors) == len(part):
            continue
        votes["first"] += anchors[0] == 0
        votes["last"] += anchors[-1] == len(part) - 1
        middle = _ends_in_the_middle(part, anchors)
        votes["middle"] += sum(fits for _, fits in middle) / len(middle)
        for before, after in pairwise(part):
            if after.goes_on and before.has_text:
                votes["first"] += 0.5 * (before.is_anchor and not after.is_anchor)
                votes["last"] += 0.5 * (after.is_anchor and not before.is_anchor)
            if before.end and after.end and before.is_anchor != after.is_anchor:
                # Text is broken where the next word has no room on the line.
                broken = _has_no_room(before, after, edge)
                votes["first" if before.is_anchor else "last"] += 0.5 if broken else -0.5
        votes["middle"] -= sum(_is_lopsided(part, anchor) for anchor in anchors)
        # Figures at half the height between two lines stand beside neither of them.
        votes["middle"] += sum(
            1.0 for line in part if line.is_anchor and not line.has_text and not line.only_described
        )
    return max(votes, key=lambda side: votes[side])


def _is_lopsided(part: Sequence[BodyLine], anchor: int) -> bool:
    """Tell figures beside text that goes on only above or only below them."""
    below = part[anchor + 1] if anchor + 1 < len(part) else None
    goes_on = below is not None and below.no_room and not below.is_anchor
    return bool(part[anchor].end) and part[anchor].no_room != goes_on
