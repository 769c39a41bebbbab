"""Headings that a narrow column breaks over several lines, even within a word."""

from __future__ import annotations

import pytest

from ldapp.exchange.pdf_headings import find_header
from ldapp.exchange.pdf_words import Page, Word, lines_of


def page(*lines: dict[float, str]) -> Page:
    """Set texts from the left at their places, line by line, in letters 5 points wide."""
    words: list[Word] = []
    for number, line in enumerate(lines):
        top = 100 + 10 * number
        for start, text in line.items():
            x = start
            for word in text.split():
                words.append(Word(word, x, x + 5 * len(word), top, top + 9))
                x += 5 * len(word) + 3
    return Page(1, lines_of(1, words), (), ())


@pytest.mark.parametrize(
    ("lines", "headings"),
    [
        (
            [
                {300: "MwSt. Gesamtprei"},
                {10: "Beschreibung", 250: "Menge"},
                {305: "%", 360: "s"},
                {10: "Miete Rahmen", 250: "1,00", 300: "19 %", 340: "56,44"},
            ],
            ["Beschreibung", "Menge", "MwSt. %", "Gesamtpreis"],
        ),
        (
            [
                {10: "Lfd. Serien-"},
                {100: "Bezeichnung", 300: "Menge", 400: "Betrag"},
                {10: "Nr. Nr."},
                {10: "1", 100: "Rahmen", 300: "1,00", 400: "56,44"},
            ],
            ["Lfd. Nr.", "Serien-Nr.", "Bezeichnung", "Menge", "Betrag"],
        ),
        (
            [
                {100: "Qty"},
                {10: "#", 200: "Equipment", 400: "Extension"},
                {95: "missing"},
                {10: "1", 100: "1 pcs", 200: "Frame", 400: "56.44"},
            ],
            ["#", "Qty missing", "Equipment", "Extension"],
        ),
        (
            [
                {215: "Qty U/", 400: "Replacement"},
                {10: "Equipment", 500: "Charge"},
                {195: "missing M", 420: "cost"},
                {10: "Frame", 200: "10 EA", 420: "727.36", 500: "7,273.60"},
            ],
            ["Equipment", "Qty missing", "U/M", "Replacement cost", "Charge"],
        ),
        (
            [
                {10: "Qty", 50: "Description", 300: "Price", 400: "Amount"},
                {400: "769,96 €"},
            ],
            ["Qty", "Description", "Price", "Amount"],
        ),
    ],
)
def test_each_column_gets_its_whole_heading(
    lines: list[dict[float, str]], headings: list[str]
) -> None:
    header = find_header(page(*lines))
    assert header is not None
    assert [one.text for one in header.headings] == headings
