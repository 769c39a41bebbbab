"""Terms that cannot be are refused, all at once, each with its place."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Split
from ldapp.claim.findings import Repair
from ldapp.claim.kit import Comparable, DatedPrice, Part
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    DeductibleSplit,
    Holdback,
    InsuranceToValue,
    ItemLimit,
    OtherInsurance,
    Participation,
    PolicyLimit,
    PolicyPeriod,
    PolicyTerms,
    Sublimit,
)
from ldapp.claim.terms import (
    BurnOutTerm,
    DepositTerm,
    DepreciationOverride,
    DepreciationTable,
    FeeBand,
    FeeRule,
    Interest,
    LessorsDiscount,
    LossOfUse,
    OpeningCondition,
    PairOrSet,
    RecoveryTerm,
    RentCredit,
    RepairDecision,
    ReplacementTax,
    ShareBand,
    StraightLine,
    TaxRule,
    Terms,
    ValuationOverride,
    ValuationRule,
    ValueCeiling,
    WaiverTerm,
)
from ldapp.errors import InputError
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import (
    REPLACEMENT,
    at,
    charge,
    claim,
    damaged,
    event,
    invoice,
    line,
    missing,
)

TOO_MUCH = Fraction(7, 5)
MINUS = Decimal(-1)


def places(of: Claim) -> list[str]:
    return [fault.place for fault in check_terms(of)]


def in_terms(**terms: Any) -> list[str]:
    return [
        place.removeprefix("agreements[0].terms.") for place in places(claim(terms=Terms(**terms)))
    ]


def in_policy(**terms: Any) -> list[str]:
    return [
        place.removeprefix("policy.terms.") for place in places(claim(policy=PolicyTerms(**terms)))
    ]


def test_a_good_claim_has_no_fault() -> None:
    of = claim(
        kit=[line(price="100")],
        findings=[missing()],
        occurrences=[event()],
        invoices=[invoice(charge(finding="f1"))],
        policy=PolicyTerms(period=PolicyPeriod(begins=at(1), ends=at(9)), currency="USD"),
    )
    assert check_terms(of) == ()


def test_all_faults_come_at_once_each_with_its_place() -> None:
    of = claim(
        terms=Terms(
            valuation=REPLACEMENT,
            depreciation=StraightLine(life_months=0),
            lessors_discount=LessorsDiscount(rate=TOO_MUCH),
            currency="CAD",
        ),
        policy=PolicyTerms(period=PolicyPeriod(begins=at(9), ends=at(1))),
    )
    with pytest.raises(InputError) as caught:
        reckon(of)
    assert [fault.place for fault in caught.value.faults] == [
        "policy.terms.period.ends",
        "agreements[0].terms.currency",
        "agreements[0].terms.lessors_discount.rate",
        "agreements[0].terms.depreciation.life_months",
    ]
    assert "140 % is no share" in str(caught.value)
    assert caught.value.exit_code == 2


@pytest.mark.parametrize(
    ("terms", "place"),
    [
        ({"valuation": ValuationRule(bases=())}, "valuation.bases"),
        (
            {"valuation": ValuationRule(bases=("in_kind",), share=Fraction(-1))},
            "valuation.share",
        ),
        (
            {"valuation_overrides": (ValuationOverride(rule=ValuationRule(bases=())),)},
            "valuation_overrides[0].rule.bases",
        ),
        ({"ceiling": ValueCeiling(amount=MINUS)}, "ceiling.amount"),
        (
            {"ceiling": ValueCeiling(share_of_replacement=Fraction(-1))},
            "ceiling.share_of_replacement",
        ),
        ({"replacement_tax": ReplacementTax(rate=TOO_MUCH)}, "replacement_tax.rate"),
        (
            {"depreciation": StraightLine(life_months=9, residual_share=TOO_MUCH)},
            "depreciation.residual_share",
        ),
        (
            {"depreciation": StraightLine(life_months=9, residual_amount=MINUS)},
            "depreciation.residual_amount",
        ),
        (
            {"depreciation": DepreciationTable(shows="percent_good", by_year=())},
            "depreciation.by_year",
        ),
        (
            {"depreciation": DepreciationTable(shows="percent_good", by_year=(TOO_MUCH,))},
            "depreciation.by_year[0]",
        ),
        (
            {
                "depreciation": DepreciationTable(
                    shows="percent_good", by_year=(Fraction(1, 4), Fraction(1, 2))
                )
            },
            "depreciation.by_year",
        ),
        (
            {
                "depreciation": DepreciationTable(
                    shows="percent_of_year", by_year=(Fraction(3, 4), Fraction(1, 2))
                )
            },
            "depreciation.by_year",
        ),
        (
            {
                "depreciation_overrides": (
                    DepreciationOverride(rule=StraightLine(life_months=-1), line="k1"),
                )
            },
            "depreciation_overrides[0].rule.life_months",
        ),
        ({"pair_or_set": PairOrSet(rule="stated_share", share=TOO_MUCH)}, "pair_or_set.share"),
        (
            {"repair_decision": RepairDecision(rule="threshold", threshold=TOO_MUCH)},
            "repair_decision.threshold",
        ),
        ({"loss_of_use": LossOfUse(discount=TOO_MUCH)}, "loss_of_use.discount"),
        (
            {"loss_of_use": LossOfUse(billed_days_per_week=Fraction(15, 2))},
            "loss_of_use.billed_days_per_week",
        ),
        ({"loss_of_use": LossOfUse(cap_amount=MINUS)}, "loss_of_use.cap_amount"),
        (
            {"loss_of_use": LossOfUse(billed_days_per_week=Fraction(8))},
            "loss_of_use.billed_days_per_week",
        ),
        (
            {"loss_of_use": LossOfUse(billed_days_per_week=Fraction(0))},
            "loss_of_use.billed_days_per_week",
        ),
        ({"fees": (FeeRule(kind="late", form="flat", amount=MINUS),)}, "fees[0].amount"),
        ({"fees": (FeeRule(kind="late", form="percentage", rate=TOO_MUCH),)}, "fees[0].rate"),
        (
            {
                "fees": (
                    FeeRule(kind="late", form="percentage", minimum=Decimal(9), maximum=Decimal(1)),
                )
            },
            "fees[0].minimum",
        ),
        ({"fees": (FeeRule(kind="late", form="bands"),)}, "fees[0].bands"),
        (
            {
                "fees": (
                    FeeRule(
                        kind="late",
                        form="bands",
                        bands=(
                            FeeBand(up_to=None, fee=Decimal(1)),
                            FeeBand(up_to=Decimal(5), fee=Decimal(1)),
                        ),
                    ),
                )
            },
            "fees[0].bands",
        ),
        ({"tax": TaxRule(rates=(Fraction(0), TOO_MUCH))}, "tax.rates[1]"),
        ({"interest": Interest(yearly_rate=TOO_MUCH)}, "interest.yearly_rate"),
        ({"rent_credit": RentCredit(rule="deducted", amount=MINUS)}, "rent_credit.amount"),
        ({"deposit": DepositTerm(form="held", amount=MINUS)}, "deposit.amount"),
        ({"deposit": DepositTerm(form="held", release_days=-1)}, "deposit.release_days"),
        (
            {"opening_condition": OpeningCondition(rule="noted_within_hours", hours=-1)},
            "opening_condition.hours",
        ),
        (
            {"burn_outs": BurnOutTerm(rule="free_on_short_rental", short_rental_days=-1)},
            "burn_outs.short_rental_days",
        ),
        ({"recovery": RecoveryTerm(refund="full", within_days=-1)}, "recovery.within_days"),
        ({"interest": Interest(yearly_rate=Fraction(0), after_days=-1)}, "interest.after_days"),
        ({"waiver": WaiverTerm(taken=True, share_rate=TOO_MUCH)}, "waiver.share_rate"),
        ({"waiver": WaiverTerm(taken=True, limit=MINUS)}, "waiver.limit"),
        (
            {"waiver": WaiverTerm(taken=True, share_minimum=Decimal(2), share_maximum=Decimal(1))},
            "waiver.share_minimum",
        ),
        (
            {
                "waiver": WaiverTerm(
                    taken=True,
                    share_bands=(
                        ShareBand(up_to=Decimal(5), amount=Decimal(1)),
                        ShareBand(up_to=Decimal(5), amount=Decimal(2)),
                    ),
                )
            },
            "waiver.share_bands",
        ),
        (
            {"deadlines": (DeadlineRule(code="x", title="x", starts="loss", length=-1),)},
            "deadlines[0].length",
        ),
    ],
)
def test_agreement_terms_that_cannot_be(terms: dict[str, Any], place: str) -> None:
    assert in_terms(**terms) == [place]


@pytest.mark.parametrize(
    ("terms", "place"),
    [
        ({"valuation": ValuationRule(bases=())}, "valuation.bases"),
        ({"depreciation": StraightLine(life_months=0)}, "depreciation.life_months"),
        (
            {
                "depreciation_overrides": (
                    DepreciationOverride(rule=StraightLine(life_months=0), line="k1"),
                )
            },
            "depreciation_overrides[0].rule.life_months",
        ),
        ({"limit": PolicyLimit(amount=MINUS)}, "limit.amount"),
        ({"item_limits": (ItemLimit(amount=MINUS),)}, "item_limits[0].amount"),
        ({"sublimits": (Sublimit(per="unit", amount=MINUS),)}, "sublimits[0].amount"),
        ({"deductibles": (Deductible(form="flat", amount=MINUS),)}, "deductibles[0].amount"),
        (
            {"deductibles": (Deductible(form="percentage_of_loss", rate=TOO_MUCH),)},
            "deductibles[0].rate",
        ),
        (
            {"deductible_split": DeductibleSplit(first="a", rest="b", form="share", rate=TOO_MUCH)},
            "deductible_split.rate",
        ),
        (
            {"insurance_to_value": InsuranceToValue(required_share=TOO_MUCH)},
            "insurance_to_value.required_share",
        ),
        (
            {"insurance_to_value": InsuranceToValue(agreed_value=Decimal(0))},
            "insurance_to_value.agreed_value",
        ),
        ({"participation": Participation(insured_share=TOO_MUCH)}, "participation.insured_share"),
        (
            {"other_insurance": (OtherInsurance(insurer="x", limit=MINUS),)},
            "other_insurance[0].limit",
        ),
        ({"aggregate": Aggregate(amount=MINUS)}, "aggregate.amount"),
        ({"holdback": Holdback(proof_within_days=-1)}, "holdback.proof_within_days"),
        ({"not_worth_claiming_below": MINUS}, "not_worth_claiming_below"),
        ({"currency": "CAD"}, "currency"),
    ],
)
def test_policy_terms_that_cannot_be(terms: dict[str, Any], place: str) -> None:
    assert in_policy(**terms) == [place]


def test_currency_and_zone() -> None:
    assert places(claim(currency="usd", zone="Mars/Base")) == ["currency", "zone"]
    assert places(claim(zone="../etc")) == ["zone"]


def test_two_currencies_on_an_invoice() -> None:
    assert places(claim(invoices=[invoice(currency="CAD")])) == ["invoices[0].currency"]


def test_amounts_of_charges() -> None:
    charges = [
        charge("h1", "1.005"),
        charge("h2", "NaN"),
        charge("h3", "1", quantity=MINUS),
        charge("h4", "1", days=Decimal("Infinity")),
    ]
    assert places(claim(invoices=[invoice(*charges)])) == [
        "invoices[0].charges[0].amount",
        "invoices[0].charges[1].amount",
        "invoices[0].charges[2].quantity",
        "invoices[0].charges[3].days",
    ]


def test_negative_facts() -> None:
    of = claim(
        kit=[line(price="-1", scheduled_value=MINUS, day_rate=MINUS)],
        findings=[damaged(salvage=MINUS, stated_value=MINUS, occurrence=None)],
    )
    assert places(of) == [
        "kit[0].replacement_cost",
        "kit[0].scheduled_value",
        "kit[0].day_rate",
        "findings[0].salvage",
        "findings[0].stated_value",
    ]
    assert places(claim(policy=PolicyTerms(), used_before=MINUS)) == [
        "policy.aggregate_used_before"
    ]


def test_every_amount_is_looked_at() -> None:
    nan = Decimal("NaN")
    grounds = [
        GroundChoice(code="quantity", amount=MINUS),
        GroundChoice(code="arithmetic", rate=nan),
    ]
    of = claim(
        kit=[
            line(
                price="1",
                parts=(Part(id="arm", description="arm", replacement_cost=MINUS),),
                comparables=(Comparable(source="x", dated=dt.date(2026, 1, 1), price=nan),),
                prices=(DatedPrice(event="loss", price=MINUS),),
            )
        ],
        findings=[
            damaged(
                repair=Repair(parts=MINUS, labour_hours=nan),
                rent_paid_days=MINUS,
                occurrence=None,
            )
        ],
        invoices=[invoice(charge("h1", "1", grounds, unit_price=nan), gross=nan, net=MINUS)],
        splits=(Split(id="s", party="x", amount=MINUS, share_percent=MINUS, at_most=nan),),
    )
    assert places(of) == [
        "invoices[0].gross",
        "invoices[0].charges[0].unit_price",
        "invoices[0].charges[0].grounds[0].amount",
        "invoices[0].charges[0].grounds[1].rate",
        "kit[0].parts[0].replacement_cost",
        "kit[0].comparables[0].price",
        "kit[0].prices[0].price",
        "findings[0].rent_paid_days",
        "findings[0].repair.parts",
        "findings[0].repair.labour_hours",
        "splits[0].amount",
        "splits[0].at_most",
        "splits[0].share_percent",
    ]


def test_a_line_that_stands_twice_in_a_count() -> None:
    entries = (CountEntry(line="k1", quantity=1), CountEntry(line="k1", quantity=2))
    of = claim(kit=[line()], counts=(Count(id="c1", stage="return", at=at(1), entries=entries),))
    assert places(of) == ["counts[0].entries[1].line"]


def test_revisions_in_a_circle() -> None:
    ring = [
        invoice(id="i1", revises="i2"),
        invoice(id="i2", revises="i1"),
        invoice(id="i3", revises="i2"),
    ]
    assert places(claim(invoices=ring)) == ["invoices[0].revises", "invoices[1].revises"]
    chain = [invoice(id="i1"), invoice(id="i2", revises="i1"), invoice(id="i3", revises="i2")]
    assert places(claim(invoices=chain)) == []


def test_references_to_nothing() -> None:
    of = claim(
        kit=[line(agreement="z")],
        findings=[missing(on="k9"), missing("f2", part="arm", occurrence="o9")],
        invoices=[
            invoice(charge(line="k9", finding="f9"), agreement="z", revises="i9"),
        ],
        counts=[Count(id="c1", stage="return", at=at(1), entries=(CountEntry(line="k9"),))],
        movements=(Movement(id="m1", kind="added", line="k9", quantity=1, at=at(1)),),
    )
    assert places(of) == [
        "kit[0].agreement",
        "counts[0].entries[0].line",
        "movements[0].line",
        "findings[0].line",
        "findings[0].occurrence",
        "findings[1].occurrence",
        "findings[1].part",
        "invoices[0].agreement",
        "invoices[0].revises",
        "invoices[0].charges[0].line",
        "invoices[0].charges[0].finding",
    ]


def test_an_id_that_stands_twice() -> None:
    assert places(claim(kit=[line(), line()])) == ["kit"]


def test_an_invoice_that_revises_itself() -> None:
    assert places(claim(invoices=[invoice(revises="i1")])) == ["invoices[0].revises"]


def test_times_without_an_offset() -> None:
    naive = dt.datetime.fromisoformat("2026-03-01T12:00")
    entry = CountEntry(line="k1", at=naive)
    of = claim(
        kit=[line()],
        counts=[Count(id="c1", stage="return", at=naive, entries=(entry,))],
        movements=(Movement(id="m1", kind="added", line="k1", quantity=1, at=naive),),
        occurrences=[event(at=naive)],
        agreement={"starts": naive, "custody_began": at(1)},
        policy=PolicyTerms(period=PolicyPeriod(begins=naive, ends=naive)),
    )
    assert places(of) == [
        "agreements[0].starts",
        "counts[0].at",
        "counts[0].entries[0].at",
        "movements[0].at",
        "occurrences[0].at",
        "policy.terms.period.begins",
        "policy.terms.period.ends",
    ]


def test_ends_before_beginnings() -> None:
    of = claim(
        agreement={
            "starts": at(9),
            "ends": at(1),
            "custody_began": at(9),
            "custody_ended": at(1),
        }
    )
    assert places(of) == ["agreements[0].custody_ended", "agreements[0].ends"]
    assert check_terms(dataclasses.replace(of), "claim.json")[0].file == "claim.json"
