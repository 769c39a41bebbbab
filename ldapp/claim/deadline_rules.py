"""Deadlines as agreements, policies and public rules state them."""

from __future__ import annotations

from typing import Literal, get_args

from ldapp.claim.clause import Clause
from ldapp.claim.record import record

DeadlineStart = Literal[
    "pickup",
    "return_due",
    "return",
    "check_in",
    "discovery",
    "loss",
    "notice_to_insurer",
    "insurer_request",
    "proof_of_loss",
    "insurer_decision",
    "invoice_date",
    "invoice_received",
    "payment",
    "first_payment",
    "other",
]
DEADLINE_STARTS: tuple[DeadlineStart, ...] = get_args(DeadlineStart)

DeadlineUnit = Literal["calendar_days", "business_days", "hours"]
DeadlineParty = Literal["us", "lessor", "insurer"]


@record
class DeadlineRule:
    """One period: what starts it, how long it is and how it is counted.

    The day of the event is excluded and the last day counts; a last day that is no
    business day moves on only where ``rolls`` says so.  ``start_on`` gives the start
    by hand where the claim has no event for it.
    """

    code: str
    title: str
    starts: DeadlineStart
    length: int
    unit: DeadlineUnit = "calendar_days"
    rolls: bool = False
    binds: DeadlineParty = "us"
    needs: str = ""
    source: str = ""
    from_memory: bool = False
    agreement: str | None = None
    clause: Clause | None = None
