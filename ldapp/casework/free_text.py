"""What may not stand in any text: payment card numbers."""

from __future__ import annotations

from ldapp.errors import LdappError
from ldapp.exchange.card_numbers import holds_card_number


def refuse_card_numbers(text: str) -> str:
    """Return ``text`` as it is.

    Raises:
        LdappError: it holds what looks like the number of a payment card; these are never
            stored.
    """
    if holds_card_number(text):
        raise LdappError(
            "This looks like a payment card number. Those are never stored here: write "
            "“card ending in …” with the last four digits instead."
        )
    return text


def looks_like_card_number(text: str) -> bool:
    """Return whether a serial number, tag or reference could be a payment card number.

    Long serial numbers can look like one, so that in these fields the person is asked.
    """
    return holds_card_number(text)
