"""Units of charges: quantity, grounds of group 1, billed twice."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from ldapp.claim.counts import Count, Movement
from ldapp.claim.findings import Repair
from ldapp.claim.terms import (
    CustodyEnd,
    Terms,
)
from ldapp.reckoning.engine import reckon
from tests.reckoning.answers import (
    PICKUP,
    RETURN,
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
    at,
    charge,
    claim,
    count,
    damaged,
    event,
    invoice,
    line,
    missing,
    straight_line,
)


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


def test_what_no_count_covers_is_no_shortage_of_nought() -> None:
    bill = charge("h1", "500", ["never_received", "quantity"], quantity=Decimal(5), line="k1")

    def owed(listed: int, counts: list[Count]) -> Decimal:
        kit = [line(price="100", quantity=listed)]
        return one(
            bill, kit=kit, findings=[], counts=counts, terms=Terms(valuation=REPLACEMENT)
        ).owed

    assert owed(10, []) == Decimal(500)
    assert owed(4, []) == Decimal(400)
    # One of four was short at pickup; the fifth is more than was ever on the list.
    assert owed(4, [count("p", "pickup", at(2), {"k1": 3})]) == Decimal(300)
    assert owed(4, [count("p", "pickup", at(2), {"k1": 0})]) == Decimal(0)


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
