"""Fees, tax and interest."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.terms import FeeRule, Interest, TaxComponent, TaxRule
from ldapp.language import said, said_in
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.money import ZERO, round_half_up
from ldapp.reckoning.result import Step
from ldapp.reckoning.words import COMPONENT_WORDS
from ldapp.reckoning.workings import inputs, money_step


def fee_amount(
    rule: FeeRule, base: Decimal, documented: Decimal | None, digits: int
) -> tuple[Decimal | None, Step]:
    """Return a fee on ``base``: flat, a bounded percentage, banded, or what is documented."""
    given = inputs((said_in("working", "base"), base))
    if rule.form == "as_documented":
        return documented, money_step(
            said_in("working", "Fee"), said("as documented"), documented, given, clause=rule.clause
        )
    if rule.form == "bands":
        fee = next(
            (band.fee for band in rule.bands if band.up_to is None or base <= band.up_to),
            rule.bands[-1].fee,
        )
        amount, how = Fraction(fee), said("by bands of the base")
    elif rule.form == "flat":
        amount, how = Fraction(rule.amount or 0), said("a flat fee")
    else:
        rate = rule.rate or ZERO
        amount, how = Fraction(base) * rate, said("{rate} of the base", rate=percent_text(rate))
    if rule.minimum is not None:
        amount = max(amount, Fraction(rule.minimum))
    if rule.maximum is not None:
        amount = min(amount, Fraction(rule.maximum))
    rounded = round_half_up(amount, digits)
    return rounded, money_step(said_in("working", "Fee"), how, rounded, given, clause=rule.clause)


class Taxed(NamedTuple):
    """One owed amount, the component it belongs to, and the share of it in that component."""

    component: TaxComponent
    amount: Decimal


def tax_amount(rule: TaxRule, owed: Sequence[Taxed], digits: int) -> tuple[Decimal, Step]:
    """Return the tax on what is owed: rates combined first, then per invoice or per line.

    A component that the rule does not name is taken as not taxable.
    """
    rate = sum(rule.rates, ZERO)
    taxable = {each.component: each.taxable for each in rule.components}
    bases = [Fraction(each.amount) for each in owed if taxable.get(each.component, False)]
    if rule.rounded == "per_line":
        amount = sum((round_half_up(base * rate, digits) for base in bases), Decimal(0))
    else:
        amount = round_half_up(sum(bases, ZERO) * rate, digits)
    unnamed = sorted({each.component for each in owed if each.component not in taxable})
    not_stated = (
        said(
            "not stated whether taxable, taken as not: {components}",
            components=", ".join(said(COMPONENT_WORDS.get(each, each)) for each in unnamed),
        )
        if unnamed
        else ""
    )
    step = money_step(
        said_in("working", "Tax"),
        said("combined rate × taxable amounts, rounded per line")
        if rule.rounded == "per_line"
        else said("combined rate × taxable amounts, rounded once per invoice"),
        amount,
        inputs(
            (said_in("working", "rate"), percent_text(rate)),
            (said_in("working", "taxable"), sum(bases, ZERO)),
        ),
        clause=rule.clause,
        not_stated=not_stated,
    )
    return amount, step


def interest_amount(
    rule: Interest, overdue: Decimal, days: int, digits: int
) -> tuple[Decimal, Step]:
    """Return simple interest on what is overdue and not disputed, days over 365."""
    counted = max(0, days - rule.after_days)
    amount = round_half_up(Fraction(overdue) * rule.yearly_rate * counted / 365, digits)
    step = money_step(
        said_in("working", "Interest"),
        said("amount not disputed × yearly rate × days ÷ 365"),
        amount,
        inputs(
            (said_in("working", "amount"), overdue),
            (said("yearly rate"), percent_text(rule.yearly_rate)),
            (said("days overdue"), counted),
        ),
        clause=rule.clause,
    )
    return amount, step
