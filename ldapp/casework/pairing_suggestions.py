"""Which kit line an unpaired photo probably shows, and why; nothing is paired silently.

Four ways, surest first: a code in the picture, a picture of a tag followed by pictures
of the thing, words in the file's or folder's name, and the time next to the counting of
a line.  A photo gets at most one suggestion.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from ldapp.casework.originals import Originals
from ldapp.casework.verdicts import window_of
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.claim.photos import Pairing, Photo
from ldapp.dossier.line_code import line_code
from ldapp.errors import LdappError
from ldapp.evidence.codes import read_codes
from ldapp.language import said

Progress = Callable[[int, int, str], None]

AFTER_TAG = dt.timedelta(minutes=3)
"""Pictures this long after a picture of a tag are taken to show the tagged thing (our choice)."""
NEAR_ENTRY = dt.timedelta(seconds=90)
"""A photo this near to the entering of one line is taken to show it (our choice)."""
_SHORTEST_WORD = 4
_WORDS = re.compile(r"[a-z0-9]+")


class Suggestion(NamedTuple):
    """A pairing that a person may accept."""

    photo: str
    pairing: Pairing


def codes_in_photos(
    originals: Originals,
    photos: Iterable[Photo],
    progress: Progress = lambda done, total, text: None,
) -> dict[str, tuple[str, ...]]:
    """Return the texts of the bar and matrix codes in each picture; runs in a worker.

    A picture that cannot be opened has no codes; that it cannot be opened is said where
    it is shown.
    """
    wanted = list(photos)
    found: dict[str, tuple[str, ...]] = {}
    for number, photo in enumerate(wanted):
        progress(number, len(wanted), photo.name)
        try:
            found[photo.id] = read_codes(originals.path_of(photo.facts.sha256), photo.facts)
        except LdappError:
            found[photo.id] = ()
    progress(len(wanted), len(wanted), "")
    return found


def suggest_pairings(
    claim: Claim,
    verdicts: Mapping[str, PhotoVerdict],
    codes: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[Suggestion, ...]:
    """Return a suggestion for every unpaired photo that one of the four ways reaches."""
    finder = _Finder(claim, verdicts, codes or {})
    found = []
    for photo in claim.photos:
        if not photo.pairings and not photo.left_out:
            pairing = finder.pairing_for(photo)
            if pairing is not None:
                found.append(Suggestion(photo.id, pairing))
    return tuple(found)


class _Finder:
    def __init__(
        self,
        claim: Claim,
        verdicts: Mapping[str, PhotoVerdict],
        codes: Mapping[str, tuple[str, ...]],
    ) -> None:
        self._verdicts = verdicts
        self._windows = [
            (count.id, window) for count in claim.counts if (window := window_of(count)) is not None
        ]
        self._entries = sorted(
            (entry.at, entry.line, count.id)
            for count in claim.counts
            for entry in count.entries
            if entry.at is not None
        )
        self._by_mark = _lines_by_mark(claim.kit)
        # A code of our own count sheet names its line outright.
        self._by_mark.update(
            (line_code(claim.reference, line.id).casefold(), line) for line in claim.kit
        )
        self._by_words = [(line, _words(line.description)) for line in claim.kit]
        self._tagged = sorted(
            (
                (at, self._body(photo), line, text)
                for photo in claim.photos
                for line, text in self._lines_in_codes(codes.get(photo.id, ()))
                if (at := self._at(photo)) is not None
            ),
            key=lambda one: (one[0], one[2].id),
        )
        self._codes = codes

    def pairing_for(self, photo: Photo) -> Pairing | None:
        count = photo.count or self._count_at(photo)
        return (
            self._by_code(photo, count)
            or self._by_tag_before(photo, count)
            or self._by_name(photo, count)
            or self._by_time(photo, count)
        )

    def _at(self, photo: Photo) -> dt.datetime | None:
        verdict = self._verdicts.get(photo.id)
        if verdict is None or verdict.standing == "contradicted":
            return None
        return verdict.corrected_utc or verdict.taken_utc

    def _body(self, photo: Photo) -> tuple[str | None, str | None, str | None]:
        return photo.facts.make, photo.facts.model, photo.facts.serial

    def _count_at(self, photo: Photo) -> str | None:
        at = self._at(photo)
        if at is None:
            return None
        inside = [count for count, (begin, end) in self._windows if begin <= at <= end]
        return inside[0] if len(inside) == 1 else None

    def _lines_in_codes(self, texts: Iterable[str]) -> list[tuple[KitLine, str]]:
        return [
            (line, text) for text in texts if (line := self._by_mark.get(text.strip().casefold()))
        ]

    def _by_code(self, photo: Photo, count: str | None) -> Pairing | None:
        for line, text in self._lines_in_codes(self._codes.get(photo.id, ())):
            return Pairing(
                line=line.id,
                count=count,
                way="code",
                reason=said("the picture shows the code {text}", text=text),
            )
        return None

    def _by_tag_before(self, photo: Photo, count: str | None) -> Pairing | None:
        at, body = self._at(photo), self._body(photo)
        if at is None:
            return None
        before = [one for one in self._tagged if one[1] == body and one[0] <= at]
        if before and at - before[-1][0] <= AFTER_TAG:
            tagged_at, _, line, text = before[-1]
            seconds = int((at - tagged_at).total_seconds())
            return Pairing(
                line=line.id,
                count=count,
                way="tag_sequence",
                reason=said(
                    "taken {seconds} s after a picture of the tag {text}",
                    seconds=seconds,
                    text=text,
                ),
            )
        return None

    def _by_name(self, photo: Photo, count: str | None) -> Pairing | None:
        name = f"{photo.path} {photo.name}".casefold()
        for mark, line in self._by_mark.items():
            if len(mark) >= _SHORTEST_WORD and mark in name:
                return Pairing(
                    line=line.id,
                    count=count,
                    way="serial",
                    reason=said("the name has {mark}", mark=mark),
                )
        words = set(_words(name))
        best = [
            (len(shared), line)
            for line, wanted in self._by_words
            if wanted and (shared := wanted & words) and len(shared) * 2 >= len(wanted)
        ]
        if not best:
            return None
        most = max(number for number, _ in best)
        lines = [line for number, line in best if number == most]
        if len(lines) != 1:
            return None
        return Pairing(
            line=lines[0].id, count=count, way="name", reason=said("words in the name of the file")
        )

    def _by_time(self, photo: Photo, count: str | None) -> Pairing | None:
        at = self._at(photo)
        if at is None:
            return None
        near = [
            (abs(at - entered), line, of)
            for entered, line, of in self._entries
            if abs(at - entered) <= NEAR_ENTRY
        ]
        if not near:
            return None
        apart, line, of = min(near)
        return Pairing(
            line=line,
            count=count or of,
            way="time",
            reason=said(
                "taken {seconds} s from the counting of this line",
                seconds=int(apart.total_seconds()),
            ),
        )


def _lines_by_mark(kit: Iterable[KitLine]) -> dict[str, KitLine]:
    """Serial numbers and asset tags that only one line has."""
    marks: dict[str, KitLine | None] = {}
    for line in kit:
        for mark in (*line.serials, *line.asset_tags):
            key = mark.strip().casefold()
            if key:
                marks[key] = None if key in marks and marks[key] is not line else line
    return {mark: line for mark, line in marks.items() if line is not None}


def _words(text: str) -> frozenset[str]:
    return frozenset(
        word for word in _WORDS.findall(text.casefold()) if len(word) >= _SHORTEST_WORD
    )
