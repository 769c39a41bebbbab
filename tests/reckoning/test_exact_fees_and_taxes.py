"""Fees, tax and interest to the cent, with the words that stand beside them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from ldapp.claim.terms import FeeRule, Interest, TaxComponentRule, TaxRule
from ldapp.reckoning.fees import Taxed, fee_amount, interest_amount, tax_amount
from tests.reckoning.claims import CLAUSE

THIRTEEN = Fraction(13, 100)


def taxed(*components: str, rounded: str = "per_invoice") -> TaxRule:
    return TaxRule(
        rates=(Fraction(5, 100), Fraction(8, 100)),
        components=tuple(
            TaxComponentRule(component=one, taxable=one != "labour")  # type: ignore[arg-type]
            for one in components
        ),
        rounded=rounded,  # type: ignore[arg-type]
        clause=CLAUSE,
    )


def owed(*amounts: tuple[str, str]) -> list[Taxed]:
    return [Taxed(component, Decimal(amount)) for component, amount in amounts]  # type: ignore[arg-type]


def test_a_documented_fee_is_taken_as_it_is_with_its_clause() -> None:
    rule = FeeRule(form="as_documented", kind="handling", clause=CLAUSE)
    amount, step = fee_amount(rule, Decimal(100), Decimal("12.34"), 2)
    assert amount == Decimal("12.34")
    assert (step.label, step.rule, step.clause) == ("Fee", "as documented", CLAUSE)


def test_a_flat_fee_without_an_amount_is_none() -> None:
    amount, step = fee_amount(FeeRule(form="flat", kind="handling"), Decimal(100), None, 2)
    assert amount == Decimal(0)
    assert step.rule == "a flat fee"


@pytest.mark.parametrize(
    ("rounded", "tax", "words"),
    [("per_invoice", "0.13", "rounded once per invoice"), ("per_line", "0.12", "rounded per line")],
)
def test_tax_is_rounded_once_or_line_by_line(rounded: str, tax: str, words: str) -> None:
    # 0.33 × 13 % is 0.0429 a line: three lines give 0.1287 together, 0.04 each.
    lines = owed(*[("replacement", "0.33")] * 3)
    amount, step = tax_amount(taxed("replacement", rounded=rounded), lines, 2)
    assert amount == Decimal(tax)
    assert words in step.rule
    assert step.not_stated == ""
    assert ("taxable", "0.99") in [(one.name, one.value) for one in step.inputs]


def test_tax_of_nothing_is_nothing() -> None:
    for rounded in ("per_invoice", "per_line"):
        amount, step = tax_amount(taxed("replacement", rounded=rounded), [], 2)
        assert amount == Decimal(0)
        assert step.not_stated == ""


def test_what_the_rule_does_not_name_is_said_once_and_in_order() -> None:
    lines = owed(("parts", "10"), ("labour", "10"), ("fee", "10"), ("parts", "5"))
    amount, step = tax_amount(taxed("labour"), lines, 2)
    assert amount == Decimal(0)
    assert step.not_stated == "not stated whether taxable, taken as not: fee, parts"


def test_interest_runs_from_the_day_after_the_free_days() -> None:
    rule = Interest(yearly_rate=THIRTEEN, after_days=30, clause=CLAUSE)
    within, step = interest_amount(rule, Decimal("10000"), 30, 2)
    assert within == Decimal(0)
    assert ("days overdue", "0") in [(one.name, one.value) for one in step.inputs]
    one_day, _ = interest_amount(rule, Decimal("10000"), 31, 2)
    assert one_day == Decimal("3.56")  # 10,000 × 13 % ÷ 365
    assert interest_amount(rule, Decimal("10000"), 5, 2)[0] == Decimal(0)
