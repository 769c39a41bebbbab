"""Claims in which every field of every record holds something, made from the types alone.

A field that is added to a record is covered without a change here.
"""

import dataclasses
import datetime as dt
import random
import string
import types
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from ldapp.claim.claim import Claim
from ldapp.claim.summary import ClaimSummary

ODD_TEXTS = (
    "Robe \u0026 Söhne, 日本語 \u202ereversed",
    "=SUM(A1:A9)",
    "'; DROP TABLE claim; --",
    "%s {0} <b>bold</b>",
    "../../etc/passwd",
    "line\nbreak\ttab\x1funit",
    "x" * 10_000,
)


class Maker:
    """Makes records by their types, from a seed."""

    def __init__(self, seed: int, currency: str = "USD", digits: int = 2) -> None:
        self.random = random.Random(seed)
        self.currency = currency
        self.digits = digits
        self._number = 0

    def name(self) -> str:
        """A text that was not given before."""
        self._number += 1
        return f"n{self._number}"

    def record(self, cls: type[Any], **given: Any) -> Any:
        """A record with all its fields filled, but for those in ``given``."""
        hints = get_type_hints(cls)
        values = {
            field.name: self.value(hints[field.name], field.name)
            for field in dataclasses.fields(cls)
            if field.name not in given
        }
        return cls(**values, **given)

    def value(self, hint: Any, field: str) -> Any:
        """A value of a type; the field's name chooses among ids, hashes and currencies."""
        origin = get_origin(hint)
        if origin in (Union, types.UnionType):
            choices = [one for one in get_args(hint) if one is not type(None)]
            if len(choices) < len(get_args(hint)) and self.random.random() < 0.15:
                return None
            return self.value(self.random.choice(choices), field)
        if origin is Literal:
            return self.random.choice(get_args(hint))
        if origin is tuple:
            args = get_args(hint)
            if args[-1] is not Ellipsis:
                return tuple(self.value(one, field) for one in args)
            return tuple(self.value(args[0], field) for _ in range(self.random.randint(0, 3)))
        if dataclasses.is_dataclass(hint):
            return self.record(hint)  # type: ignore[arg-type]
        return self.plain(hint, field)

    def plain(self, hint: Any, field: str) -> Any:
        """A value of a type without parts."""
        chance = self.random
        if hint is str:
            if field == "currency":
                return self.currency
            if field in ("id", "line"):
                return self.name()
            if field == "sha256":
                return "".join(chance.choice("0123456789abcdef") for _ in range(64))
            if chance.random() < 0.1:
                return chance.choice(ODD_TEXTS)
            return "".join(chance.choice(string.ascii_letters + " äß–") for _ in range(12))
        if hint is bool:
            return chance.random() < 0.5
        if hint is int:
            return chance.randint(0, 2**40)
        if hint is float:
            return chance.uniform(-90, 90)
        if hint is Decimal:
            return Decimal(chance.randint(-(10**12), 10**12)).scaleb(-self.digits)
        if hint is Fraction:
            return Fraction(chance.randint(0, 1000), chance.randint(1, 1000))
        if hint is dt.date:
            return dt.date(2026, 1, 1) + dt.timedelta(days=chance.randint(-9000, 9000))
        if hint is dt.datetime:
            if field == "camera_time":
                return dt.datetime(2026, 3, 2, 7, 41, 9, chance.randint(0, 999_999))  # noqa: DTZ001
            zone = dt.timezone(dt.timedelta(minutes=15 * chance.randint(-48, 56)))
            return dt.datetime(2026, 3, 2, tzinfo=zone) + dt.timedelta(
                seconds=chance.randint(-(10**8), 10**8), microseconds=chance.randint(0, 999_999)
            )
        raise TypeError(f"no value of {hint} for {field}")


def made_claim(seed: int, *, currency: str = "USD", digits: int = 2) -> Claim:
    """A claim with all its fields filled, without a journal."""
    claim: Claim = Maker(seed, currency, digits).record(
        Claim, format="ldapp-claim/1", journal=(), currency=currency
    )
    return claim


def summary_of(claim: Claim, **more: Any) -> ClaimSummary:
    """The register's row that belongs to a claim, as far as the tests need one."""
    return ClaimSummary(
        claim=claim.id,
        reference=claim.reference,
        title=claim.title,
        currency=claim.currency,
        stage=claim.stage,
        **more,
    )
