"""Photos in groups: by count, by line, by device or by gap in time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from typing import Literal, NamedTuple, TypeAlias

from ldapp.casework.counter_codes import photos_alike
from ldapp.casework.photos import count_of
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.claim.photos import Photo
from ldapp.desktop.pages.said import count_text, day_text, device_text, line_text
from ldapp.language import marked, said

Grouping: TypeAlias = Literal["count", "line", "device", "gap", "alike"]
GROUPINGS: tuple[tuple[Grouping, str], ...] = (
    ("line", marked("Kit line")),
    ("count", marked("Count")),
    ("device", marked("Device")),
    ("gap", marked("Gap in time")),
    ("alike", marked("Looks alike")),
)
GAP = dt.timedelta(minutes=30)
"""A longer pause between two photos begins a new group (our choice)."""
ALL = ""
NONE = "-"


class PhotoGroup(NamedTuple):
    """One group: its key (a record's id where it is one), what it is called, who is in it."""

    key: str
    title: str
    photos: tuple[str, ...]


def taken_at(photo: Photo, verdicts: dict[str, PhotoVerdict]) -> dt.datetime | None:
    """Return the instant by which photos are ordered: corrected, as taken, or the earliest."""
    verdict = verdicts.get(photo.id)
    if verdict is None:
        return None
    return verdict.corrected_utc or verdict.taken_utc or verdict.earliest


def in_time_order(photos: Iterable[Photo], verdicts: dict[str, PhotoVerdict]) -> list[Photo]:
    """Return photos by their time, those without one last, then by name."""
    last = dt.datetime.max.replace(tzinfo=dt.UTC)
    return sorted(photos, key=lambda one: (taken_at(one, verdicts) or last, one.name, one.id))


def group_photos(
    claim: Claim, verdicts: dict[str, PhotoVerdict], by: Grouping
) -> tuple[PhotoGroup, ...]:
    """Return "all photos" first, then the groups; lines and counts are there even when empty.

    Empty lines and counts are shown because photos are dragged onto them.
    """
    photos = in_time_order(claim.photos, verdicts)
    everything = PhotoGroup(ALL, said("All photos"), tuple(photo.id for photo in photos))
    match by:
        case "line":
            groups = _by_keys(
                photos,
                [(line.id, line_text(line)) for line in claim.kit],
                lambda photo: tuple(dict.fromkeys(one.line for one in photo.pairings)),
                said("Not paired with a line"),
            )
        case "count":
            groups = _by_keys(
                photos,
                [(count.id, count_text(count)) for count in claim.counts],
                lambda photo: (count_of(photo) or NONE,),
                said("At no count"),
            )
        case "device":
            names = sorted({device_text(photo.facts) for photo in photos})
            groups = _by_keys(
                photos,
                [(name, name) for name in names],
                lambda photo: (device_text(photo.facts),),
                "",
            )
        case "gap":
            groups = _by_gap(photos, verdicts)
        case "alike":
            groups = _by_likeness(photos)
    return (everything, *groups)


def _by_keys(
    photos: list[Photo],
    keys: list[tuple[str, str]],
    keys_of: Callable[[Photo], tuple[str, ...]],
    nothing: str,
) -> list[PhotoGroup]:
    members: dict[str, list[str]] = {key: [] for key, _ in keys}
    without: list[str] = []
    for photo in photos:
        known = [key for key in keys_of(photo) if key in members]
        for key in known:
            members[key].append(photo.id)
        if not known:
            without.append(photo.id)
    first = [PhotoGroup(NONE, nothing, tuple(without))] if nothing else []
    return [*first, *(PhotoGroup(key, title, tuple(members[key])) for key, title in keys)]


def _by_gap(photos: list[Photo], verdicts: dict[str, PhotoVerdict]) -> list[PhotoGroup]:
    runs: list[list[tuple[dt.datetime, Photo]]] = []
    without: list[str] = []
    for photo in photos:
        at = taken_at(photo, verdicts)
        if at is None:
            without.append(photo.id)
        elif runs and at - runs[-1][-1][0] <= GAP:
            runs[-1].append((at, photo))
        else:
            runs.append([(at, photo)])
    groups = []
    for number, run in enumerate(runs):
        first, last = run[0][0], run[-1][0]
        title = said(
            "{day} {first} to {last} UTC",
            day=day_text(first.date()),
            first=f"{first:%H:%M}",
            last=f"{last:%H:%M}",
        )
        groups.append(PhotoGroup(f"gap {number}", title, tuple(photo.id for _, photo in run)))
    if without:
        groups.append(PhotoGroup(NONE, said("No time of their own"), tuple(without)))
    return groups


def _by_likeness(photos: list[Photo]) -> list[PhotoGroup]:
    names = {photo.id: photo.name for photo in photos}
    given = tuple((photo.id, photo.likeness) for photo in photos if photo.likeness)
    groups = [
        PhotoGroup(f"alike {members[0]}", said("Like {name}", name=names[members[0]]), members)
        for members in photos_alike(given)
    ]
    grouped = {photo for group in groups for photo in group.photos}
    alone = tuple(photo.id for photo in photos if photo.likeness and photo.id not in grouped)
    unknown = tuple(photo.id for photo in photos if not photo.likeness)
    groups.append(PhotoGroup(NONE, said("Like no other"), alone))
    if unknown:
        groups.append(PhotoGroup("not compared", said("Not compared yet"), unknown))
    return groups
