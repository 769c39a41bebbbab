"""Serial numbers and asset tags as lists write them: several in one cell, or from first to last."""

from __future__ import annotations

import re

_NOTHING = frozenset(
    {
        "",
        "-",
        "–",
        "—",
        "/",
        "n/a",
        "na",
        "none",
        "various",
        "div",
        "div.",
        "diverse",
        "x",
        "?",
        "tba",
    }
)
_LABEL = re.compile(
    r"^(?:s\s*/\s*n|s/no|sn|ser(?:ial)?(?:\s*(?:no|nos|number|numbers|nr))?|serien-?nr|seriennummer|"
    r"n[°ºo]\.?\s*(?:de\s*)?s[eé]rie|asset(?: tags?)?|tags?)(?:\s*[.:#]+\s*|\s+)|^#\s*",
    re.IGNORECASE,
)
_LABELLED = re.compile(
    r"(?P<before>.*?)(?:^|(?<=\s))(?:s\s?/\s?n|sn|serial(?:\s*(?:no|nos|number|numbers|nr|#))?|"
    r"serien-?\s?(?:nr|nummer)|n[°ºo.]{1,2}\s?(?:de\s)?s[eé]rie|n[uú]m(?:ero)?\.?\s(?:de\s)?serie)"
    r"\s?[.:#]{0,2}\s*(?<=[\s.:#])(?P<marks>(?=[^\s,]*\d)[A-Z0-9][\w/-]*"
    r"(?:\s?[,;/]\s(?=[^\s,]*\d)[A-Z0-9][\w/-]*)*)\.?",
    re.IGNORECASE,
)
_SEPARATOR = re.compile(r"[,;\n|]|\s/\s|\s+(?:and|und|et|y|&|\+)\s+|\s{2,}")
_TIGHT_SEPARATORS = (re.compile(r"/"), re.compile(r"\s+"))
_RANGE = re.compile(
    r"(?P<first>[^\s–—]*?\d+)\s*(?:–|—|-|\.\.\.?|…|to|through|thru|bis|à|a|hasta)\s*(?P<last>[^\s–—]*?\d+)",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"(?P<stem>.*?)(?P<number>\d+)$")
_LONGEST_RANGE = 1000


def is_no_mark(text: str) -> bool:
    """Return whether a cell says that there is nothing to say."""
    return text.strip().casefold() in _NOTHING


def labelled_marks(text: str) -> tuple[str, str] | None:
    """Return the text before a label such as ``S/N`` and the marks behind it; None without.

    The marks end the text.
    """
    found = _LABELLED.fullmatch(text.strip())
    return (found["before"].rstrip(" ,;–-"), found["marks"]) if found else None


def marks_in(text: str, quantity: int | None) -> list[str]:
    """Return the serial numbers or tags in a cell, as printed, without words like ``S/N``.

    Numbers from first to last (``1001–1005``) are written out, and signs that can stand
    within a number (``/`` and spaces) part two of them, only where that gives as many as
    there are units.
    """
    marks = [
        mark
        for one in _SEPARATOR.split(text)
        if not is_no_mark(mark := _LABEL.sub("", one.strip()).strip())
    ]
    if quantity is None or len(marks) >= quantity or not marks:
        return marks
    written_out = [mark for one in marks for mark in (_written_out(one) or [one])]
    if len(written_out) == quantity:
        return written_out
    for separator in _TIGHT_SEPARATORS:
        parted = [part for one in marks for part in separator.split(one) if part]
        if len(parted) == quantity:
            return parted
    return marks


def _written_out(text: str) -> list[str] | None:
    """Return every number from first to last; None where a text is no such range."""
    found = _RANGE.fullmatch(text)
    if found is None:
        return None
    first, last = _NUMBERED.match(found["first"]), _NUMBERED.match(found["last"])
    if first is None or last is None or last["stem"] not in {first["stem"], ""}:
        return None
    start, digits = int(first["number"]), len(first["number"])
    ending = last["number"]
    if len(ending) < digits and not last["stem"]:
        ending = first["number"][: digits - len(ending)] + ending  # 1001-05
    count = int(ending) - start + 1
    if not 1 < count <= _LONGEST_RANGE:
        return None
    return [f"{first['stem']}{start + step:0{digits}d}" for step in range(count)]
