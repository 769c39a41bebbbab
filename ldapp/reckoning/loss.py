"""The loss of each occurrence: what is owed for its findings, line by line."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.findings import Occurrence
from ldapp.reckoning.bills import Bill
from ldapp.reckoning.findings import Reckoned
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.money import allocate, round_half_up
from ldapp.reckoning.result import ChargeResult
from ldapp.reckoning.times import occurrence_time


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """What is owed for one finding: the thing itself, and what runs beside it."""

    found: Reckoned
    charged: tuple[ChargeResult, ...]
    charged_property: Decimal
    not_yet_charged: Decimal | None
    loss_of_use: Decimal
    lacking: tuple[str, ...] = ()

    @property
    def thing(self) -> Decimal:
        """Return what is owed for the thing itself, charged or not."""
        return self.charged_property + (self.not_yet_charged or Decimal(0))

    @property
    def owed(self) -> Decimal:
        """Return all that is owed for the finding."""
        return self.thing + self.loss_of_use


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The items of one occurrence (None: of none), and its part of what stands by itself."""

    occurrence: Occurrence | None
    items: tuple[Item, ...]
    fees: Decimal
    tax: Decimal
    unmatched: Decimal
    charges: tuple[str, ...]

    @property
    def loss(self) -> Decimal:
        """Return the whole loss of the occurrence."""
        beside = self.fees + self.tax + self.unmatched
        return sum((item.owed for item in self.items), beside)


def make_items(
    bills: Sequence[Bill],
    results: Sequence[ChargeResult],
    reckoned: Mapping[str, Reckoned],
    digits: int,
) -> dict[str, Item]:
    """Return what is owed for each finding, by its id."""
    zero = round_half_up(0, digits)
    by_finding: dict[str, list[tuple[Bill, ChargeResult]]] = defaultdict(list)
    for bill, result in zip(bills, results, strict=True):
        if result.finding is not None and bill.family in ("unit", "repair", "use"):
            by_finding[result.finding].append((bill, result))
    items = {}
    for finding_id, found in reckoned.items():
        charged = by_finding.get(finding_id, [])
        thing = [(bill, result) for bill, result in charged if bill.family != "use"]
        use = [result.owed for bill, result in charged if bill.family == "use"]
        open_units = Fraction(found.quantity)
        for bill, _ in thing:
            if bill.family == "unit":
                open_units -= bill.quantity
        uncharged: Decimal | None = zero
        lacking: tuple[str, ...] = ()
        if not thing:
            uncharged, lacking = found.amount, found.lacking
        elif found.damage is None and open_units > 0:
            if found.unit.amount is None:
                uncharged, lacking = None, found.lacking
            else:
                uncharged = round_half_up(open_units * Fraction(found.unit.amount), digits)
        items[finding_id] = Item(
            found=found,
            charged=tuple(result for _, result in charged),
            charged_property=sum((result.owed for _, result in thing), zero),
            not_yet_charged=uncharged,
            loss_of_use=sum(use, zero),
            lacking=lacking,
        )
    return items


def make_groups(
    index: ClaimIndex,
    bills: Sequence[Bill],
    results: Sequence[ChargeResult],
    items: Mapping[str, Item],
) -> list[Group]:
    """Return the occurrences in time, and last the group of what none explains.

    Fees, interest and tax without a finding of their own are spread over the occurrences of
    the other charges on their invoice, by what is owed for them.
    """
    zero = round_half_up(0, index.digits)
    order = _occurrence_order(index)
    keys: list[str | None] = [*(o.id for o in order), None]
    position = {key: rank for rank, key in enumerate(keys)}
    fees = [zero] * len(keys)
    tax = [zero] * len(keys)
    unmatched = [zero] * len(keys)
    charges: list[list[str]] = [[] for _ in keys]
    weights: dict[str, list[Fraction]] = {}
    group_of: list[int | None] = []
    for bill, result in zip(bills, results, strict=True):
        place = None
        if result.finding is not None:
            occurrence = items[result.finding].found.finding.occurrence
            place = position[occurrence]
        elif bill.family in ("unit", "repair", "use"):
            place = len(keys) - 1
        group_of.append(place)
        if place is not None:
            invoice = weights.setdefault(bill.invoice.id, [Fraction(0)] * len(keys))
            invoice[place] += Fraction(result.owed)
    for bill, result, place in zip(bills, results, group_of, strict=True):
        if place is not None:
            charges[place].append(result.charge)
            if bill.family in ("unit", "repair", "use"):
                if result.finding is None:
                    unmatched[place] += result.owed
                continue
            shares = [zero] * len(keys)
            shares[place] = result.owed
        else:
            weight = weights.get(bill.invoice.id, [])
            if not any(weight):
                weight = [Fraction(0)] * (len(keys) - 1) + [Fraction(1)]
            shares = list(allocate(result.owed, weight, index.digits))
            for key, share in enumerate(shares):
                if share or (not result.owed and weight[key]):
                    charges[key].append(result.charge)
        kind = tax if bill.family == "tax" else fees
        for key, share in enumerate(shares):
            kind[key] += share
    by_group: list[list[Item]] = [[] for _ in keys]
    for item in items.values():
        by_group[position[item.found.finding.occurrence]].append(item)
    groups = [
        Group(
            occurrence=None if key is None else index.occurrences[key],
            items=tuple(by_group[rank]),
            fees=fees[rank],
            tax=tax[rank],
            unmatched=unmatched[rank],
            charges=tuple(charges[rank]),
        )
        for rank, key in enumerate(keys)
    ]
    last = groups[-1]
    return groups if last.items or last.charges else groups[:-1]


def _occurrence_order(index: ClaimIndex) -> list[Occurrence]:
    """Return occurrences in time; those without a time last, by their id."""

    def order(occurrence: Occurrence) -> tuple[bool, float, str]:
        at = occurrence_time(occurrence, index.zone)
        return (at is None, 0.0 if at is None else at.timestamp(), occurrence.id)

    return sorted(index.claim.occurrences, key=order)
