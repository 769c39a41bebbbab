"""Charges: readings, grounds in their order, falls, the strong run."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, Movement
from ldapp.claim.documents import Document
from ldapp.claim.findings import Finding, Repair
from ldapp.claim.kit import Part
from ldapp.claim.terms import (
    CustodyEnd,
    DepositTerm,
    FeeRule,
    Interest,
    LessorsDiscount,
    LossOfUse,
    PairOrSet,
    Provision,
    RentCredit,
    RepairDecision,
    Salvage,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationDate,
    ValuationRule,
    ValueCeiling,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import ChargeResult, Reckoning
from tests.reckoning.claims import (
    CASH_VALUE,
    CLAUSE,
    REPLACEMENT,
    at,
    charge,
    claim,
    count,
    damaged,
    event,
    invoice,
    line,
    missing,
    photo,
    straight_line,
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


# --- units --------------------------------------------------------------------------------


def test_without_grounds_the_billed_amount_is_owed() -> None:
    found = one(units(3, "300"))
    assert (found.billed, found.owed, found.disputed) == (Decimal(300), Decimal(300), Decimal(0))
    assert found.answer == "not_disputed"
    assert found.our_reading == Decimal(200)


def test_quantity_above_what_is_missing() -> None:
    found = one(units(3, "300", "quantity"))
    assert falls(found) == {"quantity": Decimal(100)}
    assert found.answer == "disputed"


def test_a_ground_that_is_switched_off_leaves_the_billed_reading() -> None:
    found = one(units(3, "300", ground("quantity", on=False)))
    assert (found.owed, found.grounds) == (Decimal(300), ())


def test_grounds_of_group_one_take_the_units_that_the_counts_give_them() -> None:
    # Listed 10, received 8, back 6: two missing. Five billed: two are owed, two were never
    # received, the fifth is a matter of quantity.
    found = one(
        units(5, "500", "never_received", "quantity"),
        counts=[PICKUP, RETURN],
    )
    assert falls(found) == {"never_received": Decimal(200), "quantity": Decimal(100)}


def test_a_group_one_ground_that_is_off_gives_its_units_back() -> None:
    found = one(
        units(5, "500", ground("never_received", on=False), "quantity"), counts=[PICKUP, RETURN]
    )
    assert falls(found) == {"quantity": Decimal(100)}
    assert found.owed == Decimal(400)


def test_units_that_the_counts_explain_are_no_matter_of_quantity() -> None:
    # Five billed: two missing, two never received, which nobody has objected to yet.
    found = one(units(5, "500", "quantity"), counts=[PICKUP, RETURN])
    assert falls(found) == {"quantity": Decimal(100)}


def test_counted_units_are_used_once_for_a_line() -> None:
    two = [missing("f1", units=1), missing("f2", units=1)]
    first, second = answered(
        units(3, "300", "never_received", "quantity"),
        charge("h2", "300", ["never_received", "quantity"], quantity=Decimal(3), finding="f2"),
        counts=[PICKUP, RETURN],
        findings=two,
    )
    assert falls(first) == {"never_received": Decimal(200), "quantity": Decimal(0)}
    assert falls(second) == {"never_received": Decimal(0), "quantity": Decimal(200)}


def test_what_was_short_at_pickup_explains_no_damage() -> None:
    hurt = damaged(beyond_repair=True)
    found = one(
        units(3, "300", "quantity", kind="replacement"), counts=[PICKUP, RETURN], findings=[hurt]
    )
    assert falls(found) == {"quantity": Decimal(200)}


def test_returned_units_by_ticket_and_after_the_return_count() -> None:
    counts = [
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "return", at(9), {"k1": 7}),
        count("c3", "check_in", at(10), {"k1": 5}),
    ]
    early = Movement(id="m1", kind="returned_early", line="k1", quantity=1, at=at(5))
    found = one(units(5, "500", "returned"), counts=counts, movements=[early])
    # Expected 9: two are missing; one went back early, two after the return count.
    assert falls(found) == {"returned": Decimal(300)}
    assert found.owed == Decimal(200)


def test_what_a_person_states_takes_reckoned_units_too() -> None:
    assert falls(one(units(2, "200", ground("other_owner", quantity=1)))) == {
        "other_owner": Decimal(100)
    }
    assert one(units(2, "200", "prior_damage")).owed == Decimal(0)
    assert one(units(2, "200", ground("returned", quantity=1))).owed == Decimal(100)


def test_units_outside_custody() -> None:
    terms = Terms(valuation=REPLACEMENT, custody_end=CustodyEnd(event="handed_over", clause=CLAUSE))
    counts = [
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "return", at(9), {}),
        count("c3", "during", at(10), {"k1": 10}),
        count("c4", "check_in", at(12), {"k1": 8}),
    ]
    found = one(
        units(2, "200", "outside_custody"),
        counts=counts,
        terms=terms,
        findings=[missing(units=2, occurrence=None)],
    )
    assert falls(found) == {"outside_custody": Decimal(200)}
    assert found.grounds[0].strong
    by_line = one(
        charge("h1", "200", ["outside_custody"], quantity=Decimal(2), line="k1"),
        counts=counts,
        terms=terms,
        findings=[],
    )
    assert by_line.owed == Decimal(0)


def test_several_charges_on_one_finding_lie_end_to_end() -> None:
    first, second = answered(
        units(2, "200", "quantity", "billed_twice"),
        charge("h2", "100", ["quantity", "billed_twice"], quantity=Decimal(1), finding="f1"),
    )
    assert first.owed == Decimal(200)
    assert falls(second) == {"quantity": Decimal(0), "billed_twice": Decimal(100)}


def test_one_line_alone_above_the_number_is_quantity_not_billed_twice() -> None:
    first, second = answered(
        units(1, "100", "quantity", "billed_twice"),
        charge("h2", "400", ["quantity", "billed_twice"], quantity=Decimal(4), finding="f1"),
    )
    assert first.owed == Decimal(100)
    assert falls(second) == {"quantity": Decimal(200), "billed_twice": Decimal(100)}


def test_a_ground_of_one_charge_holds_for_its_units_on_a_sister_charge() -> None:
    first, second = answered(
        units(2, "200", "never_received"),
        charge("h2", "200", quantity=Decimal(2), finding="f1"),
        counts=[PICKUP, RETURN],
    )
    assert first.owed == Decimal(200)
    assert falls(second) == {"never_received": Decimal(200)}
    off = ground("never_received", on=False)
    _, kept = answered(
        units(2, "200", "never_received"),
        charge("h2", "200", [off], quantity=Decimal(2), finding="f1"),
        counts=[PICKUP, RETURN],
    )
    assert kept.owed == Decimal(200)


def test_charges_stand_by_invoice_date_number_and_line() -> None:
    early = invoice(
        charge("h9", "100", ["billed_twice"], number="10", finding="f1", quantity=Decimal(1)),
        charge("h8", "100", ["billed_twice"], number="2", finding="f1", quantity=Decimal(1)),
        id="i2",
        dated=dt.date(2026, 3, 1),
    )
    late = invoice(charge("h1", "100", ["billed_twice"], finding="f1", quantity=Decimal(1)))
    of = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[late, early],
    )
    assert [(c.charge, c.owed) for c in reckon(of).charges] == [
        ("h8", Decimal(100)),
        ("h9", Decimal(100)),
        ("h1", Decimal(0)),
    ]


def test_a_charge_without_a_quantity_is_one_unit() -> None:
    found = one(units(0, "50", "valuation_date"), kit=[line(price="40", quantity=10)])
    assert found.owed == Decimal(40)


def test_a_stated_quantity_is_our_reading() -> None:
    assert one(units(3, "300", ground("quantity", quantity=1))).owed == Decimal(100)


def test_a_charge_finds_the_lines_finding_by_itself() -> None:
    by_line = charge("h1", "300", ["quantity"], quantity=Decimal(3), line="k1")
    assert one(by_line).finding == "f1"
    assert one(by_line).owed == Decimal(200)
    both = [missing("f1", units=2), damaged("f2", repair=Repair(parts=Decimal(10), document="d"))]
    repair = charge("h1", "10", kind="repair", line="k1")
    assert one(repair, findings=both).finding == "f2"
    named = charge("h1", "10", line="k1", kind="missing")
    assert one(named, findings=[both[1]]).finding == "f2"


def test_what_the_counts_show_is_owed_even_before_a_finding_is_entered() -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    codes = ("never_received", "quantity", "depreciation")
    bill = charge("h1", "500", codes, quantity=Decimal(5), line="k1")
    given: dict[str, Any] = {"findings": [], "counts": [PICKUP, RETURN], "terms": terms}
    kit = [line(price="100", quantity=10, acquired=dt.date(2023, 9, 9))]
    found = one(bill, kit=kit, **given)
    # Two are missing, gone by the return count of 9 March 2026: 30 of 60 months.
    assert falls(found) == {
        "never_received": Decimal(200),
        "quantity": Decimal(100),
        "depreciation": Decimal(100),
    }
    untimed = [count("c2", "return", None, {"k1": 8})]
    undated = one(bill, kit=kit, findings=[], counts=untimed, terms=terms)
    assert falls(undated) == {
        "never_received": Decimal(0),
        "quantity": Decimal(300),
        "depreciation": Decimal(0),
    }
    assert one(bill, kit=kit, findings=[], terms=terms).owed == Decimal(0)


def test_a_counted_ground_on_a_charge_without_a_line_has_no_units() -> None:
    assert one(charge("h1", "80", ["never_received"]), findings=[]).owed == Decimal(80)


def test_a_charge_without_a_line_rests_on_no_count_but_where_it_matches_nothing() -> None:
    found = one(charge("h1", "80", ["quantity"]), counts=[RETURN], findings=[])
    assert not found.grounds[0].strong
    assert found.grounds[0].rests_on == ()


def test_a_charge_that_matches_nothing() -> None:
    stray = charge("h1", "80", ["unexplained_charge"])
    found = one(stray)
    assert (found.owed, found.finding, found.grounds[0].strong) == (Decimal(0), None, False)
    beside_a_count = one(stray, counts=[RETURN])
    assert beside_a_count.grounds[0].strong
    unsigned = count("c2", "return", at(9), {"k1": 6}, "one_side")
    assert not one(stray, counts=[unsigned]).grounds[0].strong
    on_line = charge("h1", "80", ["unexplained_charge"], line="k1")
    assert one(on_line, counts=[RETURN], findings=[]).grounds[0].strong


# --- price --------------------------------------------------------------------------------


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


def test_salvage_is_credited() -> None:
    wreck = damaged(units=2, beyond_repair=True, salvage=Decimal(30))
    terms = Terms(valuation=REPLACEMENT, salvage=Salvage(kept_by="lessor", clause=CLAUSE))
    found = one(
        units(2, "200", "salvage_credit", kind="replacement"), findings=[wreck], terms=terms
    )
    assert found.owed == Decimal(140)
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


# --- repair -------------------------------------------------------------------------------


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


# --- loss of use --------------------------------------------------------------------------


def use(*grounds: Any, term: LossOfUse | None, amount: str = "900", **more: Any) -> ChargeResult:
    facts = more.pop("facts", {})
    repair = Repair(
        parts=Decimal(5),
        document="d",
        out_of_service_from=dt.date(2026, 3, 10),
        out_of_service_until=dt.date(2026, 3, 20),
    )
    given = {"days": Decimal(30), **more}
    return one(
        charge("h1", amount, grounds, kind="loss_of_use", finding="f1", **given),
        findings=[damaged(repair=repair, **facts)],
        kit=[line(price="400", day_rate=Decimal(20))],
        terms=Terms(valuation=REPLACEMENT, loss_of_use=term),
    )


def test_loss_of_use_readings_one_by_one() -> None:
    term = LossOfUse(billed_days_per_week=Fraction(3), cap_days=Fraction(8), clause=CLAUSE)
    assert use(term=term).owed == Decimal(900)
    # Thirty days at 30 are billed; ten days by the dates.
    assert use("loss_of_use_days", term=term).owed == Decimal(300)
    # The agreed rate: 4 weeks of 3 days and 2 days, at 20.
    assert use("loss_of_use_rate", term=term).owed == Decimal(280)
    assert use("loss_of_use_cap", term=term).owed == Decimal(240)
    # Ten days: one week of 3 and the rest, at most 3, at 20.
    both = use("loss_of_use_days", "loss_of_use_rate", term=term)
    assert both.owed == Decimal(120)
    found = use("loss_of_use_days", "loss_of_use_cap", "loss_of_use_rate", term=term)
    assert found.owed == Decimal(80)
    assert found.our_reading == Decimal(80)


def test_rent_already_paid_comes_off_the_days_first() -> None:
    term = LossOfUse(cap_days=Fraction(8))
    found = use(
        "loss_of_use_days",
        "loss_of_use_cap",
        "rent_already_paid",
        term=term,
        facts={"rent_paid_days": Decimal(4)},
    )
    assert found.owed == Decimal(180)
    not_counted = LossOfUse(rent_paid_counts=False)
    kept = use("rent_already_paid", term=not_counted, facts={"rent_paid_days": Decimal(4)})
    assert kept.owed == Decimal(900)
    stated = use(ground("rent_already_paid", days=Decimal(10)), term=LossOfUse())
    assert stated.owed == Decimal(600)


def test_the_agreed_rate_is_for_each_unit() -> None:
    found = use("loss_of_use_rate", term=LossOfUse(), quantity=Decimal(3), amount="5000")
    assert found.owed == Decimal(1800)


def test_caps_in_money() -> None:
    assert use("loss_of_use_cap", term=LossOfUse(cap_amount=Decimal(350))).owed == Decimal(350)
    half = LossOfUse(cap_share_of_value=Fraction(1, 2))
    assert use("loss_of_use_cap", term=half).owed == Decimal(200)


def test_stated_days_and_rate() -> None:
    term = LossOfUse(rate_share=Fraction(1, 2), discount=Fraction(1, 10))
    assert use(ground("loss_of_use_days", days=Decimal(3)), term=term).owed == Decimal(90)
    assert use(ground("loss_of_use_rate", rate=Decimal(10)), term=term).owed == Decimal(135)


def test_days_follow_from_the_agreed_rate_where_the_invoice_states_none() -> None:
    found = use("loss_of_use_days", term=LossOfUse(), days=None)
    assert found.owed == Decimal(200)
    unpriced = one(
        charge("h1", "900", ["loss_of_use_rate", "loss_of_use_days"], kind="loss_of_use"),
        terms=Terms(valuation=REPLACEMENT, loss_of_use=LossOfUse()),
    )
    assert unpriced.owed == Decimal(900)


def test_not_out_of_service_and_no_proof() -> None:
    assert use("not_out_of_service", term=LossOfUse()).owed == Decimal(0)
    strict = LossOfUse(proof_required=True, clause=CLAUSE)
    assert use("loss_of_use_unproved", term=strict).owed == Decimal(0)
    assert use("loss_of_use_unproved", term=LossOfUse()).owed == Decimal(900)
    proved = use("loss_of_use_unproved", term=strict, facts={"lost_rental_proved": True})
    assert proved.owed == Decimal(900)


def test_loss_of_use_for_damaged_items_only() -> None:
    term = LossOfUse(applies_to="damaged", clause=CLAUSE)
    lost = one(
        charge("h1", "900", ["loss_of_use_days"], kind="loss_of_use", finding="f1"),
        terms=Terms(valuation=REPLACEMENT, loss_of_use=term),
    )
    assert lost.owed == Decimal(0)
    assert use("loss_of_use_days", term=term).owed == Decimal(300)


def test_loss_of_use_from_the_check_in() -> None:
    term = LossOfUse(starts="check_in", ends_when_lost="paid")
    found = one(
        charge(
            "h1", "900", ["loss_of_use_days"], kind="loss_of_use", finding="f1", days=Decimal(30)
        ),
        terms=Terms(valuation=REPLACEMENT, loss_of_use=term),
        counts=[count("c9", "check_in", at(11), {"k1": 8})],
        agreement={"paid": dt.date(2026, 3, 21)},
    )
    assert found.owed == Decimal(300)


def test_loss_of_use_that_was_never_agreed() -> None:
    assert use("fee_not_agreed", term=None).owed == Decimal(0)
    assert use("loss_of_use_days", term=None).owed == Decimal(900)


# --- fees, interest, tax ------------------------------------------------------------------


def fee(
    *rules: FeeRule, kind: Any = "administration", stated: str | None = None, amount: str = "90"
) -> Decimal:
    choice = ground("fee_not_agreed", amount=None if stated is None else Decimal(stated))
    charges = answered(
        units(2, "200"),
        charge("h2", amount, [choice], kind=kind),
        terms=Terms(valuation=REPLACEMENT, fees=rules),
    )
    return charges[1].owed


def test_fees_by_the_agreement() -> None:
    flat = FeeRule(kind="administration", form="flat", amount=Decimal(25))
    assert fee(flat) == Decimal(25)
    assert fee() == Decimal(0)
    assert fee(stated="12") == Decimal(12)
    percentage = FeeRule(
        kind="administration",
        form="percentage",
        rate=Fraction(1, 10),
        minimum=Decimal(15),
        maximum=Decimal(22),
    )
    assert fee(percentage) == Decimal(20)
    documented = FeeRule(kind="cleaning", form="as_documented")
    assert fee(documented, kind="cleaning") == Decimal(90)
    invoice_base = FeeRule(kind="other", form="percentage", rate=Fraction(1, 4), base="invoice")
    assert fee(invoice_base, kind="fee") == Decimal(50)
    no_repair = FeeRule(kind="other", form="percentage", rate=Fraction(1, 4), base="repair")
    assert fee(no_repair, kind="fee") == Decimal(0)
    assert fee(kind="freight") == Decimal(0)


@pytest.mark.parametrize(("base", "owed"), [("loss", "30"), ("repair", "10"), ("invoice", "36")])
def test_what_a_percentage_fee_is_of(base: Any, owed: str) -> None:
    rule = FeeRule(kind="administration", form="percentage", rate=Fraction(1, 10), base=base)
    charges = answered(
        units(2, "200"),
        charge("h2", "100", kind="repair", finding="f2"),
        charge("h3", "60", kind="loss_of_use", finding="f2"),
        charge("h4", "25", kind="cleaning"),
        charge("h5", "999", ["fee_not_agreed"], kind="administration"),
        kit=[line(price="100", quantity=10), line("k2", "900")],
        findings=[missing(units=2), damaged("f2", on="k2")],
        terms=Terms(valuation=REPLACEMENT, fees=(rule,)),
    )
    assert charges[4].owed == Decimal(owed)


def test_a_fee_is_owed_as_billed_without_its_ground() -> None:
    charges = answered(units(2, "200"), charge("h2", "90", kind="cleaning"))
    assert charges[1].owed == Decimal(90)


def interest(rule: Interest | None, paid: dt.date | None, *grounds: Any) -> Decimal:
    charges = answered(
        units(2, "10000"),
        charge("h2", "999", grounds, kind="interest"),
        terms=Terms(valuation=REPLACEMENT, interest=rule),
        agreement={"paid": paid},
    )
    return charges[1].owed


def test_interest_on_what_is_not_disputed() -> None:
    # TIM-11: 8 % a year on 10,000.00 for 45 days is 98.63 (Colorado, rule seen).
    rule = Interest(yearly_rate=Fraction("0.08"))
    late = dt.date(2026, 3, 20) + dt.timedelta(days=45)
    assert interest(rule, late, "fee_not_agreed") == Decimal("98.63")
    grace = Interest(yearly_rate=Fraction("0.08"), after_days=30)
    assert interest(grace, late, "fee_not_agreed") == Decimal("32.88")
    assert interest(rule, None, "fee_not_agreed") == Decimal(999)
    assert interest(None, late, "fee_not_agreed") == Decimal(0)
    assert interest(rule, late) == Decimal(999)
    assert interest(rule, late, ground("fee_not_agreed", amount=Decimal(5))) == Decimal(5)


def tax(*grounds: Any, rule: TaxRule | None, lost: Charge | None = None) -> ChargeResult:
    hurt = damaged("f2", on="k2", repair=Repair(parts=Decimal(60), labour=Decimal(40)))
    charges = answered(
        lost or units(2, "200"),
        charge("h2", "100", kind="repair", finding="f2"),
        charge("h3", "50", kind="cleaning"),
        charge("h4", "77", grounds, kind="tax"),
        kit=[line(price="100", quantity=10), line("k2", "900")],
        findings=[missing(units=2), hurt],
        terms=Terms(valuation=REPLACEMENT, tax=rule),
    )
    return charges[3]


def taxed(*components: Any, **more: Any) -> TaxRule:
    return TaxRule(
        rates=(Fraction("0.06"), Fraction("0.04")),
        components=tuple(TaxComponentRule(component=c, taxable=True) for c in components),
        **more,
    )


def test_tax_by_component_at_the_combined_rate() -> None:
    assert tax(rule=taxed("replacement")).owed == Decimal(77)
    assert tax("tax_not_due", rule=taxed("replacement")).owed == Decimal(20)
    assert tax("tax_not_due", rule=taxed("replacement", "labour")).owed == Decimal(24)
    assert tax("tax_not_due", rule=taxed("parts", "fees")).owed == Decimal(11)
    assert tax("tax_not_due", rule=None).owed == Decimal(0)
    assert tax(ground("tax_not_due", amount=Decimal(7)), rule=None).owed == Decimal(7)
    per_line = taxed("replacement", "parts", rounded="per_line")
    assert tax("tax_not_due", rule=per_line).owed == Decimal(26)


def test_tax_follows_what_is_owed() -> None:
    less = tax("tax_not_due", rule=taxed("replacement"), lost=units(3, "300", "quantity"))
    assert less.owed == Decimal(20)


def test_tax_on_a_repair_whose_make_up_is_unknown_is_on_parts() -> None:
    charges = answered(
        charge("h1", "100", kind="repair", finding="f1"),
        charge("h2", "50", ["tax_not_due"], kind="tax"),
        findings=[damaged()],
        terms=Terms(valuation=REPLACEMENT, tax=taxed("parts")),
    )
    assert charges[1].owed == Decimal(10)


def test_a_group_one_ground_strikes_fees_interest_and_tax() -> None:
    for kind in ("cleaning", "interest", "tax"):
        charges = answered(units(2, "200"), charge("h2", "90", ["other_owner"], kind=kind))
        assert charges[1].owed == Decimal(0)


def test_a_difference_in_addition() -> None:
    charges = answered(
        units(2, "200"), charge("h2", "9", ["arithmetic"], kind="difference_in_addition")
    )
    assert charges[1].owed == Decimal(0)


# --- credits, totals, answers -------------------------------------------------------------


def whole(*charges: Charge, **more: Any) -> Reckoning:
    of: Claim = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[invoice(*charges, **more)],
    )
    return reckon(of)


def test_credits_are_offsets_and_no_charges() -> None:
    found = whole(
        units(2, "200"),
        charge("h2", "-30", kind="other"),
        charge("h3", "5", kind="credit"),
        gross=Decimal(175),
    )
    assert [c.charge for c in found.charges] == ["h1"]
    assert found.totals.offsets == Decimal(25)
    assert found.totals.owed == Decimal(200)
    assert found.totals.to_pay_to_lessors == Decimal(175)


def paid_after(terms: Terms) -> tuple[Decimal, Decimal]:
    of = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[invoice(units(2, "200"))],
        terms=terms,
    )
    totals = reckon(of).totals
    assert totals.owed == Decimal(200)
    return totals.offsets, totals.to_pay_to_lessors


def test_deposit_and_rent_that_counts_are_offsets() -> None:
    def rent(rule: Any, amount: str | None) -> Terms:
        paid = None if amount is None else Decimal(amount)
        return Terms(valuation=REPLACEMENT, rent_credit=RentCredit(rule=rule, amount=paid))

    assert paid_after(rent("deducted", "30")) == (Decimal(30), Decimal(170))
    assert paid_after(rent("deducted", "300")) == (Decimal(200), Decimal(0))
    assert paid_after(rent("deducted", None)) == (Decimal(0), Decimal(200))
    assert paid_after(rent("not_deducted", "30")) == (Decimal(0), Decimal(200))
    held = DepositTerm(form="held", amount=Decimal(250))
    assert paid_after(Terms(valuation=REPLACEMENT, deposit=held)) == (Decimal(250), Decimal(-50))
    rent_first = DepositTerm(form="held", amount=Decimal(250), set_off="rent_first")
    assert paid_after(Terms(valuation=REPLACEMENT, deposit=rent_first))[0] == Decimal(0)
    unknown = DepositTerm(form="held")
    assert paid_after(Terms(valuation=REPLACEMENT, deposit=unknown))[0] == Decimal(0)


def test_never_more_than_the_printed_total() -> None:
    found = whole(units(2, "200"), gross=Decimal(180))
    assert found.totals.to_pay_to_lessors == Decimal(180)
    (result,) = found.invoices
    assert result.difference == Decimal(-20)
    assert any(o.code == "printed_total_differs" for o in found.observations)


def test_tax_in_the_footer_that_no_line_carries_is_said() -> None:
    found = whole(units(2, "200"), net=Decimal(200), tax=Decimal(16), gross=Decimal(216))
    assert found.invoices[0].difference == Decimal(0)
    assert any(o.code == "tax_without_charge" for o in found.observations)


def test_a_revised_invoice_is_answered_by_its_revision() -> None:
    old = invoice(units(3, "300"), id="i1")
    new = invoice(
        charge("h9", "200", finding="f1", quantity=Decimal(2)),
        id="i2",
        number="1b",
        revises="i1",
        dated=dt.date(2026, 4, 1),
    )
    of = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[old, new],
    )
    found = reckon(of)
    assert [c.charge for c in found.charges] == ["h9"]
    assert found.invoices[0].replaced_by == "i2"
    assert found.totals.to_pay_to_lessors == Decimal(200)


def test_open_until_documented() -> None:
    assert one(units(2, "200", open_until_documented=True)).answer == "open_until_documented"


# --- strength -----------------------------------------------------------------------------


def strong(*grounds: Any, papers: tuple[Document, ...] = (), **more: Any) -> bool:
    standings = more.pop("standings", {})
    pictures = tuple(more.pop("pictures", ()))
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=10)],
        "findings": [missing(units=2)],
        "occurrences": [event()],
        **more,
    }
    of = claim(
        invoices=[invoice(units(5, "500", *grounds))], documents=papers, photos=pictures, **given
    )
    result = reckon(of, standings).charges[0]
    fall = result.grounds[0]
    assert (result.strong.owed < result.billed) is (fall.strong and fall.amount > 0)
    return fall.strong


def pickup(acknowledgement: str, **more: Any) -> list[Count]:
    return [count("c1", "pickup", at(1), {"k1": 8}, acknowledgement, **more), RETURN]


def test_a_ground_rests_on_the_count_behind_it() -> None:
    assert strong("never_received", counts=pickup("signed_by_both"))
    assert not strong("never_received", counts=pickup("one_side"))
    assert not strong("never_received", counts=pickup("on_company_ticket"))
    assert strong(
        "never_received", counts=pickup("on_company_ticket", acknowledged_by="the counter")
    )
    # Quantity rests on both counts where the pickup count was short.
    assert strong("quantity", counts=pickup("signed_by_both"))
    assert not strong("quantity", counts=pickup("none"))


def test_a_signed_document_a_backed_photo_or_a_named_count_is_strong() -> None:
    signed = Document(id="d1", title="ticket 7", signed_by_other_side=True)
    plain = Document(id="d2", title="our note")
    other = ground("other_owner", documents=("d1",))
    assert strong(other, papers=(signed,))
    assert not strong(ground("other_owner", documents=("d2",)), papers=(plain,))
    assert not strong(ground("other_owner", documents=("d9",)))
    shown = ground("other_owner", photos=("p1",))
    assert strong(shown, pictures=[photo("p1")], standings={"p1": "corrected"})
    assert not strong(shown, pictures=[photo("p1")], standings={"p1": "camera_only"})
    assert not strong(shown, pictures=[photo("p1")])
    # A photo that is not in the claim supports nothing, whatever is said of it.
    assert not strong(shown, standings={"p1": "corrected"})
    assert strong(ground("other_owner", counts=("c2",)), counts=[RETURN])
    assert not strong(ground("other_owner", counts=("c9",)), counts=[RETURN])


def test_a_ground_that_needs_a_clause_and_a_fact_needs_both() -> None:
    terms = Terms(valuation=REPLACEMENT, wear_excepted=Provision(applies=True, clause=CLAUSE))
    assert not strong("ordinary_wear", terms=terms)
    assert not strong(ground("ordinary_wear", counts=("c2",)), counts=[RETURN])
    assert strong(ground("ordinary_wear", counts=("c2",)), counts=[RETURN], terms=terms)
    assert strong(ground("ordinary_wear", counts=("c2",), clause="4"), counts=[RETURN])


def test_a_term_that_is_not_stated_is_weak_and_says_so() -> None:
    found = one(units(2, "200", ground("valuation_date", amount=Decimal(50))), terms=Terms())
    (fall,) = found.grounds
    assert not fall.strong
    assert fall.not_stated
    assert found.strong.owed == Decimal(200)
    cited = one(
        units(2, "200", ground("valuation_date", amount=Decimal(50), clause="5.1")), terms=Terms()
    )
    assert cited.grounds[0].strong
    assert cited.grounds[0].rests_on == ("clause 5.1",)
    assert cited.strong.disputed == Decimal(100)
    named = ground("valuation_date", amount=Decimal(50), clause="Clause 5.1")
    said = one(units(2, "200", named), terms=Terms()).grounds[0]
    assert said.rests_on == ("Clause 5.1",)


def test_the_strong_run_is_no_sum_of_listed_falls() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        repair_decision=RepairDecision(rule="lesser"),
        pair_or_set=PairOrSet(rule="part_only", clause=CLAUSE),
    )
    weak = ground("valuation_date", amount=Decimal(60))
    found = one(
        units(2, "200", weak, "depreciation"),
        terms=terms,
        kit=[line(price="100", quantity=10, age_months=30)],
    )
    assert falls(found) == {"valuation_date": Decimal(80), "depreciation": Decimal(20)}
    # Alone, depreciation takes more than its fall behind the weak ground.
    assert found.strong.disputed == Decimal(100)


def test_a_short_finding_is_not_owed_even_if_it_is_charged() -> None:
    short = Finding(id="f1", line="k1", kind="short_at_pickup", quantity=2)
    found = one(units(2, "200", "never_received"), findings=[short], counts=[PICKUP])
    assert (found.owed, found.our_reading) == (Decimal(0), Decimal(0))
