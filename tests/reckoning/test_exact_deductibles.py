"""Every form of a deductible as amounts by line, before it meets a payment."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.counts import Count
from ldapp.claim.policy import Deductible, PolicyLimit, PolicyTerms
from ldapp.reckoning.index import natural, order_counts
from ldapp.reckoning.payment import DeductibleAmount, Insured, deductible_amount
from tests.reckoning.claims import at, count

TENTH = Fraction(1, 10)
LOSSES = (Fraction(100), Fraction(300))


def insured(line: str, units: int, limit: int | None, value: int) -> Insured:
    return Insured(
        line=line,
        value_at_risk=Fraction(value),
        item_limit=None if limit is None else Fraction(limit),
        caps=(),
        category_caps=(),
        units=units,
        categories=(),
    )


ITEMS = (insured("k1", 3, 500, 1000), insured("k2", 2, None, 4000))


def taken(limit_form: Any = None, limit: str | None = "2000", **rule: Any) -> DeductibleAmount:
    terms = PolicyTerms(
        limit_form=limit_form,
        limit=None if limit is None else PolicyLimit(amount=Decimal(limit)),
    )
    return deductible_amount(terms, Deductible(**rule), ITEMS, LOSSES, 2)


FLAT = {"form": "flat", "amount": Decimal(10)}


@pytest.mark.parametrize(
    ("rule", "total", "by_item"),
    [
        ({**FLAT, "per": "unit"}, "50", ("30", "20")),
        ({**FLAT, "per": "line"}, "20", ("10", "10")),
        ({**FLAT, "per": "occurrence"}, "10", None),
        ({"form": "flat", "per": "occurrence"}, "0", None),
        ({"form": "percentage_of_loss", "rate": TENTH, "per": "occurrence"}, "40", None),
        ({"form": "percentage_of_loss", "rate": TENTH, "per": "line"}, "40", ("10", "30")),
        ({"form": "percentage_of_value", "rate": TENTH}, "500", ("100", "400")),
        ({"form": "percentage_of_limit", "rate": TENTH}, "200", None),
    ],
)
def test_a_deductible_by_its_form(
    rule: dict[str, Any], total: str, by_item: tuple[str, ...] | None
) -> None:
    found = taken(**rule)
    assert found.total == Decimal(total)
    assert found.by_item == (by_item and tuple(map(Decimal, by_item)))


def test_a_share_of_the_limit_is_one_of_each_items_where_limits_are_separate() -> None:
    found = taken("separate_limits", form="percentage_of_limit", rate=TENTH)
    assert (found.total, found.by_item) == (Decimal(50), (Decimal(50), Decimal(0)))
    without = taken(None, None, form="percentage_of_limit", rate=TENTH)
    assert (without.total, without.by_item) == (Decimal(0), None)


def test_bounds_hold_for_the_whole_or_for_each_line() -> None:
    share = {"form": "percentage_of_loss", "rate": TENTH, "per": "line", "maximum": Decimal(20)}
    whole = taken(**share)
    assert (whole.total, whole.by_item) == (Decimal(20), (Decimal(5), Decimal(15)))
    each = taken(**share, bounds_per="line")
    assert (each.total, each.by_item) == (Decimal(30), (Decimal(10), Decimal(20)))


def test_counts_stand_in_time_and_by_stage_where_one_has_no_time() -> None:
    def ids(*counts: Count) -> list[str]:
        return [one.id for one in order_counts(counts)]

    late, early = count("a", "pickup", at(9), {}), count("b", "return", at(2), {})
    assert ids(late, early) == ["b", "a"]
    undated = count("c", "during", None, {})
    assert ids(early, undated, late) == ["a", "c", "b"]
    assert ids(count("e", "return", at(5), {}), undated, early) == ["c", "b", "e"]
    assert ids(count("y", "during", None, {}), undated) == ["c", "y"]


def test_printed_numbers_stand_as_people_sort_them() -> None:
    numbers = ["10", "2", "1b", "1a", "A2", "A10", "", "1"]
    assert sorted(numbers, key=natural) == ["", "1", "1a", "1b", "2", "10", "A2", "A10"]
