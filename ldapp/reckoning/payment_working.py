"""The working of what a policy pays, step by step in the order of the computation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.policy import Deductible, PolicyTerms
from ldapp.language import marked, said, said_in
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.money import ZERO, round_half_up
from ldapp.reckoning.payment import DeductibleAmount, Payment
from ldapp.reckoning.result import Step, StepInput
from ldapp.reckoning.workings import inputs, money_step, plain_step

_RATE_WORDS = {
    "flat": marked("{rate} flat"),
    "percentage_of_loss": marked("{rate} of the loss"),
    "percentage_of_value": marked("{rate} of the value"),
    "percentage_of_limit": marked("{rate} of the limit"),
}
_PER_WORDS = {
    "occurrence": marked("occurrence"),
    "line": marked("line"),
    "unit": marked("unit"),
}


class Paid(NamedTuple):
    """What came out of the steps for one occurrence."""

    names: Sequence[str]
    """The insured lines in printed order, as they are called on the list."""
    losses: Sequence[Fraction]
    deductible: DeductibleAmount
    first: Payment
    aggregate_left: Decimal | None
    ours: Decimal
    by_line: Sequence[Decimal]
    others: Sequence[Decimal]
    held: Decimal
    insured: str
    """What is taken where nobody says who is insured."""


def payment_step(terms: PolicyTerms, paid: Paid, digits: int) -> Step:
    """Return the step tree of one occurrence's payment."""
    steps = [_loss_step(terms, paid, digits)]
    value = terms.insurance_to_value
    if value is not None:
        steps.append(
            plain_step(
                said("Insurance to value"),
                said(
                    "the lesser of 1 and limit ÷ required value, on the loss before the deductible"
                ),
                ", ".join(dict.fromkeys(percent_text(ratio) for ratio in paid.first.ratio)),
                inputs(
                    (
                        said_in("working", "required"),
                        None
                        if value.required_share is None
                        else said("{rate} of the value", rate=percent_text(value.required_share)),
                    ),
                    (said("value at risk"), value.value_at_risk),
                    (said("agreed value"), value.agreed_value),
                ),
                clause=value.clause,
            )
        )
    steps.append(_deductible_step(terms, paid.deductible))
    if terms.participation is not None:
        steps.append(
            plain_step(
                said("Participation"),
                said("the share of the rest that the insured keeps"),
                percent_text(terms.participation.insured_share),
                clause=terms.participation.clause,
            )
        )
    steps.append(_first_payment_step(terms, paid))
    if terms.holdback is not None:
        steps.append(
            money_step(
                said_in("working", "Held back"),
                said("replacement cost less the first payment, until replacement is proved"),
                paid.held,
                clause=terms.holdback.clause,
            )
        )
    by_line = inputs(*zip(paid.names, paid.by_line, strict=True))
    return money_step(
        said("Paid by the policy"),
        said("the steps in their order"),
        paid.ours,
        by_line,
        steps=steps,
    )


def _loss_step(terms: PolicyTerms, paid: Paid, digits: int) -> Step:
    rounded = [round_half_up(loss, digits) for loss in paid.losses]
    period = ""
    if terms.period is None:
        period = said("period not stated in the policy, taken as in force")
    return money_step(
        said("Loss as the policy measures it"),
        said("after the waiver, by line the lesser of what is owed and the policy's value"),
        round_half_up(sum(paid.losses, ZERO), digits),
        inputs(*zip(paid.names, rounded, strict=True)),
        not_stated="; ".join(each for each in (period, paid.insured) if each),
    )


def _deductible_step(terms: PolicyTerms, deductible: DeductibleAmount) -> Step:
    rule = deductible.rule
    return money_step(
        said("Deductible"),
        said("once for the occurrence, off the loss and not off the limit")
        if deductible.by_item is None
        else said("item by item; what one does not use moves to no other"),
        deductible.total,
        () if rule is None else _deductible_inputs(rule),
        clause=None if rule is None else rule.clause,
        not_stated=""
        if terms.deductibles
        else said("deductible not stated in the policy, taken as none"),
    )


def _deductible_inputs(rule: Deductible) -> tuple[StepInput, ...]:
    rate = None
    if rule.rate is not None:
        rate = said(_RATE_WORDS[rule.form], rate=percent_text(rule.rate))
    return inputs(
        (said_in("working", "rate"), None if rule.form == "flat" else rate),
        (said_in("working", "amount"), rule.amount if rule.form == "flat" else None),
        (said("for each"), said(_PER_WORDS[rule.per]) if rule.per != "occurrence" else None),
        (said_in("working", "at least"), rule.minimum),
        (said_in("working", "at most"), rule.maximum),
    )


def _first_payment_step(terms: PolicyTerms, paid: Paid) -> Step:
    limit = terms.limit
    return money_step(
        said("First payment"),
        said(
            "capped by line, category and cause, shared with other insurance, cut to "
            "the limit and to what is left of the year's"
        ),
        paid.first.ours,
        inputs(
            (said("before the limit"), paid.first.before_limit),
            (said_in("working", "limit"), None if limit is None else limit.amount),
            (said("left of the year's"), paid.aggregate_left),
            (said("other insurers"), sum(paid.others, Decimal(0)) if paid.others else None),
        ),
        clause=None if limit is None else limit.clause,
        not_stated="; ".join(limits_not_stated(terms)),
    )


def limits_not_stated(terms: PolicyTerms) -> Iterator[str]:
    """Yield which choices about limits the policy does not state, and what is taken instead."""
    if terms.limit is None:
        yield said("limit not stated in the policy, taken as none")
    if terms.limit_form is None and terms.item_limits:
        yield said("form of the limit not stated in the policy, taken as one limit over all")
    if terms.other_insurance_shares is None and terms.other_insurance:
        yield said("how several insurers share not stated in the policy, taken as equal shares")
