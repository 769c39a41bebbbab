"""Reading dates as cameras write them, and choosing the one that says when.

Exif dates are wall-clock times without a zone (CIPA DC-008, tags 0x9003, 0x9004,
0x0132).  They are handled as text and as datetimes without a zone; only an offset makes
an instant of them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import Final

from ldapp.claim.photo_facts import PhotoFacts, RecordedTime, TakenFrom
from ldapp.evidence.programs import editors_named

_STANDARD: Final = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)\Z")
_READABLE: Final = re.compile(
    r"\s*(\d{4})[-/:.](\d{1,2})[-/:.](\d{1,2})(?:[T ]\s*)(\d{1,2}):(\d\d)(?::(\d\d)(?:\.(\d+))?)?"
    r"\s*(?:Z|[+-]\d\d:?\d\d)?\s*\Z"
)
_OFFSET: Final = re.compile(r"([+-])(\d\d):([0-5]\d)\Z")
_DIGITS: Final = re.compile(r"\s*(\d+)")
_XMP: Final = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)(?::(\d\d)(?:\.(\d+))?)?(Z|[+-]\d\d:?\d\d)?\Z"
)

PLACEHOLDER: Final = "2002-12-08T12:00:00"
"""What some phones write as the digitized date of every picture."""

MOVIE_EPOCH: Final = datetime(1904, 1, 1, tzinfo=UTC)
UNIX_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
EARLIEST_OFFSET: Final = -12 * 60
LATEST_OFFSET: Final = 14 * 60


def read_date(raw: str, digits: str | None = None, offset: str | None = None) -> RecordedTime:
    """Judge how one date field is written and read it; ``raw`` keeps its blanks."""
    text = raw.rstrip()
    offset_text = None if offset is None else offset.rstrip("\0")
    blank = RecordedTime(
        raw=raw,
        state="blank",
        offset_raw=offset_text,
        offset=None if offset_text is None else read_offset(offset_text),
    )
    written = _DIGITS.match(digits or "")
    fraction = written[1] if written else ""
    if not text.strip(" :"):
        return blank
    if not re.search(r"[1-9]", text) and re.search(r"\d", text):
        return replace(blank, state="zero")
    match, standard = _STANDARD.match(text), True
    if match is None:
        match, standard = _READABLE.match(text), False
    if match is None:
        return replace(blank, state="unreadable")
    year, month, day, hour, minute = match.groups()[:5]
    second = match[6] or "00"
    local = f"{year}-{month:0>2}-{day:0>2}T{hour:0>2}:{minute}:{second}"
    if local_datetime(local) is None:
        return replace(blank, state="impossible")
    if not standard and not fraction:
        fraction = match[7] or ""
    return replace(blank, state="ok" if standard else "unusual", local=local, digits=fraction)


def read_offset(text: str) -> str | None:
    """Return a well-formed offset between -12:00 and +14:00, else None."""
    match = _OFFSET.match(text.strip())
    if match is None:
        return None
    minutes = offset_minutes(text.strip())
    return text.strip() if EARLIEST_OFFSET <= minutes <= LATEST_OFFSET else None


def is_blank_offset(text: str) -> bool:
    """Say whether an offset field says "unknown": blanks, the colon kept or not."""
    return not text.strip(" :\0")


def offset_minutes(offset: str) -> int:
    """Return ``+HH:MM`` as minutes east of UTC."""
    hours, minutes = offset[1:].split(":")
    return (int(hours) * 60 + int(minutes)) * (-1 if offset[0] == "-" else 1)


def offset_text(minutes: int) -> str:
    """Return minutes east of UTC as ``+HH:MM``."""
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def local_datetime(local: str, digits: str = "") -> datetime | None:
    """Return a wall-clock time without zone; None if there is no such time.

    A second 60 is legal (a leap second) and becomes the first of the next minute.
    Digits beyond the microsecond are dropped.
    """
    leap = local.endswith(":60")
    try:
        moment = datetime.fromisoformat(local[:-2] + "59" if leap else local)
        moment += timedelta(seconds=1 if leap else 0)
    except (ValueError, OverflowError):
        return None
    return moment.replace(microsecond=int(digits[:6].ljust(6, "0"))) if digits else moment


def shifted(moment: datetime, seconds: float) -> datetime:
    """Return an instant moved; it stops at the ends of the calendar."""
    try:
        return moment + timedelta(seconds=seconds)
    except OverflowError:
        edge = datetime.max.replace(tzinfo=UTC)
        return edge if seconds > 0 else datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class XmpTime:
    """A date from XMP: wall-clock time, digits, and the offset that stood beside it."""

    local: str
    digits: str
    offset: str | None
    moment: datetime
    """The wall-clock time, without zone."""


def read_xmp_time(text: str | None) -> XmpTime | None:
    """Read an XMP date that goes down to the minute at least; None for anything else."""
    match = _XMP.match((text or "").strip())
    if match is None:
        return None
    local = f"{match[1]}-{match[2]}-{match[3]}T{match[4]}:{match[5]}:{match[6] or '00'}"
    moment = local_datetime(local, match[7] or "")
    if moment is None:
        return None
    zone = match[8]
    if zone == "Z":
        zone = "+00:00"
    elif zone and ":" not in zone:
        zone = f"{zone[:3]}:{zone[3:]}"
    return XmpTime(local, match[7] or "", read_offset(zone) if zone else None, moment)


def movie_header_time(seconds: int | None, latest: datetime) -> datetime | None:
    """Return the instant of an ``mvhd`` creation time; None where it was never set.

    A value that is plausible only when counted from 1970 is a writer's error and counts
    as not set.  Plausible is from 1995 to ``latest``.
    """
    if not seconds or seconds > 400 * 366 * 86400:
        return None
    moment = MOVIE_EPOCH + timedelta(seconds=seconds)
    if moment.year < 1995 and UNIX_EPOCH + timedelta(seconds=seconds) <= latest:
        return None
    return moment


@dataclass(frozen=True, slots=True)
class Taken:
    """The chosen time: wall clock as written, and what the file says of its offset."""

    source: TakenFrom
    local: str
    digits: str
    moment: datetime
    """The wall-clock time, without zone."""
    offset: str | None = None
    offset_raw: str | None = None
    instant: datetime | None = None
    """The instant where the field is one by its standard (satellite, movie header)."""

    @property
    def as_utc(self) -> datetime:
        """The wall-clock time read as if it were UTC."""
        return self.moment.replace(tzinfo=UTC)

    @property
    def text(self) -> str:
        """The wall-clock time with the digits as written."""
        return f"{self.local}.{self.digits}" if self.digits else self.local


def _of_field(source: TakenFrom, field: RecordedTime | None) -> Taken | None:
    if field is None or field.local is None:
        return None
    moment = local_datetime(field.local, field.digits)
    taken = partial(Taken, source, field.local, field.digits)
    return None if moment is None else taken(moment, field.offset, field.offset_raw)


def _of_instant(source: TakenFrom, instant: datetime, digits: str = "") -> Taken:
    moment = instant.replace(tzinfo=None)
    local = moment.replace(microsecond=0).isoformat()
    offset = "+00:00" if source == "satellite" else None
    return Taken(source, local, digits, moment, offset, offset, instant)


def choose_taken(facts: PhotoFacts, now: datetime) -> Taken | None:
    """Choose the field that says when the picture was taken; None if there is none.

    In this order: the original date; the movie's start; the taken date of XMP; the
    digitized date unless a scanner wrote it; the date of change of an untouched camera
    file; the movie's header; satellite date and time alone.
    """
    if taken := _of_field("original", facts.taken):
        return taken
    if facts.movie and (start := read_xmp_time(facts.movie.creation_date)):
        return Taken("movie", start.local, start.digits, start.moment, start.offset, start.offset)
    if facts.xmp and (written := read_xmp_time(facts.xmp.taken)):
        # The offset beside an XMP date is often that of the computer: it is not used.
        return Taken("xmp", written.local, written.digits, written.moment)
    digitized = _of_field("digitized", facts.digitized)
    if digitized and digitized.local != PLACEHOLDER and not names_a_scanner(facts):
        return digitized
    if facts.make and facts.model and not editors_named(facts):
        changed = _of_field("changed", facts.changed)
        if changed:
            return changed
    if facts.movie and (instant := movie_header_time(facts.movie.header_seconds, now)):
        return _of_instant("movie_header", instant)
    fix = facts.satellite
    if fix and fix.date and fix.time and fix.usable:
        instant = satellite_instant(fix.date, fix.time)
        if instant is not None:
            return _of_instant("satellite", instant, fix.time.partition(".")[2])
    return None


def satellite_instant(date: str, time: str) -> datetime | None:
    """Return a satellite date and time as an instant."""
    local, _, digits = f"{date}T{time}".partition(".")
    moment = local_datetime(local, digits)
    return None if moment is None else moment.replace(tzinfo=UTC)


_SCANNERS: Final = re.compile(r"scan|film|\bSP-\d|\bMFC\b", re.IGNORECASE)


def names_a_scanner(facts: PhotoFacts) -> bool:
    """Say whether maker, model or program speak of a scanner."""
    return any(word and _SCANNERS.search(word) for word in (facts.model, facts.software) if word)
