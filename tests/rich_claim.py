"""A claim in which every field of every record says something, for tests that must lose nothing.

Invented: nobody and nothing in it exists.  Fields that no line here names are filled from
their types, so that a field added to a record is covered at once.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import types
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement, PartCount
from ldapp.claim.documents import Correspondence, Document, RecoveredItem, Split
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.journal import JournalEntry, RecordChange
from ldapp.claim.kit import KitLine, Part
from ldapp.claim.parties import Party
from ldapp.claim.photos import ClockCorrection, IssuedCode, Pairing, Photo
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import DepreciationOverride, DepreciationTable, StraightLine, Terms

_Record = TypeVar("_Record")

WEST = dt.timezone(-dt.timedelta(hours=7))
EAST = dt.timezone(dt.timedelta(hours=5, minutes=30))

NAMED: dict[str, Any] = {
    "document": "document-1",
    "documents": ("document-1", "document-2"),
    "line": "line-1",
    "part": "line-1-arm",
    "agreement": "agreement-1",
    "agreements": ("agreement-1", "agreement-2"),
    "lessor": "party-1",
    "owner": "party-2",
    "insurer": "party-3",
    "insured": "party-4",
    "broker": "party-3",
    "loss_payee": "party-1",
    "party": "party-4",
    "third_party": "party-2",
    "renter": "party-4",
    "parties": ("party-4",),
    "members": ("party-2", "party-4"),
    "occurrence": "occurrence-1",
    "finding": "finding-1",
    "count": "count-1",
    "counts": ("count-1", "count-2"),
    "photo": "photo-1",
    "photos": ("photo-1",),
    "revises": "invoice-1",
    "currency": "EUR",
    "camera_time": dt.datetime(2026, 3, 2, 7, 41, 9, 120000),  # noqa: DTZ001 - a camera has no zone
}
"""Fields that name another record, or whose value must be of a certain form."""


def filled(record: type[_Record], **given: Any) -> _Record:
    """Return a record with ``given`` and every other field filled, none with its default."""
    hints = get_type_hints(record, include_extras=True)
    values = {}
    for field in dataclasses.fields(record):  # type: ignore[arg-type]
        if field.name in given:
            values[field.name] = given[field.name]
        elif field.name in NAMED and NAMED[field.name] != field.default:
            values[field.name] = NAMED[field.name]
        else:
            values[field.name] = _value(hints[field.name], field.name, field.default)
    return record(**values)


def _value(hint: Any, name: str, default: Any) -> Any:
    origin = get_origin(hint)
    if origin is Annotated:
        return _value(get_args(hint)[0], name, default)
    if origin in {Union, types.UnionType}:
        members = [member for member in get_args(hint) if member is not types.NoneType]
        return _value(members[0], name, default)
    if origin is Literal:
        words = get_args(hint)
        return next((word for word in words if word != default), words[0])
    if origin is dict:
        return {"text": "ä\n\t\u202e", "number": 3, "list": [None, True, {"deep": "x"}]}
    if origin is tuple:
        members = get_args(hint)
        if members[-1] is not Ellipsis:
            return tuple(0.25 * (index + 1) for index in range(len(members)))
        if members[0] == tuple[float, float]:
            return ((0.1, 0.2), (0.3, 0.45))
        if members[0] is str:
            return (f"{name} 1", f"{name} 2")
        return (_value(members[0], name, None),)
    if dataclasses.is_dataclass(hint):
        return filled(hint)  # type: ignore[arg-type]
    return {
        str: f"{name} – “ein Wort” 🎬",
        int: 3,
        float: 12.625,
        bool: default is not True,
        Decimal: Decimal("1234.57"),
        Fraction: Fraction(11, 60),
        dt.datetime: dt.datetime(2026, 3, 2, 7, 41, 9, 120000, tzinfo=WEST),
        dt.date: dt.date(2026, 3, 2),
    }[hint]


def rich_claim() -> Claim:
    """Return the claim; two members in most collections, with text in several scripts."""
    table = filled(DepreciationTable, by_year=(Fraction(1, 5), Fraction(8, 25)))
    terms = filled(
        Terms,
        depreciation=filled(StraightLine, life_months=60),
        depreciation_overrides=(
            filled(DepreciationOverride, rule=table, category="Cable", line=None),
            filled(DepreciationOverride, rule=filled(StraightLine, life_months=None)),
        ),
    )
    line = filled(
        KitLine,
        id="line-1",
        number="10",
        description="Stand 40 in, with head and arm",
        parts=(
            filled(Part, id="line-1-arm", description="arm"),
            Part(id="line-1-head", description="grip head"),
        ),
    )
    entry = filled(
        CountEntry,
        parts=(filled(PartCount), PartCount(part="line-1-head")),
        at=dt.datetime(2026, 3, 2, 20, 1, tzinfo=EAST),
    )
    journal = (
        filled(JournalEntry, number=1, undoes=None, changes=(filled(RecordChange, kind="party"),)),
        filled(JournalEntry, number=2, undoes=1, at=dt.datetime(2026, 3, 3, tzinfo=dt.UTC)),
    )
    return filled(
        Claim,
        format="ldapp-claim/1",
        id="claim-1",
        reference="2026-014",
        zone="America/Denver",
        currency="EUR",
        position=(39.74, -104.99),
        parties=(
            filled(Party, id="party-1", role="rental_company", name="Leihhaus Beispiel"),
            filled(Party, id="party-2", role="owner", name="Пример"),
            filled(Party, id="party-3", role="insurer", name="例 보험 مثال"),
            Party(id="party-4", role="production", name="Invented Pictures"),
        ),
        agreements=(
            filled(Agreement, id="agreement-1", terms=terms),
            Agreement(id="agreement-2", lessor="party-2"),
        ),
        policy=filled(Policy, id="policy-1", terms=filled(PolicyTerms, depreciation=table)),
        kit=(
            line,
            KitLine(
                id="line-2", number="20", agreement="agreement-2", description="=1+1", quantity=0
            ),
        ),
        counts=(
            filled(Count, id="count-1", entries=(entry, CountEntry(line="line-2", quantity=0))),
            Count(id="count-2", stage="return"),
        ),
        movements=(filled(Movement, id="movement-1"),),
        occurrences=(
            filled(Occurrence, id="occurrence-1"),
            Occurrence(id="occurrence-2", title=""),
        ),
        findings=(
            filled(Finding, id="finding-1"),
            Finding(id="finding-2", line="line-2", kind="missing", quantity=1),
        ),
        invoices=(
            Invoice(
                id="invoice-1",
                agreement="agreement-1",
                number="LD-1",
                dated=dt.date(2026, 3, 9),
                charges=(Charge(id="charge-1", number="1", description="x", amount=Decimal("-5")),),
            ),
            filled(
                Invoice,
                id="invoice-2",
                charges=(
                    filled(
                        Charge,
                        id="charge-1",
                        grounds=(filled(GroundChoice), GroundChoice(code="arithmetic", on=False)),
                    ),
                ),
            ),
        ),
        photos=(filled(Photo, id="photo-1", pairings=(filled(Pairing), Pairing(line="line-2"))),),
        clock_corrections=(filled(ClockCorrection, id="clock-1"),),
        issued_codes=(filled(IssuedCode, id="code-1"),),
        documents=(
            filled(Document, id="document-1"),
            Document(id="document-2", title="x" * 10_000),
        ),
        correspondence=(filled(Correspondence, id="letter-1"),),
        recovered=(filled(RecoveredItem, id="recovered-1"),),
        splits=(filled(Split, id="split-1"), Split(id="split-2", party="party-1")),
        journal=journal,
    )
