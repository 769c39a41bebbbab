"""One photo file to one record of facts.  Never raises for a bad file."""

from __future__ import annotations

import hashlib
import logging
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Final

from ldapp.claim.photo_facts import (
    EmbeddedPreview,
    MovieFacts,
    PhotoFacts,
    RecordedTime,
    SatelliteFix,
)
from ldapp.evidence.containers import read_container
from ldapp.evidence.exif_block import ByteOrder, Directory, TiffBlock, decode_text
from ldapp.evidence.found import CameraData, Found, Place
from ldapp.evidence.source import OpenPhoto
from ldapp.evidence.times import local_datetime, read_date
from ldapp.evidence.xmp import read_xmp
from ldapp.language import said

_log = logging.getLogger(__name__)

_NOTHING_HASH: Final = hashlib.sha256(b"").hexdigest()
_EDITING_FIELDS: Final = (0xA438, 0xA43A, 0xA43B, 0xA43C)


def read_photo(path: Path, called: str = "", sha256: str = "") -> PhotoFacts:
    """Read what a file says about itself, without opening the picture.

    ``called`` is the file's own name, where ``path`` is a copy under another one, and
    ``sha256`` its hash, where it was just taken.  A file
    that cannot be read, or that is no photo or movie, comes back with one sentence in
    ``error``; nothing is raised for it.  The hash is taken first.
    """
    name = printable_name(called or path.name)
    try:
        with OpenPhoto(path, sha256) as photo:
            base = PhotoFacts(
                file_name=name,
                sha256=photo.sha256,
                bytes=photo.size,
                file_modified=photo.modified,
            )
            return _interpret(photo, base)
    except OSError as error:
        _log.info("%s could not be read: %s", path, error)
        return PhotoFacts(
            file_name=name,
            sha256=_NOTHING_HASH,
            bytes=0,
            complete=False,
            error=said(
                "{name} could not be read ({reason}). Check the file or the card and try again.",
                name=name,
                reason=error.strerror or str(error),
            ),
        )


def printable_name(name: str) -> str:
    """Return a file's name as text that can be written anywhere.

    Bytes of a name that are no UTF-8 become the replacement character; the rest of the
    name stays as it is.
    """
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _interpret(photo: OpenPhoto, base: PhotoFacts) -> PhotoFacts:
    if photo.size == 0:
        return _refused(
            base, said("{name} is empty. Copy it from the camera again.", name=base.file_name)
        )
    found = read_container(photo)
    if found is None:
        return _refused(
            base,
            said(
                "{name} is not a photo or movie: its first bytes are those of no picture "
                "format. Choose the camera's own file.",
                name=base.file_name,
            ),
        )
    return _facts(base, found)


def _refused(base: PhotoFacts, says: str) -> PhotoFacts:
    return replace(base, complete=False, error=says)


def _facts(base: PhotoFacts, found: Found) -> PhotoFacts:
    camera = _Reading(found.cameras)
    xmp = read_xmp(found.xmp) if found.xmp else None
    position = camera.position() or found.movie_position
    satellite = camera.satellite(position)
    movie = None
    if found.is_movie:
        movie = MovieFacts(
            header_seconds=found.movie_seconds,
            creation_date=found.movie_creation_date or found.movie_content_date,
            duration_s=found.movie_duration_s,
        )
    sizes = found.width, found.height
    return replace(
        base,
        kind=found.kind,
        width=sizes[0] or camera.number("main", 0x0100),
        height=sizes[1] or camera.number("main", 0x0101),
        orientation=camera.orientation(),
        make=camera.text("main", 0x010F) or found.movie_make,
        model=camera.text("main", 0x0110) or found.movie_model,
        serial=camera.text("exif", 0xA431) or camera.text("main", 0xC62F),
        software=camera.text("main", 0x0131) or found.movie_software,
        editing_programs=tuple(
            text for tag in _EDITING_FIELDS if (text := camera.text("exif", tag))
        ),
        user_comment=camera.comment(),
        exif_version=camera.version(),
        byte_order=camera.order(),
        taken=camera.date("exif", 0x9003, 0x9291, 0x9011),
        digitized=camera.date("exif", 0x9004, 0x9292, 0x9012),
        changed=camera.date("main", 0x0132, 0x9290, 0x9010),
        satellite=satellite,
        xmp=xmp,
        movie=movie,
        pixel_width=camera.number("exif", 0xA002),
        pixel_height=camera.number("exif", 0xA003),
        has_maker_note=camera.has("exif", 0x927C),
        exif_segments=found.exif_segments,
        second_taken=_second_taken(found.cameras),
        first_segment=found.first_segment,
        has_jfif=found.has_jfif,
        quantisation=found.quantisation,
        complete=found.complete,
        unusual_characters=camera.odd_text(),
        content_credentials=found.content_credentials,
        preview=_shown_by(found) or camera.preview(base.bytes),
        upright_by_container=found.upright_by_container,
    )


def _shown_by(found: Found) -> EmbeddedPreview | None:
    if found.jpeg_inside is None:
        return None
    offset, length = found.jpeg_inside
    return EmbeddedPreview(offset=offset, length=length)


def _second_taken(cameras: list[CameraData]) -> str | None:
    for camera in cameras[1:]:
        if camera.exif is not None:
            block, directory = camera.exif
            if raw := block.raw_text(directory, 0x9003):
                return raw
    return None


class _Reading:
    """The first set of camera data, asked for single values."""

    def __init__(self, cameras: list[CameraData]) -> None:
        self._camera = cameras[0] if cameras else CameraData()

    def _place(self, name: str) -> Place | None:
        place: Place | None = getattr(self._camera, name)
        return place

    def text(self, name: str, tag: int) -> str | None:
        place = self._place(name)
        return (place[0].text(place[1], tag) or None) if place else None

    def number(self, name: str, tag: int) -> int | None:
        place = self._place(name)
        return place[0].integer(place[1], tag) if place else None

    def has(self, name: str, tag: int) -> bool:
        place = self._place(name)
        return place is not None and tag in place[1]

    def orientation(self) -> int | None:
        value = self.number("main", 0x0112)
        return value if value is not None and 1 <= value <= 8 else None

    def date(self, name: str, tag: int, digits: int, offset: int) -> RecordedTime | None:
        place = self._place(name)
        raw = place[0].raw_text(place[1], tag) if place else None
        if raw is None and name == "exif" and (main := self._place("main")):
            # Raw files in the style of TIFF/EP keep the original date in the main directory.
            raw = main[0].raw_text(main[1], tag)
        if raw is None:
            return None
        exif = self._place("exif")
        if exif is None:
            return read_date(raw)
        return read_date(raw, exif[0].raw_text(exif[1], digits), exif[0].raw_text(exif[1], offset))

    def comment(self) -> str | None:
        """Return the user comment without its eight bytes of character code."""
        place = self._place("exif")
        entry = place[1].get(0x9286) if place else None
        if place is None or entry is None or entry.kind != 7:
            return None
        body = place[0].bytes_of(entry, 1024)
        if body[:8] == b"UNICODE\0":
            codec = "utf-16-le" if place[0].order == "II" else "utf-16-be"
            return body[8:].decode(codec, "replace").strip("\0 ") or None
        text, _ = decode_text(body[8:])
        return text.strip() or None

    def version(self) -> str | None:
        place = self._place("exif")
        entry = place[1].get(0x9000) if place else None
        if place is None or entry is None:
            return None
        text, _ = decode_text(place[0].bytes_of(entry, 4))
        return text if re.fullmatch(r"\d{4}", text) else None

    def order(self) -> ByteOrder | None:
        place = self._place("main") or self._place("exif")
        return place[0].order if place else None

    def odd_text(self) -> bool:
        return any(block.odd_text for block, _ in self._camera.places())

    def preview(self, size: int) -> EmbeddedPreview | None:
        place = self._camera.preview
        if place is None or self._camera.starts_at is None:
            return None
        offset = place[0].integer(place[1], 0x0201)
        length = place[0].integer(place[1], 0x0202)
        if not offset or not length or offset < 0 or length < 0:
            return None
        offset += self._camera.starts_at
        return EmbeddedPreview(offset=offset, length=length) if offset + length <= size else None

    def position(self) -> tuple[float, float] | None:
        place = self._camera.satellite
        if place is None:
            return None
        block, directory = place
        latitude = _degrees(block, directory, 2, 1, "S", 90)
        longitude = _degrees(block, directory, 4, 3, "W", 180)
        if latitude is None or longitude is None:
            return None
        # Both nought is a place in the sea and what unset fields read as.
        return (latitude, longitude) if (latitude or longitude) else None

    def satellite(self, position: tuple[float, float] | None) -> SatelliteFix | None:
        date_raw = time_raw = date = time = None
        usable = True
        if place := self._camera.satellite:
            block, directory = place
            date_raw = block.raw_text(directory, 0x1D)
            if date_raw is not None:
                date = _satellite_date(date_raw)
                usable = date is not None or not date_raw.strip(" :")
            if 7 in directory:
                numbers = block.rationals(directory, 7)
                time = _satellite_time(numbers)
                time_raw = " ".join(str(number) for number in numbers) or "undefined"
                usable = usable and time is not None
        if position is None and date_raw is None and time_raw is None:
            return None
        return SatelliteFix(
            date_raw=date_raw,
            time_raw=time_raw,
            date=date,
            time=time,
            usable=usable,
            latitude=position[0] if position else None,
            longitude=position[1] if position else None,
        )


def _degrees(
    block: TiffBlock, directory: Directory, tag: int, side: int, negative: str, most: int
) -> float | None:
    parts = block.rationals(directory, tag)
    if not 1 <= len(parts) <= 3:
        return None
    value = sum((part / 60**index for index, part in enumerate(parts)), Fraction(0))
    if abs(value) > most:
        return None
    letter = (block.text(directory, side) or "").strip().upper()
    return float(-value if letter.startswith(negative) else value)


def _satellite_date(raw: str) -> str | None:
    match = re.fullmatch(r"(\d{4}):(\d\d):(\d\d)", raw.rstrip())
    if match is None:
        return None
    date = "-".join(match.groups())
    return date if local_datetime(f"{date}T00:00:00") else None


def _satellite_time(numbers: tuple[Fraction, ...]) -> str | None:
    """Return ``HH:MM:SS`` with up to six digits; None where the time cannot be."""
    if len(numbers) != 3:
        return None
    hours, minutes, seconds = numbers
    if not (0 <= hours < 24 and 0 <= minutes < 60 and 0 <= seconds < 61):
        return None
    if hours.denominator != 1 or minutes.denominator != 1:
        return None
    micros = round((seconds - int(seconds)) * 10**6)
    if micros == 10**6:
        micros = 999_999
    digits = f".{micros:06d}".rstrip("0") if micros else ""
    return f"{int(hours):02d}:{int(minutes):02d}:{int(seconds):02d}{digits}"
