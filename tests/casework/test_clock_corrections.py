"""A picture of a trusted clock: what it would change is shown before it counts."""

from __future__ import annotations

import datetime as dt

import pytest

from ldapp.casework.clock_corrections import correction_from, effects_of
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoFacts, RecordedTime
from ldapp.claim.photos import Photo
from ldapp.errors import LdappError

WEST = dt.timezone(dt.timedelta(hours=-7))


def _photo(key: str, local: str | None, *, model: str | None = "K1") -> Photo:
    taken = RecordedTime(raw="", state="ok", local=local) if local else None
    facts = PhotoFacts(
        file_name=f"{key}.JPG", sha256=key * 8, bytes=1, make="Demo", model=model, taken=taken
    )
    return Photo(id=key, name=f"{key}.JPG", facts=facts)


def _claim(*photos: Photo) -> Claim:
    return Claim(id="c", reference="R", currency="USD", zone="America/Denver", photos=photos)


TRUE_TIME = dt.datetime(2026, 3, 2, 7, 30, tzinfo=WEST)


def test_a_reference_changes_the_photos_of_its_camera_alone() -> None:
    clock = _photo("clock", "2026-03-02T07:37:00")
    claim = _claim(
        clock,
        _photo("same", "2026-03-02T09:00:00"),
        _photo("other", "2026-03-02T09:00:00", model="K2"),
    )
    changed = {one.photo: one for one in effects_of(claim, correction_from(clock, TRUE_TIME))}
    assert "same" in changed
    assert "other" not in changed
    after = changed["same"].after
    assert after.standing == "corrected"
    assert after.corrected_utc == dt.datetime(2026, 3, 2, 15, 53, tzinfo=dt.UTC)
    assert claim.clock_corrections == ()


def test_a_span_leaves_photos_outside_it_alone() -> None:
    clock = _photo("clock", "2026-03-02T07:37:00")
    claim = _claim(clock, _photo("in", "2026-03-02T09:00:00"), _photo("out", "2026-03-03T09:00:00"))
    correction = correction_from(
        clock,
        TRUE_TIME,
        valid_from=TRUE_TIME - dt.timedelta(hours=1),
        valid_until=TRUE_TIME + dt.timedelta(hours=12),
    )
    changed = {one.photo for one in effects_of(claim, correction)}
    assert "in" in changed
    assert "out" not in changed


@pytest.mark.parametrize(
    ("photo", "at", "span", "says"),
    [
        (_photo("p", None), TRUE_TIME, {}, "no time of its own"),
        (_photo("p", "2026-03-02T07:37:00", model=None), TRUE_TIME, {}, "name its camera"),
        (_photo("p", "2026-03-02T07:37:00"), TRUE_TIME.replace(tzinfo=None), {}, "offset"),
        (
            _photo("p", "2026-03-02T07:37:00"),
            TRUE_TIME,
            {"valid_from": TRUE_TIME, "valid_until": TRUE_TIME - dt.timedelta(days=1)},
            "before it begins",
        ),
    ],
)
def test_what_says_nothing_about_a_clock_is_refused(
    photo: Photo, at: dt.datetime, span: dict[str, dt.datetime], says: str
) -> None:
    with pytest.raises(LdappError, match=says):
        correction_from(
            photo, at, valid_from=span.get("valid_from"), valid_until=span.get("valid_until")
        )
