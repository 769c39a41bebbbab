"""Every sentence of the program has its translation, whole and with the same values."""

from __future__ import annotations

import ast
import re
import string
from collections import Counter
from collections.abc import Iterator

import pytest
from babel.messages.catalog import Message

from tests.languages.catalogue import (
    LANGUAGES,
    PACKAGE,
    Key,
    brought_up_to_date,
    compiled,
    key_of,
    messages,
    sentences,
    written,
)

COUNT = ("count", "", None)
ALL = sorted(folder.name for folder in LANGUAGES.iterdir() if folder.is_dir())


def texts(message: Message) -> list[tuple[str, str]]:
    """Return each translated text of a message beside the English one that it stands for."""
    if isinstance(message.id, str):
        return [(message.id, str(message.string))]
    one, many = message.id
    # The first form may leave the number away: "a line" for "{count} line".
    return [(one, message.string[0]), *((many, text) for text in message.string[1:])]


def values(text: str) -> Counter[tuple[str, str | None, str | None]]:
    """Return the values that a pattern takes, with how each is to be written."""
    return Counter(
        (name, form, conversion)
        for _, name, form, conversion in string.Formatter().parse(text)
        if name is not None
    )


def one_of(message: Message) -> str | None:
    """Return the pattern for a single thing of a message that has two."""
    return None if isinstance(message.id, str) else str(message.id[0])


def test_there_is_a_first_complete_translation() -> None:
    assert "de" in ALL


@pytest.mark.parametrize("language", ALL)
def test_the_catalogue_is_brought_up_to_date_with_the_source(language: str) -> None:
    """Else run ``python -m tests.languages`` and translate what is new."""
    source = sentences()
    assert sorted(path.stem for path in (LANGUAGES / language).glob("*.po")) == sorted(source)
    for part, found in source.items():
        path = LANGUAGES / language / f"{part}.po"
        assert path.read_bytes() == written(brought_up_to_date(language, part, found)), part
    assert (LANGUAGES / language / "ldapp.mo").read_bytes() == compiled(language)


@pytest.mark.parametrize("language", ALL)
def test_nothing_is_left_untranslated(language: str) -> None:
    left = [key_of(one) for one in messages(language) if not all(text for _, text in texts(one))]
    assert left == []


@pytest.mark.parametrize("language", ALL)
def test_a_translation_takes_the_same_values(language: str) -> None:
    other = [
        (english, text)
        for message in messages(language)
        for english, text in texts(message)
        if "{" in english
        and values(english) != values(text)
        # Of a single thing the number may be left away: "the other one" for "the other {count}".
        and not (english == one_of(message) and values(english) - values(text) == {COUNT: 1})
    ]
    assert other == []


@pytest.mark.parametrize("language", ALL)
def test_a_translation_keeps_its_key_and_its_blanks(language: str) -> None:
    def marks(text: str) -> tuple[int, int, bool, bool]:
        keys = re.findall(r"&(?=\w)", text.replace("&&", ""))
        return len(keys), text.count("\n"), text[:1].isspace(), text[-1:].isspace()

    other = [
        (english, text)
        for message in messages(language)
        for english, text in texts(message)
        if marks(english) != marks(text)
    ]
    assert other == []


def test_sentences_of_every_kind_are_found_in_the_source() -> None:
    found = [one for part in sentences().values() for one in part if one.id]
    assert len(found) > 2000
    assert any(not isinstance(one.id, str) for one in found)
    assert any(one.context for one in found)
    assert len({key_of(one) for one in found}) == len(found)


def said_literally() -> Iterator[tuple[str, int, Key]]:
    """Give every sentence that the syntax of the source says, and where it stands."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            texts = [one.value for one in node.args if isinstance(one, ast.Constant)]
            match node.func.id:
                case "said" | "marked" if texts and isinstance(node.args[0], ast.Constant):
                    yield path.name, node.lineno, (None, texts[0])
                case "said_of" if len(texts) >= 2:
                    yield path.name, node.lineno, (None, texts[-2])
                case "said_in" | "marked_in" if len(texts) == 2:
                    yield path.name, node.lineno, (texts[0], texts[1])


def test_no_sentence_of_the_source_is_missed() -> None:
    """A call within the braces of an f-string, for one, is not found by the extraction."""
    found = {key_of(one) for part in sentences().values() for one in part if one.id}
    literal = list(said_literally())
    assert len(literal) > 3000
    assert [one for one in literal if one[2] not in found] == []
