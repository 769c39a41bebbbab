"""The dossier being made: what this version may use of the claim, and how it is referred to.

Photos, exhibits, counts and workings get their numbers and letters here, once, so that
every section names a thing alike and links only to what is really printed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from zoneinfo import ZoneInfo

from ldapp.claim.agreement import Agreement
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.counts import Count, Stage
from ldapp.claim.documents import Document
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.claim.photos import Photo
from ldapp.claim.signed_counts import ChangedSince, changed_since_signing
from ldapp.dossier.disclosure import (
    DISCLOSURES,
    WITHHELD,
    Field,
    Section,
    may_show_document,
    withheld_words,
)
from ldapp.dossier.fonts import Typesetter
from ldapp.dossier.formats import (
    amount_text,
    money_text,
    photo_instant,
    shortened,
    time_text,
)
from ldapp.dossier.labels import STAGE_LABELS
from ldapp.dossier.places import Places
from ldapp.dossier.request import DossierRequest, Saying
from ldapp.dossier.style import BODY, MARGIN_SIDE, PAPER_SIZES, TextStyle
from ldapp.dossier.text import Span, Text
from ldapp.language import language, said, said_of, speaking
from ldapp.reckoning.result import ChargeResult, FindingResult, InvoiceResult, LineCounts

_STAGE_ORDER: dict[Stage, int] = {"pickup": 0, "during": 1, "return": 2, "check_in": 3}


@dataclass(frozen=True, slots=True)
class AnsweredCharge:
    """A charge beside its invoice and what the reckoning says of it."""

    number: int
    invoice: Invoice
    charge: Charge
    result: ChargeResult


@dataclass(frozen=True, slots=True)
class ReckonedFinding:
    """A finding beside its line and what the reckoning says of it."""

    number: int
    finding: Finding
    line: KitLine
    result: FindingResult


class Book(Places):
    """One request, seen through the allow-list of its version."""

    def __init__(self, request: DossierRequest) -> None:
        super().__init__()
        self.request = request
        self.claim = request.claim
        self.reckoning = request.reckoning
        self.disclosure = DISCLOSURES[request.version]
        self.withheld = withheld_words(request.claim, self.disclosure)
        self.typesetter = Typesetter(self.withheld, said(WITHHELD))
        self.currency = request.claim.currency
        self.zone = ZoneInfo(request.claim.zone)
        self.page_size = PAPER_SIZES[request.paper]
        self.text_width = self.page_size[0] - 2 * MARGIN_SIDE
        self.fell_short: list[str] = []
        self.told_in = language()
        """The language of who writes, in which it is told what falls short."""
        self.said_of_exhibits: list[tuple[str, Saying]] = []
        """Letter of an exhibit, and what is not shown of it as it came in."""

    # --- words ----------------------------------------------------------------------

    def shows(self, field: Field) -> bool:
        """Return whether this version may show a field."""
        if field == "device_serial" and not self.request.device_serials:
            return False
        return field in self.disclosure.fields

    def has_section(self, section: Section) -> bool:
        """Return whether this version has a section, and the claim something to say in it."""
        if section == "answer_to_charges" and not self.charges:
            return False
        return section in self.disclosure.sections

    def text(self, content: str | Span | Iterable[str | Span], style: TextStyle = BODY) -> Text:
        """Return a paragraph in this dossier's typeface."""
        return Text(content, style, self.typesetter)

    def amount(self, amount: Decimal | None) -> str:
        """Return an amount for a column of amounts."""
        return amount_text(amount, self.currency)

    def money(self, amount: Decimal | None) -> str:
        """Return an amount with its currency, for running text."""
        return money_text(amount, self.currency)

    def time(self, moment: dt.datetime | None) -> str:
        """Return an instant as local time of the claim's zone with its offset."""
        return time_text(moment, self.zone)

    def fall_short(self, says: Saying) -> None:
        """Remember, once, that something is not as complete as it should be."""
        with speaking(self.told_in):
            sentence = says()
        if sentence not in self.fell_short:
            self.fell_short.append(sentence)

    # --- parties and papers ---------------------------------------------------------

    @cached_property
    def parties(self) -> dict[str, Party]:
        """The parties that this version may name, by id."""
        return {
            party.id: party
            for party in self.claim.parties
            if party.role in self.disclosure.party_roles
            and (
                self.disclosure.every_agreement
                or party.role != "rental_company"
                or any(party.id == agreement.lessor for agreement in self.agreements)
            )
        }

    def party_name(self, party: str | None) -> str:
        """Return a party's name, or nothing where it may not be named or is not known."""
        found = self.parties.get(party) if party is not None else None
        return found.name if found is not None else ""

    def parties_in(self, *roles: str) -> list[Party]:
        """Return the parties in these roles, in the order of the roles."""
        return [party for role in roles for party in self.parties.values() if party.role == role]

    @cached_property
    def sender(self) -> Party | None:
        """Who writes: the production, else the school."""
        found = self.parties_in("production", "school")
        return found[0] if found else None

    @cached_property
    def agreements(self) -> tuple[Agreement, ...]:
        """The agreements that this version is about."""
        if self.disclosure.every_agreement:
            return self.claim.agreements
        chosen = self.request.agreement
        if chosen is None:
            with_invoice = {invoice.agreement for invoice in self.claim.invoices}
            chosen = next(
                (one.id for one in self.claim.agreements if one.id in with_invoice),
                next((one.id for one in self.claim.agreements), None),
            )
        return tuple(one for one in self.claim.agreements if one.id == chosen)

    @cached_property
    def _agreement_ids(self) -> frozenset[str]:
        return frozenset(agreement.id for agreement in self.agreements)

    @cached_property
    def lines(self) -> dict[str, KitLine]:
        """The kit lines that this version is about, by id, in the order of the list."""
        return {line.id: line for line in self.claim.kit if line.agreement in self._agreement_ids}

    def line_label(self, line: str | None) -> str:
        """Return a kit line as ``12 · Stand 40 in``."""
        found = self.lines.get(line) if line is not None else None
        if found is None:
            return ""
        name = shortened(found.description)
        return f"{found.number} · {name}" if found.number else name

    @cached_property
    def exhibits(self) -> dict[str, tuple[str, Document]]:
        """The documents that this version carries, by id, each with its letter."""
        others = {
            agreement.document
            for agreement in self.claim.agreements
            if agreement.id not in self._agreement_ids
        } | {
            invoice.document
            for invoice in self.claim.invoices
            if invoice.agreement not in self._agreement_ids
        }
        carried = [
            document
            for document in self.claim.documents
            if document.exhibit
            and may_show_document(document, self.disclosure)
            and (document.party is None or document.party in self.parties)
            and document.id not in others
        ]
        return {one.id: (exhibit_letter(index), one) for index, one in enumerate(carried)}

    def exhibit_spans(self, documents: Iterable[str | None]) -> list[Span]:
        """Return links such as ``Exhibit C`` for those of the documents that are carried."""
        spans = []
        for document in dict.fromkeys(documents):
            if document is not None and document in self.exhibits:
                letter = self.exhibits[document][0]
                spans.extend(
                    self.spans_to(said("Exhibit {letter}", letter=letter), f"exhibit-{letter}")
                )
        return spans

    # --- counts ---------------------------------------------------------------------

    @cached_property
    def counts(self) -> list[Count]:
        """The counts that cover these agreements, in the order of time."""
        late = dt.datetime.max.replace(tzinfo=dt.UTC)
        covering = [
            count
            for count in self.claim.counts
            if not count.agreements or self._agreement_ids & set(count.agreements)
        ]
        return sorted(covering, key=lambda one: (one.at or late, _STAGE_ORDER[one.stage]))

    @cached_property
    def changed_since_signing(self) -> dict[str, ChangedSince]:
        """What was changed after it was signed, by the count's id."""
        return {
            count.id: changed
            for count in self.claim.counts
            if (changed := changed_since_signing(count)) is not None
        }

    def changed_mark(self, count: str, line: str) -> str:
        """Return what is said of a line whose entry in a count is not the one that was signed."""
        changed = self.changed_since_signing.get(count)
        return said("changed after signing") if changed and line in changed.lines else ""

    @cached_property
    def count_numbers(self) -> dict[str, int]:
        """The number of each count by its id."""
        return {count.id: number for number, count in enumerate(self.counts, 1)}

    def count_label(self, count: str | None) -> str:
        """Return a count as ``count 2 (return)``."""
        for one in self.counts:
            if one.id == count:
                return said(
                    "count {number} ({stage})",
                    number=self.count_numbers[one.id],
                    stage=said(STAGE_LABELS[one.stage]),
                )
        return ""

    def count_spans(self, counts: Iterable[str]) -> list[Span]:
        """Return links to those of the counts that are printed."""
        return [
            span
            for one in dict.fromkeys(counts)
            if one in self.count_numbers
            for span in self.spans_to(self.count_label(one), f"count-{self.count_numbers[one]}")
        ]

    @cached_property
    def line_counts(self) -> list[LineCounts]:
        """What the counts say of each line of these agreements."""
        return [one for one in self.reckoning.counts if one.line in self.lines]

    # --- findings, charges, occurrences ---------------------------------------------

    @cached_property
    def findings(self) -> list[ReckonedFinding]:
        """The findings of these agreements with their results, in the order of the list."""
        results = {one.finding: one for one in self.reckoning.findings}
        order = {line: index for index, line in enumerate(self.lines)}
        found = sorted(
            (one for one in self.claim.findings if one.line in self.lines and one.id in results),
            key=lambda one: order[one.line],
        )
        return [
            ReckonedFinding(number, one, self.lines[one.line], results[one.id])
            for number, one in enumerate(found, 1)
        ]

    @cached_property
    def findings_by_line(self) -> dict[str, list[ReckonedFinding]]:
        """The findings by the id of their line, in the order of the list."""
        by_line: dict[str, list[ReckonedFinding]] = {}
        for one in self.findings:
            by_line.setdefault(one.line.id, []).append(one)
        return by_line

    @cached_property
    def charges(self) -> list[AnsweredCharge]:
        """The charges of these agreements with their results, invoice by invoice."""
        results = {(one.invoice, one.charge): one for one in self.reckoning.charges}
        found = [
            (invoice, charge)
            for invoice in sorted(self.invoices, key=lambda one: (one.dated, one.number))
            for charge in invoice.charges
            if (invoice.id, charge.id) in results
        ]
        return [
            AnsweredCharge(number, invoice, charge, results[invoice.id, charge.id])
            for number, (invoice, charge) in enumerate(found, 1)
        ]

    def tells_worth(self, one: ReckonedFinding) -> bool:
        """Return whether what a finding is worth may be told.

        The rental company reads it only where it has charged the finding: nobody puts a
        price on what has not been asked for.
        """
        return self.shows("who_pays") or any(
            answered.result.finding == one.finding.id for answered in self.charges
        )

    @cached_property
    def invoices(self) -> list[Invoice]:
        """The invoices of these agreements."""
        return [one for one in self.claim.invoices if one.agreement in self._agreement_ids]

    @cached_property
    def invoice_results(self) -> dict[str, InvoiceResult]:
        """What the reckoning says of each invoice, by its id."""
        return {
            one.invoice: one
            for one in self.reckoning.invoices
            if one.agreement in self._agreement_ids
        }

    @cached_property
    def occurrences(self) -> list[Occurrence]:
        """The occurrences that caused one of these findings, in the order of the claim."""
        if self.disclosure.every_agreement:
            return list(self.claim.occurrences)
        used = {one.result.occurrence for one in self.findings}
        return [one for one in self.claim.occurrences if one.id in used]

    def occurrence_title(self, occurrence: str | None) -> str:
        """Return what an occurrence is called; None is what no event explains."""
        for number, one in enumerate(self.occurrences, 1):
            if one.id == occurrence:
                return shortened(one.title) or said("Occurrence {number}", number=number)
        return said("Not explained by an occurrence")

    # --- photos ---------------------------------------------------------------------

    @cached_property
    def photos(self) -> list[Photo]:
        """The photos that this version uses, in the order of the claim."""
        counted = set(self.count_numbers)
        return [
            photo
            for photo in self.claim.photos
            if not photo.left_out
            and (
                self.disclosure.every_agreement
                or any(pairing.line in self.lines for pairing in photo.pairings)
                or (not photo.pairings and photo.count in counted)
            )
        ]

    @cached_property
    def photo_numbers(self) -> dict[str, int]:
        """The number of each photo: its place in the claim, the same in every version."""
        used = {photo.id for photo in self.photos}
        return {
            photo.id: number
            for number, photo in enumerate(self.claim.photos, 1)
            if photo.id in used
        }

    def verdict(self, photo: Photo) -> PhotoVerdict | None:
        """Return the judgement on a photo's time, if there is one."""
        return self.request.verdicts.get(photo.id)

    def photos_of_line(self, line: str) -> list[Photo]:
        """Return the photos paired with a line, earliest first, those without a time last."""
        late = dt.datetime.max.replace(tzinfo=dt.UTC)
        paired = [one for one in self.photos if any(p.line == line for p in one.pairings)]
        return sorted(paired, key=lambda one: photo_instant(self.verdict(one)) or late)

    def photo_count(self, photo: Photo, line: str | None = None) -> Count | None:
        """Return the count at which a photo was taken, by its pairing or by itself."""
        wanted = next(
            (one.count for one in photo.pairings if one.count and one.line == line),
            next((one.count for one in photo.pairings if one.count), photo.count),
        )
        return next((one for one in self.counts if one.id == wanted), None)

    def photo_spans(self, photos: Iterable[str]) -> list[Span]:
        """Return links such as ``Photo 7`` for those of the photos that are printed."""
        return [
            span
            for one in dict.fromkeys(photos)
            if one in self.photo_numbers
            for span in self.spans_to(
                said("Photo {number}", number=self.photo_numbers[one]),
                f"photo-{self.photo_numbers[one]}",
            )
        ]

    @cached_property
    def first_words(self) -> str:
        """The claim in a few words, for the document's title."""
        return f"{self.claim.reference} · {self.claim.title}".rstrip(" ·")

    @cached_property
    def photo_words(self) -> str:
        """How many photos this version uses, in words."""
        return said_of(len(self.photos), "{count} photo", "{count} photos")


def exhibit_letter(index: int) -> str:
    """Return A, B … Z, AA, AB … for the place of an exhibit, counted from nought."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def interleave(spans: list[Span], between: str = ", ") -> list[Span | str]:
    """Return spans with a text between each two."""
    mixed: list[Span | str] = []
    for index, span in enumerate(spans):
        if index:
            mixed.append(between)
        mixed.append(span)
    return mixed
