"""Insured losses for the tests of policies."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ldapp.claim.policy import (
    Deductible,
    PolicyTerms,
)
from ldapp.reckoning.result import OccurrenceResult
from tests.reckoning.claims import (
    loss_claim,
    only_occurrence,
)


def flat(amount: str, **more: Any) -> Deductible:
    return Deductible(form="flat", amount=Decimal(amount), **more)


def paid(losses: list[str], policy: PolicyTerms, **more: Any) -> OccurrenceResult:
    return only_occurrence(loss_claim(losses, policy, **more))
