"""A claim's records by their ids, made once for a reckoning."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from functools import cached_property
from zoneinfo import ZoneInfo

from ldapp.claim.agreement import Agreement
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.kit import KitLine
from ldapp.claim.signed_counts import ChangedSince, changed_since_signing
from ldapp.claim.terms import Terms
from ldapp.reckoning.money import minor_digits
from ldapp.reckoning.times import occurrence_time

_STAGE_RANK = {"pickup": 0, "during": 1, "return": 2, "check_in": 3}


class ClaimIndex:
    """The claim with its records by id, its lines and counts in their own order.

    Orders never depend on the order of entry: lines stand by agreement, printed number,
    serial; charges by invoice date, invoice number, line; counts by time.
    """

    def __init__(self, claim: Claim) -> None:
        self.claim = claim
        self.digits = minor_digits(claim.currency)
        self.zone = ZoneInfo(claim.zone)
        self.agreements: dict[str, Agreement] = {a.id: a for a in claim.agreements}
        self.occurrences: dict[str, Occurrence] = {o.id: o for o in claim.occurrences}
        self.counts: dict[str, Count] = {c.id: c for c in claim.counts}
        self.documents = {d.id: d for d in claim.documents}
        self.photos = {p.id: p for p in claim.photos}
        self.lines: dict[str, KitLine] = {line.id: line for line in claim.kit}
        ordered = sorted(claim.kit, key=line_order)
        self.line_rank: dict[str, int] = {line.id: rank for rank, line in enumerate(ordered)}
        self.ordered_counts: list[Count] = order_counts(claim.counts)
        self.ordered_findings: list[Finding] = sorted(
            claim.findings, key=lambda f: (self.line_rank[f.line], *self._finding_order(f))
        )
        self.findings_by_line: dict[str, list[Finding]] = defaultdict(list)
        for finding in self.ordered_findings:
            self.findings_by_line[finding.line].append(finding)
        replaced = {i.revises: i.id for i in claim.invoices if i.revises is not None}
        self.replaced_by: dict[str, str] = {k: v for k, v in replaced.items() if k is not None}
        self.ordered_invoices: list[Invoice] = sorted(
            claim.invoices, key=lambda i: (i.dated, natural(i.number), i.id)
        )

    @cached_property
    def noted_at_pickup(self) -> dict[str, Count]:
        """The last pickup count that notes damage on a line, by the line's id."""
        return {
            entry.line: count
            for count in self.ordered_counts
            if count.stage == "pickup"
            for entry in count.entries
            if entry.condition == "damaged_before"
        }

    @cached_property
    def changed_since_signing(self) -> dict[str, ChangedSince]:
        """What was changed after both had signed, by the count's id."""
        signed = (one for one in self.ordered_counts if one.acknowledgement == "signed_by_both")
        return {
            count.id: changed
            for count in signed
            if (changed := changed_since_signing(count)) is not None
        }

    def is_as_signed(self, count: str, line: str | None) -> bool:
        """Say whether what a count says of a line (None: of all) was not changed after signing."""
        changed = self.changed_since_signing.get(count)
        return changed is None or not changed.bears_on(line)

    def _finding_order(self, finding: Finding) -> tuple[object, ...]:
        occurrence = self.occurrences.get(finding.occurrence or "")
        at = None if occurrence is None else occurrence_time(occurrence, self.zone)
        stamp = at.timestamp() if at is not None else float("inf")
        return (finding.part or "", finding.serials, stamp, finding.kind, finding.id)

    def terms_of(self, line: KitLine) -> Terms:
        """Return the terms of the agreement that ``line`` stands under."""
        return self.agreements[line.agreement].terms

    def charges_of(self, invoice: Invoice) -> list[Charge]:
        """Return the invoice's charges in the order of their printed lines."""
        return sorted(invoice.charges, key=lambda c: (natural(c.number), c.id))


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts printed numbers as people do: 2 before 10, 1a before 1b."""
    if text.isdecimal():
        return ((0, int(text), ""),)
    parts: list[tuple[int, int, str]] = []
    run = ""
    for char in text:
        if run and char.isdecimal() != run[-1].isdecimal():
            parts.append(_natural_part(run))
            run = ""
        run += char
    if run:
        parts.append(_natural_part(run))
    return tuple(parts)


def _natural_part(run: str) -> tuple[int, int, str]:
    return (0, int(run), "") if run.isdecimal() else (1, 0, run)


def line_order(line: KitLine) -> tuple[object, ...]:
    """Return the order of kit lines: agreement, printed number, serials, id."""
    return (line.agreement, natural(line.number), line.serials, line.id)


def order_counts(counts: Iterable[Count]) -> list[Count]:
    """Return counts in time; by stage first where any of them has no time."""
    counts = list(counts)
    if any(count.at is None for count in counts):
        floor = dt.datetime.min.replace(tzinfo=dt.UTC)
        return sorted(counts, key=lambda c: (_STAGE_RANK[c.stage], c.at or floor, c.id))
    return sorted(counts, key=lambda c: (c.at, _STAGE_RANK[c.stage], c.id))
