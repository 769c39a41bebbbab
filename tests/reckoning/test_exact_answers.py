"""What stands in an answer to a charge: its figure, its ground, its clause and its words."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding, Repair
from ldapp.claim.terms import (
    BurnOutTerm,
    Interest,
    Liability,
    LossOfUse,
    TaxComponentRule,
    TaxRule,
    Terms,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.loss_of_use import OutOfService, out_of_service_days
from ldapp.reckoning.result import ChargeResult, Step
from tests.reckoning.answers import falls, ground
from tests.reckoning.claims import (
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
    step_named,
)

MENDED = Repair(parts=Decimal(80), document="d")


def units_of(of: Claim) -> Step:
    return step_named(reckon(of).findings[0].working, "Units")


def answers(of: Claim) -> dict[str, ChargeResult]:
    return {one.charge: one for one in reckon(of).charges}


# --- lamps and liability --------------------------------------------------------------------


def lamp(term: BurnOutTerm | None) -> Claim:
    return claim(
        kit=[line(price="80")],
        occurrences=[event()],
        terms=Terms(valuation=REPLACEMENT, burn_outs=term),
        agreement={"starts": at(1), "ends": at(20)},
        findings=[damaged(repair=MENDED, cause="burn_out")],
        invoices=[invoice(charge("h1", "80", ["used_up"], kind="lamp", finding="f1"))],
    )


@pytest.mark.parametrize(
    "term", [None, BurnOutTerm(rule="free_if_returned", clause=CLAUSE)], ids=["silent", "stated"]
)
def test_a_lamp_that_came_back_is_free_and_says_so(term: BurnOutTerm | None) -> None:
    of = lamp(term)
    assert units_of(of).rule == "a lamp that burned out in use is free where it comes back"
    assert units_of(of).clause == (term and term.clause)
    assert falls(answers(of)["h1"]) == {"used_up": Decimal(80)}


@pytest.mark.parametrize(
    ("term", "cause", "fault", "rule"),
    [
        (
            Liability(rule="fault_only", clause=CLAUSE), "theft", False,
            "the renter answers for fault alone, and this was not the renter's",
        ),
        (
            Liability(rule="waived_perils", perils=("fire",), clause=CLAUSE), "fire", None,
            "the renter does not answer for this cause: ",
        ),
    ],
)  # fmt: skip
def test_what_the_renter_does_not_answer_for_falls_to_its_ground(
    term: Liability, cause: Any, fault: bool | None, rule: str
) -> None:
    of = claim(
        kit=[line(price="100", quantity=3)],
        occurrences=[event(cause=cause, our_fault=fault)],
        terms=Terms(valuation=REPLACEMENT, liability=term),
        findings=[missing(units=2)],
        invoices=[invoice(charge("h1", "200", ["not_liable"], finding="f1", quantity=Decimal(2)))],
    )
    assert units_of(of).rule.startswith(rule)
    assert units_of(of).clause == CLAUSE
    assert falls(answers(of)["h1"]) == {"not_liable": Decimal(200)}


# --- loss of use ----------------------------------------------------------------------------


def out_of_service(term: LossOfUse | None, *grounds: Any, **repair: Any) -> Claim:
    return claim(
        kit=[line(price="400", day_rate=Decimal(20))],
        occurrences=[event()],
        terms=Terms(valuation=REPLACEMENT, loss_of_use=term),
        findings=[damaged(repair=Repair(parts=Decimal(5), document="d", **repair))],
        invoices=[
            invoice(
                charge(
                    "h1", "900", grounds, kind="loss_of_use", finding="f1", days=Decimal(30)
                )
            )
        ],
    )  # fmt: skip


def test_days_that_a_person_states_are_taken() -> None:
    of = out_of_service(
        LossOfUse(clause=CLAUSE), ground("loss_of_use_days", days=Decimal(4)), "loss_of_use_rate"
    )
    (answer,) = reckon(of).charges
    assert answer.owed == Decimal(80)
    assert answer.loss_of_use is not None
    assert answer.loss_of_use.renter.days == Fraction(4)
    assert answer.loss_of_use.renter.amount == Decimal(80)
    assert answer.loss_of_use.lessor.amount == Decimal(900)


def test_days_by_labour_hours_that_nobody_documented_cannot_be_computed() -> None:
    term = LossOfUse(days_from="hours_over_8", clause=CLAUSE)
    found = out_of_service_days(term, OutOfService(lost=False))
    assert (found.days, found.lacking) == (None, ("labour hours",))
    step = found.step
    assert (step.label, step.result) == ("Days out of service", "cannot be computed yet")
    assert step.rule == "labour hours are not documented"
    assert step.clause == CLAUSE


def test_days_carry_their_clause() -> None:
    term = LossOfUse(days_from="stated", stated_days=Fraction(5), clause=CLAUSE)
    found = out_of_service_days(term, OutOfService(lost=False))
    assert (found.days, found.step.result, found.step.clause) == (Fraction(5), "5", CLAUSE)


# --- what interest and tax fall on ------------------------------------------------------------


def charged(*extra: Charge, terms: Terms) -> Claim:
    found: tuple[Finding, ...] = (
        missing("f1", "k1"),
        damaged("f2", "k2", repair=Repair(parts=Decimal(60), labour=Decimal(40), document="d")),
    )
    return claim(
        kit=[line("k1", "100"), line("k2", "1000", day_rate=Decimal(7))],
        occurrences=[event()],
        findings=found,
        terms=terms,
        agreement={"paid": dt.date(2027, 3, 20)},
        invoices=[
            invoice(
                charge("h1", "100", finding="f1"),
                charge("h2", "100", kind="repair", finding="f2"),
                charge("h3", "70", kind="loss_of_use", finding="f2", days=Decimal(10)),
                charge("h4", "31", kind="fee"),
                charge("h5", "11", kind="difference_in_addition"),
                *extra,
            )
        ],
    )


def test_interest_falls_on_everything_else_that_is_owed() -> None:
    of = charged(
        charge("h9", "500", ["fee_not_agreed"], kind="interest"),
        terms=Terms(valuation=REPLACEMENT, interest=Interest(yearly_rate=Fraction(1))),
    )
    found = answers(of)
    # A year at 100 %: the interest is the sum of what is owed of the other charges.
    rest = sum((one.owed for key, one in found.items() if key != "h9"), Decimal(0))
    assert {key: one.owed for key, one in found.items() if key != "h9"} == {
        "h1": Decimal(100), "h2": Decimal(100), "h3": Decimal(70), "h4": Decimal(31),
        "h5": Decimal(11),
    }  # fmt: skip
    assert found["h9"].owed == rest == Decimal(312)


@pytest.mark.parametrize(
    ("component", "tax"),
    [("replacement", "100"), ("parts", "60"), ("labour", "40"), ("loss_of_use", "70"),
     ("fees", "31")],
)  # fmt: skip
def test_tax_falls_on_each_component_that_is_taxable(component: Any, tax: str) -> None:
    rule = TaxRule(
        rates=(Fraction(1),), components=(TaxComponentRule(component=component, taxable=True),)
    )
    of = charged(
        charge("h9", "500", ["tax_not_due"], kind="tax"),
        terms=Terms(valuation=REPLACEMENT, tax=rule),
    )
    assert answers(of)["h9"].owed == Decimal(tax)


# --- which finding a charge bears on ----------------------------------------------------------


def loose(*charges: Charge) -> Claim:
    return claim(
        kit=[line("k1", "100", quantity=9)],
        occurrences=[event()],
        findings=[
            missing("f1", units=1),
            damaged("f2", repair=MENDED),
            missing("f3", units=2),
            Finding(id="f4", line="k1", kind="over", quantity=1),
        ],
        invoices=[invoice(*charges)],
    )


def bears_on(*charges: Charge) -> list[str | None]:
    return [one.finding for one in reckon(loose(*charges)).charges]


def test_a_charge_without_a_finding_takes_the_first_that_fits_and_is_free() -> None:
    assert bears_on(charge("h1", "80", kind="repair", line="k1")) == ["f2"]
    assert bears_on(charge("h1", "100", line="k1")) == ["f1"]
    named = charge("h1", "100", line="k1", finding="f1")
    assert bears_on(named, charge("h2", "200", line="k1")) == ["f1", "f3"]
    both = (named, charge("h2", "200", line="k1", finding="f3"))
    assert bears_on(*both, charge("h3", "100", line="k1")) == ["f1", "f3", "f1"]


def test_a_charge_takes_another_kind_of_finding_where_none_fits() -> None:
    of = loose(charge("h1", "100", line="k1"))
    only_damage = dataclasses.replace(
        of, findings=tuple(one for one in of.findings if one.id in ("f2", "f4"))
    )
    assert [one.finding for one in reckon(only_damage).charges] == ["f2"]
    repair = loose(charge("h1", "100", line="k1", kind="repair"))
    only_loss = dataclasses.replace(
        repair, findings=tuple(one for one in repair.findings if one.id in ("f1", "f4"))
    )
    assert [one.finding for one in reckon(only_loss).charges] == ["f1"]
    over = dataclasses.replace(of, findings=of.findings[3:])
    assert [one.finding for one in reckon(over).charges] == [None]


# --- which counts lie in a policy's period -----------------------------------------------------


def test_counts_at_the_very_bounds_of_a_period_lie_inside_it() -> None:
    from ldapp.claim.policy import PolicyPeriod, PolicyTerms

    def says(begins: dt.datetime, ends: dt.datetime) -> tuple[str, str]:
        of = claim(
            kit=[line(price="100", quantity=2)],
            counts=[count("a", "pickup", at(3), {"k1": 2}), count("b", "return", at(9), {"k1": 1})],
            occurrences=[event(day=None)],
            findings=[missing()],
            policy=PolicyTerms(period=PolicyPeriod(begins=begins, ends=ends)),
        )
        (found,) = reckon(of).occurrences
        return found.cover, found.working.rule if found.working else ""

    second = dt.timedelta(seconds=1)
    assert says(at(3), at(9))[0] == "covered"
    assert says(at(3) + second, at(9))[0] == "cannot_be_said"
    assert says(at(3), at(9) - second)[0] == "cannot_be_said"
    assert says(at(9), at(20))[0] == "cannot_be_said"
    assert says(at(9) + second, at(20))[0] == "not_covered"
    assert says(at(1), at(3) - second)[0] == "not_covered"
    assert says(at(1), at(3))[0] == "cannot_be_said"
