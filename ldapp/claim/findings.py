"""Differences and damage, and the events that caused them."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from annotated_types import Ge

from ldapp.claim.causes import Cause
from ldapp.claim.record import record

FindingKind: TypeAlias = Literal["missing", "damaged", "short_at_pickup", "exchanged", "over"]


@record
class Occurrence:
    """One event that caused one or more findings; deductibles apply to it."""

    id: str
    title: str
    cause: Cause | None = None
    at: dt.datetime | None = None
    """When it happened; aware.  None where it is known only by the counts."""
    day: dt.date | None = None
    """The day, where no time of day is known: noon in the claim's zone."""
    place: str = ""
    abroad: bool = False
    narrative: str = ""
    report_number: str = ""
    """The production's own incident report."""
    police_report: str = ""
    forced_entry: bool | None = None
    persons: tuple[str, ...] = ()
    our_fault: bool | None = None
    """Whether it was the renter's fault; None: not said, and then presumed where it matters."""
    third_party: str | None = None
    """A party that is responsible for it."""
    documents: tuple[str, ...] = ()


@record
class Repair:
    """What a repair costs, in the claim's currency, from an estimate or an invoice."""

    parts: Decimal = Decimal(0)
    labour: Decimal = Decimal(0)
    labour_hours: Decimal | None = None
    other: Decimal = Decimal(0)
    discount: Decimal = Decimal(0)
    document: str | None = None
    """The estimate or invoice; without one the repair is undocumented."""
    carried_out: bool = False
    out_of_service_from: dt.date | None = None
    out_of_service_until: dt.date | None = None


@record
class Finding:
    """One difference or damage on one kit line, confirmed by a person."""

    id: str
    line: str
    kind: FindingKind
    quantity: Annotated[int, Ge(0)]
    part: str | None = None
    serials: tuple[str, ...] = ()
    occurrence: str | None = None
    cause: Cause | None = None
    narrative: str = ""
    repair: Repair | None = None
    beyond_repair: bool | None = None
    """None: decided by the terms from repair and value."""
    salvage: Decimal | None = None
    """What the wreck is worth to the lessor who keeps it, for one unit."""
    stated_value: Decimal | None = None
    """A unit value stated by hand; needs ``stated_value_reason``."""
    stated_value_reason: str = ""
    set_value: Decimal | None = None
    """What the pair or set was worth before the loss, for the pair-or-set rule."""
    remainder_value: Decimal | None = None
    """What is left of the pair or set is worth."""
    rent_paid_days: Decimal = Decimal(0)
    """Days out of service for which rent was paid anyway."""
    lost_rental_proved: bool = False
    """Whether the lessor has shown that the item would have been rented."""
    replaced_for: Decimal | None = None
    """What was really spent on the replacement of all units, once known."""
    replaced_on: dt.date | None = None
    documents: tuple[str, ...] = ()
    note: str = ""
