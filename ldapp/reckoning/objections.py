"""What the agreement itself says against a ground, and whether that takes its strength."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from ldapp.claim.clause import Clause
from ldapp.claim.counts import Count
from ldapp.claim.grounds import GroundCode
from ldapp.claim.terms import OpeningCondition, Terms
from ldapp.language import said, said_of
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import LineCounts

RAISED = frozenset({"signed_by_both", "on_company_ticket", "emailed_same_day"})
"""Acknowledgements with which a remark at pickup has reached the rental company."""


class Objection(NamedTuple):
    """A sentence of the agreement that the rental company will raise against a ground.

    Where it ``weakens``, the ground is not strong but for a document that the other side signed.
    """

    says: str
    clause: Clause | None
    weakens: bool


def objection(
    code: GroundCode,
    terms: Terms,
    index: ClaimIndex,
    agreement: str,
    line: str | None,
    counts: LineCounts | None,
) -> Objection | None:
    """Return what the agreement says against a ground on a charge, or None."""
    if code == "repair_undocumented":
        conclusive = terms.invoice_conclusive
        if conclusive is not None and conclusive.applies:
            return Objection(said("the invoice is conclusive"), conclusive.clause, True)
    elif code == "ordinary_wear":
        wear = terms.wear_excepted
        if wear is not None and not wear.applies:
            return Objection(said("ordinary wear is not left out"), wear.clause, True)
    elif code == "not_liable":
        liability = terms.liability
        if liability is not None and liability.rule == "any_cause":
            return Objection(said("the renter answers for any cause"), liability.clause, True)
    elif code == "used_up":
        lamps = terms.burn_outs
        if lamps is not None and lamps.rule == "renter":
            return Objection(said("burned-out lamps are the renter's"), lamps.clause, True)
    elif code == "returned":
        closing = terms.closing_count
        theirs = counts is not None and counts.back_from == "check_in"
        if closing is not None and closing.rule == "lessor_controls" and theirs:
            return Objection(said("the rental company's own count decides"), closing.clause, True)
    elif code in ("never_received", "prior_damage"):
        opening = terms.opening_condition
        if opening is not None:
            return _opening(code, opening, index, agreement, line, counts)
    return None


def _opening(
    code: GroundCode,
    opening: OpeningCondition,
    index: ClaimIndex,
    agreement: str,
    line: str | None,
    counts: LineCounts | None,
) -> Objection | None:
    """Return the presumption on the condition at pickup, unless it was raised in time."""
    noted: Count | None = None
    if code == "prior_damage":
        noted = index.noted_at_pickup.get(line or "")
    elif counts is not None and counts.short_at_pickup:
        noted = index.counts.get(counts.pickup_count or "")
    raised = (
        noted is not None and noted.acknowledgement in RAISED and index.is_as_signed(noted.id, line)
    )
    if opening.rule == "as_is":
        return Objection(said("the equipment is taken as it is"), opening.clause, not raised)
    says = said("the equipment counts as good and complete unless noted at delivery")
    if opening.rule == "noted_within_hours":
        hours = opening.hours or 0
        says = said_of(
            hours,
            "what was not noted within {count} hours counts as good and complete",
            "what was not noted within {count} hours counts as good and complete",
            count=hours,
        )
        ends = _last_moment(index, agreement, opening)
        at = None if noted is None else noted.at
        raised = raised and ends is not None and at is not None and at <= ends
    return None if raised else Objection(says, opening.clause, True)


def _last_moment(
    index: ClaimIndex, agreement: str, opening: OpeningCondition
) -> dt.datetime | None:
    """Return until when a remark may come: so many hours after custody or the rental began."""
    paper = index.agreements[agreement]
    began = paper.custody_began or paper.starts
    if began is None:
        return None
    return began.astimezone(dt.UTC) + dt.timedelta(hours=opening.hours or 0)
