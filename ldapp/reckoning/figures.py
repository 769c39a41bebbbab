"""Exact numbers as they are printed in a working."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from ldapp.language import SOURCE_LANGUAGE, language, said
from ldapp.local_forms import local_number


def percent_text(rate: Fraction) -> str:
    """Say a rate as a percentage: ``37.5 %``; one without an end ``83.33 % (exactly 5/6)``."""
    return _percent_in(language(), rate)


@lru_cache(maxsize=4096)
def _percent_in(spoken: str, rate: Fraction) -> str:
    """Say a rate in the language spoken now, which is part of the key."""
    exact = number_text(rate * 100)
    if "/" not in exact:
        return f"{local_number(exact)} %"
    hundredths = Fraction(math.floor(rate * 10000 + Fraction(1, 2)), 100)
    return said("{percent} % (exactly {rate})", percent=said_number(hundredths), rate=rate)


def said_number(number: Fraction | Decimal | int) -> str:
    """Write a number exactly within a sentence, with the local sign of decimals."""
    return local_number(number_text(number))


def said_amount(amount: Decimal) -> str:
    """Write an amount within a sentence; in other languages than English it is grouped."""
    return f"{amount:f}" if language() == SOURCE_LANGUAGE else local_number(f"{amount:,f}")


def number_text(number: Fraction | Decimal | int) -> str:
    """Write a number exactly: as a decimal where that ends, else as a fraction ``11/60``.

    It is the same in all languages; :func:`said_number` gives it the local sign.
    """
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
