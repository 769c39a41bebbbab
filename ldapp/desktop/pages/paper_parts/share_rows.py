"""Rows of what each bears, and of what was paid of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ldapp.casework.papers import party_name
from ldapp.casework.shares import Share
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence
from ldapp.desktop.widgets.amount_column import amount_column
from ldapp.desktop.widgets.table_model import Column
from ldapp.desktop.widgets.values import amount_text, date_text, plain_number
from ldapp.language import marked, marked_in, said


class ShareRow(NamedTuple):
    """One part that is borne."""

    share: Share
    currency: str


class PaymentRow(NamedTuple):
    """One payment of a part, and who could have made it."""

    entry: Correspondence
    party: str
    parties: tuple[tuple[str, str], ...]
    currency: str


def how_text(share: Share) -> str:
    """Say how a part is borne."""
    if share.jointly:
        return said("jointly: {names}", names=", ".join(one.name for one in share.members))
    if share.of_group:
        return said("equal part of {group}", group=share.of_group)
    return said("alone")


def _open_text(row: ShareRow) -> str:
    left = row.share.open
    if left < 0:
        return said("{amount} too much", amount=amount_text(-left, row.currency))
    return amount_text(left, row.currency) if left else said("paid")


SHARE_COLUMNS: tuple[Column[ShareRow], ...] = (
    Column(name="name", title=marked("Who"), text=lambda row: row.share.name, width=20),
    Column(
        name="how",
        title=marked("How"),
        text=lambda row: how_text(row.share),
        tip=lambda row: how_text(row.share),
        width=14,
    ),
    Column(
        name="events",
        title=marked("Of"),
        text=lambda row: ", ".join(one.title for one in row.share.parts),
        tip=lambda row: ", ".join(one.title for one in row.share.parts),
        width=17,
    ),
    amount_column(
        "amount",
        marked_in("of a part that is borne", "Part"),
        lambda row: row.share.amount,
        width=9,
    ),
    amount_column("paid", marked("Paid"), lambda row: row.share.paid, width=9),
    Column(
        name="open",
        title=marked_in("of a part that is borne", "Open"),
        text=_open_text,
        key=lambda row: row.share.open,
        right=True,
        width=11,
    ),
)


def payment_rows(claim: Claim, entries: Sequence[Correspondence]) -> list[PaymentRow]:
    """Return the payments, the latest first."""
    persons = tuple(
        (one.id, one.name)
        for one in claim.parties
        if not one.members and one.role not in ("rental_company", "owner", "insurer", "broker")
    )
    return [
        PaymentRow(one, party_name(claim, one.party), persons, claim.currency)
        for one in reversed(entries)
    ]


PAYMENT_COLUMNS: tuple[Column[PaymentRow], ...] = (
    Column(
        name="day",
        title=marked("Day"),
        text=lambda row: date_text(row.entry.at.date()),
        key=lambda row: row.entry.at,
        editable=True,
        width=12,
    ),
    Column(
        name="party",
        title=marked_in("who paid", "From"),
        text=lambda row: row.party,
        edit_text=lambda row: row.entry.party or "",
        choices=lambda row: row.parties,
        editable=True,
        width=28,
    ),
    Column(
        name="amount",
        title=marked("Amount"),
        text=lambda row: amount_text(row.entry.paid, row.currency) if row.entry.paid else "",
        edit_text=lambda row: plain_number(row.entry.paid) if row.entry.paid else "",
        key=lambda row: row.entry.paid,
        editable=True,
        right=True,
        width=12,
    ),
    Column(
        name="subject",
        title=marked("Remark"),
        text=lambda row: row.entry.subject,
        editable=True,
        width=34,
    ),
)
