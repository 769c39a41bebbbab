"""Which units, days, events and grounds a charge bears on, worked out by hand."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.agreement import Agreement
from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Movement
from ldapp.claim.findings import Repair
from ldapp.claim.terms import LossOfUse, TaxComponentRule, TaxRule, Terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import ChargeResult, OccurrenceResult
from tests.reckoning.answers import ground
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


def answers(*charges: Charge, **more: Any) -> dict[str, ChargeResult]:
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=10)],
        "occurrences": [event()],
        **more,
    }
    return {one.charge: one for one in reckon(claim(invoices=[invoice(*charges)], **given)).charges}


def falls(answer: ChargeResult) -> dict[str, Decimal]:
    return {one.code: one.amount for one in answer.grounds if one.amount}


def units(identity: str, quantity: str, *grounds: Any, **more: Any) -> Charge:
    amount = str(Decimal(quantity) * 100)
    return charge(
        identity, amount, grounds, **{"finding": "f1", "quantity": Decimal(quantity), **more}
    )


# --- which units ------------------------------------------------------------------------------


def test_units_that_were_never_received_are_used_once_over_three_findings() -> None:
    found = answers(
        units("h1", "2", "never_received"),
        units("h2", "2", "never_received", finding="f2"),
        units("h3", "3", "never_received", finding="f3"),
        findings=[missing("f1", serials=("1",)), missing("f2", serials=("2",)), missing("f3")],
        counts=[
            count("p", "pickup", at(1), {"k1": 7}),
            count("r", "return", at(9), {"k1": 4}),
        ],
    )
    # Three were never received: one for each charge, though the last bills two too many.
    assert [falls(found[key]) for key in ("h1", "h2", "h3")] == [
        {"never_received": Decimal(100)},
        {"never_received": Decimal(100)},
        {"never_received": Decimal(100)},
    ]


def test_what_came_back_above_the_pickup_count_was_received_after_all() -> None:
    counts = [
        count("p", "pickup", at(1), {"k1": 7}),
        count("r", "return", at(9), {"k1": 9}),
    ]
    found = answers(units("h1", "3", "never_received", finding=None, line="k1"), counts=counts)
    # Three short at pickup, two of them back: one was never there.
    assert falls(found["h1"]) == {"never_received": Decimal(100)}


def test_half_units_are_shared_exactly() -> None:
    counts = [
        count("p", "pickup", at(1), {"k1": 9}),
        count("r", "return", at(9), {"k1": 8}),
    ]
    given: dict[str, Any] = {"findings": [missing()], "counts": counts}
    alone = answers(units("h1", "1.5", "never_received", "quantity"), **given)["h1"]
    assert falls(alone) == {"never_received": Decimal(50)}
    assert alone.owed == Decimal(100)
    two = answers(units("h1", "2.5", "never_received", "quantity"), **given)["h1"]
    assert falls(two) == {"never_received": Decimal(100), "quantity": Decimal(50)}
    again = answers(
        units("h1", "1.5", "never_received"), units("h2", "1.5", "billed_twice"), **given
    )
    # One of three is owed and one was never received, half of it in each charge; one is left.
    assert falls(again["h1"]) == {"never_received": Decimal(50)}
    assert falls(again["h2"]) == {"never_received": Decimal(50), "billed_twice": Decimal(100)}
    later = answers(
        units("h1", "1.5", "never_received"),
        units("h2", "2.5", "never_received", finding="f2"),
        findings=[missing("f1", serials=("1",)), missing("f2")],
        counts=[
            count("p", "pickup", at(1), {"k1": 8}),
            count("r", "return", at(9), {"k1": 6}),
        ],
    )
    # Half a unit used a whole one of the two that were never received.
    assert falls(later["h1"]) == {"never_received": Decimal(50)}
    assert falls(later["h2"]) == {"never_received": Decimal(100)}


RETURNED = {
    "counts": [
        count("p", "pickup", at(1), {"k1": 9}),
        count("r", "return", at(9), {"k1": 8}),
    ],
    "movements": (
        Movement(id="m", kind="returned_early", line="k1", quantity=1, at=at(3)),
    ),
    "findings": [missing(units=2)],
}  # fmt: skip


def test_a_ground_that_is_on_takes_units_before_one_that_is_off() -> None:
    off = ground("never_received", on=False)
    one = answers(units("h1", "1", "returned", off), **RETURNED)["h1"]
    assert falls(one) == {"returned": Decimal(100)}
    # On in one of two charges is enough, whichever stands first.
    first = answers(
        units("h1", "1", "returned"), units("h2", "1", ground("returned", on=False)), **RETURNED
    )
    assert falls(first["h1"]) == {"returned": Decimal(100)}
    last = answers(
        units("h1", "1", ground("returned", on=False), "never_received"),
        units("h2", "1", "returned", "never_received"),
        **RETURNED,
    )
    # Never received stands first of those that are on: the first charge is all of it.
    assert falls(last["h1"]) == {"never_received": Decimal(100)}
    assert falls(last["h2"]) == {"returned": Decimal(100)}


def test_a_ground_that_only_a_later_charge_has_on_still_goes_first() -> None:
    found = answers(
        units("h1", "1", ground("returned", on=False)), units("h2", "1", "returned"),
        **{**RETURNED, "findings": [missing(units=1)], "counts": [
            count("p", "pickup", at(1), {"k1": 9}), count("r", "return", at(9), {"k1": 7}),
        ]},
    )  # fmt: skip
    # One of two is missing; the other came back early, not short at pickup.
    assert falls(found["h2"]) == {"returned": Decimal(100)}


def test_damage_to_units_that_somebody_says_were_never_received() -> None:
    counts = [count("p", "pickup", at(1), {"k1": 9}), count("r", "return", at(9), {"k1": 9})]
    hurt = damaged(beyond_repair=True)
    given: dict[str, Any] = {"findings": [hurt], "counts": counts}
    said = answers(units("h1", "2", "never_received", "quantity", kind="replacement"), **given)
    assert falls(said["h1"]) == {"never_received": Decimal(100)}
    unsaid = answers(units("h1", "2", "quantity", kind="replacement"), **given)
    assert falls(unsaid["h1"]) == {"quantity": Decimal(100)}


def test_a_loss_on_a_day_outside_custody_needs_no_count() -> None:
    found = answers(
        units("h1", "2", "outside_custody"),
        findings=[missing(units=2)],
        agreement={"custody_began": at(8)},
    )
    assert falls(found["h1"]) == {"outside_custody": Decimal(200)}


# --- which finding, which line, which days ----------------------------------------------------


def test_a_credit_is_no_charge_and_hides_none() -> None:
    found = answers(
        charge("h1", "-20"), charge("h2", "10", kind="credit"), charge("h3", "0.50"),
        charge("h4", "0"),
    )  # fmt: skip
    assert list(found) == ["h3", "h4"]


def test_a_repair_bears_on_the_damage_and_a_replacement_on_the_loss() -> None:
    findings = [missing("f1"), damaged("f2", repair=Repair(parts=Decimal(5), document="d"))]
    found = answers(
        charge("h1", "5", line="k1", kind="repair"),
        charge("h2", "100", line="k1", kind="replacement"),
        findings=findings,
    )
    assert (found["h1"].finding, found["h2"].finding) == ("f2", "f1")
    only = answers(charge("h1", "5", line="k1", kind="repair"), findings=findings[:1])
    assert only["h1"].finding == "f1"


@pytest.mark.parametrize(
    ("of_line", "quantity", "days"),
    [(1, "30", Fraction(30)), (2, "30", Fraction(2, 15)), (1, "1", Fraction(4))],
)
def test_a_quantity_of_days_where_no_finding_says_how_many(
    of_line: int, quantity: str, days: Fraction
) -> None:
    bill = charge("h1", "80", kind="loss_of_use", line="k1", quantity=Decimal(quantity))
    kit = [line(price="100", quantity=of_line, day_rate=Decimal(20))]
    found = answers(bill, kit=kit, terms=Terms(valuation=REPLACEMENT, loss_of_use=LossOfUse()))
    reading = found["h1"].loss_of_use
    assert reading is not None
    # One unit: the quantity is days.  Several: 80 ÷ (30 × 20), or 80 ÷ 20.
    assert reading.lessor.days == days


def test_a_line_brings_the_terms_of_its_own_agreement() -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    other = Agreement(id="b", lessor="lessor", terms=terms)
    of = claim(
        kit=[line(price="100", quantity=2, agreement="b", age_months=30)],
        invoices=[invoice(charge("h1", "200", ("depreciation",), line="k1", quantity=Decimal(2)))],
        counts=[count("p", "pickup", at(1), {"k1": 2}), count("r", "return", at(9), {"k1": 0})],
    )
    two = dataclasses.replace(of, agreements=(*of.agreements, other))
    (answer,) = reckon(two).charges
    # The invoice of the first agreement states no life; the line's own does: half is off.
    assert falls(answer) == {"depreciation": Decimal(100)}
    assert answer.grounds[0].rests_on == ("clause 7.2",)


def test_tax_looks_at_parts_and_labour_of_a_repair() -> None:
    rule = TaxRule(
        rates=(Fraction(1, 10),),
        components=(TaxComponentRule(component="parts", taxable=True),),
        clause=CLAUSE,
    )

    def tax(repair: Repair | None) -> Decimal:
        hurt = damaged(repair=repair) if repair else damaged(beyond_repair=False)
        found = answers(
            charge("h1", "100", kind="repair", finding="f1"),
            charge("h2", "50", ("tax_not_due",), kind="tax"),
            findings=[hurt],
            terms=Terms(valuation=REPLACEMENT, tax=rule),
        )
        return found["h2"].owed

    # A tenth of the parts: 60, half, all of it.
    assert tax(Repair(parts=Decimal(60), labour=Decimal(40), document="d")) == Decimal(6)
    assert tax(Repair(parts=Decimal(50), labour=Decimal(50), document="d")) == Decimal(5)
    assert tax(Repair(labour=Decimal(1), document="d")) == Decimal(0)
    assert tax(Repair(document="d")) == Decimal(10)
    assert tax(None) == Decimal(10)


# --- which event ------------------------------------------------------------------------------


def events(of: Claim) -> list[OccurrenceResult]:
    return list(reckon(of).occurrences)


def two_events(*charges: Charge, **more: Any) -> Claim:
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=10)],
        "findings": [missing("f1", occurrence="o1"), missing("f2", occurrence="o2")],
        "occurrences": [event("o1", dt.date(2026, 3, 9)), event("o2", dt.date(2026, 3, 3))],
        **more,
    }
    return claim(invoices=[invoice(*charges)], **given)


def test_events_stand_in_time_and_those_without_a_time_last() -> None:
    of = two_events(
        findings=[],
        occurrences=[
            event("z", None), event("b", dt.date(2026, 3, 9)), event("a", None),
            event("c", dt.date(2026, 3, 3)), event("d", None, at=at(3, 8)),
        ],
    )  # fmt: skip
    assert [one.occurrence for one in events(of)] == ["d", "c", "b", "a", "z"]
    # Noon of the claim's own zone: in Tokyo that is 3 h in UTC.
    tokyo = two_events(
        findings=[], zone="Asia/Tokyo",
        occurrences=[event("b", None, at=at(3, 8)), event("c", dt.date(2026, 3, 3))],
    )  # fmt: skip
    assert [one.occurrence for one in events(tokyo)] == ["c", "b"]


def test_fees_are_spread_by_all_that_is_owed_for_each_event() -> None:
    fee = charge("h4", "30", kind="administration")
    o2, o1 = events(
        two_events(
            charge("h1", "50", finding="f1"), charge("h2", "50", finding="f1"),
            charge("h3", "50", finding="f2"), fee,
        )
    )  # fmt: skip
    assert (o1.loss, o2.loss) == (Decimal(120), Decimal(60))
    assert (o1.charges, o2.charges) == (("h1", "h2", "h4"), ("h3", "h4"))


def test_a_cent_that_goes_to_one_event_stands_with_it_alone() -> None:
    cent = charge("h3", "0.01", kind="administration")
    bills = (charge("h1", "70", finding="f1"), charge("h2", "30", finding="f2"))
    o2, o1 = events(two_events(*bills, cent))
    assert (o1.loss, o2.loss) == (Decimal("70.01"), Decimal(30))
    assert (o1.charges, o2.charges) == (("h1", "h3"), ("h2",))
    # A fee of which nothing is owed stands with every event of its invoice.
    off = charge("h3", "9", ("fee_not_agreed",), kind="administration")
    o2, o1 = events(two_events(*bills, off))
    assert (o1.charges, o2.charges) == (("h1", "h3"), ("h2", "h3"))
    alone = events(two_events(bills[0], off, findings=[missing("f1", occurrence="o1")]))
    assert [one.charges for one in alone] == [(), ("h1", "h3")]


def test_what_bears_on_no_event_stands_by_itself() -> None:
    bills = (
        charge("h1", "20", kind="repair"),
        charge("h2", "7", kind="loss_of_use"),
        charge("h3", "5"),
        charge("h4", "4", kind="administration"),
        charge("h5", "3", kind="tax"),
    )
    found = reckon(two_events(*bills, findings=[]))
    assert [(one.loss, one.charges) for one in found.occurrences[:2]] == [(Decimal(0), ())] * 2
    assert found.unexplained is not None
    assert found.unexplained.loss == Decimal(39)
    assert found.unexplained.charges == ("h1", "h2", "h3", "h4", "h5")
    fee = reckon(two_events(bills[3], findings=[]))
    assert [one.loss for one in fee.occurrences[:2]] == [Decimal(0)] * 2
    assert fee.unexplained is not None
    assert fee.unexplained.loss == Decimal(4)


def test_one_unit_that_is_not_charged_yet_is_part_of_the_loss() -> None:
    (found,) = events(
        two_events(
            units("h1", "2"), findings=[missing(units=3)], occurrences=[event("o1")]
        )
    )  # fmt: skip
    assert found.loss == Decimal(300)
    (all_billed,) = events(
        two_events(units("h1", "3"), findings=[missing(units=3)], occurrences=[event("o1")])
    )
    assert all_billed.loss == Decimal(300)
