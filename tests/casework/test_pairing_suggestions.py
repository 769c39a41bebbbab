"""Suggested pairings: each way finds its line, says why, and none is made silently."""

from __future__ import annotations

import datetime as dt
import io
from pathlib import Path

import pytest
import segno

from ldapp.casework.pairing_suggestions import codes_in_photos, suggest_pairings
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import PhotoFacts, PhotoVerdict
from ldapp.claim.photos import Pairing, Photo
from ldapp.errors import LdappError

NOON = dt.datetime(2026, 3, 2, 12, 0, tzinfo=dt.UTC)


def _photo(key: str, name: str = "IMG_0001.JPG", *, path: str = "", model: str = "K1") -> Photo:
    facts = PhotoFacts(file_name=name, sha256=key * 8, bytes=1, make="Demo", model=model)
    return Photo(id=key, name=name, path=path, facts=facts)


def _verdict(at: dt.datetime) -> PhotoVerdict:
    return PhotoVerdict(standing="camera_only", reasons=(), summary="", taken_utc=at)


def _claim(*photos: Photo) -> Claim:
    lines = (
        KitLine(
            id="stand",
            number="1",
            agreement="a",
            description="Combo stand steel",
            quantity=4,
            serials=("CS-0091",),
        ),
        KitLine(id="flag", number="2", agreement="a", description="Flag floppy black", quantity=6),
    )
    count = Count(
        id="pickup",
        stage="pickup",
        at=NOON,
        entries=(CountEntry(line="flag", quantity=6, at=NOON + dt.timedelta(minutes=5)),),
    )
    return Claim(
        id="c", reference="R", currency="USD", zone="UTC", kit=lines, counts=(count,), photos=photos
    )


def test_a_code_in_the_picture_names_its_line() -> None:
    (found,) = suggest_pairings(_claim(_photo("p")), {}, {"p": ("cs-0091",)})
    assert (found.pairing.line, found.pairing.way) == ("stand", "code")
    assert "cs-0091" in found.pairing.reason


def test_pictures_after_a_tag_show_the_tagged_thing_for_three_minutes() -> None:
    photos = (_photo("tag"), _photo("next"), _photo("late"), _photo("other", model="K2"))
    verdicts = {
        "tag": _verdict(NOON),
        "next": _verdict(NOON + dt.timedelta(seconds=20)),
        "late": _verdict(NOON + dt.timedelta(minutes=3, seconds=1)),
        "other": _verdict(NOON + dt.timedelta(seconds=20)),
    }
    found = {
        one.photo: one.pairing
        for one in suggest_pairings(_claim(*photos), verdicts, {"tag": ("CS-0091",)})
    }
    assert found["next"].way == "tag_sequence"
    assert found["next"].count == "pickup"
    assert "20 s after" in found["next"].reason
    assert "late" not in found
    assert "other" not in found


def test_words_and_numbers_in_the_name_are_enough_only_where_one_line_fits() -> None:
    found = {
        one.photo: one.pairing
        for one in suggest_pairings(
            _claim(
                _photo("words", "floppy black torn.jpg"),
                _photo("serial", "cs-0091 base.jpg"),
                _photo("nothing", "IMG_7777.JPG"),
            ),
            {},
        )
    }
    assert (found["words"].line, found["words"].way) == ("flag", "name")
    assert (found["serial"].line, found["serial"].way) == ("stand", "serial")
    assert "nothing" not in found


def test_the_time_next_to_an_entry_suggests_its_line() -> None:
    at = NOON + dt.timedelta(minutes=5, seconds=30)
    (found,) = suggest_pairings(_claim(_photo("p")), {"p": _verdict(at)})
    assert (found.pairing.line, found.pairing.way, found.pairing.count) == (
        "flag",
        "time",
        "pickup",
    )


@pytest.mark.parametrize("changed", ["paired", "left_out"])
def test_photos_that_are_settled_get_no_suggestion(changed: str) -> None:
    import dataclasses

    photo = _photo("p", "floppy black.jpg")
    photo = (
        dataclasses.replace(photo, left_out=True)
        if changed == "left_out"
        else dataclasses.replace(photo, pairings=(Pairing(line="stand"),))
    )
    assert suggest_pairings(_claim(photo), {}) == ()


def test_a_number_that_two_lines_share_names_neither() -> None:
    import dataclasses

    claim = _claim(_photo("p"))
    twin = dataclasses.replace(claim.kit[1], serials=("CS-0091",))
    claim = dataclasses.replace(claim, kit=(claim.kit[0], twin))
    assert suggest_pairings(claim, {}, {"p": ("CS-0091",)}) == ()


class _Folder:
    def __init__(self, paths: dict[str, Path]) -> None:
        self._paths = paths

    def path_of(self, sha256: str) -> Path:
        try:
            return self._paths[sha256]
        except KeyError:
            raise LdappError("There is no such original.") from None


def test_codes_are_read_from_the_pictures_themselves(tmp_path: Path) -> None:
    drawn = io.BytesIO()
    segno.make("CS-0091").save(drawn, kind="png", scale=8)
    picture = tmp_path / "tag.png"
    picture.write_bytes(drawn.getvalue())
    steps: list[tuple[int, int]] = []
    codes = codes_in_photos(
        _Folder({"p" * 8: picture}),
        (_photo("p"), _photo("q")),
        lambda done, total, text: steps.append((done, total)),
    )
    assert codes == {"p": ("CS-0091",), "q": ()}
    assert steps[-1] == (2, 2)
