"""What may not stand in any text: payment card numbers."""

from __future__ import annotations

from collections.abc import Iterable

from ldapp.claim.journal import RecordChange
from ldapp.errors import LdappError
from ldapp.exchange.card_numbers import holds_card_number, texts_of
from ldapp.language import said


def refuse_card_numbers(text: str) -> str:
    """Return ``text`` as it is.

    Raises:
        LdappError: it holds what looks like the number of a payment card; these are never
            stored.
    """
    if holds_card_number(text):
        raise LdappError(
            said(
                "This looks like a payment card number. Those are never stored here: "
                "write “card ending in …” with the last four digits instead."
            )
        )
    return text


def looks_like_card_number(text: str) -> bool:
    """Return whether a serial number, tag or reference could be a payment card number.

    Long serial numbers can look like one, so that in these fields the person is asked.
    """
    return holds_card_number(text)


def refuse_card_numbers_in(changes: Iterable[RecordChange]) -> None:
    """Let a change to a claim pass that brings no payment card number into any text.

    Whatever way a text came in, it passes here before it is saved.

    Raises:
        LdappError: it holds what looks like the number of a payment card, in a field where
            long numbers are not usual.
    """
    for change in changes:
        if change.after is not None:
            before = set(texts_of(change.kind, change.before or {}))
            for text in texts_of(change.kind, change.after):
                if text not in before:
                    refuse_card_numbers(text)
