"""A library copied whole into another: into the office's database, and back, without loss.

Claims go with their records of changes, originals by their hashes.  What is there already
is passed over, so that a copy that was stopped goes on where it was.  The library that
is copied from is never changed.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from ldapp.casework.claim_library import Library
from ldapp.claim.journal import JournalEntry
from ldapp.claim.summary import ClaimSummary
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.local_forms import grouped

Progress = Callable[[int, int, str], None]
SHARED_KINDS = ("policy", "party", "certificate", "register_view")


class CopyResult(NamedTuple):
    """What was copied, what was there before, and what could not be copied."""

    claims: int
    claims_there: int
    originals: int
    originals_there: int
    records: int
    left_out: tuple[str, ...]

    @property
    def says(self) -> str:
        """The result in one sentence."""
        return said(
            "{claims} claims and {originals} originals were copied; "
            "{claims_there} claims and {originals_there} originals were there "
            "already.",
            claims=grouped(self.claims),
            originals=grouped(self.originals),
            claims_there=grouped(self.claims_there),
            originals_there=grouped(self.originals_there),
        )


def copy_library(
    source: Library,
    target: Library,
    *,
    who: str,
    progress: Progress = lambda done, total, text: None,
) -> CopyResult:
    """Copy everything; what is the same there is passed over, what is older there is replaced.

    A claim that was changed in both libraries is left out and named: neither version is
    touched.

    Raises:
        Cancelled: the person asked for a stop; the next run goes on from there.
        MachineError: one of the libraries cannot be read or written.
    """
    left_out: list[str] = []
    hashes = source.original_hashes()
    rows = source.summaries()
    total = len(hashes) + len(rows)
    copied = there = 0
    for number, sha256 in enumerate(hashes):
        progress(number, total, said("originals"))
        if target.originals.has(sha256):
            there += 1
            continue
        if not source.originals.has(sha256):
            left_out.append(
                said(
                    "The original {sha256}… is not in the library that was copied from.",
                    sha256=sha256[:12],
                )
            )
            continue
        stored = target.originals.put_file(source.originals.path_of(sha256))
        if stored.sha256 != sha256:
            left_out.append(
                said(
                    "The original {sha256}… has other bytes than when it was taken in; the "
                    "changed file was not taken for it.",
                    sha256=sha256[:12],
                )
            )
            continue
        copied += 1
    claims = claims_there = 0
    versions = _versions(target)
    for number, row in enumerate(rows):
        progress(len(hashes) + number, total, row.reference)
        how = _copy_claim(source, target, row, row.claim in versions)
        if how == "copied":
            claims += 1
        elif how == "there":
            claims_there += 1
        else:
            left_out.append(how)
    records = _copy_records(source, target, who)
    progress(total, total, "")
    return CopyResult(claims, claims_there, copied, there, records, tuple(left_out))


def _versions(library: Library) -> set[str]:
    return {row.claim for row in library.summaries()}


def _copy_claim(source: Library, target: Library, row: ClaimSummary, is_there: bool) -> str:
    claim, version = source.load(row.claim)
    over: int | None = None
    if is_there:
        _, their_version = target.load(row.claim)
        common = min(version, their_version)
        same = (
            source.journal_entry(row.claim, common).hash
            == target.journal_entry(row.claim, common).hash
        )
        if not same:
            return said(
                "{reference} was changed in both libraries since it was copied. Open both and "
                "bring one up to the other.",
                reference=row.reference,
            )
        if their_version >= version:
            return "there"
        over = their_version
    whole = dataclasses.replace(claim, journal=source.journal(row.claim))
    try:
        target.import_with_journal(whole, summary=source.summary(row.claim) or row, over=over)
    except LdappError as error:
        return said("{reference} was not copied: {error}", reference=row.reference, error=error)
    return "copied"


def _copy_records(source: Library, target: Library, who: str) -> int:
    copied = 0
    for kind in SHARED_KINDS:
        there = {one.id for one in target.shared(kind)}
        for one in source.shared(kind):
            if one.id not in there:
                target.put_shared(one._replace(version=0), who=one.who or who)
                copied += 1
    remembered = target.everything_remembered()
    for key, value in source.everything_remembered().items():
        if key not in remembered:
            target.remember(key, value)
            copied += 1
    return copied


def compare_libraries(
    source: Library, target: Library, progress: Progress = lambda done, total, text: None
) -> tuple[str, ...]:
    """Return a sentence for everything of ``source`` that is not in ``target`` as it is there.

    Claims are compared field by field, records of changes by their hashes, originals by
    the hash of their bytes.
    """
    return tuple(_differences(source, target, progress))


def _differences(source: Library, target: Library, progress: Progress) -> Iterator[str]:
    rows = source.summaries()
    hashes = source.original_hashes()
    total = len(rows) + len(hashes)
    versions = _versions(target)
    for number, row in enumerate(rows):
        progress(number, total, row.reference)
        if row.claim not in versions:
            yield said("{reference} is missing.", reference=row.reference)
            continue
        if source.load(row.claim) != target.load(row.claim):
            yield said("{reference} is not the same.", reference=row.reference)
        if _hashes(source.journal(row.claim)) != _hashes(target.journal(row.claim)):
            yield said(
                "The record of changes of {reference} is not the same.", reference=row.reference
            )
    for number, sha256 in enumerate(hashes):
        progress(len(rows) + number, total, said("originals"))
        if source.originals.has(sha256) and not target.originals.has(sha256):
            yield said("The original {sha256}… is missing.", sha256=sha256[:12])
    wrong: list[Any] = list(
        target.originals.check(lambda done, of: progress(done, of, said("hashes")))
    )
    yield from wrong


def _hashes(journal: tuple[JournalEntry, ...]) -> tuple[str, ...]:
    return tuple(entry.hash for entry in journal)
