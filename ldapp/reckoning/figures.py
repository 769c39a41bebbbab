"""Exact numbers as they are printed in a working."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache


@lru_cache(maxsize=4096)
def percent_text(rate: Fraction) -> str:
    """Write a rate as a percentage: ``37.5 %``; one without an end ``83.33 % (exactly 5/6)``."""
    exact = number_text(rate * 100)
    if "/" not in exact:
        return f"{exact} %"
    hundredths = math.floor(rate * 10000 + Fraction(1, 2))
    return f"{number_text(Fraction(hundredths, 100))} % (exactly {rate})"


def number_text(number: Fraction | Decimal | int) -> str:
    """Write a number exactly: as a decimal where that ends, else as a fraction ``11/60``."""
    numerator, denominator = number.as_integer_ratio()
    if denominator == 1:
        return str(numerator)
    digits = _decimals(denominator)
    if digits is None:
        return f"{numerator}/{denominator}"
    text = str(abs(numerator) * 10**digits // denominator).rjust(digits + 1, "0")
    whole = f"{text[:-digits]}.{text[-digits:]}"
    return f"-{whole}" if numerator < 0 else whole


def _decimals(denominator: int) -> int | None:
    """Return how many decimals a fraction in lowest terms has, or None where they never end."""
    twos = fives = 0
    while denominator % 2 == 0:
        denominator //= 2
        twos += 1
    while denominator % 5 == 0:
        denominator //= 5
        fives += 1
    return max(twos, fives) if denominator == 1 else None
