"""Writing a dossier with photos at the resolution given against a lossless converter."""

from __future__ import annotations

import datetime as dt
import importlib.util
import sys
import tempfile
from pathlib import Path

from ldapp.casework import dossier
from ldapp.casework.photos import take_in_photos
from ldapp.casework.register import Register
from ldapp.store.library import Library
from tests.benchmarks.photos import twelve_megapixels
from tests.benchmarks.table import Row, command, pairs

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
        names = [str(path) for path in sorted(card.iterdir())]
        ours, reference = pairs(
            3,
            lambda: dossier.write(desk.claim, desk.originals, "photos", place / "ours.pdf", DAY),
            command(sys.executable, "-m", "img2pdf", "-o", str(place / "theirs.pdf"), *names),
        )
        register.close()
    return [
        Row(f"photo sheet of {files} photos", ours, "lossless image-to-PDF converter", reference,
            1.5)
    ]  # fmt: skip
