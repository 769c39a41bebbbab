"""Prices of charges: basis, date, depreciation, ceilings, repair, salvage."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

import pytest

from ldapp.claim.findings import Repair
from ldapp.claim.kit import DatedPrice, Part
from ldapp.claim.terms import (
    LessorsDiscount,
    Provision,
    Salvage,
    Terms,
    ValuationDate,
    ValuationRule,
    ValueCeiling,
)
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import ChargeResult
from tests.reckoning.answers import (
    answered,
    falls,
    ground,
    one,
    units,
)
from tests.reckoning.claims import (
    CASH_VALUE,
    CLAUSE,
    REPLACEMENT,
    charge,
    claim,
    damaged,
    line,
    missing,
    straight_line,
)


def priced(amount: str, *grounds: Any, terms: Terms, **line_facts: Any) -> ChargeResult:
    kit = [line(price="100", quantity=10, **line_facts)]
    return one(units(2, amount, *grounds), terms=terms, kit=kit)


def test_each_price_ground_takes_its_own_fall_in_order() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        valuation_date=ValuationDate(event="loss", clause=CLAUSE),
        lessors_discount=LessorsDiscount(rate=Fraction(1, 10), clause=CLAUSE),
    )
    found = priced(
        "240",
        "lessors_discount",
        "depreciation",
        "valuation_date",
        terms=terms,
        age_months=30,
    )
    # 120 billed each; 100 on the day; half of it depreciated; a tenth of the rest.
    assert falls(found) == {
        "valuation_date": Decimal(40),
        "depreciation": Decimal(100),
        "lessors_discount": Decimal(10),
    }
    assert found.owed == Decimal(90)
    assert [fall.code for fall in found.grounds] == [
        "valuation_date",
        "depreciation",
        "lessors_discount",
    ]


def test_the_discount_alone_leaves_depreciation_out() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        lessors_discount=LessorsDiscount(rate=Fraction(1, 10), clause=CLAUSE),
    )
    assert priced("200", "lessors_discount", terms=terms, age_months=30).owed == Decimal(180)
    silent = Terms(lessors_discount=LessorsDiscount(rate=Fraction(1, 10)))
    assert priced("200", "lessors_discount", terms=silent).owed == Decimal(180)
    both = ("value_basis", "lessors_discount")
    assert priced("200", *both, terms=terms, age_months=30).owed == Decimal(90)


def test_a_ground_that_would_raise_the_figure_takes_nothing() -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    found = priced("80", "depreciation", terms=terms, age_months=30)
    assert falls(found) == {"depreciation": Decimal(0)}
    assert found.owed == Decimal(80)


def test_a_ground_without_its_facts_takes_nothing() -> None:
    found = priced("200", "depreciation", "value_basis", "salvage_credit", terms=Terms())
    assert found.owed == Decimal(200)
    stray = charge("h1", "200", ["depreciation", "schedule_exceeded", "repair_cheaper"])
    assert one(stray).owed == Decimal(200)


def test_a_stated_unit_value_is_our_reading() -> None:
    found = priced("200", ground("valuation_date", amount=Decimal(70)), terms=Terms())
    assert found.owed == Decimal(140)


@pytest.mark.parametrize(
    ("terms", "owed"),
    [
        (Terms(valuation=ValuationRule(bases=("scheduled_value",), clause=CLAUSE)), "160"),
        (Terms(valuation=REPLACEMENT, ceiling=ValueCeiling(amount=Decimal(70))), "140"),
        (
            Terms(
                valuation=REPLACEMENT,
                ceiling=ValueCeiling(share_of_replacement=Fraction(3, 5), clause=CLAUSE),
            ),
            "120",
        ),
        (Terms(valuation=REPLACEMENT), "200"),
    ],
)
def test_schedule_or_ceiling_exceeded(terms: Terms, owed: str) -> None:
    found = priced("200", "schedule_exceeded", terms=terms, scheduled_value=Decimal(80))
    assert found.owed == Decimal(owed)


def test_another_basis_is_agreed() -> None:
    terms = Terms(valuation=ValuationRule(bases=("scheduled_value",), clause=CLAUSE))
    found = priced("200", "value_basis", terms=terms, scheduled_value=Decimal(80))
    assert found.owed == Decimal(160)
    assert found.grounds[0].strong


def test_a_set_billed_for_a_part() -> None:
    kit = [
        line(
            price="100",
            quantity=10,
            parts=(Part(id="arm", description="arm", replacement_cost=Decimal(15)),),
        )
    ]
    found = one(units(1, "100", "set_billed_for_part"), kit=kit, findings=[missing(part="arm")])
    assert found.owed == Decimal(15)
    whole = one(units(1, "100", "set_billed_for_part"), kit=kit, findings=[missing()])
    assert whole.owed == Decimal(100)


def test_replacement_billed_where_a_repair_is_cheaper() -> None:
    hurt = damaged(units=2, repair=Repair(parts=Decimal(50), document="d"))
    found = one(units(2, "200", "repair_cheaper", kind="replacement"), findings=[hurt])
    assert found.owed == Decimal(50)
    assert found.our_reading == Decimal(50)
    undone = one(units(2, "200", "repair_cheaper", kind="replacement"), findings=[damaged(units=2)])
    assert undone.owed == Decimal(200)


KEEPERS: tuple[Literal["renter", "insurer"], ...] = ("renter", "insurer")
"""Who keeps a wreck so that the lessor gets nothing for it."""


def test_salvage_is_credited() -> None:
    wreck = damaged(units=2, beyond_repair=True, salvage=Decimal(30))
    terms = Terms(valuation=REPLACEMENT, salvage=Salvage(kept_by="lessor", clause=CLAUSE))
    found = one(
        units(2, "200", "salvage_credit", kind="replacement"), findings=[wreck], terms=terms
    )
    assert found.owed == Decimal(140)
    for keeper in KEEPERS:
        others = Terms(valuation=REPLACEMENT, salvage=Salvage(kept_by=keeper, clause=CLAUSE))
        kept = one(
            units(2, "200", "salvage_credit", kind="replacement"), findings=[wreck], terms=others
        )
        assert kept.owed == Decimal(200)
    dear = damaged(units=2, beyond_repair=True, salvage=Decimal(150))
    nothing = one(
        units(2, "200", "salvage_credit", kind="replacement"), findings=[dear], terms=terms
    )
    assert nothing.owed == Decimal(0)
    unknown = one(
        units(2, "200", "salvage_credit", kind="replacement"), findings=[wreck], terms=Terms()
    )
    assert unknown.owed == Decimal(200)


def test_arithmetic_on_units() -> None:
    found = one(units(2, "230", "arithmetic", unit_price=Decimal(100)))
    assert falls(found) == {"arithmetic": Decimal(30)}
    assert found.grounds[0].strong
    assert one(units(2, "230", "arithmetic")).owed == Decimal(230)
    stated = one(units(2, "230", ground("arithmetic", amount=Decimal(210))))
    assert stated.owed == Decimal(210)
    twice = one(units(2, "200", ground("billed_twice", amount=Decimal(50))))
    assert twice.owed == Decimal(50)


def repair_bills(*grounds: Any, terms: Terms | None = None, **repair: Any) -> list[ChargeResult]:
    costs = {"parts": Decimal(60), "labour": Decimal(30), "document": "d", **repair}
    hurt = damaged(repair=Repair(**costs))
    return answered(
        charge("h1", "80", grounds, kind="repair_parts", finding="f1"),
        charge("h2", "40", grounds, kind="repair_labour", finding="f1"),
        findings=[hurt],
        kit=[line(price="100", age_months=30)],
        terms=terms,
    )


def test_repair_above_our_estimate_is_shared_in_money() -> None:
    parts, labour = repair_bills("repair_cheaper")
    assert (parts.owed, labour.owed) == (Decimal(60), Decimal(30))
    assert (parts.our_reading, labour.our_reading) == (Decimal(60), Decimal(30))


def test_repair_above_the_value() -> None:
    parts, labour = repair_bills("schedule_exceeded")
    assert parts.owed + labour.owed == Decimal(100)
    assert (parts.owed, labour.owed) == (Decimal("66.67"), Decimal("33.33"))


def test_an_undocumented_repair_is_held() -> None:
    assert [c.owed for c in repair_bills("repair_undocumented", document=None)] == [0, 0]
    assert [c.owed for c in repair_bills("repair_undocumented")] == [80, 40]
    stated = ground("repair_undocumented", amount=Decimal(12))
    assert sum(c.owed for c in repair_bills(stated)) == Decimal(12)


def test_betterment_comes_off_the_repair() -> None:
    terms = Terms(
        valuation=REPLACEMENT,
        betterment=Provision(applies=True, clause=CLAUSE),
        depreciation=straight_line(60),
    )
    parts, labour = repair_bills("betterment", terms=terms)
    # Half of 60 in parts: 30 + 30 are left, shared by what is billed.
    assert (parts.owed, labour.owed) == (Decimal(40), Decimal(20))


def test_repair_grounds_without_a_finding_take_nothing_but_undocumented_does() -> None:
    bare = charge("h1", "80", ["repair_cheaper", "betterment", "schedule_exceeded"], kind="repair")
    assert one(bare, findings=[]).owed == Decimal(80)
    assert one(bare, findings=[]).our_reading is None
    open_one = charge("h1", "80", ["repair_undocumented"], kind="repair")
    assert one(open_one, findings=[]).owed == Decimal(0)
    unknown = charge("h1", "80", kind="repair", finding="f1")
    assert one(unknown, findings=[damaged()]).our_reading is None


def test_group_one_strikes_a_repair_whole_or_to_what_is_stated() -> None:
    worn = charge("h1", "80", ["ordinary_wear"], kind="repair", finding="f1")
    hurt = [damaged(repair=Repair(parts=Decimal(80), document="d"))]
    assert one(worn, findings=hurt).owed == Decimal(0)
    partly = charge(
        "h1", "80", [ground("ordinary_wear", amount=Decimal(30))], kind="repair", finding="f1"
    )
    assert one(partly, findings=hurt).owed == Decimal(30)
    sum_wrong = charge(
        "h1", "80", ["arithmetic"], kind="repair", finding="f1", unit_price=Decimal(70)
    )
    assert one(sum_wrong, findings=hurt).owed == Decimal(70)
    no_price = charge("h1", "80", ["arithmetic"], kind="repair", finding="f1")
    assert one(no_price, findings=hurt).owed == Decimal(80)


def test_a_part_is_worth_its_price_on_the_valuation_date() -> None:
    arm = Part(
        id="arm",
        description="Arm",
        replacement_cost=Decimal(40),
        prices=(
            DatedPrice(event="delivery", price=Decimal(30)),
            DatedPrice(event="loss", price=Decimal(36)),
        ),
    )

    def worth(event_name: Any) -> Decimal | None:
        date = None if event_name is None else ValuationDate(event=event_name, clause=CLAUSE)
        of = claim(
            kit=[
                line(
                    price="100", parts=(arm,), prices=(DatedPrice(event="loss", price=Decimal(1)),)
                )
            ],
            findings=[missing(part="arm", occurrence=None)],
            terms=Terms(valuation=REPLACEMENT, valuation_date=date),
        )
        (found,) = reckon(of).findings
        return found.unit_value

    assert worth("delivery") == Decimal(30)
    assert worth("loss") == Decimal(36)
    # No price of that day is documented, or the agreement names none.
    assert worth("invoice") == Decimal(40)
    assert worth(None) == Decimal(40)


def test_a_price_of_a_part_cannot_be_negative() -> None:
    arm = Part(id="arm", description="Arm", prices=(DatedPrice(event="loss", price=Decimal(-1)),))
    faults = check_terms(claim(kit=[line(price="1", parts=(arm,))]))
    assert [fault.place for fault in faults] == ["kit[0].parts[0].prices[0].price"]


def test_the_discount_stands_where_depreciation_cannot_be_computed() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        lessors_discount=LessorsDiscount(rate=Fraction(1, 10), clause=CLAUSE),
    )
    found = priced("200", "depreciation", "lessors_discount", terms=terms)
    # No age is known: a ground more must not leave more owed than the discount alone.
    assert falls(found) == {"depreciation": Decimal(0), "lessors_discount": Decimal(20)}
    assert found.strong.owed == Decimal(180)
