"""Charges and what a reckoning answers to them, for the tests of charges."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ldapp.claim.charges import Charge, GroundChoice
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import ChargeResult
from tests.reckoning.claims import (
    at,
    charge,
    claim,
    count,
    event,
    invoice,
    line,
    missing,
)


def ground(code: Any, **more: Any) -> GroundChoice:
    return GroundChoice(code=code, **more)


def falls(result: ChargeResult) -> dict[str, Decimal]:
    return {fall.code: fall.amount for fall in result.grounds}


def answered(*charges: Charge, **more: Any) -> list[ChargeResult]:
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=10)],
        "findings": [missing(units=2)],
        "occurrences": [event()],
        **more,
    }
    return list(reckon(claim(invoices=[invoice(*charges)], **given)).charges)


def one(the_charge: Charge, **more: Any) -> ChargeResult:
    (result,) = answered(the_charge, **more)
    return result


def units(quantity: int, amount: str, *grounds: Any, **more: Any) -> Charge:
    given = {"quantity": Decimal(quantity), "finding": "f1", **more}
    return charge("h1", amount, grounds, **given)


PICKUP = count("c1", "pickup", at(1), {"k1": 8})
RETURN = count("c2", "return", at(9), {"k1": 6})
