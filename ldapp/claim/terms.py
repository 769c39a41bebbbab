"""The terms of a rental agreement as recorded choices.

Each record is one sentence of the agreement.  A term that is ``None`` is *not
stated*: the reckoning then takes the default that it names, and says so.  Money is
in the claim's currency; rates are exact fractions (``Fraction("0.15")`` is 15 %).
``clause`` says where the sentence is written.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Literal

from ldapp.claim.causes import Cause
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule, HolidayCalendar
from ldapp.claim.record import record

# --- custody, counts and condition ------------------------------------------------------

CustodyStartEvent = Literal["set_aside", "accepted_after_testing", "left_premises", "delivered"]
CustodyEndEvent = Literal["handed_over", "accepted_in_hours", "check_in_complete"]


@record
class CustodyStart:
    """The event with which the renter's risk begins."""

    event: CustodyStartEvent
    clause: Clause | None = None


@record
class CustodyEnd:
    """The event with which the renter's risk ends."""

    event: CustodyEndEvent
    clause: Clause | None = None


@record
class OpeningCondition:
    """How the condition at pickup is presumed, and how long a remark may take."""

    rule: Literal["good_unless_noted_at_delivery", "noted_within_hours", "as_is"]
    hours: int | None = None
    clause: Clause | None = None


@record
class ClosingCount:
    """Whose closing count the agreement follows."""

    rule: Literal["joint", "lessor_controls", "silent"]
    clause: Clause | None = None


@record
class Liability:
    """For what the renter answers.

    With "fault_only" a loss that was not the renter's fault (``Occurrence.our_fault`` False) is
    not owed; with "waived_perils" the causes named in ``perils`` are not.
    """

    rule: Literal["any_cause", "fault_only", "waived_perils"]
    perils: tuple[Cause, ...] = ()
    clause: Clause | None = None


@record
class Provision:
    """A sentence that the agreement either contains (``applies``) or denies."""

    applies: bool
    clause: Clause | None = None


# --- what a unit is worth ---------------------------------------------------------------

ValueBasis = Literal[
    "replacement_cost",
    "actual_cash_value",
    "scheduled_value",
    "market_value",
    "share_of_replacement",
    "in_kind",
]
ValuationDateEvent = Literal["delivery", "loss", "purchase", "invoice"]


@record
class ValuationRule:
    """The basis of value; several bases are taken as the lesser or the greater of them."""

    bases: tuple[ValueBasis, ...]
    of_several: Literal["lesser", "greater"] = "lesser"
    share: Fraction | None = None
    clause: Clause | None = None


@record
class ValuationOverride:
    """Another basis for one category of equipment or one kit line (by its id)."""

    rule: ValuationRule
    category: str | None = None
    line: str | None = None


@record
class ValuationDate:
    """The day whose price counts."""

    event: ValuationDateEvent
    clause: Clause | None = None


@record
class LessorsDiscount:
    """The discount that the lessor gets and must pass on, as a share of the price."""

    rate: Fraction
    clause: Clause | None = None


@record
class ValueCeiling:
    """No unit is worth more than this amount, or this share of its replacement cost."""

    amount: Decimal | None = None
    share_of_replacement: Fraction | None = None
    clause: Clause | None = None


@record
class ReplacementTax:
    """Tax that the terms count into the replacement cost before depreciation."""

    rate: Fraction
    clause: Clause | None = None


AgeRule = Literal["whole_months", "whole_years", "days_over_365"]
YearRule = Literal["calendar_years", "years_completed", "years_begun"]


@record
class StraightLine:
    """Depreciation = (replacement cost − residual) × min(1, age ÷ life).

    With ``half_year`` the age is the number of calendar years plus one half, so that the
    first and the last year carry half a year each.
    """

    method: Literal["straight_line"] = "straight_line"
    life_months: int | None
    residual_share: Fraction | None = None
    residual_amount: Decimal | None = None
    age: AgeRule = "whole_months"
    half_year: bool = False
    clause: Clause | None = None


@record
class DepreciationTable:
    """A printed table, first year first: percent depreciated each year, or percent good."""

    method: Literal["table"] = "table"
    shows: Literal["percent_of_year", "percent_good"]
    by_year: tuple[Fraction, ...]
    year: YearRule = "calendar_years"
    residual_share: Fraction | None = None
    residual_amount: Decimal | None = None
    source: str = ""
    clause: Clause | None = None


DepreciationRule = StraightLine | DepreciationTable


@record
class DepreciationOverride:
    """Another depreciation for one category of equipment or one kit line (by its id)."""

    rule: DepreciationRule
    category: str | None = None
    line: str | None = None


@record
class PairOrSet:
    """What a part of a pair or set is worth when the rest remains."""

    rule: Literal["part_only", "difference_in_value", "stated_share"]
    share: Fraction | None = None
    clause: Clause | None = None


# --- repair or total loss ---------------------------------------------------------------


@record
class RepairDecision:
    """Repair or total loss: the lesser of both, or a threshold as share of the value."""

    rule: Literal["lesser", "threshold"]
    threshold: Fraction | None = None
    clause: Clause | None = None


@record
class Salvage:
    """Who keeps the wreck of a total loss: the insurer, where it is the one that paid for it."""

    kept_by: Literal["lessor", "renter", "insurer"]
    clause: Clause | None = None


# --- loss of use ------------------------------------------------------------------------

OutOfServiceStart = Literal["notice", "return_due", "day_after_return_due", "check_in"]
OutOfServiceEnd = Literal["repaired", "replaced", "paid"]


@record
class LossOfUse:
    """Continuing rent while an item is out of service.

    ``days_from`` chooses the dates, labour hours at eight or four hours a day (the latter
    with two weekend days for every five repair days plus ``administrative_days``), or a
    stated number of days.
    """

    applies_to: Literal["damaged", "damaged_and_lost"] = "damaged_and_lost"
    days_from: Literal["dates", "hours_over_8", "hours_over_4", "stated"] = "dates"
    starts: OutOfServiceStart | None = None
    ends_when_damaged: OutOfServiceEnd | None = None
    ends_when_lost: OutOfServiceEnd | None = None
    last_day_counts: bool | None = None
    stated_days: Fraction | None = None
    administrative_days: int = 0
    billed_days_per_week: Fraction | None = None
    rate_share: Fraction | None = None
    discount: Fraction | None = None
    utilisation: Fraction | None = None
    cap_days: Fraction | None = None
    cap_amount: Decimal | None = None
    cap_share_of_value: Fraction | None = None
    rent_paid_counts: bool | None = None
    proof_required: bool | None = None
    clause: Clause | None = None


# --- fees, tax, credits -----------------------------------------------------------------

FeeKind = Literal[
    "administration", "cleaning", "freight", "restocking", "repacking", "minimum", "late", "other"
]
FeeBase = Literal["loss", "repair", "invoice"]


@record
class FeeBand:
    """One step of a banded fee: up to and including ``up_to`` of the base; ``None`` is open."""

    up_to: Decimal | None
    fee: Decimal


@record
class FeeRule:
    """One fee: flat, a percentage with minimum and maximum, bands, or as documented."""

    kind: FeeKind
    form: Literal["flat", "percentage", "bands", "as_documented"]
    amount: Decimal | None = None
    rate: Fraction | None = None
    base: FeeBase = "loss"
    minimum: Decimal | None = None
    maximum: Decimal | None = None
    bands: tuple[FeeBand, ...] = ()
    clause: Clause | None = None


TaxComponent = Literal["replacement", "parts", "labour", "loss_of_use", "fees"]


@record
class TaxComponentRule:
    """Whether one component of a loss charge is taxable."""

    component: TaxComponent
    taxable: bool
    clause: Clause | None = None


@record
class TaxRule:
    """The combined rate, what it falls on, and where it is rounded."""

    rates: tuple[Fraction, ...]
    components: tuple[TaxComponentRule, ...] = ()
    rounded: Literal["per_invoice", "per_line"] = "per_invoice"
    clause: Clause | None = None


@record
class Interest:
    """Interest on what is overdue and not disputed, in days over 365 of the yearly rate."""

    yearly_rate: Fraction
    after_days: int = 0
    clause: Clause | None = None


@record
class RentCredit:
    """Whether rent already paid comes off the replacement charge."""

    rule: Literal["deducted", "not_deducted", "by_approval"]
    amount: Decimal | None = None
    """The rent that was paid for what is charged now."""
    clause: Clause | None = None


@record
class DepositTerm:
    """Money held or charged at pickup, and what it is set off against first."""

    form: Literal["held", "charged"]
    amount: Decimal | None = None
    set_off: Literal["loss_first", "rent_first"] | None = None
    release_days: int | None = None
    clause: Clause | None = None


@record
class RecoveryTerm:
    """What is refunded when a paid item turns up within ``within_days``."""

    refund: Literal["full", "less_rent", "none"]
    within_days: int | None = None
    clause: Clause | None = None


@record
class BurnOutTerm:
    """Who bears lamps that burn out in use."""

    rule: Literal["free_if_returned", "free_on_short_rental", "renter"]
    short_rental_days: int | None = None
    clause: Clause | None = None


# --- damage waiver ----------------------------------------------------------------------


@record
class ShareBand:
    """One step of a banded share: for a base up to and including ``up_to``; ``None`` is open."""

    up_to: Decimal | None
    amount: Decimal


@record
class WaiverTerm:
    """A damage waiver: what it does not cover and what the renter still pays.

    The renter's share is a flat amount, a percentage of the loss or of the value, or banded
    by value; it applies per incident, per unit or per kit line.
    """

    taken: bool
    share_form: Literal["flat", "percentage_of_loss", "percentage_of_value", "bands"] = "flat"
    share_amount: Decimal | None = None
    share_rate: Fraction | None = None
    share_minimum: Decimal | None = None
    share_maximum: Decimal | None = None
    share_bands: tuple[ShareBand, ...] = ()
    per: Literal["incident", "unit", "line"] = "incident"
    limit: Decimal | None = None
    repair_only: bool = False
    covers_loss_of_use: bool = False
    excluded_causes: tuple[Cause, ...] = ()
    excluded_categories: tuple[str, ...] = ()
    clause: Clause | None = None


# --- all together -----------------------------------------------------------------------


@record
class Terms:
    """Every choice of one rental agreement; ``None`` or an empty tuple is "not stated"."""

    currency: str | None = None
    custody_start: CustodyStart | None = None
    custody_end: CustodyEnd | None = None
    opening_condition: OpeningCondition | None = None
    closing_count: ClosingCount | None = None
    invoice_conclusive: Provision | None = None
    wear_excepted: Provision | None = None
    liability: Liability | None = None
    valuation: ValuationRule | None = None
    valuation_overrides: tuple[ValuationOverride, ...] = ()
    valuation_date: ValuationDate | None = None
    lessors_discount: LessorsDiscount | None = None
    ceiling: ValueCeiling | None = None
    replacement_tax: ReplacementTax | None = None
    depreciation: DepreciationRule | None = None
    depreciation_overrides: tuple[DepreciationOverride, ...] = ()
    labour_depreciated: Provision | None = None
    pair_or_set: PairOrSet | None = None
    repair_decision: RepairDecision | None = None
    betterment: Provision | None = None
    salvage: Salvage | None = None
    loss_of_use: LossOfUse | None = None
    fees: tuple[FeeRule, ...] = ()
    tax: TaxRule | None = None
    interest: Interest | None = None
    rent_credit: RentCredit | None = None
    deposit: DepositTerm | None = None
    recovery: RecoveryTerm | None = None
    burn_outs: BurnOutTerm | None = None
    waiver: WaiverTerm | None = None
    deadlines: tuple[DeadlineRule, ...] = ()
    holidays: HolidayCalendar | None = None
