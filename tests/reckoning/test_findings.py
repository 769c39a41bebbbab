"""Findings under the agreement: units, date of loss, value, repair."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.findings import Finding, FindingKind, Repair
from ldapp.claim.kit import Comparable, DatedPrice, KitLine, Part
from ldapp.claim.terms import (
    DepreciationOverride,
    DepreciationTable,
    LessorsDiscount,
    PairOrSet,
    Provision,
    RepairDecision,
    StraightLine,
    Terms,
    ValuationDate,
    ValuationOverride,
    ValuationRule,
    ValueCeiling,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import FindingResult, Step
from ldapp.reckoning.workings import defaults_taken
from tests.reckoning.claims import (
    CASH_VALUE,
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
    step_named,
    steps_of,
    straight_line,
)


def one(
    kit: KitLine | None = None,
    finding: Finding | None = None,
    terms: Terms | None = None,
    **more: Any,
) -> FindingResult:
    given = {"occurrences": [event()], **more}
    of = claim(
        kit=[kit or line(price="100")], findings=[finding or missing()], terms=terms, **given
    )
    return reckon(of).findings[0]


def valued(*bases: Any, kit: KitLine | None = None, **terms: Any) -> FindingResult:
    rule = ValuationRule(bases=bases, **terms.pop("rule", {}))
    return one(kit or line(price="100"), terms=Terms(valuation=rule, **terms))


def test_no_basis_is_no_amount() -> None:
    found = one(terms=Terms())
    assert found.owed is None
    assert found.lacking == ("basis of value",)
    assert found.working.result == "cannot be computed yet"


def test_no_life_is_no_amount() -> None:
    found = one(line(price="100", acquired=dt.date(2025, 1, 1)), terms=Terms(valuation=CASH_VALUE))
    assert (found.owed, found.lacking) == (None, ("life",))
    unstated = Terms(valuation=CASH_VALUE, depreciation=straight_line(None))
    assert one(line(price="100", age_months=3), terms=unstated).lacking == ("life",)


def test_no_age_and_no_date_of_loss_is_no_amount() -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    assert one(line(price="100"), terms=terms).lacking == ("date of acquisition or age",)
    undated = one(
        line(price="100", acquired=dt.date(2025, 1, 1)),
        terms=terms,
        occurrences=[event(day=None)],
    )
    assert undated.lacking == ("date of loss",)
    assert undated.date_of_loss.known_from == "nothing"


def test_no_price_is_no_amount() -> None:
    assert one(line()).lacking == ("replacement cost",)
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    assert one(line(age_months=3), terms=terms).lacking == ("replacement cost",)
    assert valued("scheduled_value").lacking == ("scheduled value",)
    assert valued("market_value").lacking == ("a dated comparable",)
    assert valued("share_of_replacement").lacking == ("share",)


def test_bases_of_value() -> None:
    kit = line(price="100", scheduled_value=Decimal(80))
    assert valued("replacement_cost", kit=kit).owed == Decimal(100)
    assert valued("in_kind", kit=kit).owed == Decimal(100)
    assert valued("scheduled_value", kit=kit).owed == Decimal(80)
    half = {"share": Fraction(1, 4)}
    assert valued("share_of_replacement", kit=kit, rule=half).owed == Decimal(25)


@pytest.mark.parametrize(
    ("prices", "value"), [(["70"], "70"), (["90", "60", "70"], "70"), (["60", "71"], "65.50")]
)
def test_market_value_is_the_median_of_comparables(prices: list[str], value: str) -> None:
    comparables = tuple(
        Comparable(source="a listing", dated=dt.date(2026, 1, n), price=Decimal(price))
        for n, price in enumerate(prices, 1)
    )
    found = valued("market_value", kit=line(price="100", comparables=comparables))
    assert found.owed == Decimal(value)


def test_the_lesser_or_greater_of_several_bases() -> None:
    kit = line(price="100", scheduled_value=Decimal(80))
    both = ("replacement_cost", "scheduled_value")
    assert valued(*both, kit=kit).owed == Decimal(80)
    assert valued(*both, kit=kit, rule={"of_several": "greater"}).owed == Decimal(100)
    assert valued(*both).lacking == ("scheduled value",)


def test_another_basis_for_a_category_or_a_line() -> None:
    scheduled = ValuationRule(bases=("scheduled_value",))
    kit = line(price="100", scheduled_value=Decimal(80), kind="grip", category="Cable")

    def owed(*overrides: ValuationOverride) -> Decimal | None:
        return one(kit, terms=Terms(valuation=REPLACEMENT, valuation_overrides=overrides)).owed

    assert owed(ValuationOverride(rule=scheduled, category="grip")) == Decimal(80)
    assert owed(ValuationOverride(rule=scheduled, category="Cable")) == Decimal(80)
    assert owed(ValuationOverride(rule=scheduled, category="lighting")) == Decimal(100)
    by_category = ValuationOverride(rule=scheduled, category="grip")
    by_line = ValuationOverride(rule=REPLACEMENT, line="k1")
    other_line = ValuationOverride(rule=scheduled, line="k9")
    assert owed(by_category, by_line, other_line) == Decimal(100)


def test_another_depreciation_for_a_category() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(100),
        depreciation_overrides=(DepreciationOverride(rule=straight_line(50), category="grip"),),
    )
    assert one(line(price="100", age_months=25, kind="grip"), terms=terms).owed == Decimal(50)
    assert one(line(price="100", age_months=25, kind="lens"), terms=terms).owed == Decimal(75)


def test_price_on_the_agreed_day() -> None:
    prices = (DatedPrice(event="delivery", price=Decimal(90)),)
    terms = Terms(valuation=REPLACEMENT, valuation_date=ValuationDate(event="delivery"))
    assert one(line(price="100", prices=prices), terms=terms).owed == Decimal(90)
    other = Terms(valuation=REPLACEMENT, valuation_date=ValuationDate(event="purchase"))
    assert one(line(price="100", prices=prices), terms=other).owed == Decimal(100)


def test_an_unstated_valuation_date_is_said() -> None:
    assert "valuation date not stated" in defaults_taken(one().working)[0]


def test_the_lessors_discount_comes_off_before_depreciation() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60, residual_share=Fraction(1, 10)),
        lessors_discount=LessorsDiscount(rate=Fraction(1, 5)),
    )
    # 80 less 72 × one half: the residual is 8.
    assert one(line(price="100", age_months=30), terms=terms).owed == Decimal(44)


def test_a_ratio_is_not_rounded_before_it_is_used() -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    # 49 of 60 months are gone: 11/60 of 4,829.10 is 885.335, so 885.34.
    assert one(line(price="4829.10", age_months=49), terms=terms).owed == Decimal("885.34")


@pytest.mark.parametrize(
    ("residual", "owed"),
    [
        ({"residual_amount": Decimal(30)}, "30"),
        ({"residual_share": Fraction(1, 4)}, "25"),
        ({"residual_amount": Decimal(300)}, "100"),
        ({}, "0"),
    ],
)
def test_never_under_the_residual(residual: dict[str, Any], owed: str) -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60, **residual))
    assert one(line(price="100", age_months=200), terms=terms).owed == Decimal(owed)


def test_a_table_is_never_under_the_residual() -> None:
    table = DepreciationTable(
        shows="percent_of_year", by_year=(Fraction(9, 10),), residual_share=Fraction(1, 4)
    )
    terms = Terms(valuation=CASH_VALUE, depreciation=table)
    assert one(line(price="100", age_months=20), terms=terms).owed == Decimal(25)


def age(rule: StraightLine | DepreciationTable, acquired: dt.date, lost: dt.date) -> Decimal | None:
    terms = Terms(valuation=CASH_VALUE, depreciation=rule)
    kit = line(price="3650", acquired=acquired)
    return one(kit, terms=terms, occurrences=[event(day=lost)]).owed


def test_whole_months_end_on_the_last_day_of_a_short_month() -> None:
    rule = StraightLine(life_months=10)
    assert age(rule, dt.date(2026, 1, 31), dt.date(2026, 2, 28)) == Decimal(3285)
    assert age(rule, dt.date(2026, 1, 31), dt.date(2026, 2, 27)) == Decimal(3650)
    assert age(rule, dt.date(2026, 1, 15), dt.date(2026, 3, 15)) == Decimal(2920)
    assert age(rule, dt.date(2026, 1, 15), dt.date(2026, 3, 14)) == Decimal(3285)
    assert age(rule, dt.date(2026, 4, 1), dt.date(2026, 3, 14)) == Decimal(3650)


def test_whole_years_and_days_over_365() -> None:
    years = StraightLine(life_months=120, age="whole_years")
    assert age(years, dt.date(2024, 1, 1), dt.date(2026, 12, 31)) == Decimal(2920)
    days = StraightLine(life_months=120, age="days_over_365")
    assert age(days, dt.date(2026, 1, 1), dt.date(2026, 1, 11)) == Decimal(3640)
    terms = Terms(valuation=CASH_VALUE, depreciation=days)
    assert one(line(price="3650", age_months=12), terms=terms).owed == Decimal(3285)


@pytest.mark.parametrize(
    ("year", "values"),
    [
        ("calendar_years", ("1825.00", "1825.00", "912.50")),
        ("years_completed", ("3650.00", "3650.00", "1825.00")),
        ("years_begun", ("1825.00", "1825.00", "912.50")),
    ],
)
@pytest.mark.parametrize("shows", ["percent_good", "percent_of_year"])
def test_tables_by_year(year: Any, values: tuple[str, ...], shows: Any) -> None:
    by_year = (Fraction(1, 2), Fraction(1, 4))
    table = DepreciationTable(shows=shows, by_year=by_year, year=year)
    acquired = dt.date(2024, 6, 1)
    days = (dt.date(2024, 7, 1), dt.date(2024, 12, 31), dt.date(2025, 6, 1))
    assert tuple(age(table, acquired, day) for day in days) == tuple(map(Decimal, values))


def test_calendar_years_of_known_months() -> None:
    table = DepreciationTable(shows="percent_good", by_year=(Fraction(1, 2), Fraction(1, 4)))
    terms = Terms(valuation=CASH_VALUE, depreciation=table)
    assert one(line(price="100", age_months=11), terms=terms).owed == Decimal(50)
    assert one(line(price="100", age_months=12), terms=terms).owed == Decimal(25)


def test_a_ceiling_stands_over_every_value() -> None:
    terms = Terms(valuation=REPLACEMENT, ceiling=ValueCeiling(amount=Decimal(60)))
    assert one(terms=terms).owed == Decimal(60)
    shared = Terms(valuation=REPLACEMENT, ceiling=ValueCeiling(share_of_replacement=Fraction(1, 2)))
    assert one(terms=shared).owed == Decimal(50)
    unpriced = one(line(), missing(stated_value=Decimal(70)), shared)
    assert unpriced.owed == Decimal(70)


def test_a_value_stated_by_hand() -> None:
    found = one(finding=missing(stated_value=Decimal(42), stated_value_reason="a dealer's offer"))
    assert found.owed == Decimal(42)
    assert step_named(found.working, "Value stated by hand").rule == "a dealer's offer"
    silent = one(finding=missing(stated_value=Decimal(42)))
    assert step_named(silent.working, "Value stated by hand").rule == "no reason given"


def test_pairs_and_sets() -> None:
    part = missing(set_value=Decimal(500), remainder_value=Decimal(100))
    found = one(finding=part)
    assert found.owed == Decimal(400)
    nothing_left = one(finding=missing(set_value=Decimal(500)))
    assert nothing_left.owed == Decimal(500)
    worthless = one(finding=missing(set_value=Decimal(0)))
    assert worthless.owed == Decimal(0)
    assert any("pair or set not stated" in text for text in defaults_taken(found.working))
    rule = PairOrSet(rule="stated_share", share=Fraction(1, 2))
    assert one(finding=part, terms=Terms(pair_or_set=rule)).owed == Decimal(250)


def test_a_part_is_valued_as_the_part() -> None:
    kit = line(
        price="100",
        parts=(Part(id="arm", description="arm", replacement_cost=Decimal(15)),),
        scheduled_value=Decimal(80),
    )
    assert one(kit, missing(part="arm", units=2)).owed == Decimal(30)
    scheduled = Terms(valuation=ValuationRule(bases=("scheduled_value",)))
    assert one(kit, missing(part="arm"), scheduled).owed is None


# --- units and dates ----------------------------------------------------------------------


def test_at_most_what_the_counts_show_is_owed() -> None:
    found = one(
        line(price="100", quantity=10),
        missing(units=3),
        counts=(count("c2", "return", at(9), {"k1": 8}),),
    )
    assert (found.quantity, found.reckoned_quantity, found.owed) == (3, 2, Decimal(200))


def test_no_more_than_was_received_can_be_missing_or_damaged() -> None:
    counts = [count("c1", "pickup", at(1), {"k1": 2})]
    kit = line(price="100", quantity=10)
    assert one(kit, missing(units=3), counts=counts).reckoned_quantity == 2
    hurt = damaged(units=3, beyond_repair=True)
    assert one(kit, hurt, counts=counts).owed == Decimal(200)
    # Without a pickup count the list stands and the finding is taken as it is.
    assert one(kit, missing(units=3)).reckoned_quantity == 3


def test_short_at_pickup_and_over_are_not_owed() -> None:
    kinds: tuple[FindingKind, ...] = ("short_at_pickup", "over", "exchanged")
    for kind in kinds:
        finding = Finding(id="f1", line="k1", kind=kind, quantity=2, occurrence="o1")
        assert one(finding=finding).owed == Decimal(0)


def test_the_day_of_loss_is_the_end_of_the_bracket() -> None:
    counts = (
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "during", at(4), {"k1": 9}),
        count("c3", "return", at(9), {"k1": 9}),
    )
    found = one(line(price="1", quantity=10), missing(occurrence=None), counts=counts)
    assert found.date_of_loss.known_from == "bracket"
    assert found.date_of_loss.day == dt.date(2026, 3, 4)
    assert found.probably_uninsured
    assert "a police report" in found.would_help


def test_damage_without_an_event_is_dated_by_the_closing_count() -> None:
    counts = (count("c3", "return", at(9), {"k1": 1}),)
    repair = Repair(parts=Decimal(5), document="d")
    found = one(finding=damaged(occurrence=None, repair=repair), counts=counts)
    assert found.date_of_loss.known_from == "last_count"
    due = one(finding=missing(occurrence=None), agreement={"ends": at(12)})
    assert (due.date_of_loss.known_from, due.date_of_loss.day) == (
        "rental_end",
        dt.date(2026, 3, 12),
    )


def test_a_day_without_a_time_is_noon_in_the_claims_zone() -> None:
    found = one(zone="America/Los_Angeles")
    assert found.date_of_loss.at is not None
    assert found.date_of_loss.at.isoformat() == "2026-03-05T12:00:00-08:00"
    timed = one(occurrences=[event(day=None, at=at(5, 3))], zone="America/Los_Angeles")
    assert timed.date_of_loss.day == dt.date(2026, 3, 4)


def test_an_event_outside_custody_is_not_ours() -> None:
    before = one(agreement={"custody_began": at(6)})
    assert (before.reckoned_quantity, before.owed) == (0, Decimal(0))
    after = one(
        finding=damaged(repair=Repair(parts=Decimal(5), document="d")),
        agreement={"custody_ended": at(4)},
    )
    assert after.owed == Decimal(0)
    edges = {"custody_began": at(5), "custody_ended": at(5)}
    assert one(agreement=edges).owed == Decimal(100)


def test_a_boundary_of_custody_inside_the_bracket_stays_owed_and_is_marked() -> None:
    of = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(occurrence=None)],
        counts=(
            count("c1", "pickup", at(1), {"k1": 10}),
            count("c2", "check_in", at(9), {"k1": 9}),
        ),
        agreement={"custody_ended": at(8)},
    )
    found = reckon(of)
    assert found.findings[0].owed == Decimal(100)
    codes = {o.code for o in found.observations}
    assert {"custody_open", "one_sided_check_in"} <= codes


def test_brackets_go_to_the_finding_that_names_the_serial_or_the_event() -> None:
    entries = {
        "c1": ("A", "B", "C"),
        "c2": ("A", "C"),
        "c3": ("A",),
    }
    counts = tuple(
        Count(
            id=identity,
            stage=stage,  # type: ignore[arg-type]
            at=at(day),
            entries=(CountEntry(line="k1", quantity=len(seen), serials_seen=seen),),
        )
        for (identity, seen), stage, day in zip(
            entries.items(), ("pickup", "during", "return"), (1, 4, 9), strict=True
        )
    )
    of = claim(
        kit=[line(price="100", quantity=3, serials=("A", "B", "C"))],
        findings=[
            missing("f1", occurrence=None),
            missing("f2", occurrence=None, serials=("B",)),
        ],
        counts=counts,
    )
    days = {f.finding: f.date_of_loss.day for f in reckon(of).findings}
    assert days == {"f1": dt.date(2026, 3, 9), "f2": dt.date(2026, 3, 4)}


# --- repair -------------------------------------------------------------------------------


def repaired(terms: Terms | None = None, price: str | None = "100", **costs: Any) -> FindingResult:
    given = {"parts": Decimal(30), "labour": Decimal(20), "document": "d", **costs}
    return one(line(price=price), damaged(repair=Repair(**given)), terms)


def test_repair_below_the_value_is_owed() -> None:
    found = repaired()
    assert (found.owed, found.total_loss) == (Decimal(50), False)
    assert any("lesser of both" in text for text in defaults_taken(found.working))


def test_a_repair_at_just_the_value_is_a_repair() -> None:
    found = repaired(parts=Decimal(80))
    assert (found.owed, found.total_loss) == (Decimal(100), False)


def test_repair_above_the_value_is_a_total_loss() -> None:
    found = repaired(parts=Decimal(500))
    assert (found.owed, found.total_loss) == (Decimal(100), True)


@pytest.mark.parametrize(("threshold", "owed", "lost"), [("1/2", 100, True), ("51/100", 50, False)])
def test_a_threshold_decides_where_it_is_stated(threshold: str, owed: int, lost: bool) -> None:
    rule = RepairDecision(rule="threshold", threshold=Fraction(threshold))
    found = repaired(Terms(valuation=REPLACEMENT, repair_decision=rule))
    assert (found.owed, found.total_loss) == (Decimal(owed), lost)


def test_below_a_threshold_even_a_dear_repair_is_owed() -> None:
    rule = RepairDecision(rule="threshold", threshold=Fraction(1))
    terms = Terms(valuation=REPLACEMENT, repair_decision=rule)
    wreck = damaged(salvage=Decimal(60), repair=Repair(parts=Decimal(90), document="d"))
    found = one(line(price="100"), wreck, terms)
    assert (found.owed, found.total_loss) == (Decimal(90), False)


def test_an_unstated_owner_of_the_wreck_is_the_lessor() -> None:
    wreck = damaged(beyond_repair=True, salvage=Decimal(25))
    found = one(line(price="100"), wreck)
    assert found.owed == Decimal(75)
    assert any("salvage not stated" in text for text in defaults_taken(found.working))


def test_damage_without_an_estimate_cannot_be_computed() -> None:
    found = one(line(price="100"), damaged())
    assert (found.owed, found.lacking) == (None, ("repair estimate",))


def test_a_repair_without_a_value_stands_unchecked() -> None:
    found = repaired(Terms(), price=None)
    assert (found.owed, found.total_loss) == (Decimal(50), None)
    of = claim(
        kit=[line()],
        findings=[damaged(repair=Repair(parts=Decimal(5)))],
        occurrences=[event()],
        terms=Terms(),
    )
    assert any(o.code == "unchecked_repair" for o in reckon(of).observations)


def test_betterment_needs_a_rate() -> None:
    terms = Terms(valuation=REPLACEMENT, betterment=Provision(applies=True))
    assert repaired(terms).owed == Decimal(50)
    with_rate = Terms(
        valuation=REPLACEMENT,
        betterment=Provision(applies=True),
        depreciation=straight_line(60),
    )
    kit = line(price="100", age_months=30)
    repair = Repair(parts=Decimal(30), labour=Decimal(20), document="d", carried_out=True)
    found = one(kit, damaged(repair=repair), with_rate)
    assert found.owed == Decimal(35)
    assert any(step.label == "Repair" for step in steps_of(found.working))


def test_ordinary_wear_is_not_owed_unless_the_agreement_denies_it() -> None:
    worn = damaged(cause="wear", repair=Repair(parts=Decimal(5), document="d"))
    silent = one(finding=worn)
    assert silent.owed == Decimal(0)
    assert any("ordinary wear not stated" in text for text in defaults_taken(silent.working))
    stated = Terms(valuation=REPLACEMENT, wear_excepted=Provision(applies=True))
    assert one(finding=worn, terms=stated).owed == Decimal(0)
    denied = Terms(valuation=REPLACEMENT, wear_excepted=Provision(applies=False))
    assert one(finding=worn, terms=denied).owed == Decimal(5)


def test_what_is_not_yet_charged_is_said() -> None:
    bill = invoice(charge("h1", "100", quantity=Decimal(1), finding="f1"))
    found = one(line(price="100", quantity=9), missing(units=3), invoices=[bill])
    assert (found.owed, found.not_yet_charged) == (Decimal(300), Decimal(200))
    assert [(i.name, i.value) for i in found.working.inputs] == [
        ("charge h1", "100.00"),
        ("not yet charged", "200.00"),
    ]
    unknown = one(line(quantity=9), missing(units=3), invoices=[bill])
    assert (unknown.owed, unknown.not_yet_charged) == (None, None)


def test_a_working_has_every_step() -> None:
    terms = Terms(valuation=CASH_VALUE, depreciation=straight_line(60))
    found = one(line(price="100", age_months=30), terms=terms)
    labels = [step.label for step in steps_of(found.working)]
    for label in ("Date of loss", "Units", "Value of one unit", "Actual cash value", "Price"):
        assert label in labels
    assert isinstance(found.working, Step)
