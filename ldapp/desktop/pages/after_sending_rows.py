"""Rows of what was sent and answered, of how far each charge is settled, of what turned up."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import NamedTuple

from ldapp.casework.after_sending import STEP_NAMES, ChargeStanding, Recovered
from ldapp.casework.edit import find
from ldapp.casework.papers import party_name
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence, RecoveredItem
from ldapp.desktop.pages.charge_heading import charge_heading
from ldapp.desktop.pages.said import line_text
from ldapp.desktop.widgets.amount_column import amount_column
from ldapp.desktop.widgets.table_model import CellEdit, Column
from ldapp.desktop.widgets.values import (
    amount_text,
    date_text,
    instant_text,
    parse_date,
    parse_money,
    parse_whole,
)
from ldapp.errors import LdappError
from ldapp.language import marked, marked_in, said, said_of

WAYS: dict[str, str] = {
    "sent": marked_in("way of a letter", "sent"),
    "received": marked_in("way of a letter", "received"),
}


class EntryRow(NamedTuple):
    """One thing sent or received."""

    entry: Correspondence
    party: str
    currency: str


class StandingRow(NamedTuple):
    """One charge between the two sides."""

    one: ChargeStanding
    currency: str


class RecoveredRow(NamedTuple):
    """One thing that turned up."""

    one: Recovered
    line: str
    currency: str


def entry_rows(claim: Claim) -> list[EntryRow]:
    """Return what was sent and received, the latest first."""
    return [
        EntryRow(one, party_name(claim, one.party), claim.currency)
        for one in sorted(claim.correspondence, key=lambda one: one.at, reverse=True)
    ]


def recovered_row(claim: Claim, one: Recovered) -> RecoveredRow:
    """Return the row of one recovered item."""
    return RecoveredRow(one, line_text(find(claim.kit, one.item.line)), claim.currency)


def _amounts(row: EntryRow) -> str:
    entry, named = row.entry, []
    if entry.offered is not None:
        named.append(said("offered {amount}", amount=amount_text(entry.offered, row.currency)))
    if entry.settled is not None:
        named.append(said("settled {amount}", amount=amount_text(entry.settled, row.currency)))
    if entry.paid is not None:
        named.append(said("paid {amount}", amount=amount_text(entry.paid, row.currency)))
    if entry.offers:
        named.append(
            said_of(len(entry.offers), "{count} charge offered", "{count} charges offered")
        )
    return ", ".join(named)


ENTRY_COLUMNS: tuple[Column[EntryRow], ...] = (
    Column(
        name="at",
        title=marked("When"),
        text=lambda row: instant_text(row.entry.at),
        key=lambda row: row.entry.at,
        width=22,
    ),
    Column(
        name="direction",
        title=marked("Way"),
        text=lambda row: said(WAYS[row.entry.direction]),
        width=12,
    ),
    Column(
        name="step",
        title=marked("What"),
        text=lambda row: said(STEP_NAMES[row.entry.step]),
        width=14,
    ),
    Column(name="party", title=marked("With"), text=lambda row: row.party, width=17),
    Column(
        name="subject",
        title=marked("Subject"),
        text=lambda row: row.entry.subject,
        tip=lambda row: row.entry.text or row.entry.subject,
        width=19,
    ),
    Column(name="amounts", title=marked("Amounts"), text=_amounts, width=16),
)


def _owed(row: StandingRow) -> Decimal | None:
    return None if row.one.result is None else row.one.result.owed


STANDING_COLUMNS: tuple[Column[StandingRow], ...] = (
    *charge_heading(lambda row: row.one.charge, width=26),
    amount_column("billed", marked("Billed"), lambda row: row.one.charge.amount, width=9),
    amount_column("owed", marked("Owed"), _owed, width=9),
    amount_column(
        "theirs",
        marked("They offer"),
        lambda row: row.one.theirs,
        tip=marked("For what amount they would settle this charge"),
        editable=True,
        width=10,
    ),
    amount_column(
        "ours",
        marked("We offer"),
        lambda row: row.one.ours,
        tip=marked("For what amount we would settle this charge"),
        editable=True,
        width=10,
    ),
    amount_column(
        "settled", marked("Settled"), lambda row: row.one.charge.settled, editable=True, width=10
    ),
    Column(
        name="settled_on",
        title=marked("On"),
        text=lambda row: date_text(row.one.charge.settled_on),
        width=11,
    ),
)


def _refund(row: RecoveredRow) -> str:
    amount = row.one.refund.amount
    return said("not known") if amount is None else amount_text(amount, row.currency)


RECOVERED_COLUMNS: tuple[Column[RecoveredRow], ...] = (
    Column(name="line", title=marked("Turned up"), text=lambda row: row.line, width=22),
    Column(
        name="quantity",
        title=marked("Units"),
        text=lambda row: str(row.one.item.quantity),
        key=lambda row: row.one.item.quantity,
        editable=True,
        right=True,
        width=6,
    ),
    Column(
        name="found",
        title=marked("Found"),
        text=lambda row: date_text(row.one.item.found),
        key=lambda row: row.one.item.found,
        editable=True,
        width=11,
    ),
    Column(
        name="returned",
        title=marked("Brought back"),
        text=lambda row: date_text(row.one.item.returned),
        key=lambda row: row.one.item.returned,
        editable=True,
        width=12,
    ),
    Column(
        name="refund",
        title=marked("Refund earned"),
        text=_refund,
        tip=lambda row: row.one.refund.rule,
        right=True,
        width=14,
    ),
    amount_column(
        "refunded", marked("Refunded"), lambda row: row.one.item.refunded, editable=True, width=10
    ),
    Column(
        name="refunded_on",
        title=marked("On"),
        text=lambda row: date_text(row.one.item.refunded_on),
        editable=True,
        width=11,
    ),
)


def edited_item(item: RecoveredItem, edit: CellEdit) -> RecoveredItem:
    """Return a recovered item with what was typed in a cell.

    Raises:
        LdappError: it is no date, number or amount.
    """
    row: RecoveredRow = edit.row
    text = edit.text.strip()
    match edit.column:
        case "quantity":
            return dataclasses.replace(item, quantity=parse_whole(text or "1"))
        case "found":
            if not text:
                raise LdappError(
                    said("A thing that turned up needs the day on which it was found.")
                )
            return dataclasses.replace(item, found=parse_date(text))
        case "returned":
            return dataclasses.replace(item, returned=parse_date(text) if text else None)
        case "refunded_on":
            return dataclasses.replace(item, refunded_on=parse_date(text) if text else None)
        case "refunded":
            amount = parse_money(text, row.currency) if text else None
            return dataclasses.replace(item, refunded=amount)
    return item
