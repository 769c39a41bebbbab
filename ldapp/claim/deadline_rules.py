"""Deadlines as agreements, policies and public rules state them."""

from __future__ import annotations

import datetime as dt
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

START_WORDS: dict[DeadlineStart, str] = {
    "pickup": "the pickup",
    "return_due": "the day the return was due",
    "return": "the return",
    "check_in": "the check-in",
    "discovery": "the discovery",
    "loss": "the loss",
    "notice_to_insurer": "the notice to the insurer",
    "insurer_request": "the insurer's request",
    "proof_of_loss": "the proof of loss",
    "insurer_decision": "the insurer's decision",
    "invoice_date": "the invoice's date",
    "invoice_received": "the receipt of the invoice",
    "payment": "the payment to the rental company",
    "first_payment": "the insurer's first payment",
    "other": "another event",
}

DeadlineUnit = Literal["calendar_days", "business_days", "hours"]
DeadlineParty = Literal["us", "lessor", "insurer"]


@record
class DeadlineRule:
    """One period: what starts it, how long it is and how it is counted.

    The day of the event is excluded and the last day counts; a last day that is no
    business day moves on only where ``rolls`` says so.  ``start_on`` gives the day of the
    event by hand; it goes before what the claim's own records say.
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
    start_on: dt.date | None = None
    agreement: str | None = None
    clause: Clause | None = None


@record
class Holiday:
    """A day that is no business day, and what it is called."""

    day: dt.date
    name: str = ""


@record
class HolidayCalendar:
    """The days that a paper's business days leave out: those of a place, under a source.

    The days are dates, so that a claim is reckoned alike everywhere and for ever; a public
    rule (such as 5 U.S.C. 6103) is written out into them when a person takes it.
    """

    place: str = ""
    days: tuple[Holiday, ...] = ()
    source: str = ""
    from_memory: bool = False
    clause: Clause | None = None
