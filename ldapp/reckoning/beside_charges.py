"""Charges beside the thing itself: loss of use, fees, interest and tax under grounds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence, Set
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.findings import Repair
from ldapp.claim.grounds import GroundCode
from ldapp.claim.terms import FeeRule, LossOfUse, TaxComponent
from ldapp.language import said
from ldapp.reckoning.bills import Bill
from ldapp.reckoning.fees import Taxed, fee_amount, interest_amount, tax_amount
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.loss_of_use import (
    Days,
    OutOfService,
    UseReading,
    out_of_service_days,
    use_amount,
    use_paid,
)
from ldapp.reckoning.money import ZERO, allocate, round_half_up
from ldapp.reckoning.result import LossOfUseReading, LossOfUseReadings, Step
from ldapp.reckoning.support import FEE_KINDS
from ldapp.reckoning.workings import plain_step

Owed = Mapping[str, Decimal]
"""What is owed so far, by the charge's id."""

ALL_USE_GROUNDS: frozenset[GroundCode] = frozenset(
    {
        "loss_of_use_days",
        "loss_of_use_cap",
        "loss_of_use_rate",
        "rent_already_paid",
        "loss_of_use_unproved",
        "fee_not_agreed",
    }
)
_OTHER_FEES = frozenset({"other", "minimum", "late", "restocking", "administration"})


class BesideCharges:
    """The amounts of these charges with a set of grounds in force."""

    def __init__(
        self, index: ClaimIndex, bills: Sequence[Bill], note: Callable[[str, Step], None]
    ) -> None:
        self._index = index
        self._digits = index.digits
        self._zero = round_half_up(0, index.digits)
        self._note = note
        self._by_invoice: dict[str, list[Bill]] = defaultdict(list)
        for bill in bills:
            self._by_invoice[bill.invoice.id].append(bill)

    # --- loss of use --------------------------------------------------------------------

    def use(self, bill: Bill, on: Set[GroundCode]) -> Decimal:
        """Return a loss of use: the billed reading, each element replaced by its ground."""
        term = bill.terms.loss_of_use
        if term is None:
            return self._zero if "fee_not_agreed" in on else bill.billed
        found = bill.reckoned
        proved = found is not None and found.finding.lost_rental_proved
        unproved = "loss_of_use_unproved" in on and term.proof_required and not proved
        if "not_out_of_service" in on or unproved:
            return self._zero
        agreed_rate = None if bill.line is None else bill.line.day_rate
        days, billed_rate = self._billed_reading(bill, agreed_rate)
        if "loss_of_use_days" in on:
            ours = self._our_days(bill, term)
            days = days if ours is None else min(days, ours)
        rent_paid = self._rent_paid(bill, term) if "rent_already_paid" in on else ZERO
        flat_rate: Fraction | None = billed_rate
        if "loss_of_use_rate" in on:
            agreed_rate = _stated(bill, "loss_of_use_rate", "rate") or agreed_rate
            flat_rate = billed_rate if agreed_rate is None else None
        reading = self._reading(bill, days, rent_paid, agreed_rate)._replace(
            flat_rate=flat_rate, capped="loss_of_use_cap" in on
        )
        amount, step = use_amount(term, reading, self._digits)
        self._note(bill.charge.id, step)
        return amount

    def _rent_paid(self, bill: Bill, term: LossOfUse) -> Fraction:
        """Return the days for which rent was paid anyway, where the terms let them count."""
        if term.rent_paid_counts is False:
            return ZERO
        found = bill.reckoned
        own = Decimal(0) if found is None else found.finding.rent_paid_days
        return Fraction(_stated(bill, "rent_already_paid", "days") or own)

    def _reading(
        self, bill: Bill, days: Fraction, rent_paid: Fraction, agreed_rate: Decimal | None
    ) -> UseReading:
        """Return the reading of these days at the agreed rate, under all caps."""
        found = bill.reckoned
        value = None
        if found is not None and found.unit.amount is not None:
            value = found.unit.amount * max(1, found.finding.quantity)
        return UseReading(
            days=days,
            rent_paid_days=rent_paid,
            flat_rate=None,
            day_rate=Fraction(agreed_rate or 0),
            quantity=bill.quantity,
            value=value,
        )

    def _billed_reading(self, bill: Bill, agreed_rate: Decimal | None) -> tuple[Fraction, Fraction]:
        """Return the days and the rate for all units and one day, as billed.

        Where the invoice states no days they follow from the agreed rate.
        """
        billed = Fraction(bill.billed)
        if bill.days is not None:
            return bill.days, billed / bill.days
        if agreed_rate:
            rate = Fraction(agreed_rate) * bill.quantity
            return billed / rate, rate
        return Fraction(1), billed

    def readings(self, bill: Bill) -> LossOfUseReadings | None:
        """Return both sides' reading of a loss of use, days and rate for one unit.

        The lessor's is as billed.  Ours counts the days and takes the rate by the terms,
        whichever grounds are on; where the terms have no loss of use, it is nought.
        """
        agreed_rate = None if bill.line is None else bill.line.day_rate
        days, rate = self._billed_reading(bill, agreed_rate)
        lessor = LossOfUseReading(
            days=days, billed_days=days, rate=rate / bill.quantity, amount=bill.billed
        )
        term = bill.terms.loss_of_use
        if term is None:
            none = LossOfUseReading(days=ZERO, billed_days=ZERO, rate=None, amount=self._zero)
            return LossOfUseReadings(lessor=lessor, renter=none)
        counted = self._days(bill, term)
        agreed_rate = _stated(bill, "loss_of_use_rate", "rate") or agreed_rate
        lacking = (
            counted.lacking if agreed_rate is not None else (*counted.lacking, said("day rate"))
        )
        paid = None
        if counted.days is not None:
            ours = self._reading(bill, counted.days, self._rent_paid(bill, term), agreed_rate)
            paid = use_paid(term, ours, self._digits)
        known = paid is not None and agreed_rate is not None
        renter = LossOfUseReading(
            days=None if paid is None else paid.days,
            billed_days=None if paid is None else paid.billed_days,
            rate=paid.rate / bill.quantity if paid is not None and known else None,
            cap_days=term.cap_days,
            cap=None if paid is None or paid.cap is None else round_half_up(paid.cap, self._digits),
            amount=paid.amount if paid is not None and known else None,
            lacking=lacking,
        )
        return LossOfUseReadings(lessor=lessor, renter=renter)

    def _our_days(self, bill: Bill, term: LossOfUse) -> Fraction | None:
        counted = self._days(bill, term)
        if _stated(bill, "loss_of_use_days", "days") is None:
            self._note(bill.charge.id, counted.step)
        return counted.days

    def _days(self, bill: Bill, term: LossOfUse) -> Days:
        stated = _stated(bill, "loss_of_use_days", "days")
        if stated is not None:
            step = plain_step(said("Days out of service"), said("stated by hand"), f"{stated:f}")
            return Days(Fraction(stated), step)
        if term.applies_to == "damaged" and bill.reckoned is not None and bill.reckoned.lost:
            none = plain_step(
                said("Days out of service"),
                said("loss of use is agreed for damaged items, not for lost ones"),
                "0",
                clause=term.clause,
            )
            return Days(ZERO, none)
        return out_of_service_days(term, self._out_of_service(bill))

    def _out_of_service(self, bill: Bill) -> OutOfService:
        agreement = self._index.agreements[bill.invoice.agreement]
        finding = None if bill.reckoned is None else bill.reckoned.finding
        repair = (None if finding is None else finding.repair) or Repair()
        counts = bill.counts
        check_in = None if counts is None else self._index.counts.get(counts.check_in_count or "")
        checked = None if check_in is None else check_in.at
        zone = self._index.zone
        due = agreement.ends
        return OutOfService(
            lost=bill.reckoned is not None and bill.reckoned.lost,
            notice=agreement.notified,
            return_due=None if due is None else due.astimezone(zone).date(),
            check_in=None if checked is None else checked.astimezone(zone).date(),
            recorded_from=repair.out_of_service_from,
            repaired=repair.out_of_service_until,
            replaced=None if finding is None else finding.replaced_on,
            paid=agreement.paid,
            labour_hours=None if repair.labour_hours is None else Fraction(repair.labour_hours),
        )

    # --- fees, interest, tax ------------------------------------------------------------

    def _others(self, bill: Bill, families: Set[str]) -> list[Bill]:
        return [b for b in self._by_invoice[bill.invoice.id] if b.family in families]

    def _owed_for(self, bill: Bill, families: Set[str], owed: Owed) -> Decimal:
        return sum((owed[b.charge.id] for b in self._others(bill, families)), self._zero)

    def fee(self, bill: Bill, on: Set[GroundCode], owed: Owed) -> Decimal:
        """Return a fee: as billed, or by the agreement's rules of its kind (none: nought)."""
        if "fee_not_agreed" not in on:
            return bill.billed
        stated = _stated(bill, "fee_not_agreed", "amount")
        if stated is not None:
            return stated
        kind = FEE_KINDS.get(bill.charge.kind)
        rules = [f for f in bill.terms.fees if (f.kind == kind if kind else f.kind in _OTHER_FEES)]
        amounts = [self._zero]
        for rule in rules:
            base = self._owed_for(bill, _families_of(rule), owed)
            amount, step = fee_amount(rule, base, bill.billed, self._digits)
            self._note(bill.charge.id, step)
            amounts.append(bill.billed if amount is None else amount)
        return max(amounts)

    def interest(self, bill: Bill, on: Set[GroundCode], owed: Owed) -> Decimal:
        """Return interest: as billed, or on what is owed from the invoice to the payment."""
        if "fee_not_agreed" not in on:
            return bill.billed
        stated = _stated(bill, "fee_not_agreed", "amount")
        if stated is not None:
            return stated
        rule = bill.terms.interest
        if rule is None:
            return self._zero
        paid = self._index.agreements[bill.invoice.agreement].paid
        if paid is None:
            return bill.billed
        families = {"unit", "repair", "use", "difference", "fee"}
        overdue = self._owed_for(bill, families, owed)
        days = (paid - bill.invoice.dated).days
        amount, step = interest_amount(rule, overdue, days, self._digits)
        self._note(bill.charge.id, step)
        return amount

    def tax(self, bill: Bill, on: Set[GroundCode], owed: Owed) -> Decimal:
        """Return tax: as billed, or by the rule on what is owed of the same invoice."""
        if "tax_not_due" not in on:
            return bill.billed
        stated = _stated(bill, "tax_not_due", "amount")
        if stated is not None:
            return stated
        rule = bill.terms.tax
        if rule is None:
            return self._zero
        taxed: list[Taxed] = []
        for other in self._others(bill, {"unit", "repair", "use", "fee"}):
            taxed += _components(other, owed[other.charge.id], self._digits)
        amount, step = tax_amount(rule, taxed, self._digits)
        self._note(bill.charge.id, step)
        return amount


def _stated(bill: Bill, code: GroundCode, element: str) -> Decimal | None:
    """Return the reading that a person states with a ground, where there is one."""
    entry = bill.grounds.get(code)
    return None if entry is None else getattr(entry[0], element)


def _families_of(rule: FeeRule) -> Set[str]:
    if rule.base == "repair":
        return {"repair"}
    return {"unit", "repair"} if rule.base == "loss" else {"unit", "repair", "use", "difference"}


_COMPONENTS: dict[str, TaxComponent] = {
    "repair_labour": "labour",
    "repair_parts": "parts",
    "loss_of_use": "loss_of_use",
}


def _components(bill: Bill, owed: Decimal, digits: int) -> list[Taxed]:
    """Return an owed amount by the components that tax looks at.

    A repair billed in one line is parts and labour as its estimate or invoice has them.
    """
    if bill.family == "fee":
        return [Taxed("fees", owed)]
    if bill.charge.kind != "repair":
        return [Taxed(_COMPONENTS.get(bill.charge.kind, "replacement"), owed)]
    repair = None if bill.reckoned is None else bill.reckoned.finding.repair
    if repair is None or repair.parts + repair.labour == 0:
        return [Taxed("parts", owed)]
    weights = [Fraction(repair.parts), Fraction(repair.labour)]
    parts, labour = allocate(owed, weights, digits)
    return [Taxed("parts", parts), Taxed("labour", labour)]
