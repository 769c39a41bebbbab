"""The claim as the recipient may have it: the file that is attached to the dossier.

It is the same subset that the pages show.  Notes and the journal's values never leave the
desk; for the rental company everything that is not on its list is cut away, and what
referred to it refers to nothing.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from ldapp.claim.charges import Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.claim.record import field_names, with_fields
from ldapp.dossier.book import Book

_Record = TypeVar("_Record")

_REFERS_TO: Mapping[str, str] = {
    "document": "documents",
    "documents": "documents",
    "owner": "parties",
    "third_party": "parties",
    "party": "parties",
    "members": "parties",
    "insured": "parties",
    "renter": "parties",
    "broker": "parties",
    "loss_payee": "parties",
    "count": "counts",
    "counts": "counts",
    "finding": "findings",
    "occurrence": "occurrences",
    "photo": "photos",
    "photos": "photos",
    "agreements": "agreements",
    "revises": "invoices",
}
"""Fields that name another record, and the collection that it is in."""

_ON_A_SCREEN = "screenshot"
"""A comment that phones write, and that says what a picture is of."""

_KEEP_AS_IT_IS = frozenset({"id", "sha256", "hash", "format", "currency", "zone", "code", "kind"})


def shared_claim(book: Book, *, leave_out: frozenset[str] = frozenset()) -> Claim:
    """Return what of the claim this version's recipient may have.

    ``leave_out`` names photos that are not passed on.
    """
    claim = book.claim
    private = {one.id for one in claim.parties if one.role in ("student", "crew")}
    whole = dataclasses.replace(
        claim,
        photos=tuple(
            _as_told(one, serial=book.shows("device_serial"))
            for one in claim.photos
            if one.id not in leave_out
        ),
        # What was put down in short of a letter or a call is a note for the desk.
        # What was written to a student or a member of the crew is between them and the office.
        correspondence=tuple(
            dataclasses.replace(one, text="")
            for one in claim.correspondence
            if one.party not in private
        ),
        journal=(),
    )
    if not book.shows("policy"):
        whole = _for_the_other_side(book, whole)
    kept = {
        name: {one.id for one in getattr(whole, name)} for name in sorted(set(_REFERS_TO.values()))
    }
    return _cleaned(whole, kept, book.typesetter.withhold)


def _as_told(photo: Photo, *, serial: bool) -> Photo:
    """Return a photo without position and serial number of its device, where withheld."""
    photo = dataclasses.replace(photo, path="")
    if not serial:
        photo = dataclasses.replace(photo, facts=dataclasses.replace(photo.facts, serial=None))
    if not photo.withhold_position or photo.facts.satellite is None:
        return photo
    fix = dataclasses.replace(photo.facts.satellite, latitude=None, longitude=None)
    return dataclasses.replace(photo, facts=dataclasses.replace(photo.facts, satellite=fix))


def _for_the_other_side(book: Book, claim: Claim) -> Claim:
    lines = set(book.lines)
    findings = {one.finding.id for one in book.findings}
    occurrences = {one.id for one in book.occurrences}
    shown = {one.id for one in book.photos}
    return Claim(
        id=claim.id,
        reference=claim.reference,
        title=claim.title,
        currency=claim.currency,
        zone=claim.zone,
        place=claim.place,
        invented=claim.invented,
        parties=tuple(book.parties.values()),
        agreements=book.agreements,
        kit=tuple(book.lines.values()),
        counts=tuple(_count_of(one, lines) for one in claim.counts if one in book.counts),
        movements=tuple(one for one in claim.movements if one.line in lines),
        occurrences=tuple(
            # Whose fault it was is stated by a ground, never admitted by the way.
            dataclasses.replace(one, persons=(), our_fault=None)
            for one in claim.occurrences
            if one.id in occurrences
        ),
        findings=tuple(one for one in claim.findings if one.id in findings),
        invoices=tuple(_invoice_of(one, lines) for one in book.invoices),
        photos=tuple(_photo_of(one, lines) for one in claim.photos if one.id in shown),
        documents=tuple(
            dataclasses.replace(document, path="", taken_in=None)
            for _, document in book.exhibits.values()
        ),
    )


def _count_of(count: Count, lines: set[str]) -> Count:
    entries = tuple(one for one in count.entries if one.line in lines)
    return dataclasses.replace(count, entries=entries, position=None)


def _invoice_of(invoice: Invoice, lines: set[str]) -> Invoice:
    charges = tuple(
        dataclasses.replace(
            one,
            line=one.line if one.line in lines else None,
            match_reason="",
            # What was considered and not relied on is ours.
            grounds=tuple(ground for ground in one.grounds if ground.on),
            settled=None,
            settled_on=None,
        )
        for one in invoice.charges
    )
    return dataclasses.replace(invoice, charges=charges)


def _photo_of(photo: Photo, lines: set[str]) -> Photo:
    facts: PhotoFacts = dataclasses.replace(photo.facts, file_modified=None)
    if facts.user_comment is not None and facts.user_comment.strip().lower() != _ON_A_SCREEN:
        facts = dataclasses.replace(facts, user_comment=None)
    return dataclasses.replace(
        photo,
        facts=facts,
        pairings=tuple(
            dataclasses.replace(one, reason="") for one in photo.pairings if one.line in lines
        ),
        file_modified=None,
        statement="",
    )


def _cleaned(one: _Record, kept: Mapping[str, set[str]], mask: Callable[[str], str]) -> _Record:
    """Return a record without notes, without references to nothing, its words masked."""
    changes: dict[str, Any] = {}
    for field in field_names(type(one)):
        value = getattr(one, field)
        cleaned = _cleaned_value(field, value, kept, mask)
        if field == "note" and not isinstance(one, CountEntry):
            cleaned = ""
        if cleaned is not value:
            changes[field] = cleaned
    return with_fields(one, **changes) if changes else one


def _cleaned_value(
    name: str, value: Any, kept: Mapping[str, set[str]], mask: Callable[[str], str]
) -> Any:
    if isinstance(value, str):
        if name in _REFERS_TO:
            return value if value in kept[_REFERS_TO[name]] else None
        return value if name in _KEEP_AS_IT_IS else mask(value)
    if isinstance(value, tuple):
        if name in _REFERS_TO and all(isinstance(one, str) for one in value):
            return tuple(one for one in value if one in kept[_REFERS_TO[name]])
        return tuple(_cleaned_value("", one, kept, mask) for one in value)
    if dataclasses.is_dataclass(value):
        return _cleaned(value, kept, mask)
    return value
