"""The whole working of a refund for an item that turned up, word by word."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.charges import ChargeKind
from ldapp.claim.claim import Claim
from ldapp.claim.documents import RecoveredItem
from ldapp.claim.terms import RecoveryTerm, Terms
from ldapp.reckoning.recovery import charge_of, refund_earned
from ldapp.reckoning.result import Step
from tests.reckoning.claims import CLAUSE, at, charge, claim, invoice, line

LABEL = "Refund for an item that turned up"
FOUND = RecoveredItem(
    id="r1", line="k1", found=dt.date(2026, 4, 5), returned=dt.date(2026, 4, 6), quantity=2
)
PAID = dt.date(2026, 4, 1)
GIVEN = [
    ("settled", "300"),
    ("units charged", "3"),
    ("units found", "2"),
    ("paid on", "2026-04-01"),
    ("back on", "2026-04-06"),
]


def of(refund: Any, settled: str | None = "300", units: str = "3", **more: Any) -> Claim:
    within = more.pop("within", None)
    term = refund and RecoveryTerm(refund=refund, within_days=within, clause=CLAUSE)
    paid_with = charge(
        "h1",
        "400",
        quantity=Decimal(units),
        line="k1",
        settled=None if settled is None else Decimal(settled),
    )
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=9, day_rate=Decimal(7))],
        "agreement": {"paid": PAID, "ends": at(31)},
        **more,
    }
    return claim(terms=Terms(recovery=term), invoices=[invoice(paid_with)], **given)


def told(of: Claim) -> tuple[Step, list[tuple[str, str]]]:
    step = refund_earned(of, FOUND)
    assert step.label == LABEL
    return step, [(one.name, one.value) for one in step.inputs]


def test_silence_is_said_in_a_whole_sentence() -> None:
    silent = (
        "the agreement says nothing of items that turn up: "
        "a refund is asked for, not owed by a clause"
    )
    step, given = told(of(None))
    assert (step.rule, step.amount, step.clause, given) == (silent, None, None, [])
    elsewhere = dataclasses.replace(of("full"), kit=(line("k2", "100"),))
    assert told(elsewhere)[0].rule == silent
    nowhere = dataclasses.replace(of("full"), agreements=())
    assert told(nowhere)[0].rule == silent


@pytest.mark.parametrize(
    ("refund", "more", "rule", "amount", "inputs"),
    [
        ("none", {}, "the agreement refunds nothing", "0.00", []),
        (
            "full", {"settled": None},
            "no settled amount is recorded for the charge that it was paid with", None, [],
        ),
        ("full", {}, "settled × found ÷ charged", "200.00", GIVEN),
        (
            "full", {"within": 4}, "came back after the agreed days", "0.00",
            [*GIVEN, ("days allowed", "4")],
        ),
        (
            "full", {"within": 5}, "settled × found ÷ charged", "200.00",
            [*GIVEN, ("days allowed", "5")],
        ),
        (
            "full", {"within": 5, "agreement": {"ends": at(31)}},
            "the days run from the payment, and no payment is recorded", None,
            [*GIVEN[:3], GIVEN[4], ("days allowed", "5")],
        ),
        (
            "less_rent", {"agreement": {"paid": PAID}},
            "rent is to be taken off, and the end of the rental is not recorded", None, GIVEN,
        ),
        (
            "less_rent", {"kit": [line(price="100", quantity=9)]},
            "rent is to be taken off, and the day rate of the kit line is not recorded", None,
            GIVEN,
        ),
        # 31 March to 5 April: five days, of two units at 7 a day.
        (
            "less_rent", {},
            "settled × found ÷ charged, less rent from the end of the rental to the day found",
            "130.00", [*GIVEN, ("rent days", "5"), ("day rate", "7"), ("rent", "70.00")],
        ),
    ],
)  # fmt: skip
def test_a_refund_names_its_rule_its_numbers_and_its_clause(
    refund: str, more: Any, rule: str, amount: str | None, inputs: list[tuple[str, str]]
) -> None:
    step, given = told(of(refund, **more))
    assert (step.rule, step.clause) == (rule, CLAUSE)
    assert step.amount == (None if amount is None else Decimal(amount))
    assert given == inputs


@pytest.mark.parametrize(
    ("currency", "refund", "nought"), [("JPY", "67", "0"), ("USD", "66.67", "0.00"),
                                       ("KWD", "66.667", "0.000")],
)  # fmt: skip
def test_a_refund_has_the_decimals_of_its_currency(currency: str, refund: str, nought: str) -> None:
    step = refund_earned(of("full", settled="100", currency=currency), FOUND)
    assert step.result == refund
    assert refund_earned(of("none", currency=currency), FOUND).result == nought
    late = refund_earned(of("full", within=1, currency=currency), FOUND)
    assert late.result == nought


def test_a_part_of_a_unit_that_was_charged_is_refunded_once() -> None:
    # Half a set was charged with 50; more than that cannot come back for it.
    assert refund_earned(of("full", settled="50", units="0.5"), FOUND).amount == Decimal(50)
    one = dataclasses.replace(FOUND, quantity=1)
    assert refund_earned(of("full", settled="90", units="1.5"), one).amount == Decimal(60)
    assert refund_earned(of("full", settled="90", units="1"), one).amount == Decimal(90)


@pytest.mark.parametrize(
    ("kind", "counts"),
    [("missing", True), ("replacement", True), ("other", True), ("repair", False),
     ("cleaning", False)],
)  # fmt: skip
def test_which_charges_pay_for_an_item(kind: ChargeKind, counts: bool) -> None:
    paid_with = charge("h1", "400", line="k1", kind=kind)
    of_line = claim(kit=[line(price="100")], invoices=[invoice(paid_with)])
    assert charge_of(of_line, FOUND) == (paid_with if counts else None)
