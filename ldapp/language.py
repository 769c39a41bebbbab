"""The language in which the program speaks: English in the source, others from catalogues.

A sentence is written in English where it is said, with its values named in braces::

    said("{file}: there is no such file.", file=path.name)

Its translation is looked up when it is said, so that a window may speak one language while it
writes a dossier in another.  Values are put in afterwards and are never looked into: braces
in a person's text stay braces.  Words kept in a constant are ``marked`` there, and said where
they are shown.  Numbers and days are given their local form by ``ldapp.local_forms``.

This module is pure: it knows neither files nor Qt nor any other part of the program.
``ldapp.catalogues`` reads the catalogues, in the form of GNU gettext, and makes them known here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from gettext import NullTranslations

SOURCE_LANGUAGE = "en"
"""The language of the sentences in the source."""

_OWN_NAMES = {"en": "English", "de": "Deutsch"}

_CONTEXT_ENDS = "\x04"
"""Stands between context and text, as in the catalogues of GNU gettext."""

_program: list[str] = [SOURCE_LANGUAGE]
_here: ContextVar[str | None] = ContextVar("language", default=None)
_catalogues: dict[str, NullTranslations] = {}
_readers: dict[str, Callable[[], NullTranslations]] = {}


def make_known(language: str, read: Callable[[], NullTranslations]) -> None:
    """Add a language; ``read`` is called when something is first said in it."""
    _readers[language] = read
    _catalogues.pop(language, None)


def languages() -> tuple[str, ...]:
    """Return the codes (ISO 639-1) of every language that the program speaks."""
    return (SOURCE_LANGUAGE, *sorted(_readers))


def own_name(language: str) -> str:
    """Return a language's name in that language, for people to choose by."""
    return _OWN_NAMES.get(language, language)


def speak(language: str) -> None:
    """Speak a language from now on, in every thread.

    Raises:
        LdappError: the program does not speak it.
    """
    _program[0] = _known(language)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language in this block and in this thread only.

    A thread that is started in the block does not know of it: run its work in
    ``contextvars.copy_context()``.

    Raises:
        LdappError: the program does not speak it.
    """
    token = _here.set(_known(language))
    try:
        yield
    finally:
        _here.reset(token)


def language() -> str:
    """Return the code of the language spoken here and now."""
    return _here.get() or _program[0]


def best_language(wanted: Sequence[str]) -> str:
    """Return the first of some wishes (``de-AT``, ``en``) that the program speaks, or English."""
    known = languages()
    for wish in wanted:
        code = wish.replace("_", "-").partition("-")[0].lower()
        if code in known:
            return code
    return SOURCE_LANGUAGE


def _known(language: str) -> str:
    if language not in languages():
        from ldapp.errors import LdappError  # noqa: PLC0415 - its sentences are said by this module

        raise LdappError(
            said(
                "The program does not speak {language!r}. Choose one of: {known}.",
                language=language,
                known=", ".join(languages()),
            )
        )
    return language


def _catalogue(language: str) -> NullTranslations:
    if language not in _catalogues:
        _catalogues[language] = _readers[language]()
    return _catalogues[language]


def said(text: str, /, **values: object) -> str:
    """Return a sentence in the language spoken now, with its values put in."""
    spoken = _here.get() or _program[0]
    if spoken != SOURCE_LANGUAGE and text:
        text = _catalogue(spoken).gettext(text)
    if _CONTEXT_ENDS in text:
        text = text.partition(_CONTEXT_ENDS)[2]
    return text.format_map(values) if values else text


def said_of(count: int, one: str, many: str, /, **values: object) -> str:
    """Return the sentence for one or for many; ``{count}`` stands for the number in digits.

    Its thousands are grouped; a value named ``count`` is put in instead where it is given.
    """
    from ldapp.local_forms import grouped  # noqa: PLC0415 - it asks this module for the language

    spoken = _here.get() or _program[0]
    if spoken == SOURCE_LANGUAGE:
        text, digits = one if count == 1 else many, f"{count:,}"
    else:
        text = _catalogue(spoken).ngettext(one, many, count)
        digits = grouped(count)
    return text.format_map({"count": digits, **values})


def said_in(context: str, text: str, /, **values: object) -> str:
    """Return a word whose translation depends on its place: ``said_in("stage", "Return")``."""
    spoken = _here.get() or _program[0]
    if spoken != SOURCE_LANGUAGE:
        text = _catalogue(spoken).pgettext(context, text)
    return text.format_map(values) if values else text


def marked(text: str, /) -> str:
    """Return a text as it is; it is translated where it is said."""
    return text


def marked_in(context: str, text: str, /) -> str:
    """Return a word for a constant whose translation depends on its place; ``said`` takes it."""
    return f"{context}{_CONTEXT_ENDS}{text}"
