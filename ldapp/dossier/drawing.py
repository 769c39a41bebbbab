"""A drawing as words, bars and rules at places: drawn by the window and by the PDF alike.

Places and sizes are in points, measured from the upper left corner of a section.  What
colour a tone is, and how a text that is too long is cut, is up to who draws.
"""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

Tone: TypeAlias = Literal["ink", "quiet", "accent", "pale", "warning"]

WIDTH = 482.0
"""The width of every section: A4 less its margins."""


class Words(NamedTuple):
    """One line of text, its baseline at ``y``; cut where it is wider than ``width``."""

    x: float
    y: float
    width: float
    text: str
    size: float = 8.5
    align: Literal["left", "right"] = "left"
    bold: bool = False
    tone: Tone = "ink"


class Bar(NamedTuple):
    """A filled rectangle; ``says`` is what it stands for."""

    x: float
    y: float
    width: float
    height: float
    tone: Tone
    says: str = ""


class Rule(NamedTuple):
    """A thin line across."""

    x: float
    y: float
    width: float


class Section(NamedTuple):
    """One figure with its title; it is never parted over two pages."""

    title: str
    height: float
    items: tuple[Words | Bar | Rule, ...]
    says: str
    """The figure in words, for those who cannot see it."""
