"""Charges that nobody has weighed are weak points before an answer concedes them."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.charges import Charge
from ldapp.claim.policy import PolicyTerms
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import charge, claim, invoice, line

TODAY = dt.date(2026, 11, 25)


def points(*charges: Charge, **more: Any) -> list[WeakPoint]:
    made = claim(kit=[line("k1", "100", quantity=10)], invoices=[invoice(*charges)], **more)
    found = find_weak_points(made, reckon(made), {}, TODAY)
    return [one for one in found if one.code in ("nothing_weighed", "wrong_sum_not_answered")]


def billed(amount: str, *grounds: str, **more: Any) -> Charge:
    given = {"quantity": Decimal(2), "unit_price": Decimal(100), "line": "k1", **more}
    return charge("h1", amount, grounds, **given)


def test_an_invoice_that_nobody_weighed() -> None:
    (one,) = points(billed("200"))
    assert (one.code, one.gravity) == ("nothing_weighed", "weak")
    assert one.place.key == "h1"
    (insured,) = points(billed("200"), policy=PolicyTerms())
    assert insured.gravity == "note"
    assert points(billed("200", "quantity")) == []
    assert points(billed("200", open_until_documented=True)) == []
    assert points() == []


def test_a_wrong_product_that_nobody_answered() -> None:
    (_, wrong) = points(billed("230"))
    assert wrong.code == "wrong_sum_not_answered"
    assert "2 × 100.00 is 200.00, billed is 230.00" in wrong.says
    assert points(billed("230", "arithmetic")) == []
    assert [one.code for one in points(billed("190", "quantity"))] == []
    assert [one.code for one in points(billed("600", "quantity", days=Decimal(3)))] == []
