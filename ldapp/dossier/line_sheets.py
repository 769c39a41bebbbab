"""Line sheets: for each kit line with a finding its counts, photos, and the working."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import partial
from itertools import zip_longest
from typing import NamedTuple

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from ldapp.claim.kit import KitLine
from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book, ReckonedFinding, interleave
from ldapp.dossier.formats import NONE, capitalized, date_text, joined, photo_instant, shortened
from ldapp.dossier.frame import Anchor, start_section, start_subsection
from ldapp.dossier.labels import (
    ACKNOWLEDGEMENT_LABELS,
    CONDITION_LABELS,
    FINDING_LABELS,
    SHORT_STAGE_LABELS,
)
from ldapp.dossier.photo_rows import in_pairs, photo_pieces
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.pieces import Piece, led_by
from ldapp.dossier.style import BODY, CELL, LABEL, NOTE
from ldapp.dossier.tables import Column, Content, Row, facts, table
from ldapp.dossier.text import Span, Text
from ldapp.dossier.wording import wording
from ldapp.dossier.workings import lacking_words, working_table
from ldapp.language import marked, said, said_in, said_of
from ldapp.reckoning.result import Bracket, LineCounts

_CUSTODY_WORDS = {
    "inside": marked("within our custody."),
    "before": marked("before our custody began."),
    "after": marked("after our custody ended."),
    "open": marked("whose custody it was cannot be said."),
}
_ROOM_OF_A_PART = 76.0
"""Room in points for the name of a part, the head of its counts and the first of them."""
_BELOW_A_SHEET = 28.0
"""Room in points between the workings of a line and the next line."""


def line_sheet_pieces(book: Book, pictures: PreparedPictures) -> list[Piece]:
    """Return the section: for each line its counts and findings, its photos, its workings."""
    head = partial(
        start_section, book, said("Line sheets"), "line-sheets", new_page=bool(book.findings)
    )
    pieces: list[Piece] = []
    seen: set[str] = set()
    for number, line in enumerate(book.findings_by_line, 1):
        pieces.extend(_sheet(book, pictures, number, book.lines[line], seen))
    if not pieces:
        words = said("No finding has been recorded so far.")
        pieces.append(Piece(section="line_sheets", make=lambda: [book.text(words, BODY)]))
    return led_by(head, "line-sheets", pieces)


def _sheet(
    book: Book, pictures: PreparedPictures, number: int, line: KitLine, seen: set[str]
) -> list[Piece]:
    findings = book.findings_by_line[line.id]
    shown = _photos_of_sheet(book, line, seen)
    seen.update(photo.id for row in shown.rows for photo in row if photo is not None)
    title = said("Line {line}", line=book.line_label(line.id))
    priced = [one for one in findings if book.tells_worth(one)]

    def begin() -> list[Flowable]:
        story = start_subsection(book, title, f"line-{number}", room=220)
        story.append(facts(book, _line_facts(book, line)))
        for counts in (one for one in book.line_counts if one.line == line.id):
            story.extend(_counts(book, line, counts))
        for finding in findings:
            story.append(Anchor(book, f"finding-{finding.number}"))
            story.extend(_finding(book, finding))
        if not shown.rows:
            story.append(_words_for_no_picture(book, shown.elsewhere))
        return story

    def workings() -> list[Flowable]:
        story: list[Flowable] = []
        for finding in priced:
            words = said("Working: {finding}", finding=said(FINDING_LABELS[finding.finding.kind]))
            story.append(CondPageBreak(110))
            story.append(Anchor(book, f"working-finding-{finding.number}"))
            story.append(book.text(words, LABEL.but(before=4, after=2)))
            story.append(working_table(book, finding.result.working))
        if story:
            # Room below, not a spacer: that would begin a page of its own where none is left.
            story[-1].spaceAfter = _BELOW_A_SHEET
        return story

    one = Piece(
        section="line_sheets",
        make=begin,
        group=title,
        label=said("line {number}", number=line.number),
    )
    return [
        replace(one, anchors=tuple(f"finding-{each.number}" for each in findings)),
        *photo_pieces(book, pictures, shown.rows, one, heads=shown.heads, line=line.id),
        replace(
            one, make=workings, anchors=tuple(f"working-finding-{each.number}" for each in priced)
        ),
    ]


def _line_facts(book: Book, line: KitLine) -> list[tuple[str, Content]]:
    owner = book.party_name(line.owner)
    whole = line.description.strip()
    pairs: list[tuple[str, Content]] = [
        (said("In full"), whole if shortened(whole) != whole else ""),
        (said("Quantity listed"), str(line.quantity)),
    ]
    if book.disclosure.every_agreement and len(book.agreements) > 1:
        agreement = next(one for one in book.agreements if one.id == line.agreement)
        pairs.append((said("Rented from"), book.party_name(agreement.lessor)))
    pairs.extend(
        [
            (said("Serial numbers"), joined(list(line.serials))),
            (said("Asset tags"), joined(list(line.asset_tags))),
            (
                said("Parts of each unit"),
                joined([f"{p.per_unit} × {p.description}" for p in line.parts]),
            ),
            (said("Owner"), said("sub-rented from {owner}", owner=owner) if owner else ""),
        ]
    )
    if book.shows("amounts") and line.replacement_cost is not None:
        pairs.append(
            (
                said("Replacement cost"),
                said("{amount} a unit", amount=book.money(line.replacement_cost)),
            )
        )
    if line.acquired is not None:
        pairs.append((said("Acquired"), date_text(line.acquired)))
    return pairs


def _counts(book: Book, line: KitLine, counts: LineCounts) -> list[Flowable]:
    """Return the table of this line's counts, and the bracket of each loss in words."""
    columns = [
        Column(said("Count"), 66),
        Column(said("When"), share=1.0),
        Column(said_in("narrow column", "Expected"), 44, align="right"),
        Column(said_in("narrow column", "Counted"), 44, align="right"),
        Column(said("Condition"), 72),
        Column(said("Acknowledged"), 98),
    ]
    rows = []
    at = {one.count: one for one in counts.counted}
    for count in book.counts:
        entry = next((one for one in count.entries if one.line == line.id), None)
        if entry is None:
            continue
        counted = at.get(count.id)
        quantity = counted.counted if counted is not None else entry.quantity
        if counts.part is not None and counted is None:
            continue
        wanted = counted.expected if counted is not None else None
        if count.stage == "pickup" and counts.part is None:
            wanted = line.quantity
        number = book.count_numbers[count.id]
        stage = said(SHORT_STAGE_LABELS[count.stage])
        rows.append(
            Row(
                [
                    Span(f"{number} {stage}", link=book.link(f"count-{number}")),
                    book.time(entry.at or count.at),
                    str(wanted) if wanted is not None else NONE,
                    str(quantity) if quantity is not None else said("not counted"),
                    said(CONDITION_LABELS[entry.condition]),
                    "; ".join(
                        one
                        for one in (
                            said(ACKNOWLEDGEMENT_LABELS[count.acknowledgement]),
                            book.changed_mark(count.id, line.id),
                        )
                        if one
                    ),
                ]
            )
        )
    story: list[Flowable] = []
    name = next((p.description for p in line.parts if p.id == counts.part), "")
    if name:
        story.append(CondPageBreak(_ROOM_OF_A_PART))
        story.append(book.text(said("Part: {name}", name=name), LABEL.but(before=10)))
    if rows:
        story.append(table(book, columns, rows, style=CELL.but(size=7.8, leading=10.4)))
    else:
        story.append(
            book.text(said("No count covers this line; the list stands as written."), BODY)
        )
    story.extend(book.text(words, BODY.but(after=3)) for words in bracket_words(book, counts))
    return story


def bracket_words(book: Book, counts: LineCounts) -> list[str]:
    """Return in words between which counts the missing units went."""
    grouped: dict[tuple[str, str, str], list[Bracket]] = {}
    for bracket in counts.brackets:
        seen = book.count_label(bracket.last_seen.count) if bracket.last_seen is not None else ""
        key = (seen, book.count_label(bracket.gone.count), bracket.custody)
        grouped.setdefault(key, []).append(bracket)
    sentences = []
    for (seen, gone, custody), brackets in grouped.items():
        serials = [one.serial for one in brackets if one.serial]
        who = said_of(len(brackets), "{count} unit", "{count} units")
        if serials:
            who += f" ({joined(serials)})"
        says = (
            said(
                "{units} missing: last seen at {seen}, gone at {gone}",
                units=who,
                seen=seen,
                gone=gone,
            )
            if seen
            else said(
                "{units} missing: not seen at any count before, gone at {gone}",
                units=who,
                gone=gone,
            )
        )
        sentences.append(f"{says}; {said(_CUSTODY_WORDS[custody])}")
    return sentences


def _finding(book: Book, one: ReckonedFinding) -> list[Flowable]:
    finding, result = one.finding, one.result
    loss = result.date_of_loss
    day = ""
    lost = finding.kind in ("missing", "damaged")
    if lost and loss.at is not None and loss.known_from == "occurrence":
        day = book.time(loss.at)
    elif lost and loss.day is not None:
        day = date_text(loss.day)
        if loss.known_from != "occurrence":
            day = said("{day} (found)", day=day)
    kind = capitalized(said(FINDING_LABELS[finding.kind]))
    title = said_of(
        finding.quantity, "{finding}: {count} unit", "{finding}: {count} units", finding=kind
    )
    part = next((p.description for p in one.line.parts if p.id == finding.part), "")
    pairs: list[tuple[str, Content]] = [
        (said("Finding"), Span(title, face="bold")),
        (said("Part"), part),
        (said("Serial numbers"), joined(list(finding.serials))),
        (
            said("Occurrence"),
            book.occurrence_title(finding.occurrence) if finding.occurrence else "",
        ),
        (said("Date of loss"), day),
    ]
    if finding.narrative.strip():
        pairs.append((said("What is known"), finding.narrative.strip()))
    exhibits = interleave(
        book.exhibit_spans(
            [*finding.documents, finding.repair.document if finding.repair is not None else None]
        )
    )
    if exhibits:
        pairs.append((said("Exhibits"), exhibits))
    working = book.link(f"working-finding-{one.number}")
    if book.tells_worth(one):
        if result.unit_value is not None:
            pairs.append(
                (said("Value of one unit"), Span(book.money(result.unit_value), link=working))
            )
        if book.shows("who_pays"):
            pairs.append((said("Owed"), Span(book.money(result.owed), link=working)))
            if result.not_yet_charged is not None and result.not_yet_charged:
                pairs.append((said("of which not yet billed"), book.money(result.not_yet_charged)))
    if result.title_passes:
        pairs.append(
            (
                said_in("ownership", "Title"),
                said("passes on payment: the lessor does not keep the wreck"),
            )
        )
    story: list[Flowable] = [KeepTogether([facts(book, pairs)])]
    lacking = lacking_words(result.lacking)
    if lacking:
        story.append(book.text(lacking, NOTE))
    caution = wording()["inspection"].get(one.line.kind, "")
    if finding.kind == "damaged" and caution:
        story.append(book.text(said("For the inspection: {caution}", caution=caution), NOTE))
    return story


class _SheetPhotos(NamedTuple):
    """The photos of a line as its sheet shows them, or where they are shown already."""

    rows: list[list[Photo | None]]
    heads: tuple[str, str] = ("", "")
    elsewhere: tuple[str, ...] = ()


def _photos_of_sheet(book: Book, line: KitLine, seen: set[str]) -> _SheetPhotos:
    """Return the photos of a line, those before the loss on the left, after on the right."""
    photos = book.photos_of_line(line.id)
    lost = _first_loss(book, line)
    before = [one for one in photos if _is_before(book, one, line, lost)]
    after = [one for one in photos if one not in before]
    if not (before and after) and all(one.id in seen for one in photos):
        return _SheetPhotos([], elsewhere=tuple(one.id for one in photos))
    if before and after:
        return _SheetPhotos(
            [list(pair) for pair in zip_longest(before, after)], (said("Before"), said("After"))
        )
    return _SheetPhotos(in_pairs(photos), (said("Before"), "") if before else (said("After"), ""))


def _words_for_no_picture(book: Book, elsewhere: tuple[str, ...]) -> Text:
    if not elsewhere:
        return book.text(said("No photo shows this line."), NOTE)
    spans = interleave(book.photo_spans(elsewhere))
    begins, _, ends = said("Shown with another line, in {photos}.").partition("{photos}")
    return book.text([begins, *spans, ends], NOTE)


def _first_loss(book: Book, line: KitLine) -> dt.datetime | None:
    """Return when the first loss or damage of a line came about, or was found."""
    moments = [
        one.result.date_of_loss.at
        for one in book.findings_by_line.get(line.id, ())
        if one.finding.kind in ("missing", "damaged") and one.result.date_of_loss.at is not None
    ]
    return min(moments, default=None)


def _is_before(book: Book, photo: Photo, line: KitLine, lost: dt.datetime | None) -> bool:
    """Return whether a photo shows a line before its loss: by its count's time, else its own."""
    count = book.photo_count(photo, line.id)
    if count is not None and count.stage in ("pickup", "check_in"):
        return count.stage == "pickup"
    taken = count.at if count is not None else photo_instant(book.verdict(photo))
    return taken is not None and lost is not None and taken < lost
