"""Demo claim 1: the terms of the rental agreement."""

from __future__ import annotations

from fractions import Fraction

from demo_claims.draw import harbour_words as words
from demo_claims.draw.records import D
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.terms import (
    BurnOutTerm,
    ClosingCount,
    CustodyEnd,
    CustodyStart,
    FeeRule,
    Liability,
    LossOfUse,
    OpeningCondition,
    PairOrSet,
    Provision,
    RepairDecision,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationDate,
    ValuationRule,
    WaiverTerm,
)


def clause(number: str) -> Clause:
    return Clause(
        reference=f"clause {number}",
        document="d-agreement",
        page=words.CLAUSE_PAGES.get(number, 1),
        text=words.CLAUSE_TEXT[number],
    )


def terms() -> Terms:
    return Terms(
        currency="USD",
        custody_start=CustodyStart(event="accepted_after_testing", clause=clause("4.1")),
        custody_end=CustodyEnd(event="handed_over", clause=clause("4.2")),
        opening_condition=OpeningCondition(
            rule="good_unless_noted_at_delivery", clause=clause("5.1")
        ),
        closing_count=ClosingCount(rule="joint", clause=clause("5.2")),
        wear_excepted=Provision(applies=True, clause=clause("6.2")),
        liability=Liability(rule="any_cause", clause=clause("6.1")),
        valuation=ValuationRule(bases=("replacement_cost",), clause=clause("7.1")),
        valuation_date=ValuationDate(event="delivery", clause=clause("7.1")),
        pair_or_set=PairOrSet(rule="part_only", clause=clause("7.3")),
        repair_decision=RepairDecision(rule="lesser", clause=clause("7.2")),
        burn_outs=BurnOutTerm(rule="free_if_returned", clause=clause("7.4")),
        loss_of_use=LossOfUse(
            applies_to="damaged",
            days_from="dates",
            starts="day_after_return_due",
            ends_when_damaged="repaired",
            last_day_counts=True,
            billed_days_per_week=Fraction(3),
            rate_share=Fraction(1),
            discount=Fraction("0.15"),
            cap_days=Fraction(21),
            rent_paid_counts=True,
            proof_required=False,
            clause=clause("8.1"),
        ),
        fees=(
            FeeRule(
                kind="administration",
                form="percentage",
                rate=Fraction("0.05"),
                base="loss",
                minimum=D("25.00"),
                maximum=D("150.00"),
                clause=clause("9.1"),
            ),
            FeeRule(kind="cleaning", form="as_documented", clause=clause("9.2")),
        ),
        tax=TaxRule(
            rates=(Fraction("0.08875"),),
            components=(
                TaxComponentRule(component="replacement", taxable=True, clause=clause("10.1")),
                TaxComponentRule(component="parts", taxable=True, clause=clause("10.1")),
                TaxComponentRule(component="labour", taxable=False, clause=clause("10.1")),
                TaxComponentRule(component="loss_of_use", taxable=False, clause=clause("10.1")),
                TaxComponentRule(component="fees", taxable=False, clause=clause("10.1")),
            ),
            clause=clause("10.1"),
        ),
        waiver=WaiverTerm(taken=False, clause=clause("6.3")),
        deadlines=(
            DeadlineRule(
                code="objection",
                title="Object to the invoice in writing, line by line",
                starts="invoice_received",
                length=30,
                clause=clause("11.1"),
                source="Agreement TGE-20418",
                agreement="a-tge",
            ),
            DeadlineRule(
                code="damage_notice",
                title="Rental company notifies damage",
                starts="return",
                length=5,
                unit="business_days",
                binds="lessor",
                clause=clause("5.3"),
                source="Agreement TGE-20418",
                agreement="a-tge",
            ),
        ),
    )
