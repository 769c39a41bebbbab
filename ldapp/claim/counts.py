"""Physical countings of the kit, and what moved between them."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal, TypeAlias

from annotated_types import Ge

from ldapp.claim.record import record

Stage: TypeAlias = Literal["pickup", "during", "return", "check_in"]
"""``check_in`` is the rental company's own count when the equipment arrives."""

Acknowledgement: TypeAlias = Literal[
    "signed_by_both",
    "on_company_ticket",
    "one_side_with_photos",
    "emailed_same_day",
    "one_side",
    "refused_to_sign",
    "none",
]
"""How the other side took note of a count, strongest first."""

Condition: TypeAlias = Literal[
    "as_sent_out", "worn", "damaged_before", "damaged", "not_working", "not_looked_at"
]
"""``damaged_before`` notes damage that was there at pickup."""

MovementKind: TypeAlias = Literal["added", "exchanged", "returned_early", "used_up", "transferred"]


@record
class PartCount:
    """How many of one part of a line were there."""

    part: str
    quantity: Annotated[int, Ge(0)] | None = None


@record
class CountEntry:
    """What one count says of one kit line.  ``quantity`` None means "not counted"."""

    line: str
    quantity: Annotated[int, Ge(0)] | None = None
    condition: Condition = "not_looked_at"
    serials_seen: tuple[str, ...] | None = None
    parts: tuple[PartCount, ...] = ()
    at: dt.datetime | None = None
    """When this line was counted; aware."""
    note: str = ""


@record
class SignedLine:
    """The hash of what a count said of one line when it was signed."""

    line: str
    sha256: str


@record
class SignedState:
    """What a count said when it was signed (:mod:`ldapp.claim.signed_counts`)."""

    sha256: str
    """SHA-256 over stage, times and every entry."""
    lines: tuple[SignedLine, ...] = ()
    """One for each entry that said something: it names the lines that were changed."""


@record
class Signature:
    """A name under a count; ``strokes`` are polylines in a box of width and height 1."""

    name: str
    side: Literal["ours", "theirs"]
    at: dt.datetime
    strokes: tuple[tuple[tuple[float, float], ...], ...] = ()
    signed: SignedState | None = None
    """None in claims of earlier versions: what was signed is then unknown, not changed."""


@record
class Count:
    """One physical counting of the kit at a stage; it may cover only some lines."""

    id: str
    stage: Stage
    at: dt.datetime | None = None
    """When it was held; aware.  A day without a time is noon in the claim's zone."""
    until: dt.datetime | None = None
    place: str = ""
    position: tuple[float, float] | None = None
    """Latitude and longitude in degrees (WGS 84)."""
    counted_by: str = ""
    witness: str = ""
    acknowledgement: Acknowledgement = "none"
    acknowledged_by: str = ""
    refused_at: dt.datetime | None = None
    blind: bool = False
    agreements: tuple[str, ...] = ()
    """The agreements it covers; empty for all."""
    document: str | None = None
    signatures: tuple[Signature, ...] = ()
    note: str = ""
    entries: tuple[CountEntry, ...] = ()


@record
class Movement:
    """Equipment added, exchanged, returned early, used up or transferred under a ticket."""

    id: str
    kind: MovementKind
    line: str
    quantity: Annotated[int, Ge(0)]
    at: dt.datetime
    ticket: str = ""
    direction: Literal["one_for_one", "in", "out"] = "one_for_one"
    """For an exchange between two lines: this line gained ("in") or lost ("out")."""
    part: str | None = None
    """Only this part of the line moved."""
    serials_in: tuple[str, ...] = ()
    serials_out: tuple[str, ...] = ()
    document: str | None = None
    note: str = ""
