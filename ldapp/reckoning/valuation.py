"""What one missing or totalled unit is worth under an agreement or a policy."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import reduce
from typing import Any, NamedTuple, TypeVar

from ldapp.claim.findings import Finding
from ldapp.claim.kit import Comparable, KitLine, Part
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import (
    DepreciationOverride,
    DepreciationRule,
    LessorsDiscount,
    PairOrSet,
    ReplacementTax,
    StraightLine,
    Terms,
    ValuationDate,
    ValuationOverride,
    ValuationRule,
    ValueBasis,
    ValueCeiling,
)
from ldapp.language import marked, said, said_in
from ldapp.local_forms import day_in_digits
from ldapp.reckoning.depreciation import Age, depreciate
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.money import round_half_up
from ldapp.reckoning.result import Step
from ldapp.reckoning.words import EVENT_WORDS
from ldapp.reckoning.workings import UNROUNDED, inputs, money_step, value_text

BASIS_WORDS: dict[ValueBasis, str] = {
    "replacement_cost": marked("replacement cost"),
    "actual_cash_value": marked("actual cash value"),
    "scheduled_value": marked("scheduled value"),
    "market_value": marked("market value"),
    "share_of_replacement": marked("share of the replacement cost"),
    "in_kind": marked("replacement in kind, at its replacement cost"),
}


class ValueRules(NamedTuple):
    """The choices of one paper that bear on one kit line."""

    rule: ValuationRule | None
    depreciation: DepreciationRule | None
    valuation_date: ValuationDate | None = None
    discount: LessorsDiscount | None = None
    tax: ReplacementTax | None = None
    ceiling: ValueCeiling | None = None
    pair_or_set: PairOrSet | None = None


class UnitFacts(NamedTuple):
    """The facts about the unit: its line, the part of it, the finding, the day of loss."""

    line: KitLine
    part: Part | None
    finding: Finding | None
    lost: dt.date | None

    @property
    def age(self) -> Age:
        """Return its age at the loss."""
        return Age(self.line.acquired, self.lost, self.line.age_months)


class UnitValue(NamedTuple):
    """The rounded value of one unit, or what is lacking; with its working."""

    amount: Decimal | None
    step: Step
    lacking: tuple[str, ...] = ()


class _Exact(NamedTuple):
    amount: Fraction | None
    step: Step
    lacking: tuple[str, ...] = ()


def belongs(line: KitLine, category: str | None, line_id: str | None) -> bool:
    """Say whether a choice for a category (a kind, or a heading of the list) or line fits."""
    if line_id is not None:
        return line.id == line_id
    return category is not None and category in (line.kind, line.category)


_Override = TypeVar("_Override", ValuationOverride, DepreciationOverride)


def _pick(line: KitLine, overrides: Sequence[_Override]) -> _Override | None:
    """Return the narrowest override: for the line, for its heading of the list, for its kind."""
    fitting = [each for each in overrides if belongs(line, each.category, each.line)]
    return min(
        fitting, key=lambda each: (each.line is None, each.category != line.category), default=None
    )


def agreement_rules(terms: Terms, line: KitLine) -> ValueRules:
    """Return what the agreement says of the value of ``line``."""
    valuation = _pick(line, terms.valuation_overrides)
    depreciation = _pick(line, terms.depreciation_overrides)
    return ValueRules(
        rule=terms.valuation if valuation is None else valuation.rule,
        depreciation=terms.depreciation if depreciation is None else depreciation.rule,
        valuation_date=terms.valuation_date,
        discount=terms.lessors_discount,
        tax=terms.replacement_tax,
        ceiling=terms.ceiling,
        pair_or_set=terms.pair_or_set,
    )


def policy_rules(terms: PolicyTerms, line: KitLine, rule: ValuationRule | None) -> ValueRules:
    """Return what the policy says of the value of ``line`` under the valuation ``rule``."""
    depreciation = _pick(line, terms.depreciation_overrides)
    return ValueRules(
        rule=rule,
        depreciation=terms.depreciation if depreciation is None else depreciation.rule,
    )


def unit_value(facts: UnitFacts, rules: ValueRules, digits: int) -> UnitValue:
    """Return what one unit is worth, rounded to the minor unit, with its working.

    Without a stated basis, and for actual cash value without a stated life, there is no
    default: the amount cannot be computed yet.
    """
    finding = facts.finding
    if finding is not None and finding.stated_value is not None:
        amount = Fraction(finding.stated_value)
        basis = _exact(
            said("Value stated by hand"),
            finding.stated_value_reason or said("no reason given"),
            amount,
            digits,
        )
    elif finding is not None and finding.set_value is not None:
        basis = _set_value(finding, rules.pair_or_set, digits)
    elif rules.rule is None:
        basis = _not_yet(
            said("Value of one unit"),
            said("the basis of value is not stated"),
            said("basis of value"),
        )
    else:
        basis = _by_rule(facts, rules, rules.rule, digits)
    if basis.amount is None:
        return UnitValue(None, basis.step, basis.lacking)
    amount, steps = basis.amount, [basis.step]
    if rules.ceiling is not None:
        amount, step = _under_ceiling(amount, facts, rules, rules.ceiling, digits)
        steps.append(step)
    rounded = round_half_up(max(amount, Fraction(0)), digits)
    step = money_step(
        said("Value of one unit"),
        said("rounded half-up to the minor unit"),
        rounded,
        inputs((said(UNROUNDED), amount)),
        steps=steps,
    )
    return UnitValue(rounded, step)


def _exact(label: str, rule: str, amount: Fraction, digits: int, **more: Any) -> _Exact:
    return _Exact(amount, money_step(label, rule, round_half_up(amount, digits), **more))


def _not_yet(label: str, rule: str, *lacking: str, steps: Sequence[Step] = ()) -> _Exact:
    return _Exact(None, money_step(label, rule, None, steps=steps), lacking)


def _by_rule(facts: UnitFacts, rules: ValueRules, rule: ValuationRule, digits: int) -> _Exact:
    found = [_by_basis(basis, facts, rules, rule, digits) for basis in rule.bases]
    if len(found) == 1:
        return found[0]
    lacking = tuple(dict.fromkeys(thing for each in found for thing in each.lacking))
    amounts = [each.amount for each in found if each.amount is not None]
    lesser = rule.of_several == "lesser"
    values = _and([said(BASIS_WORDS[basis]) for basis in rule.bases])
    label = (
        said("The lesser of {values}", values=values)
        if lesser
        else said("The greater of {values}", values=values)
    )
    steps = tuple(each.step for each in found)
    if lacking or not amounts:
        return _not_yet(label, said("one of the values is lacking"), *lacking, steps=steps)
    chosen = min(amounts) if lesser else max(amounts)
    return _exact(
        label,
        said("the lesser of the values") if lesser else said("the greater of the values"),
        chosen,
        digits,
        clause=rule.clause,
        steps=steps,
    )


def _and(words: Sequence[str]) -> str:
    return reduce(lambda first, last: said("{first} and {last}", first=first, last=last), words)


def _by_basis(
    basis: ValueBasis, facts: UnitFacts, rules: ValueRules, rule: ValuationRule, digits: int
) -> _Exact:
    if basis == "scheduled_value":
        scheduled = facts.line.scheduled_value
        if facts.part is not None or scheduled is None:
            return _not_yet(
                said("Scheduled value"),
                said("the figure in the schedule"),
                said_in("working", "scheduled value"),
            )
        return _exact(
            said("Scheduled value"),
            said("the figure in the schedule"),
            Fraction(scheduled),
            digits,
            clause=rule.clause,
        )
    if basis == "market_value":
        return _market_value(facts, rule, digits)
    cost = replacement_cost(facts, rules, digits)
    if cost.amount is None or basis in ("replacement_cost", "in_kind"):
        return cost
    if basis == "share_of_replacement":
        if rule.share is None:
            return _not_yet(
                said("Share of the replacement cost"),
                said("the share is not stated"),
                said_in("working", "share"),
            )
        return _exact(
            said("Share of the replacement cost"),
            said("replacement cost × share"),
            cost.amount * rule.share,
            digits,
            given=inputs((said_in("working", "share"), percent_text(rule.share))),
            clause=rule.clause,
            steps=(cost.step,),
        )
    return _actual_cash_value(cost.amount, cost.step, facts, rules, digits)


def price_on_date(facts: UnitFacts, rules: ValueRules, digits: int) -> _Exact:
    """Return the documented price of one unit on the agreement's valuation date."""
    thing = facts.line if facts.part is None else facts.part
    event = None if rules.valuation_date is None else rules.valuation_date.event
    # Of several prices for that day the one documented last, then the least.
    dated = min(
        (p for p in thing.prices if p.event == event),
        key=lambda each: (-(each.dated or dt.date.min).toordinal(), each.price),
        default=None,
    )
    price = thing.replacement_cost if dated is None else dated.price
    if price is None:
        return _not_yet(
            said("Price"), said("the documented price of one unit"), said("replacement cost")
        )
    clause = None if rules.valuation_date is None else rules.valuation_date.clause
    not_stated = "" if event is not None else said(_NO_VALUATION_DATE)
    return _exact(
        said("Price"),
        said("the documented price of one unit"),
        Fraction(price),
        digits,
        given=inputs((said("as of"), None if event is None else said(EVENT_WORDS[event]))),
        clause=clause,
        not_stated=not_stated,
    )


_NO_VALUATION_DATE = marked(
    "valuation date not stated in the agreement, taken as the price documented"
)


def replacement_cost(facts: UnitFacts, rules: ValueRules, digits: int) -> _Exact:
    """Return the replacement cost: the price, less the lessor's discount, with tax where agreed.

    It is not rounded before depreciation.
    """
    price = price_on_date(facts, rules, digits)
    if price.amount is None or (rules.discount is None and rules.tax is None):
        return price
    amount, steps = price.amount, [price.step]
    if rules.discount is not None:
        amount *= 1 - rules.discount.rate
        steps.append(
            money_step(
                said("Lessor's discount"),
                said("price less the discount the lessor gets"),
                round_half_up(amount, digits),
                inputs((said_in("working", "discount"), percent_text(rules.discount.rate))),
                clause=rules.discount.clause,
            )
        )
    if rules.tax is not None:
        amount *= 1 + rules.tax.rate
        steps.append(
            money_step(
                said_in("working", "Tax"),
                said("included in the replacement cost by the terms"),
                round_half_up(amount, digits),
                inputs((said_in("working", "rate"), percent_text(rules.tax.rate))),
                clause=rules.tax.clause,
            )
        )
    return _exact(
        said("Replacement cost"),
        said("price less discount, with tax where agreed"),
        amount,
        digits,
        steps=steps,
    )


def _actual_cash_value(
    cost: Fraction, cost_step: Step, facts: UnitFacts, rules: ValueRules, digits: int
) -> _Exact:
    label = said("Actual cash value")
    rule = rules.depreciation
    lacking = depreciation_lacks(rule, facts.age)
    if rule is None or lacking:
        return _not_yet(
            label, said("replacement cost less depreciation"), *lacking, steps=(cost_step,)
        )
    done = depreciate(cost, rule, facts.age)
    value = round_half_up(done.value, digits)
    taken = money_step(
        said("Depreciation"),
        said("replacement cost less the rounded value"),
        round_half_up(cost, digits) - value,
        inputs((said_in("working", "rate"), percent_text(done.rate))),
        clause=rule.clause,
        steps=(done.step,),
    )
    return _exact(
        label,
        said("replacement cost less depreciation, never under the residual"),
        done.value,
        digits,
        clause=rules.rule.clause if rules.rule else None,
        steps=(cost_step, taken),
    )


def depreciation_lacks(rule: DepreciationRule | None, age: Age) -> tuple[str, ...]:
    """Return what is lacking before anything can be depreciated."""
    lacking = []
    if rule is None or (isinstance(rule, StraightLine) and rule.life_months is None):
        lacking.append(said("life"))
    if not age.known:
        if age.acquired is None:
            lacking.append(said("date of acquisition or age"))
        else:
            lacking.append(said("date of loss"))
    return tuple(lacking)


def _market_value(facts: UnitFacts, rule: ValuationRule, digits: int) -> _Exact:
    prices = sorted(Fraction(comparable.price) for comparable in facts.line.comparables)
    label, how = said("Market value"), said("the median of the dated comparables")
    if facts.part is not None or not prices:
        return _not_yet(label, how, said("a dated comparable"))
    middle = len(prices) // 2
    median = prices[middle] if len(prices) % 2 else (prices[middle - 1] + prices[middle]) / 2
    ordered = sorted(facts.line.comparables, key=_in_order)
    given = inputs(*((f"{c.source}, {day_in_digits(c.dated)}", c.price) for c in ordered))
    return _exact(label, how, median, digits, given=given, clause=rule.clause)


def _in_order(comparable: Comparable) -> tuple[str, str]:
    return f"{comparable.source}, {comparable.dated}", value_text(comparable.price)


def _set_value(finding: Finding, rule: PairOrSet | None, digits: int) -> _Exact:
    whole = Fraction(finding.set_value or 0)
    clause = None if rule is None else rule.clause
    if rule is not None and rule.rule == "stated_share" and rule.share is not None:
        return _exact(
            said("Part of a pair or set"),
            said("value of the set × stated share"),
            whole * rule.share,
            digits,
            given=inputs(
                (said_in("working", "set"), finding.set_value),
                (said_in("working", "share"), percent_text(rule.share)),
            ),
            clause=clause,
        )
    not_stated = (
        ""
        if rule is not None
        else (said("pair or set not stated in the agreement, taken as the difference in value"))
    )
    left = Fraction(finding.remainder_value or 0)
    return _exact(
        said("Part of a pair or set"),
        said("value of the set before less value of the remainder"),
        whole - left,
        digits,
        given=inputs(
            (said_in("working", "set"), finding.set_value),
            (said_in("working", "remainder"), finding.remainder_value),
        ),
        clause=clause,
        not_stated=not_stated,
    )


def _under_ceiling(
    amount: Fraction, facts: UnitFacts, rules: ValueRules, ceiling: ValueCeiling, digits: int
) -> tuple[Fraction, Step]:
    ceilings = [] if ceiling.amount is None else [Fraction(ceiling.amount)]
    if ceiling.share_of_replacement is not None:
        cost = replacement_cost(facts, rules, digits)
        if cost.amount is not None:
            ceilings.append(cost.amount * ceiling.share_of_replacement)
    lowered = min([amount, *ceilings])
    step = money_step(
        said("Ceiling"),
        said("the value, never above the ceiling"),
        round_half_up(lowered, digits),
        inputs(*((said_in("working", "ceiling"), each) for each in ceilings)),
        clause=ceiling.clause,
    )
    return lowered, step
