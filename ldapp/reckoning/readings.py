"""Our reading of a charge's elements: the ceilings that grounds put on price and money.

Every reading is a ceiling: a ground that would raise the figure takes nothing.
"""

from __future__ import annotations

from collections.abc import Set
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.grounds import GroundCode
from ldapp.claim.terms import ValuationRule, ValueBasis
from ldapp.reckoning.bills import Bill
from ldapp.reckoning.money import round_half_up
from ldapp.reckoning.repair import salvage_of
from ldapp.reckoning.result import Step
from ldapp.reckoning.valuation import ValueRules, depreciation_lacks, unit_value

_PRICE_GROUNDS: frozenset[GroundCode] = frozenset(
    {
        "value_basis",
        "valuation_date",
        "depreciation",
        "schedule_exceeded",
        "lessors_discount",
        "set_billed_for_part",
        "repair_cheaper",
        "salvage_credit",
    }
)


class _Beside(NamedTuple):
    """What the grounds beside the lessor's discount change in what it is taken off."""

    depreciated: bool
    capped: bool


class PriceReadings:
    """The ceilings on the price of one unit that the grounds of a charge put, each once."""

    def __init__(self, bill: Bill, digits: int) -> None:
        self._bill = bill
        self._digits = digits
        self._billed = Fraction(bill.billed) / bill.quantity
        self._known: dict[tuple[GroundCode, _Beside | None], Decimal | None] = {}
        self.steps: dict[GroundCode, Step] = {}
        """The working of each ground's ceiling, where it is a value."""

    def lowest(self, in_force: Set[GroundCode]) -> Fraction:
        """Return the billed price under every ceiling of the price grounds in force."""
        price = self._billed
        beside = _Beside(
            depreciated="depreciation" in in_force or "value_basis" in in_force,
            capped="schedule_exceeded" in in_force,
        )
        for code in in_force:
            if code in _PRICE_GROUNDS:
                ceiling = self._ceiling(code, beside)
                if ceiling is not None:
                    price = min(price, Fraction(ceiling))
        return max(price, Fraction(0))

    def _ceiling(self, code: GroundCode, beside: _Beside) -> Decimal | None:
        choice, _ = self._bill.grounds[code]
        if choice.amount is not None:
            return choice.amount
        key = (code, beside if code == "lessors_discount" else None)
        if key not in self._known:
            self._known[key] = self._not_under_ours(code, self._compute(code, beside))
        return self._known[key]

    def _not_under_ours(self, code: GroundCode, ceiling: Decimal | None) -> Decimal | None:
        """Return a computed ceiling on the value, never under what the agreement makes of it.

        Depreciation takes nothing where the agreement's own basis is the replacement cost.
        """
        if ceiling is None or code in ("repair_cheaper", "salvage_credit"):
            return ceiling
        ours = self._ours()
        return ceiling if ours is None else max(ceiling, ours)

    def _ours(self) -> Decimal | None:
        """Return the value of one unit as reckoned, where it can be computed."""
        if self._bill.reckoned is not None:
            return self._bill.reckoned.unit.amount
        facts = self._bill.facts
        return None if facts is None else unit_value(facts, self._bill.rules, self._digits).amount

    def _compute(self, code: GroundCode, beside: _Beside) -> Decimal | None:
        rules = self._bill.rules
        plain = rules._replace(discount=None, ceiling=None)
        if code == "value_basis":
            return self._value(code, plain)
        if code == "valuation_date":
            return self._value(code, _with_bases(plain, "replacement_cost"))
        if code == "depreciation":
            return self._value(code, _with_bases(plain, "actual_cash_value"))
        if code == "lessors_discount":
            if not beside.capped:
                rules = rules._replace(ceiling=None)
            if rules.rule is not None and beside.depreciated:
                value = self._value(code, rules)
                if value is not None:
                    return value
            return self._value(code, _with_bases(rules, "replacement_cost"))
        if code == "schedule_exceeded":
            return self._schedule(rules)
        if code == "set_billed_for_part":
            has_part = self._bill.reckoned is not None and self._bill.reckoned.part is not None
            return self._value(code, rules) if has_part else None
        return self._of_damage(code)

    def _value(self, code: GroundCode, rules: ValueRules) -> Decimal | None:
        facts = self._bill.facts
        if facts is None:
            return None
        bases = () if rules.rule is None else rules.rule.bases
        if bases == ("actual_cash_value",) and depreciation_lacks(rules.depreciation, facts.age):
            return None
        found = self._bill.reckoned
        if found is not None and rules == found.rules:
            value = found.unit
        else:
            value = unit_value(facts, rules, self._digits)
        self.steps[code] = value.step
        return value.amount

    def _schedule(self, rules: ValueRules) -> Decimal | None:
        facts = self._bill.facts
        if facts is None:
            return None
        found = []
        bases = () if rules.rule is None else rules.rule.bases
        if "scheduled_value" in bases:
            found.append(facts.line.scheduled_value)
        if rules.ceiling is not None:
            found.append(rules.ceiling.amount)
            if rules.ceiling.share_of_replacement is not None:
                under = _with_bases(rules._replace(discount=None), "replacement_cost")
                found.append(self._value("schedule_exceeded", under))
        known = [round_half_up(each, self._digits) for each in found if each is not None]
        return min(known) if known else None

    def _of_damage(self, code: GroundCode) -> Decimal | None:
        reckoned = self._bill.reckoned
        if reckoned is None or reckoned.damage is None:
            return None
        units = max(1, reckoned.finding.quantity)
        if code == "repair_cheaper":
            net = reckoned.damage.repair
            return None if net is None else round_half_up(Fraction(net) / units, self._digits)
        if reckoned.unit.amount is None:
            return None
        kept, _, _ = salvage_of(reckoned.finding, reckoned.terms)
        return round_half_up(max(Fraction(0), Fraction(reckoned.unit.amount) - kept), self._digits)


def _with_bases(rules: ValueRules, *bases: ValueBasis) -> ValueRules:
    """Return the same rules with another basis, keeping the clause."""
    clause = None if rules.rule is None else rules.rule.clause
    return rules._replace(rule=ValuationRule(bases=bases, clause=clause))


def repair_ceiling(bill: Bill, in_force: Set[GroundCode], whole: Decimal) -> Decimal:
    """Return what the grounds in force leave of all repair charges on one finding."""
    reckoned = bill.reckoned
    ceiling = whole
    hurt = None if reckoned is None else reckoned.damage
    for code in in_force:
        entry = bill.grounds.get(code)
        stated = None if entry is None else entry[0].amount
        found: Decimal | None = None
        if code == "schedule_exceeded":
            found = None if hurt is None else hurt.as_lost
        elif code == "repair_cheaper":
            found = None if hurt is None else hurt.before_betterment
        elif code == "betterment":
            found = None if hurt is None else hurt.repair
        elif code == "repair_undocumented":
            repair = None if reckoned is None else reckoned.finding.repair
            documented = repair is not None and repair.document is not None
            found = None if documented and stated is None else Decimal(0)
        else:
            continue
        found = found if stated is None else stated
        if found is not None:
            ceiling = min(ceiling, found)
    return ceiling
