"""Papers of a claim, and what was sent and answered."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from annotated_types import Ge

from ldapp.claim.record import record

DocumentKind: TypeAlias = Literal[
    "agreement",
    "policy",
    "certificate_of_insurance",
    "purchase_order",
    "quote",
    "delivery_ticket",
    "pickup_sheet",
    "movement_ticket",
    "return_sheet",
    "check_in_sheet",
    "missing_and_damaged_list",
    "invoice",
    "repair_estimate",
    "repair_invoice",
    "replacement_quote",
    "receipt",
    "incident_report",
    "police_report",
    "message",
    "proof_of_loss",
    "proof_of_payment",
    "other",
]

Channel: TypeAlias = Literal["email", "post", "hand", "telephone", "meeting", "portal"]


@record
class Document:
    """A paper taken in as it is; the original is found by ``sha256``."""

    id: str
    title: str
    kind: DocumentKind = "other"
    name: str = ""
    """The file's own name."""
    path: str = ""
    """Relative to the claim file, where it lies beside one."""
    sha256: str = ""
    bytes: Annotated[int, Ge(0)] = 0
    media_type: str = ""
    pages: Annotated[int, Ge(0)] | None = None
    dated: dt.date | None = None
    signed_by_other_side: bool = False
    party: str | None = None
    exhibit: bool = True
    """Whether dossiers carry it as an exhibit."""
    private: bool = False
    """Never goes to the rental company."""
    taken_in: dt.datetime | None = None


CorrespondenceStep: TypeAlias = Literal[
    "answer_to_charges",
    "statement_of_loss",
    "reply",
    "offer",
    "settlement",
    "payment",
    "request",
    "other",
]


@record
class ChargeOffer:
    """For what amount one charge would be settled, in the claim's currency.

    A charge is named together with its invoice; one that has been removed since is passed
    over.
    """

    invoice: str
    charge: str
    amount: Decimal
    words: str = ""


@record
class Correspondence:
    """One thing sent or received, said or agreed.

    ``offered``, ``settled`` and ``paid`` concern the whole of it, ``offers`` single charges.
    ``sha256`` is the hash of the file that was sent, as it was sent.
    """

    id: str
    at: dt.datetime
    direction: Literal["sent", "received"]
    channel: Channel
    party: str | None = None
    step: CorrespondenceStep = "other"
    agreement: str | None = None
    """Whose rental company it is with; None: not with one alone."""
    subject: str
    text: str = ""
    sha256: str = ""
    reply_by: dt.date | None = None
    """Until when the receiver is asked to answer."""
    offers: tuple[ChargeOffer, ...] = ()
    offered: Decimal | None = None
    settled: Decimal | None = None
    paid: Decimal | None = None
    document: str | None = None


@record
class RecoveredItem:
    """Equipment that turned up after it was charged.

    ``refunded`` is what came back for it, in the claim's currency; what is due under the
    agreement is reckoned and never stored.
    """

    id: str
    line: str
    quantity: Annotated[int, Ge(0)] = 1
    serials: tuple[str, ...] = ()
    invoice: str | None = None
    charge: str | None = None
    """The charge that it was paid with, named together with its invoice."""
    found: dt.date
    returned: dt.date | None = None
    place: str = ""
    refunded: Decimal | None = None
    refunded_on: dt.date | None = None
    document: str | None = None
    note: str = ""
    """Private: printed in no dossier."""


@record
class Split:
    """Who bears a part of what nobody else pays, in the order given.

    A split takes ``share_percent`` of what is left to bear, or ``amount``, whichever
    is stated, never above ``at_most``; a split with neither takes the rest.
    """

    id: str
    party: str
    share_percent: Decimal | None = None
    amount: Decimal | None = None
    at_most: Decimal | None = None
    occurrence: str | None = None
    note: str = ""
