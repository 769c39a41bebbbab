"""Column types that keep money exact, times in UTC, and nested records as text."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import BigInteger, DateTime, Dialect, Text
from sqlalchemy.types import TypeDecorator

BIGGEST_INTEGER = 2**63 - 1


class MinorUnits(TypeDecorator[int]):
    """A whole number of a currency's minor units; the currency stands in ``amounts_in``.

    Numeric is a binary float on SQLite; whole numbers are exact there and everywhere,
    and so are their sums.
    """

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: int | None, dialect: Dialect) -> int | None:
        """Refuse anything but a whole number."""
        if value is not None and (not isinstance(value, int) or isinstance(value, bool)):
            raise TypeError(f"money is kept in whole minor units, not as {value!r}")
        return value


class UtcDateTime(TypeDecorator[dt.datetime]):
    """An instant in UTC; the offset it was said in stands in a column beside it.

    SQLite drops a zone without converting, so the value is converted before.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> Any:
        """Convert to UTC; refuse a time without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise TypeError(f"a time without a zone is no instant: {value!r}")
        in_utc = value.astimezone(dt.UTC)
        return in_utc.replace(tzinfo=None) if dialect.name == "sqlite" else in_utc

    def process_result_value(self, value: dt.datetime | None, dialect: Dialect) -> Any:
        """Return an aware time in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            return value.replace(tzinfo=dt.UTC)
        return value.astimezone(dt.UTC)


class RecordText(Text):
    """A nested record or list as JSON: no spaces, keys in the order of the record."""


class DecimalText(Text):
    """An exact number that is no amount of money, as its decimal text."""


class WallClockText(Text):
    """A time as a camera wrote it, in ISO 8601; usually without an offset."""
