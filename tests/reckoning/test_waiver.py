"""The damage waiver on one event."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.findings import Repair
from ldapp.claim.policy import (
    PolicyTerms,
)
from ldapp.claim.terms import (
    ShareBand,
    Terms,
    WaiverTerm,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import OccurrenceResult, Reckoning
from tests.reckoning.claims import (
    REPLACEMENT,
    charge,
    claim,
    damaged,
    event,
    invoice,
    line,
    missing,
    only_occurrence,
)
from tests.reckoning.insured import flat


def waiver(**more: Any) -> Terms:
    return Terms(valuation=REPLACEMENT, waiver=WaiverTerm(taken=True, **more))


def two_lines(terms: Terms, **more: Any) -> OccurrenceResult:
    """Two units of 100 on one line and one of 300 on another, in one event."""
    kit = [line("k1", "100", quantity=2, kind="grip"), line("k2", "300", kind="lighting")]
    findings = more.pop("findings", [missing("f1", units=2), missing("f2", "k2")])
    given: dict[str, Any] = {"occurrences": [event()], **more}
    return only_occurrence(claim(kit=kit, findings=findings, terms=terms, **given))


@pytest.mark.parametrize(
    ("more", "borne"),
    [
        ({"share_amount": Decimal(150)}, "350"),
        ({"share_amount": Decimal(50), "per": "line"}, "400"),
        ({"share_amount": Decimal(50), "per": "unit"}, "350"),
        ({"share_form": "percentage_of_loss", "share_rate": Fraction(1, 4)}, "375"),
        ({"share_form": "percentage_of_value", "share_rate": Fraction(1, 10)}, "450"),
        (
            {
                "share_form": "percentage_of_loss",
                "share_rate": Fraction(1, 4),
                "share_minimum": Decimal(200),
            },
            "300",
        ),
        (
            {
                "share_form": "percentage_of_loss",
                "share_rate": Fraction(1, 4),
                "share_maximum": Decimal(20),
            },
            "480",
        ),
        ({"share_amount": Decimal(0), "limit": Decimal(99)}, "99"),
        ({"share_amount": Decimal(900)}, "0"),
        ({"share_amount": Decimal(0), "excluded_categories": ("grip",)}, "300"),
        ({"share_amount": Decimal(0), "excluded_causes": ("theft",)}, "0"),
        ({"share_amount": Decimal(0), "repair_only": True}, "0"),
        (
            {
                "share_form": "bands",
                "per": "line",
                "share_bands": (
                    ShareBand(up_to=Decimal(200), amount=Decimal(20)),
                    ShareBand(up_to=Decimal(250), amount=Decimal(30)),
                ),
            },
            "180",
        ),
        (
            {
                "share_form": "bands",
                "share_bands": (ShareBand(up_to=None, amount=Decimal(20)),),
            },
            "480",
        ),
    ],
)
def test_the_renters_share_of_a_waiver(more: dict[str, Any], borne: str) -> None:
    found = two_lines(waiver(**more))
    assert (found.loss, found.waiver) == (Decimal(500), Decimal(borne))
    assert found.renter == 500 - Decimal(borne)


def test_a_waiver_that_was_not_taken_bears_nothing() -> None:
    terms = Terms(valuation=REPLACEMENT, waiver=WaiverTerm(taken=False))
    assert two_lines(terms).waiver == Decimal(0)


def test_unexplained_losses_are_incidents_of_their_own() -> None:
    findings = [missing("f1", units=2, occurrence=None), missing("f2", "k2", occurrence=None)]
    found = two_lines(waiver(share_amount=Decimal(50)), findings=findings, occurrences=[])
    assert found.waiver == Decimal(400)
    excluded = waiver(share_amount=Decimal(0), excluded_causes=("unexplained",))
    assert two_lines(excluded, findings=findings, occurrences=[]).waiver == Decimal(0)


def test_a_repair_only_waiver_bears_repairs() -> None:
    hurt = damaged(repair=Repair(parts=Decimal(40), document="d"))
    terms = waiver(share_amount=Decimal(10), repair_only=True)
    kit = [line("k1", "100")]
    given: dict[str, Any] = {"kit": kit, "occurrences": [event()], "terms": terms}
    assert only_occurrence(claim(findings=[hurt], **given)).waiver == Decimal(30)
    wreck = damaged(beyond_repair=True)
    assert only_occurrence(claim(findings=[wreck], **given)).waiver == Decimal(0)


def with_use(terms: Terms) -> Reckoning:
    bill = invoice(
        charge("h1", "100", finding="f1", quantity=Decimal(1)),
        charge("h2", "60", finding="f1", kind="loss_of_use", days=Decimal(3)),
    )
    return reckon(
        claim(
            kit=[line("k1", "100")],
            findings=[missing()],
            occurrences=[event()],
            invoices=[bill],
            terms=terms,
        )
    )


def test_a_waiver_covers_loss_of_use_only_where_it_says_so() -> None:
    assert with_use(waiver(share_amount=Decimal(0))).totals.waiver == Decimal(100)
    both = with_use(waiver(share_amount=Decimal(0), covers_loss_of_use=True))
    assert both.totals.waiver == Decimal(160)
    assert [c.waiver for c in both.charges] == [Decimal(100), Decimal(60)]


def test_the_policy_measures_the_loss_after_the_waiver() -> None:
    terms = waiver(share_amount=Decimal(300))
    found = two_lines(terms, policy=PolicyTerms(deductibles=(flat("100"),)))
    assert (found.waiver, found.policy, found.renter) == (
        Decimal(200),
        Decimal(200),
        Decimal(100),
    )
