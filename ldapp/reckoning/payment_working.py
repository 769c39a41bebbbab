"""The working of what a policy pays, step by step in the order of the computation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.policy import Deductible, PolicyTerms
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.money import ZERO, round_half_up
from ldapp.reckoning.payment import DeductibleAmount, Payment
from ldapp.reckoning.result import Step, StepInput
from ldapp.reckoning.workings import inputs, money_step, plain_step

FORM_WORDS = {
    "flat": "flat",
    "percentage_of_loss": "of the loss",
    "percentage_of_value": "of the value",
    "percentage_of_limit": "of the limit",
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
                "Insurance to value",
                "the lesser of 1 and limit ÷ required value, on the loss before the deductible",
                ", ".join(dict.fromkeys(percent_text(ratio) for ratio in paid.first.ratio)),
                inputs(
                    (
                        "required",
                        None
                        if value.required_share is None
                        else f"{percent_text(value.required_share)} of the value",
                    ),
                    ("value at risk", value.value_at_risk),
                    ("agreed value", value.agreed_value),
                ),
                clause=value.clause,
            )
        )
    steps.append(_deductible_step(terms, paid.deductible))
    if terms.participation is not None:
        steps.append(
            plain_step(
                "Participation",
                "the share of the rest that the insured keeps",
                percent_text(terms.participation.insured_share),
                clause=terms.participation.clause,
            )
        )
    steps.append(_first_payment_step(terms, paid))
    if terms.holdback is not None:
        steps.append(
            money_step(
                "Held back",
                "replacement cost less the first payment, until replacement is proved",
                paid.held,
                clause=terms.holdback.clause,
            )
        )
    by_line = inputs(*zip(paid.names, paid.by_line, strict=True))
    return money_step(
        "Paid by the policy", "the steps in their order", paid.ours, by_line, steps=steps
    )


def _loss_step(terms: PolicyTerms, paid: Paid, digits: int) -> Step:
    rounded = [round_half_up(loss, digits) for loss in paid.losses]
    period = ""
    if terms.period is None:
        period = "period not stated in the policy, taken as in force"
    return money_step(
        "Loss as the policy measures it",
        "after the waiver, by line the lesser of what is owed and the policy's value",
        round_half_up(sum(paid.losses, ZERO), digits),
        inputs(*zip(paid.names, rounded, strict=True)),
        not_stated="; ".join(each for each in (period, paid.insured) if each),
    )


def _deductible_step(terms: PolicyTerms, deductible: DeductibleAmount) -> Step:
    rule = deductible.rule
    return money_step(
        "Deductible",
        "once for the occurrence, off the loss and not off the limit"
        if deductible.by_item is None
        else "item by item; what one does not use moves to no other",
        deductible.total,
        () if rule is None else _deductible_inputs(rule),
        clause=None if rule is None else rule.clause,
        not_stated=""
        if terms.deductibles
        else "deductible not stated in the policy, taken as none",
    )


def _deductible_inputs(rule: Deductible) -> tuple[StepInput, ...]:
    rate = None if rule.rate is None else f"{percent_text(rule.rate)} {FORM_WORDS[rule.form]}"
    return inputs(
        ("rate", None if rule.form == "flat" else rate),
        ("amount", rule.amount if rule.form == "flat" else None),
        ("for each", rule.per if rule.per != "occurrence" else None),
        ("at least", rule.minimum),
        ("at most", rule.maximum),
    )


def _first_payment_step(terms: PolicyTerms, paid: Paid) -> Step:
    limit = terms.limit
    return money_step(
        "First payment",
        "capped by line, category and cause, shared with other insurance, cut to the "
        "limit and to what is left of the year's",
        paid.first.ours,
        inputs(
            ("before the limit", paid.first.before_limit),
            ("limit", None if limit is None else limit.amount),
            ("left of the year's", paid.aggregate_left),
            ("other insurers", sum(paid.others, Decimal(0)) if paid.others else None),
        ),
        clause=None if limit is None else limit.clause,
        not_stated="; ".join(limits_not_stated(terms)),
    )


def limits_not_stated(terms: PolicyTerms) -> Iterator[str]:
    """Yield which choices about limits the policy does not state, and what is taken instead."""
    if terms.limit is None:
        yield "limit not stated in the policy, taken as none"
    if terms.limit_form is None and terms.item_limits:
        yield "form of the limit not stated in the policy, taken as one limit over all"
    if terms.other_insurance_shares is None and terms.other_insurance:
        yield "how several insurers share not stated in the policy, taken as equal shares"
