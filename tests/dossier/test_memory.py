"""A dossier's memory is bounded by what is on its pages, not by its photos."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.dossier.small_claim import picture_bytes

REPOSITORY = Path(__file__).parents[2]
PHOTO_BYTES = 150_000

WRITE = """
import datetime as dt, resource, sys
from pathlib import Path
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.dossier.request import DossierRequest
from ldapp.dossier.write import write_dossier
from ldapp.reckoning.engine import reckon

folder, photos = Path(sys.argv[1]), int(sys.argv[2])

class Originals:
    def path_of(self, sha256):
        return folder / sha256

claim = Claim(id="c", reference="R", title="T", currency="USD", zone="UTC", photos=tuple(
    Photo(id=str(one), name=f"{one}.jpg", facts=PhotoFacts(
        file_name=f"{one}.jpg", sha256=str(one), bytes=1, kind="image/jpeg"))
    for one in range(photos)))
result = write_dossier(
    DossierRequest(claim=claim, reckoning=reckon(claim), version="photos",
                   date=dt.date(2026, 3, 20), originals=Originals(), size_budget=10**12),
    folder / f"{photos}.pdf")
assert result.photo_resolution == "as taken"
print(result.bytes, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A thousand photos, each with a scan of its own; nobody decodes them."""
    place = tmp_path_factory.mktemp("photos")
    data = picture_bytes(1, (400, 300))
    scan = data.index(b"\xff\xda") + 14
    for number in range(1000):
        grain = number.to_bytes(2, "big").replace(b"\xff", b"\x7f") * (PHOTO_BYTES // 2)
        (place / str(number)).write_bytes(data[:scan] + grain + data[scan:])
    return place


def written(folder: Path, photos: int) -> tuple[int, int]:
    """Write a photo sheet in a process of its own; return its bytes and the peak of memory."""
    done = subprocess.run(
        [sys.executable, "-c", WRITE, str(folder), str(photos)],
        capture_output=True,
        text=True,
        check=True,
        cwd=REPOSITORY,
    )
    size, kilobytes = done.stdout.split()
    return int(size), int(kilobytes) * 1024


def test_a_thousand_photos_need_no_more_memory_than_three_hundred(folder: Path) -> None:
    few, peak_of_few = written(folder, 300)
    many, peak_of_many = written(folder, 1000)
    assert few > 300 * PHOTO_BYTES
    assert many > 1000 * PHOTO_BYTES
    # The photos are 105 megabytes more; captions and pages are all that may grow.
    assert peak_of_many < 1.3 * peak_of_few
    assert peak_of_many - peak_of_few < 0.2 * (many - few)
