"""Small claims for tests: everything invented, one agreement "a", zone UTC."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.counts import Count, CountEntry, Stage
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import StraightLine, Terms, ValuationRule
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import OccurrenceResult, Step

CLAUSE = Clause(reference="7.2")
REPLACEMENT = ValuationRule(bases=("replacement_cost",), clause=CLAUSE)
CASH_VALUE = ValuationRule(bases=("actual_cash_value",), clause=CLAUSE)
LOST_ON = dt.date(2026, 3, 5)


def money(text: str | int) -> Decimal:
    return Decimal(text)


def share(text: str) -> Fraction:
    return Fraction(text)


def at(day: int, hour: int = 12, month: int = 3) -> dt.datetime:
    return dt.datetime(2026, month, day, hour, tzinfo=dt.UTC)


def photo(identity: str) -> Photo:
    facts = PhotoFacts(file_name=f"{identity}.jpg", sha256="0" * 64, bytes=1)
    return Photo(id=identity, name=f"{identity}.jpg", facts=facts)


def line(identity: str = "k1", price: str | None = None, **more: Any) -> KitLine:
    given = {
        "number": identity[1:],
        "agreement": "a",
        "description": f"thing {identity}",
        "quantity": 1,
        "replacement_cost": None if price is None else Decimal(price),
    }
    return KitLine(id=identity, **{**given, **more})


def straight_line(months: int | None, **more: Any) -> StraightLine:
    return StraightLine(life_months=months, clause=CLAUSE, **more)


def count(
    identity: str,
    stage: Stage,
    when: dt.datetime | None,
    quantities: dict[str, int | None],
    acknowledgement: Any = "signed_by_both",
    **more: Any,
) -> Count:
    entries = tuple(CountEntry(line=k, quantity=q) for k, q in quantities.items())
    return Count(
        id=identity, stage=stage, at=when, acknowledgement=acknowledgement, entries=entries, **more
    )


def missing(identity: str = "f1", on: str = "k1", units: int = 1, **more: Any) -> Finding:
    return Finding(
        id=identity, line=on, kind="missing", quantity=units, **{"occurrence": "o1", **more}
    )


def damaged(identity: str = "f1", on: str = "k1", units: int = 1, **more: Any) -> Finding:
    return Finding(
        id=identity, line=on, kind="damaged", quantity=units, **{"occurrence": "o1", **more}
    )


def event(identity: str = "o1", day: dt.date | None = LOST_ON, **more: Any) -> Occurrence:
    return Occurrence(id=identity, title="An event", day=day, **{"cause": "theft", **more})


def charge(
    identity: str = "h1",
    amount: str = "100",
    grounds: Iterable[Any] = (),
    **more: Any,
) -> Charge:
    chosen = tuple(g if isinstance(g, GroundChoice) else GroundChoice(code=g) for g in grounds)
    given = {"number": identity[1:], "description": "a thing", "kind": "missing"}
    return Charge(id=identity, amount=Decimal(amount), grounds=chosen, **{**given, **more})


def invoice(*charges: Charge, **more: Any) -> Invoice:
    given = {"id": "i1", "agreement": "a", "number": "1", "dated": dt.date(2026, 3, 20)}
    return Invoice(charges=charges, **{**given, **more})


def claim(
    kit: Sequence[KitLine] = (),
    findings: Sequence[Finding] = (),
    occurrences: Sequence[Occurrence] = (),
    invoices: Sequence[Invoice] = (),
    counts: Sequence[Count] = (),
    terms: Terms | None = None,
    policy: PolicyTerms | None = None,
    agreement: dict[str, Any] | None = None,
    **more: Any,
) -> Claim:
    used = terms if terms is not None else Terms(valuation=REPLACEMENT)
    given = {"id": "c", "reference": "R-1", "currency": "USD", "zone": "UTC"}
    used_before = more.pop("used_before", Decimal(0))
    return Claim(
        agreements=(Agreement(id="a", lessor="lessor", terms=used, **(agreement or {})),),
        policy=None
        if policy is None
        else Policy(id="p", insurer="insurer", terms=policy, aggregate_used_before=used_before),
        kit=tuple(kit),
        findings=tuple(findings),
        occurrences=tuple(occurrences),
        invoices=tuple(invoices),
        counts=tuple(counts),
        **{**given, **more},
    )


def loss_claim(losses: Sequence[str], policy: PolicyTerms | None = None, **more: Any) -> Claim:
    """One event in which one unit of each line went, worth the losses, nothing charged yet."""
    kit = [line(f"k{n}", loss) for n, loss in enumerate(losses, 1)]
    findings = [missing(f"f{n}", f"k{n}") for n in range(1, len(losses) + 1)]
    given: dict[str, Any] = {"kit": kit, "findings": findings, "occurrences": [event()]}
    return claim(policy=policy, **{**given, **more})


def only_occurrence(of: Claim) -> OccurrenceResult:
    (found,) = reckon(of).occurrences
    return found


def steps_of(step: Step) -> list[Step]:
    return [step, *(inner for each in step.steps for inner in steps_of(each))]


def step_named(step: Step, label: str) -> Step:
    return next(each for each in steps_of(step) if each.label == label)
