"""Repair or total loss of a damaged unit, and what of it is owed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.clause import Clause
from ldapp.claim.findings import Finding, Repair
from ldapp.claim.terms import Terms
from ldapp.language import said, said_in
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.money import ZERO, round_half_up
from ldapp.reckoning.result import Step
from ldapp.reckoning.valuation import UnitValue
from ldapp.reckoning.workings import inputs, money_step


class Damage(NamedTuple):
    """What a damaged finding comes to, all its reckoned units together.

    ``repair`` is the net repair after betterment, ``before_betterment`` without it;
    ``as_lost`` is the value less what the lessor keeps of the wreck.
    """

    owed: Decimal | None
    total_loss: bool | None
    repair: Decimal | None
    before_betterment: Decimal | None
    as_lost: Decimal | None
    step: Step
    lacking: tuple[str, ...] = ()
    unchecked: bool = False


def repair_cost(
    repair: Repair, terms: Terms, rate: Fraction | None, digits: int
) -> tuple[Decimal, Step]:
    """Return the net repair: parts less betterment, labour, other cost, less discounts.

    ``rate`` is the depreciation rate of the item; None takes no betterment off.  Labour
    is depreciated only where the terms say so.  An estimate stands in for a repair that was
    not carried out.
    """
    parts, labour = Fraction(repair.parts), Fraction(repair.labour)
    better = ZERO
    clause = None
    if rate is not None and terms.betterment is not None and terms.betterment.applies:
        better = parts * rate
        clause = terms.betterment.clause
        if terms.labour_depreciated is not None and terms.labour_depreciated.applies:
            better += labour * rate
    net = parts - better + labour + Fraction(repair.other) - Fraction(repair.discount)
    amount = round_half_up(max(ZERO, net), digits)
    step = money_step(
        said_in("working", "Repair") if repair.carried_out else said("Repair, by estimate"),
        said("parts less betterment + labour + other cost − discounts"),
        amount,
        inputs(
            (said_in("working", "parts"), repair.parts),
            (said("betterment rate"), percent_text(rate) if better and rate is not None else None),
            (said_in("working", "labour"), repair.labour),
            (said_in("working", "other"), repair.other),
            (said_in("working", "discounts"), repair.discount),
        ),
        clause=clause,
    )
    return amount, step


def salvage_of(finding: Finding, terms: Terms) -> tuple[Fraction, Clause | None, str]:
    """Return what the lessor keeps of one wreck, with the clause or the default taken."""
    if finding.salvage is None:
        return ZERO, None, ""
    if terms.salvage is None:
        return (
            Fraction(finding.salvage),
            None,
            said("salvage not stated in the agreement, taken as kept by the lessor"),
        )
    kept = Fraction(finding.salvage) if terms.salvage.kept_by == "lessor" else ZERO
    return kept, terms.salvage.clause, ""


def damage(
    finding: Finding,
    units: int,
    unit: UnitValue,
    rate: Fraction | None,
    terms: Terms,
    digits: int,
) -> Damage:
    """Return what is owed for ``units`` damaged units: their repair or total loss.

    By default the lesser of the net repair and the value less salvage; a threshold of the
    agreement decides instead where it is stated.  ``beyond_repair`` is a person's word and
    makes it a total loss.
    """
    value = None if unit.amount is None else Fraction(unit.amount) * units
    kept, salvage_clause, not_stated = salvage_of(finding, terms)
    as_lost = None
    steps = [unit.step]
    if value is not None:
        as_lost = round_half_up(max(ZERO, value - kept * units), digits)
        steps.append(
            money_step(
                said("As a total loss"),
                said("value of all units less the salvage that the lessor keeps"),
                as_lost,
                inputs(
                    (said_in("working", "units"), units),
                    (said("salvage for one"), kept if kept else None),
                ),
                clause=salvage_clause,
                not_stated=not_stated,
            )
        )
    if finding.beyond_repair:
        step = money_step(
            said("Damaged beyond repair"),
            said("a total loss: value less salvage"),
            as_lost,
            steps=steps,
        )
        return Damage(as_lost, True, None, None, as_lost, step, unit.lacking)
    if finding.repair is None:
        step = money_step(
            said_in("working", "Damaged"),
            said("no estimate or invoice of a repair has been entered"),
            None,
            steps=steps,
        )
        return Damage(
            None, None, None, None, as_lost, step, (said("repair estimate"), *unit.lacking)
        )
    net, step = repair_cost(finding.repair, terms, rate, digits)
    before, _ = repair_cost(finding.repair, terms, None, digits)
    return _decide(net, before, value, as_lost, unit, terms, [*steps, step])


def _decide(
    net: Decimal,
    before: Decimal,
    value: Fraction | None,
    as_lost: Decimal | None,
    unit: UnitValue,
    terms: Terms,
    steps: list[Step],
) -> Damage:
    if value is None or as_lost is None:
        step = money_step(
            said_in("working", "Damaged"),
            said("the repair; whether the unit is worth less could not be checked"),
            net,
            steps=steps,
        )
        return Damage(net, None, net, before, None, step, unit.lacking, unchecked=True)
    decision = terms.repair_decision
    if decision is not None and decision.rule == "threshold" and decision.threshold is not None:
        lost = Fraction(net) >= value * decision.threshold
        owed = as_lost if lost else net
        step = money_step(
            said("Total loss by the threshold") if lost else said("Repair, below the threshold"),
            said("a total loss where the net repair reaches the stated share of the value"),
            owed,
            inputs(
                (said_in("working", "threshold"), percent_text(decision.threshold)),
                (said_in("working", "value"), value),
            ),
            clause=decision.clause,
            steps=steps,
        )
        return Damage(owed, lost, net, before, as_lost, step)
    lost = as_lost < net
    step = money_step(
        said_in("working", "Damaged"),
        said("the lesser of repair and value less salvage"),
        min(net, as_lost),
        clause=None if decision is None else decision.clause,
        not_stated=""
        if decision is not None
        else said("repair or total loss not stated in the agreement, taken as the lesser of both"),
        steps=steps,
    )
    return Damage(min(net, as_lost), lost, net, before, as_lost, step)
