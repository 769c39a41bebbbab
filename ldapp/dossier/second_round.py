"""What a second letter says of the first: when it was sent, what was answered, what remains.

Only what both sides know goes in: days, amounts offered, settled and paid.  Neither the
words of what was logged nor the strength of a ground is printed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from ldapp.claim.documents import ChargeOffer, Correspondence
from ldapp.dossier.book import AnsweredCharge, Book
from ldapp.dossier.charge_names import lines_named
from ldapp.dossier.formats import date_text
from ldapp.language import said_of


@dataclass(frozen=True, slots=True)
class SecondRound:
    """Values and conditions for the paragraphs of the second letter."""

    values: dict[str, str]
    holds: dict[str, bool]
    offers: dict[tuple[str, str], Decimal]
    """What the company last offered for a charge that is not settled, by invoice and charge."""


def second_round(book: Book) -> SecondRound | None:
    """Return what came after a first letter to this company, or None where none was sent.

    A letter of the very day of this one is this one, written again.
    """
    entries = sorted(_entries(book), key=lambda one: one.at)
    first = next(
        (
            one
            for one in entries
            if (one.step, one.direction) == ("answer_to_charges", "sent")
            and _day(book, one) < book.request.date
        ),
        None,
    )
    if first is None:
        return None
    later = [one for one in entries if one.at > first.at and _day(book, one) <= book.request.date]
    answers = [
        one for one in later if one.direction == "received" and one.step not in ("payment", "other")
    ]
    offered = _latest(book, (one for one in entries if one.direction == "received"))
    ours = _latest(book, (one for one in entries if one.direction == "sent"))
    settled = [one for one in book.charges if one.charge.settled is not None]
    done = {(one.invoice.id, one.charge.id) for one in settled}
    offered = [one for one in offered if _key(one[0]) not in done]
    ours = [one for one in ours if _key(one[0]) not in done]
    billed = _sum(one.result.billed for one, _ in offered)
    owed = _sum(one.result.owed for one, _ in offered)
    asked = _sum(offer.amount for _, offer in offered)
    paid = _sum(one.paid or Decimal(0) for one in entries if one.direction == "sent")
    found = _found_units(book)
    left = [one for one in book.charges if one.result.disputed and _key(one) not in done]
    return SecondRound(
        values={
            "first_sent": date_text(_day(book, first)),
            "answered_on": date_text(_day(book, answers[-1])) if answers else "",
            "offered_lines": lines_named([one for one, _ in offered]),
            "offered_billed": book.money(billed),
            "offered": book.money(asked),
            "offered_owed": book.money(owed),
            "offered_apart": book.money(max(asked - owed, Decimal(0))),
            "our_lines": lines_named([one for one, _ in ours]),
            "our_offer": book.money(_sum(offer.amount for _, offer in ours)),
            "settled_lines": lines_named(settled),
            "settled": book.money(_sum(one.charge.settled or Decimal(0) for one in settled)),
            "paid": book.money(paid),
            "found_units": said_of(found, "{count} unit", "{count} units"),
            "left_lines": lines_named(left),
            "left_disputed": book.money(_sum(one.result.disputed for one in left)),
        },
        holds={
            "answered": bool(answers),
            "not_answered": not answers,
            "offered": bool(offered),
            "our_offer": bool(ours),
            "settled": bool(settled),
            "paid": paid > 0,
            "found_again": found > 0,
        },
        offers={_key(one): offer.amount for one, offer in offered},
    )


def _entries(book: Book) -> Iterable[Correspondence]:
    chosen = {one.id for one in book.agreements}
    lessors = {one.lessor for one in book.agreements}
    alone = len({one.lessor for one in book.claim.agreements}) < 2
    for one in book.claim.correspondence:
        if one.step == "statement_of_loss":
            continue
        with_them = one.agreement in chosen or (
            one.agreement is None and (one.party in lessors or (alone and one.party is None))
        )
        if with_them:
            yield one


def _day(book: Book, entry: Correspondence) -> dt.date:
    return entry.at.astimezone(book.zone).date()


def _key(one: AnsweredCharge) -> tuple[str, str]:
    return one.invoice.id, one.charge.id


def _latest(
    book: Book, entries: Iterable[Correspondence]
) -> list[tuple[AnsweredCharge, ChargeOffer]]:
    latest = {(offer.invoice, offer.charge): offer for one in entries for offer in one.offers}
    return [(one, latest[_key(one)]) for one in book.charges if _key(one) in latest]


def _found_units(book: Book) -> int:
    return sum(
        one.quantity
        for one in book.claim.recovered
        if one.line in book.lines and one.refunded is None
    )


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))
