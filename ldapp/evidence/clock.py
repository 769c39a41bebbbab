"""From a wall-clock time to an instant: offset, satellite time, reference photos.

Order of offsets: the recorded one, the place, the satellite time, the job's zone.  The
satellite comparison uses the real offset of the place; rounding to quarter hours alone
misjudges every clock that is more than 7.5 minutes off.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final

from ldapp.claim.photo_facts import OffsetSource, PhotoFacts, Reason, RuleCode, Weight
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.references import BodyError, reference_error
from ldapp.evidence.times import (
    EARLIEST_OFFSET,
    LATEST_OFFSET,
    Taken,
    is_blank_offset,
    offset_minutes,
    satellite_instant,
    shifted,
)
from ldapp.evidence.wording import duration, utc_offset
from ldapp.evidence.zones import ZoneReading, read_in_zone, zones_near

_WEEK_FAULT: Final = 7168 * 86400
"""1,024 weeks: after these the satellite week count begins again."""

_DAY: Final = 86400.0


@dataclass(slots=True)
class Clock:
    """A taken time on the way to an instant.  Offsets in minutes, errors in seconds."""

    taken: Taken
    offset: int | None = None
    source: OffsetSource = "none"
    zone: str | None = None
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


def settle_clock(facts: PhotoFacts, taken: Taken, context: VerifyContext) -> Clock:
    """Find offset, bounds and clock error of a taken time, with the findings on the way."""
    clock = Clock(taken)
    fix = facts.satellite
    position = None
    if fix and fix.latitude is not None and fix.longitude is not None:
        position = (fix.latitude, fix.longitude)
    zones = zones_near(*position) if position else ()
    if fix and not fix.usable:
        clock.add("G8", "note", "The satellite time is not usable.")
    if taken.source == "movie_header":
        _settle_movie_header(clock, zones, context)
        return clock
    reference = reference_error(facts, taken, context.references)
    if taken.source == "satellite":
        clock.satellite = taken.instant
        clock.offset, clock.source = 0, "satellite"
        clock.zone = zones[0] if zones else None
        clock.earliest = clock.latest = taken.instant
        return clock
    satellite = _Satellite.of(facts, taken)
    _find_offset(clock, zones, satellite, context, reference)
    _bound(clock)
    if satellite is not None:
        _compare_satellite(clock, satellite)
    if reference is not None:
        _apply_reference(clock, reference)
    return clock


def _settle_movie_header(clock: Clock, zones: tuple[str, ...], context: VerifyContext) -> None:
    name = zones[0] if zones else context.zone
    clock.zone = name
    shifts = [EARLIEST_OFFSET, LATEST_OFFSET]
    if name:
        shifts = [0, *read_in_zone(name, clock.taken.moment).offsets]
    bounds = [shifted(clock.taken.as_utc, -60 * shift) for shift in shifts]
    clock.earliest, clock.latest = min(bounds), max(bounds)
    clock.add(
        "O3",
        "weakens",
        "The movie's clock field should hold UTC, but many devices write local time there.",
    )


@dataclass(frozen=True, slots=True)
class _Satellite:
    """The satellite time, with a date that was read, repaired or assumed."""

    instant: datetime
    assumed: bool = False
    week_fault: bool = False

    @classmethod
    def of(cls, facts: PhotoFacts, taken: Taken) -> _Satellite | None:
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

    def near(self, local: datetime, expected: int) -> _Satellite:
        """Choose the day that brings local minus satellite nearest to an offset."""
        if not (self.assumed or self.week_fault):
            return self
        wanted = shifted(local.replace(tzinfo=UTC), -60 * expected)
        days = round((wanted - self.instant).total_seconds() / _DAY)
        return _Satellite(shifted(self.instant, days * _DAY), self.assumed, self.week_fault)

    def apart(self, local: datetime) -> float:
        """Return wall clock minus satellite time in seconds."""
        return (local.replace(tzinfo=UTC) - self.instant).total_seconds()


def _find_offset(
    clock: Clock,
    zones: tuple[str, ...],
    satellite: _Satellite | None,
    context: VerifyContext,
    reference: BodyError | None,
) -> None:
    taken = clock.taken
    clock.zone = zones[0] if zones else context.zone
    if taken.offset is not None:
        clock.offset, clock.source = offset_minutes(taken.offset), "tag"
        if zones:
            _check_against_place(clock, clock.offset, zones)
        return
    if taken.offset_raw is not None and not is_blank_offset(taken.offset_raw):
        clock.add(
            "O5",
            "note",
            f"The recorded offset \u201c{taken.offset_raw.strip()}\u201d is no offset and is left "
            "aside.",
        )
    if zones:
        _offset_of_zone(clock, zones[0], zones, satellite, "place")
        if clock.offset is not None:
            clock.add("O2", "note", f"Offset taken from the place: {clock.zone}.")
        return
    if satellite is not None and _offset_of_satellite(clock, satellite, context):
        return
    if reference is not None:
        return
    if context.zone is not None:
        _offset_of_zone(clock, context.zone, (context.zone,), None, "given")
        clock.add(
            "O3",
            "weakens",
            f"No time zone recorded; read as {context.zone}, the zone of the job, "
            "which is an assumption.",
        )
        return
    clock.add(
        "O3",
        "weakens",
        "No time zone recorded; the moment is known only to within the zones in question.",
    )


def _check_against_place(clock: Clock, offset: int, zones: tuple[str, ...]) -> None:
    own = read_in_zone(zones[0], clock.taken.moment)
    known = {other for name in zones for other in read_in_zone(name, clock.taken.moment).offsets}
    if own.kind == "skipped" and offset in known:
        _say_skipped(clock, zones[0])
    elif offset in known:
        clock.add("O1", "note", f"The recorded offset fits the place ({zones[0]}).")
    elif min(abs(offset - other) for other in known) <= 60:
        clock.add(
            "O4",
            "weakens",
            "The recorded offset is an hour off for that place; probably the "
            "daylight-saving switch.",
        )
    else:
        clock.add(
            "O5",
            "undermines",
            f"The recorded offset ({utc_offset(offset)}) does not fit the place "
            f"({zones[0]}, {utc_offset(own.offsets[0])}).",
        )


def _say_skipped(clock: Clock, zone: str) -> None:
    clock.add(
        "O7",
        "weakens",
        f"That hour did not exist in {zone}; the clock was not set to summer time, or the "
        "zone is wrong.",
    )


def _offset_of_zone(
    clock: Clock,
    zone: str,
    near: tuple[str, ...],
    satellite: _Satellite | None,
    source: OffsetSource,
) -> None:
    """Take the offset of a zone; a repeated hour is decided by satellite or left open."""
    moment = clock.taken.moment
    reading = read_in_zone(zone, moment)
    chosen: int | None = reading.offsets[0]
    fitting = _fitting(moment, [reading, *(read_in_zone(n, moment) for n in near)], satellite)
    if reading.kind == "repeated":
        chosen = fitting if fitting in reading.offsets else None
    elif fitting is not None and fitting not in reading.offsets:
        # Near a border the satellite time says which of the zones the clock was on.
        chosen = fitting
        clock.zone = next(n for n in near if fitting in read_in_zone(n, moment).offsets)
    if reading.kind == "skipped":
        _say_skipped(clock, zone)
    if chosen is None:
        clock.readings = _instants(clock.taken, reading)
        clock.add("O6", "weakens", "That hour came twice that night; either is possible.")
        return
    clock.offset, clock.source = chosen, source
    if reading.kind == "skipped":
        clock.readings = tuple(sorted(_instants(clock.taken, reading)))


def _instants(taken: Taken, reading: ZoneReading) -> tuple[datetime, ...]:
    return tuple(shifted(taken.as_utc, -60 * offset) for offset in reading.offsets)


def _fitting(
    moment: datetime, readings: list[ZoneReading], satellite: _Satellite | None
) -> int | None:
    """Return the offset that brings wall clock and satellite within two minutes."""
    if satellite is None:
        return None
    for reading in readings:
        for offset in reading.offsets:
            apart = satellite.near(moment, offset).apart(moment)
            if abs(apart - 60 * offset) <= 120:
                return offset
    return None


def _offset_of_satellite(clock: Clock, satellite: _Satellite, context: VerifyContext) -> bool:
    moment = clock.taken.moment
    known = read_in_zone(context.zone, moment).offsets if context.zone else ()
    near = satellite.near(moment, known[0] if known else 0)
    apart = near.apart(moment)
    if not 60 * EARLIEST_OFFSET - 900 <= apart <= 60 * LATEST_OFFSET + 900:
        return False
    if _same_second(moment, near.instant) and 0 not in known:
        # Software that writes local time as satellite time leaves exactly this.
        return False
    for offset in known:
        if abs(apart - 60 * offset) <= 900:
            clock.offset, clock.source = offset, "satellite"
            return True
    rounded = 15 * round(apart / 900)
    clock.offset = max(EARLIEST_OFFSET, min(LATEST_OFFSET, rounded))
    clock.source = "satellite"
    return True


def _same_second(local: datetime, satellite: datetime) -> bool:
    return local.replace(microsecond=0, tzinfo=UTC) == satellite.replace(microsecond=0)


def _bound(clock: Clock) -> None:
    """Set readings and bounds from the offset, or from all offsets there are."""
    wall = clock.taken.as_utc
    if clock.offset is None and not clock.readings:
        clock.earliest = shifted(wall, -60 * LATEST_OFFSET)
        clock.latest = shifted(wall, -60 * EARLIEST_OFFSET)
        return
    single = () if clock.offset is None else (shifted(wall, -60 * clock.offset),)
    every = clock.readings or single
    clock.earliest, clock.latest = every[0], every[-1]
    clock.readings = single or every


def _compare_satellite(clock: Clock, satellite: _Satellite) -> None:
    moment = clock.taken.moment
    written = satellite.instant
    satellite = satellite.near(moment, clock.offset if clock.offset is not None else 0)
    # A missing date is assumed; a wrong one stays as it was written, for anybody to see.
    clock.satellite = satellite.instant if satellite.assumed else written
    if satellite.week_fault:
        clock.add(
            "G5",
            "note",
            "A known satellite-date fault (19.6 years off); only the time of day is used.",
        )
    if _same_second(moment, satellite.instant) and clock.offset != 0:
        clock.add(
            "G7",
            "note",
            "The satellite time was written in local time by software; it is no second source.",
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
    clock.add("G6", "undermines", f"Camera date and satellite date are {duration(error)} apart.")


def _say_old_position(clock: Clock, error: float, satellite: _Satellite) -> None:
    clock.add(
        "G3",
        "weakens",
        f"The position was an old one, or the clock is off by {duration(error)}"
        f"{_assumed(satellite)}.",
    )


def _assumed(satellite: _Satellite) -> str:
    if not satellite.assumed:
        return ""
    return " (the satellite date is missing; the day that fits was assumed)"


def _judge_difference(clock: Clock, error: float, satellite: _Satellite) -> None:
    """Judge the camera's instant minus the satellite's, in seconds."""
    size, instant = abs(error), clock.instant
    hours = round(error / 3600)
    if size <= 120:
        clock.error_s = round(error, 3)
        _say_agreement(clock, size, satellite)
    elif size <= 900:
        clock.error_s = round(error, 3)
        speed = "fast" if error > 0 else "slow"
        clock.add(
            "G2",
            "note",
            f"Camera clock {duration(size)} {speed} against satellite time (or the position "
            f"was {duration(size)} old){_assumed(satellite)}.",
        )
        if instant is not None:
            _correct(clock, instant, error, 5.0)
    elif size > _DAY:
        _say_days_apart(clock, error)
    elif instant is not None and hours and abs(error - 3600 * hours) <= 120:
        _judge_whole_hours(clock, instant, error, hours)
    else:
        _say_old_position(clock, error, satellite)


def _say_agreement(clock: Clock, size: float, satellite: _Satellite) -> None:
    note = _assumed(satellite)
    if clock.source == "satellite":
        # The offset came from the same source, so this is no second one.
        says = f"Satellite time agrees to a whole quarter of an hour{note}; "
        clock.add("G1", "note", says + "the offset was taken from it.")
        return
    clock.add("G1", "supports", f"Satellite time agrees within {duration(max(size, 1))}{note}.")


def _judge_whole_hours(clock: Clock, instant: datetime, error: float, hours: int) -> None:
    other = shifted(instant, -3600 * hours)
    if clock.source == "tag":
        clock.add("G4", "weakens", f"The camera ran on another zone's time ({hours:+d} h).")
        clock.error_s = round(error, 3)
        clock.earliest, clock.latest = min(instant, other), max(instant, other)
        return
    if abs((other - clock.taken.as_utc).total_seconds()) <= 120:
        clock.add(
            "G4",
            "note",
            "Camera time and satellite time are the same although the place is not on UTC: "
            "the camera ran on UTC, or the satellite time was written in local time.",
        )
        clock.earliest, clock.latest = min(instant, other), max(instant, other)
        return
    clock.error_s = round(error, 3)
    clock.add("G4", "note", f"The camera ran on another zone's time ({hours:+d} h); corrected.")
    _correct(clock, instant, 3600.0 * hours, 120.0)


def _correct(clock: Clock, instant: datetime, error: float, uncertainty: float) -> None:
    """Correct by a satellite time; the uncorrected time stays inside the bounds."""
    corrected = shifted(instant, -error)
    clock.corrected, clock.uncertainty_s = corrected, uncertainty
    clock.earliest = min(instant, shifted(corrected, -uncertainty))
    clock.latest = max(instant, shifted(corrected, uncertainty))


def _apply_reference(clock: Clock, reference: BodyError) -> None:
    corrected = shifted(clock.taken.as_utc, -reference.apart_s)
    clock.reasons.extend(reference.reasons)
    clock.corrected, clock.uncertainty_s = corrected, reference.uncertainty_s
    clock.earliest = shifted(corrected, -reference.uncertainty_s)
    clock.latest = shifted(corrected, reference.uncertainty_s)
    if clock.instant is not None:
        clock.error_s = round((clock.instant - corrected).total_seconds(), 3)
