"""What is known about a photo from outside its file.

Everything is optional: a rule whose facts are not given stays silent.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from ldapp.claim.photo_facts import ClockReference
from ldapp.claim.record import record


@record
class Neighbour:
    """The next picture of the same camera by its counter."""

    file_name: str
    number: int
    taken_local: str
    """ISO 8601 without offset, as :class:`ldapp.claim.photo_facts.PhotoVerdict` has it."""


@record
class CameraHabits:
    """What the other photos of the same make and model in the claim have in common."""

    photos: int
    with_maker_note: int
    software: tuple[str, ...] = ()
    """Every program name that at least two of them carry."""
    first_segments: tuple[str, ...] = ()
    quantisations: tuple[str, ...] = ()


@record
class Sighting:
    """Where another photo of the same camera body was taken, and when."""

    file_name: str
    taken: datetime
    position: tuple[float, float]


@record
class Confirmation:
    """A person who stated that the picture was taken at this count."""

    name: str
    company: str
    on: date
    other_side: bool
    """Whether the person acts for the other side."""


@record
class VerifyContext:
    """Facts about one photo from the claim, the store and the count.

    ``zone`` is the IANA zone of the job's place, an assumption for photos that record
    none.  ``now`` is the moment of looking and ``imported`` that of the intake, both
    aware.  ``references`` may hold those of other cameras: they are left out.
    """

    zone: str | None = None
    now: datetime | None = None
    imported: datetime | None = None
    journal_intact: bool = True
    agreement_start: date | None = None
    count_position: tuple[float, float] | None = None
    job_position: tuple[float, float] | None = None
    window: tuple[datetime, datetime] | None = None
    references: tuple[ClockReference, ...] = ()
    before: Neighbour | None = None
    after: Neighbour | None = None
    habits: CameraHabits | None = None
    sightings: tuple[Sighting, ...] = ()
    same_bytes_taken: str | None = None
    """The taken time under which the same bytes are already in the claim."""
    file_times: Literal["card", "copy"] | None = None
    """Whether the file's own time of change is worth a look: straight from a card."""
    code_issued: datetime | None = None
    """When the code that is readable in the picture was issued."""
    confirmations: tuple[Confirmation, ...] = ()
    original_unchanged: bool | None = None
    """Whether the stored original still has its hash."""
