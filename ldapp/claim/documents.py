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


@record
class Correspondence:
    """One thing sent or received, said or agreed."""

    id: str
    at: dt.datetime
    direction: Literal["sent", "received"]
    channel: Channel
    party: str | None = None
    subject: str
    text: str = ""
    offered: Decimal | None = None
    settled: Decimal | None = None
    paid: Decimal | None = None
    document: str | None = None


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
