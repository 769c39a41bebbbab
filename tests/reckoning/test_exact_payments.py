"""What a policy pays by line, for each form that bears on it, worked out by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.policy import (
    Deductible,
    InsuranceToValue,
    OtherInsurance,
    Participation,
    PolicyLimit,
    PolicyTerms,
)
from ldapp.reckoning.payment import (
    DeductibleAmount,
    Insured,
    Limits,
    Payment,
    deductible_amount,
    pay,
    value_ratios,
)

ONE = Fraction(1)
HALF = Fraction(1, 2)


def item(
    line: str, value: int = 1000, limit: int | None = None, *caps: int, **more: Any
) -> Insured:
    given: dict[str, Any] = {"units": 1, "categories": (), "category_caps": (), **more}
    return Insured(
        line=line,
        value_at_risk=Fraction(value),
        item_limit=None if limit is None else Fraction(limit),
        caps=tuple(map(Fraction, caps)),
        **given,
    )


def terms(limit: str | None = None, **more: Any) -> PolicyTerms:
    return PolicyTerms(limit=None if limit is None else PolicyLimit(amount=Decimal(limit)), **more)


# --- insurance to value -----------------------------------------------------------------------

TWO = (item("k1", 1000, 400), item("k2", 2000))


def ratios(of: PolicyTerms, blanket: int = 3000) -> list[Fraction]:
    return list(value_ratios(of, TWO, Fraction(blanket)))


@pytest.mark.parametrize(
    ("limit", "form", "rule", "expected"),
    [
        # No share stated: the whole value is required.
        ("1500", None, {}, [HALF, HALF]),
        ("1500", None, {"required_share": HALF}, [ONE, ONE]),
        ("1500", None, {"required_share": Fraction(3, 4)}, [Fraction(2, 3), Fraction(2, 3)]),
        ("1500", None, {"value_at_risk": Decimal(6000)}, [Fraction(1, 4), Fraction(1, 4)]),
        # Each item by its own limit, else by the policy's.
        ("1500", None, {"blanket": False}, [Fraction(2, 5), Fraction(3, 4)]),
        ("1500", "separate_limits", {}, [Fraction(2, 5), Fraction(3, 4)]),
        ("700", None, {"blanket": False, "required_share": HALF}, [Fraction(4, 5), HALF * 7 / 5]),
        (None, None, {"blanket": False}, [Fraction(2, 5), ONE]),
        (None, None, {}, [ONE, ONE]),
        ("1500", "separate_limits", {"agreed_value": Decimal(2000)}, [Fraction(3, 4)] * 2),
        ("1500", None, {"agreed_value": Decimal(1500)}, [ONE, ONE]),
    ],
)  # fmt: skip
def test_the_share_of_the_value_that_is_insured(
    limit: str | None, form: Any, rule: dict[str, Any], expected: list[Fraction]
) -> None:
    of = terms(limit, limit_form=form, insurance_to_value=InsuranceToValue(**rule))
    assert ratios(of) == expected


def test_without_the_rule_every_loss_counts_whole() -> None:
    assert ratios(terms("10")) == [ONE, ONE]


# --- a deductible on several items ------------------------------------------------------------


def once(amount: str) -> DeductibleAmount:
    rule = Deductible(form="flat", per="occurrence", amount=Decimal(amount))
    return DeductibleAmount(total=Decimal(amount), by_item=None, rule=rule)


def paid(
    of: PolicyTerms,
    items: list[Insured],
    losses: list[int],
    off: DeductibleAmount,
    *groups: int,
    left: str | None = None,
    digits: int = 2,
) -> Payment:
    limits = Limits(
        group_caps=tuple(map(Fraction, groups)),
        aggregate_left=None if left is None else Decimal(left),
    )
    exact = [Fraction(one) for one in losses]
    return pay(of, items, exact, [ONE] * len(items), off, limits, digits)


def by_line(of: Payment) -> list[str]:
    return [f"{one:.2f}" for one in of.by_line]


def test_a_deductible_is_spread_by_loss_before_the_caps() -> None:
    # 400 less 200 leaves 50 and 150; the first is capped at 40.
    found = paid(terms(), [item("k1", 1000, None, 40), item("k2")], [100, 300], once("200"))
    assert (f"{found.ours:.2f}", by_line(found)) == ("190.00", ["40.00", "150.00"])


def test_of_items_that_bear_it_alike_the_first_bears_the_deductible() -> None:
    of = terms(limit_form="separate_limits", participation=Participation(insured_share=HALF))
    # Half of 400 less 200 whoever bears it; the first is used up by it.
    found = paid(of, [item("k1"), item("k2")], [100, 300], once("200"))
    assert (f"{found.ours:.2f}", by_line(found)) == ("100.00", ["0.00", "100.00"])


CAPPED = [item("k1", 1000, None, 10), item("k2", 1000, None, 150), item("k3")]


@pytest.mark.parametrize("share", [HALF])
def test_the_item_with_which_least_is_paid_bears_the_deductible(share: Fraction) -> None:
    of = terms(limit_form="separate_limits", participation=Participation(insured_share=share))
    # Halves capped: 10, 150, 200.  On k1: 10 + 150 + 200; on k2: 10 + 100 + 200 = 310, the
    # same as on k3, and earlier.
    found = paid(of, CAPPED, [1000, 300, 400], once("100"))
    assert (f"{found.ours:.2f}", by_line(found)) == ("310.00", ["10.00", "100.00", "200.00"])


def test_what_is_left_of_the_aggregate_decides_who_bears_it() -> None:
    of = terms("900", limit_form="separate_limits", participation=Participation(insured_share=HALF))
    # With 200 left all three ways pay 200, so the first item bears it: 10, 150, 200 shared.
    found = paid(of, CAPPED, [1000, 300, 400], once("100"), left="200")
    assert (f"{found.ours:.2f}", by_line(found)) == ("200.00", ["5.56", "83.33", "111.11"])
    assert str(found.before_limit) == "360.00"


def test_a_deductible_on_one_item_of_its_own() -> None:
    of = terms(limit_form="separate_limits")
    alone = paid(of, [item("k1", 1000, None, 70)], [100], once("40"))
    assert (f"{alone.ours:.2f}", by_line(alone)) == ("60.00", ["60.00"])
    more = paid(of, [item("k1")], [100], once("140"))
    assert (f"{more.ours:.2f}", by_line(more)) == ("0.00", ["0.00"])


def test_nothing_lost_pays_nothing_to_each_line() -> None:
    found = paid(terms(), [item("k1"), item("k2")], [0, 0], once("10"))
    assert (f"{found.ours:.2f}", by_line(found)) == ("0.00", ["0.00", "0.00"])


def test_a_sublimit_over_several_lines_is_spread_by_their_losses() -> None:
    items = [item("k1", category_caps=(0,)), item("k2"), item("k3", category_caps=(0,))]
    found = paid(terms(), items, [100, 50, 300], once("0"), 200)
    assert by_line(found) == ["50.00", "50.00", "150.00"]
    just = paid(terms(), items, [100, 50, 300], once("0"), 400)
    assert by_line(just) == ["100.00", "50.00", "300.00"]
    nought = paid(terms(), items, [0, 50, 0], once("0"), 0)
    assert by_line(nought) == ["0.00", "50.00", "0.00"]


# --- several insurers -------------------------------------------------------------------------


def shared(
    how: Any, limit: str | None, total: int, *others: str, left: str | None = None
) -> Payment:
    of = terms(
        limit,
        other_insurance=tuple(
            OtherInsurance(insurer=f"insurer {n}", limit=Decimal(one))
            for n, one in enumerate(others, 2)
        ),
        other_insurance_shares=how,
    )
    return paid(of, [item("k1")], [total], once("0"), left=left)


@pytest.mark.parametrize(
    ("how", "limit", "total", "others", "left", "ours", "theirs"),
    [
        ("equal_shares", "100", 200, ("50",), None, "100.00", ["50.00"]),
        ("equal_shares", "100", 120, ("50",), None, "70.00", ["50.00"]),
        ("equal_shares", None, 120, ("50", "80"), None, "40.00", ["40.00", "40.00"]),
        ("equal_shares", "100", 120, ("90",), "30", "30.00", ["90.00"]),
        ("by_limits", "100", 120, ("50",), None, "80.00", ["40.00"]),
        ("by_limits", "100", 200, ("50",), None, "100.00", ["50.00"]),
        # Its limit decides its share, what is left of the year what it pays of it.
        ("by_limits", "100", 120, ("50",), "30", "30.00", ["40.00"]),
        ("by_limits", "100", 120, ("50",), "0", "0.00", ["40.00"]),
    ],
)
def test_several_insurers_share_a_payment(
    how: str,
    limit: str | None,
    total: int,
    others: tuple[str, ...],
    left: str | None,
    ours: str,
    theirs: list[str],
) -> None:
    found = shared(how, limit, total, *others, left=left)
    assert (f"{found.ours:.2f}", [f"{one:.2f}" for one in found.others]) == (ours, theirs)
    assert str(found.before_limit) == f"{total}.00"


# --- forms of a deductible --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "rule", "total", "by_item"),
    [
        ("separate_limits", {"form": "percentage_of_limit"}, "40.00", ["40.00", "0.00"]),
        (None, {"form": "percentage_of_limit"}, "90.00", None),
        (None, {"form": "percentage_of_value"}, "300.00", ["100.00", "200.00"]),
        (None, {"form": "percentage_of_loss", "per": "occurrence"}, "40.00", None),
        (None, {"form": "percentage_of_loss", "per": "line"}, "40.00", ["10.00", "30.00"]),
        (None, {"form": "flat", "per": "unit"}, "21.00", ["7.00", "14.00"]),
        (None, {"form": "flat", "per": "line"}, "14.00", ["7.00", "7.00"]),
        (None, {"form": "flat", "per": "occurrence"}, "7.00", None),
    ],
)
def test_every_form_of_a_deductible(
    form: Any, rule: dict[str, Any], total: str, by_item: list[str] | None
) -> None:
    rate = {"amount": Decimal(7)} if rule["form"] == "flat" else {"rate": Fraction(1, 10)}
    items = [item("k1", 1000, 400), item("k2", 2000, units=2)]
    found = deductible_amount(
        terms("900", limit_form=form), Deductible(**rule, **rate), items, [ONE * 100, ONE * 300], 2
    )
    assert str(found.total) == total
    assert (found.by_item and [str(one) for one in found.by_item]) == by_item
