"""Makes the field for each kind of value that a sentence holds."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from ldapp.casework.free_text import refuse_card_numbers
from ldapp.claim.terms import FeeBand, ShareBand
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.term_specs import FieldSpec
from ldapp.desktop.pages.paper_parts.words import CAUSE_CHOICES
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    Field,
    ParsedField,
    SeveralField,
    instant_field,
    money_field,
    percent_field,
    text_field,
    whole_field,
)
from ldapp.desktop.widgets.values import (
    parse_decimal,
    parse_money,
    parse_percent,
    percent_field_text,
    plain_number,
)
from ldapp.errors import LdappError
from ldapp.reckoning.result import number_text


class TermFields:
    """Makes fields that read amounts in the claim's currency and lines by their number."""

    def __init__(self, context: ClaimContext) -> None:
        self._context = context

    def currency(self) -> str:
        """Return the claim's currency."""
        return self._context.claim.currency

    def zone(self) -> str:
        """Return the claim's zone."""
        return self._context.claim.zone

    def make(self, spec: FieldSpec) -> Field:
        """Return the field for one value."""
        if spec.kind == "choice":
            return ChoiceField(spec.options)
        if spec.kind == "causes":
            return SeveralField(CAUSE_CHOICES, "none named")
        makers: dict[str, Callable[[], ParsedField]] = {
            "percent": percent_field,
            "money": lambda: money_field(self.currency),
            "whole": whole_field,
            "number": lambda: ParsedField(parse_number, number_text, characters=6, right=True),
            "text": lambda: text_field(characters=22),
            "instant": lambda: instant_field(self.zone),
            "words": lambda: ParsedField(parse_words, ", ".join, characters=24),
            "percents": lambda: ParsedField(parse_percents, percents_text, characters=24),
            "fee_bands": lambda: ParsedField(
                lambda text: tuple(
                    FeeBand(up_to=up_to, fee=amount)
                    for up_to, amount in parse_bands(text, self.currency())
                ),
                lambda bands: bands_text([(band.up_to, band.fee) for band in bands]),
                characters=34,
            ),
            "share_bands": lambda: ParsedField(
                lambda text: tuple(
                    ShareBand(up_to=up_to, amount=amount)
                    for up_to, amount in parse_bands(text, self.currency())
                ),
                lambda bands: bands_text([(band.up_to, band.amount) for band in bands]),
                characters=34,
            ),
            "line": lambda: ParsedField(self.parse_line, self.line_text, characters=7),
        }
        return makers[spec.kind]()

    def parse_line(self, text: str) -> str:
        """Return the id of the kit line with this number; raises LdappError where none has it."""
        found = [line.id for line in self._context.claim.kit if line.number == text.strip()]
        if len(found) != 1:
            what = "No kit line has" if not found else f"{len(found)} kit lines have"
            raise LdappError(f"{what} the number {text}. Expected: the number of one line.")
        return found[0]

    def line_text(self, line: str) -> str:
        """Return the number of a kit line."""
        return next((one.number for one in self._context.claim.kit if one.id == line), "?")


def parse_number(text: str) -> Fraction:
    """Read a number or a fraction, exactly; raises LdappError where it is none or below 0."""
    if re.fullmatch(r"\d+/[1-9]\d*", text.replace(" ", "")):
        return Fraction(text.replace(" ", ""))
    value = Fraction(parse_decimal(text))
    if value < 0:
        raise LdappError(f"“{text}” is too little. Expected: 0 or more.")
    return value


def parse_words(text: str) -> tuple[str, ...]:
    """Read words between commas."""
    refuse_card_numbers(text)
    return tuple(word.strip() for word in text.split(",") if word.strip())


def parse_percents(text: str) -> tuple[Fraction, ...]:
    """Read percentages between blanks or semicolons."""
    return tuple(parse_percent(one) for one in re.split(r"[;\s]+", text.strip()) if one)


def percents_text(shares: tuple[Fraction, ...]) -> str:
    """Write percentages so that they can be typed again."""
    return " ".join(percent_field_text(share) for share in shares)


def parse_bands(text: str, currency: str) -> list[tuple[Decimal | None, Decimal]]:
    """Read ``1000 = 25; 5000 = 40; 75``: up to = amount; one without a limit comes last.

    Raises:
        LdappError: a band is no pair of amounts, or the limits do not rise.
    """
    bands: list[tuple[Decimal | None, Decimal]] = []
    for one in text.split(";"):
        if not one.strip():
            continue
        left, equals, right = one.partition("=")
        if equals:
            bands.append((parse_money(left, currency), parse_money(right, currency)))
        else:
            bands.append((None, parse_money(left, currency)))
    limits = [up_to for up_to, _ in bands[:-1]]
    rising = [up_to for up_to, _ in bands if up_to is not None]
    if None in limits or rising != sorted(set(rising)):
        raise LdappError(
            f"“{text}” are no bands. Expected: 1000 = 25; 5000 = 40; 75, with rising limits and "
            "the one without a limit last."
        )
    return bands


def bands_text(bands: list[tuple[Decimal | None, Decimal]]) -> str:
    """Write bands so that they can be typed again."""
    return "; ".join(
        plain_number(amount) if up_to is None else f"{plain_number(up_to)} = {plain_number(amount)}"
        for up_to, amount in bands
    )
