"""Line sheets: for each kit line with a finding its counts, photos, and the working."""

from __future__ import annotations

import datetime as dt

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from ldapp.claim.kit import KitLine
from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book, ReckonedFinding, interleave
from ldapp.dossier.formats import NONE, date_text, joined, photo_instant, plural, shortened
from ldapp.dossier.frame import Anchor, start_section, start_subsection
from ldapp.dossier.grid import Grid, GridLook, GridRow
from ldapp.dossier.labels import (
    ACKNOWLEDGEMENT_LABELS,
    CONDITION_LABELS,
    FINDING_LABELS,
    SHORT_STAGE_LABELS,
)
from ldapp.dossier.photo_panel import PhotoPanel
from ldapp.dossier.pictures import PreparedPictures
from ldapp.dossier.style import BODY, CELL, LABEL, NOTE
from ldapp.dossier.tables import Column, Content, Row, facts, table
from ldapp.dossier.text import Span
from ldapp.dossier.wording import wording
from ldapp.dossier.workings import lacking_words, working_table
from ldapp.reckoning.result import Bracket, LineCounts

GUTTER = 14.0
PICTURE_SHARE = 0.75
"""Height of a picture's frame as a share of its width."""


def line_sheets_section(book: Book, pictures: PreparedPictures) -> list[Flowable]:
    """Return the section."""
    story = start_section(book, "Line sheets", "line-sheets")
    if not book.findings:
        story.append(book.text("No finding has been recorded so far.", BODY))
        return story
    for number, line in enumerate(book.findings_by_line, 1):
        story.extend(_sheet(book, pictures, number, book.lines[line]))
    return story


def _sheet(book: Book, pictures: PreparedPictures, number: int, line: KitLine) -> list[Flowable]:
    findings = book.findings_by_line[line.id]
    story: list[Flowable] = []
    story.extend(
        start_subsection(book, f"Line {book.line_label(line.id)}", f"line-{number}", room=220)
    )
    story.append(facts(book, _line_facts(book, line)))
    for counts in (one for one in book.line_counts if one.line == line.id):
        story.extend(_counts(book, line, counts))
    for finding in findings:
        story.append(Anchor(book, f"finding-{finding.number}"))
        story.extend(_finding(book, finding))
    story.extend(_photos(book, pictures, line))
    for finding in (one for one in findings if book.tells_worth(one)):
        words = f"Working: {FINDING_LABELS[finding.finding.kind]}"
        story.append(CondPageBreak(110))
        story.append(Anchor(book, f"working-finding-{finding.number}"))
        story.append(book.text(words, LABEL.but(before=4, after=2)))
        story.append(working_table(book, finding.result.working))
    story.append(Spacer(0, 8))
    return story


def _line_facts(book: Book, line: KitLine) -> list[tuple[str, Content]]:
    owner = book.party_name(line.owner)
    whole = line.description.strip()
    pairs: list[tuple[str, Content]] = [
        ("In full", whole if shortened(whole) != whole else ""),
        ("Quantity listed", str(line.quantity)),
    ]
    if book.disclosure.every_agreement and len(book.agreements) > 1:
        agreement = next(one for one in book.agreements if one.id == line.agreement)
        pairs.append(("Rented from", book.party_name(agreement.lessor)))
    pairs.extend(
        [
            ("Serial numbers", joined(list(line.serials))),
            ("Asset tags", joined(list(line.asset_tags))),
            ("Parts of each unit", joined([f"{p.per_unit} × {p.description}" for p in line.parts])),
            ("Owner", f"sub-rented from {owner}" if owner else ""),
        ]
    )
    if book.shows("amounts") and line.replacement_cost is not None:
        pairs.append(("Replacement cost", f"{book.money(line.replacement_cost)} a unit"))
    if line.acquired is not None:
        pairs.append(("Acquired", date_text(line.acquired)))
    return pairs


def _counts(book: Book, line: KitLine, counts: LineCounts) -> list[Flowable]:
    """Return the table of this line's counts, and the bracket of each loss in words."""
    columns = [
        Column("Count", 66),
        Column("When", share=1.0),
        Column("Expected", 44, align="right"),
        Column("Counted", 44, align="right"),
        Column("Condition", 72),
        Column("Acknowledged", 98),
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
        stage = SHORT_STAGE_LABELS[count.stage]
        rows.append(
            Row(
                [
                    Span(f"{number} {stage}", link=book.link(f"count-{number}")),
                    book.time(entry.at or count.at),
                    str(wanted) if wanted is not None else NONE,
                    str(quantity) if quantity is not None else "not counted",
                    CONDITION_LABELS[entry.condition],
                    ACKNOWLEDGEMENT_LABELS[count.acknowledgement],
                ]
            )
        )
    story: list[Flowable] = []
    name = next((p.description for p in line.parts if p.id == counts.part), "")
    if name:
        story.append(book.text(f"Part: {name}", LABEL.but(before=4)))
    if rows:
        story.append(table(book, columns, rows, style=CELL.but(size=7.8, leading=10.4)))
    else:
        story.append(book.text("No count covers this line; the list stands as written.", BODY))
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
        who = plural(len(brackets), "unit")
        if serials:
            who += f" ({joined(serials)})"
        begins = f"last seen at {seen}" if seen else "not seen at any count before"
        says = f"{who} missing: {begins}, gone at {gone}"
        says += {
            "inside": "; within our custody.",
            "before": "; before our custody began.",
            "after": "; after our custody ended.",
            "open": "; whose custody it was cannot be said.",
        }[custody]
        sentences.append(says)
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
            day += " (found)"
    title = f"{FINDING_LABELS[finding.kind].capitalize()}: {plural(finding.quantity, 'unit')}"
    part = next((p.description for p in one.line.parts if p.id == finding.part), "")
    pairs: list[tuple[str, Content]] = [
        ("Finding", Span(title, face="bold")),
        ("Part", part),
        ("Serial numbers", joined(list(finding.serials))),
        ("Occurrence", book.occurrence_title(finding.occurrence) if finding.occurrence else ""),
        ("Date of loss", day),
    ]
    if finding.narrative.strip():
        pairs.append(("What is known", finding.narrative.strip()))
    exhibits = interleave(
        book.exhibit_spans(
            [*finding.documents, finding.repair.document if finding.repair is not None else None]
        )
    )
    if exhibits:
        pairs.append(("Exhibits", exhibits))
    working = book.link(f"working-finding-{one.number}")
    if book.tells_worth(one):
        if result.unit_value is not None:
            pairs.append(("Value of one unit", Span(book.money(result.unit_value), link=working)))
        if book.shows("who_pays"):
            pairs.append(("Owed", Span(book.money(result.owed), link=working)))
            if result.not_yet_charged is not None and result.not_yet_charged:
                pairs.append(("of which not yet billed", book.money(result.not_yet_charged)))
    if result.title_passes:
        pairs.append(("Title", "passes on payment: the lessor does not keep the wreck"))
    story: list[Flowable] = [KeepTogether([facts(book, pairs)])]
    lacking = lacking_words(result.lacking)
    if lacking:
        story.append(book.text(lacking, NOTE))
    caution = wording()["inspection"].get(one.line.kind, "")
    if finding.kind == "damaged" and caution:
        story.append(book.text(f"For the inspection: {caution}", NOTE))
    return story


def _photos(book: Book, pictures: PreparedPictures, line: KitLine) -> list[Flowable]:
    """Return the photos of a line, those before the loss on the left, after on the right."""
    photos = book.photos_of_line(line.id)
    if not photos:
        return [book.text("No photo shows this line.", NOTE)]
    lost = _first_loss(book, line)
    before = [one for one in photos if _is_before(book, one, line, lost)]
    after = [one for one in photos if one not in before]
    width = (book.text_width - GUTTER) / 2
    if not (before and after) and all(one.id in book.pictured for one in photos):
        spans = interleave(book.photo_spans(one.id for one in photos))
        return [book.text(["Shown above, with another line, in ", *spans, "."], NOTE)]
    if before and after:
        rows: list[list[Photo | None]] = []
        for index in range(max(len(before), len(after))):
            rows.append(
                [
                    before[index] if index < len(before) else None,
                    after[index] if index < len(after) else None,
                ]
            )
        heads = ("Before", "After")
    else:
        rows = [list(photos[index : index + 2]) for index in range(0, len(photos), 2)]
        heads = ("Before", "") if before else ("After", "")
    return photo_rows(book, pictures, rows, heads, width, line.id)


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


def photo_rows(
    book: Book,
    pictures: PreparedPictures,
    rows: list[list[Photo | None]],
    heads: tuple[str, str],
    width: float,
    line: str | None,
) -> list[Flowable]:
    """Return rows of two photos at the same scale; the heads stand above the first."""
    made: list[GridRow] = []
    if rows and any(heads):
        labels: list[Flowable] = [book.text(head, LABEL) for head in heads]
        made.append(GridRow(labels, keep_with_next=True))
    for row in rows:
        cells: list[Flowable] = []
        for photo in row:
            if photo is None:
                cells.append(Spacer(0, 0))
                continue
            first = photo.id not in book.pictured
            book.pictured.add(photo.id)
            cells.append(
                PhotoPanel(
                    book, photo, pictures, width, width * PICTURE_SHARE, line=line, anchor=first
                )
            )
        made.append(GridRow([*cells, Spacer(0, 0)][:2]))
    look = GridLook(left=(0.0, 0.0), right=0.0, above=2.0, below=2.0, ruled=False)
    return [Grid([width + GUTTER, width], made, look, space_after=2.0)]
