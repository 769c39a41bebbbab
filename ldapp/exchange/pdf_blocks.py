"""Where the lines of a table on a page part: at rules, and at gaps wider than within a row.

Lengths are points.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from ldapp.exchange.pdf_body import BodyLine
from ldapp.exchange.pdf_words import Page


def blocks_of(lines: Sequence[BodyLine], page: Page) -> list[list[int]]:
    """Part the lines where a rule runs between them or the gap is wider than within a row."""
    if not lines:
        return []
    ruled = _rules_between(lines, page)
    all_ruled = sum(ruled) >= 0.7 * (sum(line.is_anchor for line in lines) - 1) > 0
    # Sums and the small print below are set closer than the rows of the table are.
    charged = [index for index, line in enumerate(lines) if line.is_anchor and not line.is_sum]
    table = lines[: charged[-1] + 1] if charged else lines
    gaps = [
        later.middle - earlier.middle
        for earlier, later in pairwise([line for line in table if line.has_text])
        if not (earlier.is_sum and later.is_sum)
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


def _figures_between(lines: Sequence[BodyLine], index: int, limit: float) -> bool:
    """Tell figures set at half the height between two lines of their row's text."""
    before, here = lines[index - 1], lines[index]
    gap = here.middle - before.middle
    return gap < limit * 0.7 and (before.has_text is False or here.has_text is False)


def _rules_between(lines: Sequence[BodyLine], page: Page) -> list[bool]:
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
