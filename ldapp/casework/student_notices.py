"""Notices that tell a person its part: what goes in, where it is written, that it was sent."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from ldapp.casework.after_sending import now_in
from ldapp.casework.edit import put
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.shares import PRIVATE_ROLES, Share
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence, Split
from ldapp.claim.parties import Party
from ldapp.claim.policy import DeductibleSplit
from ldapp.dossier.formats import money_text
from ldapp.dossier.student_notice import (
    NoticePart,
    NoticePayment,
    NoticeRequest,
    write_notice,
)
from ldapp.errors import LdappError, MachineError
from ldapp.language import said
from ldapp.local_forms import local_number
from ldapp.reckoning.figures import percent_text


def notice_request(
    claim: Claim, share: Share, recipient: Party, date: dt.date, reply_by: dt.date | None = None
) -> NoticeRequest:
    """Return all that the recipient may be told of its part, and nothing else.

    Named are the events that its part comes from, the rule, its own payments and, where a
    group bears the part jointly, who belongs to it and what the others have paid together.
    Parts and payments of others, what happened, the policy and the insurer are not in it.

    Raises:
        LdappError: the recipient does not bear this part.
    """
    if recipient.id not in {one.id for one in share.members}:
        raise LdappError(
            said("{name} does not bear this part. Choose one who does.", name=recipient.name)
        )
    sender = next(
        (
            one
            for role in ("school", "department", "production")
            for one in claim.parties
            if one.role == role
        ),
        None,
    )
    together = tuple(one.name for one in share.members) if share.jointly else ()
    told = {*together, recipient.name, recipient.contact}
    return NoticeRequest(
        reference=claim.reference,
        production=claim.title,
        date=date,
        currency=claim.currency,
        sender=sender,
        recipient=recipient,
        amount=share.amount,
        paid=share.paid,
        parts=tuple(NoticePart(one.title, one.day, one.to_bear, one.amount) for one in share.parts),
        payments=_payments(share, recipient),
        rule=rule_says(claim, share),
        group=share.name if share.jointly else share.of_group,
        together=together,
        reply_by=reply_by,
        withheld=tuple(
            sorted(
                one.name
                for one in claim.parties
                if one.role in PRIVATE_ROLES and not one.members and one.name not in told
                if one.name.strip()
            )
        ),
        invented=claim.invented,
        paper="letter" if claim.currency in ("USD", "CAD") else "a4",
    )


def _payments(share: Share, recipient: Party) -> tuple[NoticePayment, ...]:
    left = share.paid
    found = []
    for entry in share.payments:
        # Of a payment that was more than was owed, only this part's share is told.
        amount = min(entry.paid or Decimal(0), left)
        left -= amount
        own = entry.party == recipient.id
        found.append(NoticePayment(entry.at.date(), amount, own))
    return tuple(one for one in found if one.amount)


def rule_says(claim: Claim, share: Share) -> str:
    """Return the rule by which a part falls to its bearer, in words; empty where none is noted."""
    found = []
    policy = claim.policy
    split = policy.terms.deductible_split if policy is not None else None
    if split is not None and share.bearer in (split.first, split.rest):
        found.append(_deductible_says(claim, split, first=share.bearer == split.first))
    found += [_split_says(claim, one) for one in claim.splits if one.party == share.bearer]
    return " ".join(dict.fromkeys(found))


def _deductible_says(claim: Claim, split: DeductibleSplit, *, first: bool) -> str:
    def money(amount: Decimal | None) -> str:
        return money_text(amount or Decimal(0), claim.currency)

    rule = []
    if split.form == "flat":
        rule.append(money(split.amount))
    elif split.form == "share":
        rule.append(
            said("{percent} of the deductible", percent=percent_text(split.rate or Fraction(0)))
        )
    else:
        rule.append(said("{percent} of the loss", percent=percent_text(split.rate or Fraction(0))))
    if split.minimum is not None:
        rule.append(said("at least {amount}", amount=money(split.minimum)))
    if split.maximum is not None:
        rule.append(said("at most {amount}", amount=money(split.maximum)))
    clause = f" ({split.clause.reference})" if split.clause and split.clause.reference else ""
    if first:
        return said(
            "Of the deductible of an event {rule}{clause}.", rule=", ".join(rule), clause=clause
        )
    return said(
        "Of the deductible of an event what is left after {rule}{clause}.",
        rule=", ".join(rule),
        clause=clause,
    )


def _split_says(claim: Claim, split: Split) -> str:
    if split.amount is not None:
        part = money_text(split.amount, claim.currency)
    elif split.share_percent is not None:
        part = f"{local_number(f'{split.share_percent.normalize():f}')} %"
    else:
        part = said("The rest")
    most = (
        said(", at most {amount}", amount=money_text(split.at_most, claim.currency))
        if split.at_most
        else ""
    )
    note = f" ({split.note})" if split.note else ""
    return said(
        "{part} of what nobody else pays of an event{most}{note}.", part=part, most=most, note=note
    )


def notice_name(claim: Claim, recipient: Party, date: dt.date) -> str:
    """Return a file name: reference, "notice", the recipient's number or name, and the date."""
    who = recipient.reference or recipient.name or recipient.id
    parts = (claim.reference, "notice", who, date.isoformat())
    return "-".join(re.sub(r"[^\w.-]+", "-", one).strip("-.") for one in parts) + ".pdf"


def write_student_notice(request: NoticeRequest, target: Path) -> Path:
    """Write a notice as a PDF; return where it lies.

    Raises:
        MachineError: the file cannot be written there.
    """
    write_notice(request, target)
    return target


def log_notice_sent(
    desk: OpenClaim, path: Path, recipient: Party, reply_by: dt.date | None = None
) -> Correspondence:
    """Log that a notice was sent, with the hash of its file; return the entry.

    Raises:
        MachineError: the file cannot be read any more.
    """
    try:
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError as error:
        raise MachineError(
            said(
                "{name} cannot be read, so it is not logged as sent ({strerror}). Write "
                "the notice again, then log it.",
                name=path.name,
                strerror=error.strerror,
            )
        ) from error
    entry = Correspondence(
        id=new_id(),
        at=now_in(desk.claim),
        direction="sent",
        channel="email",
        party=recipient.id,
        step="request",
        subject=path.name,
        sha256=digest,
        reply_by=reply_by,
    )

    desk.change(
        said("Log {name} as sent", name=path.name),
        lambda claim: dataclasses.replace(claim, correspondence=put(claim.correspondence, entry)),
    )
    return entry
