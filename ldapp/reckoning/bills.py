"""Charges in their place: what each bills, on which finding, and which units are which.

Several charges on one finding lie end to end in line order: the first units are owed as
reckoned, the next belong to the grounds of group 1, what lies beyond is a matter of quantity
or billed twice (``ldapp.reckoning.units``).
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from ldapp.claim.charges import Charge, ChargeKind, GroundChoice, Invoice
from ldapp.claim.grounds import GroundCode
from ldapp.claim.kit import KitLine
from ldapp.claim.terms import Terms
from ldapp.reckoning.findings import LineKey, Reckoned
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.money import round_half_up
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


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """One charge with what it bears on.  ``billed`` is rounded to the minor unit.

    ``quantity`` counts units; ``days`` are those of a loss of use, None where none are stated.
    """

    invoice: Invoice
    charge: Charge
    family: Family
    billed: Decimal
    quantity: Fraction
    days: Fraction | None
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
            quantity, days = _units_and_days(charge, found, line)
            bills.append(
                Bill(
                    invoice=invoice,
                    charge=charge,
                    family=family,
                    billed=round_half_up(charge.amount, index.digits),
                    quantity=quantity,
                    days=days,
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


def _units_and_days(
    charge: Charge, found: Reckoned | None, line: KitLine | None
) -> tuple[Fraction, Fraction | None]:
    """Return the units and the days that a charge bills.

    Many an invoice writes the days of a loss of use into its column of quantities.  Where one
    unit was out of service they can be nothing else (common practice, no source).
    """
    quantity = Fraction(charge.quantity) if charge.quantity > 0 else Fraction(1)
    days = Fraction(charge.days) if charge.days else None
    if charge.kind == "loss_of_use" and days is None and quantity != 1:
        units = line.quantity if line is not None else None
        if found is not None:
            units = found.finding.quantity
        if units == 1:
            return Fraction(1), quantity
    return quantity, days


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
