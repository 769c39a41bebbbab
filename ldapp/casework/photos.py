"""What a person does with photos: look at, pair, turn, mark, correct a clock."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterable

from ldapp.casework.edit import find, get, put, without
from ldapp.casework.open_claim import OpenClaim
from ldapp.claim.claim import Claim
from ldapp.claim.photos import ClockCorrection, Marking, Pairing, Photo
from ldapp.language import said, said_of


def put_photo(desk: OpenClaim, photo: Photo, label: str = "") -> bool:
    """Change what people said about a photo; the original stays untouched."""
    return desk.change(
        label or said("Photo {name}", name=photo.name),
        lambda claim: dataclasses.replace(claim, photos=put(claim.photos, photo)),
    )


def remove_photos(desk: OpenClaim, photos: Iterable[str]) -> bool:
    """Take photos out of the claim; the originals stay in the library."""
    ids = set(photos)
    return desk.change(
        said_of(len(ids), "Remove {count} photo", "Remove {count} photos"),
        lambda claim: dataclasses.replace(claim, photos=without(claim.photos, ids)),
    )


def _change_photos(
    desk: OpenClaim, photos: Iterable[str], label: str, make: Callable[[Photo], Photo]
) -> bool:
    ids = set(photos)
    return desk.change(
        label,
        lambda claim: dataclasses.replace(
            claim, photos=tuple(make(one) if one.id in ids else one for one in claim.photos)
        ),
    )


def pair(desk: OpenClaim, photos: Iterable[str], pairing: Pairing) -> bool:
    """Say that these photos show a kit line (at a count, for a finding)."""
    line = get(desk.claim.kit, pairing.line, "kit line")
    ids = list(photos)

    def make(photo: Photo) -> Photo:
        others = tuple(
            one for one in photo.pairings if (one.line, one.count) != (pairing.line, pairing.count)
        )
        return dataclasses.replace(photo, pairings=(*others, pairing))

    return _change_photos(
        desk,
        ids,
        said_of(
            len(ids),
            "Pair {count} photo with line {number}",
            "Pair {count} photos with line {number}",
            number=line.number,
        ),
        make,
    )


def pair_each(desk: OpenClaim, pairings: Iterable[tuple[str, Pairing]], label: str) -> bool:
    """Accept several suggestions as one change."""
    by_photo: dict[str, list[Pairing]] = {}
    for photo, pairing in pairings:
        by_photo.setdefault(photo, []).append(pairing)

    def make(photo: Photo) -> Photo:
        new = by_photo[photo.id]
        keys = {(one.line, one.count) for one in new}
        others = tuple(one for one in photo.pairings if (one.line, one.count) not in keys)
        return dataclasses.replace(photo, pairings=(*others, *new))

    return _change_photos(desk, by_photo, label, make)


def unpair(desk: OpenClaim, photos: Iterable[str], line: str | None = None) -> bool:
    """Take back that these photos show ``line``, or any line."""
    return _change_photos(
        desk,
        photos,
        said("Unpair"),
        lambda photo: dataclasses.replace(
            photo,
            pairings=tuple(one for one in photo.pairings if line is not None and one.line != line),
        ),
    )


def set_count(desk: OpenClaim, photos: Iterable[str], count: str | None) -> bool:
    """Say at which count these photos were taken, in their pairings too."""
    ids = list(photos)
    return _change_photos(
        desk,
        ids,
        said_of(len(ids), "Count of {count} photo", "Count of {count} photos"),
        lambda photo: dataclasses.replace(
            photo,
            count=count,
            pairings=tuple(dataclasses.replace(one, count=count) for one in photo.pairings),
        ),
    )


def set_left_out(desk: OpenClaim, photos: Iterable[str], left_out: bool) -> bool:
    """Leave photos out of dossiers, or take them in again."""
    return _change_photos(
        desk,
        photos,
        said("Leave out of the dossier") if left_out else said("Put into the dossier"),
        lambda photo: dataclasses.replace(photo, left_out=left_out),
    )


def set_withhold_position(desk: OpenClaim, photos: Iterable[str], withhold: bool) -> bool:
    """Keep the position of photos out of what is sent, or let it travel along."""
    return _change_photos(
        desk,
        photos,
        said("Withhold position") if withhold else said("Send position"),
        lambda photo: dataclasses.replace(photo, withhold_position=withhold),
    )


def turn(desk: OpenClaim, photos: Iterable[str], quarter_turns: int) -> bool:
    """Turn photos clockwise by quarters, beside the original; markings turn with them."""

    def make(photo: Photo) -> Photo:
        return dataclasses.replace(
            photo,
            quarter_turns=(photo.quarter_turns + quarter_turns) % 4,
            markings=tuple(
                dataclasses.replace(one, points=turned_points(one.points, quarter_turns))
                for one in photo.markings
            ),
        )

    return _change_photos(desk, photos, said("Turn"), make)


def turned_points(
    points: tuple[tuple[float, float], ...], quarter_turns: int
) -> tuple[tuple[float, float], ...]:
    """Return the points of a marking after its picture was turned clockwise by quarters."""
    for _ in range(quarter_turns % 4):
        points = tuple((1.0 - y, x) for x, y in points)
    return points


def set_markings(desk: OpenClaim, photo: str, markings: tuple[Marking, ...]) -> bool:
    """Replace the markings and redactions that are kept beside a photo."""
    return _change_photos(
        desk, (photo,), said("Markings"), lambda one: dataclasses.replace(one, markings=markings)
    )


def confirm_photos(
    desk: OpenClaim, photos: Iterable[str], by: str, on: dt.date | None = None
) -> bool:
    """Record that a person of the other side confirmed that photos were taken at the count."""
    return _change_photos(
        desk,
        photos,
        said("Confirmed by {by}", by=by) if by else said("Not confirmed"),
        lambda photo: dataclasses.replace(photo, confirmed_by=by, confirmed_on=on if by else None),
    )


def put_clock_correction(desk: OpenClaim, correction: ClockCorrection) -> bool:
    """Record what a picture of a trusted clock says of a camera's clock."""
    return desk.change(
        said("Clock of {model}", model=correction.model or said("camera")),
        lambda claim: dataclasses.replace(
            claim, clock_corrections=put(claim.clock_corrections, correction)
        ),
    )


def remove_clock_correction(desk: OpenClaim, correction: str) -> bool:
    """Take a clock correction back."""
    return desk.change(
        said("Remove clock correction"),
        lambda claim: dataclasses.replace(
            claim, clock_corrections=without(claim.clock_corrections, {correction})
        ),
    )


def photos_of_line(claim: Claim, line: str, count: str | None = None) -> tuple[Photo, ...]:
    """Return the photos paired with a line (at one count, where that is given)."""
    return tuple(
        photo
        for photo in claim.photos
        if any(one.line == line and (count is None or one.count == count) for one in photo.pairings)
    )


def count_of(photo: Photo) -> str | None:
    """Return the count at which a photo was taken, as far as anybody has said."""
    return photo.count or next((one.count for one in photo.pairings if one.count), None)


def other_photo_of_line(claim: Claim, photo: str) -> str | None:
    """Return a photo of the same line taken at another count, else any other of that line."""
    this = find(claim.photos, photo)
    lines = {pairing.line for pairing in this.pairings} if this else set()
    others = [one for line in lines for one in photos_of_line(claim, line) if one.id != photo]
    if this is None or not others:
        return None
    own = count_of(this)
    return next((one.id for one in others if count_of(one) != own), others[0].id)
