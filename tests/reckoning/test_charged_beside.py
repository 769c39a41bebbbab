"""Loss of use, fees, interest and tax as charged."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.charges import Charge
from ldapp.claim.findings import Repair
from ldapp.claim.terms import (
    FeeRule,
    Interest,
    LossOfUse,
    TaxComponentRule,
    TaxRule,
    Terms,
)
from ldapp.reckoning.result import ChargeResult, LossOfUseReading, LossOfUseReadings
from tests.reckoning.answers import (
    answered,
    ground,
    one,
    units,
)
from tests.reckoning.claims import (
    CLAUSE,
    REPLACEMENT,
    at,
    charge,
    count,
    damaged,
    line,
    missing,
)


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


def test_days_written_as_the_quantity_of_one_unit_are_days() -> None:
    term = LossOfUse(cap_days=Fraction(8), clause=CLAUSE)
    grounds = ("loss_of_use_cap", "arithmetic")
    as_days = use(*grounds, term=term)
    as_quantity = use(*grounds, term=term, days=None, quantity=Decimal(30), unit_price=Decimal(30))
    assert as_quantity.owed == as_days.owed == Decimal(240)
    assert as_quantity.loss_of_use == as_days.loss_of_use
    assert as_quantity.loss_of_use is not None
    assert as_quantity.loss_of_use.lessor.days == Fraction(30)
    # A product that does not make the sum billed is still found.
    wrong = use("arithmetic", term=term, days=None, quantity=Decimal(30), unit_price=Decimal(29))
    assert wrong.owed == Decimal(870)


def test_the_quantity_of_several_units_stays_one_of_units() -> None:
    facts = {"units": 2}
    found = use(term=LossOfUse(), days=None, quantity=Decimal(2), facts=facts)
    assert found.loss_of_use is not None
    # The days follow from the agreed rate: 900 ÷ (2 × 20).
    assert found.loss_of_use.lessor.days == Fraction(45, 2)


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
    two = use("loss_of_use_cap", term=half, facts={"units": 2})
    assert two.owed == Decimal(400)


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


# --- both readings of a loss of use ---------------------------------------------------------


def both(bill: Charge, term: LossOfUse | None, **more: Any) -> LossOfUseReadings:
    terms = Terms(valuation=REPLACEMENT, loss_of_use=term)
    given: dict[str, Any] = {
        "kit": [line(price="1000", quantity=4, day_rate=Decimal(50))],
        "findings": [missing(units=2, replaced_on=dt.date(2026, 3, 12))],
        "agreement": {"notified": dt.date(2026, 3, 2)},
        **more,
    }
    found = one(bill, terms=terms, **given).loss_of_use
    assert found is not None
    return found


def use_bill(*grounds: Any, **more: Any) -> Charge:
    given = {"kind": "loss_of_use", "finding": "f1", "quantity": Decimal(2), **more}
    return charge("h1", "2800", grounds, **given)


WEEKLY = LossOfUse(
    billed_days_per_week=Fraction(3),
    discount=Fraction(1, 10),
    cap_days=Fraction(9),
    cap_amount=Decimal(500),
    cap_share_of_value=Fraction(1, 5),
    clause=CLAUSE,
)


def test_both_readings_of_a_loss_of_use_stand_side_by_side() -> None:
    found = both(use_bill(days=Decimal(14)), WEEKLY)
    assert found.lessor == LossOfUseReading(
        days=Fraction(14), billed_days=Fraction(14), rate=Fraction(100), amount=Decimal(2800)
    )
    # Ten days, nine by the cap: three of the week and two; 45 a unit and day; a fifth of 2,000.
    assert found.renter == LossOfUseReading(
        days=Fraction(9),
        billed_days=Fraction(5),
        rate=Fraction(45),
        cap_days=Fraction(9),
        cap=Decimal(400),
        amount=Decimal(400),
    )


def test_the_renters_reading_does_not_wait_for_a_ground() -> None:
    plain = both(use_bill(days=Decimal(14)), WEEKLY)
    grounds = ("loss_of_use_days", "loss_of_use_rate", "loss_of_use_cap")
    assert both(use_bill(*grounds, days=Decimal(14)), WEEKLY) == plain


def test_rent_paid_and_stated_readings_are_the_renters() -> None:
    stated = use_bill(
        ground("loss_of_use_days", days=Decimal(6)),
        ground("loss_of_use_rate", rate=Decimal(20)),
        ground("rent_already_paid", days=Decimal(2)),
        days=Decimal(14),
    )
    found = both(stated, LossOfUse()).renter
    assert (found.days, found.rate, found.amount) == (Fraction(4), Fraction(20), Decimal(160))
    own = missing(units=2, rent_paid_days=Decimal(3), replaced_on=dt.date(2026, 3, 12))
    counted = both(use_bill(days=Decimal(14)), LossOfUse(), findings=[own]).renter
    assert (counted.days, counted.cap, counted.cap_days) == (Fraction(7), None, None)
    denied = both(
        use_bill(days=Decimal(14)), LossOfUse(rent_paid_counts=False), findings=[own]
    ).renter
    assert denied.days == Fraction(10)


def test_what_a_reading_lacks_is_named() -> None:
    undated = both(use_bill(days=Decimal(14)), LossOfUse(), findings=[missing(units=2)]).renter
    assert (undated.days, undated.rate, undated.cap, undated.amount) == (None, None, None, None)
    assert undated.lacking == ("date: replaced",)
    kit = [line(price="1000", quantity=4)]
    unpriced = both(use_bill(days=Decimal(14)), WEEKLY, kit=kit).renter
    assert (unpriced.days, unpriced.billed_days) == (Fraction(9), Fraction(5))
    assert (unpriced.rate, unpriced.amount) == (None, None)
    assert unpriced.lacking == ("day rate",)
    assert unpriced.cap == Decimal(400)
    neither = both(use_bill(days=Decimal(14)), LossOfUse(), kit=kit, findings=[missing()]).renter
    assert neither.lacking == ("date: replaced", "day rate")


def test_without_a_clause_the_renters_reading_is_nought() -> None:
    found = both(use_bill(days=Decimal(14)), None)
    assert found.renter == LossOfUseReading(
        days=Fraction(0), billed_days=Fraction(0), rate=None, amount=Decimal(0)
    )
    assert found.lessor.days == Fraction(14)


def test_a_lost_item_has_no_days_where_the_clause_is_for_damage() -> None:
    found = both(use_bill(days=Decimal(14)), LossOfUse(applies_to="damaged")).renter
    assert (found.days, found.amount) == (Fraction(0), Decimal(0))


def test_other_charges_have_no_reading_of_a_loss_of_use() -> None:
    assert one(units(2, "200")).loss_of_use is None
    nowhere = charge("h1", "90", kind="loss_of_use", days=Decimal(3))
    found = one(nowhere, findings=[], terms=Terms(loss_of_use=LossOfUse()))
    assert found.loss_of_use is not None
    assert found.loss_of_use.lessor.rate == Fraction(30)
    assert "day rate" in found.loss_of_use.renter.lacking
