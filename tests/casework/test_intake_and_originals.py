"""A card pulled and put back, and originals that are no longer what was taken in."""

from __future__ import annotations

import dataclasses
import datetime as dt
import shutil
from pathlib import Path

import pytest
from PIL import Image

from ldapp.casework import dossier
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.original_checks import check_originals
from ldapp.casework.photo_intake import CARD_BATCH, take_in_photos
from ldapp.casework.photos import set_left_out
from ldapp.casework.register import Register
from ldapp.casework.verdicts import verdicts_of
from ldapp.claim.photo_facts import RecordedTime, SatelliteFix
from ldapp.errors import Cancelled, LdappError


def card(folder: Path, number: int) -> Path:
    inside = folder / "DCIM" / "100DEMO"
    inside.mkdir(parents=True)
    for index in range(number):
        picture = Image.new("RGB", (32, 24), (index * 3 % 256, index * 40 % 256, 90))
        picture.save(inside / f"IMG_{index:04d}.JPG")
    return folder


def taken_in(desk: OpenClaim) -> list[str]:
    return [entry.label for entry in desk.outline() if entry.label.startswith("Take in")]


def test_a_pulled_card_keeps_what_is_in_and_goes_on_where_it_stopped(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    number = CARD_BATCH + 30
    source = card(tmp_path / "card", number)
    away = tmp_path / "pulled"

    def pull(done: int, total: int, text: str) -> None:
        if done == CARD_BATCH + 10 and source.exists():
            shutil.move(source, away)

    intake = take_in_photos(desk, register.originals, [source], source="card", progress=pull)
    # A few files are read ahead: those that were whole by then are in as well.
    there = len(intake.taken)
    assert CARD_BATCH + 10 <= there < number
    assert len(desk.claim.photos) == there
    assert intake.refused == ()
    assert intake.stopped == (
        f"The card was pulled: {there} of its {number} photos are in the claim. "
        "Put it back and take it in again; it goes on where it stopped."
    )
    assert taken_in(desk) == ["Take in 50 photos", f"Take in {there - 50} photos"]
    shutil.move(away, source)
    again = take_in_photos(desk, register.originals, [source], source="card")
    assert len(again.taken) == number - there
    assert (len(again.already_there), again.stopped) == (there, "")
    assert len({photo.facts.sha256 for photo in desk.claim.photos}) == number


def test_one_file_that_is_gone_is_refused_and_the_card_goes_on(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    source = card(tmp_path / "card", 40)

    def lose(done: int, total: int, text: str) -> None:
        if done == 2:
            (source / "DCIM" / "100DEMO" / "IMG_0030.JPG").unlink(missing_ok=True)

    intake = take_in_photos(desk, register.originals, [source], source="card", progress=lose)
    assert (len(intake.taken), len(intake.refused), intake.stopped) == (39, 1, "")


def test_a_cancelled_card_keeps_its_batches_and_a_cancelled_folder_keeps_nothing(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    source = card(tmp_path / "card", CARD_BATCH + 5)

    def stop(done: int, total: int, text: str) -> None:
        if done > CARD_BATCH:
            raise Cancelled

    with pytest.raises(Cancelled):
        take_in_photos(desk, register.originals, [source], source="folder", progress=stop)
    assert desk.claim.photos == ()
    with pytest.raises(Cancelled):
        take_in_photos(desk, register.originals, [source], source="card", progress=stop)
    assert len(desk.claim.photos) == CARD_BATCH


def spoil(desk: OpenClaim, sha256: str) -> None:
    path = desk.originals.path_of(sha256)
    path.chmod(0o644)
    path.write_bytes(path.read_bytes() + b"x")


def test_a_changed_original_contradicts_its_photo_and_stops_the_dossier(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    take_in_photos(desk, register.originals, [card(tmp_path / "card", 3)])
    first, second, third = desk.claim.photos
    whole = check_originals(desk.claim, desk.originals)
    assert (whole.checked, whole.changed, whole.missing_names) == (3, frozenset(), ())
    spoil(desk, second.facts.sha256)
    desk.originals.path_of(third.facts.sha256).unlink()
    version = desk.version
    found = check_originals(desk.claim, desk.originals)
    assert found.changed == {second.facts.sha256}
    assert (found.changed_names, found.missing_names) == ((second.name,), (third.name,))
    assert desk.version == version
    verdicts = verdicts_of(desk.claim, found.changed)
    assert verdicts[second.id].standing == "contradicted"
    assert "I1" in {reason.code for reason in verdicts[second.id].reasons}
    assert "I1" not in {reason.code for reason in verdicts[first.id].reasons}
    target, choices = tmp_path / "photos.pdf", dossier.Choices("photos", dt.date(2026, 3, 10))
    with pytest.raises(LdappError, match=r"IMG_0001\.JPG has changed since it was taken in"):
        dossier.write(desk.claim, desk.originals, choices, target)
    assert not target.exists()
    set_left_out(desk, [second.id], True)
    dossier.write(desk.claim, desk.originals, choices, target)
    assert target.exists()


def test_the_same_bytes_under_another_date_exclude_the_later_one(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    take_in_photos(desk, register.originals, [card(tmp_path / "card", 1)])
    (photo,) = desk.claim.photos
    taken = RecordedTime(raw="2026:03:02 07:40:00", state="ok", local="2026-03-02T07:40:00")
    first = dataclasses.replace(photo, facts=dataclasses.replace(photo.facts, taken=taken))
    other = dataclasses.replace(taken, raw="2026:03:09 07:40:00", local="2026-03-09T07:40:00")
    assert photo.taken_in is not None
    again = dataclasses.replace(
        first,
        id="again",
        taken_in=photo.taken_in + dt.timedelta(hours=1),
        facts=dataclasses.replace(photo.facts, taken=other),
    )
    verdicts = verdicts_of(dataclasses.replace(desk.claim, photos=(again, first)))
    assert "S4" in {reason.code for reason in verdicts["again"].reasons}
    assert "S4" not in {reason.code for reason in verdicts[first.id].reasons}


def test_a_camera_in_two_far_places_excludes_the_later_imported(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    take_in_photos(desk, register.originals, [card(tmp_path / "card", 1)])
    (photo,) = desk.claim.photos
    assert photo.taken_in is not None

    def at(key: str, minute: int, latitude: float, hours: int) -> object:
        facts = dataclasses.replace(
            photo.facts,
            file_name=f"{key}.jpg",
            make="Invented",
            model="Demo One",
            serial="77",
            taken=RecordedTime(
                raw="", state="ok", local=f"2026-03-02T07:{minute}:00", offset="-07:00"
            ),
            satellite=SatelliteFix(latitude=latitude, longitude=-105.0),
        )
        came = photo.taken_in + dt.timedelta(hours=hours)  # type: ignore[operator]
        return dataclasses.replace(photo, id=key, facts=facts, taken_in=came)

    pair = (at("early", 40, 39.7, 0), at("late", 50, 47.6, 1))
    verdicts = verdicts_of(dataclasses.replace(desk.claim, photos=pair))  # type: ignore[arg-type]
    assert "S3" in {reason.code for reason in verdicts["late"].reasons}
    assert "S3" not in {reason.code for reason in verdicts["early"].reasons}
