"""Published figures for depreciation, actual cash value, repair, fees, tax and loss of use.

Source and status stand beside each check; "from memory" where the figures were not seen.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from ldapp.claim.charges import GroundChoice
from ldapp.claim.findings import Repair
from ldapp.claim.policy import Deductible, Holdback, PolicyLimit, PolicyTerms
from ldapp.claim.terms import (
    DepreciationTable,
    FeeBand,
    FeeRule,
    LossOfUse,
    PairOrSet,
    Provision,
    ReplacementTax,
    Salvage,
    StraightLine,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationRule,
)
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import (
    CASH_VALUE,
    CLAUSE,
    LOST_ON,
    REPLACEMENT,
    charge,
    claim,
    damaged,
    event,
    invoice,
    line,
    loss_claim,
    missing,
    only_occurrence,
    step_named,
    straight_line,
)


def unit_value(terms: Terms, lost: dt.date = LOST_ON, **facts: Any) -> Decimal | None:
    """The engine's value of one missing unit."""
    price = facts.pop("price")
    kit = [line("k1", price, **facts)]
    found = reckon(
        claim(kit=kit, findings=[missing()], occurrences=[event(day=lost)], terms=terms)
    ).findings[0]
    return found.unit_value


def yearly(cost: str, rule: Any, acquired: dt.date, years: int) -> list[Decimal]:
    """What each year takes, as differences of the values at the end of the years."""
    terms = Terms(valuation=CASH_VALUE, depreciation=rule)
    values = [Decimal(cost)]
    for year in range(years):
        lost = dt.date(acquired.year + year, 12, 31)
        value = unit_value(terms, lost, price=cost, acquired=acquired)
        assert value is not None
        values.append(value)
    return [before - after for before, after in pairwise(values)]


def table(*percents: str, **more: Any) -> DepreciationTable:
    given = {"shows": "percent_of_year", "source": "as printed"}
    return DepreciationTable(
        by_year=tuple(Fraction(p) / 100 for p in percents), **{**given, **more}
    )


@pytest.mark.parametrize(
    ("check", "percents"),
    [
        # IRS Publication 946, appendix A, table A-1, 3-year property, half-year; seen.
        ("DEP-01", ["33.33", "44.45", "14.81", "7.41"]),
        # The same table, 5-year property; seen.
        ("DEP-02", ["20.00", "32.00", "19.20", "11.52", "11.52", "5.76"]),
        # Table A-5, 5-year property, mid-quarter, fourth quarter; seen.
        ("DEP-04", ["5.00", "38.00", "22.80", "13.68", "10.94", "9.58"]),
        # Table A-2, 7-year property, mid-quarter, first quarter; seen.
        ("DEP-05", ["25.00", "21.43", "15.31", "10.93", "8.75", "8.74", "8.75", "1.09"]),
        # Chapter 4, 200 % declining balance, basis 1,000, whole dollars; figures from memory.
        ("DEP-10", ["20.0", "32.0", "19.2", "11.5", "11.5", "5.8"]),
    ],
)
def test_a_table_is_read_as_printed(check: str, percents: list[str]) -> None:
    taken = yearly("1000", table(*percents), dt.date(2010, 6, 1), len(percents))
    assert taken == [Decimal(percent) * 10 for percent in percents], check


def test_dep_07_straight_line_with_half_year() -> None:
    # IRS Publication 946, straight line, half-year, 5-year property (table number from memory).
    rule = StraightLine(life_months=60, half_year=True)
    taken = yearly("1000", rule, dt.date(2010, 6, 1), 6)
    assert taken == [Decimal(n) for n in (100, 200, 200, 200, 200, 100)]


def test_dep_08_copier_in_dollars() -> None:
    # A tax guide's worked example with table A-1, 5-year; seen.
    rule = table("20.00", "32.00", "19.20", "11.52", "11.52", "5.76")
    assert yearly("5000", rule, dt.date(2010, 6, 1), 2) == [Decimal(1000), Decimal(1600)]


def test_dep_11_a_declining_balance_is_entered_as_a_table() -> None:
    # 26 CFR 1.167(b)-2(b), example 1: 10 % of the unrecovered cost of 1,000; seen.
    rule = table("10", "9", "8.1")
    assert yearly("1000", rule, dt.date(2010, 1, 1), 3) == [Decimal(n) for n in (100, 90, 81)]


@pytest.mark.parametrize(
    ("cost", "life", "taken"), [("1600", 48, (200, 400)), ("12000", 480, (150, 300))]
)
def test_dep_13_straight_line_from_the_middle_of_a_year(
    cost: str, life: int, taken: tuple[int, int]
) -> None:
    # 26 CFR 1.167(b)-1(b), example 1, placed in service on 1 July 1954; seen.
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(life))
    acquired = dt.date(1954, 7, 1)
    first = unit_value(terms, dt.date(1955, 1, 1), price=cost, acquired=acquired)
    second = unit_value(terms, dt.date(1956, 1, 1), price=cost, acquired=acquired)
    assert first == Decimal(cost) - taken[0]
    assert second == Decimal(cost) - taken[0] - taken[1]


@pytest.mark.parametrize(
    ("check", "percents"),
    [
        # Sacramento County Assessor, 2017 schedule, commercial equipment, 5-year life; seen.
        ("DEP-19", ["80", "61", "44", "30", "18", "11", "11"]),
        # The same schedule, 8-year and 10-year lives; seen.
        ("DEP-21", ["88", "77", "65", "55", "44", "36", "27", "19", "14", "12", "12"]),
        (
            "DEP-21",
            ["91", "82", "73", "65", "57", "49", "43", "33", "28", "22", "17", "14", "13", "13"],
        ),
    ],
)
def test_percent_good_by_year_of_acquisition(check: str, percents: list[str]) -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=table(*percents, shows="percent_good"))
    for age, percent in enumerate([*percents, percents[-1]]):
        acquired = dt.date(2016 - age, 5, 1)
        value = unit_value(terms, dt.date(2016, 12, 1), price="1000", acquired=acquired)
        assert value == Decimal(percent) * 10, check


def test_dep_22_market_value_is_no_cap_on_cash_value() -> None:
    # California FAIR Plan Assn. v. Garnes (2017) 11 Cal.App.5th 1276; seen.
    terms = PolicyTerms(
        limit=PolicyLimit(amount=Decimal(425000)),
        valuation=ValuationRule(bases=("actual_cash_value",)),
        depreciation=straight_line(100),
    )
    # Replacement cost less depreciation is 320,549; a market value of 75,000 plays no part.
    kit = [line("k1", "641098", age_months=50)]
    found = only_occurrence(
        claim(kit=kit, findings=[missing()], occurrences=[event()], policy=terms)
    )
    assert found.policy == Decimal(320549)


def holdback_policy(deductible: str | None, life: int) -> PolicyTerms:
    rules = (Deductible(form="flat", amount=Decimal(deductible)),) if deductible else ()
    return PolicyTerms(holdback=Holdback(), depreciation=straight_line(life), deductibles=rules)


def test_dep_23_replacement_cost_takes_only_the_deductible() -> None:
    # 10 CCR 2695.9(a)(1); rule seen, figures derived.
    terms = PolicyTerms(
        valuation=REPLACEMENT, deductibles=(Deductible(form="flat", amount=Decimal(100)),)
    )
    assert only_occurrence(loss_claim(["1000.00"], terms)).policy == Decimal("900.00")


def test_dep_24_cash_value_deductible_and_holdback() -> None:
    # An agency's explainer of replacement cost and actual cash value; seen, total derived.
    kit = [line("k1", "10000", age_months=15 * 12)]
    terms = holdback_policy("500", 30 * 12)
    waiting = claim(kit=kit, findings=[missing()], occurrences=[event()], policy=terms)
    found = only_occurrence(waiting)
    assert (found.policy, found.held_back, found.renter) == (
        Decimal(4500),
        Decimal(5000),
        Decimal(500),
    )
    replaced = missing(replaced_for=Decimal(10000), replaced_on=dt.date(2026, 4, 1))
    done = only_occurrence(claim(kit=kit, findings=[replaced], occurrences=[event()], policy=terms))
    assert (done.policy, done.held_back) == (Decimal(9500), Decimal(0))


def test_dep_24_depreciation_under_the_agreement() -> None:
    # The same figures as a rental agreement's actual cash value.
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(30 * 12))
    kit = [line("k1", "10000", age_months=15 * 12)]
    found = reckon(
        claim(kit=kit, findings=[missing()], occurrences=[event()], terms=terms)
    ).findings[0]
    assert found.unit_value == Decimal(5000)
    assert step_named(found.working, "Depreciation").amount == Decimal(5000)


def test_dep_26_replacement_cost_is_limited_to_what_was_spent() -> None:
    # A public adjuster's article; seen (no deductible there), supplement derived.
    kit = [line("k1", "20000", age_months=15)]
    terms = holdback_policy(None, 60)
    waiting = only_occurrence(
        claim(kit=kit, findings=[missing()], occurrences=[event()], policy=terms)
    )
    assert waiting.policy == Decimal(15000)
    spent = missing(replaced_for=Decimal(17000))
    done = only_occurrence(claim(kit=kit, findings=[spent], occurrences=[event()], policy=terms))
    assert done.policy == Decimal(17000)
    assert done.policy - waiting.policy == Decimal(2000)


def test_dep_27_cash_value_of_one_item() -> None:
    # An agency's article; seen.  A depreciation of 400 on 1,000 is 24 of 60 months.
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    kit = [line("k1", "1000", age_months=24)]
    found = reckon(
        claim(kit=kit, findings=[missing()], occurrences=[event()], terms=terms)
    ).findings[0]
    assert step_named(found.working, "Depreciation").amount == Decimal(400)
    assert found.unit_value == Decimal(600)


def test_dep_28_depreciation_rate_from_age_and_life() -> None:
    # An explainer of actual cash value; seen.
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(25 * 12))
    kit = [line("k1", "1000", age_months=120)]
    found = reckon(
        claim(kit=kit, findings=[missing()], occurrences=[event()], terms=terms)
    ).findings[0]
    assert step_named(found.working, "Rate of depreciation").result == "40 %"


def test_dep_29_tax_in_the_replacement_cost_is_depreciated_with_it() -> None:
    # Gee v. State Farm, 2013 WL 8284483 (N.D. Ill. 2013); rule seen, figures derived.
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        replacement_tax=ReplacementTax(rate=Fraction("0.08")),
    )
    assert unit_value(terms, price="1000.00", age_months=30) == Decimal("540.00")


@pytest.mark.parametrize(("labour_too", "owed"), [(None, "7000.00"), (True, "5000.00")])
def test_dep_30_labour_is_not_depreciated_unless_stated(labour_too: bool | None, owed: str) -> None:
    # Sproull v. State Farm Fire & Cas. Co., 2021 IL 126446; rule seen, figures derived.
    terms = Terms(
        valuation=REPLACEMENT,
        depreciation=straight_line(60),
        betterment=Provision(applies=True),
        labour_depreciated=None if labour_too is None else Provision(applies=labour_too),
    )
    repair = Repair(parts=Decimal("6000.00"), labour=Decimal("4000.00"), document="d")
    kit = [line("k1", "50000", age_months=30)]
    found = reckon(
        claim(kit=kit, findings=[damaged(repair=repair)], occurrences=[event()], terms=terms)
    ).findings[0]
    assert found.owed == Decimal(owed)


def test_ren_01_parts_labour_and_towing_less_discounts() -> None:
    # California Civil Code 1939.05(a)-(b); rule seen, figures derived.  Repair labour is the
    # lesser of 10 h at 50 and the 400 that the same parts would cost new.
    repair = Repair(
        parts=Decimal("300.00"),
        labour=Decimal("100.00") + min(Decimal("500.00"), Decimal("400.00")),
        other=Decimal("80.00"),
        discount=Decimal("30.00"),
        document="d",
    )
    found = reckon(
        claim(kit=[line("k1", "50000")], findings=[damaged(repair=repair)], occurrences=[event()])
    ).findings[0]
    assert found.owed == Decimal("850.00")


@pytest.mark.parametrize(
    ("estimate", "fee"),
    [
        ("100.00", "0"),
        ("100.01", "50"),
        ("500.00", "50"),
        ("500.01", "100"),
        ("1500.00", "100"),
        ("1500.01", "150"),
    ],
)
def test_ren_03_administrative_charge_by_bands(estimate: str, fee: str) -> None:
    # California Civil Code 1939.05(d); only the first band seen, the others from memory.
    bands = (
        FeeBand(up_to=Decimal(100), fee=Decimal(0)),
        FeeBand(up_to=Decimal(500), fee=Decimal(50)),
        FeeBand(up_to=Decimal(1500), fee=Decimal(100)),
        FeeBand(up_to=None, fee=Decimal(150)),
    )
    rule = FeeRule(kind="administration", form="bands", base="repair", bands=bands)
    repair = Repair(parts=Decimal(estimate), document="d")
    bill = invoice(
        charge("h1", estimate, kind="repair_parts", finding="f1"),
        charge("h2", "500", ["fee_not_agreed"], kind="administration"),
    )
    found = reckon(
        claim(
            kit=[line("k1", "50000")],
            findings=[damaged(repair=repair)],
            occurrences=[event()],
            invoices=[bill],
            terms=Terms(valuation=REPLACEMENT, fees=(rule,)),
        )
    )
    assert found.charges[1].owed == Decimal(fee)


def test_ren_04_repair_is_capped_at_the_market_value() -> None:
    # California Civil Code 1939.03, the same cap in NRS 482.31535; rule seen, figures derived.
    repair = Repair(parts=Decimal(14000), document="d")
    found = reckon(
        claim(kit=[line("k1", "12000")], findings=[damaged(repair=repair)], occurrences=[event()])
    ).findings[0]
    assert found.owed == Decimal(12000)
    assert found.total_loss


@pytest.mark.parametrize(("kept_by", "owed"), [("lessor", "9500"), ("renter", "12000")])
def test_ren_05_total_loss_less_salvage_that_is_kept(kept_by: Any, owed: str) -> None:
    # California Civil Code 1939.07(a); rule seen, figures derived.
    terms = Terms(valuation=REPLACEMENT, salvage=Salvage(kept_by=kept_by))
    wreck = damaged(beyond_repair=True, salvage=Decimal(2500))
    found = reckon(
        claim(kit=[line("k1", "12000")], findings=[wreck], occurrences=[event()], terms=terms)
    ).findings[0]
    assert found.owed == Decimal(owed)
    assert found.title_passes is (kept_by == "renter")


def test_ren_06_an_estimate_stands_in_net_of_discounts() -> None:
    # California Civil Code 1939.05; rule seen, figures derived: 15 % of 1,000.00.
    repair = Repair(parts=Decimal("1000.00"), discount=Decimal("150.00"), document="d")
    found = reckon(
        claim(kit=[line("k1", "50000")], findings=[damaged(repair=repair)], occurrences=[event()])
    ).findings[0]
    assert found.owed == Decimal("850.00")
    assert step_named(found.working, "Repair, by estimate").amount == Decimal("850.00")


def test_ren_11_loss_charges_are_no_taxable_rent() -> None:
    # California sales-tax annotation on leased goods; rule seen, figures derived: on a loss of
    # 400.00 with no taxable component nothing is due; on a taxable 1,000.00, 72.50 is.
    def tax_owed(taxable: bool, amount: str) -> Decimal:
        component = TaxComponentRule(component="replacement", taxable=taxable, clause=CLAUSE)
        rule = TaxRule(rates=(Fraction("0.0725"),), components=(component,))
        bill = invoice(
            charge("h1", amount, finding="f1"), charge("h2", "100.00", ["tax_not_due"], kind="tax")
        )
        found = reckon(
            claim(
                kit=[line("k1", amount)],
                findings=[missing()],
                occurrences=[event()],
                invoices=[bill],
                terms=Terms(valuation=REPLACEMENT, tax=rule),
            )
        )
        return found.charges[1].owed

    assert tax_owed(False, "400.00") == Decimal(0)
    assert tax_owed(True, "1000.00") == Decimal("72.50")


def test_oth_06_pair_or_set_by_difference_in_value() -> None:
    # A claims text on pairs and sets; seen.
    terms = Terms(valuation=REPLACEMENT, pair_or_set=PairOrSet(rule="difference_in_value"))
    part = missing(set_value=Decimal(5000), remainder_value=Decimal(100))
    whole = missing(set_value=Decimal(5000))
    for finding, owed in ((part, 4900), (whole, 5000)):
        kit = [line("k1", "2500")]
        found = reckon(
            claim(kit=kit, findings=[finding], occurrences=[event()], terms=terms)
        ).findings[0]
        assert found.owed == Decimal(owed)


def loss_of_use(term: LossOfUse, hours: str | None, rate: str) -> Decimal:
    """What is owed of an excessive loss-of-use charge under the term."""
    repair = Repair(
        parts=Decimal(10), labour_hours=None if hours is None else Decimal(hours), document="d"
    )
    grounds = [
        GroundChoice(code="loss_of_use_days"),
        GroundChoice(code="loss_of_use_cap"),
        GroundChoice(code="loss_of_use_rate"),
    ]
    bill = invoice(
        charge("h1", "99999", grounds, kind="loss_of_use", finding="f1", days=Decimal(999))
    )
    found = reckon(
        claim(
            kit=[line("k1", "50000", day_rate=Decimal(rate))],
            findings=[damaged(repair=repair)],
            occurrences=[event()],
            invoices=[bill],
            terms=Terms(valuation=REPLACEMENT, loss_of_use=term),
        )
    )
    return found.charges[0].owed


@pytest.mark.parametrize(
    ("hours", "amount"), [("20", "750.00"), ("40", "1275.00"), ("100", "2250.00")]
)
def test_lou_01_four_hour_days_weekends_and_administrative_days(hours: str, amount: str) -> None:
    # A rented-car statute's formula; rule seen.
    term = LossOfUse(days_from="hours_over_4", administrative_days=3, cap_days=Fraction(30))
    assert loss_of_use(term, hours, "75.00") == Decimal(amount)


def test_lou_02_utilisation() -> None:
    # A rented-car rule at 80 % utilisation; rule seen.
    term = LossOfUse(days_from="stated", stated_days=Fraction(5), utilisation=Fraction("0.80"))
    assert loss_of_use(term, None, "60.00") == Decimal("240.00")


def test_lou_03_and_ren_02_eight_hour_days() -> None:
    # California Civil Code 1939.05(c); rule seen, figures derived: 20 h are 2.5 days.
    assert loss_of_use(LossOfUse(days_from="hours_over_8"), "20", "40.00") == Decimal("100.00")


def test_lou_04_four_and_eight_hours_disagree() -> None:
    # The same 20 hours: 5 days or 2.5; rule seen.
    by_four = loss_of_use(LossOfUse(days_from="hours_over_4"), "16", "1.00")
    assert loss_of_use(LossOfUse(days_from="hours_over_8"), "20", "1.00") == Decimal("2.50")
    assert by_four == Decimal("4.00")
    # 20 h at four hours are five repair days, for which two weekend days are due.
    assert loss_of_use(LossOfUse(days_from="hours_over_4"), "20", "1.00") == Decimal("7.00")
