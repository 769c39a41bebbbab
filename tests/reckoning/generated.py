"""Claims of every shape for property tests: invented, small, and valid."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from ldapp.claim.charges import Charge, ChargeKind, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement, Stage
from ldapp.claim.documents import Split
from ldapp.claim.findings import Finding, Repair
from ldapp.claim.grounds import GROUND_CODES, GroundCode
from ldapp.claim.kit import Comparable, KitLine
from ldapp.claim.policy import (
    Aggregate,
    AlsoInsured,
    Deductible,
    Exclusion,
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
    ClosingCount,
    CustodyEnd,
    DepreciationTable,
    FeeRule,
    LessorsDiscount,
    Liability,
    LossOfUse,
    OpeningCondition,
    Provision,
    RepairDecision,
    Salvage,
    StraightLine,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationRule,
    ValueCeiling,
    WaiverTerm,
)
from tests.reckoning.claims import CLAUSE, at, claim, event

amounts = st.decimals(min_value=0, max_value=5000, places=2)
prices = st.decimals(min_value=1, max_value=3000, places=2)
shares = st.fractions(min_value=0, max_value=1, max_denominator=60)
clauses = st.sampled_from([None, CLAUSE])
bases = st.sampled_from(
    ["replacement_cost", "actual_cash_value", "scheduled_value", "market_value", "in_kind"]
)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(st.none(), strategy)


valuations = st.builds(
    ValuationRule,
    bases=st.lists(bases, min_size=1, max_size=2, unique=True).map(tuple),
    of_several=st.sampled_from(["lesser", "greater"]),
    clause=clauses,
)
straight_lines = st.builds(
    StraightLine,
    life_months=maybe(st.integers(1, 240)),
    residual_share=maybe(shares),
    age=st.sampled_from(["whole_months", "whole_years", "days_over_365"]),
    half_year=st.booleans(),
    clause=clauses,
)
falling = st.lists(shares, min_size=1, max_size=6).map(lambda s: tuple(sorted(s, reverse=True)))
tables = st.builds(
    DepreciationTable,
    shows=st.just("percent_good"),
    by_year=falling,
    year=st.sampled_from(["calendar_years", "years_completed", "years_begun"]),
    residual_share=maybe(shares),
)
yearly = st.builds(
    DepreciationTable,
    shows=st.just("percent_of_year"),
    by_year=st.lists(shares.map(lambda s: s / 6), min_size=1, max_size=6).map(tuple),
    year=st.sampled_from(["calendar_years", "years_completed", "years_begun"]),
)
depreciations = st.one_of(straight_lines, tables, yearly)
waivers = st.builds(
    WaiverTerm,
    taken=st.booleans(),
    share_form=st.sampled_from(["flat", "percentage_of_loss", "percentage_of_value"]),
    share_amount=amounts,
    share_rate=shares,
    per=st.sampled_from(["incident", "unit", "line"]),
    limit=maybe(amounts),
    repair_only=st.booleans(),
    covers_loss_of_use=st.booleans(),
    excluded_causes=st.sampled_from([(), ("unexplained",), ("theft",)]),
)
uses = st.builds(
    LossOfUse,
    days_from=st.sampled_from(["dates", "hours_over_8", "hours_over_4", "stated"]),
    stated_days=maybe(st.fractions(0, 60, max_denominator=2)),
    billed_days_per_week=maybe(st.sampled_from([Fraction(3), Fraction(3, 2), Fraction(5)])),
    rate_share=maybe(shares),
    discount=maybe(shares),
    utilisation=maybe(shares),
    cap_days=maybe(st.integers(0, 30).map(Fraction)),
    cap_amount=maybe(amounts),
    cap_share_of_value=maybe(shares),
    proof_required=maybe(st.booleans()),
    clause=clauses,
)
faults = st.sampled_from([None, True, False])
insured = st.builds(AlsoInsured, parties=st.sampled_from([("school",), ("school", "student")]))
closings = st.builds(
    ClosingCount, rule=st.sampled_from(["joint", "lessor_controls", "silent"]), clause=clauses
)
openings = st.builds(
    OpeningCondition,
    rule=st.sampled_from(["good_unless_noted_at_delivery", "noted_within_hours", "as_is"]),
    hours=maybe(st.integers(0, 48)),
    clause=clauses,
)
liabilities = st.builds(
    Liability,
    rule=st.sampled_from(["any_cause", "fault_only", "waived_perils"]),
    perils=st.sampled_from([(), ("theft",), ("water", "fire")]),
    clause=clauses,
)
burn_outs = st.builds(
    BurnOutTerm,
    rule=st.sampled_from(["free_if_returned", "free_on_short_rental", "renter"]),
    short_rental_days=maybe(st.integers(0, 10)),
    clause=clauses,
)
terms_of_any_kind = st.builds(
    Terms,
    closing_count=maybe(closings),
    opening_condition=maybe(openings),
    invoice_conclusive=maybe(st.builds(Provision, applies=st.booleans(), clause=clauses)),
    liability=maybe(liabilities),
    burn_outs=maybe(burn_outs),
    valuation=maybe(valuations),
    depreciation=maybe(depreciations),
    lessors_discount=maybe(st.builds(LessorsDiscount, rate=shares, clause=clauses)),
    ceiling=maybe(st.builds(ValueCeiling, amount=maybe(amounts), share_of_replacement=shares)),
    repair_decision=maybe(
        st.builds(RepairDecision, rule=st.sampled_from(["lesser", "threshold"]), threshold=shares)
    ),
    betterment=maybe(st.builds(Provision, applies=st.booleans(), clause=clauses)),
    salvage=maybe(st.builds(Salvage, kept_by=st.sampled_from(["lessor", "renter", "insurer"]))),
    wear_excepted=maybe(st.builds(Provision, applies=st.booleans())),
    custody_end=maybe(
        st.builds(CustodyEnd, event=st.sampled_from(["handed_over", "check_in_complete"]))
    ),
    loss_of_use=maybe(uses),
    fees=st.lists(
        st.builds(
            FeeRule,
            kind=st.sampled_from(["administration", "cleaning", "other"]),
            form=st.sampled_from(["flat", "percentage", "as_documented"]),
            amount=amounts,
            rate=shares,
            base=st.sampled_from(["loss", "repair", "invoice"]),
        ),
        max_size=2,
    ).map(tuple),
    tax=maybe(
        st.builds(
            TaxRule,
            rates=st.lists(shares.map(lambda s: s / 5), max_size=2).map(tuple),
            components=st.just(
                (
                    TaxComponentRule(component="replacement", taxable=True),
                    TaxComponentRule(component="labour", taxable=False),
                )
            ),
            rounded=st.sampled_from(["per_invoice", "per_line"]),
        )
    ),
    waiver=maybe(waivers),
)
deductibles = st.builds(
    Deductible,
    form=st.sampled_from(
        ["flat", "percentage_of_loss", "percentage_of_value", "percentage_of_limit"]
    ),
    per=st.sampled_from(["occurrence", "line", "unit"]),
    amount=amounts,
    rate=shares.map(lambda s: s / 4),
    bounds_per=st.sampled_from(["occurrence", "line"]),
    causes=st.sampled_from([(), ("theft",), ("water",)]),
)
policies = st.builds(
    PolicyTerms,
    period=maybe(st.just(PolicyPeriod(begins=at(1, 0), ends=at(25, 0)))),
    also_insured=maybe(insured),
    limit_form=st.sampled_from(["one_limit", "separate_limits"]),
    limit=maybe(st.builds(PolicyLimit, amount=amounts)),
    item_limits=st.sampled_from(
        [
            (),
            (ItemLimit(line="k1", amount=Decimal(300)),),
            (ItemLimit(category="grip", amount=Decimal(500)),),
        ]
    ),
    sublimits=st.lists(
        st.builds(
            Sublimit,
            per=st.sampled_from(["unit", "line"]),
            amount=amounts,
        )
        | st.builds(Sublimit, per=st.just("category"), amount=amounts, category=st.just("grip"))
        | st.builds(Sublimit, per=st.just("cause"), amount=amounts, cause=st.just("theft")),
        max_size=2,
    ).map(tuple),
    deductibles=st.lists(deductibles, max_size=2).map(tuple),
    insurance_to_value=maybe(
        st.builds(
            InsuranceToValue,
            required_share=shares,
            agreed_value=maybe(prices),
            value_at_risk=maybe(amounts),
            blanket=st.booleans(),
        )
    ),
    participation=maybe(st.builds(Participation, insured_share=shares)),
    exclusions=st.sampled_from(
        [
            (),
            (Exclusion(cause="water"),),
            (Exclusion(component="tax"),),
            (Exclusion(category="grip"),),
        ]
    ),
    valuation=maybe(valuations),
    depreciation=maybe(depreciations),
    holdback=maybe(st.just(Holdback())),
    other_insurance=st.lists(
        st.builds(OtherInsurance, insurer=st.just("another"), limit=amounts), max_size=2
    ).map(tuple),
    other_insurance_shares=st.sampled_from([None, "equal_shares", "by_limits"]),
    aggregate=maybe(st.builds(Aggregate, amount=amounts)),
)


@st.composite
def grounds_of(draw: st.DrawFn) -> tuple[GroundChoice, ...]:
    codes = draw(st.lists(st.sampled_from(GROUND_CODES), max_size=4, unique=True))
    return tuple(
        GroundChoice(
            code=code,
            on=draw(st.booleans()),
            quantity=draw(maybe(st.integers(0, 3))),
            amount=draw(maybe(amounts)),
            days=draw(maybe(st.integers(0, 20).map(Decimal))),
            rate=draw(maybe(amounts)),
            clause=draw(st.sampled_from(["", "9"])),
        )
        for code in codes
    )


@st.composite
def kit_lines(draw: st.DrawFn, identity: str) -> KitLine:
    return KitLine(
        id=identity,
        number=identity[1:],
        agreement="a",
        description=draw(st.sampled_from(["stinger 25 ft", "stinger 50 ft", "flag"])),
        quantity=draw(st.integers(0, 5)),
        kind=draw(st.sampled_from(["grip", "lighting"])),
        replacement_cost=draw(maybe(prices)),
        scheduled_value=draw(maybe(prices)),
        comparables=tuple(
            Comparable(source="a listing", dated=dt.date(2026, 1, n + 1), price=price)
            for n, price in enumerate(draw(st.lists(prices, max_size=3)))
        ),
        day_rate=draw(maybe(prices)),
        acquired=draw(maybe(st.dates(dt.date(2019, 1, 1), dt.date(2026, 4, 1)))),
    )


@st.composite
def counts_of(draw: st.DrawFn, lines: list[KitLine]) -> tuple[Count, ...]:
    stages: list[tuple[Stage, int]] = [
        ("pickup", 2),
        ("during", 6),
        ("during", 9),
        ("return", 12),
        ("check_in", 14),
    ]
    counts = []
    for n, (stage, day) in enumerate(stages):
        if draw(st.booleans()):
            entries = tuple(
                CountEntry(
                    line=line.id,
                    quantity=draw(maybe(st.integers(0, line.quantity))),
                    condition=draw(st.sampled_from(["not_looked_at", "damaged_before"])),
                )
                for line in lines
            )
            counts.append(
                Count(
                    id=f"c{n}",
                    stage=stage,
                    at=at(day),
                    acknowledgement=draw(st.sampled_from(["signed_by_both", "none"])),
                    entries=entries,
                )
            )
    return tuple(counts)


@st.composite
def findings_of(draw: st.DrawFn, lines: list[KitLine]) -> tuple[Finding, ...]:
    findings = []
    for n in range(draw(st.integers(0, 4))):
        kind = draw(st.sampled_from(["missing", "missing", "damaged", "short_at_pickup"]))
        repair = None
        if kind == "damaged":
            repair = draw(
                maybe(
                    st.builds(
                        Repair,
                        parts=amounts,
                        labour=amounts,
                        discount=amounts,
                        labour_hours=maybe(st.integers(0, 40).map(Decimal)),
                        document=st.sampled_from([None, "d"]),
                    )
                )
            )
        findings.append(
            Finding(
                id=f"f{n}",
                line=draw(st.sampled_from(lines)).id,
                kind=kind,
                quantity=draw(st.integers(0, 3)),
                occurrence=draw(st.sampled_from([None, "o1", "o2"])),
                cause=draw(st.sampled_from([None, "theft", "wear", "water", "burn_out"])),
                repair=repair,
                beyond_repair=draw(st.sampled_from([None, True])),
                salvage=draw(maybe(amounts)),
                stated_value=draw(maybe(amounts)) if draw(st.booleans()) else None,
                replaced_for=draw(maybe(amounts)),
            )
        )
    return tuple(findings)


@st.composite
def charges_of(
    draw: st.DrawFn, lines: list[KitLine], findings: tuple[Finding, ...]
) -> tuple[Charge, ...]:
    kinds: list[ChargeKind] = [
        "missing",
        "replacement",
        "repair",
        "repair_labour",
        "repair_parts",
        "loss_of_use",
    ]
    kinds += ["administration", "cleaning", "fee", "interest", "tax", "credit", "other"]
    charges = []
    for n in range(draw(st.integers(0, 5))):
        finding = draw(maybe(st.sampled_from(findings))) if findings else None
        charges.append(
            Charge(
                id=f"h{n}",
                number=str(n + 1),
                description="a thing",
                kind=draw(st.sampled_from(kinds)),
                quantity=Decimal(draw(st.integers(0, 4))),
                unit_price=draw(maybe(amounts)),
                amount=draw(amounts),
                days=draw(maybe(st.integers(0, 30).map(Decimal))),
                line=draw(st.sampled_from([None, *(line.id for line in lines)])),
                finding=None if finding is None else finding.id,
                grounds=draw(grounds_of()),
            )
        )
    return tuple(charges)


@st.composite
def claims(draw: st.DrawFn) -> Claim:
    lines = [draw(kit_lines(f"k{n}")) for n in range(1, draw(st.integers(1, 3)) + 1)]
    findings = draw(findings_of(lines))
    charges = draw(charges_of(lines, findings))
    half = len(charges) // 2
    invoices = (
        Invoice(
            id="i1", agreement="a", number="1", dated=dt.date(2026, 3, 20), charges=charges[half:]
        ),
        Invoice(
            id="i2",
            agreement="a",
            number="2",
            dated=dt.date(2026, 3, 21),
            charges=charges[:half],
            gross=draw(maybe(amounts)),
        ),
    )
    movements = tuple(
        Movement(
            id=f"m{n}",
            kind=draw(st.sampled_from(["added", "returned_early", "used_up", "exchanged"])),
            line=draw(st.sampled_from(lines)).id,
            quantity=draw(st.integers(0, 2)),
            at=at(draw(st.integers(3, 15))),
        )
        for n in range(draw(st.integers(0, 2)))
    )
    splits = draw(
        st.sampled_from(
            [
                (),
                (
                    Split(id="s1", party="grip", share_percent=Decimal(33), at_most=Decimal(100)),
                    Split(id="s2", party="production"),
                ),
            ]
        )
    )
    return claim(
        kit=lines,
        findings=findings,
        occurrences=[
            event("o1", dt.date(2026, 3, draw(st.integers(1, 28))), our_fault=draw(faults)),
            event("o2", draw(maybe(st.just(dt.date(2026, 3, 10)))), cause="water"),
        ],
        invoices=invoices,
        counts=draw(counts_of(lines)),
        movements=movements,
        splits=splits,
        terms=draw(terms_of_any_kind),
        policy=draw(maybe(policies)),
        agreement={
            "paid": dt.date(2026, 4, 20),
            "notified": dt.date(2026, 3, 15),
            "renter": draw(st.sampled_from([None, "school", "student"])),
            "starts": at(1),
            "ends": at(8),
        },
    )


rich_terms = st.builds(
    Terms,
    closing_count=maybe(closings),
    opening_condition=maybe(openings),
    liability=maybe(liabilities),
    valuation=st.builds(
        ValuationRule,
        bases=st.sampled_from([("replacement_cost",), ("actual_cash_value",)]),
        clause=clauses,
    ),
    depreciation=st.builds(StraightLine, life_months=st.integers(24, 240), clause=clauses),
    lessors_discount=maybe(st.builds(LessorsDiscount, rate=shares, clause=clauses)),
    ceiling=maybe(st.builds(ValueCeiling, amount=prices)),
    betterment=maybe(st.builds(Provision, applies=st.just(True), clause=clauses)),
    loss_of_use=maybe(uses),
    waiver=maybe(
        st.builds(
            WaiverTerm,
            taken=st.just(True),
            share_form=st.sampled_from(["flat", "percentage_of_loss"]),
            share_amount=st.decimals(0, 400, places=2),
            share_rate=shares,
            per=st.sampled_from(["incident", "unit", "line"]),
            limit=maybe(amounts),
        )
    ),
)
rich_policies = st.builds(
    PolicyTerms,
    limit_form=st.sampled_from(["one_limit", "separate_limits"]),
    limit=maybe(st.builds(PolicyLimit, amount=prices)),
    item_limits=st.sampled_from([(), (ItemLimit(line="k1", amount=Decimal("300.01")),)]),
    sublimits=st.sampled_from(
        [
            (),
            (Sublimit(per="unit", amount=Decimal("99.99")),),
            (Sublimit(per="category", category="grip", amount=Decimal("333.33")),),
        ]
    ),
    deductibles=st.lists(
        st.builds(
            Deductible,
            form=st.sampled_from(["flat", "percentage_of_loss", "percentage_of_value"]),
            per=st.sampled_from(["occurrence", "line", "unit"]),
            amount=st.decimals(0, 200, places=2),
            rate=shares.map(lambda s: s / 5),
            maximum=maybe(st.decimals(100, 500, places=2)),
        ),
        max_size=2,
    ).map(tuple),
    insurance_to_value=maybe(
        st.builds(
            InsuranceToValue,
            required_share=shares,
            value_at_risk=maybe(prices),
            blanket=st.booleans(),
        )
    ),
    participation=maybe(st.builds(Participation, insured_share=shares)),
    depreciation=st.just(StraightLine(life_months=60)),
    holdback=maybe(st.just(Holdback())),
    other_insurance=st.lists(
        st.builds(OtherInsurance, insurer=st.just("another"), limit=prices), max_size=2
    ).map(tuple),
    other_insurance_shares=st.sampled_from([None, "equal_shares", "by_limits"]),
    aggregate=maybe(st.builds(Aggregate, amount=prices)),
)
FITTING: dict[ChargeKind, list[GroundCode]] = {
    "missing": ["never_received", "returned", "quantity", "depreciation", "lessors_discount"],
    "replacement": [
        "quantity",
        "valuation_date",
        "schedule_exceeded",
        "billed_twice",
        "arithmetic",
    ],
    "repair": ["repair_undocumented", "repair_cheaper", "betterment", "schedule_exceeded"],
    "loss_of_use": ["loss_of_use_days", "loss_of_use_cap", "loss_of_use_rate", "ordinary_wear"],
}


@st.composite
def charged_findings(draw: st.DrawFn, lines: list[KitLine]) -> tuple[list[Finding], list[Charge]]:
    findings: list[Finding] = []
    charges: list[Charge] = []
    for line in lines:
        damaged = draw(st.booleans())
        finding = Finding(
            id=f"f{line.id}",
            line=line.id,
            kind="damaged" if damaged else "missing",
            quantity=draw(st.integers(1, 3)),
            occurrence=draw(st.sampled_from(["o1", "o1", "o2", None])),
            repair=Repair(
                parts=draw(amounts),
                labour=draw(amounts),
                labour_hours=Decimal(12),
                document=draw(st.sampled_from([None, "d"])),
            )
            if damaged
            else None,
            replaced_for=draw(maybe(prices)),
        )
        findings.append(finding)
        for _ in range(draw(st.integers(0, 2))):
            kinds: list[ChargeKind] = (
                ["repair", "loss_of_use"] if damaged else ["missing", "replacement"]
            )
            kind = draw(st.sampled_from(kinds))
            codes = draw(st.lists(st.sampled_from(FITTING[kind]), unique=True))
            number = len(charges)
            charges.append(
                Charge(
                    id=f"h{number}",
                    number=str(number + 1),
                    description="a thing",
                    kind=kind,
                    quantity=Decimal(draw(st.integers(1, 4))),
                    unit_price=draw(maybe(prices)),
                    amount=draw(prices),
                    days=Decimal(20) if kind == "loss_of_use" else None,
                    finding=finding.id,
                    grounds=tuple(
                        GroundChoice(code=code, on=draw(st.booleans())) for code in codes
                    ),
                )
            )
    return findings, charges


@st.composite
def rich_claims(draw: st.DrawFn) -> Claim:
    """Claims in which losses are priced, charged, dated and insured."""
    lines = [
        KitLine(
            id=f"k{n}",
            number=str(n),
            agreement="a",
            description="stinger 25 ft",
            quantity=draw(st.integers(1, 6)),
            kind=draw(st.sampled_from(["grip", "lighting"])),
            replacement_cost=draw(prices),
            day_rate=draw(maybe(st.decimals(1, 90, places=2))),
            acquired=draw(st.dates(dt.date(2022, 1, 1), dt.date(2026, 3, 1))),
        )
        for n in range(1, draw(st.integers(1, 4)) + 1)
    ]
    findings, charges = draw(charged_findings(lines))
    return claim(
        kit=lines,
        findings=findings,
        occurrences=[
            event("o1", our_fault=draw(faults)),
            event("o2", dt.date(2026, 3, 9), cause="water"),
        ],
        invoices=[
            Invoice(
                id="i1",
                agreement="a",
                number="1",
                dated=dt.date(2026, 3, 20),
                charges=tuple(charges),
            )
        ],
        counts=draw(counts_of(lines)),
        terms=draw(rich_terms),
        policy=draw(rich_policies),
    )


any_claims = st.one_of(rich_claims(), rich_claims(), claims())
