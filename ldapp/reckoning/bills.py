"""Charges in their place: what each bills, on which finding, and which units are which.

Several charges on one finding lie end to end in line order: the first units are owed as
reckoned, the next belong to the grounds of group 1, what lies beyond is a matter of quantity
or billed twice.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections import defaultdict
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Literal, NamedTuple

from ldapp.claim.charges import Charge, ChargeKind, GroundChoice, Invoice
from ldapp.claim.grounds import GROUND_BY_CODE, GROUND_CODES, GroundCode
from ldapp.claim.kit import KitLine
from ldapp.claim.terms import Terms
from ldapp.reckoning.findings import LineKey, Reckoned
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.money import ZERO, round_half_up
from ldapp.reckoning.result import LineCounts
from ldapp.reckoning.support import BearsOn, Strength, strength
from ldapp.reckoning.valuation import UnitFacts, ValueRules, agreement_rules

Family = Literal["unit", "repair", "use", "fee", "interest", "tax", "difference"]

_FAMILIES: dict[ChargeKind, Family] = {
    "repair": "repair",
    "repair_labour": "repair",
    "repair_parts": "repair",
    "loss_of_use": "use",
    "cleaning": "fee",
    "repack": "fee",
    "freight": "fee",
    "administration": "fee",
    "fee": "fee",
    "interest": "interest",
    "tax": "tax",
    "difference_in_addition": "difference",
}

_GROUP_1_IN_ORDER = tuple(code for code in GROUND_CODES if GROUND_BY_CODE[code].group == 1)
GROUP_1: frozenset[GroundCode] = frozenset(_GROUP_1_IN_ORDER)
_COUNTED: frozenset[GroundCode] = frozenset({"never_received", "returned", "outside_custody"})
"""Grounds whose units the counts give; they lie beyond what the counts leave as missing."""


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """One charge with what it bears on.  ``billed`` is rounded to the minor unit."""

    invoice: Invoice
    charge: Charge
    family: Family
    billed: Decimal
    quantity: Fraction
    line: KitLine | None
    reckoned: Reckoned | None
    counts: LineCounts | None
    terms: Terms
    rules: ValueRules
    facts: UnitFacts | None
    grounds: Mapping[GroundCode, tuple[GroundChoice, Strength]]

    @property
    def group(self) -> str:
        """Return the finding, line or charge whose units this bill shares."""
        if self.reckoned is not None:
            return f"finding {self.reckoned.finding.id}"
        return f"line {self.line.id}" if self.line else f"charge {self.charge.id}"


class Units(NamedTuple):
    """Which of one bill's units belong to which ground; the rest is owed."""

    by_ground: dict[GroundCode, Fraction]


def is_credit(charge: Charge) -> bool:
    """Say whether a line is an offset rather than a charge."""
    return charge.kind == "credit" or charge.amount < 0


def gather(
    index: ClaimIndex,
    reckoned: Mapping[str, Reckoned],
    counts: Mapping[LineKey, LineCounts],
    standings: Mapping[str, str],
) -> list[Bill]:
    """Return the charges of all invoices in force, by invoice date, number and line."""
    charged = {c.finding for i in index.claim.invoices for c in i.charges if c.finding}
    no_line = ValueRules(None, None)
    bills = []
    for invoice in index.ordered_invoices:
        if invoice.id in index.replaced_by:
            continue
        terms = index.agreements[invoice.agreement].terms
        for charge in index.charges_of(invoice):
            if is_credit(charge):
                continue
            found = _finding_of(index, charge, reckoned, charged)
            line = index.lines.get(charge.line or "") if found is None else found.line
            line_terms = terms if line is None else index.terms_of(line)
            line_counts = None
            facts = None
            rules = no_line
            if found is not None:
                line_counts, rules, facts = found.counts, found.rules, found.facts
            elif line is not None:
                line_counts = counts[line.id, None]
                rules = agreement_rules(line_terms, line)
                facts = UnitFacts(line, None, None, _gone_on(index, line_counts))
            bears_on = BearsOn(
                invoice.agreement if line is None else line.agreement,
                line_terms,
                rules,
                None if line is None else line.id,
                line_counts,
            )
            family = _FAMILIES.get(charge.kind, "unit")
            bills.append(
                Bill(
                    invoice=invoice,
                    charge=charge,
                    family=family,
                    billed=round_half_up(charge.amount, index.digits),
                    quantity=Fraction(charge.quantity) if charge.quantity > 0 else Fraction(1),
                    line=line,
                    reckoned=found,
                    counts=line_counts,
                    terms=line_terms,
                    rules=rules,
                    facts=facts,
                    grounds={
                        choice.code: (
                            choice,
                            strength(index, charge, choice, bears_on, standings),
                        )
                        for choice in charge.grounds
                    },
                )
            )
    return bills


def _gone_on(index: ClaimIndex, counts: LineCounts) -> dt.date | None:
    """Return the day by which the missing units of a line without a finding were gone."""
    gone = [bracket.gone.at for bracket in counts.brackets if bracket.gone.at is not None]
    return max(gone).astimezone(index.zone).date() if gone else None


def _finding_of(
    index: ClaimIndex,
    charge: Charge,
    reckoned: Mapping[str, Reckoned],
    charged: set[str],
) -> Reckoned | None:
    """Return the finding that a charge bears on.

    Its own, else the line's first fitting finding that no charge names.
    """
    if charge.finding is not None:
        return reckoned.get(charge.finding)
    findings = index.findings_by_line.get(charge.line or "", [])
    wanted = "damaged" if _FAMILIES.get(charge.kind) == "repair" else "missing"
    fitting = [f for f in findings if f.kind == wanted] or [
        f for f in findings if f.kind in ("missing", "damaged")
    ]
    chosen = next((f for f in fitting if f.id not in charged), fitting[0] if fitting else None)
    return None if chosen is None else reckoned[chosen.id]


def group_bills(bills: list[Bill], family: Family) -> list[list[Bill]]:
    """Return the bills of a family that share a finding, line or charge, in line order."""
    groups: dict[str, list[Bill]] = defaultdict(list)
    for bill in bills:
        if bill.family == family:
            groups[bill.group].append(bill)
    return list(groups.values())


class CountedUnits:
    """The units of lines that the counts give to grounds: each is used once.

    They are there whether or not anybody chose the ground; one that is not in force gives
    its units back to what is owed.
    """

    def __init__(self) -> None:
        self._used: dict[tuple[str, str | None, GroundCode], int] = defaultdict(int)

    def left(self, code: GroundCode, bill: Bill) -> int:
        """Return how many units of ``code`` no earlier group of charges has used."""
        counts = bill.counts
        if code == "outside_custody" and bill.reckoned is not None:
            return bill.reckoned.outside
        if counts is None:
            return 0
        if code == "outside_custody":
            return counts.outside_custody
        # A unit that was not seen at pickup and is back was never missing: no ground needs it.
        units = max(0, counts.short_at_pickup - (counts.over or 0))
        if code == "returned":
            units = counts.returned_early + counts.missing_after_return
        return units - self._used[counts.line, counts.part, code]

    def use(self, code: GroundCode, bill: Bill, units: Fraction) -> None:
        """Take units away from what later groups of charges on the line find."""
        if bill.counts is not None:
            self._used[bill.counts.line, bill.counts.part, code] += math.ceil(units)


def lay_out(bills: list[Bill], counted: CountedUnits) -> list[Units]:
    """Return which units of each bill of one group belong to which ground."""
    owed = Fraction(_reckoned_units(bills[0]))
    billed = sum((bill.quantity for bill in bills), ZERO)
    owed = min(owed, billed)
    beyond = billed - owed
    segments: list[tuple[GroundCode, Fraction]] = []
    # A ground that is off must not keep units from one that is on: it would only give them back.
    for code in sorted(_GROUP_1_IN_ORDER, key=lambda code: not _is_on(code, bills)):
        wanted, asserted = _units_of(code, bills, counted)
        taken = min(wanted, beyond)
        beyond -= taken
        if asserted:
            # What a person states against units that the counts show takes them too.
            more = min(wanted - taken, owed)
            owed -= more
            taken += more
        if taken:
            segments.append((code, taken))
            if code in _COUNTED:
                counted.use(code, bills[0], taken)
    explained = owed + sum((units for _, units in segments), ZERO)
    result = []
    start = ZERO
    for bill in bills:
        end = start + bill.quantity
        by_ground: dict[GroundCode, Fraction] = {}
        position = owed
        for code, units in segments:
            inside = min(end, position + units) - max(start, position)
            if inside > 0:
                by_ground[code] = inside
            position += units
        over = end - max(start, explained)
        if over > 0:
            alone = min(over, max(ZERO, bill.quantity - explained))
            if alone:
                by_ground["quantity"] = alone
            if over - alone:
                by_ground["billed_twice"] = over - alone
        result.append(Units(by_ground))
        start = end
    return result


def _reckoned_units(bill: Bill) -> int:
    """Return the units of the finding, or those the counts show where nobody entered one.

    Where no count covers the return, any unit that was received may be the one billed: what
    was not counted is no shortage of nought.
    """
    if bill.reckoned is not None:
        return bill.reckoned.quantity
    if bill.counts is None:
        return 0
    if bill.counts.missing is None:
        return max(0, bill.counts.expected)
    return bill.counts.missing - bill.counts.outside_custody


def _is_on(code: GroundCode, bills: list[Bill]) -> bool:
    return any(code in bill.grounds and bill.grounds[code][0].on for bill in bills)


def _units_of(code: GroundCode, bills: list[Bill], counted: CountedUnits) -> tuple[Fraction, bool]:
    """Return the units of a group-1 ground of these bills, and whether a person states them.

    A choice that is switched off states nothing.
    """
    naming = [bill for bill in bills if code in bill.grounds]
    stated = [
        Fraction(choice.quantity)
        for choice in (bill.grounds[code][0] for bill in naming)
        if choice.on and choice.quantity is not None
    ]
    if stated:
        return sum(stated, ZERO), True
    if code in _COUNTED:
        found = bills[0].reckoned
        if naming or found is None or found.finding.kind != "damaged":
            return Fraction(counted.left(code, bills[0])), False
        return ZERO, False
    return sum((bill.quantity for bill in naming), ZERO), True
