"""One row of the register: what a claim comes to, without opening it."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

from ldapp.claim.figures import ClaimFigures
from ldapp.claim.record import record
from ldapp.claim.stages import ClaimStage


@record
class ClaimSummary:
    """Written in the same transaction as every change; amounts in ``currency``.

    ``reckoning_version`` says by which reckoning it was computed and of which make the row
    is, so that an older one is made anew when the library is next opened.
    """

    claim: str
    reference: str
    title: str
    currency: str
    stage: ClaimStage
    rental_companies: tuple[str, ...] = ()
    next_deadline: dt.date | None = None
    next_deadline_title: str = ""
    asked: Decimal | None = None
    """Billed by the rental companies; None where nothing has been charged."""
    owed: Decimal | None = None
    disputed: Decimal | None = None
    paid_by_others: Decimal | None = None
    settled: Decimal | None = None
    open_points: int = 0
    invented: bool = False
    changed: dt.datetime | None = None
    """When the claim was last changed, UTC."""
    reckoning_version: str = ""
    policy: str = ""
    """The policy's number and its insurer, as a person names it."""
    people: tuple[str, ...] = ()
    """School, department and students."""
    papers_missing: int = 0
    figures: ClaimFigures | None = None
    """For reports; None where the row was read for the register alone, or is not reckoned."""


def without_passed(row: ClaimSummary, figures: ClaimFigures | None, today: dt.date) -> ClaimSummary:
    """Return a row as it stands today: a deadline that has passed gives way to the next one."""
    if row.next_deadline is None or row.next_deadline >= today:
        return row
    known = () if figures is None else figures.deadlines
    coming = next((one for one in known if one.due >= today), None)
    return dataclasses.replace(
        row,
        next_deadline=None if coming is None else coming.due,
        next_deadline_title="" if coming is None else coming.title,
    )
