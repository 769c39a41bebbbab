"""Who bears what nobody else pays: each party's part, what is paid of it and what is open.

The parts come from the reckoning: by the policy's rule for the deductible and the shares of
the claim.  A group bears its part jointly (every member for all of it) or in equal parts.
Payments are entries of what was received, so they are dated, journalled and undone like
everything else.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ldapp.casework.after_sending import now_in
from ldapp.casework.edit import find, get, put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.replies import bearing_parties, is_share_payment
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence, Split
from ldapp.claim.parties import Party, PartyRole
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.reckoning.money import allocate, minor_digits
from ldapp.reckoning.result import OccurrenceResult, Reckoning

PRIVATE_ROLES: frozenset[PartyRole] = frozenset({"student", "crew"})
"""Whose debts are told to nobody but themselves and the office."""


class SharePart(NamedTuple):
    """What a share takes of one event; amounts in the claim's currency."""

    occurrence: str | None
    title: str
    day: dt.date | None
    to_bear: Decimal
    """What nobody else pays of the event."""
    deductible: Decimal
    amount: Decimal


class Share(NamedTuple):
    """One part that is borne: by whom, of what, what is paid and what is open."""

    key: str
    bearer: str
    """The party or group that the reckoning names."""
    name: str
    members: tuple[Party, ...]
    """The parties that this part is asked of: one, or a group that bears it jointly."""
    jointly: bool
    of_group: str
    """The group's name where this is one equal part of it."""
    amount: Decimal
    paid: Decimal
    parts: tuple[SharePart, ...]
    payments: tuple[Correspondence, ...]

    @property
    def open(self) -> Decimal:
        """What is left to pay; below 0 where too much was paid."""
        return self.amount - self.paid


def shares(claim: Claim, reckoning: Reckoning) -> tuple[Share, ...]:
    """Return every part that a named party bears, in the order of the reckoning.

    A payment goes to the payer's own parts first, then to what it bears jointly; what is
    paid beyond all of them stands on the last.
    """
    found: dict[str, Share] = {}
    for event in reckoning.occurrences:
        for bearer in event.borne_by:
            if bearer.party is None or not bearer.amount:
                continue
            for one in _borne(claim, event, bearer.party, bearer.amount):
                known = found.get(one.key)
                found[one.key] = (
                    one
                    if known is None
                    else known._replace(
                        amount=known.amount + one.amount, parts=(*known.parts, *one.parts)
                    )
                )
    return _paid(claim, tuple(found.values()))


def _borne(claim: Claim, event: OccurrenceResult, bearer: str, amount: Decimal) -> list[Share]:
    party = find(claim.parties, bearer) or Party(id=bearer, role="third_party", name=bearer)
    # By their names, so that the order of entry gives nobody the odd cent.
    members = tuple(
        sorted(
            (one for one in claim.parties if one.id in party.members),
            key=lambda one: (one.name, one.id),
        )
    )
    part = _part(claim, event, amount)
    if not members:
        return [_share(bearer, bearer, (party,), part)]
    if party.together == "jointly":
        return [_share(bearer, bearer, members, part, name=party.name, jointly=True)]
    digits = minor_digits(claim.currency)
    amounts = allocate(amount, [Fraction(1)] * len(members), digits)
    return [
        _share(
            f"{bearer}/{member.id}",
            bearer,
            (member,),
            part._replace(amount=own),
            of_group=party.name,
        )
        for member, own in zip(members, amounts, strict=True)
    ]


def _share(
    key: str,
    bearer: str,
    members: tuple[Party, ...],
    part: SharePart,
    *,
    name: str = "",
    jointly: bool = False,
    of_group: str = "",
) -> Share:
    return Share(
        key=key,
        bearer=bearer,
        name=name or members[0].name,
        members=members,
        jointly=jointly,
        of_group=of_group,
        amount=part.amount,
        paid=Decimal(0),
        parts=(part,),
        payments=(),
    )


def _part(claim: Claim, event: OccurrenceResult, amount: Decimal) -> SharePart:
    known = find(claim.occurrences, event.occurrence)
    return SharePart(
        occurrence=event.occurrence,
        title=known.title if known is not None else said("What no event explains"),
        day=known.at.date() if known is not None and known.at is not None else None,
        to_bear=event.renter,
        deductible=event.deductible,
        amount=amount,
    )


def payments(claim: Claim) -> tuple[Correspondence, ...]:
    """Return what parties have paid of their parts, the earliest first."""
    bearers = bearing_parties(claim)
    return tuple(
        sorted(
            (one for one in claim.correspondence if is_share_payment(one, bearers)),
            key=lambda one: (one.at, one.id),
        )
    )


def _paid(claim: Claim, found: tuple[Share, ...]) -> tuple[Share, ...]:
    made = payments(claim)
    left = {one.id: one.paid or Decimal(0) for one in made}
    result = {one.key: one for one in found}
    # Own parts first: what somebody pays alone is not taken for a debt of several.
    for share in sorted(found, key=lambda one: one.jointly):
        own = {member.id for member in share.members} | ({share.bearer} if share.jointly else set())
        taken, used = Decimal(0), []
        for entry in made:
            if entry.party not in own or not left[entry.id]:
                continue
            amount = min(left[entry.id], share.amount - taken)
            if amount > 0:
                left[entry.id] -= amount
                taken += amount
                used.append(entry)
        result[share.key] = share._replace(paid=taken, payments=tuple(used))
    for key, share in reversed(tuple(result.items())):
        own = {member.id for member in share.members}
        for entry in made:
            if entry.party in own and left[entry.id]:
                over = left[entry.id]
                left[entry.id] = Decimal(0)
                kept = result[key]
                used = [*kept.payments, *(() if entry in kept.payments else (entry,))]
                result[key] = kept._replace(paid=kept.paid + over, payments=tuple(used))
    return tuple(result.values())


# --- what a person does ------------------------------------------------------------------


def record_payment(
    desk: OpenClaim, party: str, amount: Decimal, day: dt.date | None = None, subject: str = ""
) -> Correspondence:
    """Record that a party paid of its part, today or on ``day``; return the entry.

    The claim's stage stays: what a student pays the school settles nothing with others.

    Raises:
        LdappError: the amount is not above 0, or the party is gone.
    """
    claim = desk.claim
    payer = get(claim.parties, party, "party")
    if amount <= 0:
        raise LdappError(said("A payment is more than nothing. Enter the amount that was paid."))
    at = now_in(claim)
    if day is not None:
        at = dt.datetime.combine(day, dt.time(12), tzinfo=at.tzinfo)
    entry = Correspondence(
        id=new_id(),
        at=at,
        direction="received",
        channel="hand",
        party=payer.id,
        step="payment",
        subject=subject or said("Payment of {name}", name=payer.name),
        paid=amount,
    )
    _put_entry(desk, entry, said("Payment of {name}", name=payer.name))
    return entry


def change_payment(
    desk: OpenClaim,
    entry: str,
    *,
    party: str | None = None,
    amount: Decimal | None = None,
    day: dt.date | None = None,
    subject: str | None = None,
) -> bool:
    """Change what is said of a payment; what is not given stays."""
    present = get(desk.claim.correspondence, entry, "payment")
    changed = dataclasses.replace(
        present,
        party=party or present.party,
        paid=amount if amount is not None else present.paid,
        at=present.at if day is None else dt.datetime.combine(day, present.at.timetz()),
        subject=present.subject if subject is None else subject,
    )
    return _put_entry(desk, changed, said("Change payment"))


def remove_payments(desk: OpenClaim, entries: Iterable[str]) -> bool:
    """Take payments out."""
    ids = set(entries)
    return desk.change(
        said("Remove payment"),
        lambda claim: dataclasses.replace(claim, correspondence=without(claim.correspondence, ids)),
    )


def _put_entry(desk: OpenClaim, entry: Correspondence, label: str) -> bool:
    return desk.change(
        label,
        lambda claim: dataclasses.replace(claim, correspondence=put(claim.correspondence, entry)),
    )


def add_group(desk: OpenClaim, members: tuple[str, ...] = ()) -> Party:
    """Add a group of students that bears its part together; return it."""
    chosen = members or tuple(
        one.id for one in desk.claim.parties if one.role == "student" and not one.members
    )
    group = Party(id=new_id(), role="student", name=said("Group of students"), members=chosen)
    desk.change(
        said("Add a group"),
        lambda claim: dataclasses.replace(claim, parties=(*claim.parties, group)),
    )
    return group


def put_split(desk: OpenClaim, split: Split) -> bool:
    """Add a share of what nobody else pays, or change it."""
    return desk.change(
        said("Who bears the rest"),
        lambda claim: dataclasses.replace(claim, splits=put(claim.splits, split)),
    )
