"""The typeface of the dossier: one family over all scripts, chosen character by character.

The PDF library has no fallback of its own: a character that a font lacks would print as
an empty box, silently.  So every text is cut into runs of one font each here, and a
character that no font has becomes a visible mark, which the result of the build lists.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache
from typing import Literal

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from ldapp.dossier.withheld import words_pattern
from ldapp.resources import resource

Face = Literal["regular", "bold", "italic"]

_MAIN: dict[Face, str] = {
    "regular": "NotoSans-Regular",
    "bold": "NotoSans-Bold",
    "italic": "NotoSans-Italic",
}
_OTHER_SCRIPTS: tuple[str, ...] = (
    "NotoSansMath-Signs",
    "NotoSansSymbols2-Signs",
    "NotoSansArabic-Regular",
    "NotoSansHebrew-Regular",
    "NotoSansDevanagari-Regular",
    "NotoSansThai-Regular",
    "NotoSansArmenian-Regular",
    "NotoSansGeorgian-Regular",
    "HangulSigns-Regular",
    "DroidSansFallbackFull",
)
"""In the order in which they are asked."""

_SHAPED_FONTS: frozenset[str] = frozenset(
    {
        "NotoSansArabic-Regular",
        "NotoSansHebrew-Regular",
        "NotoSansDevanagari-Regular",
        "NotoSansThai-Regular",
    }
)
"""Scripts whose letters change form or place beside each other."""

_LAST_OF_FIRST_PLANE = 0xFFFF


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text in one font; ``shaped`` where letters must be joined or stacked."""

    text: str
    font: str
    shaped: bool


@cache
def font(name: str) -> TTFont:
    """Return a bundled font, registered with the PDF library on first use."""
    loaded = TTFont(name, str(resource("fonts", f"{name}.ttf")))
    pdfmetrics.registerFont(loaded)
    return loaded


@cache
def _font_for(character: str, face: Face) -> str | None:
    code = ord(character)
    if code > _LAST_OF_FIRST_PLANE:
        # Beyond the first plane the library writes a faulty map back to text.
        return None
    for name in (_MAIN[face], *_OTHER_SCRIPTS):
        if code in font(name).face.charToGlyph:
            return name
    return None


def mark_for(character: str) -> str:
    """Return the visible mark that stands for a character which cannot be printed."""
    return f"[U+{ord(character):04X}]"


@cache
def _printable(character: str) -> str:
    """Return the character, or its mark where it is a control or has no glyph anywhere."""
    category = unicodedata.category(character)
    if character in "\u200c\u200d":  # they join or keep apart letters; no sign of their own
        return character
    if category in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"} and character != "\u00ad":
        return mark_for(character)
    if category == "Zs" and _font_for(character, "regular") is None:
        return " "
    return character if _font_for(character, "regular") is not None else mark_for(character)


class Typesetter:
    """Prepares text for print, and remembers what could not be printed as it is.

    ``withheld`` are words that this dossier must not tell; each is replaced.
    """

    def __init__(self, withheld: tuple[str, ...] = (), replacement: str = "") -> None:
        self.marked: dict[str, int] = {}
        """Characters that became a mark, and how often."""
        self._replacement = replacement
        self._withheld = words_pattern(withheld)

    def withhold(self, text: str) -> str:
        """Return the text with every withheld word replaced."""
        return text if self._withheld is None else self._withheld.sub(self._replacement, text)

    def clean(self, text: str) -> str:
        """Return the text as it will print: composed, each unprintable character marked.

        Line ends and tabs stay; they are layout, not signs.
        """
        text = self.withhold(text)
        if text.isascii() and text.isprintable():
            return text
        clean: list[str] = []
        composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n"))
        for character in composed:
            if character in "\n\t":
                clean.append(character)
                continue
            shown = _printable(character)
            if shown not in (character, " "):
                self.marked[character] = self.marked.get(character, 0) + 1
            clean.append(shown)
        return "".join(clean)


def runs_of(text: str, face: Face) -> list[Run]:
    """Cut clean text into runs of one font each, in the order of the text.

    Marks that combine with a letter stay with its font where that has them; spaces and
    joiners never start a new run.
    """
    main = _MAIN[face]
    if text.isascii():
        font(main)
        return [Run(text=text, font=main, shaped=False)] if text else []
    runs: list[Run] = []
    start = 0
    current: str | None = None
    combining = False
    for index, character in enumerate(text):
        chosen = _font_for(character, face)
        follows = unicodedata.combining(character) or character in " \u200c\u200d\u00a0"
        if current is not None and follows and ord(character) in font(current).face.charToGlyph:
            chosen = current
        elif chosen is None:
            chosen = current or main
        if current is not None and chosen != current:
            runs.append(_run(text[start:index], current, combining))
            start, combining = index, False
        combining = combining or unicodedata.combining(character) != 0
        current = chosen
    if current is not None:
        runs.append(_run(text[start:], current, combining))
    return runs


def _run(text: str, name: str, combining: bool) -> Run:
    return Run(text=text, font=name, shaped=combining or name in _SHAPED_FONTS)


def is_right_to_left(character: str) -> bool:
    """Return whether the character belongs to a script that runs from right to left."""
    return unicodedata.bidirectional(character) in {"R", "AL", "AN"}
