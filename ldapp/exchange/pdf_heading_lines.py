"""Headings that are set on several lines, joined to one label for each column.

Lengths are points.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

from ldapp.exchange.column_words import label_certainty
from ldapp.exchange.pdf_words import Chunk, Word

KNOWN = 0.9
"""The certainty from which a text is a known label as a whole."""


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


def apart(one: Heading, other: Heading) -> float:
    """Return the space between two headings; less than 0 where one stands over the other."""
    return max(one.x0, other.x0) - min(one.x1, other.x1)


def stacked(
    above: Sequence[Heading], below: Sequence[Heading], base: Sequence[Heading]
) -> tuple[Heading, ...]:
    """Join the words over each other, in the order of the headings that are known."""
    joined: list[Heading] = []
    for heading in base:
        parts = [
            next((one for one in line if one is heading or apart(one, heading) < 0), None)
            for line in (above, below)
        ]
        held = [one for one in parts if one is not None]
        joined.append(
            Heading(
                label_of_lines([one.text for one in held]),
                min(one.x0 for one in held),
                max(one.x1 for one in held),
                merged=len(held) > 1,
                words=heading.words if len(held) == 1 else (),
            )
        )
    return tuple(joined)


def merged_headings(above: tuple[Heading, ...], below: tuple[Heading, ...]) -> tuple[Heading, ...]:
    """Join each heading of the lower line to the one that it stands under."""
    merged = list(above)
    for heading in above:
        under = [one for one in below if apart(heading, one) < 0]
        parts = _two_over_two(heading, under)
        if parts is not None:
            at = merged.index(heading)
            merged[at : at + 1] = parts
            below = tuple(one for one in below if one not in under)
    for one in below:
        over = [
            index
            for index, known in enumerate(merged)
            if min(known.x1, one.x1) - max(known.x0, one.x0) > 0
        ]
        if len(over) == 1:
            known = merged[over[0]]
            merged[over[0] : over[0] + 1] = _two_beside(known, one) or [_on_two_lines(known, one)]
        elif not over:
            merged.append(one)
        else:
            return above
    return tuple(sorted(merged, key=lambda heading: heading.x0))


def label_of_lines(lines: Sequence[str]) -> str:
    """Return the lines of a heading as one text; a word that was broken is made whole again.

    A column may be too narrow for a word: ``Gesamtprei`` above ``s``.
    """
    text = ""
    for line in lines:
        spaced, whole = f"{text} {line}".strip(), f"{text}{line}"
        gain = label_certainty(whole) - label_certainty(spaced)
        text = whole if gain > 0 or (gain == 0 and text.endswith(("-", "/"))) else spaced
    return text


def _on_two_lines(above: Heading, below: Heading) -> Heading:
    return Heading(
        label_of_lines((above.text, below.text)),
        min(above.x0, below.x0),
        max(above.x1, below.x1),
        merged=True,
    )


def _two_over_two(above: Heading, below: Sequence[Heading]) -> list[Heading] | None:
    """Part ``MwSt. Gesamtprei`` above ``%`` and ``s``: two labels close together."""
    words = tuple(word for heading in below for word in heading.words)
    if len(words) < 2 or len(above.words) < 2:
        return None
    under = Chunk(words)
    if label_certainty(label_of_lines((above.text, under.text))) > KNOWN:
        return None
    for first, second in _cuts(Heading(under.text, under.x0, under.x1, words=words)):
        for left, right in _cuts(above):
            if apart(left, first) < 0 and apart(right, second) < 0:
                parts = [_on_two_lines(left, first), _on_two_lines(right, second)]
                if all(label_certainty(one.text) > KNOWN for one in parts):
                    return parts
    return None


def _cuts(heading: Heading) -> Iterator[tuple[Heading, Heading]]:
    """Yield the ways to part the words of a heading in two."""
    for cut in range(1, len(heading.words)):
        left, right = Chunk(heading.words[:cut]), Chunk(heading.words[cut:])
        yield (
            Heading(left.text, left.x0, left.x1, words=left.words),
            Heading(right.text, right.x0, right.x1, words=right.words),
        )


def _two_beside(above: Heading, below: Heading) -> list[Heading] | None:
    """Part ``Cantidad P.`` above ``unitario``: a label, and the first line of the next one."""
    if label_certainty(f"{above.text} {below.text}") > KNOWN:
        return None
    for left, right in _cuts(above):
        if apart(left, below) > 0 > apart(right, below):
            pair = [left, _on_two_lines(right, below)]
        elif apart(right, below) > 0 > apart(left, below):
            pair = [_on_two_lines(left, below), right]
        else:
            continue
        if all(label_certainty(one.text) > KNOWN for one in pair):
            return pair
    return None
