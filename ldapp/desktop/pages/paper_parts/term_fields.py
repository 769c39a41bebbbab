"""Makes the field for each kind of value that a sentence holds."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from ldapp.casework import papers
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.claim.terms import FeeBand, ShareBand
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.paper_parts.bases_field import BasesField
from ldapp.desktop.pages.paper_parts.clause_fields import ClauseFields
from ldapp.desktop.pages.paper_parts.holidays_field import HolidaysField
from ldapp.desktop.pages.paper_parts.term_specs import FieldSpec
from ldapp.desktop.pages.paper_parts.words import CAUSE_CHOICES, said_choices
from ldapp.desktop.pages.said import party_of_agreement
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    Field,
    ParsedField,
    SeveralField,
    date_field,
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
from ldapp.language import said, said_of


class TermFields:
    """Makes fields that read amounts in the claim's currency and lines by their number."""

    def __init__(
        self,
        context: ClaimContext,
        own_document: Callable[[], str | None] = lambda: None,
        open_page: Callable[[str, int | None], None] = lambda document, page: None,
    ) -> None:
        self._context = context
        self._own_document = own_document
        self._open_page = open_page

    def currency(self) -> str:
        """Return the claim's currency."""
        return self._context.claim.currency

    def zone(self) -> str:
        """Return the claim's zone."""
        return self._context.claim.zone

    def documents(self) -> list[tuple[str, str]]:
        """Return id and title of every attached document."""
        return [(one.id, one.title) for one in self._context.claim.documents]

    def own_document(self) -> str | None:
        """Return the paper whose terms these are, where it is attached."""
        return self._own_document()

    def open_page(self, document: str, page: int | None) -> None:
        """Show a page of a document beside the sentences."""
        self._open_page(document, page)

    def offer(self, spec: FieldSpec, field: Field) -> None:
        """Let a field offer what the claim holds now."""
        claim = self._context.claim
        if spec.kind == "agreement" and isinstance(field, ChoiceField):
            choices = [(one.id, party_of_agreement(claim, one.id)) for one in claim.agreements]
            field.set_choices([(None, said("whichever it concerns")), *choices])
        elif spec.kind == "bearer" and isinstance(field, ChoiceField):
            field.set_choices(self._bearers())
        elif spec.kind == "parties" and isinstance(field, SeveralField):
            field.set_choices([(one.id, one.name or said("(no name)")) for one in claim.parties])

    def _bearers(self) -> list[tuple[str, str]]:
        """Return who can bear a part of a deductible; who is named and is no party stays."""
        claim = self._context.claim
        known = [(one.id, one.name or said("(no name)")) for one in claim.parties]
        split = claim.policy.terms.deductible_split if claim.policy is not None else None
        named = (split.first, split.rest) if split is not None else ()
        ids = {key for key, _ in known}
        return known + [(one, one) for one in dict.fromkeys(named) if one not in ids]

    def make(self, spec: FieldSpec) -> Field:
        """Return the field for one value."""
        composed: dict[str, Callable[[], Field]] = {
            "choice": lambda: ChoiceField(said_choices(spec.options)),
            "agreement": ChoiceField,
            "bearer": ChoiceField,
            "causes": lambda: SeveralField(said_choices(CAUSE_CHOICES), said("none named")),
            "parties": lambda: SeveralField((), said("nobody named")),
            "bases": BasesField,
            "clause": lambda: ClauseFields(said(spec.label), self),
            "days": HolidaysField,
        }
        if spec.kind in composed:
            return composed[spec.kind]()
        makers: dict[str, Callable[[], ParsedField]] = {
            "percent": percent_field,
            "money": lambda: money_field(self.currency),
            "whole": whole_field,
            "number": lambda: ParsedField(parse_number, plain_number, characters=6, right=True),
            "text": lambda: text_field(characters=24),
            "phrase": lambda: text_field(characters=30),
            "instant": lambda: instant_field(self.zone),
            "date": date_field,
            "currency": lambda: ParsedField(parse_currency, str, characters=4),
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
            raise LdappError(
                said_of(
                    len(found),
                    "{count} kit line has the number {number}. Expected: the number of one line.",
                    "{count} kit lines have the number {number}. Expected: the number of one line.",
                    number=text,
                )
                if found
                else said(
                    "No kit line has the number {number}. Expected: the number of one line.",
                    number=text,
                )
            )
        return found[0]

    def line_text(self, line: str) -> str:
        """Return the number of a kit line."""
        return next((one.number for one in self._context.claim.kit if one.id == line), "?")


def parse_currency(text: str) -> str:
    """Read a three-letter currency; raises LdappError where ISO 4217 has none of that name."""
    code = text.strip().upper()
    papers.check_currency(code)
    return code


def parse_number(text: str) -> Fraction:
    """Read a number or a fraction, exactly; raises LdappError where it is none or below 0."""
    if re.fullmatch(r"\d+/[1-9]\d*", text.replace(" ", "")):
        return Fraction(text.replace(" ", ""))
    value = Fraction(parse_decimal(text))
    if value < 0:
        raise LdappError(
            said("“{text}” is too little. Expected: {least} or more.", text=text, least=0)
        )
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
            said(
                "“{text}” are no bands. Expected: 1000 = 25; 5000 = 40; 75, with rising limits and "
                "the one without a limit last.",
                text=text,
            )
        )
    return bands


def bands_text(bands: list[tuple[Decimal | None, Decimal]]) -> str:
    """Write bands so that they can be typed again."""
    return "; ".join(
        plain_number(amount) if up_to is None else f"{plain_number(up_to)} = {plain_number(amount)}"
        for up_to, amount in bands
    )
