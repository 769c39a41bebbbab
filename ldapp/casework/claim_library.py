"""What casework needs of the library; the store serves it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, Protocol

from ldapp.casework.open_claim import ClaimKeeper
from ldapp.casework.originals import KeepsOriginals, Originals
from ldapp.claim.claim import Claim
from ldapp.claim.figures import ClaimFigures
from ldapp.claim.journal import JournalEntry
from ldapp.claim.shared import SharedRecord
from ldapp.claim.summary import ClaimSummary


class KeptOriginals(Originals, KeepsOriginals, Protocol):
    """The library's originals, by hash."""

    def open(self, sha256: str) -> BinaryIO:
        """Open an original for reading."""
        ...

    def has(self, sha256: str) -> bool:
        """Return whether the library holds it."""
        ...

    def check(self, progress: Callable[[int, int], None]) -> tuple[str, ...]:
        """Return a sentence for every original that is missing or changed."""
        ...


class Library(ClaimKeeper, Protocol):
    """What the register needs of the store."""

    @property
    def folder(self) -> Path:
        """Where the library is."""
        ...

    @property
    def exports(self) -> Path:
        """Where dossiers and bundles are written unless told otherwise."""
        ...

    @property
    def originals(self) -> KeptOriginals:
        """The originals of photos and documents."""
        ...

    def summaries(self) -> tuple[ClaimSummary, ...]:
        """Return the register's rows."""
        ...

    def summaries_with_figures(self) -> tuple[ClaimSummary, ...]:
        """Return the register's rows with what each claim adds to reports."""
        ...

    def figures_due_before(self, day: dt.date) -> dict[str, ClaimFigures]:
        """Return by claim the figures of the rows whose next deadline is before a day."""
        ...

    def summary(self, claim_id: str) -> ClaimSummary | None:
        """Return one row of the register with its figures."""
        ...

    def shared(self, kind: str) -> tuple[SharedRecord, ...]:
        """Return the records of a kind that claims share."""
        ...

    def put_shared(self, one: SharedRecord, *, who: str) -> SharedRecord:
        """Keep a record that claims share over the version it names."""
        ...

    def remove_shared(self, kind: str, key: str) -> None:
        """Remove a record that claims share."""
        ...

    def create(self, claim: Claim, *, who: str, label: str, summary: ClaimSummary) -> int:
        """Write a new claim with its first journal entry; return its version."""
        ...

    def journal(self, claim_id: str) -> tuple[JournalEntry, ...]:
        """Return the whole journal of a claim."""
        ...

    def import_with_journal(
        self, claim: Claim, *, summary: ClaimSummary, over: int | None = None
    ) -> int:
        """Write a claim that brings its own journal, over an older state; return its version."""
        ...

    def check_journal(self, claim_id: str) -> tuple[str, ...]:
        """Return a sentence for every break in the chain."""
        ...

    def check_database(self) -> tuple[str, ...]:
        """Return a sentence for each thing the database finds wrong with itself."""
        ...

    def clock_remarks(self, claim_id: str) -> tuple[str, ...]:
        """Return a sentence for each entry that shows a clock that had been set back."""
        ...

    def original_hashes(self) -> tuple[str, ...]:
        """Return the hash of every original that a claim refers to or once referred to."""
        ...

    def everything_remembered(self) -> dict[str, str]:
        """Return every small choice that is kept."""
        ...

    def remove(self, claim_id: str) -> None:
        """Remove a claim for good."""
        ...

    def remember(self, key: str, value_json: str) -> None:
        """Keep a small JSON text under a key."""
        ...

    def remembered(self, key: str) -> str | None:
        """Return a kept text, or None."""
        ...

    def close(self) -> None:
        """Close the database."""
        ...
