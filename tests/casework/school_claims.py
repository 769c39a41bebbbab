"""Small insured claims of an invented school, for what is reckoned across claims."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

from ldapp.casework.register import Register, fresh_summary
from ldapp.claim.agreement import Policy
from ldapp.claim.claim import Claim
from ldapp.claim.parties import Party
from ldapp.claim.policy import Aggregate, PolicyPeriod, PolicyTerms
from tests.reckoning.claims import event, loss_claim
from tests.reckoning.insured import flat

PERIOD = PolicyPeriod(
    begins=dt.datetime(2026, 1, 1, tzinfo=dt.UTC), ends=dt.datetime(2027, 1, 1, tzinfo=dt.UTC)
)
INSURER = Party(id="insurer", role="insurer", name="Invented Mutual")


def school_terms(aggregate: str = "1000", deductible: str = "100") -> PolicyTerms:
    return PolicyTerms(
        period=PERIOD,
        deductibles=(flat(deductible),),
        aggregate=Aggregate(amount=Decimal(aggregate)),
    )


def school_claim(
    number: int,
    loss: str,
    day: dt.date,
    *,
    student: str = "Student A",
    terms: PolicyTerms | None = None,
    **more: Any,
) -> Claim:
    """A theft of one thing on a day, insured under policy FS-26."""
    used = terms or school_terms()
    claim = loss_claim([loss], used, occurrences=[event(day=day)])
    policy = claim.policy
    assert policy is not None
    return dataclasses.replace(
        claim,
        **{
            "id": f"s{number}",
            "reference": f"2026-{number:03d}",
            "title": f"Student film {number}",
            "policy": dataclasses.replace(policy, number="FS-26"),
            "parties": (
                INSURER,
                Party(id="st", role="student", name=student),
                Party(id="lessor", role="rental_company", name="Invented Rentals"),
            ),
            **more,
        },
    )


def keep(register: Register, *claims: Claim) -> None:
    for claim in claims:
        register._library.create(claim, who="Ada", label="New claim", summary=fresh_summary(claim))


def policy_of(claim: Claim) -> Policy:
    assert claim.policy is not None
    return claim.policy
