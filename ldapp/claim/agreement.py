"""A rental agreement and an insurance policy as papers with terms."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from ldapp.claim.policy import PolicyTerms
from ldapp.claim.record import record
from ldapp.claim.terms import Terms


@record
class Agreement:
    """One rental agreement; a claim holds one per rental company."""

    id: str
    lessor: str
    """The party that rents out."""
    renter: str | None = None
    """The party that rents; whether the policy insures it decides on cover."""
    reference: str = ""
    signed: dt.date | None = None
    starts: dt.datetime | None = None
    """When the rental begins; aware."""
    ends: dt.datetime | None = None
    """When the equipment is due back; aware."""
    custody_began: dt.datetime | None = None
    """When the event happened with which our risk begins under the terms; aware."""
    custody_ended: dt.datetime | None = None
    """When the event happened with which our risk ends under the terms; aware."""
    notified: dt.date | None = None
    """When the lessor was told of the loss or told us of it, whichever came first."""
    paid: dt.date | None = None
    """When the loss was paid to the lessor."""
    purchase_order: str = ""
    document: str | None = None
    terms: Terms = Terms()
    note: str = ""


@record
class Policy:
    """The insurance policy as it applies to this claim."""

    id: str
    insurer: str
    """A party."""
    number: str = ""
    insured: str | None = None
    broker: str | None = None
    loss_payee: str | None = None
    claim_number: str = ""
    document: str | None = None
    aggregate_used_before: Decimal = Decimal(0)
    """What earlier claims have used of the annual limit, in the claim's currency."""
    notified: dt.date | None = None
    """When the insurer was told of the loss."""
    proof_requested: dt.date | None = None
    """When the insurer asked for the proof of loss."""
    proof_given: dt.date | None = None
    """When the proof of loss was handed in."""
    decided: dt.date | None = None
    """When the insurer accepted or denied."""
    first_paid: dt.date | None = None
    """When the insurer's first payment came."""
    terms: PolicyTerms = PolicyTerms()
    note: str = ""
