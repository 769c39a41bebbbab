"""The refund that an item earns which turns up after it was paid for."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence, RecoveredItem
from ldapp.claim.terms import RecoveryTerm, Terms
from ldapp.reckoning.recovery import charge_of, paid_on, refund_earned
from ldapp.reckoning.result import Step
from tests.reckoning.claims import CLAUSE, at, charge, claim, invoice, line

PAID = dt.date(2026, 4, 1)


def found(**more: Any) -> RecoveredItem:
    given: dict[str, Any] = {"id": "r1", "line": "k1", "found": dt.date(2026, 4, 5)}
    return RecoveredItem(**{**given, **more})


def settled(amount: str | None = "300", units: str = "3", **more: Any) -> Charge:
    return charge(
        "h1",
        "400",
        quantity=Decimal(units),
        line="k1",
        settled=None if amount is None else Decimal(amount),
        **more,
    )


def of(term: RecoveryTerm | None, *charges: Charge, **more: Any) -> Claim:
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=9, day_rate=Decimal(7))],
        "invoices": [invoice(*(charges or (settled(),)))],
        "agreement": {"paid": PAID, "ends": at(31)},
        **more,
    }
    return claim(terms=Terms(recovery=term), **given)


def earned(term: RecoveryTerm | None, item: RecoveredItem | None = None, **more: Any) -> Step:
    return refund_earned(of(term, **more), item or found())


FULL = RecoveryTerm(refund="full", clause=CLAUSE)
LESS_RENT = RecoveryTerm(refund="less_rent", clause=CLAUSE)


def test_nothing_is_made_up_where_the_agreement_is_silent() -> None:
    silent = earned(None)
    assert (silent.amount, silent.clause) == (None, None)
    assert silent.rule.startswith("the agreement says nothing of items that turn up")
    assert earned(FULL, found(line="k9")).rule == silent.rule
    nowhere = dataclasses.replace(of(FULL), agreements=())
    assert refund_earned(nowhere, found()).rule == silent.rule


def test_an_agreement_that_refunds_nothing() -> None:
    none = earned(RecoveryTerm(refund="none", clause=CLAUSE))
    assert (none.amount, none.clause) == (Decimal("0.00"), CLAUSE)
    assert none.rule == "the agreement refunds nothing"


@pytest.mark.parametrize(
    ("units", "back", "amount"),
    [("3", 1, "100.00"), ("3", 2, "200.00"), ("3", 5, "300.00"), ("0", 1, "300.00")],
)
def test_what_was_settled_is_shared_over_the_units_charged(
    units: str, back: int, amount: str
) -> None:
    step = refund_earned(of(FULL, settled(units=units)), found(quantity=back))
    assert (step.amount, step.clause) == (Decimal(amount), CLAUSE)
    assert step.rule == "settled × found ÷ charged"


def test_the_refund_is_rounded_and_never_below_nought() -> None:
    assert refund_earned(of(FULL, settled("100")), found()).amount == Decimal("33.33")
    assert refund_earned(of(FULL, settled("-5")), found()).amount == Decimal("0.00")


def test_without_a_settled_amount_there_is_no_figure() -> None:
    unsettled = refund_earned(of(FULL, settled(None)), found())
    assert unsettled.amount is None
    assert unsettled.rule.startswith("no settled amount is recorded")
    assert refund_earned(of(FULL, settled(kind="freight")), found()).amount is None


@pytest.mark.parametrize(
    ("returned", "amount"),
    [(None, "100.00"), (dt.date(2026, 4, 8), "100.00"), (dt.date(2026, 4, 9), "0.00")],
)
def test_the_days_run_from_the_payment_to_the_return(returned: dt.date | None, amount: str) -> None:
    term = RecoveryTerm(refund="full", within_days=7, clause=CLAUSE)
    step = earned(term, found(returned=returned))
    assert (step.amount, step.clause) == (Decimal(amount), CLAUSE)
    given = {one.name: one.value for one in step.inputs}
    assert given["paid on"] == "2026-04-01"
    assert given["days allowed"] == "7"
    if amount == "0.00":
        assert step.rule == "came back after the agreed days"


def test_days_without_a_payment_give_no_figure() -> None:
    step = earned(
        RecoveryTerm(refund="full", within_days=7, clause=CLAUSE), agreement={"ends": at(31)}
    )
    assert (step.amount, step.clause) == (None, CLAUSE)
    assert step.rule == "the days run from the payment, and no payment is recorded"
    # Without a number of days no payment is needed.
    assert earned(FULL, agreement={"ends": at(31)}).amount == Decimal("100.00")


def test_rent_is_taken_off_until_the_day_it_was_found() -> None:
    step = earned(LESS_RENT, found(quantity=2))
    # 31 March to 5 April are five days; 2 × 7 a day.
    assert step.amount == Decimal("130.00")
    given = {one.name: one.value for one in step.inputs}
    assert (given["rent days"], given["rent"]) == ("5", "70.00")
    assert step.rule.endswith("less rent from the end of the rental to the day found")
    early = earned(LESS_RENT, found(found=dt.date(2026, 3, 30)))
    assert early.amount == Decimal("100.00")
    long = earned(LESS_RENT, found(found=dt.date(2026, 12, 1)))
    assert long.amount == Decimal("0.00")


def test_rent_that_cannot_be_counted_gives_no_figure() -> None:
    unpriced = earned(LESS_RENT, kit=[line(price="100", quantity=9)])
    assert (unpriced.amount, unpriced.clause) == (None, CLAUSE)
    assert (
        unpriced.rule == "rent is to be taken off, and the day rate of the kit line is not recorded"
    )
    endless = earned(LESS_RENT, agreement={"paid": PAID})
    assert endless.rule == "rent is to be taken off, and the end of the rental is not recorded"


def test_the_charge_it_was_paid_with() -> None:
    bills = of(FULL, settled(), charge("h2", "5", line="k1", kind="freight"))
    first, second = bills.invoices[0].charges
    assert charge_of(bills, found()) == first
    assert charge_of(bills, found(invoice="i1", charge="h2")) == second
    assert charge_of(bills, found(invoice="i1", charge="h9")) is None
    assert charge_of(bills, found(invoice="i2", charge="h2")) is None
    assert charge_of(bills, found(line="k2")) is None
    revised = dataclasses.replace(
        bills,
        invoices=(
            *bills.invoices,
            invoice(charge("h7", "9", line="k1"), id="i2", number="2", revises="i1"),
        ),
    )
    now = charge_of(revised, found())
    assert now is not None
    assert now.id == "h7"


def test_the_first_payment_counts() -> None:
    def letter(number: int, **more: Any) -> Correspondence:
        given: dict[str, Any] = {
            "id": str(number), "at": at(number), "direction": "sent", "channel": "post",
            "subject": "Payment", "paid": Decimal(1),
        }  # fmt: skip
        return Correspondence(**{**given, **more})

    letters = (
        letter(20, agreement="a"),
        letter(19),
        letter(18, direction="received"),
        letter(17, paid=None),
        letter(16, agreement="b"),
    )
    known = of(FULL, agreement={"paid": None, "ends": at(31)}, correspondence=letters)
    assert paid_on(known, "a") == dt.date(2026, 3, 19)
    assert paid_on(of(FULL), "a") == PAID
    assert paid_on(of(FULL), "b") is None
    # The day is that of the claim's zone.
    west = dataclasses.replace(
        known, zone="America/Los_Angeles", correspondence=(letter(19, at=at(19, 3)),)
    )
    assert paid_on(west, "a") == dt.date(2026, 3, 18)
