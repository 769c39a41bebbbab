"""The events of a claim that start a period: counts, papers, letters, dates of the policy."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.deadline_rules import DeadlineStart
from ldapp.claim.documents import Correspondence, CorrespondenceStep, DocumentKind
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.times import noon, occurrence_time

Moment = dt.date | dt.datetime
Starts = dict[DeadlineStart, Moment]


def agreement_starts(index: ClaimIndex, agreement: Agreement) -> Starts:
    """Return the events that start the periods of one agreement, as far as they are known."""
    paid: list[Moment | None] = [agreement.paid]
    paid += [
        letter.at
        for letter in index.claim.correspondence
        if letter.paid and letter.direction == "sent" and letter.agreement == agreement.id
    ]
    own = {
        **_of_agreements(index, [agreement]),
        "payment": _earliest(index, paid) or _dated(index, "proof_of_payment"),
    }
    return _known({**_of_claim(index), **own})


def policy_starts(index: ClaimIndex, policy: Policy) -> Starts:
    """Return the events that start the periods of the policy: its dates, else the letters.

    A letter is the insurer's where its party is.
    """
    letters = [c for c in index.claim.correspondence if c.party == policy.insurer]

    def first(direction: str, *steps: CorrespondenceStep) -> Moment | None:
        return _earliest(
            index,
            [
                letter.at
                for letter in letters
                if letter.direction == direction and letter.step in steps
            ],
        )

    own: dict[DeadlineStart, Moment | None] = {
        "notice_to_insurer": policy.notified or first("sent", "statement_of_loss"),
        "insurer_request": policy.proof_requested or first("received", "request"),
        "proof_of_loss": policy.proof_given or _dated(index, "proof_of_loss"),
        "insurer_decision": policy.decided or first("received", "offer", "settlement"),
        "first_payment": policy.first_paid or _earliest(index, _payments(letters)),
    }
    everywhere = _of_agreements(index, index.claim.agreements)
    paid = _earliest(index, [a.paid for a in index.claim.agreements]) or _dated(
        index, "proof_of_payment"
    )
    return _known({**_of_claim(index), **everywhere, "payment": paid, **own})


def _payments(letters: Iterable[Correspondence]) -> list[Moment]:
    return [letter.at for letter in letters if letter.paid and letter.direction == "received"]


def _of_claim(index: ClaimIndex) -> dict[DeadlineStart, Moment | None]:
    """Return the events that belong to the whole claim, as agreements and policy know them."""
    losses = [occurrence_time(o, index.zone) for o in index.claim.occurrences]
    return {"loss": _earliest(index, losses), "proof_of_loss": _dated(index, "proof_of_loss")}


def _of_agreements(
    index: ClaimIndex, agreements: Iterable[Agreement]
) -> dict[DeadlineStart, Moment | None]:
    """Return the events of one agreement, or the earliest of all."""
    agreements = list(agreements)
    everywhere = len(agreements) == len(index.claim.agreements)
    ids = {agreement.id for agreement in agreements}
    invoices = [i for i in index.claim.invoices if i.agreement in ids]

    def counted(stage: str) -> Moment | None:
        return _earliest(
            index,
            [
                count.at
                for count in index.claim.counts
                if count.stage == stage
                and (everywhere or not count.agreements or not ids.isdisjoint(count.agreements))
            ],
        )

    return {
        "pickup": counted("pickup") or _earliest(index, [a.starts for a in agreements]),
        "return_due": _earliest(index, [a.ends for a in agreements]),
        "return": counted("return"),
        "check_in": counted("check_in"),
        "discovery": counted("return") or counted("check_in"),
        "invoice_date": _earliest(index, [i.dated for i in invoices]),
        "invoice_received": _earliest(index, [i.received for i in invoices]),
    }


def _dated(index: ClaimIndex, kind: DocumentKind) -> Moment | None:
    return _earliest(index, [d.dated for d in index.claim.documents if d.kind == kind])


def _earliest(index: ClaimIndex, times: Iterable[Moment | None]) -> Moment | None:
    known = [each for each in times if each is not None]
    return min(known, key=lambda each: _instant(each, index), default=None)


def _instant(moment: Moment, index: ClaimIndex) -> dt.datetime:
    """Return a moment as an instant: a day without a time is noon in the claim's zone."""
    if isinstance(moment, dt.datetime):
        return moment.astimezone(index.zone)
    return noon(moment, index.zone)


def _known(starts: dict[DeadlineStart, Moment | None]) -> Starts:
    return {key: value for key, value in starts.items() if value is not None}
