"""Satellite time against a camera's clock (rules G1 to G7).

The comparison uses the real offset of the place; rounding to quarter hours alone
misjudges every clock that is more than 7.5 minutes off.  What a satellite time really is:
that of the last fix, often some seconds and sometimes hours before the shot.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.clock import Clock
from ldapp.evidence.times import (
    EARLIEST_OFFSET,
    LATEST_OFFSET,
    Taken,
    satellite_instant,
    shifted,
)
from ldapp.evidence.wording import duration
from ldapp.language import said

_WEEK_FAULT: Final = 7168 * 86400
"""1,024 weeks: after these the satellite week count begins again."""

_DAY: Final = 86400.0


@dataclass(frozen=True, slots=True)
class SatelliteTime:
    """The satellite time, with a date that was read, repaired or assumed."""

    instant: datetime
    assumed: bool = False
    week_fault: bool = False

    @classmethod
    def of(cls, facts: PhotoFacts, taken: Taken) -> SatelliteTime | None:
        """Return the satellite time of a photo; None where it is not usable."""
        fix = facts.satellite
        if fix is None or fix.time is None:
            return None
        if fix.date is not None:
            instant = satellite_instant(fix.date, fix.time)
            if instant is None:
                return None
            apart = (taken.as_utc - instant).total_seconds()
            if abs(abs(apart) - _WEEK_FAULT) <= _DAY:
                return cls(instant, week_fault=True)
            return cls(instant)
        if fix.date_raw is not None and fix.date_raw.strip(" :0"):
            return None
        instant = satellite_instant(taken.moment.date().isoformat(), fix.time)
        return None if instant is None else cls(instant, assumed=True)

    def near(self, local: datetime, expected: int) -> SatelliteTime:
        """Choose the day that brings local minus satellite nearest to an offset."""
        if not (self.assumed or self.week_fault):
            return self
        wanted = shifted(local.replace(tzinfo=UTC), -60 * expected)
        days = round((wanted - self.instant).total_seconds() / _DAY)
        return SatelliteTime(shifted(self.instant, days * _DAY), self.assumed, self.week_fault)

    def apart(self, local: datetime) -> float:
        """Return wall clock minus satellite time in seconds."""
        return (local.replace(tzinfo=UTC) - self.instant).total_seconds()


def same_second(local: datetime, satellite: datetime) -> bool:
    """Say whether a wall clock shows the very numerals of a satellite time."""
    return local.replace(microsecond=0, tzinfo=UTC) == satellite.replace(microsecond=0)


def compare_satellite(clock: Clock, satellite: SatelliteTime) -> None:
    """Judge the difference, and correct the clock or widen its bounds where it says so."""
    moment = clock.taken.moment
    written = satellite.instant
    satellite = satellite.near(moment, clock.offset if clock.offset is not None else 0)
    # A missing date is assumed; a wrong one stays as it was written, for anybody to see.
    clock.satellite = satellite.instant if satellite.assumed else written
    if satellite.week_fault:
        clock.add(
            "G5",
            "note",
            said("A known satellite-date fault (19.6 years off); only the time of day is used."),
        )
    if same_second(moment, satellite.instant) and clock.offset != 0:
        clock.add(
            "G7",
            "note",
            said(
                "The satellite time was written in local time by software; it is no second source."
            ),
        )
        return
    if clock.instant is not None:
        error = (clock.instant - satellite.instant).total_seconds()
    elif clock.readings:
        every = [(one - satellite.instant).total_seconds() for one in clock.readings]
        error = min(every, key=abs)
    else:
        # Beyond every offset on Earth the two times do not belong together.
        apart = satellite.apart(moment)
        outside = max(apart - 60 * LATEST_OFFSET, 60 * EARLIEST_OFFSET - apart)
        if outside > _DAY:
            _say_days_apart(clock, apart)
        else:
            _say_old_position(clock, outside, satellite)
        return
    _judge_difference(clock, error, satellite)


def _say_days_apart(clock: Clock, error: float) -> None:
    clock.add(
        "G6",
        "undermines",
        said("Camera date and satellite date are {difference} apart.", difference=duration(error)),
    )


def _say_old_position(clock: Clock, error: float, satellite: SatelliteTime) -> None:
    clock.add(
        "G3",
        "weakens",
        # For translators: {assumed} is empty, or begins with a blank and a bracket.
        said(
            "The position was an old one, or the clock is off by {error}{assumed}.",
            error=duration(error),
            assumed=_assumed(satellite),
        ),
    )


def _assumed(satellite: SatelliteTime) -> str:
    if not satellite.assumed:
        return ""
    return said(" (the satellite date is missing; the day that fits was assumed)")


def _judge_difference(clock: Clock, error: float, satellite: SatelliteTime) -> None:
    """Judge the camera's instant minus the satellite's, in seconds."""
    size, instant = abs(error), clock.instant
    hours = round(error / 3600)
    if size <= 120:
        clock.error_s = round(error, 3)
        _say_agreement(clock, size, satellite)
    elif size <= 900:
        clock.error_s = round(error, 3)
        clock.add(
            "G2",
            "note",
            said(
                "Camera clock {error} fast against satellite time (or the position was {error} "
                "old){assumed}.",
                error=duration(size),
                assumed=_assumed(satellite),
            )
            if error > 0
            else said(
                "Camera clock {error} slow against satellite time (or the position was {error} "
                "old){assumed}.",
                error=duration(size),
                assumed=_assumed(satellite),
            ),
        )
        if instant is not None:
            _correct(clock, instant, error, 5.0)
    elif size > _DAY:
        _say_days_apart(clock, error)
    elif instant is not None and hours and abs(error - 3600 * hours) <= 120:
        _judge_whole_hours(clock, instant, error, hours)
    else:
        _say_old_position(clock, error, satellite)


def _say_agreement(clock: Clock, size: float, satellite: SatelliteTime) -> None:
    assumed = _assumed(satellite)
    if clock.source == "satellite":
        # The offset came from the same source, so this is no second one.
        clock.add(
            "G1",
            "note",
            said(
                "Satellite time agrees to a whole quarter of an hour{assumed}; the offset was "
                "taken from it.",
                assumed=assumed,
            ),
        )
        return
    clock.add(
        "G1",
        "supports",
        said(
            "Satellite time agrees within {difference}{assumed}.",
            difference=duration(max(size, 1)),
            assumed=assumed,
        ),
    )


def _judge_whole_hours(clock: Clock, instant: datetime, error: float, hours: int) -> None:
    other = shifted(instant, -3600 * hours)
    if clock.place_offset is not None and clock.offset is not None:
        switch = 60.0 * (clock.place_offset - clock.offset)
        rest = abs(error - switch)
        if rest <= 120:
            _say_agreement_of_place(clock, instant, switch, rest)
            return
    if clock.source == "tag":
        clock.add(
            "G4",
            "weakens",
            said("The camera ran on another zone's time ({hours} h).", hours=f"{hours:+d}"),
        )
        clock.error_s = round(error, 3)
        clock.earliest, clock.latest = min(instant, other), max(instant, other)
        return
    if abs((other - clock.taken.as_utc).total_seconds()) <= 120:
        clock.add(
            "G4",
            "note",
            said(
                "Camera time and satellite time are the same although the place is not "
                "on UTC: the camera ran on UTC, or the satellite time was written in "
                "local time."
            ),
        )
        clock.earliest, clock.latest = min(instant, other), max(instant, other)
        return
    clock.error_s = round(error, 3)
    clock.add(
        "G4",
        "note",
        said("The camera ran on another zone's time ({hours} h); corrected.", hours=f"{hours:+d}"),
    )
    _correct(clock, instant, 3600.0 * hours, 120.0)


def _say_agreement_of_place(clock: Clock, instant: datetime, switch: float, rest: float) -> None:
    """The wall clock was right by place and satellite; only the recorded offset was not."""
    clock.add(
        "G1",
        "supports",
        said(
            "Satellite time agrees within {difference} by the offset of the place.",
            difference=duration(max(rest, 1)),
        ),
    )
    clock.error_s = round(switch, 3)
    _correct(clock, instant, switch, 5.0)


def _correct(clock: Clock, instant: datetime, error: float, uncertainty: float) -> None:
    """Correct by a satellite time; the uncorrected time stays inside the bounds."""
    corrected = shifted(instant, -error)
    clock.corrected, clock.uncertainty_s = corrected, uncertainty
    clock.earliest = min(instant, shifted(corrected, -uncertainty))
    clock.latest = max(instant, shifted(corrected, uncertainty))
