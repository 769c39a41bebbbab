"""The rental company's loss-and-damage invoices and our answer to each line."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from annotated_types import Ge

from ldapp.claim.grounds import GroundCode
from ldapp.claim.record import record

ChargeKind: TypeAlias = Literal[
    "missing",
    "replacement",
    "repair",
    "repair_labour",
    "repair_parts",
    "lamp",
    "cleaning",
    "repack",
    "loss_of_use",
    "freight",
    "sub_rental",
    "administration",
    "fee",
    "interest",
    "tax",
    "credit",
    "difference_in_addition",
    "other",
]


@record
class GroundChoice:
    """A reason why a charge, or a part of it, is not owed: switched on or off.

    ``quantity``, ``amount``, ``days`` and ``rate`` carry our reading where the ground
    needs one that the reckoning cannot find by itself.  ``quantity`` is the units that fall
    to the ground (for "quantity": those that are owed).  ``amount`` is what our reading
    leaves: the value of one unit for a ground on its price, all of a repair for a ground on
    repairs, else the rest of the charge.  ``rate`` is for one unit and day.
    """

    code: GroundCode
    on: bool = True
    quantity: Annotated[int, Ge(0)] | None = None
    amount: Decimal | None = None
    days: Decimal | None = None
    rate: Decimal | None = None
    clause: str = ""
    documents: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    counts: tuple[str, ...] = ()
    words: str = ""
    """Words of the person, printed in the answer."""


@record
class Charge:
    """One line of an invoice, as billed, in the claim's currency."""

    id: str
    number: str
    description: str
    kind: ChargeKind = "other"
    quantity: Decimal = Decimal(1)
    unit_price: Decimal | None = None
    amount: Decimal
    days: Decimal | None = None
    taxable: bool | None = None
    line: str | None = None
    finding: str | None = None
    match_reason: str = ""
    grounds: tuple[GroundChoice, ...] = ()
    open_until_documented: bool = False
    settled: Decimal | None = None
    settled_on: dt.date | None = None
    note: str = ""


@record
class Invoice:
    """An L&D invoice or a revision of one; totals as printed, in ``currency``."""

    id: str
    agreement: str
    number: str
    dated: dt.date
    received: dt.date | None = None
    currency: str | None = None
    """As printed; None where it is the claim's."""
    revises: str | None = None
    """The invoice that this one replaces."""
    net: Decimal | None = None
    tax: Decimal | None = None
    gross: Decimal | None = None
    document: str | None = None
    charges: tuple[Charge, ...] = ()
