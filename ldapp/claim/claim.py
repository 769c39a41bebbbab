"""The claim: one aggregate, loaded, changed and saved as a whole."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal

from annotated_types import MinLen

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Invoice
from ldapp.claim.counts import Count, Movement
from ldapp.claim.documents import Correspondence, Document, RecoveredItem, Split
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.journal import JournalEntry
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.claim.photos import ClockCorrection, IssuedCode, Photo
from ldapp.claim.record import record
from ldapp.claim.stages import ClaimStage

CLAIM_FORMAT = "ldapp-claim/1"


@record
class Claim:
    """Everything about one loss or dispute, in one currency and one home time zone.

    The order of a collection is the order in which it is shown; it changes no amount.
    """

    format: Literal["ldapp-claim/1"] = "ldapp-claim/1"
    id: Annotated[str, MinLen(1)]
    reference: Annotated[str, MinLen(1)]
    title: str = ""
    """The production or project."""
    currency: Annotated[str, MinLen(3)]
    """ISO 4217 code."""
    zone: Annotated[str, MinLen(1)]
    """IANA time zone of the job's place."""
    place: str = ""
    position: tuple[float, float] | None = None
    stage: ClaimStage = "preparing"
    opened: dt.date | None = None
    invented: bool = False
    """A demonstration claim: the dossier says on every page that it is invented."""
    note: str = ""
    """Private: printed in no dossier."""

    parties: tuple[Party, ...] = ()
    agreements: tuple[Agreement, ...] = ()
    policy: Policy | None = None
    kit: tuple[KitLine, ...] = ()
    counts: tuple[Count, ...] = ()
    movements: tuple[Movement, ...] = ()
    occurrences: tuple[Occurrence, ...] = ()
    findings: tuple[Finding, ...] = ()
    invoices: tuple[Invoice, ...] = ()
    photos: tuple[Photo, ...] = ()
    clock_corrections: tuple[ClockCorrection, ...] = ()
    issued_codes: tuple[IssuedCode, ...] = ()
    documents: tuple[Document, ...] = ()
    correspondence: tuple[Correspondence, ...] = ()
    recovered: tuple[RecoveredItem, ...] = ()
    splits: tuple[Split, ...] = ()
    journal: tuple[JournalEntry, ...] = ()
