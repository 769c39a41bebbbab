"""Which offsets from UTC were in force at a place, by the IANA time zone database."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Final, Literal
from zoneinfo import ZoneInfo

NEAR_KM: Final = 50
"""A phone near a border may take the neighbour's zone."""

_EARTH_KM: Final = 6371.0088

HourKind = Literal["once", "repeated", "skipped"]


@dataclass(frozen=True, slots=True)
class ZoneReading:
    """A wall-clock time in a zone: its offsets in minutes, and how often it occurs.

    ``once`` has one offset; ``repeated`` two, the earlier instant first; ``skipped`` two,
    that before the change first (PEP 495, fold 0 and 1).
    """

    offsets: tuple[int, ...]
    kind: HourKind


@lru_cache(maxsize=1024)
def zone_known(name: str) -> bool:
    """Say whether the IANA database has a zone of this name."""
    try:
        ZoneInfo(name)
    except (OSError, ValueError, KeyError):
        # A well-formed name that is not there is a KeyError (ZoneInfoNotFoundError).
        return False
    return True


@lru_cache(maxsize=256)
def _zone(name: str) -> ZoneInfo:
    return ZoneInfo(name)


def read_in_zone(name: str, local: datetime) -> ZoneReading:
    """Return the offsets of a wall-clock time (without zone) in a zone."""
    zone = _zone(name)
    first, second = (_minutes(local.replace(tzinfo=zone, fold=fold)) for fold in (0, 1))
    if first == second:
        return ZoneReading((first,), "once")
    back = (local - timedelta(minutes=first)).replace(tzinfo=UTC).astimezone(zone)
    same = back.replace(tzinfo=None) == local
    return ZoneReading((first, second), "repeated" if same else "skipped")


def _minutes(moment: datetime) -> int:
    offset = moment.utcoffset() or timedelta()
    return round(offset.total_seconds() / 60)


@lru_cache(maxsize=4096)
def _zones_at(latitude: float, longitude: float) -> tuple[str, ...]:
    import tzfpy  # noqa: PLC0415 - half a tenth of a second at first use

    main = tzfpy.get_tz(longitude, latitude)
    every = [main, *tzfpy.get_tzs(longitude, latitude)]
    return tuple(dict.fromkeys(name for name in every if name and zone_known(name)))


@lru_cache(maxsize=4096)
def zones_near(latitude: float, longitude: float) -> tuple[str, ...]:
    """Return the zones of a place, its own first, then those within 50 km.

    The surroundings are looked at in eight directions, half way and all the way.
    """
    found = dict.fromkeys(_zones_at(round(latitude, 4), round(longitude, 4)))
    for distance in (NEAR_KM / 2, NEAR_KM):
        for step in range(8):
            angle = step * math.pi / 4
            north = math.degrees(distance / _EARTH_KM) * math.cos(angle)
            shrink = max(math.cos(math.radians(latitude)), 0.01)
            east = math.degrees(distance / _EARTH_KM) * math.sin(angle) / shrink
            around = max(-90.0, min(90.0, latitude + north))
            found |= dict.fromkeys(_zones_at(around, (longitude + east + 180) % 360 - 180))
    return tuple(found)


def distance_km(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return the great-circle distance of two positions in degrees (haversine)."""
    north, east = math.radians(one[0]), math.radians(one[1])
    north2, east2 = math.radians(other[0]), math.radians(other[1])
    half = (
        math.sin((north2 - north) / 2) ** 2
        + math.cos(north) * math.cos(north2) * math.sin((east2 - east) / 2) ** 2
    )
    return 2 * _EARTH_KM * math.asin(min(1.0, math.sqrt(half)))
