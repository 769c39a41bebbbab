"""The custody timeline: brackets between counts, marks in their rows, the words fitting."""

from __future__ import annotations

import dataclasses
import datetime as dt

from ldapp.claim.claim import Claim
from ldapp.claim.findings import Occurrence
from ldapp.dossier.book import Book
from ldapp.dossier.timeline import MOST_BARS, Timeline, timeline_rows
from tests.dossier.conftest import Write, words_of
from tests.dossier.small_claim import FolderOfOriginals, at, request


def book_of(claim: Claim, originals: FolderOfOriginals, version: str = "insurer") -> Book:
    return Book(request(claim, originals, version))


def test_each_loss_lies_between_the_counts_that_bracket_it(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    book = book_of(claim, originals)
    rows = timeline_rows(book, book.agreements[0])
    bars = {bar.words: (bar.begins, bar.ends, bar.outside) for bar in rows.losses}
    assert bars["1 × C-stand 40 in, with head and arm"] == (at(7, 19), at(12, 16), False)
    assert bars["2 × Stinger 50 ft"] == (at(2, 7, 40), at(12, 16), False)


def test_counts_are_numbered_by_time_and_custody_is_that_of_the_agreement(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    shuffled = dataclasses.replace(claim, counts=tuple(reversed(claim.counts)))
    book = book_of(shuffled, originals)
    rows = timeline_rows(book, book.agreements[0])
    assert [mark.words for mark in rows.counts] == [
        "1 pickup",
        "2 during",
        "3 return",
        "4 check-in",
    ]
    assert rows.custody == (at(2, 8), at(12, 17))
    agreement = dataclasses.replace(
        claim.agreements[0], custody_began=at(2, 9), custody_ended=at(13, 9)
    )
    named = book_of(dataclasses.replace(claim, agreements=(agreement,)), originals)
    assert timeline_rows(named, agreement).custody == (at(2, 9), at(13, 9))


def test_a_day_without_a_time_stands_at_noon(claim: Claim, originals: FolderOfOriginals) -> None:
    day = Occurrence(id="o2", title="Some time that day", day=dt.date(2026, 3, 5))
    book = book_of(dataclasses.replace(claim, occurrences=(*claim.occurrences, day)), originals)
    marks = timeline_rows(book, book.agreements[0]).occurrences
    assert marks[1].at == dt.datetime(2026, 3, 5, 12, tzinfo=book.zone)


def test_photos_without_a_time_are_not_placed(claim: Claim, originals: FolderOfOriginals) -> None:
    book = book_of(claim, originals)
    assert len(timeline_rows(book, book.agreements[0]).photos) == 5
    assert len(book.photos) == 6


def test_very_many_losses_share_bars_by_their_bracket(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    kit = tuple(
        dataclasses.replace(claim.kit[0], id=f"k{number}", number=str(number), parts=())
        for number in range(60)
    )
    counts = tuple(
        dataclasses.replace(
            count,
            entries=tuple(
                dataclasses.replace(claim.counts[0].entries[0], line=line.id, quantity=quantity)
                for line in kit
            ),
        )
        for count, quantity in ((claim.counts[0], 12), (claim.counts[2], 11))
    )
    many = dataclasses.replace(
        claim, kit=kit, counts=counts, findings=(), invoices=(), photos=(), movements=()
    )
    book = book_of(many, originals)
    rows = timeline_rows(book, book.agreements[0])
    assert [bar.words for bar in rows.losses] == ["60 units of 60 lines"]
    assert len(rows.losses) <= MOST_BARS


def test_words_of_neighbouring_marks_never_overlap(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    crowd = tuple(
        dataclasses.replace(
            claim.occurrences[0],
            id=f"o{number}",
            title=f"Event number {number}",
            at=at(9, 15, number),
        )
        for number in range(5)
    )
    book = book_of(dataclasses.replace(claim, occurrences=crowd), originals)
    figure = Timeline(book, timeline_rows(book, book.agreements[0]))
    _, height = figure.wrap(book.text_width, 0)
    alone = Timeline(
        book_of(claim, originals), timeline_rows(book_of(claim, originals), claim.agreements[0])
    )
    _, lower = alone.wrap(book.text_width, 0)
    assert height == lower + 4 * 9


def test_the_figure_is_drawn_with_its_names(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    text = words_of(result.path)
    for words in ("our custody", "2 × Stinger 50 ft", "4 check-in", "America/Denver", "5 photos"):
        assert words in text
