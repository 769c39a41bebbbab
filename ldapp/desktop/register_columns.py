"""The columns of the register: what they show, and by what they are sorted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal
from typing import get_args

from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.desktop.theme import Role
from ldapp.desktop.widgets.table_model import Column
from ldapp.desktop.widgets.values import date_text, money_text
from ldapp.language import marked, said, said_of

STAGES: tuple[ClaimStage, ...] = get_args(ClaimStage)
STAGE_LABELS: dict[ClaimStage, str] = {
    "preparing": marked("Preparing"),
    "sent": marked("Sent"),
    "answered": marked("Answered"),
    "offered": marked("Offered"),
    "settled": marked("Settled"),
    "paid": marked("Paid"),
    "closed": marked("Closed"),
}
HIDDEN_AT_FIRST = ("policy", "people")
"""Columns that a person shows when they are wanted: filters reach them anyway."""
_SOON_DAYS = 7


def today() -> dt.date:
    """Return the day at this computer."""
    return dt.datetime.now().astimezone().date()


def _deadline_text(row: ClaimSummary) -> str:
    if row.next_deadline is None:
        return ""
    left = (row.next_deadline - today()).days
    day = date_text(row.next_deadline)
    if left < 0:
        when = said_of(-left, "! {day}, {count} day over", "! {day}, {count} days over", day=day)
    elif left == 0:
        when = said("! {day}, today", day=day)
    elif left <= _SOON_DAYS:
        when = said_of(left, "! {day}, in {count} day", "! {day}, in {count} days", day=day)
    else:
        when = day
    return f"{when}, {row.next_deadline_title}" if row.next_deadline_title else when


def _deadline_role(row: ClaimSummary) -> Role | None:
    if row.next_deadline is None:
        return None
    left = (row.next_deadline - today()).days
    return None if left > _SOON_DAYS else "red" if left <= 0 else "amber"


def _title_text(row: ClaimSummary) -> str:
    if row.invented and "invented" not in row.title:
        return said("{title} (invented)", title=row.title)
    return row.title


def _papers_text(row: ClaimSummary) -> str:
    number = row.papers_missing
    return said_of(number, "! {count} missing", "! {count} missing") if number else ""


def _papers_spoken(row: ClaimSummary) -> str:
    number = row.papers_missing
    return said_of(number, "{count} paper missing", "{count} papers missing") if number else ""


def _money_column(name: str, title: str) -> Column[ClaimSummary]:
    def amount(row: ClaimSummary) -> Decimal | None:
        value: Decimal | None = getattr(row, name)
        return value

    return Column(
        name=name,
        title=title,
        text=lambda row: "" if amount(row) is None else money_text(amount(row), row.currency),
        key=amount,
        right=True,
        width=14,
    )


REGISTER_COLUMNS: tuple[Column[ClaimSummary], ...] = (
    Column(
        name="reference",
        title=marked("Reference"),
        text=lambda row: row.reference,
        width=13,
        bold=True,
    ),
    Column(name="title", title=marked("Production"), text=_title_text, width=25),
    Column(
        name="rental_company",
        title=marked("Rental company"),
        text=lambda row: ", ".join(row.rental_companies),
        tip=lambda row: "\n".join(row.rental_companies),
        width=18,
    ),
    Column(name="policy", title=marked("Policy"), text=lambda row: row.policy, width=22),
    Column(
        name="people",
        title=marked("School and students"),
        text=lambda row: ", ".join(row.people),
        tip=lambda row: "\n".join(row.people),
        width=26,
    ),
    Column(
        name="stage",
        title=marked("Stage"),
        text=lambda row: said(STAGE_LABELS[row.stage]),
        key=lambda row: STAGES.index(row.stage),
        width=10,
    ),
    Column(
        name="next_deadline",
        title=marked("Next deadline"),
        text=_deadline_text,
        key=lambda row: row.next_deadline,
        role=_deadline_role,
        tip=_deadline_text,
        width=26,
    ),
    _money_column("asked", marked("Asked")),
    _money_column("disputed", marked("Disputed")),
    _money_column("settled", marked("Settled")),
    Column(
        name="papers_missing",
        title=marked("Papers"),
        text=_papers_text,
        key=lambda row: row.papers_missing,
        role=lambda row: "amber" if row.papers_missing else None,
        spoken=_papers_spoken,
        width=10,
    ),
    Column(
        name="open_points",
        title=marked("Open points"),
        text=lambda row: str(row.open_points) if row.open_points else "",
        key=lambda row: row.open_points,
        right=True,
        width=10,
    ),
)


def sums_by_currency(rows: Iterable[ClaimSummary], name: str) -> dict[str, Decimal]:
    """Add up one amount of the rows, each currency for itself; unknown amounts are left out."""
    sums: dict[str, Decimal] = {}
    for row in rows:
        amount = getattr(row, name)
        if amount is not None:
            sums[row.currency] = sums.get(row.currency, Decimal(0)) + amount
    return sums
