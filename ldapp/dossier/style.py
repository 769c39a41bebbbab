"""Sizes, colours and measures of the dossier's pages, in points (1/72 inch)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypedDict, Unpack

from reportlab.lib.colors import Color, HexColor

from ldapp.dossier.fonts import Face

MILLIMETRE = 72 / 25.4

PAPER_SIZES: dict[str, tuple[float, float]] = {
    "a4": (210 * MILLIMETRE, 297 * MILLIMETRE),
    "letter": (612.0, 792.0),
}
"""ISO 216 A4, and the letter size of North America."""

MARGIN_SIDE = 20 * MILLIMETRE
MARGIN_TOP = 24 * MILLIMETRE
MARGIN_BOTTOM = 24 * MILLIMETRE

INK = HexColor("#1b1f24")
QUIET = HexColor("#5a6470")
HAIRLINE = HexColor("#c8cdd3")
RULE = HexColor("#7d8791")
PANEL = HexColor("#f3f5f6")
ACCENT = HexColor("#1d4d63")
ACCENT_PALE = HexColor("#dfe9ee")
LOSS = HexColor("#a4442c")
LOSS_PALE = HexColor("#f6e3dc")
WHITE = HexColor("#ffffff")

Align = Literal["left", "right", "centre"]


class _StyleChanges(TypedDict, total=False):
    size: float
    leading: float
    face: Face
    colour: Color
    align: Align
    before: float
    after: float
    indent: float
    keep_with_next: bool


@dataclass(frozen=True, slots=True)
class TextStyle:
    """How a text is set; ``before`` and ``after`` are the space around it."""

    size: float = 9.2
    leading: float = 13.2
    face: Face = "regular"
    colour: Color = INK
    align: Align = "left"
    before: float = 0.0
    after: float = 0.0
    indent: float = 0.0
    """Room left free on the left of every line."""
    keep_with_next: bool = False

    def but(self, **changes: Unpack[_StyleChanges]) -> TextStyle:
        """Return the style with some of its fields changed."""
        return replace(self, **changes)


BODY = TextStyle(after=6)
LETTER = TextStyle(size=9.5, leading=13.6, after=7)
SMALL = TextStyle(size=7.8, leading=10.8, colour=QUIET)
NOTE = TextStyle(size=7.8, leading=10.8, colour=QUIET, after=6)
CELL = TextStyle(size=8.2, leading=11)
CELL_RIGHT = CELL.but(align="right")
CELL_SMALL = TextStyle(size=7.2, leading=9.6, colour=QUIET)
HEAD_CELL = TextStyle(size=7.2, leading=9.4, face="bold", colour=QUIET)
HEAD_CELL_RIGHT = HEAD_CELL.but(align="right")
TITLE = TextStyle(size=20, leading=25, face="bold", colour=ACCENT, after=4)
SECTION = TextStyle(size=15, leading=19, face="bold", colour=ACCENT, after=10, keep_with_next=True)
SUBSECTION = TextStyle(size=10.6, leading=14, face="bold", before=10, after=4, keep_with_next=True)
LABEL = TextStyle(size=7.2, leading=9.6, face="bold", colour=QUIET)
