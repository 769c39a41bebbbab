"""Which units of several charges on one finding are owed, and which belong to which ground.

Units lie end to end in line order, counted in whole parts of a unit so that everything
here is an integer.
"""

from __future__ import annotations

import math
from collections import defaultdict
from fractions import Fraction
from typing import NamedTuple

from ldapp.claim.grounds import GROUND_BY_CODE, GROUND_CODES, GroundCode
from ldapp.reckoning.bills import Bill

_GROUP_1_IN_ORDER = tuple(code for code in GROUND_CODES if GROUND_BY_CODE[code].group == 1)
GROUP_1: frozenset[GroundCode] = frozenset(_GROUP_1_IN_ORDER)
_COUNTED: frozenset[GroundCode] = frozenset({"never_received", "returned", "outside_custody"})
"""Grounds whose units the counts give; they lie beyond what the counts leave as missing."""


class Units(NamedTuple):
    """Which of one bill's units belong to which ground; the rest is owed."""

    by_ground: dict[GroundCode, Fraction]


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

    def use(self, code: GroundCode, bill: Bill, units: int) -> None:
        """Take units away from what later groups of charges on the line find."""
        if bill.counts is not None:
            self._used[bill.counts.line, bill.counts.part, code] += units


def lay_out(bills: list[Bill], counted: CountedUnits) -> list[Units]:
    """Return which units of each bill of one group belong to which ground."""
    scale = math.lcm(*(bill.quantity.denominator for bill in bills))
    quantities = [int(bill.quantity * scale) for bill in bills]
    billed = sum(quantities)
    owed = min(_reckoned_units(bills[0]) * scale, billed)
    beyond = billed - owed
    segments: list[tuple[GroundCode, int]] = []
    for code in _codes_in_turn(bills):
        wanted, asserted = _units_of(code, bills, quantities, scale, counted)
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
                counted.use(code, bills[0], -(-taken // scale))
    explained = owed + sum(units for _, units in segments)
    result = []
    start = 0
    for quantity in quantities:
        end = start + quantity
        by_ground: dict[GroundCode, Fraction] = {}
        position = owed
        for code, units in segments:
            inside = min(end, position + units) - max(start, position)
            if inside > 0:
                by_ground[code] = Fraction(inside, scale)
            position += units
        over = end - max(start, explained)
        if over > 0:
            alone = min(over, max(0, quantity - explained))
            if alone:
                by_ground["quantity"] = Fraction(alone, scale)
            if over - alone:
                by_ground["billed_twice"] = Fraction(over - alone, scale)
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


def _codes_in_turn(bills: list[Bill]) -> list[GroundCode]:
    """Return the group-1 grounds that may have units, those that are on before the others.

    A ground that is off must not keep units from one that is on: it would only give them back.
    """
    named: dict[GroundCode, bool] = {}
    for bill in bills:
        for code, (choice, _) in bill.grounds.items():
            if code in GROUP_1:
                named[code] = choice.on or named.get(code, False)
    off = [code for code in _GROUP_1_IN_ORDER if not named.get(code, code not in _COUNTED)]
    return [code for code in _GROUP_1_IN_ORDER if named.get(code)] + off


def _units_of(
    code: GroundCode, bills: list[Bill], quantities: list[int], scale: int, counted: CountedUnits
) -> tuple[int, bool]:
    """Return the units of a group-1 ground of these bills, and whether a person states them.

    A choice that is switched off states nothing.
    """
    naming = [n for n, bill in enumerate(bills) if code in bill.grounds]
    stated = [
        choice.quantity * scale
        for choice in (bills[n].grounds[code][0] for n in naming)
        if choice.on and choice.quantity is not None
    ]
    if stated:
        return sum(stated), True
    if code in _COUNTED:
        if _has_no_counted_units(
            bills[0], naming, any(bills[n].grounds[code][0].on for n in naming)
        ):
            return 0, False
        return counted.left(code, bills[0]) * scale, False
    return sum(quantities[n] for n in naming), True


def _has_no_counted_units(bill: Bill, naming: list[int], on: bool) -> bool:
    """Say whether the counts give a ground no units on this finding.

    What was short at pickup explains no damage unless somebody says so; and what the terms
    excuse is owed on no ground, so that one which is off has nothing to give back.
    """
    found = bill.reckoned
    if found is None:
        return False
    return (found.finding.kind == "damaged" and not naming) or (bool(found.excused) and not on)
