"""What the statement of loss and the answer to charges would say differently of one fact.

Both are written from the same records; they still differ where a ground denies what the
insurer is told: the cause, the date, the number of units, the condition.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ldapp.claim.causes import CAUSE_LABELS
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.grounds import GROUND_BY_CODE
from ldapp.language import said
from ldapp.reckoning.findings import Reckoned, contains
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import ChargeResult, Observation, OccurrenceResult
from ldapp.reckoning.times import said_time

_NOT_A_LOSS = frozenset({"other_owner", "ordinary_wear", "prior_damage", "breakdown", "used_up"})
"""Grounds that deny the very loss that a statement of loss claims."""
_NOT_MISSING = frozenset({"never_received", "returned", "outside_custody"})
"""Grounds that say of so many units that they were not lost in our hands."""


def facts_that_differ(
    index: ClaimIndex,
    found: Mapping[str, Reckoned],
    charges: Sequence[ChargeResult],
    occurrences: Sequence[OccurrenceResult],
) -> list[Observation]:
    """Return the contradictions, findings first, then charges; each is one observation."""
    seen = [
        Observation(code="facts_differ", kind="finding", place=finding, says=says)
        for finding, reckoned in found.items()
        for says in _of_finding(index, reckoned)
    ]
    insured = {f for o in occurrences if o.cover == "covered" for f in o.findings}
    disputed = [one for one in charges if one.finding in insured and one.grounds]
    if disputed:
        billed = {charge.id: charge for i in index.claim.invoices for charge in i.charges}
        for result in disputed:
            for says in _of_charge(result, billed[result.charge], found[result.finding or ""]):
                seen.append(
                    Observation(code="facts_differ", kind="charge", place=result.charge, says=says)
                )
    return seen


def _of_finding(index: ClaimIndex, reckoned: Reckoned) -> Iterator[str]:
    occurrence = reckoned.occurrence
    if occurrence is None:
        return
    own = reckoned.finding.cause
    if own is not None and occurrence.cause is not None and own != occurrence.cause:
        yield (
            said(
                "the finding's cause is {own}, the occurrence's is {other}",
                own=said(CAUSE_LABELS[own]),
                other=said(CAUSE_LABELS[occurrence.cause]),
            )
        )
    at = reckoned.date.at
    if reckoned.date.known_from == "occurrence" and at is not None:
        for bracket in reckoned.brackets:
            if not contains(bracket, at):
                yield (
                    said(
                        "the occurrence is dated {at}, the counts say that it went at another time",
                        at=said_time(at),
                    )
                )


def _of_charge(result: ChargeResult, charge: Charge, reckoned: Reckoned) -> Iterator[str]:
    """Say what the answer to a charge denies of a finding that the insurer is told of."""
    choices = {choice.code: choice for choice in charge.grounds}
    for ground in result.grounds:
        if not ground.amount:
            continue
        label = said(GROUND_BY_CODE[ground.code].label)
        if ground.code in _NOT_A_LOSS:
            yield (
                said(
                    "the answer to this charge says {label}, the statement of loss claims "
                    "the same finding as lost",
                    label=label,
                )
            )
        elif ground.code == "repair_cheaper" and reckoned.lost:
            yield (
                said(
                    "the answer to this charge says that it can be repaired, the statement "
                    "of loss claims it as beyond repair"
                )
            )
        left = _units_left(charge, choices.get(ground.code))
        if left is not None and left < reckoned.quantity:
            yield (
                said(
                    "the answer to this charge ({label}) leaves {left} of its units, the "
                    "statement of loss claims {quantity}",
                    label=label,
                    left=left,
                    quantity=reckoned.quantity,
                )
            )


def _units_left(charge: Charge, choice: GroundChoice | None) -> int | None:
    """Return how many units a ground leaves whose number somebody stated."""
    if choice is None or choice.quantity is None:
        return None
    if choice.code == "quantity":
        return choice.quantity
    if choice.code in _NOT_MISSING:
        return max(0, int(charge.quantity) - choice.quantity)
    return None
