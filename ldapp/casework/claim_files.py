"""The use cases of the command line: a claim file in, a result out, no library needed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from ldapp.casework import dossier
from ldapp.casework.originals import FolderOriginals
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.reckoning_report import reckoning_as_json
from ldapp.dossier.request import Version
from ldapp.errors import InputError
from ldapp.exchange.bundle import verify_bundle, write_bundle
from ldapp.exchange.claim_file import read_claim_file
from ldapp.reckoning.checks import check_terms


def reckon_claim_file(path: Path) -> dict[str, Any]:
    """Return the reckoning of a claim file as the JSON object of ``ldapp reckon``.

    Raises:
        InputError: the file is no claim file, or its terms cannot be right; every fault at once.
    """
    claim = read_claim_file(path)
    faults = check_terms(claim, str(path))
    if faults:
        raise InputError(faults)
    return reckoning_as_json(claim, reckon_claim(claim))


def write_dossier_of_file(
    path: Path, version: Version, target: Path, date: dt.date | None
) -> dossier.Written:
    """Write a dossier from a claim file; photos and papers are found beside it."""
    claim = read_claim_file(path)
    faults = check_terms(claim, str(path))
    if faults:
        raise InputError(faults)
    return dossier.write(
        claim,
        FolderOriginals(claim, path.parent),
        version,
        target,
        date or dt.datetime.now().astimezone().date(),
    )


def write_bundle_of_file(path: Path, target: Path) -> Path:
    """Write claim, originals and the insurer's dossier as one bundle; return its path."""
    claim = read_claim_file(path)
    write_bundle(claim, FolderOriginals(claim, path.parent), target)
    return target


def verify_bundle_file(path: Path) -> tuple[str, ...]:
    """Return a sentence for every file of a bundle that differs from what was written."""
    return verify_bundle(path)
