"""What a weak point is, and what the checks for them look at."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from typing import Literal, NamedTuple

from ldapp.casework.edit import find
from ldapp.casework.places import Place
from ldapp.claim.agreement import Agreement
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.claim.photos import Photo
from ldapp.language import said
from ldapp.reckoning.result import Reckoning

Gravity = Literal["grave", "weak", "note"]
"""``grave``: the claim or answer is likely to fail there; ``weak``: it will be asked;
``note``: worth a look."""

GRAVITIES: tuple[Gravity, ...] = ("grave", "weak", "note")


class WeakPoint(NamedTuple):
    """One point of attack: what it is, why it matters, what cures it, and where it is."""

    code: str
    gravity: Gravity
    place: Place
    says: str
    why: str
    cure: str


class Facts:
    """What the checks look at, with the look-ups that several of them need."""

    def __init__(
        self,
        claim: Claim,
        reckoning: Reckoning | None,
        verdicts: Mapping[str, PhotoVerdict],
        today: dt.date,
    ) -> None:
        self.claim = claim
        self.reckoning = reckoning
        self.verdicts = verdicts
        self.today = today
        self.lines: dict[str, KitLine] = {line.id: line for line in claim.kit}
        self.counts: dict[str, Count] = {count.id: count for count in claim.counts}
        self.photos_of_line: dict[str, list[Photo]] = {}
        for photo in claim.photos:
            for line in {pairing.line for pairing in photo.pairings}:
                self.photos_of_line.setdefault(line, []).append(photo)

    def line_name(self, line: str) -> str:
        """Return "line 7, C-stand 40 in"."""
        one = self.lines.get(line)
        if one is None:
            return said("a line that was removed")
        return said("line {number}, {description}", number=one.number, description=one.description)

    def agreement_name(self, agreement: Agreement) -> str:
        """Return "Agreement RA-7"; without a reference, whom it is with."""
        if agreement.reference:
            return said("Agreement {reference}", reference=agreement.reference)
        lessor = find(self.claim.parties, agreement.lessor)
        return (
            said("Agreement with {name}", name=lessor.name)
            if lessor and lessor.name
            else said("The agreement")
        )

    def name_of(self, kind: str, key: str) -> str:
        """Return what a record is called, with a colon, to stand before a sentence about it."""
        if kind == "kit_line":
            return f"{self.line_name(key)}: "
        if kind == "finding":
            finding = find(self.claim.findings, key)
            return f"{self.line_name(finding.line)}: " if finding else ""
        if kind == "occurrence":
            occurrence = find(self.claim.occurrences, key)
            return said("“{title}”", title=occurrence.title) + ": " if occurrence else ""
        if kind == "charge":
            for invoice in self.claim.invoices:
                charge = find(invoice.charges, key)
                if charge:
                    named = said(
                        "charge {number} “{description}”",
                        number=charge.number,
                        description=charge.description,
                    )
                    return f"{named}: "
        if kind == "agreement":
            agreement = find(self.claim.agreements, key)
            return f"{self.agreement_name(agreement)}: " if agreement else ""
        return ""


Check = Callable[[Facts], Iterator[WeakPoint]]
