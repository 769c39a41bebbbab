"""The tables that are no records of a claim: its journal, the register, what is known of files."""

from __future__ import annotations

import datetime as dt

from sqlalchemy.orm import Mapped, mapped_column

from ldapp.store.base import (
    Amount,
    Base,
    Instant,
    Nested,
    OfClaim,
    Offset,
    is_currency,
    is_hash,
    not_negative,
)


class JournalRow(OfClaim, Base):
    """One entry of the record of changes; triggers refuse to change or delete it."""

    __tablename__ = "journal_entry"

    number: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[Instant]
    at_offset: Mapped[Offset]
    who: Mapped[str]
    label: Mapped[str]
    undoes: Mapped[int | None]
    changes: Mapped[Nested]
    previous: Mapped[str]
    hash: Mapped[str]


class SummaryRow(OfClaim, Base):
    """One row of the register."""

    __tablename__ = "claim_summary"
    __table_args__ = (is_currency("currency"),)

    reference: Mapped[str]
    title: Mapped[str]
    currency: Mapped[str]
    stage: Mapped[str]
    rental_companies: Mapped[Nested]
    next_deadline: Mapped[dt.date | None]
    next_deadline_title: Mapped[str]
    asked: Mapped[Amount | None]
    owed: Mapped[Amount | None]
    disputed: Mapped[Amount | None]
    paid_by_others: Mapped[Amount | None]
    settled: Mapped[Amount | None]
    open_points: Mapped[int]
    invented: Mapped[bool]
    changed: Mapped[Instant | None]
    changed_offset: Mapped[Offset | None]
    reckoning_version: Mapped[str]
    policy: Mapped[str] = mapped_column(server_default="")
    people: Mapped[Nested] = mapped_column(server_default="[]")
    papers_missing: Mapped[int] = mapped_column(server_default="0")


class FiguresRow(OfClaim, Base):
    """What a claim adds to reports; made anew with its row of the register."""

    __tablename__ = "claim_figures"

    figures: Mapped[Nested]


class SharedRow(Base):
    """A record that several claims use: a party, a policy, an agreement's terms, a certificate."""

    __tablename__ = "shared_record"

    kind: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    version: Mapped[int]
    name: Mapped[str]
    data: Mapped[Nested]
    changed: Mapped[Instant]
    who: Mapped[str]


class RememberedRow(Base):
    """A small choice that outlives a claim, such as how a list's columns were matched."""

    __tablename__ = "remembered"

    key: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[str]


class OriginalRow(Base):
    """An original that a claim refers to, so that a lost one is noticed."""

    __tablename__ = "original"
    __table_args__ = (is_hash("sha256"), not_negative("bytes"))

    sha256: Mapped[str] = mapped_column(primary_key=True)
    bytes: Mapped[int]
    named_first: Mapped[Instant]
