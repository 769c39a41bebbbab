"""What a claim adds to a report over all claims: its losses, its use of a policy, its days.

Written beside the register's row and made anew with it, so that thousands of claims are
reported without being opened.  Amounts are in the claim's currency.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Literal, TypeAlias

from ldapp.claim.record import record

FoundAt: TypeAlias = Literal["pickup", "during", "return", "check_in", "unknown"]
"""At which count a loss was gone or seen; the word of ``ldapp.claim.counts``."""


@record
class LossFigure:
    """One finding: what caused it, what it is, when it was found and what it comes to."""

    cause: str
    """A word of ``ldapp.claim.causes``."""
    kind: str
    """A word of ``ldapp.claim.kit``."""
    found: FoundAt = "unknown"
    units: int
    amount: Decimal | None
    """What is owed for it; None where that cannot be computed yet."""


@record
class PolicyUse:
    """What one occurrence takes of the policy."""

    occurrence: str
    at: dt.datetime | None
    """When it happened, aware; None where no day is known."""
    loss: Decimal
    deductible: Decimal
    policy: Decimal
    """What the policy pays, what it holds back included."""
    aggregate_used: Decimal


@record
class StudentFigure:
    """A student of the claim, as certificates name one."""

    name: str
    reference: str = ""


@record
class ShareFigure:
    """What one bears of a claim, alone or together with others, and what is paid of it."""

    name: str
    """A joint part has the names of all who bear it."""
    reference: str = ""
    """A student's number: two of one name are told apart by it."""
    amount: Decimal
    paid: Decimal


@record
class DeadlineFigure:
    """A deadline of ours that was still to come when the claim was reckoned."""

    due: dt.date
    title: str


@record
class ClaimFigures:
    """Everything that a report over all claims needs of one."""

    policy: str = ""
    """The policy's id; claims under one shared policy have the same."""
    insurer: str = ""
    policy_number: str = ""
    policy_hash: str = ""
    """SHA-256 of the policy's terms: whether it is as the office keeps it."""
    begins: dt.datetime | None = None
    ends: dt.datetime | None = None
    aggregate: Decimal | None = None
    aggregate_used_before: Decimal = Decimal(0)
    uses: tuple[PolicyUse, ...] = ()
    losses: tuple[LossFigure, ...] = ()
    students: tuple[StudentFigure, ...] = ()
    shares: tuple[ShareFigure, ...] = ()
    deadlines: tuple[DeadlineFigure, ...] = ()
    """In their order: when one has passed, the register shows the one after it."""
    department: str = ""
    opened: dt.date | None = None
    lost: dt.date | None = None
    """The day of the earliest occurrence, else of the earliest loss."""
    sent: dt.date | None = None
    settled: dt.date | None = None
    paid: dt.date | None = None
