"""Photos in a claim: the file's facts, and what people said about them."""

from __future__ import annotations

import datetime as dt
from typing import Literal, TypeAlias

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.record import record

PhotoSource: TypeAlias = Literal["folder", "card", "dropped", "watched_folder", "claim_file"]
PairingWay: TypeAlias = Literal["by_hand", "code", "tag_sequence", "time", "name", "serial"]
MarkingKind: TypeAlias = Literal["ring", "arrow", "box", "measure", "note", "redaction"]


@record
class Pairing:
    """This photo shows that kit line, at that count, for that finding."""

    line: str
    count: str | None = None
    finding: str | None = None
    way: PairingWay = "by_hand"
    reason: str = ""
    close_up: bool = False


@record
class Marking:
    """Drawn over the upright picture; points are fractions of its width and height."""

    kind: MarkingKind
    points: tuple[tuple[float, float], ...]
    text: str = ""


@record
class Photo:
    """One photo; the original is found by ``facts.sha256``."""

    id: str
    name: str
    """The file's own name as it came in."""
    path: str = ""
    """Relative to the claim file, where the original lies beside one."""
    facts: PhotoFacts
    source: PhotoSource = "folder"
    taken_in: dt.datetime | None = None
    """When it came into the library (computer's clock, UTC)."""
    file_modified: dt.datetime | None = None
    taken_by: str = ""
    count: str | None = None
    """The count it was taken at, where that is known before it is paired."""
    pairings: tuple[Pairing, ...] = ()
    markings: tuple[Marking, ...] = ()
    quarter_turns: int = 0
    """Turned clockwise by hand, beside the file's own orientation."""
    withhold_position: bool = True
    confirmed_by: str = ""
    """A person of the other side who confirmed that it was taken at the count."""
    confirmed_on: dt.date | None = None
    statement: str = ""
    """What the photographer says of it; recorded beside, never mixed in."""
    left_out: bool = False
    note: str = ""
    shown_code: str = ""
    """What a counter's code in the picture says; it counts only where the code was issued."""
    likeness: str = ""
    """16 hexadecimal digits by which pictures that look alike are found; empty: not made."""


@record
class ClockCorrection:
    """A picture of a trusted clock, and what it says of one camera's clock."""

    id: str
    make: str
    model: str
    serial: str = ""
    photo: str | None = None
    camera_time: dt.datetime
    """What the camera wrote: wall-clock time, without a zone."""
    reference_time: dt.datetime
    """What the trusted clock showed; aware."""
    reading_accuracy_s: int = 1
    reference: str = ""
    valid_from: dt.datetime | None = None
    valid_until: dt.datetime | None = None


@record
class IssuedCode:
    """One showing of the counter's code, to be photographed.

    The symbol changes every second.  What it says follows from this ``word`` and the
    second (:func:`ldapp.evidence.counter_code.code_at`), so one record proves every
    second of the showing, and nobody could know its codes before it began.
    """

    id: str
    word: str
    """Random letters, never shown themselves."""
    issued: dt.datetime
    """When the showing began (computer's clock, UTC)."""
    issued_by: str = ""
