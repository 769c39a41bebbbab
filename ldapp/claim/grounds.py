"""Grounds: the closed list of reasons why a charge, or a part of it, is not owed.

The order of the list is the order in which grounds come into force; ``GROUNDS`` names the
group of each.  Labels are plain words for the window and the dossier.
"""

from __future__ import annotations

from typing import Literal, get_args

from ldapp.claim.record import record
from ldapp.language import marked

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
    """One ground: its code, the group in which it comes into force, and what it is called.

    ``label`` and ``proof`` are English; they are said (:func:`ldapp.language.said`) where they
    are shown.
    """

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
        marked("never received"),
        marked("the pickup count, a remark on the ticket, a dated photo"),
    ),
    _kind(
        "returned",
        1,
        marked("returned"),
        marked("the return count, a later ticket, a courier's proof"),
    ),
    _kind(
        "other_owner",
        1,
        marked("belongs to another owner"),
        marked("serial numbers out and in, an owner's mark"),
    ),
    _kind(
        "outside_custody",
        1,
        marked("lost outside our custody"),
        marked("counts on both sides of the hand-over, tickets"),
    ),
    _kind(
        "ordinary_wear",
        1,
        marked("ordinary wear"),
        marked("the wear clause, photos, age of the item"),
    ),
    _kind(
        "prior_damage",
        1,
        marked("damaged before pickup"),
        marked("a dated pickup photo, a remark at prep"),
    ),
    _kind(
        "breakdown",
        1,
        marked("breakdown, not damage"),
        marked("a fault report of the day, no marks of impact"),
    ),
    _kind(
        "used_up",
        1,
        marked("burned out or used up as intended"),
        marked("the clause on burn-outs, the dead lamp handed back, a ticket"),
    ),
    _kind(
        "not_liable",
        1,
        marked("not answerable for this cause"),
        marked("the clause on liability, a report of what happened, who caused it"),
    ),
    _kind(
        "outside_notice_window", 1, marked("notified too late"), marked("the clause and the dates")
    ),
    _kind(
        "unexplained_charge",
        1,
        marked("matches nothing we know of"),
        marked("the acknowledged counts"),
    ),
    _kind("quantity", 2, marked("more units than are missing"), marked("the counts and movements")),
    _kind("value_basis", 3, marked("another basis of value is agreed"), marked("the clause")),
    _kind(
        "valuation_date",
        3,
        marked("price of another day is agreed"),
        marked("the clause and the price of that day"),
    ),
    _kind(
        "depreciation",
        3,
        marked("depreciation not taken off"),
        marked("the clause, date of acquisition"),
    ),
    _kind(
        "schedule_exceeded",
        3,
        marked("above the schedule or the ceiling"),
        marked("the schedule or the clause"),
    ),
    _kind(
        "lessors_discount",
        3,
        marked("the lessor's discount not passed on"),
        marked("the clause, a dealer's price"),
    ),
    _kind(
        "set_billed_for_part",
        3,
        marked("whole set billed for a part"),
        marked("the part's own price"),
    ),
    _kind(
        "repair_cheaper",
        3,
        marked("repair costs less than was billed"),
        marked("an independent estimate"),
    ),
    _kind(
        "salvage_credit", 3, marked("salvage not credited"), marked("the clause, the salvage value")
    ),
    _kind(
        "repair_undocumented",
        4,
        marked("repair not documented"),
        marked("a request for the bill, the parts and photos that was not answered"),
    ),
    _kind(
        "betterment",
        4,
        marked("new for old on parts"),
        marked("the clause, age and life of the parts"),
    ),
    _kind(
        "not_out_of_service",
        5,
        marked("was not out of service"),
        marked("the same serial rented meanwhile"),
    ),
    _kind(
        "loss_of_use_days", 5, marked("too many days"), marked("notice, repair and payment dates")
    ),
    _kind("loss_of_use_cap", 5, marked("above the agreed cap"), marked("the clause")),
    _kind(
        "loss_of_use_rate",
        5,
        marked("at another rate than agreed"),
        marked("the quote: rate, days per week, discount"),
    ),
    _kind(
        "rent_already_paid",
        5,
        marked("rent was paid for the same days"),
        marked("the rental invoice"),
    ),
    _kind(
        "loss_of_use_unproved",
        5,
        marked("no lost rental shown"),
        marked("the clause that asks for it"),
    ),
    _kind("fee_not_agreed", 6, marked("fee not agreed or above the clause"), marked("the clause")),
    _kind("tax_not_due", 7, marked("tax not due"), marked("the tax rule of the place")),
    _kind("billed_twice", 8, marked("billed twice"), marked("both lines")),
    _kind("arithmetic", 9, marked("does not add up"), marked("recalculation")),
)

GROUND_BY_CODE: dict[GroundCode, GroundKind] = {kind.code: kind for kind in GROUNDS}
