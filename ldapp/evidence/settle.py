"""From a wall-clock time to an instant: offset, satellite time, reference photos."""

from __future__ import annotations

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.clock import Clock
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.offsets import find_offset
from ldapp.evidence.references import BodyError, reference_error
from ldapp.evidence.satellite import SatelliteTime, compare_satellite
from ldapp.evidence.times import EARLIEST_OFFSET, LATEST_OFFSET, Taken, shifted
from ldapp.evidence.zones import read_in_zone, zones_near
from ldapp.language import said


def settle_clock(facts: PhotoFacts, taken: Taken, context: VerifyContext) -> Clock:
    """Find offset, bounds and clock error of a taken time, with the findings on the way."""
    clock = Clock(taken)
    fix = facts.satellite
    position = None
    if fix and fix.latitude is not None and fix.longitude is not None:
        position = (fix.latitude, fix.longitude)
    zones = zones_near(*position) if position else ()
    if fix and not fix.usable:
        clock.add("G8", "note", said("The satellite time is not usable."))
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
    satellite = SatelliteTime.of(facts, taken)
    find_offset(clock, zones, satellite, context, reference)
    _bound(clock)
    if satellite is not None:
        compare_satellite(clock, satellite)
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
        said("The movie's clock field should hold UTC, but many devices write local time there."),
    )


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


def _apply_reference(clock: Clock, reference: BodyError) -> None:
    corrected = shifted(clock.taken.as_utc, -reference.apart_s)
    clock.reasons.extend(reference.reasons)
    clock.corrected, clock.uncertainty_s = corrected, reference.uncertainty_s
    clock.earliest = shifted(corrected, -reference.uncertainty_s)
    clock.latest = shifted(corrected, reference.uncertainty_s)
    if clock.instant is not None:
        clock.error_s = round((clock.instant - corrected).total_seconds(), 3)
