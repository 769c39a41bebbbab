"""Pieces, days and prices in the words of a line."""

from __future__ import annotations

from decimal import Decimal

import pytest

from ldapp.exchange.counted_words import counted_in_words


@pytest.mark.parametrize(
    ("text", "amount", "quantity", "days", "price"),
    [
        ("2 x C-stand missing @ $245.00", "490.00", "2", None, "245.00"),
        ("Loss of use, 14 days @ $40.00", "560.00", None, "14", "40.00"),
        ("Nutzungsausfall 6 Tage je 60,00", "360.00", None, "6", "60.00"),
        ("Perte d'exploitation, 7 jours à 210,00 €", "1470.00", None, "7", "210.00"),
        ("Bench time, 3.5 hours @ 90.00/hr", "315.00", "3.5", None, "90.00"),
        ("Clamps (3 × 12.00)", "36.00", "3", None, "12.00"),
        ("Frame 8 x 8", "640.00", None, None, None),
        ("Matte box 4x5.65", "300.00", None, None, None),
        ("Prime 35 mm T1.5", "900.00", None, None, None),
    ],
)
def test_what_the_words_count(
    text: str, amount: str, quantity: str | None, days: str | None, price: str | None
) -> None:
    said = counted_in_words(text, Decimal(amount), None)
    meant = tuple(None if one is None else Decimal(one) for one in (quantity, days, price))
    assert (said.quantity, said.days, said.unit_price) == meant
