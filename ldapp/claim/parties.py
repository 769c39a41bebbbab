"""The people and firms of a claim."""

from __future__ import annotations

from typing import Literal, TypeAlias

from ldapp.claim.record import record

PartyRole: TypeAlias = Literal[
    "production",
    "rental_company",
    "owner",
    "insurer",
    "broker",
    "school",
    "department",
    "student",
    "crew",
    "third_party",
]

GroupLiability: TypeAlias = Literal["jointly", "in_equal_parts"]


@record
class Party:
    """A person or firm, or a group; ``role`` says on which side of the claim it stands."""

    id: str
    role: PartyRole
    name: str
    contact: str = ""
    address: str = ""
    email: str = ""
    phone: str = ""
    reference: str = ""
    """The party's own reference for this matter: a customer, claim or student number."""
    note: str = ""
    """Private: printed in no dossier."""
    members: tuple[str, ...] = ()
    """For a group: the parties that belong to it, by their ids."""
    together: GroupLiability | None = None
    """How a group bears its part: each member for all of it, or each its equal part."""
