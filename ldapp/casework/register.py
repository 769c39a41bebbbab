"""The register: all claims of a library, and how a claim comes into it and out of it.

The list of claims is the first thing that a person waits for, so what only opening,
reckoning or exchanging a claim needs is loaded when that is done.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ldapp.casework.check_of_library import CheckResult, check_library
from ldapp.casework.claim_library import KeptOriginals, Library
from ldapp.casework.demo import DemoClaim
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.originals import FolderOriginals, Originals
from ldapp.casework.papers import check_currency, check_zone
from ldapp.casework.summary import ROW_VERSION, empty_summary, summary_of
from ldapp.claim.claim import Claim
from ldapp.claim.shared import SharedRecord
from ldapp.claim.summary import ClaimSummary, without_passed
from ldapp.errors import ConflictError, LdappError
from ldapp.language import said
from ldapp.store.chain import with_recorded_paths

if TYPE_CHECKING:
    from ldapp.casework.moving import CopyResult

Progress = Callable[[int, int, str], None]


class Register:
    """All claims of one library, for one person at the desk."""

    def __init__(self, library: Library, who: str) -> None:
        self._library = library
        self.who = who

    @property
    def folder(self) -> Path:
        """Where the library is."""
        return self._library.folder

    @property
    def exports(self) -> Path:
        """Where dossiers and bundles are written unless told otherwise."""
        return self._library.exports

    @property
    def originals(self) -> KeptOriginals:
        """The originals of photos and documents."""
        return self._library.originals

    def summaries(self) -> tuple[ClaimSummary, ...]:
        """Return one row a claim as it stands today, latest change first."""
        today = dt.datetime.now(dt.UTC).date()
        rows = self._library.summaries()
        if all(one.next_deadline is None or one.next_deadline >= today for one in rows):
            return rows
        figures = self._library.figures_due_before(today)
        return tuple(without_passed(one, figures.get(one.claim), today) for one in rows)

    def load(self, claim_id: str) -> tuple[Claim, int]:
        """Return a claim without its journal, and its version."""
        return self._library.load(claim_id)

    def rows_with_figures(self) -> tuple[ClaimSummary, ...]:
        """Return one row a claim with what it adds to reports, latest change first."""
        return self._library.summaries_with_figures()

    def reckon(self, desk: OpenClaim) -> ClaimSummary:
        """Bring the register's row of an open claim up to date; return it with its figures."""
        row = fresh_summary(desk.claim)
        self._library.write_summary(row)
        return row

    def shared(self, kind: str) -> tuple[SharedRecord, ...]:
        """Return the records of a kind that claims share, by their names."""
        return self._library.shared(kind)

    def put_shared(self, one: SharedRecord) -> SharedRecord:
        """Keep a shared record over the version it names; return it as it stands then.

        Raises:
            ConflictError: somebody has changed or removed it since.
        """
        return self._library.put_shared(one, who=self.who)

    def remove_shared(self, kind: str, key: str) -> None:
        """Remove a shared record; claims keep what they took from it."""
        self._library.remove_shared(kind, key)

    def open(self, claim_id: str) -> OpenClaim:
        """Open a claim; raises LdappError where it is no longer there."""
        claim, version = self._library.load(claim_id)
        outline = self._library.journal_outline(claim_id)
        summary = self._library.summary(claim_id) or empty_summary(claim)
        return OpenClaim(
            self._library,
            claim,
            version,
            outline,
            originals=self._library.originals,
            who=self.who,
            summary=summary,
        )

    def next_reference(self, year: int, rows: Sequence[ClaimSummary] | None = None) -> str:
        """Propose the next reference of a year: ``2026-001``, ``2026-002`` …

        ``rows`` are the register's rows where they have been read: thousands take a moment.
        """
        start = f"{year}-"
        taken = [
            int(one.reference[len(start) :])
            for one in (self._library.summaries() if rows is None else rows)
            if one.reference.startswith(start) and one.reference[len(start) :].isdecimal()
        ]
        return f"{start}{max(taken, default=0) + 1:03d}"

    def create(self, reference: str, title: str, currency: str, zone: str) -> OpenClaim:
        """Open a new, empty claim.

        Raises:
            LdappError: the reference is empty, the currency or the zone does not exist.
        """
        if not reference.strip():
            raise LdappError(
                said("A claim needs a reference: it stands on every page that is sent.")
            )
        check_currency(currency)
        check_zone(zone)
        claim = Claim(
            id=new_id(),
            reference=reference.strip(),
            title=title.strip(),
            currency=currency,
            zone=zone,
            opened=dt.datetime.now(dt.UTC).date(),
        )
        self._library.create(
            claim, who=self.who, label=said("New claim"), summary=empty_summary(claim)
        )
        return self.open(claim.id)

    def take_in_claim_file(
        self, path: Path, progress: Progress = lambda done, total, text: None
    ) -> str:
        """Take a claim file in with the photos and papers beside it; return the claim's id.

        Raises:
            InputError: the file is no claim file; every fault is listed.
            ConflictError: the library has this claim already.
            LdappError: a photo or paper is not beside it or is not the one that is named.
        """
        from ldapp.exchange.claim_file import read_claim_file  # noqa: PLC0415 - see the head

        claim = read_claim_file(path)
        return self._take_in(claim, FolderOriginals(claim, path.parent), progress)

    def take_in_bundle(
        self, path: Path, progress: Progress = lambda done, total, text: None
    ) -> str:
        """Verify a bundle and take its claim in with everything it carries; return its id.

        Raises:
            InputError: the bundle does not verify; every file that differs is named.
            ConflictError: the library has this claim already.
        """
        # Bundles are seldom opened; what reads them is loaded then.
        from ldapp.exchange.bundle import open_bundle  # noqa: PLC0415

        with tempfile.TemporaryDirectory(prefix="ldapp-bundle-") as folder:
            opened = open_bundle(path, Path(folder))
            return self._take_in(
                opened.claim, FolderOriginals(opened.claim, opened.folder), progress
            )

    def take_in_demo(
        self, demo: DemoClaim, progress: Progress = lambda done, total, text: None
    ) -> str:
        """Take a demo claim in, or find it where it has been taken in before; return its id."""
        from ldapp.exchange.claim_file import read_claim_file  # noqa: PLC0415 - see the head

        claim = read_claim_file(demo.path)
        if any(one.claim == claim.id for one in self._library.summaries()):
            return claim.id
        return self._take_in(claim, FolderOriginals(claim, demo.path.parent), progress)

    def _take_in(self, claim: Claim, originals: Originals, progress: Progress) -> str:
        if any(one.claim == claim.id for one in self._library.summaries()):
            raise ConflictError(
                said(
                    "Claim {reference} is in this library already. Open it there, or remove "
                    "it first to take the file in anew.",
                    reference=claim.reference,
                )
            )
        wanted = [(photo.facts.sha256, photo.name) for photo in claim.photos]
        wanted += [
            (document.sha256, document.name or document.title)
            for document in claim.documents
            if document.sha256
        ]
        for index, (sha256, name) in enumerate(wanted):
            progress(index, len(wanted), name)
            if self._library.originals.has(sha256):
                continue
            stored = self._library.originals.put_file(originals.path_of(sha256))
            if stored.sha256 != sha256:
                raise LdappError(
                    said(
                        "{name} is not the file that the claim was made with: its SHA-256 is "
                        "{found}…, not {sha256}…. Get the original file.",
                        name=name,
                        found=stored.sha256[:12],
                        sha256=sha256[:12],
                    )
                )
        summary = fresh_summary(claim)
        if claim.journal:
            self._library.import_with_journal(with_recorded_paths(claim), summary=summary)
        else:
            self._library.create(
                claim, who=self.who, label=said("Take in claim file"), summary=summary
            )
        progress(len(wanted), len(wanted), "")
        return claim.id

    def with_journal(self, claim: Claim) -> Claim:
        """Return the claim with its whole journal, as dossiers and claim files carry it."""
        return dataclasses.replace(claim, journal=self._library.journal(claim.id))

    def write_claim_file(
        self,
        claim_id: str,
        target: Path,
        progress: Progress = lambda done, total, text: None,
    ) -> Path:
        """Write a claim with its journal as ``claim.json`` in ``target``, originals beside it.

        Raises:
            LdappError: another claim lies there; two students' may have one reference.
        """
        _check_no_other(claim_id, target)
        claim, _ = self._library.load(claim_id)
        claim = dataclasses.replace(claim, journal=self._library.journal(claim_id))
        return write_claim_folder(claim, self._library.originals, target, progress)

    def remove(self, claim_id: str) -> None:
        """Remove a claim for good; originals that other claims use stay."""
        self._library.remove(claim_id)

    def refresh_summaries(self, progress: Progress = lambda done, total, text: None) -> int:
        """Reckon the claims whose register row is old; return how many there were."""
        old = [one for one in self._library.summaries() if is_old(one)]
        for index, one in enumerate(old):
            progress(index, len(old), one.reference)
            claim, _ = self._library.load(one.claim)
            self._library.write_summary(fresh_summary(claim))
        progress(len(old), len(old), "")
        return len(old)

    def check(self, progress: Progress = lambda done, total, text: None) -> CheckResult:
        """Check the database, every original and every record of changes."""
        return check_library(self._library, progress)

    def copy_to(
        self, target: Register, progress: Progress = lambda done, total, text: None
    ) -> tuple[CopyResult, tuple[str, ...]]:
        """Copy everything into another library and compare; return both results."""
        # Seldom wanted; loaded then.
        from ldapp.casework.moving import compare_libraries, copy_library  # noqa: PLC0415

        result = copy_library(self._library, target._library, who=self.who, progress=progress)
        return result, compare_libraries(self._library, target._library, progress)

    def remember(self, key: str, value: Any) -> None:
        """Keep a small JSON value under a key: a column match, a template."""
        self._library.remember(key, json.dumps(value))

    def remembered(self, key: str) -> Any:
        """Return a kept value, or None."""
        kept = self._library.remembered(key)
        return None if kept is None else json.loads(kept)

    def close(self) -> None:
        """Close the library."""
        self._library.close()


def is_old(row: ClaimSummary) -> bool:
    """Return whether a row was not made as this program makes it."""
    return row.reckoning_version != ROW_VERSION


def fresh_summary(claim: Claim) -> ClaimSummary:
    """Reckon a claim and return its register row; without amounts where it cannot be reckoned."""
    from ldapp.casework.study import study  # noqa: PLC0415 - see the head
    from ldapp.casework.weak_points import open_points_by_page  # noqa: PLC0415

    found = study(claim, dt.datetime.now(dt.UTC).date())
    return summary_of(claim, found.reckoning, sum(open_points_by_page(found.weak_points).values()))


def write_claim_folder(
    claim: Claim,
    originals: Originals,
    target: Path,
    progress: Progress = lambda done, total, text: None,
) -> Path:
    """Write ``claim.json`` into ``target`` with photos and documents beside it; return its path.

    Two originals of one name get a number, so that none overwrites another.
    """
    target.mkdir(parents=True, exist_ok=True)
    used: set[str] = set()
    photos = []
    total = len(claim.photos) + len(claim.documents)
    for index, photo in enumerate(claim.photos):
        progress(index, total, photo.name)
        place = _free_name("photos", photo.name, used)
        _copy(originals.path_of(photo.facts.sha256), target / place)
        photos.append(dataclasses.replace(photo, path=place))
    documents = []
    for index, document in enumerate(claim.documents):
        progress(len(claim.photos) + index, total, document.title)
        if not document.sha256:
            documents.append(document)
            continue
        place = _free_name("documents", document.name or document.title, used)
        _copy(originals.path_of(document.sha256), target / place)
        documents.append(dataclasses.replace(document, path=place))
    path = target / "claim.json"
    from ldapp.exchange.claim_file import write_claim_file  # noqa: PLC0415 - see the head

    write_claim_file(
        dataclasses.replace(claim, photos=tuple(photos), documents=tuple(documents)), path
    )
    progress(total, total, "")
    return path


def _check_no_other(claim_id: str, target: Path) -> None:
    path = target / "claim.json"
    try:
        there = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return
    if isinstance(there, dict) and there.get("id") != claim_id:
        raise LdappError(
            said(
                "Another claim lies in {target} already ({reference}). It was left as it is: "
                "choose another folder.",
                target=target,
                reference=there.get("reference"),
            )
        )


def _free_name(folder: str, name: str, used: set[str]) -> str:
    safe = Path(name).name or "file"
    stem, suffix = Path(safe).stem, Path(safe).suffix
    place, number = f"{folder}/{safe}", 1
    while place.lower() in used:
        number += 1
        place = f"{folder}/{stem} ({number}){suffix}"
    used.add(place.lower())
    return place


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    with source.open("rb") as read, target.open("wb") as written:
        while block := read.read(1 << 20):
            written.write(block)
