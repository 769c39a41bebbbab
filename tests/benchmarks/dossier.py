"""Writing a dossier with photos at the resolution given: time against a lossless converter,
and peak memory against that of a third of the photos."""

from __future__ import annotations

import datetime as dt
import importlib.util
import sys
import tempfile
from pathlib import Path

from ldapp.casework.photo_intake import take_in_photos
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.register import Register
from ldapp.casework.verdicts import verdicts_of
from ldapp.dossier.request import DossierRequest
from ldapp.dossier.write import write_dossier
from ldapp.store.claim_library import Library
from tests.benchmarks.photos import twelve_megapixels
from tests.benchmarks.table import Row, command, pairs
from tests.dossier.alone import photos_with_scans_of_their_own, written_alone

DAY = dt.date(2026, 3, 20)


def measure(files: int) -> list[Row]:
    """Measure the photo sheet; both sides write every photo into one PDF."""
    if importlib.util.find_spec("img2pdf") is None:
        print("img2pdf is not installed; the row of the dossier is left out.")
        return []
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        card = place / "card"
        card.mkdir()
        twelve_megapixels(card, files)
        register = Register(Library.open(place / "library"), "benchmark")
        desk = register.create("B-1", "Benchmark", "USD", "UTC")
        take_in_photos(desk, register.originals, [card])
        verdicts = verdicts_of(desk.claim)
        request = DossierRequest(
            claim=desk.claim,
            reckoning=reckon_claim(desk.claim, verdicts),
            version="photos",
            date=DAY,
            originals=desk.originals,
            verdicts=verdicts,
            # At the resolution given: the usual budget would have the photos drawn smaller.
            size_budget=sys.maxsize,
        )
        names = [str(path) for path in sorted(card.iterdir())]
        ours, reference = pairs(
            3,
            lambda: write_dossier(request, place / "ours.pdf"),
            command(sys.executable, "-m", "img2pdf", "-o", str(place / "theirs.pdf"), *names),
        )
        register.close()
    few = max(files * 3 // 10, 1)
    return [
        Row(f"photo sheet of {files} photos", ours, "lossless image-to-PDF converter", reference,
            1.5),
        Row(f"peak memory of {files} photos, as given", _peak(files), f"of {few} photos",
            _peak(few), 1.3, unit="MB"),
    ]  # fmt: skip


def _peak(files: int) -> float:
    """Return the peak memory of writing so many photos, each 2 MB, in a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        photos_with_scans_of_their_own(Path(folder), files, 2_000_000)
        return written_alone(Path(folder), files).peak / 1e6
