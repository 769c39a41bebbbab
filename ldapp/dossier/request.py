"""What a dossier is made from, and what comes out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, Protocol

from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.language import language, marked
from ldapp.reckoning.result import Reckoning

Version = Literal["insurer", "dispute", "photos", "counts"]
Paper = Literal["a4", "letter"]

VERSION_TITLES: dict[Version, str] = {
    "insurer": marked("Statement of loss"),
    "dispute": marked("Answer to the charges"),
    "photos": marked("Photo sheet"),
    "counts": marked("Count sheet"),
}

DEFAULT_SIZE_BUDGET = 20_000_000
"""Bytes; what most mail systems still take as an attachment (common practice, no source)."""


Saying = Callable[[], str]
"""A sentence that is said in two languages: in print, and to who writes the dossier."""


class Originals(Protocol):
    """Finds the untouched original of a photo or document by the hash of its bytes."""

    def path_of(self, sha256: str) -> Path:
        """Return where the original lies; raises an LdappError if it is missing."""
        ...


class Progress(Protocol):
    """Told how far the work is; raises ``Cancelled`` where the person asked to stop."""

    def __call__(self, done: int, total: int, text: str = "") -> None:
        """Take note that ``done`` of ``total`` steps are done."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakPoint:
    """One thing that will be asked about; printed in the insurer's version alone."""

    about: str
    """What it concerns, as a person would name it: a line, a count, a photo."""
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CompletenessLine:
    """One thing that an adjuster usually asks for, and whether it is there."""

    asks_for: str
    present: Literal["present", "partly", "missing", "not_needed"]
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalLine:
    """One entry of the journal as it may be printed: without the values it changed."""

    number: int
    at: dt.datetime
    who: str
    label: str
    hash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterWords:
    """The person's own wording of the cover letter; empty fields keep the usual one."""

    subject: str = ""
    salutation: str = ""
    paragraphs: tuple[str, ...] = ()
    closing: str = ""
    signed_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DossierRequest:
    """One dossier to write.

    ``reckoning`` is that of ``claim``; every printed amount is read from it.  ``verdicts``
    holds the judgement on each photo by the photo's id.  ``agreement`` chooses the rental
    company that a dispute answers; None takes the first agreement that has an invoice.
    ``date`` is the date of the letter and the only date that the writing itself adds.
    """

    claim: Claim
    reckoning: Reckoning
    version: Version
    date: dt.date
    originals: Originals
    verdicts: Mapping[str, PhotoVerdict] = field(default_factory=dict)
    agreement: str | None = None
    answer_by: dt.date | None = None
    weak_points: tuple[WeakPoint, ...] = ()
    completeness: tuple[CompletenessLine, ...] = ()
    journal: tuple[JournalLine, ...] = ()
    journal_head: str = ""
    letter: LetterWords = LetterWords()
    paper: Paper = "a4"
    size_budget: int = DEFAULT_SIZE_BUDGET
    language: str = field(default_factory=language)
    """The language in which all of it is written (ISO 639-1), also that of ``reckoning``."""
    device_serials: bool = True
    """Whether the serial numbers of cameras and phones may be told to who may know them."""
    stage: Literal["pickup", "during", "return"] = "return"
    """The count that a count sheet is printed for."""
    count: str | None = None
    """The count that a count sheet holds as it was taken and signed; None: a sheet to fill in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DossierResult:
    """What was written: ``fell_short`` says in sentences what is not as it should be."""

    paths: tuple[Path, ...]
    """Its volumes in their order; most dossiers have one."""
    pages: int
    """Of all volumes together, as are the bytes."""
    bytes: int
    photos: int
    photo_resolution: str
    """In words: "as taken", or the dots per inch at printed size."""
    fell_short: tuple[str, ...] = ()

    @property
    def path(self) -> Path:
        """Volume 1, or the whole."""
        return self.paths[0]
