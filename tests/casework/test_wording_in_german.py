"""Every wording of casework has a German one: the same keys and the same words to fill in."""

from __future__ import annotations

import datetime as dt
import json
import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from ldapp.casework.cautions import cautions_before_sending, general_cautions
from ldapp.casework.covering_email import covering_email
from ldapp.casework.demo import demo_claims
from ldapp.casework.ground_answers import likely_answers
from ldapp.casework.weak_point_not_stated import BEGINNINGS
from ldapp.catalogues import make_languages_known, resource_in_language
from ldapp.language import said, speaking
from tests.languages.catalogue import key_of, sentences
from tests.reckoning.claims import loss_claim

DAY = dt.date(2026, 11, 25)
FILES = ("cautions.json", "covering_email.json", "ground_answers.toml", "student_notice.toml")


def _read(language: str, file: str) -> Any:
    path = resource_in_language(language, "wording", file)
    text = path.read_text(encoding="utf-8")
    return json.loads(text) if file.endswith(".json") else tomllib.loads(text)


def _texts(value: Any, place: str = "") -> Iterator[tuple[str, str]]:
    """Give every text of a wording by its place in it."""
    if isinstance(value, dict):
        for name, one in value.items():
            yield from _texts(one, f"{place}.{name}")
    elif isinstance(value, list):
        for number, one in enumerate(value):
            yield from _texts(one, f"{place}[{number}]")
    else:
        yield place, value


@pytest.mark.parametrize("file", FILES)
def test_the_german_wording_says_all_that_the_english_one_says(file: str) -> None:
    english, german = dict(_texts(_read("en", file))), dict(_texts(_read("de", file)))
    assert german.keys() == english.keys()
    for place, text in english.items():
        if place.endswith(".when"):
            assert german[place] == text
            continue
        assert german[place] != text, place
        assert sorted(re.findall(r"\{\w+\}", german[place])) == sorted(
            re.findall(r"\{\w+\}", text)
        ), place


@pytest.fixture
def in_german() -> Iterator[None]:
    make_languages_known()
    with speaking("de"):
        yield


@pytest.mark.usefixtures("in_german")
def test_wordings_follow_the_language_spoken_now() -> None:
    with speaking("en"):
        english = likely_answers(), general_cautions(), cautions_before_sending()
    german = likely_answers(), general_cautions(), cautions_before_sending()
    assert all(one != other for one, other in zip(english, german, strict=True))
    assert likely_answers()["arithmetic"].ours.startswith("Die Summe")


@pytest.mark.usefixtures("in_german")
def test_the_covering_email_is_german_down_to_its_days() -> None:
    mail = covering_email(loss_claim(["100"]), "counts", DAY)
    assert "Zählbogen vom 25.11.2026" in mail.subject
    assert mail.as_text().startswith(f"{said('Subject: {subject}', subject=mail.subject)}\n\n")
    assert "{" not in mail.text


@pytest.mark.usefixtures("in_german")
def test_what_a_demo_claim_is_about_is_told_in_german() -> None:
    with speaking("en"):
        english = {one.name: one.sentence for one in demo_claims()}
    german = {one.name: one.sentence for one in demo_claims()}
    assert german.keys() == english.keys()
    assert all(german[name] != english[name] for name in english)


def test_defaults_are_known_by_the_very_sentences_of_the_reckoning() -> None:
    messages = {
        key_of(one)[1]
        for one in sentences()["reckoning"]
        if one.id and any("casework" not in place for place, _ in one.locations)
    } | {
        key_of(one)[1]
        for part, catalogue in sentences().items()
        if part != "reckoning"
        for one in catalogue
        if any(place.startswith("reckoning/") for place, _ in one.locations)
    }
    assert {words for words, _ in BEGINNINGS} <= messages
