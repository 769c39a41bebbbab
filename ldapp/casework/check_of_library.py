"""The whole library looked through: database, originals, records of changes, clocks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple, Protocol

from ldapp.claim.summary import ClaimSummary
from ldapp.errors import LdappError
from ldapp.language import said

Progress = Callable[[int, int, str], None]


class Originals(Protocol):
    """The library's originals."""

    def check(self, progress: Callable[[int, int], None]) -> tuple[str, ...]:
        """Return a sentence for every original that is missing or changed."""
        ...


class Checked(Protocol):
    """What of the library is looked through."""

    @property
    def originals(self) -> Originals:
        """The originals of photos and documents."""
        ...

    def summaries(self) -> tuple[ClaimSummary, ...]:
        """Return the register's rows."""
        ...

    def check_database(self) -> tuple[str, ...]:
        """Return a sentence for each thing the database finds wrong with itself."""
        ...

    def check_journal(self, claim_id: str) -> tuple[str, ...]:
        """Return a sentence for every break in a claim's record."""
        ...

    def clock_remarks(self, claim_id: str) -> tuple[str, ...]:
        """Return a sentence for each entry that shows a clock that had been set back."""
        ...


class CheckResult(NamedTuple):
    """What was looked at, what is wrong, and what is only worth knowing."""

    claims: int
    originals: int
    wrong: tuple[str, ...]
    remarks: tuple[str, ...]


def check_library(
    library: Checked, progress: Progress = lambda done, total, text: None
) -> CheckResult:
    """Check the database, every original by its hash, and every record of changes.

    Raises:
        Cancelled: the person asked for a stop.
    """
    progress(0, 0, said("the database"))
    wrong = list(library.check_database())
    seen = [0]

    def count(done: int, total: int) -> None:
        seen[0] = total
        progress(done, total, said("originals"))

    wrong.extend(library.originals.check(count))
    remarks: list[str] = []
    rows = library.summaries()
    for number, row in enumerate(rows):
        progress(number, len(rows), row.reference)
        try:
            wrong.extend(_named(row, library.check_journal(row.claim)))
            remarks.extend(_named(row, library.clock_remarks(row.claim)))
        except LdappError as error:
            wrong.extend(_named(row, (str(error),)))
    progress(len(rows), len(rows), "")
    return CheckResult(len(rows), seen[0], tuple(wrong), tuple(remarks))


def _named(row: ClaimSummary, sentences: Iterable[str]) -> list[str]:
    return [f"{row.reference}: {sentence}" for sentence in sentences]
