"""Charges against what is owed: grounds come into force one after the other.

The fall of each ground is the amount with the grounds before it less the amount with it too,
so that falls sum to the disputed amount exactly.
"""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Callable, Mapping, Set
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.charges import GroundChoice
from ldapp.claim.grounds import GROUND_BY_CODE, GROUND_CODES, GroundCode
from ldapp.language import said, said_in
from ldapp.reckoning.beside_charges import ALL_USE_GROUNDS, BesideCharges
from ldapp.reckoning.bills import Bill, group_bills
from ldapp.reckoning.figures import said_amount
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.money import ZERO, allocate, round_half_up
from ldapp.reckoning.readings import PriceReadings, repair_ceiling
from ldapp.reckoning.result import (
    ChargeAnswer,
    ChargeResult,
    GroundFall,
    Step,
    StrongRun,
)
from ldapp.reckoning.support import Strength, against_text
from ldapp.reckoning.units import GROUP_1, CountedUnits, Units, lay_out
from ldapp.reckoning.workings import AGAINST_IT, RESTS_ON, inputs, money_step

AmountUnder = Callable[[Set[GroundCode]], Decimal]
Grounds = Mapping[GroundCode, tuple[GroundChoice, Strength]]
_RANK = {code: rank for rank, code in enumerate(GROUND_CODES)}


@dataclasses.dataclass(frozen=True, slots=True)
class Answered:
    """What one run leaves of a charge: owed, and what each ground in force took."""

    owed: Decimal
    falls: tuple[tuple[GroundCode, Decimal], ...]


class ChargeReckoner:
    """Reckons all charges of a claim, once for all grounds and once for the strong ones."""

    def __init__(self, index: ClaimIndex, bills: list[Bill]) -> None:
        self._index = index
        self._digits = index.digits
        self._bills = bills
        self._zero = round_half_up(0, index.digits)
        self._grounds: dict[str, Grounds] = {b.charge.id: b.grounds for b in bills}
        self._units: dict[str, Units] = {}
        self._prices: dict[str, PriceReadings] = {}
        self._steps: dict[str, dict[str, Step]] = defaultdict(dict)
        self._noting = True
        self._known: dict[tuple[str, tuple[GroundCode, ...]], Answered] = {}
        self._beside = BesideCharges(index, bills, self._note)
        counted = CountedUnits()
        for group in group_bills(bills, "unit"):
            self._lend_grounds(group)
            for bill, units in zip(group, lay_out(group, counted), strict=True):
                self._units[bill.charge.id] = units
                self._prices[bill.charge.id] = PriceReadings(bill, self._digits)
        self._repairs = {
            b.charge.id: group for group in group_bills(bills, "repair") for b in group
        }

    def _lend_grounds(self, group: list[Bill]) -> None:
        """Let a group-1 ground of one charge hold for the units of it on a sister charge."""
        if len(group) == 1:
            return
        lent = {
            code: entry
            for bill in reversed(group)
            for code, entry in bill.grounds.items()
            if code in GROUP_1
        }
        for bill in group:
            self._grounds[bill.charge.id] = {**lent, **bill.grounds}

    def results(self) -> list[ChargeResult]:
        """Return every charge answered, in the order of the bills."""
        everything = self._run(strong_only=False)
        self._noting = False
        strong = self._run(strong_only=True)
        return [
            self._result(bill, everything[bill.charge.id], strong[bill.charge.id])
            for bill in self._bills
        ]

    def _in_force(self, bill: Bill, strong_only: bool) -> list[GroundCode]:
        codes = [
            code
            for code, (choice, strength) in self._grounds[bill.charge.id].items()
            if choice.on and (strength.strong or not strong_only)
        ]
        return sorted(codes, key=_RANK.__getitem__)

    def _run(self, *, strong_only: bool) -> dict[str, Answered]:
        done: dict[str, Answered] = {}
        owed: dict[str, Decimal] = {}
        for stage in (_ALONE, {"fee"}, {"interest"}, {"tax"}):
            for bill in self._bills:
                if bill.family in stage:
                    in_force = self._in_force(bill, strong_only)
                    answered = self._answer(bill, in_force, owed)
                    done[bill.charge.id] = answered
                    owed[bill.charge.id] = answered.owed
        return done

    def _answer(
        self, bill: Bill, in_force: list[GroundCode], owed: Mapping[str, Decimal]
    ) -> Answered:
        """Answer one charge; what depends on no other charge is computed once for both runs."""
        key = (bill.charge.id, tuple(in_force))
        if key in self._known:
            return self._known[key]
        answered = _fall(bill.billed, in_force, self._amount_under(bill, owed), self._digits)
        if bill.family in _ALONE:
            self._known[key] = answered
        return answered

    def _amount_under(self, bill: Bill, owed: Mapping[str, Decimal]) -> AmountUnder:
        if bill.family == "unit":
            return lambda on: self._unit_amount(bill, on)
        unstruck = self._unstruck(bill, owed)
        return lambda on: min(unstruck(on), self._struck(bill, on))

    def _unstruck(self, bill: Bill, owed: Mapping[str, Decimal]) -> AmountUnder:
        """Return how a charge without units is owed, by its family."""
        if bill.family == "repair":
            return lambda on: self._repair_amount(bill, on)
        if bill.family == "use":
            return lambda on: self._beside.use(bill, on)
        if bill.family == "fee":
            return lambda on: self._beside.fee(bill, on, owed)
        if bill.family == "interest":
            return lambda on: self._beside.interest(bill, on, owed)
        if bill.family == "tax":
            return lambda on: self._beside.tax(bill, on, owed)
        return lambda on: bill.billed

    def _struck(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        """Return what is left of a charge without units under grounds that strike it.

        A ground of group 1, billed twice or arithmetic leaves the amount stated with it, else
        nothing; arithmetic on a product leaves the product.
        """
        left = bill.billed
        for code in on:
            if code not in GROUP_1 and code not in ("billed_twice", "arithmetic"):
                continue
            stated = bill.grounds[code][0].amount
            unit_price = bill.charge.unit_price
            if stated is not None:
                left = min(left, stated)
            elif code == "arithmetic" and bill.family != "difference":
                if unit_price is not None and bill.charge.days is None:
                    product = Fraction(unit_price) * bill.quantity * (bill.days or 1)
                    left = min(left, round_half_up(product, self._digits))
            else:
                left = self._zero
        return left

    # --- units × price ------------------------------------------------------------------

    def _unit_amount(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        taken = self._units[bill.charge.id].by_ground
        units = bill.quantity
        for code in on:
            if code in taken:
                units -= taken[code]
        if "quantity" in on and bill.grounds["quantity"][0].quantity is not None:
            units = min(units, Fraction(bill.grounds["quantity"][0].quantity))
        price = self._prices[bill.charge.id].lowest(on & bill.grounds.keys())
        if "arithmetic" in on and bill.charge.unit_price is not None:
            price = min(price, Fraction(bill.charge.unit_price))
        amount = units * price
        for code in ("billed_twice", "arithmetic"):
            stated = bill.grounds[code][0].amount if code in on else None
            if stated is not None:
                amount = min(amount, Fraction(stated))
        return round_half_up(max(ZERO, amount), self._digits)

    def _our_reading(self, bill: Bill) -> Decimal | None:
        """Return what the facts and terms come to, whichever grounds are switched on."""
        found = bill.reckoned
        if bill.family == "use":
            return min(bill.billed, self._beside.use(bill, ALL_USE_GROUNDS))
        if found is None:
            return None
        if bill.family == "repair":
            group = self._repairs[bill.charge.id]
            if found.damage is None or found.damage.owed is None:
                return None
            weights = [Fraction(each.billed) for each in group]
            return allocate(found.damage.owed, weights, self._digits)[group.index(bill)]
        if bill.family != "unit" or (found.amount is None and found.quantity):
            return None
        units = bill.quantity - sum(self._units[bill.charge.id].by_ground.values(), ZERO)
        if found.amount is None or not found.quantity:
            return self._zero
        return round_half_up(units * Fraction(found.amount) / found.quantity, self._digits)

    # --- repair -------------------------------------------------------------------------

    def _repair_amount(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        group = self._repairs[bill.charge.id]
        billed = [Fraction(each.billed) for each in group]
        whole = round_half_up(sum(billed, ZERO), self._digits)
        ceiling = round_half_up(repair_ceiling(bill, on, whole), self._digits)
        if ceiling >= whole:
            return bill.billed
        shares = allocate(ceiling, billed, self._digits)
        return shares[group.index(bill)]

    # --- results ------------------------------------------------------------------------

    def _note(self, charge_id: str, step: Step) -> None:
        """Keep a step of our reading for the working; the last of its name stands."""
        if self._noting:
            self._steps[charge_id][step.label] = step

    def _result(self, bill: Bill, all_on: Answered, strong: Answered) -> ChargeResult:
        grounds = self._grounds[bill.charge.id]
        falls = tuple(_ground_fall(code, amount, grounds[code][1]) for code, amount in all_on.falls)
        disputed = bill.billed - all_on.owed
        answer: ChargeAnswer = "disputed" if disputed else "not_disputed"
        if bill.charge.open_until_documented:
            answer = "open_until_documented"
        return ChargeResult(
            invoice=bill.invoice.id,
            charge=bill.charge.id,
            finding=None if bill.reckoned is None else bill.reckoned.finding.id,
            billed=bill.billed,
            owed=all_on.owed,
            disputed=disputed,
            grounds=falls,
            strong=StrongRun(owed=strong.owed, disputed=bill.billed - strong.owed),
            answer=answer,
            waiver=self._zero,
            our_reading=self._our_reading(bill),
            loss_of_use=self._beside.readings(bill) if bill.family == "use" else None,
            working=self._working(bill, all_on),
        )

    def _working(self, bill: Bill, answered: Answered) -> Step:
        steps = []
        left = bill.billed
        prices = self._prices.get(bill.charge.id)
        readings = {} if prices is None else prices.steps
        for code, amount in answered.falls:
            left -= amount
            kind = GROUND_BY_CODE[code]
            choice, strength = self._grounds[bill.charge.id][code]
            units = self._units.get(bill.charge.id)
            taken = None if units is None else units.by_ground.get(code)
            against = strength.against
            steps.append(
                money_step(
                    said(
                        "less {amount}: {ground}",
                        amount=said_amount(amount),
                        ground=said(kind.label),
                    ),
                    said("what is left with this ground and those before it in force"),
                    left,
                    inputs(
                        (said_in("working", "units"), taken),
                        (said(RESTS_ON), "; ".join(strength.rests_on) or None),
                        (said_in("working", "clause"), choice.clause or None),
                        (said(AGAINST_IT), None if against is None else against_text(against)),
                    ),
                    not_stated=strength.not_stated,
                    steps=[readings[code]] if code in readings else (),
                )
            )
        return money_step(
            said(
                "Owed on line {number}: {description}",
                number=bill.charge.number,
                description=bill.charge.description,
            ),
            said("billed less what each ground in force takes, one after the other"),
            answered.owed,
            inputs((said_in("working", "billed"), bill.billed)),
            steps=[*self._steps[bill.charge.id].values(), *steps],
        )


_ALONE = frozenset({"unit", "repair", "use", "difference"})
"""Families whose amounts depend on no other charge of the invoice."""


def _ground_fall(code: GroundCode, amount: Decimal, strength: Strength) -> GroundFall:
    against = strength.against
    return GroundFall(
        code=code,
        amount=amount,
        strong=strength.strong,
        rests_on=strength.rests_on,
        not_stated=strength.not_stated,
        against="" if against is None else against.says,
        against_clause=None if against is None else against.clause,
    )


def _fall(
    billed: Decimal, in_force: list[GroundCode], amount_under: AmountUnder, digits: int
) -> Answered:
    """Bring grounds into force one after the other; none raises the amount."""
    left = billed
    on: set[GroundCode] = set()
    falls = []
    for code in in_force:
        on.add(code)
        now = min(left, round_half_up(max(Decimal(0), amount_under(on)), digits))
        falls.append((code, left - now))
        left = now
    return Answered(left, tuple(falls))
