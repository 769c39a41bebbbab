"""A language for tests: every word that the program says stands between brackets."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from gettext import NullTranslations

import ldapp.language as spoken_language
from ldapp.language import language, make_known, speak

MARKED = "de_LU"
"""No language of the program, so that what is kept of it is kept from no other test."""


def marked_words(message: str) -> str:
    """Put each word of a sentence between brackets."""
    words = message.rpartition("\x04")[2]  # without its context
    return re.sub(r"\S+", lambda word: f"⟦{word[0]}⟧", words)


class Marked(NullTranslations):
    """Says each sentence as it is in the source, every word of it between brackets.

    Word by word, because a sentence with fields in it is shown in pieces.
    """

    def gettext(self, message: str) -> str:
        return marked_words(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return marked_words(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:
        return marked_words(message)


@contextmanager
def in_marked_language() -> Iterator[None]:
    """Speak it in every thread; afterwards what was spoken before."""
    before, readers = language(), dict(spoken_language._readers)
    make_known(MARKED, Marked)
    speak(MARKED)
    try:
        yield
    finally:
        speak("en")
        spoken_language._readers.clear()
        spoken_language._readers.update(readers)
        spoken_language._catalogues.clear()
        speak(before)
