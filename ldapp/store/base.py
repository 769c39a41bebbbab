"""What all tables share: names of constraints, kinds of columns, the key of the claim."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, ClassVar

from sqlalchemy import BigInteger, CheckConstraint, Date, ForeignKey, Integer, MetaData, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from ldapp.store.column_types import (
    DecimalText,
    MinorUnits,
    RecordText,
    UtcDateTime,
    WallClockText,
)

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
"""Every constraint has a name, or SQLite could never drop it."""

Amount = Annotated[int, mapped_column(MinorUnits)]
Instant = Annotated[dt.datetime, mapped_column(UtcDateTime)]
Offset = Annotated[int, mapped_column(Integer)]
"""Seconds east of UTC in which the instant beside it was said."""
Nested = Annotated[str, mapped_column(RecordText)]
Exact = Annotated[str, mapped_column(DecimalText)]
WallClock = Annotated[str, mapped_column(WallClockText)]


class Base(DeclarativeBase):
    """All tables of a library."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[dict[type, type]] = {
        str: Text,
        int: BigInteger,
        dt.date: Date,
    }


def is_currency(column: str) -> CheckConstraint:
    """Return a check that a column holds a code of three letters."""
    return CheckConstraint(f"length({column}) = 3", name=f"{column}_is_a_code")


def not_negative(column: str) -> CheckConstraint:
    """Return a check that a column is not below nought."""
    return CheckConstraint(f"{column} >= 0", name=f"{column}_not_negative")


def is_hash(column: str) -> CheckConstraint:
    """Return a check that a column has the length of a SHA-256."""
    return CheckConstraint(f"length({column}) = 64", name=f"{column}_is_a_hash")


class OfClaim:
    """A row that belongs to a claim and goes with it."""

    claim: Mapped[int] = mapped_column(
        BigInteger, ForeignKey("claim.key", ondelete="CASCADE"), primary_key=True, sort_order=-3
    )


class Member(OfClaim):
    """A row of a collection of the claim."""

    id: Mapped[str] = mapped_column(primary_key=True, sort_order=-2)
    position: Mapped[int] = mapped_column(sort_order=-1)
