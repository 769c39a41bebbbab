"""Demo claim 3: the terms of the agreement and of the policy."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction

from demo_claims.draw import school_words as words
from demo_claims.draw.records import D
from demo_claims.draw.school_photos import at
from ldapp.claim.agreement import Policy
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    Exclusion,
    LossPayee,
    PolicyLimit,
    PolicyPeriod,
    PolicyTerms,
    Sublimit,
)
from ldapp.claim.terms import (
    ClosingCount,
    CustodyEnd,
    CustodyStart,
    FeeRule,
    Liability,
    LossOfUse,
    OpeningCondition,
    Provision,
    RepairDecision,
    StraightLine,
    Terms,
    ValuationDate,
    ValuationRule,
    WaiverTerm,
)


def clause(number: str) -> Clause:
    return Clause(
        reference=f"clause {number}",
        document="d-agreement",
        page=1,
        text=words.CLAUSE_TEXT[number],
    )


def section(number: str) -> Clause:
    return Clause(
        reference=f"section {number}", document="d-policy", page=1, text=words.POLICY_TEXT[number]
    )


def policy() -> Policy:
    return Policy(
        id="policy",
        insurer="p-insurer",
        number="PSM-IM-77310",
        insured="p-school",
        broker="p-broker",
        loss_payee="p-lcr",
        document="d-policy",
        aggregate_used_before=D("18400.00"),
        terms=PolicyTerms(
            currency="USD",
            period=PolicyPeriod(
                begins=at(7, 1, 0, 1),
                ends=dt.datetime(2027, 7, 1, 0, 1, tzinfo=dt.timezone(dt.timedelta(hours=-5))),
                clause=section("A.1"),
            ),
            limit=PolicyLimit(amount=D("75000.00"), clause=section("B.1")),
            sublimits=(
                Sublimit(
                    per="cause",
                    cause="theft_from_vehicle",
                    amount=D("50000.00"),
                    clause=section("B.3"),
                ),
            ),
            deductibles=(Deductible(form="flat", amount=D("2500.00"), clause=section("C.1")),),
            exclusions=(
                Exclusion(cause="unexplained", clause=section("E.1")),
                Exclusion(component="loss_of_use", clause=section("E.2")),
                Exclusion(component="fees", clause=section("E.2")),
            ),
            valuation=ValuationRule(bases=("actual_cash_value",), clause=section("D.1")),
            depreciation=StraightLine(
                life_months=60, residual_share=Fraction("0.25"), clause=section("D.1")
            ),
            aggregate=Aggregate(amount=D("40000.00"), clause=section("B.2")),
            loss_payees=(
                LossPayee(name="Lornlake Camera Rental (invented)", clause=section("G.1")),
            ),
            not_worth_claiming_below=D("300.00"),
            deadlines=(
                DeadlineRule(
                    code="proof_of_loss",
                    title="Signed proof of loss",
                    starts="insurer_request",
                    length=60,
                    clause=section("F.1"),
                    source="Policy PSM-IM-77310",
                ),
            ),
        ),
    )


def terms() -> Terms:
    return Terms(
        currency="USD",
        custody_start=CustodyStart(event="delivered", clause=clause("2")),
        custody_end=CustodyEnd(event="check_in_complete", clause=clause("2")),
        opening_condition=OpeningCondition(
            rule="good_unless_noted_at_delivery", clause=clause("3")
        ),
        closing_count=ClosingCount(rule="joint", clause=clause("3")),
        wear_excepted=Provision(applies=True, clause=clause("4")),
        liability=Liability(rule="any_cause", clause=clause("4")),
        valuation=ValuationRule(bases=("replacement_cost",), clause=clause("5")),
        valuation_date=ValuationDate(event="loss", clause=clause("5")),
        repair_decision=RepairDecision(rule="lesser", clause=clause("5")),
        loss_of_use=LossOfUse(
            applies_to="damaged_and_lost",
            days_from="dates",
            starts="day_after_return_due",
            ends_when_damaged="repaired",
            ends_when_lost="replaced",
            last_day_counts=True,
            billed_days_per_week=Fraction(4),
            proof_required=True,
            clause=clause("6"),
        ),
        fees=(FeeRule(kind="administration", form="flat", amount=D("75.00"), clause=clause("7")),),
        waiver=WaiverTerm(taken=False),
        deadlines=(
            DeadlineRule(
                code="objection",
                title="Object to the invoice",
                starts="invoice_received",
                length=30,
                clause=clause("9"),
                source="Agreement LCR-3390",
                agreement="a-lcr",
            ),
        ),
    )
