"""Writing the dossier, and seeing its pages before."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, NamedTuple, TypeAlias

from ldapp.casework.completeness import completeness_of
from ldapp.casework.original_checks import require_unchanged
from ldapp.casework.originals import Originals
from ldapp.casework.places import Page
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.verdicts import verdicts_of
from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.claim import Claim
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
from ldapp.language import language, marked, said, speaking
from ldapp.reckoning.result import Reckoning

__all__ = [
    "LARGEST_FILE",
    "VERSION_NAMES",
    "Choices",
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
    "insurer": marked("Statement of loss, to the insurer"),
    "dispute": marked("Answer to the charges, to the rental company"),
    "photos": marked("Photo sheet"),
    "counts": marked("Count sheet"),
}

_CONCERNS: dict[Page, str] = {
    "papers": marked("papers"),
    "kit": marked("kit"),
    "counts": marked("counts"),
    "photos": marked("photos"),
    "findings": marked("findings"),
    "charges": marked("charges"),
    "reckoning": marked("reckoning"),
    "dossier": marked("dossier"),
}
"""What a weak point that is printed concerns, by the page on which it is mended."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What is to be written, and how."""

    version: Version
    date: dt.date
    agreement: str | None = None
    """The rental company that is answered, by its agreement."""
    stage: CountSheetStage = "return"
    """The count that a count sheet to fill in is for."""
    count: str | None = None
    """With it the count sheet holds that count as it was taken and signed."""
    letter: LetterWords = field(default_factory=LetterWords)
    largest_file: int = LARGEST_FILE
    """In bytes."""
    device_serials: bool = True
    """Without them the serial numbers of cameras and phones are told to nobody."""
    language: str = field(default_factory=language)
    """The language in which all of it is written, reckoning and verdicts too (ISO 639-1)."""


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
    choices: Choices,
    target: Path,
    *,
    reckoning: Reckoning | None = None,
    progress: Progress = lambda done, total, text: None,
) -> Written:
    """Write one version of the dossier as a PDF.

    ``claim`` carries its journal where an extract of it shall be printed.  Where the dossier
    would be larger than the choices allow, photos are made smaller, then it is written in
    volumes beside ``target``.  The same claim and choices give the same bytes.  A ``reckoning``
    that is given has its sentences in the language spoken here.

    Raises:
        LdappError: a stored original has changed since it was taken in.
        MachineError: the file cannot be written.
        Cancelled: ``progress`` asked to stop; no file is left.
    """
    require_unchanged(claim, originals, progress)
    return _write(claim, originals, choices, target, reckoning, progress)


def write_for_preview(
    claim: Claim,
    originals: Originals,
    choices: Choices,
    folder: Path,
    progress: Progress = lambda done, total, text: None,
) -> Written:
    """Write the dossier into ``folder``, to be looked at before it is sent; runs in a worker."""
    with tempfile.NamedTemporaryFile(dir=folder, suffix=".pdf", delete=False) as unfinished:
        target = Path(unfinished.name)
    return _write(claim, originals, choices, target, None, progress)


def _write(
    claim: Claim,
    originals: Originals,
    choices: Choices,
    target: Path,
    reckoning: Reckoning | None,
    progress: Progress,
) -> Written:
    if choices.language != language():
        # Its sentences are in the language spoken here, and all of a dossier is in its own.
        reckoning = None
    with speaking(choices.language):
        request, points = _request(claim, originals, choices, reckoning)
    result: DossierResult = write_dossier(request, target, _reporting(progress))
    if choices.language != language():
        points = _weak_points(claim, choices.date)
    return Written(result.paths, (*result.fell_short, *_grave(points)), result.pages)


def _weak_points(claim: Claim, date: dt.date) -> tuple[WeakPoint, ...]:
    return find_weak_points(claim, reckon_claim(claim, as_of=date), verdicts_of(claim), date)


def _request(
    claim: Claim, originals: Originals, choices: Choices, reckoning: Reckoning | None = None
) -> tuple[DossierRequest, tuple[WeakPoint, ...]]:
    reckoning = reckoning or reckon_claim(claim, as_of=choices.date)
    verdicts = verdicts_of(claim)
    points = find_weak_points(claim, reckoning, verdicts, choices.date)
    request = DossierRequest(
        claim=claim,
        reckoning=reckoning,
        version=choices.version,
        date=choices.date,
        originals=originals,
        verdicts=verdicts,
        weak_points=tuple(
            PrintedWeakPoint(about=said(_CONCERNS[point.place.page]), says=point.says)
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
        agreement=choices.agreement,
        stage=choices.stage,
        count=choices.count,
        letter=choices.letter,
        size_budget=choices.largest_file,
        device_serials=choices.device_serials,
        language=choices.language,
        paper="letter" if claim.currency in ("USD", "CAD") else "a4",
    )
    return request, points


def shared_material(
    claim: Claim,
    originals: Originals,
    choices: Choices,
    folder: Path,
    progress: Progress = lambda done, total, text: None,
) -> SharedMaterial:
    """Return what of a claim the version's recipient may have, its pictures made in ``folder``.

    Raises:
        MachineError: there is no room for the pictures.
    """
    with speaking(choices.language):
        request, _ = _request(claim, originals, choices)
    try:
        with speaking(choices.language):
            return make_shared_material(request, folder, progress)
    except OSError as error:
        raise MachineError(
            said(
                "The pictures for passing on could not be made in {folder}: {strerror}. "
                "Make room on the disk.",
                folder=folder,
                strerror=error.strerror or type(error).__name__,
            )
        ) from error


def _reporting(progress: Progress) -> Callable[..., None]:
    def report(done: int, total: int, text: str = "") -> None:
        progress(done, total, text)

    return report


def _grave(points: tuple[WeakPoint, ...]) -> tuple[str, ...]:
    return tuple(point.says for point in points if point.gravity == "grave")
