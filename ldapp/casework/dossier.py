"""Writing the dossier, and seeing its pages before."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Literal, NamedTuple, TypeAlias

from ldapp.casework.completeness import completeness_of
from ldapp.casework.original_checks import require_unchanged
from ldapp.casework.originals import Originals
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.verdicts import verdicts_of
from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.dossier.derivatives import SharedMaterial, make_shared_material
from ldapp.dossier.request import (
    DEFAULT_SIZE_BUDGET,
    CompletenessLine,
    DossierRequest,
    DossierResult,
    JournalLine,
    LetterWords,
    Version,
)
from ldapp.dossier.request import WeakPoint as PrintedWeakPoint
from ldapp.dossier.write import write_dossier
from ldapp.errors import MachineError
from ldapp.reckoning.result import Reckoning

__all__ = [
    "LARGEST_FILE",
    "VERSION_NAMES",
    "CountSheetStage",
    "LetterWords",
    "Version",
    "Written",
    "file_name",
    "shared_material",
    "write",
    "write_for_preview",
]

Progress = Callable[[int, int, str], None]

CountSheetStage: TypeAlias = Literal["pickup", "during", "return"]

LARGEST_FILE = DEFAULT_SIZE_BUDGET
"""Bytes that a dossier, or each of its volumes, has at most unless something else is wanted."""

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
    agreement: str | None = None,
    stage: CountSheetStage = "return",
    count: str | None = None,
    letter: LetterWords | None = None,
    largest_file: int = LARGEST_FILE,
    device_serials: bool = True,
    progress: Progress = lambda done, total, text: None,
) -> Written:
    """Write one version of the dossier as a PDF.

    ``claim`` carries its journal where an extract of it shall be printed; ``agreement``
    chooses the rental company that is answered, ``stage`` the count that a count sheet to
    fill in is for; with ``count`` the sheet holds that count as it was taken and signed.
    Where it would have more than ``largest_file`` bytes, photos are made smaller, then it is
    written in volumes beside ``target``.  Without ``device_serials`` the serial numbers of
    cameras and phones are told to nobody.  The same claim, version and date give the same
    bytes.

    Raises:
        LdappError: a stored original has changed since it was taken in.
        MachineError: the file cannot be written.
        Cancelled: ``progress`` asked to stop; no file is left.
    """
    require_unchanged(claim, originals, progress)
    return _write(
        claim,
        originals,
        version,
        target,
        date,
        reckoning=reckoning,
        verdicts=verdicts,
        agreement=agreement,
        stage=stage,
        count=count,
        letter=letter,
        largest_file=largest_file,
        device_serials=device_serials,
        progress=progress,
    )


def _write(
    claim: Claim,
    originals: Originals,
    version: Version,
    target: Path,
    date: dt.date,
    *,
    reckoning: Reckoning | None,
    verdicts: Mapping[str, PhotoVerdict] | None,
    agreement: str | None,
    stage: CountSheetStage,
    count: str | None,
    letter: LetterWords | None,
    largest_file: int,
    device_serials: bool,
    progress: Progress,
) -> Written:
    request, points = _request(
        claim,
        originals,
        version,
        date,
        reckoning=reckoning,
        verdicts=verdicts,
        agreement=agreement,
        stage=stage,
        count=count,
        letter=letter,
        largest_file=largest_file,
        device_serials=device_serials,
    )
    result: DossierResult = write_dossier(request, target, _reporting(progress))
    return Written(result.paths, (*result.fell_short, *_grave(points)), result.pages)


def _request(
    claim: Claim,
    originals: Originals,
    version: Version,
    date: dt.date,
    *,
    reckoning: Reckoning | None = None,
    verdicts: Mapping[str, PhotoVerdict] | None = None,
    agreement: str | None = None,
    stage: CountSheetStage = "return",
    count: str | None = None,
    letter: LetterWords | None = None,
    largest_file: int = LARGEST_FILE,
    device_serials: bool = True,
) -> tuple[DossierRequest, tuple[WeakPoint, ...]]:
    reckoning = reckoning or reckon_claim(claim, as_of=date)
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
        agreement=agreement,
        stage=stage,
        count=count,
        letter=letter or LetterWords(),
        size_budget=largest_file,
        device_serials=device_serials,
        paper="letter" if claim.currency in ("USD", "CAD") else "a4",
    )
    return request, points


def shared_material(
    claim: Claim,
    originals: Originals,
    version: Version,
    date: dt.date,
    folder: Path,
    *,
    agreement: str | None = None,
    progress: Progress = lambda done, total, text: None,
) -> SharedMaterial:
    """Return what of a claim a version's recipient may have, its pictures made in ``folder``.

    Raises:
        MachineError: there is no room for the pictures.
    """
    request, _ = _request(claim, originals, version, date, agreement=agreement)
    try:
        return make_shared_material(request, folder, progress)
    except OSError as error:
        raise MachineError(
            f"The pictures for passing on could not be made in {folder}: "
            f"{error.strerror or type(error).__name__}. Make room on the disk."
        ) from error


def _reporting(progress: Progress) -> Callable[..., None]:
    def report(done: int, total: int, text: str = "") -> None:
        progress(done, total, text)

    return report


def _grave(points: tuple[WeakPoint, ...]) -> tuple[str, ...]:
    return tuple(point.says for point in points if point.gravity == "grave")


def write_for_preview(
    claim: Claim,
    originals: Originals,
    version: Version,
    date: dt.date,
    folder: Path,
    *,
    agreement: str | None = None,
    stage: CountSheetStage = "return",
    count: str | None = None,
    letter: LetterWords | None = None,
    largest_file: int = LARGEST_FILE,
    device_serials: bool = True,
    progress: Progress = lambda done, total, text: None,
) -> Written:
    """Write the dossier into ``folder``, to be looked at before it is sent; runs in a worker."""
    with tempfile.NamedTemporaryFile(dir=folder, suffix=".pdf", delete=False) as unfinished:
        target = Path(unfinished.name)
    return _write(
        claim,
        originals,
        version,
        target,
        date,
        reckoning=None,
        verdicts=None,
        agreement=agreement,
        stage=stage,
        count=count,
        letter=letter,
        largest_file=largest_file,
        device_serials=device_serials,
        progress=progress,
    )
