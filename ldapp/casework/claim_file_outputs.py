"""Dossiers and bundles from a claim file as it is, without a library."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from ldapp.casework import dossier
from ldapp.casework.bundles import BundleProfile, write_claim_bundle
from ldapp.casework.claim_files import reckoned
from ldapp.casework.originals import FolderOriginals
from ldapp.dossier.request import Version
from ldapp.exchange.bundle import verify_bundle
from ldapp.exchange.claim_file import read_claim_file


def write_dossier_of_file(
    path: Path,
    version: Version,
    target: Path,
    date: dt.date | None,
    largest_file: int = dossier.LARGEST_FILE,
) -> dossier.Written:
    """Write a dossier from a claim file; photos and papers are found beside it."""
    claim = read_claim_file(path)
    day = date or dt.datetime.now().astimezone().date()
    return dossier.write(
        claim,
        FolderOriginals(claim, path.parent),
        version,
        target,
        day,
        reckoning=reckoned(claim, path, day),
        largest_file=largest_file,
    )


def write_bundle_of_file(
    path: Path,
    target: Path,
    date: dt.date | None,
    profile: BundleProfile = "complete",
    version: Version = "insurer",
) -> Path:
    """Write a claim file's claim and dossier as one bundle; return its path."""
    claim = read_claim_file(path)
    reckoned(claim, path)
    return write_claim_bundle(
        claim,
        FolderOriginals(claim, path.parent),
        target,
        profile=profile,
        version=version,
        date=date,
    )


def verify_bundle_file(path: Path) -> tuple[str, ...]:
    """Return a sentence for every file of a bundle that differs from what was written."""
    return verify_bundle(path)
