"""A reckoning as JSON: the object that ``ldapp reckon`` prints."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ldapp.claim.claim import Claim
from ldapp.reckoning.figures import number_text
from ldapp.reckoning.money import minor_digits
from ldapp.reckoning.result import Reckoning, Step


def reckoning_as_json(claim: Claim, reckoning: Reckoning) -> dict[str, Any]:
    """Return the reckoning as plain JSON values.

    Amounts are text with the currency's decimals, or null where they cannot be computed
    yet; times are ISO 8601.  The ``working`` of an object is its place in the list
    ``working`` at the end, which holds every step tree once.
    """
    writer = _Writer(minor_digits(claim.currency))
    report: dict[str, Any] = {"reference": claim.reference, **writer.plain(reckoning)}
    report["working"] = writer.workings
    return report


class _Writer:
    def __init__(self, digits: int) -> None:
        self._quantum = Decimal(1).scaleb(-digits)
        self.workings: list[Any] = []

    def plain(self, value: Any) -> Any:
        if isinstance(value, Step):
            self.workings.append(self._fields(value))
            return len(self.workings) - 1
        if dataclasses.is_dataclass(value) and not isinstance(value, type):
            return self._fields(value)
        if isinstance(value, Decimal):
            return str(value.quantize(self._quantum))
        if isinstance(value, Fraction):
            return number_text(value)
        if isinstance(value, dt.datetime | dt.date):
            return value.isoformat()
        if isinstance(value, tuple):
            names = getattr(value, "_fields", None)
            if names is not None:
                return {name: self.plain(one) for name, one in zip(names, value, strict=True)}
            return [self.plain(one) for one in value]
        return value

    def _fields(self, value: Any) -> dict[str, Any]:
        fields = {}
        for field in dataclasses.fields(value):
            one = getattr(value, field.name)
            if isinstance(value, Step) and field.name == "steps":
                fields[field.name] = [self._fields(step) for step in one]
            else:
                fields[field.name] = self.plain(one)
        return fields
