"""Writing the dossier, and seeing its pages before."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

from ldapp.casework.completeness import completeness_of
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.originals import Originals
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.verdicts import verdicts_of
from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.dossier.preview import page_count, render_preview_page
from ldapp.dossier.request import (
    CompletenessLine,
    DossierRequest,
    DossierResult,
    JournalLine,
    Version,
)
from ldapp.dossier.request import WeakPoint as PrintedWeakPoint
from ldapp.dossier.write import write_dossier
from ldapp.reckoning.result import Reckoning

__all__ = [
    "VERSION_NAMES",
    "Version",
    "Written",
    "file_name",
    "page_count",
    "render_preview_page",
    "write",
    "write_for_preview",
]

Progress = Callable[[int, int, str], None]

VERSION_NAMES: dict[Version, str] = {
    "insurer": "Statement of loss, to the insurer",
    "dispute": "Answer to the charges, to the rental company",
    "photos": "Photo sheet",
    "counts": "Count sheet",
}


class Written(NamedTuple):
    """What was written, and what fell short of complete."""

    paths: tuple[Path, ...]
    short_of_complete: tuple[str, ...]
    pages: int


def file_name(claim: Claim, version: Version, date: dt.date) -> str:
    """Return a file name that says what it is: reference, version and date."""
    reference = re.sub(r"[^\w.-]+", "-", claim.reference).strip("-.") or "claim"
    return f"{reference}-{version}-{date.isoformat()}.pdf"


def write(
    claim: Claim,
    originals: Originals,
    version: Version,
    target: Path,
    date: dt.date,
    *,
    reckoning: Reckoning | None = None,
    verdicts: Mapping[str, PhotoVerdict] | None = None,
    progress: Progress = lambda done, total, text: None,
) -> Written:
    """Write one version of the dossier as a PDF.

    ``claim`` carries its journal where an extract of it shall be printed.  The same
    claim, version and date give the same bytes.

    Raises:
        MachineError: the file cannot be written.
        Cancelled: ``progress`` asked to stop; no file is left.
    """
    reckoning = reckoning or reckon_claim(claim)
    verdicts = verdicts if verdicts is not None else verdicts_of(claim)
    points = find_weak_points(claim, reckoning, verdicts, date)
    request = DossierRequest(
        claim=claim,
        reckoning=reckoning,
        version=version,
        date=date,
        originals=originals,
        verdicts=verdicts,
        weak_points=tuple(
            PrintedWeakPoint(about=point.place.page, says=point.says)
            for point in points
            if point.gravity != "note"
        ),
        completeness=tuple(
            CompletenessLine(asks_for=one.what, present=one.presence, says=one.says)
            for one in completeness_of(claim)
        ),
        journal=tuple(
            JournalLine(
                number=entry.number, at=entry.at, who=entry.who, label=entry.label, hash=entry.hash
            )
            for entry in claim.journal
        ),
        journal_head=claim.journal[-1].hash if claim.journal else "",
        paper="letter" if claim.currency in ("USD", "CAD") else "a4",
    )
    result: DossierResult = write_dossier(request, target, _reporting(progress))
    return Written((result.path,), (*result.fell_short, *_grave(points)), result.pages)


def _reporting(progress: Progress) -> Callable[..., None]:
    def report(done: int, total: int, text: str = "") -> None:
        progress(done, total, text)

    return report


def _grave(points: tuple[WeakPoint, ...]) -> tuple[str, ...]:
    return tuple(point.says for point in points if point.gravity == "grave")


def write_for_preview(
    desk: OpenClaim,
    version: Version,
    date: dt.date,
    folder: Path,
    progress: Progress = lambda done, total, text: None,
) -> Written:
    """Write the dossier of the open claim into ``folder`` to be looked at before it is sent."""
    with tempfile.NamedTemporaryFile(dir=folder, suffix=".pdf", delete=False) as unfinished:
        target = Path(unfinished.name)
    return write(desk.claim, desk.originals, version, target, date, progress=progress)
