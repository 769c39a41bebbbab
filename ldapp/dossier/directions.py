"""Directions of text: which way a paragraph runs, and in which order its parts are drawn.

Source: the Unicode bidirectional algorithm (UAX 9).
"""

from __future__ import annotations

import re
import unicodedata
from collections import deque
from collections.abc import Sequence
from typing import Any, TypeVar

from bidi.algorithm import (
    explicit_embed_and_overrides,
    get_embedding_levels,
    resolve_implicit_levels,
    resolve_neutral_types,
    resolve_weak_types,
)

Look = TypeVar("Look")

_NUMBERED = re.compile(r"[\w-]{1,12} · |\d+\. ")
"""How the dossier numbers kit lines and charges before their names; left to right as all of it."""


def runs_right_to_left(pieces: Sequence[tuple[str, object]]) -> bool:
    """Return whether a paragraph runs from right to left: by its first letter (UAX 9, P2)."""
    if pieces and _NUMBERED.match(pieces[0][0]):
        return False
    for text, _ in pieces:
        if text.isascii():
            if any(character.isalpha() for character in text):
                return False
            continue
        for character in text:
            direction = unicodedata.bidirectional(character)
            if direction in {"R", "AL"}:
                return True
            if direction == "L":
                return False
    return False


def visual_order(
    pieces: Sequence[tuple[str, Look]], *, right_to_left: bool
) -> list[tuple[str, Look, bool]]:
    """Return the stretches of a line from left to right; the flag says: runs backwards."""
    text = "".join(part for part, _ in pieces)
    looks = [look for part, look in pieces for _ in part]
    base = 1 if right_to_left else 0
    storage: dict[str, Any] = {
        "base_level": base,
        "base_dir": "R" if base else "L",
        "chars": [],
        "runs": deque(),
    }
    get_embedding_levels(text, storage)
    explicit_embed_and_overrides(storage)
    resolve_weak_types(storage)
    resolve_neutral_types(storage, False)
    resolve_implicit_levels(storage, False)
    levels = [int(one["level"]) for one in storage["chars"]]
    _level_brackets(text, levels, base)
    stretches: list[tuple[int, int, int]] = []
    for index, level in enumerate(levels):
        if stretches and stretches[-1][2] == level and looks[index] is looks[index - 1]:
            stretches[-1] = (stretches[-1][0], index + 1, level)
        else:
            stretches.append((index, index + 1, level))
    # Rule L2: from the highest level down, turn round every stretch at that level or above.
    for level in range(max(levels, default=0), 0, -1):
        index = 0
        while index < len(stretches):
            end = index
            while end < len(stretches) and stretches[end][2] >= level:
                end += 1
            if end > index:
                stretches[index:end] = reversed(stretches[index:end])
            index = max(end, index + 1)
    return [(text[start:end], looks[start], level % 2 == 1) for start, end, level in stretches]


def _level_brackets(text: str, levels: list[int], base: int) -> None:
    """Give both brackets of a pair one level, as rule N0 asks, which the library leaves out."""
    open_ones: list[int] = []
    for index, character in enumerate(text):
        if character in "([{":
            open_ones.append(index)
        elif character in ")]}" and open_ones:
            start = open_ones.pop()
            inside = levels[start + 1 : index]
            level = base if base in inside else levels[start]
            levels[start] = levels[index] = level
