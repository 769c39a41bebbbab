"""Photos come in whole, verified, looked at once, in their order, or not at all."""

from __future__ import annotations

import dataclasses
import hashlib
import os
from pathlib import Path

import pytest
from PIL import Image

from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.photo_intake import photo_files, take_in_photos
from ldapp.casework.photo_previews import GRID_EDGE, preview_jpeg
from ldapp.casework.register import Register
from ldapp.errors import MachineError


def drawn(path: Path, colour: tuple[int, int, int] = (90, 30, 20)) -> Path:
    Image.new("RGB", (640, 480), colour).save(path)
    return path


def test_photos_keep_the_order_of_their_files_and_the_name_of_the_source(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    folder = tmp_path / "card"
    folder.mkdir()
    for number in range(30):
        path = drawn(folder / f"IMG_{number:04d}.JPG", (number * 8, 10, 10))
        os.utime(path, ns=(0, 1_700_000_000_123_456_789 + number * 10**9))
    intake = take_in_photos(desk, register.originals, [folder])
    assert [photo.name for photo in desk.claim.photos] == [
        f"IMG_{number:04d}.JPG" for number in range(30)
    ]
    assert intake.taken == desk.claim.photos
    for photo, path in zip(intake.taken, photo_files([folder]), strict=True):
        assert photo.facts.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
        assert desk.originals.path_of(photo.facts.sha256).read_bytes() == path.read_bytes()
        assert photo.file_modified is not None
        assert photo.file_modified.microsecond == 123_456
        assert photo.facts.file_modified == photo.file_modified


def test_the_small_picture_of_the_grid_is_there_after_the_intake(
    register: Register, desk: OpenClaim, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take_in_photos(desk, register.originals, [drawn(tmp_path / "a.jpg")])
    (photo,) = desk.claim.photos

    def never(*args: object) -> bytes:
        raise AssertionError("drawn again")

    monkeypatch.setattr("ldapp.casework.photo_previews.draw_preview", never)
    assert preview_jpeg(desk.originals, photo, GRID_EDGE).startswith(b"\xff\xd8")


def test_the_same_photo_twice_in_one_go_is_one(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    one, other = drawn(tmp_path / "a.jpg"), drawn(tmp_path / "b.jpg")
    intake = take_in_photos(desk, register.originals, [one, other])
    assert (len(intake.taken), intake.already_there) == (1, (other,))
    again = take_in_photos(desk, register.originals, [one, other])
    assert (again.taken, again.already_there) == ((), (one, other))


def test_files_that_are_none_are_refused_and_the_others_come_in(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    text = tmp_path / "words.jpg"
    text.write_bytes(b"no picture at all")
    pipe = tmp_path / "pipe.jpg"
    os.mkfifo(pipe)
    gone = tmp_path / "gone.jpg"
    paths = [text, pipe, gone, drawn(tmp_path / "a.jpg")]
    intake = take_in_photos(desk, register.originals, paths)
    assert [one.path for one in intake.refused] == [text, pipe, gone]
    says = [one.says for one in intake.refused]
    assert says[0].startswith("words.jpg is not a photo or movie")
    assert "not an ordinary file" in says[1]
    assert "cannot be read" in says[2]
    assert len(intake.taken) == 1
    left = [path for path in register.originals.folder.rglob("*") if path.is_file()]
    assert len(left) == 1


def test_a_library_that_cannot_be_written_stops_the_intake(
    register: Register, desk: OpenClaim, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = drawn(tmp_path / "a.jpg")
    register.originals.folder.rename(tmp_path / "unplugged")
    with pytest.raises(MachineError, match="folder of originals"):
        take_in_photos(desk, register.originals, [path], source="card")
    assert desk.claim.photos == ()


def test_a_preview_that_was_turned_is_another(
    register: Register, desk: OpenClaim, tmp_path: Path
) -> None:
    take_in_photos(desk, register.originals, [drawn(tmp_path / "a.jpg")])
    (photo,) = desk.claim.photos
    turned = dataclasses.replace(photo, quarter_turns=1)
    assert preview_jpeg(desk.originals, photo, 100) != preview_jpeg(desk.originals, turned, 100)


def test_what_was_deleted_from_a_card_does_not_come_back(tmp_path: Path) -> None:
    inside = tmp_path / "DCIM" / "100DEMO"
    for folder in (inside, tmp_path / ".Trashes" / "501", tmp_path / "MISC"):
        folder.mkdir(parents=True)
    kept = drawn(inside / "IMG_0002.JPG"), drawn(inside / "img_0001.jpeg")
    (inside / "._IMG_0002.JPG").write_bytes(b"x")
    drawn(tmp_path / ".Trashes" / "501" / "IMG_0009.JPG")
    (tmp_path / "MISC" / "settings.dat").write_bytes(b"x")
    assert list(photo_files([tmp_path])) == list(kept)
