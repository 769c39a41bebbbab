"""Taking photos in against cp, sha256sum, a batch metadata reader and a fast thumbnailer."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from ldapp.casework.photo_intake import take_in_photos
from ldapp.casework.photo_previews import GRID_EDGE
from ldapp.casework.register import Register
from ldapp.store.claim_library import Library
from tests.benchmarks.photos import twelve_megapixels
from tests.benchmarks.table import Row, command, missing, pairs


def _take_in(card: Path, place: Path) -> None:
    register = Register(Library.open(place / "library"), "benchmark")
    desk = register.create("B-1", "Benchmark", "USD", "UTC")
    previews = place / "previews"
    intake = take_in_photos(desk, register.originals, [card], previews=previews)
    assert not intake.refused
    assert len(list(previews.rglob("*.jpg"))) == len(intake.taken)
    register.close()


def _by_other_tools(card: Path, place: Path) -> None:
    place.mkdir()
    names = [str(path) for path in sorted(card.iterdir())]
    for words in (
        ("cp", *names, str(place)),
        ("sha256sum", *names),
        ("exiftool", "-q", "-j", "-G1", "-n", str(card)),
        ("vipsthumbnail", *names, "--size", str(GRID_EDGE), "-o", f"{place}/%s-small.jpg"),
    ):
        command(*words)()


def measure(files: int) -> list[Row]:
    """Measure copy, hash, verdict, preview and storing together."""
    if missing("cp", "sha256sum", "exiftool", "vipsthumbnail"):
        return []
    with tempfile.TemporaryDirectory() as folder:
        card = Path(folder, "card")
        card.mkdir()
        twelve_megapixels(card, files)
        mine, theirs = Path(folder, "ours"), Path(folder, "theirs")

        def clear() -> None:
            """Remove what the runs before left, and wait for what is still being written."""
            for place in (mine, theirs):
                shutil.rmtree(place, ignore_errors=True)
            os.sync()

        ours, reference = pairs(
            3, lambda: _take_in(card, mine), lambda: _by_other_tools(card, theirs), clear
        )
    return [
        Row(
            f"take in {files} photos of twelve megapixels with previews",
            ours,
            "cp, sha256sum, metadata reader, thumbnailer",
            reference,
            0.5,
        )
    ]
