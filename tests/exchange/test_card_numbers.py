"""Payment card numbers are found in text; long serial numbers that are none are not.

The numbers are test numbers that payment processors publish; no account belongs to them.
"""

from __future__ import annotations

import pytest

from ldapp.exchange.card_numbers import holds_card_number, is_card_number


@pytest.mark.parametrize(
    "text",
    [
        "4111111111111111",
        "paid with 4111 1111 1111 1111, thanks",
        "5555-5555-5555-4444",
        "378282246310005",
        "ref 2026 4111 1111 1111 1111 03",
        "4222222222222",
        "30569309025904",
        "6011\u00a00009\u00a09013\u00a09424",
    ],
)
def test_card_numbers_are_found(text: str) -> None:
    assert holds_card_number(text)


@pytest.mark.parametrize(
    "text",
    [
        "4111111111111112",  # wrong check digit
        "1111111111111117",  # right check digit, no issuer's prefix
        "411111111111",  # too short
        "41111111111111111111",  # too long
        "2026-03-02 07:41:09",
        "serials 100231, 100232, 100233",
        "+49 30 1234 5678",
        "",
    ],
)
def test_other_numbers_are_left_alone(text: str) -> None:
    assert not holds_card_number(text)


def test_only_digits_are_a_card_number() -> None:
    assert is_card_number("4111111111111111")
    assert not is_card_number("4" * 20)
