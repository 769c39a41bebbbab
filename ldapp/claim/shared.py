"""Records that several claims use, and how the library keeps one."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import NamedTuple

from ldapp.claim.parties import Party
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.record import record


class SharedRecord(NamedTuple):
    """``data`` is the record as JSON text; ``version`` 0 is one that is not kept yet."""

    kind: str
    id: str
    version: int
    name: str
    data: str
    changed: dt.datetime | None = None
    who: str = ""


@record
class SharedPolicy:
    """A policy that several claims are under: what is the same for all of them.

    ``id`` is the policy's id in the claims that were made from it; amounts are in ``currency``.
    """

    id: str
    currency: str
    number: str = ""
    insurer: Party
    broker: Party | None = None
    terms: PolicyTerms = PolicyTerms()
    note: str = ""


@record
class Certificate:
    """A certificate of insurance that names a student: from when to when, and up to what."""

    id: str
    student: str
    reference: str = ""
    """The student's number, as the claims state it."""
    policy_number: str
    begins: dt.date
    ends: dt.date
    """The last day that it is valid."""
    limit: Decimal
    currency: str
    note: str = ""
