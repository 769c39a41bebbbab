"""The offset of a wall-clock time from UTC (rules O1 to O7).

In this order: the recorded offset, the place, the satellite time, the zone of the job.
"""

from __future__ import annotations

from datetime import datetime

from ldapp.claim.photo_facts import OffsetSource
from ldapp.evidence.clock import Clock
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.references import BodyError
from ldapp.evidence.satellite import SatelliteTime, same_second
from ldapp.evidence.times import (
    EARLIEST_OFFSET,
    LATEST_OFFSET,
    Taken,
    is_blank_offset,
    offset_minutes,
    shifted,
)
from ldapp.evidence.wording import utc_offset
from ldapp.evidence.zones import ZoneReading, read_in_zone
from ldapp.language import said


def find_offset(
    clock: Clock,
    zones: tuple[str, ...],
    satellite: SatelliteTime | None,
    context: VerifyContext,
    reference: BodyError | None,
) -> None:
    """Set offset, its source and zone, or the readings of an hour that came twice."""
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
            said(
                "The recorded offset “{recorded}” is no offset and is left aside.",
                recorded=taken.offset_raw.strip(),
            ),
        )
    if zones:
        _offset_of_zone(clock, zones[0], zones, satellite, "place")
        if clock.offset is not None:
            clock.add("O2", "note", said("Offset taken from the place: {zone}.", zone=clock.zone))
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
            said(
                "No time zone recorded; read as {zone}, the zone of the job, which is an "
                "assumption.",
                zone=context.zone,
            ),
        )
        return
    clock.add(
        "O3",
        "weakens",
        said("No time zone recorded; the moment is known only to within the zones in question."),
    )


def _check_against_place(clock: Clock, offset: int, zones: tuple[str, ...]) -> None:
    own = read_in_zone(zones[0], clock.taken.moment)
    known = {other for name in zones for other in read_in_zone(name, clock.taken.moment).offsets}
    if own.kind == "skipped" and offset in known:
        _say_skipped(clock, zones[0])
    elif offset in known:
        clock.add("O1", "note", said("The recorded offset fits the place ({zone}).", zone=zones[0]))
    elif min(abs(offset - other) for other in known) <= 60:
        clock.place_offset = min(known, key=lambda other: (abs(offset - other), other))
        clock.add(
            "O4",
            "weakens",
            said(
                "The recorded offset is an hour off for that place; probably the "
                "daylight-saving switch."
            ),
        )
    else:
        clock.add(
            "O5",
            "undermines",
            said(
                "The recorded offset ({recorded}) does not fit the place ({zone}, {of_place}).",
                recorded=utc_offset(offset),
                zone=zones[0],
                of_place=utc_offset(own.offsets[0]),
            ),
        )


def _say_skipped(clock: Clock, zone: str) -> None:
    clock.add(
        "O7",
        "weakens",
        said(
            "That hour did not exist in {zone}; the clock was not set to summer "
            "time, or the zone is wrong.",
            zone=zone,
        ),
    )


def _offset_of_zone(
    clock: Clock,
    zone: str,
    near: tuple[str, ...],
    satellite: SatelliteTime | None,
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
        clock.add("O6", "weakens", said("That hour came twice that night; either is possible."))
        return
    clock.offset, clock.source = chosen, source
    if reading.kind == "skipped":
        clock.readings = tuple(sorted(_instants(clock.taken, reading)))


def _instants(taken: Taken, reading: ZoneReading) -> tuple[datetime, ...]:
    return tuple(shifted(taken.as_utc, -60 * offset) for offset in reading.offsets)


def _fitting(
    moment: datetime, readings: list[ZoneReading], satellite: SatelliteTime | None
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


def _offset_of_satellite(clock: Clock, satellite: SatelliteTime, context: VerifyContext) -> bool:
    moment = clock.taken.moment
    known = read_in_zone(context.zone, moment).offsets if context.zone else ()
    near = satellite.near(moment, known[0] if known else 0)
    apart = near.apart(moment)
    if not 60 * EARLIEST_OFFSET - 900 <= apart <= 60 * LATEST_OFFSET + 900:
        return False
    if same_second(moment, near.instant) and 0 not in known:
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
