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
    code_at,
    issue_code,
    look_into_pictures,
    proposed_corrections,
    still_good,
    take_code_back,
)
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.photo_intake import take_in_photos
from ldapp.casework.register import Register
from ldapp.casework.verdicts import verdicts_of
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
