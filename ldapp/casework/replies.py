"""What answers what among the things sent and received, and which payments are a party's share."""

from __future__ import annotations

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence
from ldapp.claim.parties import PartyRole

BEARING_ROLES: frozenset[PartyRole] = frozenset(
    {"student", "crew", "department", "school", "production", "third_party"}
)
"""Who may bear a part of what nobody else pays."""


def answers(one: Correspondence, entry: Correspondence) -> bool:
    """Return whether ``one`` answers ``entry``: later, the other way, between the same two."""
    return (
        one.direction != entry.direction
        and one.at > entry.at
        and one.step != "payment"
        and (one.agreement == entry.agreement or None in (one.agreement, entry.agreement))
        and (one.party == entry.party or None in (one.party, entry.party))
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
