"""Grounds: the closed list of reasons why a charge, or a part of it, is not owed.

The order of the list is the order in which grounds come into force; ``GROUNDS`` names the
group of each.  Labels are plain words for the window and the dossier.
"""

from __future__ import annotations

from typing import Literal, get_args

from ldapp.claim.record import record

GroundCode = Literal[
    # 1: not ours
    "never_received",
    "returned",
    "other_owner",
    "outside_custody",
    "ordinary_wear",
    "prior_damage",
    "breakdown",
    "used_up",
    "not_liable",
    "outside_notice_window",
    "unexplained_charge",
    # 2: quantity
    "quantity",
    # 3: unit value
    "value_basis",
    "valuation_date",
    "depreciation",
    "schedule_exceeded",
    "lessors_discount",
    "set_billed_for_part",
    "repair_cheaper",
    "salvage_credit",
    # 4: repair
    "repair_undocumented",
    "betterment",
    # 5: loss of use
    "not_out_of_service",
    "loss_of_use_days",
    "loss_of_use_cap",
    "loss_of_use_rate",
    "rent_already_paid",
    "loss_of_use_unproved",
    # 6: fees
    "fee_not_agreed",
    # 7: tax
    "tax_not_due",
    # 8: billed twice
    "billed_twice",
    # 9: arithmetic
    "arithmetic",
]

GROUND_CODES: tuple[GroundCode, ...] = get_args(GroundCode)


@record
class GroundKind:
    """One ground: its code, the group in which it comes into force, and what it is called."""

    code: GroundCode
    group: int
    label: str
    proof: str


def _kind(code: GroundCode, group: int, label: str, proof: str) -> GroundKind:
    return GroundKind(code=code, group=group, label=label, proof=proof)


GROUNDS: tuple[GroundKind, ...] = (
    _kind(
        "never_received",
        1,
        "never received",
        "the pickup count, a remark on the ticket, a dated photo",
    ),
    _kind("returned", 1, "returned", "the return count, a later ticket, a courier's proof"),
    _kind(
        "other_owner", 1, "belongs to another owner", "serial numbers out and in, an owner's mark"
    ),
    _kind(
        "outside_custody",
        1,
        "lost outside our custody",
        "counts on both sides of the hand-over, tickets",
    ),
    _kind("ordinary_wear", 1, "ordinary wear", "the wear clause, photos, age of the item"),
    _kind("prior_damage", 1, "damaged before pickup", "a dated pickup photo, a remark at prep"),
    _kind("breakdown", 1, "breakdown, not damage", "a fault report of the day, no marks of impact"),
    _kind(
        "used_up",
        1,
        "burned out or used up as intended",
        "the clause on burn-outs, the dead lamp handed back, a ticket",
    ),
    _kind(
        "not_liable",
        1,
        "not answerable for this cause",
        "the clause on liability, a report of what happened, who caused it",
    ),
    _kind("outside_notice_window", 1, "notified too late", "the clause and the dates"),
    _kind("unexplained_charge", 1, "matches nothing we know of", "the acknowledged counts"),
    _kind("quantity", 2, "more units than are missing", "the counts and movements"),
    _kind("value_basis", 3, "another basis of value is agreed", "the clause"),
    _kind(
        "valuation_date",
        3,
        "price of another day is agreed",
        "the clause and the price of that day",
    ),
    _kind("depreciation", 3, "depreciation not taken off", "the clause, date of acquisition"),
    _kind(
        "schedule_exceeded", 3, "above the schedule or the ceiling", "the schedule or the clause"
    ),
    _kind(
        "lessors_discount", 3, "the lessor's discount not passed on", "the clause, a dealer's price"
    ),
    _kind("set_billed_for_part", 3, "whole set billed for a part", "the part's own price"),
    _kind("repair_cheaper", 3, "repair costs less than was billed", "an independent estimate"),
    _kind("salvage_credit", 3, "salvage not credited", "the clause, the salvage value"),
    _kind(
        "repair_undocumented",
        4,
        "repair not documented",
        "a request for the bill, the parts and photos that was not answered",
    ),
    _kind("betterment", 4, "new for old on parts", "the clause, age and life of the parts"),
    _kind("not_out_of_service", 5, "was not out of service", "the same serial rented meanwhile"),
    _kind("loss_of_use_days", 5, "too many days", "notice, repair and payment dates"),
    _kind("loss_of_use_cap", 5, "above the agreed cap", "the clause"),
    _kind(
        "loss_of_use_rate",
        5,
        "at another rate than agreed",
        "the quote: rate, days per week, discount",
    ),
    _kind("rent_already_paid", 5, "rent was paid for the same days", "the rental invoice"),
    _kind("loss_of_use_unproved", 5, "no lost rental shown", "the clause that asks for it"),
    _kind("fee_not_agreed", 6, "fee not agreed or above the clause", "the clause"),
    _kind("tax_not_due", 7, "tax not due", "the tax rule of the place"),
    _kind("billed_twice", 8, "billed twice", "both lines"),
    _kind("arithmetic", 9, "does not add up", "recalculation"),
)

GROUND_BY_CODE: dict[GroundCode, GroundKind] = {kind.code: kind for kind in GROUNDS}
