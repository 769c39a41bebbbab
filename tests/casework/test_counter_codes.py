"""The counter's code from its showing to the verdict on a photo of it."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
from pathlib import Path

import pytest
from PIL import Image

from ldapp.casework.clock_corrections import effects_of
from ldapp.casework.counter_codes import (
    accept_corrections,
    cameras_without_code,
    code_at,
    issue_code,
    look_into_pictures,
    proposed_corrections,
    still_good,
    take_code_back,
)
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.photo_intake import take_in_photos
from ldapp.casework.photos import confirm_photos
from ldapp.casework.register import Register
from ldapp.casework.verdicts import verdicts_of
from ldapp.casework.weak_points import WeakPoint, find_weak_points
from ldapp.claim.counts import Count
from ldapp.claim.kit import KitLine
from ldapp.claim.photos import IssuedCode
from ldapp.evidence.counter_code import code_png

SHOWN = dt.datetime(2026, 3, 2, 14, 40, 5, 400000, tzinfo=dt.UTC)


def photograph(path: Path, showing: IssuedCode, at: dt.datetime, *, fast_s: int = 11) -> Path:
    """A picture of the code by a camera in Denver whose clock is fast."""
    scene = Image.new("RGB", (1600, 1200), (92, 90, 84))
    symbol = Image.open(io.BytesIO(code_png(code_at(showing.word, at), 9))).convert("RGB")
    scene.paste(symbol, (500, 300))
    local = at - dt.timedelta(hours=7) + dt.timedelta(seconds=fast_s)
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented", "Demo One"
    exif.get_ifd(0x8769)[0x9003] = local.strftime("%Y:%m:%d %H:%M:%S")
    exif.get_ifd(0x8769)[0x9011] = "-07:00"
    scene.save(path, "JPEG", exif=exif, quality=85)
    return path


def codes(desk: OpenClaim) -> dict[str, str]:
    photo = desk.claim.photos[0]
    return {one.code: one.weight for one in verdicts_of(desk.claim)[photo.id].reasons}


def test_a_showing_is_one_journal_entry_with_who_and_when(
    register: Register, desk: OpenClaim
) -> None:
    before = len(desk.outline())
    showing = issue_code(desk, SHOWN)
    assert len(desk.outline()) == before + 1
    assert (showing.issued, showing.issued_by) == (SHOWN.replace(microsecond=0), "Ada")
    assert register.open(desk.claim.id).claim.issued_codes == (showing,)
    assert still_good(showing, SHOWN)
    assert not still_good(showing, SHOWN + dt.timedelta(hours=1))


def test_the_intake_finds_the_code_and_proposes_the_clock_but_sets_nothing(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    issue_code(desk, SHOWN - dt.timedelta(days=1))
    showing = issue_code(desk, SHOWN)
    at = SHOWN + dt.timedelta(seconds=30)
    take_in_photos(desk, register.originals, [photograph(tmp_path / "a.jpg", showing, at)])
    assert desk.claim.photos[0].shown_code == code_at(showing.word, at).text
    assert codes(desk)["R3"] == "supports"
    assert "R1" not in codes(desk)
    assert desk.claim.clock_corrections == ()
    (proposed,) = proposed_corrections(desk.claim)
    assert proposed.fast_s == 11
    assert len(effects_of(desk.claim, proposed.correction)) == 1
    accept_corrections(desk, [proposed])
    verdict = verdicts_of(desk.claim)[desk.claim.photos[0].id]
    assert verdict.corrected_utc == at.replace(microsecond=0)
    assert codes(desk)["R1"] == "supports"
    assert proposed_corrections(desk.claim) == ()


def test_a_photo_taken_in_before_is_looked_into_on_demand_as_one_change(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    showing = IssuedCode(id="later", word="bababababa", issued=SHOWN)
    paths = [photograph(tmp_path / "a.jpg", showing, SHOWN)]
    Image.new("RGB", (200, 100), "olive").save(tmp_path / "b.jpg")
    take_in_photos(desk, register.originals, [*paths, tmp_path / "b.jpg"])
    assert [photo.shown_code for photo in desk.claim.photos] == ["", ""]
    assert "R3" not in codes(desk)
    desk.change("Showing", lambda claim: dataclasses.replace(claim, issued_codes=(showing,)))
    before = len(desk.outline())
    assert look_into_pictures(desk, desk.originals) == (2, 1)
    assert len(desk.outline()) == before + 1
    assert codes(desk)["R3"] == "supports"
    take_code_back(desk, "later")
    assert "R3" not in codes(desk)


def test_a_code_of_another_claim_counts_for_nothing(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    issue_code(desk, SHOWN)
    other = IssuedCode(id="x", word="dadadadada", issued=SHOWN)
    take_in_photos(desk, register.originals, [photograph(tmp_path / "a.jpg", other, SHOWN)])
    assert desk.claim.photos[0].shown_code == ""
    assert proposed_corrections(desk.claim) == ()


@pytest.mark.parametrize("suffix", [".jpg", ".png"])
def test_every_photo_has_a_likeness_from_the_intake(
    register: Register, desk: OpenClaim, tmp_path: Path, suffix: str
) -> None:
    Image.linear_gradient("L").convert("RGB").save(tmp_path / f"a{suffix}")
    take_in_photos(desk, register.originals, [tmp_path / f"a{suffix}"])
    assert len(desk.claim.photos[0].likeness) == 16


def with_count(desk: OpenClaim, at: dt.datetime | None = SHOWN) -> Count:
    count = Count(id="pickup", stage="pickup", at=at)
    desk.change("Count", lambda claim: dataclasses.replace(claim, counts=(count,)))
    return count


def with_a_line(desk: OpenClaim) -> None:
    agreement = desk.claim.agreements[0].id
    line = KitLine(id="k", number="1", agreement=agreement, description="Stand", quantity=1)
    desk.change("A line", lambda claim: dataclasses.replace(claim, kit=(line,)))


def plain_photo(path: Path, model: str = "Demo Two", serial: str = "7") -> Path:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented", model
    exif.get_ifd(0x8769)[0x9003] = "2026:03:02 07:41:00"
    exif.get_ifd(0x8769)[0xA431] = serial
    Image.new("RGB", (64, 48), (ord(path.name[0]), 80, 90)).save(path, "JPEG", exif=exif)
    return path


def asked_points(desk: OpenClaim) -> list[WeakPoint]:
    points = find_weak_points(desk.claim, None, verdicts_of(desk.claim), SHOWN.date())
    return [point for point in points if point.code == "camera_without_code"]


def test_a_camera_of_a_count_that_took_no_code_is_asked_for_until_it_took_one(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    count = with_count(desk)
    showing = issue_code(desk, SHOWN)
    with_a_line(desk)
    paths = [plain_photo(tmp_path / "a.jpg"), plain_photo(tmp_path / "b.jpg")]
    paths.append(plain_photo(tmp_path / "c.jpg", serial="8"))
    Image.new("RGB", (64, 48)).save(tmp_path / "nameless.png")
    take_in_photos(desk, register.originals, [*paths, tmp_path / "nameless.png"], count=count.id)
    asked = cameras_without_code(desk.claim, count)
    assert [(one.name, len(one.photos)) for one in asked] == [
        ("Invented Demo Two no. 7", 2), ("Invented Demo Two no. 8", 1),
    ]  # fmt: skip
    first, second = asked_points(desk)
    assert first.gravity == second.gravity == "weak"
    assert first.says == (
        "Invented Demo Two no. 7 took 2 photos at the pickup count and no picture of the "
        "counter's code."
    )
    # One of them photographs the code, outside the count but on its day.
    at = SHOWN + dt.timedelta(seconds=20)
    photograph(tmp_path / "code.jpg", showing, at)
    take_in_photos(desk, register.originals, [tmp_path / "code.jpg"])
    desk.change(
        "By the same camera",
        lambda claim: dataclasses.replace(
            claim,
            photos=tuple(
                dataclasses.replace(
                    photo,
                    facts=dataclasses.replace(photo.facts, model="Demo Two", serial="7"),
                )
                if photo.shown_code
                else photo
                for photo in claim.photos
            ),
        ),
    )
    assert [one.name for one in cameras_without_code(desk.claim, count)] == [
        "Invented Demo Two no. 8"
    ]
    assert len(asked_points(desk)) == 1


def test_a_code_of_another_day_does_not_answer_for_a_count(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    count = with_count(desk, SHOWN + dt.timedelta(days=3))
    showing = issue_code(desk, SHOWN)
    take_in_photos(desk, register.originals, [photograph(tmp_path / "code.jpg", showing, SHOWN)])
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented", "Demo One"
    Image.new("RGB", (64, 48)).save(tmp_path / "a.jpg", "JPEG", exif=exif)
    take_in_photos(desk, register.originals, [tmp_path / "a.jpg"], count=count.id)
    assert [one.name for one in cameras_without_code(desk.claim, count)] == ["Invented Demo One"]
    undated = dataclasses.replace(count, at=None)
    assert cameras_without_code(desk.claim, undated)
    earlier = dataclasses.replace(count, at=SHOWN)
    assert cameras_without_code(desk.claim, earlier) == ()


def test_without_any_code_or_with_a_second_clock_it_is_only_a_note(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    count = with_count(desk)
    with_a_line(desk)
    take_in_photos(desk, register.originals, [plain_photo(tmp_path / "a.jpg")], count=count.id)
    (point,) = asked_points(desk)
    assert point.gravity == "note"
    issue_code(desk, SHOWN)
    (photo,) = desk.claim.photos
    confirm_photos(desk, [photo.id], "A. Person", SHOWN.date())
    assert verdicts_of(desk.claim)[photo.id].standing == "backed"
    (point,) = asked_points(desk)
    assert point.gravity == "note"
