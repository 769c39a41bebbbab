"""Writing a photo sheet in a process of its own, to see how much memory that takes."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

from tests.dossier.small_claim import picture_bytes

_REPOSITORY = Path(__file__).parents[2]

_WRITE = """
import datetime as dt, re, sys
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
# Not the resource usage: that begins with the peak of whoever started this process.
status = Path("/proc/self/status").read_text()
print(result.bytes, re.search(r"VmHWM:\\s+(\\d+) kB", status)[1])
"""


class Alone(NamedTuple):
    """What came out: the size of the dossier and the peak of memory, in bytes."""

    size: int
    peak: int


def photos_with_scans_of_their_own(folder: Path, photos: int, size: int) -> None:
    """Fill a folder with JPEGs of some ``size`` bytes; no two scans are alike, none is decoded."""
    data = picture_bytes(1, (400, 300))
    scan = data.index(b"\xff\xda") + 14
    for number in range(photos):
        grain = number.to_bytes(2, "big").replace(b"\xff", b"\x7f") * (size // 2)
        (folder / str(number)).write_bytes(data[:scan] + grain + data[scan:])


def written_alone(folder: Path, photos: int) -> Alone:
    """Write a photo sheet of the first photos of a folder, as given."""
    done = subprocess.run(
        [sys.executable, "-c", _WRITE, str(folder), str(photos)],
        capture_output=True,
        text=True,
        check=True,
        cwd=_REPOSITORY,
    )
    size, kilobytes = done.stdout.split()
    return Alone(int(size), int(kilobytes) * 1024)
