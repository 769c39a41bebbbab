"""For how many units of a finding the renter answers: counts, custody, wear, lamps, liability."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from ldapp.claim.agreement import Agreement
from ldapp.claim.causes import CAUSE_LABELS, Cause
from ldapp.claim.clause import Clause
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.grounds import GroundCode
from ldapp.claim.terms import Terms
from ldapp.language import marked, said, said_in, said_of
from ldapp.reckoning.custody import CustodyWindow
from ldapp.reckoning.result import Bracket, DateOfLoss, LineCounts, Step
from ldapp.reckoning.workings import inputs, plain_step


class OnFinding(NamedTuple):
    """A finding with what the agreement and the counts say of it."""

    finding: Finding
    terms: Terms
    occurrence: Occurrence | None
    cause: Cause | None
    agreement: Agreement
    counts: LineCounts | None


class Answerable(NamedTuple):
    """The units that are the renter's, those lost outside custody, and what is open."""

    units: int
    outside: int
    custody_open: bool
    step: Step
    excused: GroundCode | None = None
    presumed: bool = False


class _Excuse(NamedTuple):
    """Why the terms leave nothing of a finding to the renter."""

    ground: GroundCode
    rule: str
    clause: Clause | None = None
    not_stated: str = ""


CLOSING_WORDS = {
    "joint": marked("joint; the larger of both counts"),
    "lessor_controls": marked("the rental company's own count decides"),
    "silent": marked("silent; the larger of both counts"),
}


def answerable_units(
    on: OnFinding,
    date: DateOfLoss,
    brackets: tuple[Bracket, ...] | None,
    at_most: int | None,
    window: CustodyWindow,
) -> Answerable:
    """Return the units of a finding that are the renter's under the agreement.

    ``at_most`` is what the counts show, ``window`` the custody.  Nothing is owed for what was
    short at pickup, exchanged or over, for ordinary wear, for lamps burned out in use and for
    a cause for which the renter does not answer, each as far as the terms say so.
    """
    if on.finding.kind not in ("missing", "damaged"):
        rule = said("nothing is owed for what was short at pickup, exchanged or over")
        return Answerable(0, 0, False, plain_step(said("Units"), rule, "0"))
    excuse = _wear(on) or _burn_out(on) or _liability(on)
    if excuse is not None:
        step = plain_step(
            said("Units"), excuse.rule, "0", clause=excuse.clause, not_stated=excuse.not_stated
        )
        return Answerable(0, 0, False, step, excused=excuse.ground)
    found = on.finding.quantity
    units = found if at_most is None else min(found, at_most)
    is_open = False
    if date.known_from == "occurrence" and date.at is not None:
        outside = units if window.excludes(date.at) else 0
    else:
        outside = sum(b.custody in ("before", "after") for b in brackets or ())
        is_open = any(b.custody == "open" for b in brackets or ())
    liability = on.terms.liability
    fault = None if on.occurrence is None else on.occurrence.our_fault
    presumed = liability is not None and liability.rule == "fault_only" and fault is None
    closing = on.terms.closing_count
    counted = on.finding.kind == "missing" and on.counts is not None
    disagree = counted and on.counts is not None and on.counts.closing_disagree
    not_stated = []
    if disagree and closing is None:
        not_stated.append(
            said("closing count not stated in the agreement, taken as the larger of both counts")
        )
    if fault is False and liability is None:
        not_stated.append(said("liability not stated in the agreement, taken as for any cause"))
    clause = closing.clause if closing is not None and disagree else None
    if liability is not None and presumed:
        clause = clause or liability.clause
    step = plain_step(
        said("Units"),
        said("as found, at most what the counts show, less what was lost outside custody"),
        str(units - outside),
        inputs(
            (said_in("working", "as found"), found),
            (said("by the counts"), at_most),
            (
                said("closing count"),
                said(CLOSING_WORDS[closing.rule]) if closing and disagree else None,
            ),
            (said("outside custody"), outside or None),
            (
                said_in("working", "custody"),
                said("open: a boundary cuts the bracket") if is_open else None,
            ),
            (
                said_in("working", "fault"),
                said("not said, presumed to be the renter's") if presumed else None,
            ),
        ),
        clause=clause,
        not_stated="; ".join(not_stated),
    )
    return Answerable(units - outside, outside, is_open, step, presumed=presumed)


def _wear(on: OnFinding) -> _Excuse | None:
    term = on.terms.wear_excepted
    if on.finding.kind != "damaged" or on.cause != "wear" or (term and not term.applies):
        return None
    return _Excuse(
        "ordinary_wear",
        said("ordinary wear is not owed"),
        None if term is None else term.clause,
        ""
        if term is not None
        else said("ordinary wear not stated in the agreement, taken as not owed"),
    )


def _burn_out(on: OnFinding) -> _Excuse | None:
    """Excuse a lamp that burned out in use where it came back; a missing one stays owed."""
    if on.finding.kind != "damaged" or on.cause != "burn_out":
        return None
    term = on.terms.burn_outs
    if term is None:
        return _Excuse(
            "used_up",
            said("a lamp that burned out in use is free where it comes back"),
            not_stated=said(
                "burn-outs not stated in the agreement, taken as free where the lamp comes back"
            ),
        )
    if term.rule == "free_if_returned":
        rule = said("a lamp that burned out in use is free where it comes back")
        return _Excuse("used_up", rule, term.clause)
    days = _rental_days(on.agreement.starts, on.agreement.ends)
    at_most = -1 if term.short_rental_days is None else term.short_rental_days
    if term.rule == "free_on_short_rental" and days is not None and days <= at_most:
        rule = said_of(
            days,
            "lamps that burn out are the rental company's: {count} days, at most {at_most}",
            "lamps that burn out are the rental company's: {count} days, at most {at_most}",
            count=days,
            at_most=at_most,
        )
        return _Excuse("used_up", rule, term.clause)
    return None


def _rental_days(starts: dt.datetime | None, ends: dt.datetime | None) -> int | None:
    """Return how many days a rental lasts, the day of the start not counted."""
    if starts is None or ends is None:
        return None
    return (ends.date() - starts.date()).days


def _liability(on: OnFinding) -> _Excuse | None:
    term = on.terms.liability
    if term is None:
        return None
    if term.rule == "fault_only" and on.occurrence is not None and on.occurrence.our_fault is False:
        rule = said("the renter answers for fault alone, and this was not the renter's")
        return _Excuse("not_liable", rule, term.clause)
    cause = on.cause
    if term.rule == "waived_perils" and cause is not None and cause in term.perils:
        rule = said(
            "the renter does not answer for this cause: {cause}", cause=said(CAUSE_LABELS[cause])
        )
        return _Excuse("not_liable", rule, term.clause)
    return None
