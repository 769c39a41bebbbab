"""The code that draws the demo claims: the same bytes again, camera data that others read."""

from __future__ import annotations

import datetime as dt
import io
import shutil
from pathlib import Path

import exifread
import numpy as np
import pytest
from PIL import Image, ImageChops, ImageStat

from demo_claims.draw import drawn_with
from demo_claims.draw.exif import Device, Stamp, block, with_camera_data
from demo_claims.draw.make import STORIES, draw_photo, write_story
from demo_claims.draw.mesh import box, sheet
from demo_claims.draw.raster import View, rasterise
from demo_claims.draw.spreadsheets import delimited, xlsx
from ldapp.evidence.read import read_photo

FOLDER = Path(__file__).parents[2] / "demo_claims"
SAMPLE = {"paper_lanterns": "p10"}


def _same_libraries() -> bool:
    return drawn_with.installed() == drawn_with.recorded()


@pytest.mark.parametrize("name", sorted(STORIES))
def test_documents_spreadsheets_and_claim_come_out_the_same(name: str, tmp_path: Path) -> None:
    shutil.copytree(FOLDER / name / "photos", tmp_path / name / "photos")
    written = write_story(STORIES[name], tmp_path, keep_photos=True)
    assert len(written) > 15
    for path in written:
        here = FOLDER / path.relative_to(tmp_path)
        if _same_libraries():
            assert path.read_bytes() == here.read_bytes(), path.name
        elif path.suffix == ".pdf":
            assert path.read_bytes()[:5] == here.read_bytes()[:5] == b"%PDF-"


@pytest.mark.parametrize(("name", "photo"), sorted(SAMPLE.items()))
def test_a_photo_comes_out_the_same(name: str, photo: str) -> None:
    shot = next(shot for shot in STORIES[name].shots if shot.id == photo)
    again, here = draw_photo(shot), (FOLDER / name / "photos" / shot.file).read_bytes()
    if _same_libraries():
        assert again == here
    else:
        difference = ImageChops.difference(
            Image.open(io.BytesIO(again)), Image.open(io.BytesIO(here))
        )
        assert max(ImageStat.Stat(difference).mean) < 4


def test_camera_data_is_read_alike_by_three_readers(tmp_path: Path) -> None:
    device = Device(
        "Demo Maker",
        "Model (invented)",
        "1.0",
        "X",
        serial="S-1",
        clock_error_s=462,
        little_endian=True,
    )
    when = dt.datetime(2026, 10, 30, 15, 31, 46, tzinfo=dt.timezone(dt.timedelta(hours=-4)))
    image = Image.new("RGB", (64, 48), (200, 90, 40))
    stream = io.BytesIO()
    image.save(stream, "JPEG")
    stamp = Stamp(device, when, 7, position=(40.67125, -74.01031), milliseconds=70)
    path = tmp_path / "x.jpg"
    path.write_bytes(with_camera_data(stream.getvalue(), block(stamp, image, 6)))

    facts = read_photo(path)
    assert facts.taken is not None
    assert facts.taken.local == "2026-10-30T15:39:28"
    assert facts.taken.digits == "070"
    assert facts.taken.offset == "-04:00"
    assert facts.serial == "S-1"
    assert facts.orientation == 6
    assert facts.satellite is not None
    assert facts.satellite.time == "19:31:46"
    assert facts.satellite.longitude == pytest.approx(-74.01031, abs=1e-6)
    assert facts.preview is not None
    preview = path.read_bytes()[facts.preview.offset :][: facts.preview.length]
    assert Image.open(io.BytesIO(preview)).size == (160, 120)

    with path.open("rb") as file:
        tags = exifread.process_file(file)
    assert str(tags["EXIF DateTimeOriginal"]) == "2026:10:30 15:39:28"
    assert str(tags["GPS GPSDate"]) == "2026:10:30"
    with Image.open(path) as opened:
        assert opened.getexif()[0x0110] == "Model (invented)"
        assert opened.size == (64, 48)


def test_nearer_things_hide_farther_ones() -> None:
    view = View((0, -2, 0.5), (0, 0, 0.5), 40, width=80, height=60)
    wall = sheet((-2, 1, -1), (4, 0, 0), (0, 0, 4), 0)
    block_in_front = box((0.5, 0.5, 1.0), 1)
    points = np.concatenate([wall.points, block_in_front.points])
    triangles = np.concatenate([wall.triangles, block_in_front.triangles + len(wall.points)])
    near, owner = rasterise(view, points, triangles.astype(np.int32))
    assert owner.min() >= 0
    assert owner[30, 40] >= len(wall.triangles)
    assert owner[30, 2] < len(wall.triangles)
    # The front face is 1.75 m away, the wall 3 m: nearness is one over the distance.
    assert near[30, 40] == pytest.approx(1 / 1.75, rel=0.01)
    assert near[30, 2] == pytest.approx(1 / 3, rel=0.01)


def test_spreadsheets_have_no_time_of_day_in_them() -> None:
    head, rows = ("No.", "Item", "Quantity", "Value"), [("1", "Lamp", 2, 12.5), ("2", None, 1, 3.0)]
    assert xlsx("A", ("B",), head, rows, (5, 20, 8, 8)) == xlsx(
        "A", ("B",), head, rows, (5, 20, 8, 8)
    )
    assert (
        delimited(head, rows, ";").decode()
        == "No.;Item;Quantity;Value\r\n1;Lamp;2;12.5\r\n2;;1;3.0\r\n"
    )
