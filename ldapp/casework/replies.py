"""What answers what among the things sent and received, and which payments are a party's share."""

from __future__ import annotations

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence
from ldapp.claim.parties import PartyRole
from ldapp.reckoning.result import Deadline

BEARING_ROLES: frozenset[PartyRole] = frozenset(
    {"student", "crew", "department", "school", "production", "third_party"}
)
"""Who may bear a part of what nobody else pays."""
_OBJECTION_WORDS = (
    *("object", "answer", "disput", "contest"),
    *("einwend", "einwand", "widerspr", "antwort", "bestreit", "beanstand"),
)
"""In a deadline's title, which a person wrote; in English or in German."""
_PAYMENT_WORDS = ("pay", "zahl")


def answers(one: Correspondence, entry: Correspondence) -> bool:
    """Return whether ``one`` answers ``entry``: later, the other way, between the same two."""
    return (
        one.direction != entry.direction
        and one.at > entry.at
        and one.step != "payment"
        and (one.agreement == entry.agreement or None in (one.agreement, entry.agreement))
        and (one.party == entry.party or None in (one.party, entry.party))
    )


def is_objected(claim: Claim, deadline: Deadline) -> bool:
    """Return whether our answer to the charges met a deadline to object to an invoice.

    A deadline of this kind binds us, begins with the invoice, and is called an objection,
    an answer or a dispute; what asks for a payment is another.  The answer counts from the
    beginning of the deadline on.
    """
    began = deadline.starts_on
    if began is None or not asks_for_objection(deadline):
        return False
    return any(
        (entry.step, entry.direction) == ("answer_to_charges", "sent")
        and entry.at.date() >= began
        and (not deadline.paper or entry.agreement in (deadline.paper, None))
        for entry in claim.correspondence
    )


def asks_for_objection(deadline: Deadline) -> bool:
    """Return whether a deadline is the one to object to an invoice."""
    words = f"{deadline.code} {deadline.title}".casefold()
    return (
        deadline.binds == "us"
        and deadline.started_by in ("invoice_date", "invoice_received")
        and any(one in words for one in _OBJECTION_WORDS)
        and not any(one in words for one in _PAYMENT_WORDS)
    )


def bearing_parties(claim: Claim) -> frozenset[str]:
    """Return the parties that may bear a part, by their ids."""
    return frozenset(one.id for one in claim.parties if one.role in BEARING_ROLES)


def is_share_payment(entry: Correspondence, bearers: frozenset[str]) -> bool:
    """Return whether an entry is a payment by one of ``bearers`` of its part."""
    return (
        entry.direction == "received"
        and entry.step == "payment"
        and entry.paid is not None
        and entry.party in bearers
    )
