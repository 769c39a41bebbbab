"""Serial numbers that stand behind a label, and text that only looks like it."""

from __future__ import annotations

import pytest

from ldapp.exchange.serial_text import labelled_marks


@pytest.mark.parametrize(
    ("text", "before", "marks"),
    [
        ("S/N K25642", "", "K25642"),
        ("Flag 24x36, S/N: A1, B2", "Flag 24x36", "A1, B2"),
        ("Serial no. 4711.", "", "4711"),
        ("Serien-Nr.: B12", "", "B12"),
        ("N° de série : C9", "", "C9"),
        ("N.º de serie: K55", "", "K55"),
    ],
)
def test_marks_behind_a_label_are_told_from_the_text(text: str, before: str, marks: str) -> None:
    assert labelled_marks(text) == (before, marks)


@pytest.mark.parametrize("text", ["SN38127", "LED panel 2x1", "Cable snake 12", "S/N unknown", ""])
def test_text_without_label_or_number_has_none(text: str) -> None:
    assert labelled_marks(text) is None
