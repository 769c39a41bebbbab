"""The policy on one occurrence: cover, valuation, deductible, payment and holdback."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.agreement import Policy
from ldapp.claim.kit import KitLine
from ldapp.claim.policy import Deductible, PolicyTerms
from ldapp.claim.terms import ValuationRule
from ldapp.language import said
from ldapp.reckoning.cover import Cover, cover_of, who_is_insured
from ldapp.reckoning.findings import Reckoned
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.loss import Group, Item
from ldapp.reckoning.money import ZERO, allocate, round_half_up
from ldapp.reckoning.payment import (
    DeductibleAmount,
    Insured,
    Limits,
    deductible_amount,
    other_insurers,
    pay,
    value_ratios,
)
from ldapp.reckoning.payment_working import Paid, payment_step
from ldapp.reckoning.result import CoverSays, Step
from ldapp.reckoning.valuation import belongs, policy_rules, unit_value


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What insurers do with one occurrence."""

    says: CoverSays
    policy: Decimal
    others: Decimal
    held_back: Decimal
    deductible: Decimal
    by_line: tuple[tuple[str, Decimal], ...] = ()
    by_insurer: tuple[tuple[str, Decimal], ...] = ()
    used: Decimal
    reasons: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    step: Step | None = None


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class _Valued:
    """One covered finding: its loss on replacement cost, on actual cash value, and now."""

    found: Reckoned
    replacement: Fraction
    cash: Fraction
    now: Fraction


def insure(
    index: ClaimIndex,
    policy: Policy,
    group: Group,
    waived: Sequence[Decimal],
    blanket_value: Fraction,
    used_so_far: Decimal,
    as_of: dt.date | None = None,
) -> Outcome:
    """Return what insurers pay for ``group`` after the waiver's part of each item.

    Once ``as_of`` lies behind the time for proof of replacement, counted from the day of loss,
    what was held back is the renter's.
    """
    terms = policy.terms
    zero = round_half_up(0, index.digits)
    nothing = Outcome(
        says="not_covered",
        policy=zero,
        others=zero,
        held_back=zero,
        deductible=zero,
        used=zero,
    )
    if group.occurrence is None:
        return dataclasses.replace(
            nothing, reasons=(said("no occurrence explains it: a shortage found at a count"),)
        )
    covers = [cover_of(index, policy, item.found) for item in group.items]
    reasons = tuple(dict.fromkeys(c.reason for c in covers if c.reason))
    says = _together(covers)
    if says != "covered":
        return dataclasses.replace(nothing, says=says, reasons=reasons)
    valued, lacking = _value(index, terms, group, waived, covers)
    if lacking:
        return dataclasses.replace(nothing, says=says, reasons=reasons, lacking=lacking)
    expired = _proof_too_late(terms, valued, as_of)
    paid = _Payer(index, policy, group, valued, blanket_value, used_so_far).run(expired)
    return dataclasses.replace(paid, says=says, reasons=reasons)


def _together(covers: Sequence[Cover]) -> CoverSays:
    """Return covered if anything is; else cannot be said if anything may be."""
    says = {cover.says for cover in covers}
    if "covered" in says:
        return "covered"
    return "cannot_be_said" if "cannot_be_said" in says else "not_covered"


def _value(
    index: ClaimIndex,
    terms: PolicyTerms,
    group: Group,
    waived: Sequence[Decimal],
    covers: Sequence[Cover],
) -> tuple[list[_Valued], tuple[str, ...]]:
    """Return the covered findings' losses: the lesser of liability and the policy's value."""
    excluded = {each.component for each in terms.exclusions if each.component is not None}
    beside = round_half_up(0, index.digits)
    beside += Decimal(0) if "fees" in excluded else group.fees
    beside += Decimal(0) if "tax" in excluded else group.tax
    shares = allocate(beside, [Fraction(item.owed) for item in group.items], index.digits)
    valued: list[_Valued] = []
    lacking: dict[str, None] = {}
    for item, waiver, share, cover in zip(group.items, waived, shares, covers, strict=True):
        if cover.says != "covered":
            continue
        thing = max(Decimal(0), item.thing - waiver)
        use = item.loss_of_use - max(Decimal(0), waiver - item.thing)
        extra = Fraction(share) + (ZERO if "loss_of_use" in excluded else Fraction(use))
        new, cash, missing = _own_values(index, terms, item)
        lacking.update(dict.fromkeys(missing))
        replacement = _lesser(thing, new)
        spent = item.found.finding.replaced_for
        proved = spent is not None
        if spent is not None and terms.holdback is not None:
            replacement = min(replacement, Fraction(spent))
        cash_loss = min(_lesser(thing, cash), replacement) if not proved else _lesser(thing, cash)
        now = max(replacement, cash_loss) if proved else cash_loss
        if replacement + extra or cash_loss + extra:
            # What costs nothing bears no deductible and widens no limit.
            valued.append(
                _Valued(
                    found=item.found,
                    replacement=replacement + extra,
                    cash=cash_loss + extra,
                    now=now + extra,
                )
            )
    return valued, tuple(lacking)


def _proof_too_late(terms: PolicyTerms, valued: Sequence[_Valued], as_of: dt.date | None) -> bool:
    days = None if terms.holdback is None else terms.holdback.proof_within_days
    lost = [each.found.date.day for each in valued if each.found.date.day is not None]
    if days is None or as_of is None or not lost:
        return False
    return as_of > max(lost) + dt.timedelta(days=days)


def _lesser(liability: Decimal, value: Fraction | None) -> Fraction:
    return Fraction(liability) if value is None else min(Fraction(liability), value)


def _own_values(
    index: ClaimIndex, terms: PolicyTerms, item: Item
) -> tuple[Fraction | None, Fraction | None, tuple[str, ...]]:
    """Return the policy's own value of a finding: at replacement cost and at cash value.

    Without a valuation of its own and without holdback the policy takes what is owed.
    """
    if terms.holdback is None:
        if terms.valuation is None:
            return None, None, ()
        value, lacking = _own_value(index, terms, item, terms.valuation)
        return value, value, lacking
    by_cash = ValuationRule(bases=("actual_cash_value",), clause=terms.holdback.clause)
    new_rule = terms.valuation
    if new_rule is None or new_rule.bases == ("actual_cash_value",):
        new_rule = ValuationRule(bases=("replacement_cost",), clause=terms.holdback.clause)
    new, new_lacking = _own_value(index, terms, item, new_rule)
    cash, cash_lacking = _own_value(index, terms, item, by_cash)
    return new, cash, (*new_lacking, *cash_lacking)


def _own_value(
    index: ClaimIndex, terms: PolicyTerms, item: Item, rule: ValuationRule
) -> tuple[Fraction | None, tuple[str, ...]]:
    found = item.found
    if not found.quantity:
        return ZERO, ()
    rules = policy_rules(terms, found.line, rule)
    value = unit_value(found.facts, rules, index.digits)
    hurt = found.damage
    repair = None if hurt is None or hurt.total_loss else hurt.repair
    if value.amount is None:
        return None, tuple(said("policy: {lacking}", lacking=each) for each in value.lacking)
    whole = Fraction(value.amount) * found.quantity
    return (whole if repair is None else min(whole, Fraction(repair))), ()


def _line_value(line: KitLine, reckoned: Decimal | None = None) -> Fraction:
    """Return the value of a whole kit line at risk: the documented price, else the schedule.

    Where neither is known, the ``reckoned`` value of one unit stands in.
    """
    price = line.replacement_cost if line.replacement_cost is not None else line.scheduled_value
    price = reckoned if price is None else price
    return Fraction(price or 0) * line.quantity


def _value_of_whole_units(found: Sequence[_Valued]) -> Decimal | None:
    """Return the highest value that a whole unit of a line was reckoned at."""
    known = [
        each.found.unit.amount
        for each in found
        if each.found.part is None and each.found.unit.amount is not None
    ]
    return max(known, default=None)


def value_at_risk(index: ClaimIndex) -> Fraction:
    """Return the value of the whole kit at risk."""
    return sum((_line_value(line) for line in index.claim.kit), ZERO)


class _Payer:
    """Runs the policy's steps for one occurrence on each of its valuations."""

    def __init__(
        self,
        index: ClaimIndex,
        policy: Policy,
        group: Group,
        valued: list[_Valued],
        blanket_value: Fraction,
        used_so_far: Decimal,
    ) -> None:
        self._index = index
        self._policy = policy
        self._terms = policy.terms
        self._group = group
        lines = dict.fromkeys(each.found.line.id for each in valued)
        self._by_line = {key: [v for v in valued if v.found.line.id == key] for key in lines}
        ordered = (*_sublimits(self._terms, "category"), *_sublimits(self._terms, "cause"))
        self._group_caps = ordered
        self._items = [self._insured(found) for found in self._by_line.values()]
        self._blanket_value = blanket_value
        aggregate = self._terms.aggregate
        self._aggregate_left = None
        if aggregate is not None:
            left = aggregate.amount - policy.aggregate_used_before - used_so_far
            self._aggregate_left = max(Decimal(0), round_half_up(left, index.digits))

    def _insured(self, found: list[_Valued]) -> Insured:
        line = found[0].found.line
        units = sum(max(1, each.found.quantity) for each in found)
        limits = [
            Fraction(each.amount)
            for each in self._terms.item_limits
            if belongs(line, each.category, each.line)
        ]
        caps = [*limits]
        for sublimit in self._terms.sublimits:
            if sublimit.per in ("unit", "line") and (
                sublimit.category is None or belongs(line, sublimit.category, None)
            ):
                times = units if sublimit.per == "unit" else 1
                caps.append(Fraction(sublimit.amount) * times)
        causes = {each.found.cause for each in found}
        bears = tuple(
            position
            for position, (_, category, cause) in enumerate(self._group_caps)
            if (category is not None and belongs(line, category, None))
            or (cause is not None and cause in causes)
        )
        return Insured(
            line=line.id,
            value_at_risk=_line_value(line, _value_of_whole_units(found)),
            item_limit=min(limits) if limits else None,
            caps=tuple(caps),
            category_caps=bears,
            units=units,
            categories=(line.kind, line.category),
        )

    def run(self, expired: bool) -> Outcome:
        """Return the outcome: paid now, by others, held back, with the steps."""
        digits = self._index.digits
        terms = self._terms
        replacement = [self._sum(key, "replacement") for key in self._by_line]
        cash = [self._sum(key, "cash") for key in self._by_line]
        now = [self._sum(key, "now") for key in self._by_line]
        deductible = self._deductible(replacement)
        ratios = value_ratios(terms, self._items, self._blanket_value)
        limits = Limits(
            group_caps=tuple(amount for amount, _, _ in self._group_caps),
            aggregate_left=self._aggregate_left,
        )
        first = pay(terms, self._items, cash, ratios, deductible, limits, digits)
        if terms.holdback is None:
            paid = whole = first
        else:
            paid = pay(terms, self._items, now, ratios, deductible, limits, digits)
            whole = paid
            if not expired:
                whole = pay(terms, self._items, replacement, ratios, deductible, limits, digits)
        ours, by_line = _at_least(paid.ours, paid.by_line, first.ours, first.by_line)
        others = tuple(max(a, b) for a, b in zip(paid.others, first.others, strict=True))
        held_ours = max(Decimal(0), whole.ours - ours)
        held = held_ours + sum(
            (max(Decimal(0), w - o) for w, o in zip(whole.others, others, strict=True)),
            Decimal(0),
        )
        lines = tuple(item.line for item in self._items)
        names = tuple(other.insurer for other in other_insurers(terms))
        zero = round_half_up(0, digits)
        return Outcome(
            says="covered",
            policy=ours + zero,
            others=sum(others, zero),
            held_back=held + zero,
            deductible=deductible.total,
            by_line=tuple(zip(lines, by_line, strict=True)),
            by_insurer=tuple(zip(names, others, strict=True)) if others else (),
            used=ours + held_ours,
            step=payment_step(
                terms,
                Paid(
                    names=[self._index.lines[line].description for line in lines],
                    losses=replacement,
                    deductible=deductible,
                    first=first,
                    aggregate_left=self._aggregate_left,
                    ours=ours,
                    by_line=by_line,
                    others=others,
                    held=held,
                    insured=who_is_insured(
                        self._policy,
                        (
                            self._index.agreements[self._index.lines[line].agreement].renter
                            for line in lines
                        ),
                    ),
                ),
                digits,
            ),
        )

    def _sum(self, line: str, which: str) -> Fraction:
        return sum((getattr(each, which) for each in self._by_line[line]), ZERO)

    def _deductible(self, losses: list[Fraction]) -> DeductibleAmount:
        """Return the largest deductible that applies, alone.

        Of equals that of the occurrence, then the one that weighs most on the first lines: an
        order that does not depend on the order of entry.
        """
        digits = self._index.digits
        found = [
            deductible_amount(self._terms, rule, self._items, losses, digits)
            for rule in self._terms.deductibles
            if self._applies(rule)
        ]
        none = DeductibleAmount(total=round_half_up(0, digits), by_item=None, rule=None)
        return max(
            found,
            key=lambda each: (each.total, each.by_item is None, each.by_item or ()),
            default=none,
        )

    def _applies(self, rule: Deductible) -> bool:
        causes = {each.found.cause for group in self._by_line.values() for each in group}
        if rule.causes and not causes & set(rule.causes):
            return False
        occurrence = self._group.occurrence
        if rule.abroad and (occurrence is None or not occurrence.abroad):
            return False
        return not rule.categories or any(
            category in item.categories for item in self._items for category in rule.categories
        )


def _sublimits(terms: PolicyTerms, per: str) -> tuple[tuple[Fraction, str | None, str | None], ...]:
    found = ((Fraction(s.amount), s.category, s.cause) for s in terms.sublimits if s.per == per)
    return tuple(sorted(found, key=lambda each: (each[0], each[1] or "", each[2] or "")))


def _at_least(
    amount: Decimal,
    by_line: tuple[Decimal, ...],
    floor: Decimal,
    floor_by_line: tuple[Decimal, ...],
) -> tuple[Decimal, tuple[Decimal, ...]]:
    """Keep a first payment: it is never reclaimed."""
    return (amount, by_line) if amount >= floor else (floor, floor_by_line)
