"""What is done with each damaged file: the same as the program does with a file handed in.

Each function returns a word for what came of it and lets any other exception than the
program's own pass: that is a fault.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from random import Random
from typing import NamedTuple

from ldapp.errors import LdappError
from tests.endurance.damage import damaged_archive, damaged_bytes, damaged_json

REPOSITORY = Path(__file__).parents[2]
DEMO = REPOSITORY / "demo_claims"
SHARED_PHOTOS = REPOSITORY.parent / "shared" / "photos"
LARGEST_SEED = 3 << 20


class Reading(NamedTuple):
    """One kind of file: the sound ones, how they are damaged, how they are read, the limits."""

    sound: Callable[[], Sequence[bytes]]
    damage: Callable[[Random, Sequence[bytes]], bytes]
    read: Callable[[Path], str]
    name: str
    seconds: float
    """Of processor time for one file."""
    megabytes: int
    """Of memory above what the warm process has; none above 300 MB in all for photos."""


@cache
def _photos() -> tuple[bytes, ...]:
    own = [one for one in DEMO.rglob("*") if one.suffix.lower() == ".jpg"]
    others = SHARED_PHOTOS.rglob("*") if SHARED_PHOTOS.is_dir() else ()
    kinds = {".jpg", ".jpeg", ".heic", ".avif", ".png", ".webp", ".tif", ".tiff", ".dng", ".mov"}
    found = sorted([*own, *(one for one in others if one.suffix.lower() in kinds)])
    return tuple(one.read_bytes() for one in found if 0 < one.stat().st_size <= LARGEST_SEED)


def _read_photo(path: Path) -> str:
    from ldapp.evidence.context import VerifyContext
    from ldapp.evidence.first_look import first_look
    from ldapp.evidence.read import read_photo
    from ldapp.evidence.report import photo_report
    from ldapp.evidence.verify import verify

    facts = read_photo(path)
    for context in (VerifyContext(), VerifyContext(zone="Europe/Berlin")):
        verdict = verify(facts, context)
        if not verdict.summary.strip():
            raise AssertionError("no verdict")
    photo_report(path)
    if facts.error is not None:
        if not facts.error.strip().endswith("."):
            raise AssertionError(f"no sentence: {facts.error!r}")
        return "sentence"
    return "verdict and picture" if first_look(path, facts).small else "verdict"


@cache
def _claim_files() -> tuple[bytes, ...]:
    return tuple(one.read_bytes() for one in sorted(DEMO.rglob("claim.json")))


def _read_claim(path: Path) -> str:
    from ldapp.casework.claim_files import reckon_claim_file

    return _told(lambda: reckon_claim_file(path))


@cache
def _lists() -> tuple[bytes, ...]:
    found = sorted(one for one in DEMO.rglob("*") if one.suffix in {".xlsx", ".csv", ".ods"})
    return tuple(one.read_bytes() for one in found)


def _damaged_list(dice: Random, whole: Sequence[bytes]) -> bytes:
    one = dice.choice(whole)
    return (damaged_archive if one.startswith(b"PK") else damaged_bytes)(dice, (one,))


def _read_list(path: Path) -> str:
    from ldapp.exchange.invoice_file import read_invoice
    from ldapp.exchange.kit_list import read_kit_list

    return " / ".join((_told(lambda: read_kit_list(path)), _told(lambda: read_invoice(path))))


@cache
def _papers() -> tuple[bytes, ...]:
    found = sorted(one for one in DEMO.rglob("*.pdf") if one.stat().st_size < 200_000)
    return tuple(one.read_bytes() for one in found)


@cache
def _bundles() -> tuple[bytes, ...]:
    made = io.BytesIO()
    from ldapp.exchange.bundle_archive import ArchiveWriter

    files = {
        "b/bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "b/bag-info.txt": b"Payload-Oxum: 5.1\n",
        "b/data/claim.json": _claim_files()[0],
        "b/manifest-sha256.txt": b"0" * 64 + b"  data/claim.json\n",
    }
    with ArchiveWriter(made) as archive:
        for name, content in files.items():
            archive.add(name, io.BytesIO(content), len(content))
    return (made.getvalue(),)


def _read_bundle(path: Path) -> str:
    from ldapp.exchange.bundle import verify_bundle

    return _told(lambda: verify_bundle(path))


def _told(act: Callable[[], object]) -> str:
    try:
        act()
    except LdappError as error:
        if not str(error).strip().endswith("."):
            raise AssertionError(f"no sentence: {error}") from error
        return "refused"
    except zipfile.BadZipFile as error:
        raise AssertionError("an exception of a library came through") from error
    return "read"


READINGS = {
    "photos": Reading(_photos, damaged_bytes, _read_photo, "damaged.jpg", 2, 300),
    "claims": Reading(_claim_files, damaged_json, _read_claim, "claim.json", 5, 500),
    "lists": Reading(_lists, _damaged_list, _read_list, "list", 10, 1000),
    "papers": Reading(_papers, damaged_bytes, _read_list, "paper.pdf", 20, 1000),
    "bundles": Reading(_bundles, damaged_archive, _read_bundle, "bundle.zip", 5, 500),
}
