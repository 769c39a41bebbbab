"""What a claim adds to reports over all claims, from its reckoning."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Sequence
from decimal import Decimal
from zoneinfo import ZoneInfo

from ldapp.casework.carried_terms import carried_terms
from ldapp.casework.edit import find
from ldapp.casework.replies import bearing_parties, is_share_payment
from ldapp.claim.agreement import Policy
from ldapp.claim.changes import POLICY_KIND, record_as_json
from ldapp.claim.claim import Claim
from ldapp.claim.figures import (
    ClaimFigures,
    FoundAt,
    LossFigure,
    PolicyUse,
    ShareFigure,
    StudentFigure,
)
from ldapp.claim.findings import Finding
from ldapp.claim.parties import Party
from ldapp.claim.policy import PolicyTerms
from ldapp.reckoning.result import FindingResult, LineCounts, OccurrenceResult, Reckoning

JOINTLY = " jointly"
"""Kept behind the names of those who bear together, in every language the same."""
_NO_LOSS = ("short_at_pickup", "over")
"""What was never received, or is there beyond what is expected, was not lost."""
_SEEN_DAMAGED = ("damaged", "not_working")


def figures_of(claim: Claim, reckoning: Reckoning) -> ClaimFigures:
    """Return the claim's losses, its use of the policy and the days that matter."""
    zone = ZoneInfo(claim.zone)
    results = {one.finding: one for one in reckoning.findings}
    counts = {(one.line, one.part): one for one in reckoning.counts}
    policy = claim.policy
    period = None if policy is None else policy.terms.period
    insurer = None if policy is None else find(claim.parties, policy.insurer)
    aggregate = None if policy is None else policy.terms.aggregate
    sent = [
        one.at
        for one in claim.correspondence
        if one.direction == "sent" and one.step in ("answer_to_charges", "statement_of_loss")
    ]
    settled = [one.at for one in claim.correspondence if one.step == "settlement"]
    bearers = bearing_parties(claim)
    paid = [
        one.at
        for one in claim.correspondence
        if one.step == "payment" and not is_share_payment(one, bearers)
    ]
    departments = [one.name for one in claim.parties if one.role == "department"]
    return ClaimFigures(
        policy="" if policy is None else policy.id,
        insurer="" if insurer is None else insurer.name,
        policy_number="" if policy is None else policy.number,
        policy_hash=""
        if policy is None
        else terms_hash(policy.number, policy.terms, claim.parties),
        begins=None if period is None else period.begins,
        ends=None if period is None else period.ends,
        aggregate=None if aggregate is None else aggregate.amount,
        aggregate_used_before=Decimal(0) if policy is None else policy.aggregate_used_before,
        uses=()
        if policy is None
        else tuple(
            _use(claim, one, results, zone)
            for one in reckoning.occurrences
            if one.policy or one.held_back or one.deductible or one.aggregate_used
        ),
        losses=tuple(
            _loss(claim, finding, results.get(finding.id), counts)
            for finding in claim.findings
            if finding.kind not in _NO_LOSS
        ),
        shares=_shares(claim, reckoning),
        students=tuple(
            StudentFigure(name=one.name, reference=one.reference)
            for one in claim.parties
            if one.role == "student"
        ),
        department=departments[0] if departments else "",
        opened=claim.opened,
        lost=_day_of_loss(claim, reckoning, zone),
        sent=_day(min(sent, default=None), zone),
        settled=_day(max(settled, default=None), zone),
        paid=_day(max(paid, default=None), zone),
    )


def _shares(claim: Claim, reckoning: Reckoning) -> tuple[ShareFigure, ...]:
    # What is done with shares is not wanted for the first look at the register.
    from ldapp.casework.shares import shares  # noqa: PLC0415

    return tuple(
        ShareFigure(
            name=", ".join(one.name or share.name for one in share.members)
            + (JOINTLY if share.jointly else ""),
            reference="" if share.jointly else share.members[0].reference,
            amount=share.amount,
            paid=share.paid,
        )
        for share in shares(claim, reckoning)
    )


def terms_hash(number: str, terms: PolicyTerms, parties: Sequence[Party] = ()) -> str:
    """Return a fingerprint of a policy's number and terms, as any claim can have them."""
    carried = carried_terms(terms, parties)
    blank = Policy(id="", insurer="", number=number, terms=carried)
    data = record_as_json(POLICY_KIND, blank)
    text = json.dumps([number, data["terms"]], sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _day(at: dt.datetime | None, zone: ZoneInfo) -> dt.date | None:
    return None if at is None else at.astimezone(zone).date()


def _occurrence_instant(claim: Claim, key: str | None, zone: ZoneInfo) -> dt.datetime | None:
    event = find(claim.occurrences, key)
    if event is None:
        return None
    if event.at is not None:
        return event.at
    # A day without a time is noon in the claim's zone, as everywhere in the reckoning.
    return None if event.day is None else dt.datetime.combine(event.day, dt.time(12), zone)


def _use(
    claim: Claim, result: OccurrenceResult, results: dict[str, FindingResult], zone: ZoneInfo
) -> PolicyUse:
    at = _occurrence_instant(claim, result.occurrence, zone)
    if at is None:
        known = [results[one].date_of_loss for one in result.findings if one in results]
        instants = [one.at for one in known if one.at is not None]
        at = min(instants, default=None)
    return PolicyUse(
        occurrence=result.occurrence or "",
        at=at,
        loss=result.loss,
        deductible=result.deductible,
        policy=result.policy + result.held_back,
        aggregate_used=result.aggregate_used,
    )


def _loss(
    claim: Claim,
    finding: Finding,
    result: FindingResult | None,
    counts: dict[tuple[str, str | None], LineCounts],
) -> LossFigure:
    line = find(claim.kit, finding.line)
    event = find(claim.occurrences, finding.occurrence)
    cause = finding.cause or (None if event is None else event.cause)
    if cause is None:
        cause = "unexplained" if finding.kind == "missing" else "other"
    return LossFigure(
        cause=cause,
        kind="other" if line is None else line.kind,
        found=_found_at(claim, finding, counts.get((finding.line, finding.part))),
        units=finding.quantity,
        amount=None if result is None else result.owed,
    )


def _found_at(claim: Claim, finding: Finding, line: LineCounts | None) -> FoundAt:
    if finding.kind == "damaged":
        seen = [
            count
            for count in claim.counts
            for entry in count.entries
            if entry.line == finding.line and entry.condition in _SEEN_DAMAGED
        ]
        # A count without a time stands last: nobody can say that it was the first to see it.
        seen.sort(key=lambda one: (one.at is None, one.at.timestamp() if one.at else 0.0))
        return seen[0].stage if seen else "unknown"
    if line is not None and line.brackets:
        count = find(claim.counts, line.brackets[0].gone.count)
        if count is not None:
            return count.stage
    return "unknown"


def _day_of_loss(claim: Claim, reckoning: Reckoning, zone: ZoneInfo) -> dt.date | None:
    events = [_day(_occurrence_instant(claim, one.id, zone), zone) for one in claim.occurrences]
    known = [day for day in events if day is not None]
    if not known:
        known = [
            one.date_of_loss.day for one in reckoning.findings if one.date_of_loss.day is not None
        ]
    return min(known, default=None)
