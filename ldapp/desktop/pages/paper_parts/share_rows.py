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
        return "jointly: " + ", ".join(one.name for one in share.members)
    return f"equal part of {share.of_group}" if share.of_group else "alone"


def _open_text(row: ShareRow) -> str:
    left = row.share.open
    if left < 0:
        return f"{amount_text(-left, row.currency)} too much"
    return amount_text(left, row.currency) if left else "paid"


SHARE_COLUMNS: tuple[Column[ShareRow], ...] = (
    Column(name="name", title="Who", text=lambda row: row.share.name, width=20),
    Column(
        name="how",
        title="How",
        text=lambda row: how_text(row.share),
        tip=lambda row: how_text(row.share),
        width=14,
    ),
    Column(
        name="events",
        title="Of",
        text=lambda row: ", ".join(one.title for one in row.share.parts),
        tip=lambda row: ", ".join(one.title for one in row.share.parts),
        width=17,
    ),
    amount_column("amount", "Part", lambda row: row.share.amount, width=9),
    amount_column("paid", "Paid", lambda row: row.share.paid, width=9),
    Column(
        name="open",
        title="Open",
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
        title="Day",
        text=lambda row: date_text(row.entry.at.date()),
        key=lambda row: row.entry.at,
        editable=True,
        width=12,
    ),
    Column(
        name="party",
        title="From",
        text=lambda row: row.party,
        edit_text=lambda row: row.entry.party or "",
        choices=lambda row: row.parties,
        editable=True,
        width=28,
    ),
    Column(
        name="amount",
        title="Amount",
        text=lambda row: amount_text(row.entry.paid, row.currency) if row.entry.paid else "",
        edit_text=lambda row: plain_number(row.entry.paid) if row.entry.paid else "",
        key=lambda row: row.entry.paid,
        editable=True,
        right=True,
        width=12,
    ),
    Column(
        name="subject",
        title="Remark",
        text=lambda row: row.entry.subject,
        editable=True,
        width=34,
    ),
)
