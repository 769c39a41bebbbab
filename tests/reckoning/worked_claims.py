"""Claims whose workings are kept as text, so that a changed word or figure is seen.

``python -m tests.reckoning.worked_claims`` writes the texts again; look at the difference
before committing it.  Everything in the claims is invented.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Document, Split
from ldapp.claim.findings import Finding, Repair
from ldapp.claim.grounds import GROUNDS
from ldapp.claim.kit import Comparable, Part
from ldapp.claim.policy import (
    Aggregate,
    Deductible,
    DeductibleSplit,
    Exclusion,
    Holdback,
    InsuranceToValue,
    OtherInsurance,
    Participation,
    PolicyLimit,
    PolicyPeriod,
    PolicyTerms,
)
from ldapp.claim.terms import (
    CustodyEnd,
    DepreciationTable,
    FeeBand,
    FeeRule,
    Interest,
    LessorsDiscount,
    LossOfUse,
    PairOrSet,
    Provision,
    RepairDecision,
    ReplacementTax,
    Salvage,
    ShareBand,
    StraightLine,
    TaxComponentRule,
    TaxRule,
    Terms,
    ValuationDate,
    ValuationOverride,
    ValuationRule,
    ValueCeiling,
    WaiverTerm,
)
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.defaults import unstated_in_agreement, unstated_in_policy
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.proposals import propose_findings, propose_grounds
from ldapp.reckoning.result import Step
from tests.reckoning.claims import (
    CASH_VALUE,
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
    straight_line,
)

FOLDER = Path(__file__).parent / "workings"
HALF = Fraction(1, 2)


def _rule(*bases: Any, **more: Any) -> Terms:
    return Terms(valuation=ValuationRule(bases=bases, clause=CLAUSE, **more))


def _values() -> Iterator[tuple[str, Claim]]:
    def one(terms: Terms, finding: Finding | None = None, **kit: Any) -> Claim:
        given = {"price": "100", "acquired": dt.date(2023, 1, 31), **kit}
        return claim(
            kit=[line("k1", **given)],
            findings=[finding or missing()],
            occurrences=[event()],
            terms=terms,
        )

    for age in ("whole_months", "whole_years", "days_over_365"):
        rule = straight_line(60, age=age, residual_share=Fraction(1, 10))
        yield f"straight line {age}", one(Terms(valuation=CASH_VALUE, depreciation=rule))
    half_year = StraightLine(life_months=60, half_year=True)
    yield "half year", one(Terms(valuation=CASH_VALUE, depreciation=half_year))
    for shows in ("percent_of_year", "percent_good"):
        for year in ("calendar_years", "years_completed", "years_begun"):
            table = DepreciationTable(
                shows=shows,
                by_year=(Fraction(1, 3), Fraction(1, 4)),
                year=year,
                source="a printed table",
                clause=CLAUSE,
            )
            yield f"{shows} {year}", one(Terms(valuation=CASH_VALUE, depreciation=table))
    yield "no basis", one(Terms())
    yield "no life", one(Terms(valuation=CASH_VALUE), acquired=None)
    yield (
        "no date",
        claim(
            kit=[line("k1", "100", acquired=dt.date(2023, 1, 31))],
            findings=[missing(occurrence=None)],
            terms=Terms(valuation=CASH_VALUE, depreciation=straight_line(60)),
        ),
    )
    yield "no price", one(Terms(valuation=REPLACEMENT), price=None)
    yield "scheduled", one(_rule("scheduled_value"), scheduled_value=Decimal(80))
    yield "no schedule", one(_rule("scheduled_value"))
    yield "in kind", one(_rule("in_kind"))
    yield "share", one(_rule("share_of_replacement", share=Fraction(1, 4)))
    yield "no share", one(_rule("share_of_replacement"))
    comparables = tuple(
        Comparable(source=f"listing {n}", dated=dt.date(2026, 1, n), price=Decimal(50 + n))
        for n in (1, 2)
    )
    yield "market", one(_rule("market_value"), comparables=comparables)
    yield "no market", one(_rule("market_value"))
    both = ("replacement_cost", "scheduled_value")
    yield "lesser", one(_rule(*both), scheduled_value=Decimal(80))
    yield "greater", one(_rule(*both, of_several="greater"), scheduled_value=Decimal(80))
    yield "one of two lacking", one(_rule(*both))
    yield (
        "discount tax ceiling",
        one(
            Terms(
                valuation=REPLACEMENT,
                valuation_date=ValuationDate(event="delivery", clause=CLAUSE),
                lessors_discount=LessorsDiscount(rate=Fraction(1, 10), clause=CLAUSE),
                replacement_tax=ReplacementTax(rate=Fraction(1, 20), clause=CLAUSE),
                ceiling=ValueCeiling(
                    amount=Decimal(90), share_of_replacement=Fraction(9, 10), clause=CLAUSE
                ),
            )
        ),
    )
    part = missing(set_value=Decimal(500), remainder_value=Decimal(100))
    yield "set", one(Terms(valuation=REPLACEMENT), part)
    shared = PairOrSet(rule="stated_share", share=HALF, clause=CLAUSE)
    yield "share of a set", one(Terms(valuation=REPLACEMENT, pair_or_set=shared), part)
    by_hand = missing(stated_value=Decimal(42), stated_value_reason="a dealer's offer")
    yield "by hand", one(Terms(), by_hand)
    yield "by hand, no reason", one(Terms(), missing(stated_value=Decimal(42)))
    parts = (Part(id="arm", description="arm", replacement_cost=Decimal(15)),)
    yield "part", one(Terms(valuation=REPLACEMENT), missing(part="arm"), parts=parts)
    override = ValuationOverride(rule=REPLACEMENT, line="k1")
    yield "override", one(Terms(valuation=CASH_VALUE, valuation_overrides=(override,)))
    kinds: tuple[Any, ...] = ("short_at_pickup", "over", "exchanged")
    for kind in kinds:
        found = Finding(id="f1", line="k1", kind=kind, quantity=1, occurrence="o1")
        yield kind, one(Terms(valuation=REPLACEMENT), found)


def _damage() -> Iterator[tuple[str, Claim]]:
    def one(terms: Terms, **finding: Any) -> Claim:
        return claim(
            kit=[line("k1", "100", age_months=30)],
            findings=[damaged(**finding)],
            occurrences=[event()],
            terms=terms,
        )

    repair = Repair(
        parts=Decimal(30), labour=Decimal(20), other=Decimal(9), discount=Decimal(4), document="d"
    )
    done = Repair(parts=Decimal(30), document="d", carried_out=True)
    plain = Terms(valuation=REPLACEMENT)
    yield "repair by estimate", one(plain, repair=repair)
    yield "repair carried out", one(plain, repair=done)
    stated = Terms(
        valuation=REPLACEMENT,
        repair_decision=RepairDecision(rule="lesser", clause=CLAUSE),
        betterment=Provision(applies=True, clause=CLAUSE),
        labour_depreciated=Provision(applies=True),
        depreciation=straight_line(60),
    )
    yield "betterment", one(stated, repair=repair)
    for threshold in (HALF, Fraction(1)):
        rule = RepairDecision(rule="threshold", threshold=threshold, clause=CLAUSE)
        terms = Terms(valuation=REPLACEMENT, repair_decision=rule)
        yield f"threshold {threshold}", one(terms, repair=repair)
    yield "beyond repair", one(plain, beyond_repair=True, salvage=Decimal(20))
    keepers: tuple[Any, ...] = ("lessor", "renter", "insurer")
    for keeper in keepers:
        terms = Terms(valuation=REPLACEMENT, salvage=Salvage(kept_by=keeper, clause=CLAUSE))
        yield f"wreck kept by {keeper}", one(terms, beyond_repair=True, salvage=Decimal(20))
    yield "no estimate", one(plain)
    yield "repair unchecked", one(Terms(), repair=repair)
    yield "wear", one(plain, cause="wear", repair=repair)
    wear = Terms(valuation=REPLACEMENT, wear_excepted=Provision(applies=True, clause=CLAUSE))
    yield "wear stated", one(wear, cause="wear", repair=repair)


def _counts() -> Iterator[tuple[str, Claim]]:
    counts = (
        count("c1", "pickup", at(1), {"k1": 9, "k2": 5}),
        count("c2", "during", at(4), {"k1": 8}, "one_side"),
        count("c3", "return", at(9), {"k1": 6, "k2": 6}, "emailed_same_day"),
        count("c4", "check_in", at(11), {"k1": 5}, "none"),
    )
    kit = [
        line("k1", "100", quantity=10, description="Stinger 25 ft"),
        line("k2", "100", quantity=5, description="Stinger 50 ft"),
    ]
    yield (
        "counts",
        claim(
            kit=kit,
            counts=counts,
            movements=(Movement(id="m1", kind="used_up", line="k1", quantity=1, at=at(5)),),
            findings=[missing(units=3, occurrence=None)],
            terms=Terms(valuation=REPLACEMENT, custody_end=CustodyEnd(event="handed_over")),
            agreement={"custody_began": at(2), "custody_ended": at(8), "ends": at(10)},
        ),
    )
    yield (
        "dated elsewhere",
        claim(
            kit=kit,
            counts=counts,
            findings=[missing(units=1, cause="water")],
            occurrences=[event(day=dt.date(2026, 3, 20))],
            policy=PolicyTerms(),
        ),
    )
    yield "check-in alone", claim(kit=kit, counts=counts[3:], findings=[missing(occurrence=None)])
    serials = CountEntry(line="k1", quantity=1, serials_seen=("X",), condition="damaged")
    yield (
        "serials",
        claim(
            kit=[line("k1", "100", quantity=1, serials=("A",))],
            counts=(Count(id="c3", stage="return", at=None, entries=(serials,)),),
        ),
    )


def _charges() -> Iterator[tuple[str, Claim]]:
    signed = Document(id="d1", title="ticket 7", signed_by_other_side=True)
    plain = Document(id="d2", title="a note")
    counts = (
        count("c1", "pickup", at(1), {"k1": 9}),
        count("c3", "return", at(9), {"k1": 7}, "one_side_with_photos"),
    )
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        valuation_date=ValuationDate(event="loss", clause=CLAUSE),
        lessors_discount=LessorsDiscount(rate=Fraction(1, 10), clause=CLAUSE),
        ceiling=ValueCeiling(amount=Decimal(45), clause=CLAUSE),
    )
    kit = [line("k1", "100", quantity=10, age_months=30), line("k2", "900", age_months=30)]
    findings = [missing(units=2), damaged("f2", "k2", repair=Repair(parts=Decimal(60)))]
    every = tuple(
        GroundChoice(code=kind.code, documents=("d1", "d2"), counts=("c1",))
        for kind in GROUNDS
        if kind.group != 1
    )
    first = tuple(GroundChoice(code=kind.code, quantity=1) for kind in GROUNDS if kind.group == 1)
    for name, chosen in (("late grounds", every), ("group one", first)):
        bills = invoice(
            charge("h1", "480", chosen, quantity=Decimal(4), finding="f1"),
            charge("h2", "120", chosen, quantity=Decimal(1), finding="f1"),
            charge("h3", "90", chosen, kind="repair", finding="f2"),
            charge("h4", "33", chosen, kind="other"),
            gross=Decimal(700),
            tax=Decimal(3),
        )
        yield (
            name,
            claim(
                kit=kit,
                findings=findings,
                occurrences=[event()],
                counts=counts,
                invoices=[bills],
                documents=(signed, plain),
                terms=terms,
                policy=PolicyTerms(),
            ),
        )


def _beside() -> Iterator[tuple[str, Claim]]:
    uses = {
        "dates": LossOfUse(billed_days_per_week=Fraction(3), clause=CLAUSE),
        "dates stated": LossOfUse(
            starts="return_due",
            ends_when_damaged="paid",
            last_day_counts=True,
            rate_share=HALF,
            discount=Fraction(1, 10),
            utilisation=Fraction(4, 5),
            cap_days=Fraction(9),
            cap_amount=Decimal(70),
        ),
        "by eight": LossOfUse(days_from="hours_over_8"),
        "by four": LossOfUse(days_from="hours_over_4", administrative_days=3),
        "stated": LossOfUse(days_from="stated", stated_days=Fraction(4)),
        "stated without days": LossOfUse(days_from="stated"),
        "start unknown": LossOfUse(starts="day_after_return_due"),
        "check-in unknown": LossOfUse(starts="check_in", ends_when_damaged="replaced"),
    }
    for name, term in uses.items():
        repair = Repair(
            parts=Decimal(5),
            labour_hours=Decimal(26),
            document="d",
            out_of_service_until=dt.date(2026, 3, 20),
        )
        codes = ("loss_of_use_days", "loss_of_use_rate", "loss_of_use_cap", "rent_already_paid")
        bill = charge("h1", "900", codes, kind="loss_of_use", finding="f1", days=Decimal(30))
        known = {"notified": dt.date(2026, 3, 8), "paid": dt.date(2026, 3, 30)}
        due = {} if "unknown" in name else {"ends": at(9)}
        yield (
            f"loss of use {name}",
            claim(
                kit=[line("k1", "400", day_rate=Decimal(20))],
                findings=[damaged(repair=repair, rent_paid_days=Decimal(2))],
                occurrences=[event()],
                invoices=[invoice(bill)],
                terms=Terms(valuation=REPLACEMENT, loss_of_use=term),
                agreement={**known, **due},
            ),
        )
    lost_only = LossOfUse(applies_to="damaged", clause=CLAUSE)
    use = charge("h1", "900", ["loss_of_use_days"], kind="loss_of_use", finding="f1")
    yield (
        "loss of use of a lost item",
        claim(
            kit=[line("k1", "400", day_rate=Decimal(20))],
            findings=[missing()],
            occurrences=[event()],
            invoices=[invoice(use)],
            terms=Terms(valuation=REPLACEMENT, loss_of_use=lost_only),
        ),
    )
    fees = (
        FeeRule(kind="administration", form="percentage", rate=Fraction(1, 10), clause=CLAUSE),
        FeeRule(kind="cleaning", form="flat", amount=Decimal(7)),
        FeeRule(kind="freight", form="as_documented"),
        FeeRule(
            kind="repacking", form="bands", bands=(FeeBand(up_to=Decimal(50), fee=Decimal(6)),)
        ),
    )
    roundings: tuple[Any, ...] = ("per_invoice", "per_line")
    for rounded in roundings:
        tax = TaxRule(
            rates=(Fraction(1, 20), Fraction(1, 40)),
            components=(TaxComponentRule(component="replacement", taxable=True),),
            rounded=rounded,
            clause=CLAUSE,
        )
        kinds = ("administration", "cleaning", "freight", "repack", "interest")
        extra = [
            charge(f"h{n}", "60", ["fee_not_agreed"], kind=kind) for n, kind in enumerate(kinds, 2)
        ]
        bills = invoice(
            charge("h1", "200.10", quantity=Decimal(2), finding="f1"),
            *extra,
            charge("h8", "40", ["tax_not_due"], kind="tax"),
        )
        yield (
            f"fees and tax {rounded}",
            claim(
                kit=[line("k1", "100", quantity=9)],
                findings=[missing(units=2)],
                occurrences=[event()],
                invoices=[bills],
                terms=Terms(
                    valuation=REPLACEMENT,
                    fees=fees,
                    tax=tax,
                    interest=Interest(yearly_rate=Fraction(9, 100), after_days=5, clause=CLAUSE),
                ),
                agreement={"paid": dt.date(2026, 4, 30)},
            ),
        )


def _insured() -> Iterator[tuple[str, Claim]]:
    def one(policy: PolicyTerms | None, terms: Terms | None = None, **more: Any) -> Claim:
        given: dict[str, Any] = {
            "kit": [line("k1", "1000", age_months=30), line("k2", "300", kind="grip")],
            "findings": [missing("f1"), missing("f2", "k2")],
            "occurrences": [event()],
            **more,
        }
        return claim(terms=terms, policy=policy, **given)

    full = PolicyTerms(
        period=PolicyPeriod(begins=at(1), ends=at(30), clause=CLAUSE),
        limit=PolicyLimit(amount=Decimal(900), clause=CLAUSE),
        deductibles=(Deductible(form="flat", amount=Decimal(100), clause=CLAUSE),),
        insurance_to_value=InsuranceToValue(required_share=Fraction(4, 5), clause=CLAUSE),
        participation=Participation(insured_share=Fraction(1, 10), clause=CLAUSE),
        other_insurance=(OtherInsurance(insurer="another", limit=Decimal(500)),),
        aggregate=Aggregate(amount=Decimal(800)),
        not_worth_claiming_below=Decimal(5000),
    )
    splits = (Split(id="s1", party="crew", share_percent=Decimal(20)),)
    yield "all steps", one(full, splits=splits, used_before=Decimal(150))
    held = PolicyTerms(
        holdback=Holdback(clause=CLAUSE),
        depreciation=straight_line(60),
        deductibles=(Deductible(form="percentage_of_value", rate=Fraction(1, 50)),),
        deductible_split=DeductibleSplit(first="student", rest="department", form="share"),
    )
    yield "held back", one(held, kit=[line("k1", "1000", age_months=30)], findings=[missing()])
    yield "nothing stated", one(PolicyTerms())
    yield "no policy", one(None)
    yield "excluded", one(PolicyTerms(exclusions=(Exclusion(cause="theft", category="grip"),)))
    early = PolicyTerms(period=PolicyPeriod(begins=at(1), ends=at(4)))
    yield "outside the period", one(early)
    yield "not dated", one(early, occurrences=[event(day=None)])
    counts = (
        count("c1", "pickup", at(10), {"k1": 1}),
        count("c2", "return", at(12), {"k1": 0}),
    )
    yield (
        "bracket outside the period",
        one(early, occurrences=[event(day=None)], counts=counts, findings=[missing()]),
    )
    yield "policy without a life", one(PolicyTerms(valuation=CASH_VALUE))
    yield "unexplained", one(PolicyTerms(), findings=[missing(occurrence=None)], occurrences=[])
    forms: dict[str, dict[str, Any]] = {
        "flat": {"share_amount": Decimal(50)},
        "of loss": {
            "share_form": "percentage_of_loss",
            "share_rate": Fraction(1, 5),
            "per": "line",
        },
        "of value": {
            "share_form": "percentage_of_value",
            "share_rate": Fraction(1, 5),
            "per": "unit",
            "limit": Decimal(600),
        },
        "bands": {
            "share_form": "bands",
            "share_bands": (ShareBand(up_to=Decimal(2000), amount=Decimal(10)),),
        },
        "no band": {"share_form": "bands"},
    }
    for name, form in forms.items():
        waiver = WaiverTerm(taken=True, clause=CLAUSE, **form)
        terms = Terms(valuation=REPLACEMENT, waiver=waiver)
        stray = invoice(
            charge("h1", "70"),
            charge("h2", "10", kind="cleaning"),
            charge("h3", "5", kind="tax"),
        )
        yield f"waiver {name}", one(None, terms, invoices=[stray])


def _refused() -> Iterator[tuple[str, Claim]]:
    bad = Terms(
        currency="CAD",
        valuation=ValuationRule(bases=(), share=Fraction(-1)),
        depreciation=StraightLine(life_months=0, residual_share=Fraction(7, 5)),
        loss_of_use=LossOfUse(billed_days_per_week=Fraction(8), cap_amount=Decimal("NaN")),
        fees=(
            FeeRule(kind="late", form="bands"),
            FeeRule(
                kind="late",
                form="bands",
                bands=(FeeBand(up_to=None, fee=Decimal(1)), FeeBand(up_to=None, fee=Decimal(1))),
                minimum=Decimal(5),
                maximum=Decimal(1),
            ),
        ),
    )
    naive = dt.datetime.fromisoformat("2026-03-01T12:00")
    yield (
        "refused",
        claim(
            currency="usd",
            zone="Nowhere",
            kit=[line(agreement="z"), line(price="-1")],
            findings=[missing(on="k9", part="arm", occurrence="o9")],
            occurrences=[event(at=naive)],
            invoices=[
                invoice(charge("h1", "1.005", line="k9", finding="f9"), revises="i1"),
                invoice(id="i2", agreement="z", revises="i9", currency="CAD"),
            ],
            counts=(Count(id="c1", stage="return", entries=(CountEntry(line="k9"),)),),
            movements=(Movement(id="m1", kind="added", line="k9", quantity=1, at=at(1)),),
            terms=bad,
            policy=PolicyTerms(
                currency="EUR",
                insurance_to_value=InsuranceToValue(agreed_value=Decimal(0)),
                deductibles=(Deductible(form="percentage_of_loss", rate=Fraction(2)),),
            ),
        ),
    )
    readings: tuple[Any, ...] = ("percent_good", "percent_of_year")
    for shows in readings:
        table = DepreciationTable(shows=shows, by_year=(HALF, Fraction(3, 4)))
        empty = DepreciationTable(shows=shows, by_year=())
        yield f"refused {shows}", claim(terms=Terms(depreciation=table))
        yield f"refused empty {shows}", claim(terms=Terms(depreciation=empty))
    yield (
        "refused times",
        claim(
            agreement={
                "starts": at(9),
                "ends": at(1),
                "custody_began": at(9),
                "custody_ended": at(1),
            },
            policy=PolicyTerms(period=PolicyPeriod(begins=at(9), ends=at(1))),
        ),
    )


def _deadlines() -> Iterator[tuple[str, Claim]]:
    rules = (
        DeadlineRule(code="a", title="Object", starts="invoice_received", length=30, needs="why"),
        DeadlineRule(code="b", title="Find", starts="return", length=48, unit="hours"),
        DeadlineRule(code="c", title="Pay", starts="invoice_date", length=5, unit="business_days"),
        DeadlineRule(code="d", title="Proof", starts="loss", length=2, rolls=True, source="rule"),
    )
    yield (
        "deadlines",
        claim(
            occurrences=[event()],
            invoices=[invoice(received=dt.date(2026, 3, 23))],
            counts=(count("c3", "return", at(9), {}),),
            terms=Terms(deadlines=rules),
        ),
    )


def worked_claims() -> dict[str, dict[str, Claim]]:
    """Return the claims by the file in which their workings stand, and by name."""
    return {
        "values": dict(_values()),
        "damage": dict(_damage()),
        "counts": dict(_counts()),
        "charges": dict(_charges()),
        "beside": dict(_beside()),
        "insured": dict(_insured()),
        "refused": dict(_refused()),
        "deadlines": dict(_deadlines()),
    }


def _step(step: Step, depth: int) -> Iterator[str]:
    given = "; ".join(f"{each.name} = {each.value}" for each in step.inputs)
    clause = "" if step.clause is None else f" [{step.clause.reference}]"
    default = f" !{step.not_stated}" if step.not_stated else ""
    yield f"{'  ' * depth}{step.label}: {step.result}{clause}{default}"
    yield f"{'  ' * depth}  by: {step.rule}" + (f" ({given})" if given else "")
    for inner in step.steps:
        yield from _step(inner, depth + 1)


def as_text(of: Claim) -> str:
    """Return everything of a reckoning that a person reads, or the faults of the claim."""
    faults = check_terms(of)
    if faults:
        return "\n".join(fault.sentence() for fault in faults)
    found = reckon(of)
    lines: list[str] = []
    for finding in found.findings:
        lines += _step(finding.working, 0)
    for answer in found.charges:
        lines += _step(answer.working, 0)
        for ground in answer.grounds:
            strength = "strong" if ground.strong else "weak"
            lines.append(f"  {ground.code} {ground.amount} {strength} {ground.rests_on}")
        lines.append(f"  {answer.answer} strong {answer.strong} ours {answer.our_reading}")
    for occurrence in found.occurrences:
        lines += _step(occurrence.working, 0)
        lines.append(f"  {occurrence.cover} {occurrence.reasons} {occurrence.hints}")
        lines.append(f"  {occurrence.lacking} {occurrence.borne_by} {occurrence.aggregate_used}")
    lines += [f"{o.kind} {o.place}: {o.code}: {o.says}" for o in found.observations]
    lines += [repr(counts) for counts in found.counts]
    lines += [repr(deadline) for deadline in found.deadlines]
    lines += [repr(found.totals), repr(found.invoices)]
    lines += [f"{p.finding.id}: {p.reason}" for p in propose_findings(of)]
    for proposed in propose_grounds(of):
        lines.append(f"{proposed.charge}: {proposed.choice.code} {proposed.amount}")
        lines.append(f"  {proposed.reason} {proposed.rests_on}")
    lines += [repr(each) for a in of.agreements for each in unstated_in_agreement(a.terms)]
    if of.policy is not None:
        lines += [repr(each) for each in unstated_in_policy(of.policy.terms)]
    return "\n".join(lines)


def file_text(claims: dict[str, Claim]) -> str:
    """Return the text of one file: each claim under its name."""
    return "\n\n".join(f"=== {name}\n{as_text(of)}" for name, of in claims.items()) + "\n"


def main() -> None:
    """Write the texts again."""
    FOLDER.mkdir(exist_ok=True)
    for name, claims in worked_claims().items():
        (FOLDER / f"{name}.txt").write_text(file_text(claims), encoding="utf-8")


if __name__ == "__main__":
    main()
