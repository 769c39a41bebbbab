"""A sentence with fields has the same fields in every language, so that each can be entered."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from ldapp.desktop.pages.paper_parts.agreement_sentences import AGREEMENT_GROUPS
from ldapp.desktop.pages.paper_parts.policy_sentences import POLICY_GROUPS
from tests.languages.catalogue import LANGUAGES, messages

OTHERS = sorted(folder.name for folder in LANGUAGES.iterdir() if folder.is_dir())
SENTENCES = sorted(
    {
        sentence.words
        for group in (*AGREEMENT_GROUPS, *POLICY_GROUPS)
        for spec in group.terms
        for variant in spec.variants
        for sentence in variant.sentences
    }
)


def fields(sentence: str) -> Counter[str]:
    """Return the fields that a sentence has, as the form finds them."""
    return Counter(re.findall(r"\[(\w+)\]", sentence))


def test_every_term_has_a_sentence_with_fields() -> None:
    assert len(SENTENCES) > 60
    assert all(fields(sentence) for sentence in SENTENCES)


@pytest.mark.parametrize("language", OTHERS)
def test_a_translated_sentence_has_the_same_fields(language: str) -> None:
    other = [
        (english, said)
        for message in messages(language)
        if any("paper_parts" in place for place, _ in message.locations)
        and isinstance(english := message.id, str)
        and isinstance(said := message.string, str)
        and said
        and fields(english) != fields(said)
    ]
    assert other == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_field_stands_between_blanks_or_before_a_punctuation_mark(language: str) -> None:
    """A form parts a sentence into words and fields there."""
    glued = [
        message.string
        for message in messages(language)
        if isinstance(message.string, str)
        and message.id in SENTENCES
        and re.search(r"[^\s(]\[\w+\]|\[\w+\][^\s.,;:)]", message.string)
    ]
    assert glued == []
