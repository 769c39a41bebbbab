"""What a photo file says about itself, and how far that can be trusted.

:class:`PhotoFacts` holds the file's own statements, raw and unjudged; it is made once,
when the file is read, and never changes.  :class:`PhotoVerdict` is the judgement over
them: one statement of time with its bounds, a standing, and the reasons in order of
strength.  Both are plain data for the claim file.

Local times are text in ISO 8601 without an offset (``2026-03-02T07:41:09.120``), because
a camera writes wall-clock time and digits behind the second that must not be rounded.
Instants are aware datetimes in UTC.
"""

from __future__ import annotations

from datetime import datetime
from typing import Literal, get_args

from ldapp.claim.record import record
from ldapp.language import marked

Standing = Literal["backed", "corrected", "camera_only", "open", "contradicted", "none"]
"""How far the time of a photo is supported, best first; see :data:`STANDING_SAYS`."""

Weight = Literal["supports", "note", "weakens", "undermines", "excludes"]
"""The strength of one finding."""

OffsetSource = Literal["tag", "place", "satellite", "given", "none"]
"""Where the offset from UTC comes from."""

DateState = Literal["ok", "blank", "zero", "unusual", "impossible", "unreadable"]
"""How a date field is written: in the standard form, left blank, all noughts, in another
readable form, a date that does not exist, or not to be read as a date."""

TakenFrom = Literal[
    "original", "movie", "xmp", "digitized", "changed", "movie_header", "satellite", "none"
]
"""Which field gave the time of taking."""

PreviewMatch = Literal["same", "turned", "differs", "unknown"]
"""How the camera's own small picture compares with the picture itself."""

InWindow = Literal["yes", "partly", "no", "unknown"]
"""Whether the whole interval of the time lies inside the window of the count."""

RuleCode = Literal[
    "T1", "T2", "T3", "T4", "T5", "T6", "T7", "T8", "T9", "T10", "T11", "T12",
    "O1", "O2", "O3", "O4", "O5", "O6", "O7",
    "G1", "G2", "G3", "G4", "G5", "G6", "G7", "G8", "G9",
    "E1", "E2", "E3", "E4", "E5", "E6", "E7", "E8", "E9", "E10", "E11", "E12", "E13", "E14",
    "N1", "N2", "N3", "N4",
    "S1", "S2", "S3", "S4",
    "F1", "F2",
    "R1", "R2", "R3",
    "C1", "C2", "C3",
    "I1", "I2",
    "W1", "W2",
]  # fmt: skip
"""The rules: T dates, O offsets, G satellite, E handling, N names, S sequence,
F file system, R reference photos, C content credentials, I intake, W persons."""

STANDINGS: tuple[Standing, ...] = get_args(Standing)
RULE_CODES: tuple[RuleCode, ...] = get_args(RuleCode)

STANDING_SAYS: dict[Standing, str] = {
    "backed": marked("backed by a second source"),
    "corrected": marked("corrected by a reference"),
    "camera_only": marked("camera's word alone"),
    "open": marked("open to question"),
    "contradicted": marked("contradicted"),
    "none": marked("no time of its own"),
}


@record
class RecordedTime:
    """One date field as the file holds it."""

    raw: str
    """The text as stored, up to the first NUL."""
    state: DateState
    local: str | None = None
    """``YYYY-MM-DDTHH:MM:SS`` where it can be read; without offset or digits."""
    digits: str = ""
    """Digits behind the second as written, without padding; ``070`` means .070 s."""
    offset_raw: str | None = None
    offset: str | None = None
    """``+HH:MM`` or ``-HH:MM`` where the recorded offset is well formed."""


@record
class SatelliteFix:
    """Satellite date, time and position; time in UTC as Exif defines it."""

    date_raw: str | None = None
    time_raw: str | None = None
    date: str | None = None
    """``YYYY-MM-DD`` where the raw date is well formed."""
    time: str | None = None
    """``HH:MM:SS`` with digits where all three rationals are defined."""
    usable: bool = True
    """False where date or time is present and malformed or all noughts."""
    latitude: float | None = None
    longitude: float | None = None
    """Degrees, north and east positive."""


@record
class HistoryStep:
    """One entry of an XMP edit history."""

    action: str
    when: str | None = None
    program: str | None = None


@record
class XmpFacts:
    """Dates and edits from an XMP packet, as written."""

    taken: str | None = None
    digitized: str | None = None
    changed: str | None = None
    metadata_changed: str | None = None
    creator_tool: str | None = None
    history: tuple[HistoryStep, ...] = ()


@record
class MovieFacts:
    """Times of a movie file."""

    header_seconds: int | None = None
    """``mvhd`` creation time: seconds since 1904-01-01 as stored; 0 was never set."""
    creation_date: str | None = None
    """The recording's start with its offset, as written in the movie's metadata keys."""
    duration_s: float | None = None


@record
class EmbeddedPreview:
    """Where the camera's own small JPEG sits, in bytes from the start of the file."""

    offset: int
    length: int


@record
class CredentialsCheck:
    """What a check of a file's content credentials (C2PA) found, without a network.

    ``trusted``: hashes and signature match and the signer is one that the desk trusts;
    ``matching``: they match, the signer is on no list here; ``broken``: a hash or the
    signature does not match; ``unclear``: the check could not be carried to its end.
    """

    outcome: Literal["trusted", "matching", "broken", "unclear"]
    signer: str = ""
    at: datetime | None = None
    """The time-stamp of the signature, aware; None where it has none that was verified."""


@record
class PhotoFacts:
    """What one file says, before anybody judges it.

    ``error`` is one sentence where the file could not be read as a photo or movie; then
    only name, size and hash are sure.  ``width`` and ``height`` are pixels as stored,
    before any turning; ``orientation`` is the Exif value 1 to 8.
    """

    file_name: str
    sha256: str
    bytes: int
    file_modified: datetime | None = None
    """The file system's time of the last change, UTC: that of the copy, not of the shot."""
    kind: str | None = None
    """Media type by the first bytes, never by the name."""
    width: int | None = None
    height: int | None = None
    orientation: int | None = None
    make: str | None = None
    model: str | None = None
    serial: str | None = None
    software: str | None = None
    editing_programs: tuple[str, ...] = ()
    """What the Exif 3.0 software fields other than the camera's firmware name."""
    user_comment: str | None = None
    exif_version: str | None = None
    byte_order: Literal["II", "MM"] | None = None
    taken: RecordedTime | None = None
    digitized: RecordedTime | None = None
    changed: RecordedTime | None = None
    satellite: SatelliteFix | None = None
    xmp: XmpFacts | None = None
    movie: MovieFacts | None = None
    pixel_width: int | None = None
    pixel_height: int | None = None
    """The size that the camera's data states."""
    has_maker_note: bool = False
    exif_segments: int = 0
    second_taken: str | None = None
    """The raw taken date of a second set of camera data, if there is one."""
    first_segment: str | None = None
    has_jfif: bool = False
    quantisation: str | None = None
    """SHA-256 of the JPEG quantisation tables, the first 16 hexadecimal digits."""
    complete: bool = True
    """False where the file breaks off or its structure is broken."""
    unusual_characters: bool = False
    """True where a text was neither ASCII nor UTF-8 and was read as Latin-1."""
    content_credentials: bool = False
    credentials: CredentialsCheck | None = None
    """None where there are none or where they were not checked."""
    preview: EmbeddedPreview | None = None
    preview_match: PreviewMatch | None = None
    """None where the two were not compared."""
    upright_by_container: bool = False
    """True for containers whose own properties turn the picture, so Exif must not."""
    derivative_of: str = ""
    """The SHA-256 of the original, where the file is a picture made from it for passing on;
    what is stated of times and devices was read from the original by whoever made it."""
    error: str | None = None


@record
class Reason:
    """One finding about a photo's time: which rule, how strong, one sentence."""

    code: RuleCode
    weight: Weight
    says: str


@record
class PhotoVerdict:
    """One statement of time for a photo, with its bounds and the reasons.

    ``taken_local`` is the wall-clock time as the camera wrote it, with the digits behind
    the second as written.  ``earliest`` and ``latest`` bound the instant; they lie apart
    where the offset is not known.  ``clock_error_s`` is camera minus true time in
    seconds; ``corrected_utc`` is given where an error of the clock is known.
    """

    standing: Standing
    reasons: tuple[Reason, ...]
    summary: str
    """The standing in one or two sentences for a person."""
    taken_local: str | None = None
    taken_from: TakenFrom = "none"
    offset: str | None = None
    offset_source: OffsetSource = "none"
    zone: str | None = None
    """The IANA zone of the photo's place, or the one that was given."""
    taken_utc: datetime | None = None
    earliest: datetime | None = None
    latest: datetime | None = None
    clock_error_s: float | None = None
    corrected_utc: datetime | None = None
    uncertainty_s: float | None = None
    satellite_utc: datetime | None = None
    position: tuple[float, float] | None = None
    """Latitude and longitude in degrees, north and east positive."""
    in_window: InWindow | None = None


@record
class ClockReference:
    """A photo of a known time, taken with the camera whose clock it checks.

    ``camera_local`` is what the camera wrote, ``reference`` the true instant;
    ``accuracy_s`` how exactly the reference could be read (1 s for the counter's code,
    60 s for a clock face without seconds).  ``says`` names the reference for a person.
    """

    make: str | None
    model: str | None
    serial: str | None = None
    camera_local: str
    reference: datetime
    accuracy_s: float
    says: str
