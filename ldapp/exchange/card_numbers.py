"""Payment card numbers are never stored: find them in text.

A card number has 13 to 19 digits, begins with a prefix that is given to card issuers and
ends with a check digit (ISO/IEC 7812-1, annex B: the Luhn formula).  The prefixes are
those in common use for cards, by number only; they are written from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from ldapp.exchange.claim_references import may_hold_long_number
from ldapp.language import marked

SHORTEST = 13
LONGEST = 19

_PREFIXES: tuple[tuple[int, int, frozenset[int]], ...] = (
    (300, 305, frozenset({14, 16})),
    (34, 34, frozenset({15})),
    (3528, 3589, frozenset({16, 17, 18, 19})),
    (36, 36, frozenset({14, 16, 19})),
    (37, 37, frozenset({15})),
    (38, 39, frozenset({14, 16})),
    (4, 4, frozenset({13, 16, 18, 19})),
    (50, 50, frozenset({13, 14, 15, 16, 17, 18, 19})),
    (51, 55, frozenset({16})),
    (56, 59, frozenset({13, 14, 15, 16, 17, 18, 19})),
    (6, 6, frozenset({13, 14, 15, 16, 17, 18, 19})),
    (2200, 2204, frozenset({16, 17, 18, 19})),
    (2221, 2720, frozenset({16})),
)
"""First and last prefix, and the numbers of digits that go with them."""

_DIGIT_RUN = re.compile(r"\+?\d(?:[ \u00a0.\-]?\d){12,}")
_LONGEST_TELEPHONE = 15
_GROUP = re.compile(r"\d+")

REFUSED = marked("{field} holds a payment card number; such numbers are never stored")
EXPECTED_WITHOUT = marked("the same text without the card number")


def has_luhn_digit(digits: str) -> bool:
    """Return whether the last of ``digits`` is the check digit of those before it."""
    total = 0
    for index, character in enumerate(reversed(digits)):
        value = int(character)
        if index % 2:
            value = value * 2 - 9 if value > 4 else value * 2
        total += value
    return total % 10 == 0


def is_card_number(digits: str) -> bool:
    """Return whether ``digits`` (nothing else) can be the number of a payment card."""
    if not SHORTEST <= len(digits) <= LONGEST:
        return False
    issued = any(
        first <= int(digits[: len(str(first))]) <= last and len(digits) in lengths
        for first, last, lengths in _PREFIXES
    )
    return issued and has_luhn_digit(digits)


def _candidates(text: str) -> Iterator[str]:
    for run in _DIGIT_RUN.findall(text):
        groups = _GROUP.findall(run)
        # A telephone number begins with a plus and has 15 digits at most (ITU-T E.164, 6.1).
        if run.startswith("+") and sum(map(len, groups)) <= _LONGEST_TELEPHONE:
            continue
        for start in range(len(groups)):
            digits = ""
            for group in groups[start:]:
                digits += group
                if len(digits) > LONGEST:
                    break
                yield digits


def holds_card_number(text: str) -> bool:
    """Return whether ``text`` holds a payment card number, also one written in groups."""
    return len(text) >= SHORTEST and any(is_card_number(digits) for digits in _candidates(text))


def texts_of(owner: str, record: dict[str, Any]) -> Iterator[str]:
    """Give every text of a record's JSON that is long enough to hold a card number.

    Fields in which long numbers are usual are left out.
    """
    for field, value in record.items():
        if not may_hold_long_number(owner, field):
            yield from _texts_in(field, value)


def _texts_in(field: str, value: Any) -> Iterator[str]:
    if isinstance(value, str):
        if len(value) >= SHORTEST:
            yield value
    elif isinstance(value, dict):
        yield from texts_of(field, value)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _texts_in(field, one)
