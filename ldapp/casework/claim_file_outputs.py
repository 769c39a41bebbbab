"""Dossiers and bundles from a claim file as it is, without a library."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path

from ldapp.casework import dossier
from ldapp.casework.bundles import BundleProfile, write_claim_bundle
from ldapp.casework.claim_files import reckoned
from ldapp.casework.originals import FolderOriginals
from ldapp.dossier.request import Version
from ldapp.errors import InputError
from ldapp.exchange.bundle import open_bundle, verify_bundle
from ldapp.exchange.claim_file import read_claim_file
from ldapp.store.chain import chain_breaks


def write_dossier_of_file(
    path: Path,
    version: Version,
    target: Path,
    date: dt.date | None,
    largest_file: int = dossier.LARGEST_FILE,
    device_serials: bool = True,
    *,
    language: str,
) -> dossier.Written:
    """Write a dossier in a language from a claim file; photos and papers are found beside it."""
    claim = read_claim_file(path)
    day = date or dt.datetime.now().astimezone().date()
    return dossier.write(
        claim,
        FolderOriginals(claim, path.parent),
        dossier.Choices(
            version,
            day,
            largest_file=largest_file,
            device_serials=device_serials,
            language=language,
        ),
        target,
        reckoning=reckoned(claim, path, day),
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
    """Return one sentence for everything in a bundle that is not as it was written.

    Where every file is, the claim's record of changes is followed entry by entry, too.

    Raises:
        InputError: it is no bundle, or holds what no bundle may hold.
    """
    with tempfile.TemporaryDirectory(prefix="ldapp-bundle-") as folder:
        try:
            claim = open_bundle(path, Path(folder)).claim
        except InputError:
            differs = verify_bundle(path)
            if not differs:  # the files are as written, and the claim is none
                raise
            return differs
    return chain_breaks((entry, None) for entry in claim.journal)
