"""Sentences are looked up in the language spoken, and values are put in untouched."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from gettext import NullTranslations

import pytest

from ldapp import language as spoken_language
from ldapp.errors import LdappError
from ldapp.language import (
    best_language,
    language,
    languages,
    make_known,
    marked,
    marked_in,
    own_name,
    said,
    said_in,
    said_of,
    speak,
    speaking,
)


class Invented(NullTranslations):
    """A language that is in no catalogue."""

    def gettext(self, message: str) -> str:
        known = {"{file} is gone.": "Fort ist {file}.", "the last day\x04counts": "zählt"}
        return known.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return "{count} Zeile" if n == 1 else "{count} Zeilen"

    def pgettext(self, context: str, message: str) -> str:
        return f"{context}/{message}"


@pytest.fixture(autouse=True)
def known() -> Iterator[None]:
    readers = dict(spoken_language._readers)
    make_known("de", Invented)
    yield
    speak("en")
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


def test_english_is_spoken_until_something_else_is_asked_for() -> None:
    assert language() == "en"
    assert said("{file} is gone.", file="a {b}.jpg") == "a {b}.jpg is gone."
    assert said("braces {stay}") == "braces {stay}"
    assert said("") == ""
    assert marked("{file} is gone.") == "{file} is gone."


def test_a_sentence_is_translated_and_its_values_are_not_looked_into() -> None:
    with speaking("de"):
        assert said("{file} is gone.", file="{file} is gone.") == "Fort ist {file} is gone.."
        assert said("not in the catalogue") == "not in the catalogue"
        assert said_in("stage", "Return") == "stage/Return"
        assert said("") == ""
    assert said("{file} is gone.", file="x") == "x is gone."


def test_a_word_of_a_constant_is_said_by_its_place() -> None:
    counts, other = marked_in("the last day", "counts"), marked_in("of a claim", "counts")
    assert said(counts) == "counts"
    with speaking("de"):
        assert said(counts) == "zählt"
        assert said(other) == "counts", "no other place's word is taken"


@pytest.mark.parametrize(
    ("count", "english", "german"),
    [
        (1, "1 line", "1 Zeile"),
        (0, "0 lines", "0 Zeilen"),
        (12345, "12,345 lines", "12.345 Zeilen"),
    ],
)
def test_one_and_many_with_grouped_digits(count: int, english: str, german: str) -> None:
    assert said_of(count, "{count} line", "{count} lines") == english
    with speaking("de"):
        assert said_of(count, "{count} line", "{count} lines") == german
    assert said_of(count, "one", "{count} of {all}", all=3) in ("one", f"{count:,} of 3")
    assert said_of(2, "one", "{count}", count="two") == "two"


def test_a_block_in_one_thread_leaves_the_others_alone() -> None:
    heard: list[str] = []
    with speaking("de"):
        thread = threading.Thread(target=lambda: heard.append(language()))
        thread.start()
        thread.join()
        assert language() == "de"
    assert heard == ["en"]
    speak("de")
    thread = threading.Thread(target=lambda: heard.append(language()))
    thread.start()
    thread.join()
    assert heard == ["en", "de"]
    with speaking("en"):
        assert language() == "en"


def test_the_best_language_of_some_wishes() -> None:
    assert languages() == ("en", "de")
    assert best_language(["fr-CA", "de_AT", "en"]) == "de"
    assert best_language(["fr", ""]) == "en"
    assert own_name("de") == "Deutsch"
    assert own_name("xx") == "xx"


def test_a_language_that_is_not_spoken_is_refused() -> None:
    with pytest.raises(LdappError, match=r"does not speak 'fr'\. Choose one of: en, de"):
        speak("fr")
    with pytest.raises(LdappError, match="does not speak"), speaking("fr"):
        pass
