"""The refund that an item earns which turns up after it was paid for.

The agreement's recovery term decides: in full, less rent until the day it was found, or
nothing, within so many days.  Where the agreement is silent there is no amount: nothing is
agreed, and none is made up.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.documents import RecoveredItem
from ldapp.language import said, said_in
from ldapp.reckoning.money import minor_digits, round_half_up
from ldapp.reckoning.result import Step
from ldapp.reckoning.workings import inputs, money_step


def refund_earned(claim: Claim, item: RecoveredItem) -> Step:
    """Return the working of the refund in the claim's currency; its amount may be unknown.

    What was paid is the settled amount of the charge, shared over its units.  The days run
    from the payment to the day of return (else of finding); the rent taken off is the kit
    line's day rate for each day from the end of the rental to the day it was found.  That
    both are counted so is common practice, no source; the agreement's words decide.
    """
    label = said("Refund for an item that turned up")
    line = next((one for one in claim.kit if one.id == item.line), None)
    agreement = next(
        (one for one in claim.agreements if line is not None and one.id == line.agreement), None
    )
    term = agreement.terms.recovery if agreement is not None else None
    if line is None or agreement is None or term is None:
        return money_step(
            label,
            said(
                "the agreement says nothing of items that turn up: a refund is asked "
                "for, not owed by a clause"
            ),
            None,
        )
    clause = term.clause
    if term.refund == "none":
        return money_step(
            label, said("the agreement refunds nothing"), _nought(claim), clause=clause
        )
    charge = charge_of(claim, item)
    if charge is None or charge.settled is None:
        return money_step(
            label,
            said("no settled amount is recorded for the charge that it was paid with"),
            None,
            clause=clause,
        )
    back = item.returned or item.found
    paid = paid_on(claim, agreement.id)
    days = None if paid is None else (back - paid).days
    given = inputs(
        (said_in("working", "settled"), charge.settled),
        (said("units charged"), charge.quantity),
        (said("units found"), item.quantity),
        (said("paid on"), paid),
        (said("back on"), back),
        (said("days allowed"), term.within_days),
    )
    if term.within_days is not None:
        if days is None:
            return money_step(
                label,
                said("the days run from the payment, and no payment is recorded"),
                None,
                given,
                clause=clause,
            )
        if days > term.within_days:
            return money_step(
                label,
                said("came back after the agreed days"),
                _nought(claim),
                given,
                clause=clause,
            )
    digits = minor_digits(claim.currency)
    units = Fraction(charge.quantity) if charge.quantity > 0 else Fraction(1)
    share = min(Fraction(item.quantity) / units, Fraction(1))
    refund = round_half_up(max(Fraction(charge.settled), Fraction(0)) * share, digits)
    if term.refund == "full":
        return money_step(label, said("settled × found ÷ charged"), refund, given, clause=clause)
    if agreement.ends is None or line.day_rate is None:
        rule = (
            said("rent is to be taken off, and the day rate of the kit line is not recorded")
            if agreement.ends
            else said("rent is to be taken off, and the end of the rental is not recorded")
        )
        return money_step(label, rule, None, given, clause=clause)
    rent_days = max((item.found - _local_day(claim, agreement.ends)).days, 0)
    rent = round_half_up(Fraction(line.day_rate) * item.quantity * rent_days, digits)
    return money_step(
        label,
        said("settled × found ÷ charged, less rent from the end of the rental to the day found"),
        max(refund - rent, _nought(claim)),
        (
            *given,
            *inputs(
                (said("rent days"), rent_days),
                (said("day rate"), line.day_rate),
                (said_in("working", "rent"), rent),
            ),
        ),
        clause=clause,
    )


def _local_day(claim: Claim, moment: dt.datetime) -> dt.date:
    return moment.astimezone(ZoneInfo(claim.zone)).date()


def _nought(claim: Claim) -> Decimal:
    return round_half_up(0, minor_digits(claim.currency))


def charge_of(claim: Claim, item: RecoveredItem) -> Charge | None:
    """Return the charge that an item was paid with: the named one, else one for its line."""
    if item.charge is not None:
        named = (one for inv in claim.invoices if inv.id == item.invoice for one in inv.charges)
        return next((one for one in named if one.id == item.charge), None)
    replaced = {one.revises for one in claim.invoices}
    return next(
        (
            charge
            for invoice in claim.invoices
            if invoice.id not in replaced
            for charge in invoice.charges
            if charge.line == item.line and charge.kind in ("missing", "replacement", "other")
        ),
        None,
    )


def paid_on(claim: Claim, agreement: str) -> dt.date | None:
    """Return the day of the first payment recorded to this rental company."""
    days = [
        _local_day(claim, one.at)
        for one in claim.correspondence
        if one.paid and one.direction == "sent" and one.agreement in (None, agreement)
    ]
    days += [one.paid for one in claim.agreements if one.id == agreement and one.paid is not None]
    return min(days, default=None)
