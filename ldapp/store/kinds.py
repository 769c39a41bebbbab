"""Which table holds which kind of record, and by what a row is found."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from sqlalchemy import Table

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.changes import HEAD_FIELDS, HEAD_KIND, POLICY_KIND
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement
from ldapp.claim.documents import Correspondence, Document, RecoveredItem, Split
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.journal import JournalEntry
from ldapp.claim.kit import KitLine
from ldapp.claim.orders import SEPARATOR
from ldapp.claim.parties import Party
from ldapp.claim.photos import ClockCorrection, IssuedCode, Photo
from ldapp.claim.summary import ClaimSummary
from ldapp.store import bookkeeping, models
from ldapp.store.base import Base
from ldapp.store.mapping import RecordMapping


def _table(model: type[Base]) -> Table:
    table = model.__table__
    assert isinstance(table, Table)
    return table


def _no_more(_: Any) -> dict[str, Any]:
    return {}


class Kind(NamedTuple):
    """A kind of record: its mapping and the columns that tell its rows apart in a claim."""

    mapping: RecordMapping
    keys: tuple[str, ...]
    more: Callable[[Any], dict[str, Any]] = _no_more
    """Columns that repeat a part of the record to be searched for."""

    @property
    def table(self) -> Table:
        """The table of the kind."""
        return self.mapping.table

    def key_values(self, key: str) -> tuple[str, ...]:
        """Return the values of :attr:`keys` for the key of a change."""
        if not self.keys:
            return ()
        parts = key.split(SEPARATOR, len(self.keys) - 1)
        return tuple(parts)

    def currency_of(self, one: Any, claim_currency: str) -> str:
        """Return in what currency the amounts of a record are."""
        if isinstance(one, Invoice) and one.currency is not None:
            return one.currency
        return claim_currency

    def row(self, one: Any, currency: str, claim_key: int, key: tuple[str, ...]) -> dict[str, Any]:
        """Return the row for a record of the claim with ``claim_key``, but for its position."""
        row = self.mapping.to_row(one, self.currency_of(one, currency))
        row.update(zip(self.keys, key, strict=True))
        row["claim"] = claim_key
        row.update(self.more(one))
        return row


_COLLECTION_FIELDS = tuple(
    name for name in Claim.__dataclass_fields__ if name not in (*HEAD_FIELDS, "id")
)
HEAD = RecordMapping(HEAD_KIND, Claim, _table(models.ClaimRow), left_out=_COLLECTION_FIELDS)
JOURNAL = RecordMapping(
    "journal_entry", JournalEntry, _table(bookkeeping.JournalRow), left_out=("changes",)
)
SUMMARY = RecordMapping(
    "claim_summary", ClaimSummary, _table(bookkeeping.SummaryRow), left_out=("claim", "figures")
)


def _member(kind: str, record: type[Any], model: type[Base], **how: Any) -> Kind:
    return Kind(RecordMapping(kind, record, _table(model), **how), ("id",))


def _photo_more(photo: Photo) -> dict[str, Any]:
    return {"sha256": photo.facts.sha256}


KINDS: dict[str, Kind] = {
    "party": _member("party", Party, models.PartyRow),
    "agreement": _member("agreement", Agreement, models.AgreementRow),
    POLICY_KIND: Kind(RecordMapping(POLICY_KIND, Policy, _table(models.PolicyRow)), ()),
    "kit_line": _member("kit_line", KitLine, models.KitLineRow),
    "count": _member(
        "count",
        Count,
        models.CountRow,
        left_out=("entries",),
        renamed={"position": "coordinates"},
    ),
    "count_entry": Kind(
        RecordMapping("count_entry", CountEntry, _table(models.CountEntryRow)), ("count", "line")
    ),
    "movement": _member("movement", Movement, models.MovementRow),
    "occurrence": _member("occurrence", Occurrence, models.OccurrenceRow),
    "finding": _member("finding", Finding, models.FindingRow),
    "invoice": _member("invoice", Invoice, models.InvoiceRow, left_out=("charges",)),
    "charge": Kind(RecordMapping("charge", Charge, _table(models.ChargeRow)), ("invoice", "id")),
    "photo": _member("photo", Photo, models.PhotoRow)._replace(more=_photo_more),
    "clock_correction": _member("clock_correction", ClockCorrection, models.ClockCorrectionRow),
    "issued_code": _member("issued_code", IssuedCode, models.IssuedCodeRow),
    "document": _member("document", Document, models.DocumentRow),
    "correspondence": _member("correspondence", Correspondence, models.CorrespondenceRow),
    "recovered_item": _member("recovered_item", RecoveredItem, models.RecoveredItemRow),
    "split": _member("split", Split, models.SplitRow),
}
