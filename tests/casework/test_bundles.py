"""Bundles: complete for the archive, shared for others; opened as a claim in another library."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import bagit
import pytest
from PIL import Image

from ldapp.casework.bundles import write_claim_bundle
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.claim.photos import Marking
from ldapp.errors import LdappError
from ldapp.evidence.verify import verify
from ldapp.exchange.bundle import open_bundle, verify_bundle
from ldapp.store.claim_library import Library
from tests.dossier.small_claim import FolderOfOriginals, picture_bytes, small_claim
from tests.dossier.test_who_may_read_what import SECRETS, everything_in

ROOT = Path(__file__).parents[2]
COVERED = Marking(kind="redaction", points=((0.0, 0.0), (0.1, 0.1)), text="a face")
RING = Marking(kind="ring", points=((0.4, 0.4), (0.6, 0.6)), text="bent")


@pytest.fixture
def originals(tmp_path: Path) -> FolderOfOriginals:
    return FolderOfOriginals(tmp_path / "originals")


@pytest.fixture
def claim(originals: FolderOfOriginals) -> Claim:
    """A claim whose first photo lies on its side and has a place covered."""
    claim = small_claim(originals)
    first = claim.photos[0]
    data = picture_bytes(9, orientation=6)
    facts = dataclasses.replace(
        first.facts, sha256=originals.put(data), bytes=len(data), orientation=6
    )
    odd = dataclasses.replace(first, facts=facts, markings=(COVERED, RING), quarter_turns=1)
    return dataclasses.replace(claim, photos=(odd, *claim.photos[1:]))


def members(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        return {name.split("/", 1)[1]: archive.read(name) for name in archive.namelist()}


def test_a_complete_bundle_is_a_bag_and_opens_in_another_library(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    bundle = write_claim_bundle(claim, originals, tmp_path / "whole.zip")
    with zipfile.ZipFile(bundle) as archive:
        archive.extractall(tmp_path / "out")
    (root,) = (tmp_path / "out").iterdir()
    assert bagit.Bag(str(root)).is_valid()
    other = Register(Library.open(tmp_path / "other library"), "Ben")
    opened_desk = other.open(other.take_in_bundle(bundle))
    opened = opened_desk.claim
    assert [one.facts for one in opened.photos] == [one.facts for one in claim.photos]
    assert opened.policy == claim.policy
    for photo in opened.photos:
        kept = opened_desk.originals.path_of(photo.facts.sha256)
        assert kept.read_bytes() == originals.path_of(photo.facts.sha256).read_bytes()
    other.close()


def test_a_shared_bundle_tells_nothing_that_its_recipient_must_not_know(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    named = dataclasses.replace(claim.photos[0], name="IMG Pupilworth.JPG")
    claim = dataclasses.replace(claim, photos=(named, *claim.photos[1:]))
    bundle = write_claim_bundle(
        claim, originals, tmp_path / "shared.zip", profile="shared", version="dispute"
    )
    assert verify_bundle(bundle) == ()
    files = members(bundle)
    told = "\n".join(
        data.decode("utf-8") for name, data in files.items() if not name.endswith((".jpg", ".pdf"))
    )
    (tmp_path / "read.pdf").write_bytes(files["data/dossier.pdf"])
    told += everything_in(tmp_path / "read.pdf")
    for secret in SECRETS:
        assert secret.casefold() not in told.casefold(), secret
    assert "The originals are not enclosed" in files["bag-info.txt"].decode()


def test_pictures_of_a_shared_bundle_carry_nothing_but_the_picture(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    bundle = write_claim_bundle(
        claim, originals, tmp_path / "shared.zip", profile="shared", version="dispute"
    )
    files = members(bundle)
    pictures = {name: data for name, data in files.items() if name.startswith("data/derivatives/")}
    assert len(pictures) >= 3
    for data in pictures.values():
        with Image.open(io.BytesIO(data)) as picture:
            assert not picture.getexif()
            assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert b"Exif" not in data
        assert b"http://ns.adobe.com" not in data
    raw = bundle.read_bytes()
    for photo in claim.photos:
        assert originals.path_of(photo.facts.sha256).read_bytes() not in raw


def test_a_shared_bundle_opens_as_a_claim_of_derivatives(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    bundle = write_claim_bundle(
        claim, originals, tmp_path / "shared.zip", profile="shared", version="insurer"
    )
    other = Register(Library.open(tmp_path / "other library"), "Ben")
    opened_desk = other.open(other.take_in_bundle(bundle))
    opened = opened_desk.claim
    assert opened.journal == ()
    by_id = {one.id: one for one in claim.photos}
    assert {one.id for one in opened.photos} == set(by_id)
    listed = members(bundle)["data/originals-not-enclosed.txt"].decode()
    for photo in opened.photos:
        original = by_id[photo.id].facts.sha256
        assert photo.facts.derivative_of == original
        assert photo.facts.sha256 != original
        assert "E14" in {one.code for one in verify(photo.facts).reasons}
        assert f"{original}  " in listed
        with Image.open(opened_desk.originals.path_of(photo.facts.sha256)) as picture:
            assert picture.size == (photo.facts.width, photo.facts.height)
    first = opened.photos[0]
    assert first.markings == (RING,)
    assert (first.quarter_turns, first.facts.orientation) == (0, 1)
    with Image.open(opened_desk.originals.path_of(first.facts.sha256)) as picture:
        # Turned upright and a quarter further, 1200 × 900 lies as 1200 × 900 again.
        assert picture.size == (1200, 900)
        red, green, blue = picture.convert("RGB").getpixel((30, 30))  # type: ignore[misc]
        assert max(red, green, blue) < 60, "the covered place is dark"
    for document in opened.documents:
        assert document.sha256 == ""
    for document in claim.documents:
        assert document.sha256 in listed
    other.close()


def test_a_photo_that_cannot_be_shown_is_only_named(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    broken = originals.put(b"\xff\xd8\xff no picture at all")
    second = claim.photos[1]
    facts = dataclasses.replace(second.facts, sha256=broken, bytes=24)
    odd = dataclasses.replace(
        claim,
        photos=(
            claim.photos[0],
            dataclasses.replace(second, facts=facts),
            *claim.photos[2:],
        ),
    )
    bundle = write_claim_bundle(odd, originals, tmp_path / "s.zip", profile="shared")
    opened = open_bundle(bundle, tmp_path / "laid out")
    assert second.id not in {one.id for one in opened.claim.photos}
    listed = members(bundle)["data/originals-not-enclosed.txt"].decode()
    assert f"{broken}  {second.name}  (nothing enclosed)" in listed


def test_a_shared_bundle_is_the_same_each_time_and_a_changed_byte_is_named(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    day = dt.date(2026, 3, 20)
    first, second = (
        write_claim_bundle(
            claim, originals, tmp_path / name, profile="shared", version="dispute", date=day
        )
        for name in ("a.zip", "b.zip")
    )
    assert first.read_bytes() == second.read_bytes()
    with zipfile.ZipFile(first) as archive:
        entry = next(one for one in archive.infolist() if one.filename.endswith(".jpg"))
    data = bytearray(first.read_bytes())
    data[entry.header_offset + 400] ^= 4
    first.write_bytes(data)
    (sentence,) = verify_bundle(first)
    assert sentence.startswith("data/derivatives/")


@pytest.mark.parametrize("version", ["photos", "counts"])
def test_what_goes_to_nobody_is_not_shared(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path, version: str
) -> None:
    with pytest.raises(LdappError, match="goes to somebody"):
        write_claim_bundle(
            claim,
            originals,
            tmp_path / "s.zip",
            profile="shared",
            version=version,  # type: ignore[arg-type]
        )


ELSEWHERE = """
import sys
from ldapp.cli import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize("profile", ["complete", "shared"])
def test_two_machines_write_the_same_bundle(tmp_path: Path, profile: str) -> None:
    """Another zone, language, home, folder and order of hashing: the same bytes."""
    written = []
    for number, (zone, language) in enumerate(
        (("Pacific/Kiritimati", "tr_TR.UTF-8"), ("America/Anchorage", "C"))
    ):
        home = tmp_path / f"home {number}"
        home.mkdir()
        target = home / "bundle.zip"
        subprocess.run(
            [
                *(sys.executable, "-c", ELSEWHERE, "bundle", "--demo", "--out", str(target)),
                *("--date", "2026-03-20", "--profile", profile, "--version", "insurer"),
            ],
            check=True,
            cwd=ROOT,
            env={
                **os.environ,
                "TZ": zone,
                "LC_ALL": language,
                "LANG": language,
                "PYTHONHASHSEED": str(number + 5),
                "HOME": str(home),
                "TMPDIR": str(home),
            },
            capture_output=True,
        )
        written.append(target.read_bytes())
    assert written[0] == written[1]
