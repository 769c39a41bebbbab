"""Words of people and files shown as they are: nothing in them is markup, nothing turns them round.

The toolkit takes a tool tip or a question for rich text when it looks like some, and would
draw its pictures and links; and a character that overrides the direction of writing makes a
file name end in something else than it does.
"""

from __future__ import annotations

import html
import unicodedata

from PySide6.QtGui import Qt

_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
"""General categories (Unicode, 4.5) without a sign of their own."""
_KEPT = "\n\t\u00ad\u200c\u200d"
"""Ends of lines, and what breaks words or joins letters."""


def shown(text: str) -> str:
    """Return ``text`` with a visible mark for each character that has no sign of its own."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        f"[U+{ord(one):04X}]" if one not in _KEPT and unicodedata.category(one) in _UNSEEN else one
        for one in text
    )


def never_markup(text: str) -> str:
    """Return ``text`` for a place that guesses whether it is markup: it shows as it is."""
    words = shown(text)
    if not Qt.mightBeRichText(words):
        return words
    return f'<span style="white-space:pre-wrap">{html.escape(words)}</span>'
