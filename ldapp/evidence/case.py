"""One photo with everything that the rules look at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from ldapp.claim.photo_facts import PhotoFacts, Reason, RuleCode, Weight
from ldapp.evidence.clock import Clock
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.names import NamedTime
from ldapp.evidence.times import Taken

QUARTER_HOUR: Final = 900
WIDEST_SHIFT_S: Final = 26 * 3600
"""The offsets in use on Earth lie at most 26 hours apart (-12:00 to +14:00)."""


@dataclass(frozen=True, slots=True)
class Case:
    """A photo under judgement; ``taken`` and ``clock`` are None without a usable date."""

    facts: PhotoFacts
    context: VerifyContext
    taken: Taken | None
    clock: Clock | None
    named: NamedTime | None
    editors: tuple[str, ...]

    @property
    def offset_known(self) -> bool:
        """Whether the instant is known, by an offset or by a reference."""
        return self.clock is not None and (
            self.clock.corrected is not None or self.clock.instant is not None
        )


def reason(code: RuleCode, weight: Weight, says: str) -> Reason:
    """Make one finding."""
    return Reason(code=code, weight=weight, says=says)


def seconds_between(one: datetime, other: datetime) -> float:
    """Return one wall-clock time minus another in seconds; both without zone."""
    return (one - other).total_seconds()


def agree_after_shift(one: datetime, other: datetime, within_s: float) -> bool:
    """Say whether two wall clocks agree after a shift by whole quarter hours."""
    apart = seconds_between(one, other)
    if abs(apart) > WIDEST_SHIFT_S + within_s:
        return False
    return abs(apart - QUARTER_HOUR * round(apart / QUARTER_HOUR)) <= within_s
