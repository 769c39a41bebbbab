"""The tables: one for each kind of record of a claim.

What is searched, sorted or summed is a column of its own; nested structures are JSON
text.  ``ldapp.store.mapping`` pairs the columns with the fields of the records by
their names.  Closed lists (causes, kinds, stages) are checked there in both
directions and not by the database, because they belong to ``ldapp.claim`` and grow
there.  Member tables are keyed by the claim and the record's own id, and
``position`` keeps the order of a collection.
"""

from __future__ import annotations

import datetime as dt

from sqlalchemy import BigInteger, ForeignKeyConstraint, Index, Integer, UniqueConstraint
from sqlalchemy.orm import Mapped, declared_attr, mapped_column
from sqlalchemy.schema import SchemaItem

from ldapp.store.base import (
    Amount,
    Base,
    Exact,
    Instant,
    Member,
    Nested,
    OfClaim,
    Offset,
    WallClock,
    is_currency,
    not_negative,
)


class ClaimRow(Base):
    """The claim's own fields, and how often it was saved."""

    __tablename__ = "claim"
    __table_args__ = (UniqueConstraint("id"), is_currency("currency"))

    key: Mapped[int] = mapped_column(
        BigInteger().with_variant(Integer, "sqlite"), primary_key=True, autoincrement=True
    )
    id: Mapped[str]
    version: Mapped[int]
    reference: Mapped[str]
    title: Mapped[str]
    currency: Mapped[str]
    zone: Mapped[str]
    place: Mapped[str]
    position: Mapped[Nested | None]
    stage: Mapped[str]
    opened: Mapped[dt.date | None]
    invented: Mapped[bool]
    note: Mapped[str]


class PartyRow(Member, Base):
    """A person or firm."""

    __tablename__ = "party"

    role: Mapped[str]
    name: Mapped[str]
    contact: Mapped[str]
    address: Mapped[str]
    email: Mapped[str]
    phone: Mapped[str]
    reference: Mapped[str]
    note: Mapped[str]
    members: Mapped[Nested] = mapped_column(server_default="[]")
    together: Mapped[str | None]


class AgreementRow(Member, Base):
    """A rental agreement; its terms are one nested record."""

    __tablename__ = "agreement"

    lessor: Mapped[str]
    renter: Mapped[str | None]
    reference: Mapped[str]
    signed: Mapped[dt.date | None]
    starts: Mapped[Instant | None]
    starts_offset: Mapped[Offset | None]
    ends: Mapped[Instant | None]
    ends_offset: Mapped[Offset | None]
    custody_began: Mapped[Instant | None]
    custody_began_offset: Mapped[Offset | None]
    custody_ended: Mapped[Instant | None]
    custody_ended_offset: Mapped[Offset | None]
    notified: Mapped[dt.date | None]
    paid: Mapped[dt.date | None]
    purchase_order: Mapped[str]
    document: Mapped[str | None]
    terms: Mapped[Nested]
    note: Mapped[str]


class PolicyRow(OfClaim, Base):
    """The insurance policy, at most one for a claim."""

    __tablename__ = "policy"
    __table_args__ = (is_currency("amounts_in"),)

    id: Mapped[str]
    insurer: Mapped[str]
    number: Mapped[str]
    insured: Mapped[str | None]
    broker: Mapped[str | None]
    loss_payee: Mapped[str | None]
    claim_number: Mapped[str]
    document: Mapped[str | None]
    amounts_in: Mapped[str]
    aggregate_used_before: Mapped[Amount]
    notified: Mapped[dt.date | None]
    proof_requested: Mapped[dt.date | None]
    proof_given: Mapped[dt.date | None]
    decided: Mapped[dt.date | None]
    first_paid: Mapped[dt.date | None]
    terms: Mapped[Nested]
    note: Mapped[str]


class KitLineRow(Member, Base):
    """A line of the equipment list."""

    __tablename__ = "kit_line"
    __table_args__ = (is_currency("amounts_in"), not_negative("quantity"))

    number: Mapped[str]
    agreement: Mapped[str]
    description: Mapped[str]
    quantity: Mapped[int]
    serials: Mapped[Nested]
    asset_tags: Mapped[Nested]
    parts: Mapped[Nested]
    kind: Mapped[str]
    category: Mapped[str]
    owner: Mapped[str | None]
    location: Mapped[str]
    amounts_in: Mapped[str]
    day_rate: Mapped[Amount | None]
    replacement_cost: Mapped[Amount | None]
    prices: Mapped[Nested]
    scheduled_value: Mapped[Amount | None]
    comparables: Mapped[Nested]
    acquired: Mapped[dt.date | None]
    age_months: Mapped[int | None]
    note: Mapped[str]


class CountRow(Member, Base):
    """A counting of the kit."""

    __tablename__ = "count"

    stage: Mapped[str]
    at: Mapped[Instant | None]
    at_offset: Mapped[Offset | None]
    until: Mapped[Instant | None]
    until_offset: Mapped[Offset | None]
    place: Mapped[str]
    # `Member.position` is the order; where it was counted stands under another name.
    coordinates: Mapped[Nested | None]
    counted_by: Mapped[str]
    witness: Mapped[str]
    acknowledgement: Mapped[str]
    acknowledged_by: Mapped[str]
    refused_at: Mapped[Instant | None]
    refused_at_offset: Mapped[Offset | None]
    blind: Mapped[bool]
    agreements: Mapped[Nested]
    document: Mapped[str | None]
    signatures: Mapped[Nested]
    note: Mapped[str]


class CountEntryRow(OfClaim, Base):
    """What one count says of one line."""

    __tablename__ = "count_entry"

    @declared_attr.directive
    @classmethod
    def __table_args__(cls) -> tuple[SchemaItem, ...]:
        """Goes with its count."""
        return (
            ForeignKeyConstraint(
                ["claim", "count"], ["count.claim", "count.id"], ondelete="CASCADE"
            ),
            not_negative("quantity"),
        )

    count: Mapped[str] = mapped_column(primary_key=True)
    line: Mapped[str] = mapped_column(primary_key=True)
    position: Mapped[int]
    quantity: Mapped[int | None]
    condition: Mapped[str]
    serials_seen: Mapped[Nested | None]
    parts: Mapped[Nested]
    at: Mapped[Instant | None]
    at_offset: Mapped[Offset | None]
    note: Mapped[str]


class MovementRow(Member, Base):
    """Equipment that came or went between two counts."""

    __tablename__ = "movement"
    __table_args__ = (not_negative("quantity"),)

    kind: Mapped[str]
    line: Mapped[str]
    quantity: Mapped[int]
    at: Mapped[Instant]
    at_offset: Mapped[Offset]
    ticket: Mapped[str]
    direction: Mapped[str]
    part: Mapped[str | None]
    serials_in: Mapped[Nested]
    serials_out: Mapped[Nested]
    document: Mapped[str | None]
    note: Mapped[str]


class OccurrenceRow(Member, Base):
    """An event that caused findings."""

    __tablename__ = "occurrence"

    title: Mapped[str]
    cause: Mapped[str | None]
    at: Mapped[Instant | None]
    at_offset: Mapped[Offset | None]
    day: Mapped[dt.date | None]
    place: Mapped[str]
    abroad: Mapped[bool]
    narrative: Mapped[str]
    report_number: Mapped[str]
    police_report: Mapped[str]
    forced_entry: Mapped[bool | None]
    persons: Mapped[Nested]
    our_fault: Mapped[bool | None]
    third_party: Mapped[str | None]
    documents: Mapped[Nested]


class FindingRow(Member, Base):
    """A difference or damage on a line."""

    __tablename__ = "finding"
    __table_args__ = (is_currency("amounts_in"), not_negative("quantity"))

    line: Mapped[str]
    kind: Mapped[str]
    quantity: Mapped[int]
    part: Mapped[str | None]
    serials: Mapped[Nested]
    occurrence: Mapped[str | None]
    cause: Mapped[str | None]
    narrative: Mapped[str]
    repair: Mapped[Nested | None]
    beyond_repair: Mapped[bool | None]
    amounts_in: Mapped[str]
    salvage: Mapped[Amount | None]
    stated_value: Mapped[Amount | None]
    stated_value_reason: Mapped[str]
    set_value: Mapped[Amount | None]
    remainder_value: Mapped[Amount | None]
    rent_paid_days: Mapped[Exact]
    lost_rental_proved: Mapped[bool]
    replaced_for: Mapped[Amount | None]
    replaced_on: Mapped[dt.date | None]
    documents: Mapped[Nested]
    note: Mapped[str]


class InvoiceRow(Member, Base):
    """A loss-and-damage invoice; ``amounts_in`` is its own currency or the claim's."""

    __tablename__ = "invoice"
    __table_args__ = (is_currency("amounts_in"),)

    agreement: Mapped[str]
    number: Mapped[str]
    dated: Mapped[dt.date]
    received: Mapped[dt.date | None]
    currency: Mapped[str | None]
    revises: Mapped[str | None]
    amounts_in: Mapped[str]
    net: Mapped[Amount | None]
    tax: Mapped[Amount | None]
    gross: Mapped[Amount | None]
    document: Mapped[str | None]


class ChargeRow(OfClaim, Base):
    """One line of an invoice and the grounds held against it."""

    __tablename__ = "charge"

    @declared_attr.directive
    @classmethod
    def __table_args__(cls) -> tuple[SchemaItem, ...]:
        """Goes with its invoice."""
        return (
            ForeignKeyConstraint(
                ["claim", "invoice"], ["invoice.claim", "invoice.id"], ondelete="CASCADE"
            ),
            is_currency("amounts_in"),
        )

    invoice: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    position: Mapped[int]
    number: Mapped[str]
    description: Mapped[str]
    kind: Mapped[str]
    quantity: Mapped[Exact]
    amounts_in: Mapped[str]
    unit_price: Mapped[Amount | None]
    amount: Mapped[Amount]
    days: Mapped[Exact | None]
    taxable: Mapped[bool | None]
    line: Mapped[str | None]
    finding: Mapped[str | None]
    match_reason: Mapped[str]
    grounds: Mapped[Nested]
    open_until_documented: Mapped[bool]
    settled: Mapped[Amount | None]
    settled_on: Mapped[dt.date | None]
    note: Mapped[str]


class PhotoRow(Member, Base):
    """A photo; ``sha256`` repeats its facts' hash, to find the photos of an original."""

    __tablename__ = "photo"
    __table_args__ = (Index(None, "sha256"),)

    name: Mapped[str]
    path: Mapped[str]
    sha256: Mapped[str]
    facts: Mapped[Nested]
    source: Mapped[str]
    taken_in: Mapped[Instant | None]
    taken_in_offset: Mapped[Offset | None]
    file_modified: Mapped[Instant | None]
    file_modified_offset: Mapped[Offset | None]
    taken_by: Mapped[str]
    count: Mapped[str | None]
    pairings: Mapped[Nested]
    markings: Mapped[Nested]
    quarter_turns: Mapped[int]
    withhold_position: Mapped[bool]
    confirmed_by: Mapped[str]
    confirmed_on: Mapped[dt.date | None]
    statement: Mapped[str]
    left_out: Mapped[bool]
    note: Mapped[str]
    shown_code: Mapped[str]
    likeness: Mapped[str]


class ClockCorrectionRow(Member, Base):
    """What a trusted clock says of a camera's clock."""

    __tablename__ = "clock_correction"

    make: Mapped[str]
    model: Mapped[str]
    serial: Mapped[str]
    photo: Mapped[str | None]
    camera_time: Mapped[WallClock]
    reference_time: Mapped[Instant]
    reference_time_offset: Mapped[Offset]
    reading_accuracy_s: Mapped[int]
    reference: Mapped[str]
    valid_from: Mapped[Instant | None]
    valid_from_offset: Mapped[Offset | None]
    valid_until: Mapped[Instant | None]
    valid_until_offset: Mapped[Offset | None]


class IssuedCodeRow(Member, Base):
    """A showing of the counter's code."""

    __tablename__ = "issued_code"

    word: Mapped[str]
    issued: Mapped[Instant]
    issued_offset: Mapped[Offset]
    issued_by: Mapped[str]


class DocumentRow(Member, Base):
    """A paper taken in."""

    __tablename__ = "document"
    __table_args__ = (Index(None, "sha256"), not_negative("bytes"))

    title: Mapped[str]
    kind: Mapped[str]
    name: Mapped[str]
    path: Mapped[str]
    sha256: Mapped[str]
    bytes: Mapped[int]
    media_type: Mapped[str]
    pages: Mapped[int | None]
    dated: Mapped[dt.date | None]
    signed_by_other_side: Mapped[bool]
    party: Mapped[str | None]
    exhibit: Mapped[bool]
    private: Mapped[bool]
    taken_in: Mapped[Instant | None]
    taken_in_offset: Mapped[Offset | None]


class CorrespondenceRow(Member, Base):
    """What was sent, received or said."""

    __tablename__ = "correspondence"
    __table_args__ = (is_currency("amounts_in"),)

    at: Mapped[Instant]
    at_offset: Mapped[Offset]
    direction: Mapped[str]
    channel: Mapped[str]
    party: Mapped[str | None]
    step: Mapped[str]
    agreement: Mapped[str | None]
    subject: Mapped[str]
    text: Mapped[str]
    sha256: Mapped[str]
    reply_by: Mapped[dt.date | None]
    offers: Mapped[Nested]
    amounts_in: Mapped[str]
    offered: Mapped[Amount | None]
    settled: Mapped[Amount | None]
    paid: Mapped[Amount | None]
    document: Mapped[str | None]


class RecoveredItemRow(Member, Base):
    """Equipment that turned up after it was charged."""

    __tablename__ = "recovered_item"
    __table_args__ = (is_currency("amounts_in"), not_negative("quantity"))

    line: Mapped[str]
    quantity: Mapped[int]
    serials: Mapped[Nested]
    invoice: Mapped[str | None]
    charge: Mapped[str | None]
    found: Mapped[dt.date]
    returned: Mapped[dt.date | None]
    place: Mapped[str]
    amounts_in: Mapped[str]
    refunded: Mapped[Amount | None]
    refunded_on: Mapped[dt.date | None]
    document: Mapped[str | None]
    note: Mapped[str]


class SplitRow(Member, Base):
    """Who bears a part of what nobody else pays."""

    __tablename__ = "split"
    __table_args__ = (is_currency("amounts_in"),)

    party: Mapped[str]
    share_percent: Mapped[Exact | None]
    amounts_in: Mapped[str]
    amount: Mapped[Amount | None]
    at_most: Mapped[Amount | None]
    occurrence: Mapped[str | None]
    note: Mapped[str]
