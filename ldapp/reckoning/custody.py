"""Custody and closing: between which instants the renter answers, and whose count decides."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import NamedTuple

from ldapp.claim.agreement import Agreement
from ldapp.claim.counts import Count
from ldapp.reckoning.result import CustodySays


class CustodyWindow(NamedTuple):
    """Between which instants the renter answers; None is no boundary that is known."""

    begins: dt.datetime | None
    ends: dt.datetime | None

    def excludes(self, at: dt.datetime) -> bool:
        """Say whether an event at a known instant lies before or after custody."""
        before = self.begins is not None and at < self.begins
        return before or (self.ends is not None and at > self.ends)

    def says(self, last_seen: dt.datetime | None, gone: dt.datetime | None) -> CustodySays:
        """Say where a loss between ``last_seen`` and ``gone`` lies.

        A boundary that cuts the bracket leaves it open: it stays owed and is marked.
        """
        if self.begins is not None and gone is not None and gone <= self.begins:
            return "before"
        if self.ends is not None and last_seen is not None and last_seen >= self.ends:
            return "after"
        if self.begins is not None and last_seen is not None and last_seen < self.begins:
            return "open"
        if self.ends is not None and gone is not None and gone > self.ends:
            return "open"
        return "inside"


def custody_window(agreement: Agreement, counts: Sequence[Count]) -> CustodyWindow:
    """Return the custody of an agreement: its events' times, else the counts that mark them.

    ``counts`` stand in time.  An end "handed over" without a time of its own is the return
    count, any other end the rental company's check-in.
    """
    ends = agreement.custody_ended
    end_term = agreement.terms.custody_end
    if ends is None and end_term is not None:
        stage = "return" if end_term.event == "handed_over" else "check_in"
        for count in counts:
            covers = not count.agreements or agreement.id in count.agreements
            if count.stage == stage and covers and count.at is not None:
                ends = count.at
    return CustodyWindow(agreement.custody_began, ends)


class Closing(NamedTuple):
    """Which closing count an agreement follows, and which return counts both acknowledged."""

    lessor_controls: bool
    acknowledged: frozenset[str]

    def decides(self, return_count: str) -> bool:
        """Say whether a return count stands beside the company's own check-in.

        Where the company's count controls, only one that the company acknowledged does.
        """
        return not self.lessor_controls or return_count in self.acknowledged

    def without(self, counts: frozenset[str]) -> Closing:
        """Return the same where some counts are not taken for acknowledged."""
        return self._replace(acknowledged=self.acknowledged - counts)


def closing_of(agreement: Agreement, acknowledged: frozenset[str]) -> Closing:
    """Return the closing count that an agreement follows; the larger of both where it is silent."""
    term = agreement.terms.closing_count
    return Closing(term is not None and term.rule == "lessor_controls", acknowledged)


def acknowledged_by_both(count: Count) -> bool:
    """Say whether both sides acknowledged a count: signed, or written on their own ticket."""
    if count.acknowledgement == "signed_by_both":
        return True
    return count.acknowledgement == "on_company_ticket" and bool(count.acknowledged_by)
