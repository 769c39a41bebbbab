"""Words that a text must not tell, found wherever they stand in it."""

from __future__ import annotations

import re
from collections.abc import Iterable


def words_pattern(words: Iterable[str]) -> re.Pattern[str] | None:
    """Return what finds any of the words, in any case; None where there are none.

    A word of letters alone is found only where it stands by itself, so that the name Mark
    is not found in "marked"; names of several words and numbers are found everywhere.
    Blanks stand for white space of any kind.
    """
    found = [_one(word) for word in words]
    return re.compile("|".join(found), re.IGNORECASE) if found else None


def _one(word: str) -> str:
    spaced = r"\s+".join(map(re.escape, word.split()))
    return rf"(?<![^\W_]){spaced}(?![^\W_])" if word.isalpha() else spaced
