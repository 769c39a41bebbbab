"""What happens after a dossier is sent: logged, answered, offered, settled, paid, found again."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Literal, NamedTuple, get_args
from zoneinfo import ZoneInfo

from ldapp.casework.charges import find_charge, put_charges
from ldapp.casework.edit import find, get, put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.replies import (
    answers,
    asks_for_objection,
    bearing_parties,
    is_objected,
    is_share_payment,
)
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.documents import (
    Channel,
    ChargeOffer,
    Correspondence,
    CorrespondenceStep,
    RecoveredItem,
)
from ldapp.claim.stages import ClaimStage
from ldapp.errors import LdappError, MachineError
from ldapp.language import marked, said, said_of
from ldapp.reckoning.recovery import paid_on, refund_earned
from ldapp.reckoning.result import ChargeResult, Reckoning, Step

__all__ = ["refund_earned"]

STEP_NAMES: dict[CorrespondenceStep, str] = {
    "answer_to_charges": marked("answer to the charges"),
    "statement_of_loss": marked("statement of loss"),
    "reply": marked("reply"),
    "offer": marked("offer"),
    "settlement": marked("settlement"),
    "payment": marked("payment"),
    "request": marked("request"),
    "other": marked("other"),
}

CHANNELS: tuple[Channel, ...] = get_args(Channel)
_STAGES: tuple[ClaimStage, ...] = get_args(ClaimStage)
_REACHED: dict[tuple[CorrespondenceStep, str], ClaimStage] = {
    ("answer_to_charges", "sent"): "sent",
    ("statement_of_loss", "sent"): "sent",
    ("reply", "received"): "answered",
    ("offer", "received"): "offered",
    ("offer", "sent"): "offered",
    ("settlement", "sent"): "settled",
    ("settlement", "received"): "settled",
    ("payment", "sent"): "paid",
    ("payment", "received"): "paid",
}


def now_in(claim: Claim) -> dt.datetime:
    """Return the present time in the claim's zone, to the minute."""
    return dt.datetime.now(ZoneInfo(claim.zone)).replace(second=0, microsecond=0)


def put_entry(desk: OpenClaim, entry: Correspondence, label: str = "") -> bool:
    """Log something sent, received or agreed, or change it; the claim's stage follows.

    The stage only moves on: an entry that is added late takes nothing back.
    """

    def change(claim: Claim) -> Claim:
        return dataclasses.replace(
            claim,
            stage=_stage_with(claim, entry),
            correspondence=put(claim.correspondence, entry),
        )

    subject = entry.subject or said(STEP_NAMES[entry.step])
    sent = entry.direction == "sent"
    says = said("Sent: {what}", what=subject) if sent else said("Received: {what}", what=subject)
    return desk.change(label or says, change)


def _stage_with(claim: Claim, entry: Correspondence) -> ClaimStage:
    if is_share_payment(entry, bearing_parties(claim)):
        # What a student pays the school settles nothing with the company or the insurer.
        return claim.stage
    reached = _REACHED.get((entry.step, entry.direction), claim.stage)
    return max(claim.stage, reached, key=_STAGES.index)


def remove_entries(desk: OpenClaim, entries: Iterable[str]) -> bool:
    """Take entries out of what was sent and received."""
    ids = set(entries)
    return desk.change(
        said("Remove what was logged"),
        lambda claim: dataclasses.replace(claim, correspondence=without(claim.correspondence, ids)),
    )


def log_dossier_sent(
    desk: OpenClaim,
    path: Path,
    step: CorrespondenceStep,
    *,
    agreement: str | None = None,
    reply_by: dt.date | None = None,
    at: dt.datetime | None = None,
) -> Correspondence:
    """Log that a written dossier was sent, with the hash of its file; return the entry.

    Raises:
        MachineError: the file cannot be read any more.
    """
    try:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise MachineError(
            said(
                "{name} cannot be read, so it is not logged as sent ({strerror}). Write "
                "the dossier again, then log it.",
                name=path.name,
                strerror=error.strerror,
            )
        ) from error
    claim = desk.claim
    party = None
    if step == "statement_of_loss":
        party = claim.policy.insurer if claim.policy is not None else None
    else:
        one = find(claim.agreements, agreement)
        party = one.lessor if one is not None else None
    entry = Correspondence(
        id=new_id(),
        at=at or now_in(claim),
        direction="sent",
        channel="email",
        party=party if find(claim.parties, party) else None,
        step=step,
        agreement=agreement,
        subject=path.name,
        sha256=digest,
        reply_by=reply_by,
    )
    put_entry(desk, entry, said("Log {name} as sent", name=path.name))
    return entry


def new_entry(
    claim: Claim, step: CorrespondenceStep, agreement: str | None = None
) -> Correspondence:
    """Return an entry of now, still to be logged, with what can be said without asking."""
    ours = step in ("answer_to_charges", "statement_of_loss", "payment", "request")
    one = find(claim.agreements, agreement)
    return Correspondence(
        id=new_id(),
        at=now_in(claim),
        direction="sent" if ours else "received",
        channel="email",
        party=one.lessor if one is not None else None,
        step=step,
        agreement=agreement,
        subject=_begun_large(said(STEP_NAMES[step])),
    )


def _begun_large(text: str) -> str:
    return text[:1].upper() + text[1:]


def settle_charges(desk: OpenClaim, amounts: Mapping[str, Decimal | None]) -> bool:
    """Record for what amount charges are settled, today; None takes it back."""
    today = now_in(desk.claim).date()
    charges = [
        dataclasses.replace(
            find_charge(desk.claim, charge),
            settled=amount,
            settled_on=None if amount is None else today,
        )
        for charge, amount in amounts.items()
    ]
    return put_charges(
        desk,
        charges,
        said_of(len(charges), "Settle {count} charge", "Settle {count} charges"),
    )


def offer_for_charges(
    desk: OpenClaim,
    direction: Literal["sent", "received"],
    amounts: Mapping[tuple[str, str], Decimal | None],
    entry: str | None = None,
) -> Correspondence:
    """Write down for what amounts charges (invoice, charge) would be settled; None takes out.

    It goes into ``entry`` where that is of this direction, else into today's last reply or
    offer, else into a new entry of now.  Return the entry.
    """
    claim = desk.claim
    chosen = find(claim.correspondence, entry)
    if chosen is None or chosen.direction != direction:
        chosen = _open_offer(claim, direction, next(iter(amounts))[0])
    others = tuple(one for one in chosen.offers if (one.invoice, one.charge) not in amounts)
    new = tuple(
        ChargeOffer(invoice=invoice, charge=charge, amount=amount)
        for (invoice, charge), amount in amounts.items()
        if amount is not None
    )
    step = "offer" if chosen.step in ("reply", "other", "request") and new else chosen.step
    changed = dataclasses.replace(chosen, offers=(*others, *new), step=step)
    put_entry(
        desk,
        changed,
        said_of(len(amounts), "Offer for {count} charge", "Offer for {count} charges"),
    )
    return changed


def _open_offer(
    claim: Claim, direction: Literal["sent", "received"], invoice: str
) -> Correspondence:
    now = now_in(claim)
    for one in sorted(claim.correspondence, key=lambda one: one.at, reverse=True):
        if (
            one.direction == direction
            and one.step in ("reply", "offer")
            and one.at.astimezone(now.tzinfo).date() == now.date()
        ):
            return one
    billed = find(claim.invoices, invoice)
    made = new_entry(claim, "offer", billed.agreement if billed is not None else None)
    return dataclasses.replace(made, direction=direction)


def put_recovered(desk: OpenClaim, *items: RecoveredItem) -> bool:
    """Record equipment that turned up, or change what is said of it, as one change."""
    for item in items:
        get(desk.claim.kit, item.line, "kit line")

    def change(claim: Claim) -> Claim:
        recovered = claim.recovered
        for item in items:
            recovered = put(recovered, item)
        return dataclasses.replace(claim, recovered=recovered)

    return desk.change(said("Turned up again"), change)


def remove_recovered(desk: OpenClaim, items: Iterable[str]) -> bool:
    """Take recovered items off."""
    ids = set(items)
    return desk.change(
        said("Remove what turned up"),
        lambda claim: dataclasses.replace(claim, recovered=without(claim.recovered, ids)),
    )


class ChargeStanding(NamedTuple):
    """How far one charge is settled: what either side offered last, and what was agreed."""

    invoice: Invoice
    charge: Charge
    result: ChargeResult | None
    theirs: Decimal | None
    """For what they would settle it, as last offered."""
    ours: Decimal | None


def charge_standings(claim: Claim, reckoning: Reckoning | None) -> tuple[ChargeStanding, ...]:
    """Return every charge of the invoices that still stand, with the latest offers."""
    results = {(one.invoice, one.charge): one for one in reckoning.charges} if reckoning else {}
    latest: dict[tuple[str, str, str], Decimal] = {}
    for entry in sorted(claim.correspondence, key=lambda one: one.at):
        for offer in entry.offers:
            latest[entry.direction, offer.invoice, offer.charge] = offer.amount
    replaced = {one.revises for one in claim.invoices}
    return tuple(
        ChargeStanding(
            invoice,
            charge,
            results.get((invoice.id, charge.id)),
            latest.get(("received", invoice.id, charge.id)),
            latest.get(("sent", invoice.id, charge.id)),
        )
        for invoice in claim.invoices
        if invoice.id not in replaced
        for charge in invoice.charges
    )


class NextDeadline(NamedTuple):
    """A day on which something is due, from whom, and why."""

    day: dt.date
    says: str
    ours: bool


def coming_deadlines(
    claim: Claim, reckoning: Reckoning | None, today: dt.date
) -> tuple[NextDeadline, ...]:
    """Return what is due from ``today`` on, soonest first.

    From the agreement and the policy, from the days by which an answer was asked for, and
    from the time within which a found item is to be brought back for its refund.  What an
    answer that was sent has met is no longer due.
    """
    found = [*_asked_answers(claim)]
    for deadline in reckoning.deadlines if reckoning else ():
        if deadline.due is not None and not is_objected(claim, deadline):
            found.append(NextDeadline(deadline.due, deadline.title, deadline.binds == "us"))
    for agreement in claim.agreements:
        term, paid = agreement.terms.recovery, paid_on(claim, agreement.id)
        if term is not None and term.within_days and paid and term.refund != "none":
            last = paid + dt.timedelta(days=term.within_days)
            says = said("Last day on which a found item earns its refund")
            found.append(NextDeadline(last, says, ours=True))
    return tuple(sorted(one for one in found if one.day >= today))


def overdue_deadlines(
    claim: Claim, reckoning: Reckoning | None, today: dt.date
) -> tuple[NextDeadline, ...]:
    """Return the answers, theirs and ours, whose day has passed without them; latest first.

    Other deadlines are met outside what is logged; nothing is said of these.
    """
    if claim.stage in ("settled", "paid", "closed"):
        return ()
    found = [*_asked_answers(claim)]
    for deadline in reckoning.deadlines if reckoning else ():
        if (
            deadline.due is not None
            and asks_for_objection(deadline)
            and not is_objected(claim, deadline)
        ):
            found.append(NextDeadline(deadline.due, deadline.title, ours=True))
    return tuple(sorted((one for one in found if one.day < today), reverse=True))


def _asked_answers(claim: Claim) -> Iterator[NextDeadline]:
    for entry in claim.correspondence:
        if entry.reply_by is not None and not _is_answered(claim, entry):
            ours = entry.direction == "received"
            says = (
                said("We are asked to answer: {subject}", subject=entry.subject)
                if ours
                else said("They are asked to answer: {subject}", subject=entry.subject)
            )
            yield NextDeadline(entry.reply_by, says, ours)


def _is_answered(claim: Claim, entry: Correspondence) -> bool:
    return any(answers(one, entry) for one in claim.correspondence)


class Recovered(NamedTuple):
    """An item that turned up, and the working of the refund that it earns."""

    item: RecoveredItem
    refund: Step


def recovered_items(claim: Claim) -> tuple[Recovered, ...]:
    """Return what turned up, with the refund that each earns under its agreement."""
    return tuple(Recovered(one, refund_earned(claim, one)) for one in claim.recovered)


def new_recovered(claim: Claim, invoice: str, charge: str) -> RecoveredItem:
    """Return an item of a charge that was found today, still to be recorded.

    Raises:
        LdappError: the charge matches no kit line, so nobody can say what was found.
    """
    present = find_charge(claim, charge)
    if present.line is None:
        raise LdappError(
            said(
                "Charge {number} matches no kit line yet. Match it first, then say what was found.",
                number=present.number,
            )
        )
    return RecoveredItem(
        id=new_id(),
        line=present.line,
        invoice=invoice,
        charge=charge,
        found=now_in(claim).date(),
    )
