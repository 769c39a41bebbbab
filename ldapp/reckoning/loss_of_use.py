"""Loss of use: days out of service, billed days, rate and caps."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.terms import LossOfUse, OutOfServiceEnd, OutOfServiceStart
from ldapp.language import marked, said, said_in
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.money import ZERO, round_half_up
from ldapp.reckoning.result import Step
from ldapp.reckoning.workings import inputs, money_step, plain_step


class OutOfService(NamedTuple):
    """The facts that the days are counted from; None where nobody has stated one."""

    lost: bool
    notice: dt.date | None = None
    return_due: dt.date | None = None
    check_in: dt.date | None = None
    recorded_from: dt.date | None = None
    repaired: dt.date | None = None
    replaced: dt.date | None = None
    paid: dt.date | None = None
    labour_hours: Fraction | None = None


class Days(NamedTuple):
    """Days out of service before rent paid and caps; None where they cannot be counted."""

    days: Fraction | None
    step: Step
    lacking: tuple[str, ...] = ()


START_WORDS: dict[OutOfServiceStart, str] = {
    "notice": marked("the notice"),
    "return_due": marked("the day the return was due"),
    "day_after_return_due": marked("the day after the return was due"),
    "check_in": marked("the check-in"),
}
END_WORDS: dict[OutOfServiceEnd, str] = {
    "repaired": marked("repaired"),
    "replaced": marked("replaced"),
    "paid": marked("paid for"),
}


_COUNTED = marked("from {start} until {end}, the last day counted")
_NOT_COUNTED = marked("from {start} until {end}, the last day not counted")


def out_of_service_days(term: LossOfUse, facts: OutOfService) -> Days:
    """Return the days out of service as the term counts them, exactly."""
    if term.days_from == "stated":
        if term.stated_days is None:
            return _lacking_days(term, said("the number of days is not entered"), said("days"))
        return _days(term, term.stated_days, said("a stated number of days"))
    if term.days_from == "dates":
        return _days_by_dates(term, facts)
    hours = facts.labour_hours
    if hours is None:
        return _lacking_days(term, said("labour hours are not documented"), said("labour hours"))
    given = (said("labour hours"), hours)
    if term.days_from == "hours_over_8":
        return _days(term, hours / 8, said("labour hours ÷ 8"), given)
    repair_days = hours / 4
    weekend = 2 * (repair_days // 5)
    return _days(
        term,
        repair_days + weekend + term.administrative_days,
        said("labour hours ÷ 4, two weekend days for every five repair days, administrative days"),
        given,
        (said("repair days"), repair_days),
        (said("weekend days"), weekend),
        (said("administrative days"), term.administrative_days),
    )


def _days(term: LossOfUse, days: Fraction, rule: str, *given: tuple[str, object]) -> Days:
    text = str(days.numerator) if days.denominator == 1 else str(days)
    step = plain_step(said("Days out of service"), rule, text, inputs(*given), clause=term.clause)
    return Days(days, step)


def _lacking_days(term: LossOfUse, rule: str, *lacking: str) -> Days:
    step = plain_step(
        said("Days out of service"), rule, said("cannot be computed yet"), clause=term.clause
    )
    return Days(None, step, lacking)


def _days_by_dates(term: LossOfUse, facts: OutOfService) -> Days:
    taken = []
    start_rule = term.starts
    if start_rule is None:
        start_rule = "notice"
        taken.append(said("start of the loss of use taken as the notice"))
    end_rule = term.ends_when_lost if facts.lost else term.ends_when_damaged
    if end_rule is None:
        end_rule = "replaced" if facts.lost else "repaired"
        end_words = said(END_WORDS[end_rule])
        taken.append(said("end of the loss of use taken as {end}", end=end_words))
    inclusive = term.last_day_counts
    if inclusive is None:
        inclusive = False
        taken.append(said("last day taken as not counted"))
    starts = {
        "notice": facts.notice,
        "return_due": facts.return_due,
        "day_after_return_due": facts.return_due and facts.return_due + dt.timedelta(days=1),
        "check_in": facts.check_in,
    }
    start = starts[start_rule] or facts.recorded_from
    end = {"repaired": facts.repaired, "replaced": facts.replaced, "paid": facts.paid}[end_rule]
    lacking = (
        [] if start is not None else [said("date: {event}", event=said(START_WORDS[start_rule]))]
    )
    if end is None:
        lacking.append(said("date: {event}", event=said(END_WORDS[end_rule])))
    if start is None or end is None:
        return _lacking_days(term, said("a date is not known yet"), *lacking)
    days = Fraction(max(0, (end - start).days + (1 if inclusive else 0)))
    step = plain_step(
        said("Days out of service"),
        said(
            _COUNTED if inclusive else _NOT_COUNTED,
            start=said(START_WORDS[start_rule]),
            end=said(END_WORDS[end_rule]),
        ),
        str(days),
        inputs((said_in("working", "from"), start), (said_in("working", "until"), end)),
        clause=term.clause,
        not_stated=said("not stated in the agreement: {taken}", taken="; ".join(taken))
        if taken
        else "",
    )
    return Days(days, step)


def billed_days(days: Fraction, per_week: Fraction | None) -> Fraction:
    """Return the days that are charged where a week counts ``per_week`` days.

    Each full seven days count ``per_week``, the rest at most as many.
    """
    if per_week is None:
        return days
    weeks = days // 7
    return weeks * per_week + min(days - 7 * weeks, per_week)


class UseReading(NamedTuple):
    """What one loss-of-use amount is computed from; a switch turns off what is not in force."""

    days: Fraction
    rent_paid_days: Fraction
    flat_rate: Fraction | None
    """A billed rate for all units and one day; None takes the agreed rate."""
    day_rate: Fraction
    quantity: Fraction
    value: Decimal | None
    capped: bool = True


class UsePaid(NamedTuple):
    """A loss of use: the days that are charged, the caps in force, and what it comes to."""

    days: Fraction
    billed_days: Fraction
    rate: Fraction
    """For all units and one day, after discount and utilisation."""
    cap: Fraction | None
    amount: Decimal


def use_paid(term: LossOfUse, reading: UseReading, digits: int) -> UsePaid:
    """Return a loss of use, in the stated order, rounded once.

    Days already paid as rent come off, then the cap in days, billed days per week, rate ×
    quantity, discount, utilisation, caps in money.
    """
    days = max(ZERO, reading.days - reading.rent_paid_days)
    if reading.capped and term.cap_days is not None:
        days = min(days, term.cap_days)
    if reading.flat_rate is not None:
        charged, rate = days, reading.flat_rate
    else:
        charged = billed_days(days, term.billed_days_per_week)
        rate = reading.day_rate * reading.quantity
        rate *= 1 if term.rate_share is None else term.rate_share
        rate *= 1 if term.discount is None else 1 - term.discount
        rate *= 1 if term.utilisation is None else term.utilisation
    caps = []
    if reading.capped:
        if term.cap_amount is not None:
            caps.append(Fraction(term.cap_amount))
        if term.cap_share_of_value is not None and reading.value is not None:
            caps.append(Fraction(reading.value) * term.cap_share_of_value)
    cap = min(caps, default=None)
    amount = charged * rate
    rounded = round_half_up(amount if cap is None else min(amount, cap), digits)
    return UsePaid(days, charged, rate, cap, rounded)


def use_amount(term: LossOfUse, reading: UseReading, digits: int) -> tuple[Decimal, Step]:
    """Return a loss of use with its working (:func:`use_paid`)."""
    paid = use_paid(term, reading, digits)
    shares = (
        (said("share of the rate"), term.rate_share),
        (said_in("working", "discount"), term.discount),
        (said_in("working", "utilisation"), term.utilisation),
    )
    step = money_step(
        said("Loss of use"),
        said("days less rent paid, capped, billed days × rate × units, less discount, capped"),
        paid.amount,
        inputs(
            (said_in("working", "days"), reading.days),
            (said("days paid as rent"), reading.rent_paid_days or None),
            (said("cap in days"), term.cap_days),
            (said("billed days"), paid.billed_days),
            (
                said("day rate"),
                reading.day_rate if reading.flat_rate is None else reading.flat_rate,
            ),
            (said_in("working", "units"), reading.quantity),
            *((name, percent_text(share)) for name, share in shares if share is not None),
            (said_in("working", "cap"), term.cap_amount),
        ),
        clause=term.clause,
    )
    return paid.amount, step
