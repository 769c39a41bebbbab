"""The last pages: what is there and what is missing, and the record that all rests on."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ldapp.dossier.book import Book
from ldapp.dossier.formats import capitalized, utc_text
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.style import BODY, CELL, LOSS, NOTE, QUIET
from ldapp.dossier.tables import Column, Row, table
from ldapp.dossier.text import Span
from ldapp.language import marked, said, said_of

_HASH_SIZE = 6.6
_JOURNAL_WORDS = marked(
    "Every change to the claim is kept in a journal, each entry with the hash of the one "
    "before it. Head of the journal:"
)
PRESENCE_LABELS = {
    "present": marked("present"),
    "partly": marked("in part"),
    "missing": marked("missing"),
    "not_needed": marked("not needed"),
}


def completeness_section(book: Book) -> list[Flowable]:
    """Return the section: what an adjuster usually asks for, and what will be asked about."""
    request = book.request
    story = start_section(book, said("Completeness"), "completeness")
    if request.completeness:
        story.append(book.text(said("What is usually asked for (common practice)."), NOTE))
        columns = [
            Column(said("Asked for"), share=1.0),
            Column("", 62),
            Column(said("Remark"), share=1.1),
        ]
        rows = []
        for line in request.completeness:
            label: Span | str = said(PRESENCE_LABELS[line.present])
            if line.present == "missing":
                label = Span(str(label), face="bold", colour=LOSS)
            rows.append(Row([line.asks_for, label, line.says]))
        story.append(table(book, columns, rows))
    else:
        story.append(book.text(said("No list of what is usually asked for was given."), BODY))
    if book.shows("weak_points") and request.weak_points:
        story.extend(start_subsection(book, said("What may be asked about"), "weak-points"))
        columns = [Column(said("Concerns"), 110), Column("", share=1.0)]
        story.append(
            table(
                book,
                columns,
                [Row([capitalized(one.about), one.says]) for one in request.weak_points],
            )
        )
    return story


def hash_list(book: Book) -> list[tuple[str, str]]:
    """Return hash and name of every original that this version rests on, names as they print."""
    found = [(one.facts.sha256, one.name) for one in book.photos]
    found.extend(
        (document.sha256, document.name or document.title)
        for _, document in book.exhibits.values()
        if document.sha256
    )
    named = ((value, book.typesetter.withhold(name)) for value, name in found)
    return list(dict.fromkeys(named))


def record_section(book: Book) -> list[Flowable]:
    """Return the section: extract of the journal where allowed, hashes, the journal's head."""
    request = book.request
    story = start_section(book, said("Record"), "record", new_page=False)
    if request.journal_head:
        story.append(
            book.text([f"{said(_JOURNAL_WORDS)}\n", Span(request.journal_head, size=7.4)], BODY)
        )
    if book.shows("journal_entries") and request.journal:
        story.extend(start_subsection(book, said("Journal"), "journal"))
        columns = [
            Column(said("No."), 34, align="right"),
            Column(said("When"), 112),
            Column(said("Who"), 100),
            Column(said("What"), share=1.0),
        ]
        rows = [
            Row([str(one.number), utc_text(one.at), one.who, one.label]) for one in request.journal
        ]
        story.append(table(book, columns, rows, style=CELL.but(size=7.6, leading=10)))
    if book.said_of_exhibits:
        story.extend(
            start_subsection(
                book, said("Attached papers that are not as they came in"), "not-as-they-came"
            )
        )
        columns = [Column(said("Exhibit"), 44), Column(said("What is not shown"), share=1.0)]
        rows = [Row([letter, says()]) for letter, says in book.said_of_exhibits]
        story.append(table(book, columns, rows, style=CELL.but(size=7.6, leading=10)))
    hashes = hash_list(book)
    room = 96 if hashes else 48
    story.extend(start_subsection(book, said("Hashes of the originals"), "hashes", room=room))
    if hashes:
        story.append(
            book.text(
                said_of(
                    len(hashes),
                    "SHA-256 of {count} file as taken in; "
                    "a single changed byte gives another value.",
                    "SHA-256 of {count} files as taken in; "
                    "a single changed byte gives another value.",
                ),
                NOTE,
            )
        )
        columns = [Column(said("File"), share=1.0), Column("SHA-256", 262)]
        rows = [Row([name, Span(value, size=_HASH_SIZE, colour=QUIET)]) for value, name in hashes]
        story.append(table(book, columns, rows, style=CELL.but(size=7.6, leading=10)))
    else:
        story.append(book.text(said("No photo or document is part of this dossier."), BODY))
    return story
