"""Which fields of a claim name other records, and which hold money, times or running text."""

from __future__ import annotations

from ldapp.language import marked

NUMBERS_NOT_MONEY = frozenset({"quantity", "days", "rate", "labour_hours", "share_percent"})
"""Decimal fields that are counts, days or rates rather than amounts of the currency."""

WALL_CLOCK_FIELDS = frozenset({("ClockCorrection", "camera_time")})
"""What a camera wrote: local time without an offset."""

LONG_NUMBERS = frozenset(
    {
        # names of records, and hashes
        "id", "key", "part", "charge", "invoice", "sha256", "hash", "previous", "likeness",
        "derivative_of",
        # serial numbers, tags and reference numbers: the person is asked
        "serial", "serials", "serials_in", "serials_out", "serials_seen", "asset_tags", "number",
        "reference", "ticket", "claim_number", "report_number", "police_report", "purchase_order",
        # names of files, which cameras and messengers number
        "file_name", "path",
        # what a photo file says: evidence, kept as it is
        "facts",
        # the name of a change, made of the others
        "label",
    }
)  # fmt: skip
"""Fields in which a long number is usual: one that could be a payment card's is not refused."""

FILES = frozenset({"photo", "Photo", "document", "Document"})
"""Records whose ``name`` is that of a file."""


def may_hold_long_number(owner: str, field: str) -> bool:
    """Return whether a field of a record is one in which a long number is usual."""
    return field in LONG_NUMBERS or (field == "name" and owner in FILES)


REFERENCES: dict[tuple[str, str], str] = {
    ("Agreement", "lessor"): "parties",
    ("Agreement", "renter"): "parties",
    ("Party", "members"): "parties",
    ("Agreement", "document"): "documents",
    ("Policy", "insurer"): "parties",
    ("Policy", "insured"): "parties",
    ("Policy", "broker"): "parties",
    ("Policy", "loss_payee"): "parties",
    ("Policy", "document"): "documents",
    ("AlsoInsured", "parties"): "parties",
    ("Clause", "document"): "documents",
    ("DeadlineRule", "agreement"): "agreements",
    ("ValuationOverride", "line"): "kit",
    ("DepreciationOverride", "line"): "kit",
    ("ItemLimit", "line"): "kit",
    ("KitLine", "agreement"): "agreements",
    ("KitLine", "owner"): "parties",
    ("Comparable", "document"): "documents",
    ("DatedPrice", "document"): "documents",
    ("Count", "agreements"): "agreements",
    ("Count", "document"): "documents",
    ("CountEntry", "line"): "kit",
    ("Movement", "line"): "kit",
    ("Movement", "document"): "documents",
    ("Occurrence", "third_party"): "parties",
    ("Occurrence", "documents"): "documents",
    ("Finding", "line"): "kit",
    ("Finding", "occurrence"): "occurrences",
    ("Finding", "documents"): "documents",
    ("Repair", "document"): "documents",
    ("Invoice", "agreement"): "agreements",
    ("Invoice", "revises"): "invoices",
    ("Invoice", "document"): "documents",
    ("Charge", "line"): "kit",
    ("Charge", "finding"): "findings",
    ("GroundChoice", "documents"): "documents",
    ("GroundChoice", "photos"): "photos",
    ("GroundChoice", "counts"): "counts",
    ("Photo", "count"): "counts",
    ("Pairing", "line"): "kit",
    ("Pairing", "count"): "counts",
    ("Pairing", "finding"): "findings",
    ("ClockCorrection", "photo"): "photos",
    ("Document", "party"): "parties",
    ("Correspondence", "party"): "parties",
    ("Correspondence", "document"): "documents",
    ("Correspondence", "agreement"): "agreements",
    ("RecoveredItem", "line"): "kit",
    ("RecoveredItem", "document"): "documents",
    ("Split", "party"): "parties",
    ("Split", "occurrence"): "occurrences",
}
"""Which field of which record holds ids of which collection of the claim."""

MEMBER_NAMES = {
    "parties": marked("a party"),
    "agreements": marked("an agreement"),
    "kit": marked("a kit line"),
    "counts": marked("a count"),
    "movements": marked("a movement"),
    "occurrences": marked("an occurrence"),
    "findings": marked("a finding"),
    "invoices": marked("an invoice"),
    "photos": marked("a photo"),
    "clock_corrections": marked("a clock correction"),
    "issued_codes": marked("an issued code"),
    "documents": marked("a document"),
    "correspondence": marked("a letter or message"),
    "recovered": marked("a recovered item"),
    "splits": marked("a split"),
}

UNIQUE: dict[str, tuple[tuple[str, str, str], ...]] = {
    "Claim": tuple((collection, "id", name) for collection, name in MEMBER_NAMES.items()),
    "KitLine": (("parts", "id", marked("a part")),),
    "Count": (("entries", "line", marked("an entry")),),
    "CountEntry": (("parts", "part", marked("a part")),),
    "Invoice": (("charges", "id", marked("a charge")),),
}
"""Collections of a record, the field that tells members apart, and what a member is called."""
