"""The register's row of a claim, from its reckoning."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

from ldapp.casework.edit import find
from ldapp.casework.figures import figures_of
from ldapp.casework.replies import answers, is_objected
from ldapp.casework.wanted_papers import papers_missing
from ldapp.claim.claim import Claim
from ldapp.claim.figures import DeadlineFigure
from ldapp.claim.summary import ClaimSummary
from ldapp.language import said
from ldapp.reckoning.result import RECKONING_VERSION, Reckoning

ROW_VERSION = f"{RECKONING_VERSION}.1"
"""By which reckoning a row is made, and of which make it is: 1 knows shares and deadlines."""


def empty_summary(claim: Claim) -> ClaimSummary:
    """Return the row of a claim that has not been reckoned yet."""
    return ClaimSummary(
        claim=claim.id,
        reference=claim.reference,
        title=claim.title,
        currency=claim.currency,
        stage=claim.stage,
        rental_companies=_rental_companies(claim),
        invented=claim.invented,
        policy=_policy(claim),
        people=_people(claim),
        papers_missing=papers_missing(claim),
    )


def summary_of(claim: Claim, reckoning: Reckoning | None, open_points: int) -> ClaimSummary:
    """Return the register's row; amounts come from the reckoning alone.

    ``reckoning`` is None where the claim cannot be reckoned as it stands.
    """
    if reckoning is None:
        return dataclasses.replace(
            empty_summary(claim),
            open_points=open_points,
            reckoning_version=ROW_VERSION,
        )
    today = dt.datetime.now(dt.UTC).date()
    coming = sorted(
        (deadline.due, deadline.title)
        for deadline in reckoning.deadlines
        if deadline.due is not None
        and deadline.due >= today
        and deadline.binds == "us"
        and not is_objected(claim, deadline)
    )
    coming = sorted([*coming, *_answers_due(claim, today)])
    charged = any(invoice.charges for invoice in claim.invoices)
    settled = [
        charge.settled
        for invoice in claim.invoices
        for charge in invoice.charges
        if charge.settled is not None
    ]
    totals = reckoning.totals
    return dataclasses.replace(
        empty_summary(claim),
        next_deadline=coming[0][0] if coming else None,
        next_deadline_title=coming[0][1] if coming else "",
        asked=totals.billed if charged else None,
        owed=totals.loss,
        disputed=totals.disputed if charged else None,
        paid_by_others=totals.paid_by_others,
        settled=sum(settled, Decimal(0)) if settled else None,
        open_points=open_points,
        reckoning_version=ROW_VERSION,
        figures=dataclasses.replace(
            figures_of(claim, reckoning),
            deadlines=tuple(DeadlineFigure(due=due, title=title) for due, title in coming),
        ),
    )


def _answers_due(claim: Claim, today: dt.date) -> list[tuple[dt.date, str]]:
    """Return by when we were asked to answer, as far as nothing has been sent since."""
    return [
        (entry.reply_by, said("Answer: {subject}", subject=entry.subject))
        for entry in claim.correspondence
        if entry.direction == "received"
        and entry.reply_by is not None
        and entry.reply_by >= today
        and not any(answers(one, entry) for one in claim.correspondence)
    ]


def _rental_companies(claim: Claim) -> tuple[str, ...]:
    lessors = dict.fromkeys(agreement.lessor for agreement in claim.agreements)
    named = (find(claim.parties, lessor) for lessor in lessors)
    return tuple(party.name for party in named if party is not None)


def _policy(claim: Claim) -> str:
    if claim.policy is None:
        return ""
    insurer = find(claim.parties, claim.policy.insurer)
    return ", ".join(one for one in (claim.policy.number, insurer.name if insurer else "") if one)


def _people(claim: Claim) -> tuple[str, ...]:
    named = (
        party.name
        for role in ("school", "department", "student")
        for party in claim.parties
        if party.role == role and party.name
    )
    return tuple(dict.fromkeys(named))
