"""Exact money: half-up rounding to a currency's minor unit, and shares that sum.

Amounts are ``Decimal`` in one currency; what is not yet rounded is a ``Fraction``.
The number of decimals of each currency is that of ISO 4217.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

_NO_DECIMALS = frozenset(
    (
        *("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG"),
        *("RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF"),
    )
)
_THREE_DECIMALS = frozenset(["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"])
_FOUR_DECIMALS = frozenset(["CLF", "UYW"])

ZERO = Fraction(0)


def minor_digits(currency: str) -> int:
    """Return how many decimals the minor unit of ``currency`` (ISO 4217) has."""
    if currency in _NO_DECIMALS:
        return 0
    if currency in _THREE_DECIMALS:
        return 3
    if currency in _FOUR_DECIMALS:
        return 4
    return 2


_UNITS = tuple(Decimal(1).scaleb(-digits) for digits in range(5))
_WIDE = Context(prec=200, rounding=ROUND_HALF_UP)


def round_half_up(amount: Fraction | Decimal | int, digits: int) -> Decimal:
    """Round to ``digits`` decimals (0 to 4), an exact half away from zero: signs mirror."""
    if not isinstance(amount, Fraction):
        return _WIDE.quantize(Decimal(amount), _UNITS[digits])
    numerator, denominator = amount.as_integer_ratio()
    units = (2 * abs(numerator) * 10**digits + denominator) // (2 * denominator)
    return minor_to_money(units if numerator >= 0 else -units, digits)


def round_up(amount: Fraction, digits: int) -> Decimal:
    """Round an amount that is not negative up to the minor unit: a cap that loses nothing."""
    units = -((-amount.numerator * 10**digits) // amount.denominator)
    return minor_to_money(units, digits)


def minor_to_money(units: int, digits: int) -> Decimal:
    """Return ``units`` of the minor unit as an amount with ``digits`` decimals."""
    return Decimal(units).scaleb(-digits)


def money_to_minor(amount: Decimal, digits: int) -> int:
    """Return a rounded amount as a whole number of minor units."""
    return int(amount.scaleb(digits))


def allocate(total: Decimal, weights: Sequence[Fraction], digits: int) -> tuple[Decimal, ...]:
    """Split ``total`` by ``weights`` so that the shares sum to it exactly.

    Largest remainder: each share is cut down to the minor unit, and what is left goes
    out one minor unit at a time to the largest cut-off remainders, ties to the one that
    stands first.  Where all weights are nought the first share takes all.
    """
    if not weights:
        return ()
    units = money_to_minor(total, digits)
    sign, units = (-1, -units) if units < 0 else (1, units)
    # Weights over one denominator are whole numbers, and so is everything that follows.
    scale = math.lcm(*(weight.denominator for weight in weights))
    parts = [weight.numerator * (scale // weight.denominator) for weight in weights]
    whole = sum(parts)
    if whole == 0:
        return tuple(
            minor_to_money(sign * units if index == 0 else 0, digits)
            for index in range(len(weights))
        )
    shares = [units * part // whole for part in parts]
    remainders = [units * part % whole for part in parts]
    left = units - sum(shares)
    by_remainder = sorted(range(len(parts)), key=lambda i: (-remainders[i], i))
    for index in by_remainder[:left]:
        shares[index] += 1
    return tuple(minor_to_money(sign * share, digits) for share in shares)


def allocate_capped(
    total: Decimal, weights: Sequence[Fraction], caps: Sequence[Decimal], digits: int
) -> tuple[Decimal, ...]:
    """Split ``total`` as :func:`allocate` does, no share above its cap.

    What a cap cuts off goes to the shares that still have room, by the same weights.
    The caps must together hold the total.
    """
    shares = [Decimal(0)] * len(weights)
    open_ones = list(range(len(weights)))
    left = total
    while open_ones and left > 0:
        given = allocate(left, [weights[i] for i in open_ones], digits)
        if all(weights[i] == 0 for i in open_ones):
            given = allocate(left, [Fraction(caps[i] - shares[i]) for i in open_ones], digits)
        full = []
        for index, share in zip(open_ones, given, strict=True):
            room = caps[index] - shares[index]
            taken = min(share, room)
            shares[index] += taken
            left -= taken
            if taken == room:
                full.append(index)
        open_ones = [index for index in open_ones if index not in full]
    zero = minor_to_money(0, digits)
    return tuple(share + zero for share in shares)
