"""How the pages say what the reckoning writes for programs, in English and in another language."""

from __future__ import annotations

from collections.abc import Iterator
from gettext import NullTranslations

import pytest

import ldapp.language as spoken_language
from ldapp.claim.findings import Finding
from ldapp.desktop.pages.said import found_text, given_text, size_text
from ldapp.language import make_known, speaking

GIVEN = (
    ("1234.50", "1234,50"),
    ("-12.5", "-12,5"),
    ("7.5 %", "7,5 %"),
    ("58.33 % (exactly 7/12)", "58,33 % (exactly 7/12)"),
    ("2026-03-02", "02.03.2026"),
    ("2026-03-02 07:41-07:00", "02.03.2026 07:41-07:00"),
    ("2026-13-40", "2026-13-40"),
    ("clause 7.2", "clause 7.2"),
    ("7.2 of the agreement", "7.2 of the agreement"),
    ("125/3", "125/3"),
    ("", ""),
)


@pytest.fixture
def german() -> Iterator[None]:
    readers = dict(spoken_language._readers)
    make_known("de", NullTranslations)
    with speaking("de"):
        yield
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


@pytest.mark.parametrize(("value", "local"), GIVEN)
def test_what_went_into_a_step_has_its_local_form(value: str, local: str, german: None) -> None:
    assert given_text(value) == local


@pytest.mark.parametrize("value", [value for value, _ in GIVEN])
def test_in_english_it_stays_as_the_reckoning_writes_it(value: str) -> None:
    assert given_text(value) == value


def test_sizes_have_a_decimal_comma_where_the_language_has(german: None) -> None:
    assert size_text(2_345_678) == "2,3 MB"
    assert size_text(1_500) == "1,5 kB"


def test_what_was_found_is_said_with_its_number() -> None:
    finding = Finding(id="f", line="l", kind="short_at_pickup", quantity=2)
    assert found_text(finding) == "2 short at pickup"
