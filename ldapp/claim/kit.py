"""The equipment list: kit lines, their serial-numbered units and their parts."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal, TypeAlias

from annotated_types import Ge, MinLen

from ldapp.claim.record import record

EquipmentKind: TypeAlias = Literal[
    "lighting",
    "discharge_lighting",
    "grip",
    "rigging",
    "electrical_distribution",
    "battery",
    "camera",
    "lens",
    "sound",
    "vehicle",
    "consumable",
    "other",
]
"""What a line is, as far as cautions, waiver and policy depend on it."""


@record
class Comparable:
    """One dated offer or sale of the same thing, for a market value."""

    source: str
    dated: dt.date
    price: Decimal
    document: str | None = None


@record
class DatedPrice:
    """The documented price of one unit on the day of one event that terms may name."""

    event: Literal["delivery", "loss", "purchase", "invoice"]
    price: Decimal
    dated: dt.date | None = None
    document: str | None = None


@record
class Part:
    """A part that belongs to each unit of a line (the arm of a stand, a head's barn doors)."""

    id: str
    description: str
    per_unit: Annotated[int, Ge(1)] = 1
    replacement_cost: Decimal | None = None
    """For one part, in the claim's currency."""
    prices: tuple[DatedPrice, ...] = ()
    """Prices of one part on other days, where the valuation date of the agreement matters."""


@record
class KitLine:
    """One line of the equipment list: a description and a quantity.

    Amounts are for one unit in the claim's currency.  ``serials`` names single
    units; where it is empty the line is counted by quantity alone.
    """

    id: str
    number: str
    """The line number as printed on the list."""
    agreement: str
    description: Annotated[str, MinLen(1)]
    quantity: Annotated[int, Ge(0)]
    serials: tuple[str, ...] = ()
    asset_tags: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    kind: EquipmentKind = "other"
    category: str = ""
    """The list's own grouping, as printed (a heading, a department's section)."""
    owner: str | None = None
    """The party that owns it, where it is sub-rented from another house."""
    location: str = ""
    """Where it lives: truck, cart, case, shelf.  Counting goes in this order."""
    day_rate: Decimal | None = None
    replacement_cost: Decimal | None = None
    prices: tuple[DatedPrice, ...] = ()
    """Prices of other days, where the valuation date of the agreement matters."""
    scheduled_value: Decimal | None = None
    comparables: tuple[Comparable, ...] = ()
    acquired: dt.date | None = None
    """When the lessor bought it new; needed for depreciation."""
    age_months: Annotated[int, Ge(0)] | None = None
    """Its age at the date of loss where only that is known."""
    note: str = ""
