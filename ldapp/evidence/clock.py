"""What is known of a camera's clock for one photo: offset, bounds, error, and the findings."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from ldapp.claim.photo_facts import OffsetSource, Reason, RuleCode, Weight
from ldapp.evidence.times import Taken


@dataclass(slots=True)
class Clock:
    """A taken time on the way to an instant.  Offsets in minutes, errors in seconds."""

    taken: Taken
    offset: int | None = None
    source: OffsetSource = "none"
    zone: str | None = None
    place_offset: int | None = None
    """The offset of the place, where the recorded one is an hour off."""
    readings: tuple[datetime, ...] = ()
    """The instants that the wall-clock time may mean, in order; none if unknown."""
    earliest: datetime | None = None
    latest: datetime | None = None
    satellite: datetime | None = None
    error_s: float | None = None
    corrected: datetime | None = None
    uncertainty_s: float | None = None
    reasons: list[Reason] = field(default_factory=list)

    def add(self, code: RuleCode, weight: Weight, says: str) -> None:
        """Note a finding."""
        self.reasons.append(Reason(code=code, weight=weight, says=says))

    @property
    def instant(self) -> datetime | None:
        """The instant by the camera's own clock, where it is unambiguous."""
        if self.taken.instant is not None:
            return self.taken.instant
        return self.readings[0] if len(self.readings) == 1 else None

    @property
    def best(self) -> datetime:
        """The best instant there is; the wall clock read as UTC where nothing is known."""
        return self.corrected or self.instant or self.taken.as_utc
