"""Deadlines as agreements, policies and public rules state them."""

from __future__ import annotations

import datetime as dt
from typing import Literal, get_args

from ldapp.claim.clause import Clause
from ldapp.claim.record import record
from ldapp.language import marked

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
    "pickup": marked("the pickup"),
    "return_due": marked("the day the return was due"),
    "return": marked("the return"),
    "check_in": marked("the check-in"),
    "discovery": marked("the discovery"),
    "loss": marked("the loss"),
    "notice_to_insurer": marked("the notice to the insurer"),
    "insurer_request": marked("the insurer's request"),
    "proof_of_loss": marked("the proof of loss"),
    "insurer_decision": marked("the insurer's decision"),
    "invoice_date": marked("the invoice's date"),
    "invoice_received": marked("the receipt of the invoice"),
    "payment": marked("the payment to the rental company"),
    "first_payment": marked("the insurer's first payment"),
    "other": marked("another event"),
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
