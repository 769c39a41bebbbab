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
from ldapp.claim.findings import Repair
from ldapp.claim.grounds import GROUND_BY_CODE, GROUND_CODES, GroundCode
from ldapp.claim.terms import FeeRule, TaxComponent
from ldapp.reckoning.bills import GROUP_1, Bill, Units, group_bills, lay_out
from ldapp.reckoning.fees import Taxed, fee_amount, interest_amount, tax_amount
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.loss_of_use import OutOfService, UseReading, out_of_service_days, use_amount
from ldapp.reckoning.money import ZERO, allocate, round_half_up
from ldapp.reckoning.readings import PriceReadings, repair_ceiling
from ldapp.reckoning.result import (
    ChargeAnswer,
    ChargeResult,
    GroundFall,
    LineCounts,
    Step,
    StrongRun,
)
from ldapp.reckoning.support import FEE_KINDS, Strength
from ldapp.reckoning.workings import inputs, money_step

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
        self._by_invoice: dict[str, list[Bill]] = defaultdict(list)
        for bill in bills:
            self._by_invoice[bill.invoice.id].append(bill)
        self._units: dict[str, Units] = {}
        self._prices: dict[str, PriceReadings] = {}
        self._steps: dict[str, list[Step]] = defaultdict(list)
        for group in group_bills(bills, "unit"):
            self._lend_grounds(group)
            for bill, units in zip(group, lay_out(group), strict=True):
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
        for stage in (("unit", "repair", "use", "difference"), ("fee",), ("interest",), ("tax",)):
            for bill in self._bills:
                if bill.family in stage:
                    in_force = self._in_force(bill, strong_only)
                    done[bill.charge.id] = _fall(
                        bill.billed, in_force, self._amount_under(bill, done), self._digits
                    )
        return done

    def _amount_under(self, bill: Bill, done: Mapping[str, Answered]) -> AmountUnder:
        if bill.family == "unit":
            return lambda on: self._unit_amount(bill, on)
        if bill.family == "repair":
            inner: AmountUnder = lambda on: self._repair_amount(bill, on)  # noqa: E731
        elif bill.family == "use":
            inner = lambda on: self._use_amount(bill, on)  # noqa: E731
        elif bill.family == "fee":
            inner = lambda on: self._fee_amount(bill, on, done)  # noqa: E731
        elif bill.family == "interest":
            inner = lambda on: self._interest_amount(bill, on, done)  # noqa: E731
        elif bill.family == "tax":
            inner = lambda on: self._tax_amount(bill, on, done)  # noqa: E731
        else:
            inner = lambda on: bill.billed  # noqa: E731
        return lambda on: min(inner(on), self._struck(bill, on))

    def _struck(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        """Return what is left of a charge without units under grounds that strike it.

        A ground of group 1, billed twice or arithmetic takes the amount stated with it, else
        the whole; arithmetic on a product takes what is above the product.
        """
        left = bill.billed
        for code in on:
            if code not in GROUP_1 and code not in ("billed_twice", "arithmetic"):
                continue
            choice, _ = self._grounds[bill.charge.id][code]
            unit_price = bill.charge.unit_price
            if code == "arithmetic" and choice.amount is not None:
                left = min(left, choice.amount)
            elif code == "arithmetic" and bill.family != "difference":
                if unit_price is not None and bill.charge.days is None:
                    product = Fraction(unit_price) * bill.quantity
                    left = min(left, round_half_up(product, self._digits))
            elif choice.amount is not None:
                left = min(left, bill.billed - choice.amount)
            else:
                left = self._zero
        return left

    # --- units × price ------------------------------------------------------------------

    def _unit_amount(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        taken = self._units[bill.charge.id].by_ground
        units = bill.quantity - sum((taken[code] for code in on if code in taken), ZERO)
        price = self._prices[bill.charge.id].lowest(
            on & bill.grounds.keys(), Fraction(bill.billed) / bill.quantity
        )
        if "arithmetic" in on:
            stated = bill.grounds["arithmetic"][0].amount
            if stated is not None:
                price = min(price, Fraction(stated) / bill.quantity)
            elif bill.charge.unit_price is not None:
                price = min(price, Fraction(bill.charge.unit_price))
        amount = units * price
        twice = bill.grounds.get("billed_twice")
        if "billed_twice" in on and twice is not None and twice[0].amount is not None:
            amount -= Fraction(twice[0].amount)
        return round_half_up(max(ZERO, amount), self._digits)

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

    # --- loss of use --------------------------------------------------------------------

    def _use_amount(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        term = bill.terms.loss_of_use
        if term is None:
            return self._zero if "fee_not_agreed" in on else bill.billed
        grounds = bill.grounds
        found = bill.reckoned
        if "not_out_of_service" in on:
            return self._zero
        proved = found is not None and found.finding.lost_rental_proved
        if "loss_of_use_unproved" in on and term.proof_required and not proved:
            return self._zero
        days = out_of_service_days(term, self._out_of_service(bill))
        self._note(bill, days.step)
        agreed_rate = None if bill.line is None else bill.line.day_rate
        billed_days = bill.charge.days
        if billed_days is None and agreed_rate and bill.quantity:
            billed_days = Decimal(1)
            implied = Fraction(bill.billed) / (Fraction(agreed_rate) * bill.quantity)
        else:
            implied = Fraction(billed_days or 1)
        reading_days = implied
        if "loss_of_use_days" in on:
            stated = grounds["loss_of_use_days"][0].days
            ours = Fraction(stated) if stated is not None else days.days
            if ours is not None:
                reading_days = min(reading_days, ours)
        rent_paid = ZERO
        if "rent_already_paid" in on and term.rent_paid_counts is not False:
            stated = grounds["rent_already_paid"][0].days
            own = Decimal(0) if found is None else found.finding.rent_paid_days
            rent_paid = Fraction(own if stated is None else stated)
        rate: Fraction | None = Fraction(bill.billed) / implied if implied else ZERO
        if "loss_of_use_rate" in on:
            stated = grounds["loss_of_use_rate"][0].rate
            if stated is not None:
                agreed_rate = stated
            if agreed_rate is not None:
                rate = None
        value = None
        if found is not None and found.unit.amount is not None:
            value = found.unit.amount * max(1, found.finding.quantity)
        amount, step = use_amount(
            term,
            UseReading(
                days=reading_days,
                rent_paid_days=rent_paid,
                flat_rate=rate,
                day_rate=Fraction(agreed_rate or 0),
                quantity=bill.quantity,
                value=value,
                capped="loss_of_use_cap" in on,
            ),
            self._digits,
        )
        self._note(bill, step)
        return amount

    def _out_of_service(self, bill: Bill) -> OutOfService:
        agreement = self._index.agreements[bill.invoice.agreement]
        finding = None if bill.reckoned is None else bill.reckoned.finding
        repair = (None if finding is None else finding.repair) or Repair()
        counts: LineCounts | None = bill.counts
        check_in = None if counts is None else self._index.counts.get(counts.check_in_count or "")
        day = None
        if check_in is not None and check_in.at is not None:
            day = check_in.at.astimezone(self._index.zone).date()
        due = agreement.ends
        return OutOfService(
            lost=bill.reckoned is not None and bill.reckoned.lost,
            notice=agreement.notified,
            return_due=None if due is None else due.astimezone(self._index.zone).date(),
            check_in=day,
            recorded_from=repair.out_of_service_from,
            repaired=repair.out_of_service_until,
            replaced=None if finding is None else finding.replaced_on,
            paid=agreement.paid,
            labour_hours=None if repair.labour_hours is None else Fraction(repair.labour_hours),
        )

    # --- fees, interest, tax ------------------------------------------------------------

    def _others(self, bill: Bill, families: Set[str]) -> list[Bill]:
        return [b for b in self._bills if b.invoice.id == bill.invoice.id and b.family in families]

    def _fee_amount(self, bill: Bill, on: Set[GroundCode], done: Mapping[str, Answered]) -> Decimal:
        if "fee_not_agreed" not in on:
            return bill.billed
        stated = bill.grounds["fee_not_agreed"][0].amount
        if stated is not None:
            return stated
        kind = FEE_KINDS.get(bill.charge.kind)
        rules = [f for f in bill.terms.fees if (f.kind == kind if kind else f.kind in _OTHER)]
        if not rules:
            return self._zero
        amounts = []
        for rule in rules:
            amount, step = fee_amount(
                rule, self._fee_base(bill, rule, done), bill.billed, self._digits
            )
            self._note(bill, step)
            amounts.append(bill.billed if amount is None else amount)
        return max(amounts)

    def _fee_base(self, bill: Bill, rule: FeeRule, done: Mapping[str, Answered]) -> Decimal:
        families = {"loss": {"unit", "repair"}, "repair": {"repair"}}.get(
            rule.base, {"unit", "repair", "use", "difference"}
        )
        return sum((done[b.charge.id].owed for b in self._others(bill, families)), self._zero)

    def _interest_amount(
        self, bill: Bill, on: Set[GroundCode], done: Mapping[str, Answered]
    ) -> Decimal:
        if "fee_not_agreed" not in on:
            return bill.billed
        stated = bill.grounds["fee_not_agreed"][0].amount
        rule = bill.terms.interest
        paid = self._index.agreements[bill.invoice.agreement].paid
        if stated is not None:
            return stated
        if rule is None:
            return self._zero
        if paid is None:
            return bill.billed
        families = {"unit", "repair", "use", "difference", "fee"}
        overdue = sum((done[b.charge.id].owed for b in self._others(bill, families)), self._zero)
        days = (paid - bill.invoice.dated).days
        amount, step = interest_amount(rule, overdue, days, self._digits)
        self._note(bill, step)
        return amount

    def _tax_amount(self, bill: Bill, on: Set[GroundCode], done: Mapping[str, Answered]) -> Decimal:
        if "tax_not_due" not in on:
            return bill.billed
        stated = bill.grounds["tax_not_due"][0].amount
        if stated is not None:
            return stated
        rule = bill.terms.tax
        if rule is None:
            return self._zero
        owed = []
        for other in self._others(bill, {"unit", "repair", "use", "fee"}):
            owed += _components(other, done[other.charge.id].owed)
        amount, step = tax_amount(rule, owed, self._digits)
        self._note(bill, step)
        return amount

    # --- results ------------------------------------------------------------------------

    def _note(self, bill: Bill, step: Step) -> None:
        steps = self._steps[bill.charge.id]
        if step not in steps:
            steps.append(step)

    def _result(self, bill: Bill, all_on: Answered, strong: Answered) -> ChargeResult:
        grounds = self._grounds[bill.charge.id]
        falls = tuple(
            GroundFall(
                code=code,
                amount=amount,
                strong=grounds[code][1].strong,
                rests_on=grounds[code][1].rests_on,
                not_stated=grounds[code][1].not_stated,
            )
            for code, amount in all_on.falls
        )
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
            working=self._working(bill, all_on),
        )

    def _working(self, bill: Bill, answered: Answered) -> Step:
        steps = []
        left = bill.billed
        for code, amount in answered.falls:
            left -= amount
            kind = GROUND_BY_CODE[code]
            choice, strength = self._grounds[bill.charge.id][code]
            units = self._units.get(bill.charge.id)
            taken = None if units is None else units.by_ground.get(code)
            steps.append(
                money_step(
                    f"less {amount:f}: {kind.label}",
                    "the amount with the grounds before it less the amount with it too",
                    left,
                    inputs(
                        ("units", taken),
                        ("rests on", "; ".join(strength.rests_on) or None),
                        ("clause", choice.clause or None),
                    ),
                    not_stated=strength.not_stated,
                )
            )
        prices = self._prices.get(bill.charge.id)
        readings = [] if prices is None else list(prices.steps.values())
        return money_step(
            f"Owed on line {bill.charge.number}: {bill.charge.description}",
            "billed less what each ground in force takes, one after the other",
            answered.owed,
            inputs(("billed", bill.billed)),
            steps=[*readings, *self._steps[bill.charge.id], *steps],
        )


_OTHER = frozenset({"other", "minimum", "late", "restocking", "administration"})


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


def _components(bill: Bill, owed: Decimal) -> list[Taxed]:
    """Return an owed amount by the component that tax looks at."""
    simple: dict[str, TaxComponent] = {
        "repair_labour": "labour",
        "repair_parts": "parts",
        "loss_of_use": "loss_of_use",
    }
    if bill.family == "fee":
        return [Taxed("fees", owed)]
    if bill.charge.kind != "repair":
        return [Taxed(simple.get(bill.charge.kind, "replacement"), owed)]
    repair = None if bill.reckoned is None else bill.reckoned.finding.repair
    if repair is None or repair.parts + repair.labour == 0:
        return [Taxed("parts", owed)]
    whole = repair.parts + repair.labour
    exponent = -int(owed.as_tuple().exponent)
    parts, labour = allocate(
        owed,
        [Fraction(repair.parts) / Fraction(whole), Fraction(repair.labour) / Fraction(whole)],
        exponent,
    )
    return [Taxed("parts", parts), Taxed("labour", labour)]
