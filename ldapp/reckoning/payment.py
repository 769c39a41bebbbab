"""What a policy pays for the losses of one occurrence: its steps as one pure computation."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.policy import Deductible, OtherInsurance, PolicyTerms
from ldapp.reckoning.money import ZERO, allocate, allocate_capped, round_half_up, round_up

ONE = Fraction(1)


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Insured:
    """One kit line as the policy sees it, in printed order.  Amounts are exact."""

    line: str
    value_at_risk: Fraction
    item_limit: Fraction | None
    caps: tuple[Fraction, ...]
    """Per unit, per line and the item's own limit, as amounts for the line."""
    category_caps: tuple[int, ...]
    """Positions among the policy's sublimits by category or cause that bear on it."""
    units: int
    categories: tuple[str, ...]


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class DeductibleAmount:
    """A deductible computed once: a total for the occurrence, or an amount for each item."""

    total: Decimal
    by_item: tuple[Decimal, ...] | None
    rule: Deductible | None


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Payment:
    """What all insurers pay for one valuation of the losses, ours by line."""

    ratio: tuple[Fraction, ...]
    before_limit: Decimal
    ours: Decimal
    by_line: tuple[Decimal, ...]
    others: tuple[Decimal, ...]


def value_ratios(
    terms: PolicyTerms, items: Sequence[Insured], blanket_value: Fraction
) -> tuple[Fraction, ...]:
    """Return by which ratio each item's loss counts: limit ÷ required value, at most one.

    Blanket: the values are added first.  An agreed value in force takes the place of the
    required value.  Ratios are never rounded.
    """
    rule = terms.insurance_to_value
    if rule is None:
        return (ONE,) * len(items)
    limit = None if terms.limit is None else Fraction(terms.limit.amount)
    share = ONE if rule.required_share is None else rule.required_share
    if rule.agreed_value is not None:
        return (_ratio(limit, Fraction(rule.agreed_value)),) * len(items)
    if rule.blanket and terms.limit_form != "separate_limits":
        value = blanket_value if rule.value_at_risk is None else Fraction(rule.value_at_risk)
        return (_ratio(limit, value * share),) * len(items)
    return tuple(
        _ratio(limit if item.item_limit is None else item.item_limit, item.value_at_risk * share)
        for item in items
    )


def _ratio(limit: Fraction | None, required: Fraction) -> Fraction:
    if limit is None or required <= limit:
        return ONE
    return limit / required


def deductible_amount(
    terms: PolicyTerms,
    rule: Deductible,
    items: Sequence[Insured],
    losses: Sequence[Fraction],
    digits: int,
) -> DeductibleAmount:
    """Return one deductible on replacement-cost ``losses``, before insurance to value."""
    limit = None if terms.limit is None else Fraction(terms.limit.amount)
    rate = rule.rate or ZERO
    flat = Fraction(rule.amount or 0)
    separate = terms.limit_form == "separate_limits"
    by_item: list[Fraction] | None = None
    total = ZERO
    if rule.form == "percentage_of_value":
        by_item = [rate * item.value_at_risk for item in items]
    elif rule.form == "percentage_of_limit" and separate:
        by_item = [rate * (item.item_limit or ZERO) for item in items]
    elif rule.form == "percentage_of_limit":
        total = rate * (limit or ZERO)
    elif rule.form == "percentage_of_loss":
        if rule.per == "occurrence":
            total = rate * sum(losses, ZERO)
        else:
            by_item = [rate * loss for loss in losses]
    elif rule.per == "occurrence":
        total = flat
    else:
        by_item = [flat * (item.units if rule.per == "unit" else 1) for item in items]
    if by_item is None:
        total = _bounded(total, rule)
        return DeductibleAmount(total=round_half_up(total, digits), by_item=None, rule=rule)
    if rule.bounds_per == "line":
        by_item = [_bounded(each, rule) for each in by_item]
    else:
        # Where no value is known, the minimum stands by what was lost of each item.
        weights = by_item if any(by_item) else list(losses)
        bounded = _bounded(sum(by_item, ZERO), rule)
        whole = sum(weights, ZERO)
        if whole:
            by_item = [each * bounded / whole for each in weights]
    rounded = tuple(round_half_up(each, digits) for each in by_item)
    return DeductibleAmount(
        total=sum(rounded, round_half_up(0, digits)), by_item=rounded, rule=rule
    )


def _bounded(amount: Fraction, rule: Deductible) -> Fraction:
    if rule.minimum is not None:
        amount = max(amount, Fraction(rule.minimum))
    if rule.maximum is not None:
        amount = min(amount, Fraction(rule.maximum))
    return amount


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What bounds a payment beside the items' own caps."""

    group_caps: tuple[Fraction, ...]
    """The sublimits by category and cause, narrowest first."""
    aggregate_left: Decimal | None


def pay(
    terms: PolicyTerms,
    items: Sequence[Insured],
    losses: Sequence[Fraction],
    ratios: Sequence[Fraction],
    deductible: DeductibleAmount,
    limits: Limits,
    digits: int,
) -> Payment:
    """Run steps 2 to 5 and 7 on ``losses`` (exact, by item, after the waiver)."""
    adjusted = [loss * ratio for loss, ratio in zip(losses, ratios, strict=True)]
    separate = terms.limit_form == "separate_limits" and deductible.by_item is None
    after = _after_deductible(adjusted, deductible)
    if separate and deductible.total and len(items) > 1:
        after = _least_paid(terms, items, adjusted, deductible, limits, digits)
    found = _finish(terms, items, adjusted, after, deductible, limits, digits)
    return dataclasses.replace(found, ratio=tuple(ratios))


def _least_paid(
    terms: PolicyTerms,
    items: Sequence[Insured],
    adjusted: Sequence[Fraction],
    deductible: DeductibleAmount,
    limits: Limits,
    digits: int,
) -> list[Fraction]:
    """Put the deductible on the one item with which the least is paid; of equals the first.

    Where no cap spans several items, each try differs from the sum in one item alone.
    """
    total = Fraction(deductible.total)
    kept = _kept(terms)
    left = [max(ZERO, loss - total) for loss in adjusted]
    bound = max(ZERO, sum(adjusted, ZERO) - total) * kept
    whole = [min((*item.caps, a * kept)) for item, a in zip(items, adjusted, strict=True)]
    everything = sum(whole, ZERO)
    paid: list[Decimal] = []
    for bearer, item in enumerate(items):
        if limits.group_caps:
            after = [*adjusted[:bearer], left[bearer], *adjusted[bearer + 1 :]]
            tried = _finish(terms, items, adjusted, after, deductible, limits, digits)
            paid.append(sum(tried.others, tried.ours))
            continue
        reduced = everything - whole[bearer] + min((*item.caps, left[bearer] * kept))
        payable = round_half_up(min(reduced, bound), digits)
        ours, others = _shared(terms, payable, limits.aggregate_left, digits)
        paid.append(sum(others, ours))
    best = min(range(len(items)), key=paid.__getitem__)
    return [*adjusted[:best], left[best], *adjusted[best + 1 :]]


def _kept(terms: PolicyTerms) -> Fraction:
    """Return the share that is paid where the insured participates."""
    return ONE if terms.participation is None else ONE - terms.participation.insured_share


def _after_deductible(adjusted: Sequence[Fraction], deductible: DeductibleAmount) -> list[Fraction]:
    """Take the deductible off: item by item, or once off the sum and spread by loss."""
    if deductible.by_item is not None:
        return [
            max(ZERO, each - Fraction(own))
            for each, own in zip(adjusted, deductible.by_item, strict=True)
        ]
    whole = sum(adjusted, ZERO)
    if not whole:
        return list(adjusted)
    left = max(ZERO, whole - Fraction(deductible.total))
    return [each * left / whole for each in adjusted]


def _finish(
    terms: PolicyTerms,
    items: Sequence[Insured],
    adjusted: Sequence[Fraction],
    after: Sequence[Fraction],
    deductible: DeductibleAmount,
    limits: Limits,
    digits: int,
) -> Payment:
    """Run participation, caps, other insurance, limit and aggregate on what is left."""
    bound = max(ZERO, sum(adjusted, ZERO) - Fraction(deductible.total))
    if deductible.by_item is not None:
        bound = sum(after, ZERO)
    kept = _kept(terms)
    amounts = [each * kept for each in after]
    caps = [min((*item.caps, amount)) for item, amount in zip(items, amounts, strict=True)]
    capped = list(caps)
    for cap_position, cap in enumerate(limits.group_caps):
        inside = [i for i, item in enumerate(items) if cap_position in item.category_caps]
        whole = sum((capped[i] for i in inside), ZERO)
        if whole > cap:
            for i in inside:
                capped[i] = capped[i] * cap / whole
    total = round_half_up(min(sum(capped, ZERO), bound * kept), digits)
    ours, others = _shared(terms, total, limits.aggregate_left, digits)
    weights = capped if any(capped) else [ONE] * len(items)
    ceilings = [round_up(min(item.caps), digits) if item.caps else ours for item in items]
    return Payment(
        ratio=(),
        before_limit=total,
        ours=ours,
        by_line=allocate_capped(ours, weights, ceilings, digits),
        others=others,
    )


def other_insurers(terms: PolicyTerms) -> tuple[OtherInsurance, ...]:
    """Return the other insurers in an order that does not depend on the order of entry."""
    return tuple(sorted(terms.other_insurance, key=lambda each: (each.insurer, each.limit)))


def _shared(
    terms: PolicyTerms, total: Decimal, aggregate_left: Decimal | None, digits: int
) -> tuple[Decimal, tuple[Decimal, ...]]:
    """Return what our policy pays of ``total``, and what each other insurer does.

    By equal shares each pays the same until its limit is used up; by limits each pays in
    proportion to its limit.  Ours stands first in ties, and pays only what is left of the
    aggregate.
    """
    own = total if terms.limit is None else min(total, round_half_up(terms.limit.amount, digits))
    others = other_insurers(terms)
    if not others:
        return _cut(own, aggregate_left), ()
    other_caps = [round_half_up(each.limit, digits) for each in others]
    if terms.other_insurance_shares == "by_limits":
        whole = own if terms.limit is None else round_half_up(terms.limit.amount, digits)
        limits = [whole, *other_caps]
        payable = min(total, sum(limits, Decimal(0)))
        shares = allocate(payable, [Fraction(each) for each in limits], digits)
        return _cut(shares[0], aggregate_left), shares[1:]
    limits = [_cut(own, aggregate_left), *other_caps]
    payable = min(total, sum(limits, Decimal(0)))
    shares = allocate_capped(payable, [ONE] * len(limits), limits, digits)
    return shares[0], shares[1:]


def _cut(amount: Decimal, aggregate_left: Decimal | None) -> Decimal:
    return amount if aggregate_left is None else max(Decimal(0), min(amount, aggregate_left))
