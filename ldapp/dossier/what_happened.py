"""What happened: each occurrence in words, and the custody timeline as a figure."""

from __future__ import annotations

from reportlab.platypus import CondPageBreak, Flowable

from ldapp.claim.causes import CAUSE_LABELS
from ldapp.dossier.book import Book, interleave
from ldapp.dossier.formats import date_text, joined, named, shortened
from ldapp.dossier.frame import start_section, start_subsection
from ldapp.dossier.style import BODY, NOTE
from ldapp.dossier.tables import Content, facts
from ldapp.dossier.timeline import Timeline, timeline_rows
from ldapp.language import said, said_of

_MOST_NAMES = 12
"""Names beyond this number are counted; the line sheets give them all."""


def what_happened_section(book: Book) -> list[Flowable]:
    """Return the section."""
    lines = [(one, timeline_rows(book, one)) for one in book.agreements]
    drawn = any(rows.instants for _, rows in lines)
    something = drawn or bool(book.occurrences or book.findings)
    story = start_section(book, said("What happened"), "what-happened", new_page=something)
    for number, (agreement, rows) in enumerate(lines, 1):
        if not rows.instants:
            continue
        name = book.party_name(agreement.lessor) or agreement.reference
        title = said("Custody timeline")
        if len(book.agreements) > 1:
            title = said("Custody timeline: {company}", company=name)
        figure = Timeline(book, rows)
        _, height = figure.wrap(book.text_width, 0)
        story.extend(start_subsection(book, title, f"timeline-{number}", room=height + 40))
        story.append(figure)
        story.append(
            book.text(
                said(
                    "A bar runs from the last count that saw the units to the first that did "
                    "not; grey bars lie outside our custody. Numbers are those of the counts."
                ),
                NOTE,
            )
        )
    if not drawn:
        story.append(
            book.text(said("Nothing with a time has been recorded, so no timeline is drawn."), BODY)
        )
    for number, occurrence in enumerate(book.occurrences, 1):
        story.extend(
            start_subsection(
                book, book.occurrence_title(occurrence.id), f"occurrence-{number}", room=190
            )
        )
        story.append(facts(book, _occurrence_facts(book, number - 1)))
        if occurrence.narrative.strip():
            story.append(book.text(occurrence.narrative, BODY))
    unexplained = [one for one in book.findings if one.result.occurrence is None]
    unexplained = [one for one in unexplained if one.finding.kind in ("missing", "damaged")]
    if unexplained:
        story.append(CondPageBreak(60))
        names = named([shortened(one.line.description) for one in unexplained], _MOST_NAMES)
        story.append(
            book.text(
                said_of(
                    len(unexplained),
                    "No occurrence is known for {count} finding ({names}): found at a count; the "
                    "line sheets give the bracket of each.",
                    "No occurrence is known for {count} findings ({names}): found at a count; the "
                    "line sheets give the bracket of each.",
                    names=names,
                ),
                BODY,
            )
        )
    return story


def _occurrence_facts(book: Book, index: int) -> list[tuple[str, Content]]:
    occurrence = book.occurrences[index]
    when = ""
    if occurrence.at is not None:
        when = book.time(occurrence.at)
    elif occurrence.day is not None:
        when = said("{day}, time of day not known", day=date_text(occurrence.day))
    findings = [one for one in book.findings if one.result.occurrence == occurrence.id]
    pairs: list[tuple[str, Content]] = [
        (said("When"), when or said("known only by the counts")),
        (said("Where"), occurrence.place),
        (
            said("Cause"),
            said(CAUSE_LABELS[occurrence.cause]) if occurrence.cause is not None else "",
        ),
        (said("Incident report"), occurrence.report_number),
    ]
    if book.shows("police_report"):
        pairs.append((said("Police report"), occurrence.police_report))
    if book.shows("persons_of_occurrence") and occurrence.persons:
        pairs.append((said("Persons"), joined(list(occurrence.persons))))
    third = book.party_name(occurrence.third_party)
    pairs.append((said("Responsible third party"), third))
    exhibits = interleave(book.exhibit_spans(occurrence.documents))
    if exhibits:
        pairs.append((said("Exhibits"), exhibits))
    if findings:
        pairs.append(
            (
                said("Concerns"),
                named([book.line_label(one.line.id) for one in findings], _MOST_NAMES),
            )
        )
    return pairs
