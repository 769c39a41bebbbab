"""Who bears what nobody else pays."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.documents import Split
from ldapp.claim.policy import (
    DeductibleSplit,
    PolicyLimit,
    PolicyTerms,
)
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import (
    claim,
    event,
    line,
    loss_claim,
    missing,
    only_occurrence,
)
from tests.reckoning.insured import flat, paid


def test_splits_in_their_order() -> None:
    splits = (
        Split(id="s1", party="student", share_percent=Decimal(50), at_most=Decimal(30)),
        Split(id="s2", party="crew", amount=Decimal(20)),
        Split(id="s3", party="production"),
    )
    found = only_occurrence(loss_claim(["100"], splits=splits))
    assert {b.party: b.amount for b in found.borne_by} == {
        "student": Decimal(30),
        "crew": Decimal(20),
        "production": Decimal(50),
    }
    part = only_occurrence(loss_claim(["100"], splits=splits[:1]))
    assert [(b.party, b.amount) for b in part.borne_by] == [
        ("student", Decimal(30)),
        (None, Decimal(70)),
    ]


def test_a_split_takes_its_percentage_of_what_is_left() -> None:
    splits = (
        Split(id="s1", party="student", share_percent=Decimal(25)),
        Split(id="s2", party="crew", share_percent=Decimal(50)),
        Split(id="s3", party="other", amount=Decimal(500)),
    )
    found = only_occurrence(loss_claim(["100"], splits=splits))
    assert [(b.party, b.amount) for b in found.borne_by] == [
        ("student", Decimal(25)),
        ("crew", Decimal("37.50")),
        ("other", Decimal("37.50")),
    ]


def test_a_split_of_one_occurrence_stands_before_the_general_one() -> None:
    splits = (
        Split(id="s1", party="production"),
        Split(id="s2", party="student", occurrence="o1"),
    )
    found = only_occurrence(loss_claim(["100"], splits=splits))
    assert [(b.party, b.amount) for b in found.borne_by] == [("student", Decimal(100))]


@pytest.mark.parametrize(
    ("split", "first"),
    [
        ({"form": "flat", "amount": Decimal(15)}, "15"),
        ({"form": "share", "rate": Fraction(1, 4)}, "10"),
        ({"form": "flat", "amount": Decimal(99)}, "40"),
        ({"form": "share", "rate": Fraction(1, 4), "minimum": Decimal(12)}, "12"),
    ],
)
def test_the_deductible_is_split_by_its_own_formula(split: dict[str, Any], first: str) -> None:
    terms = PolicyTerms(
        deductibles=(flat("40"),),
        deductible_split=DeductibleSplit(first="student", rest="department", **split),
        limit=PolicyLimit(amount=Decimal(50)),
    )
    found = paid(["100"], terms)
    borne = {b.party: b.amount for b in found.borne_by}
    assert borne["student"] == Decimal(first)
    assert borne["department"] == 40 - Decimal(first)
    assert borne[None] == Decimal(10)


def test_a_small_payment_may_not_be_worth_a_claim() -> None:
    terms = PolicyTerms(deductibles=(flat("90"),), not_worth_claiming_below=Decimal(25))
    found = paid(["100"], terms)
    assert "may not be worth a claim" in found.hints[0]
    assert not paid(["200"], terms).hints


def test_what_cannot_be_computed_is_listed_and_never_nought() -> None:
    found = reckon(claim(kit=[line("k1")], findings=[missing()], occurrences=[event()]))
    assert found.occurrences[0].lacking == ("f1: replacement cost",)
    assert not found.totals.complete
    assert any(o.code == "cannot_compute" for o in found.observations)
