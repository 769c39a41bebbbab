"""The use cases of the command line: a claim file in, a result out, no library needed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from ldapp.casework import dossier
from ldapp.casework.originals import FolderOriginals
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.reckoning_report import reckoning_as_json
from ldapp.claim.claim import Claim
from ldapp.dossier.request import Version
from ldapp.errors import Fault, InputError
from ldapp.exchange.bundle import verify_bundle, write_bundle
from ldapp.exchange.claim_file import read_claim_file
from ldapp.reckoning.result import Reckoning


def reckon_claim_file(path: Path) -> dict[str, Any]:
    """Return the reckoning of a claim file as the JSON object of ``ldapp reckon``.

    Raises:
        InputError: the file is no claim file, or its terms cannot be right; every fault at once.
    """
    claim = read_claim_file(path)
    return reckoning_as_json(claim, _reckoned(claim, path))


def _reckoned(claim: Claim, path: Path) -> Reckoning:
    """Reckon a claim; faults of its terms are named with the file that they stand in."""
    try:
        return reckon_claim(claim)
    except InputError as error:
        raise InputError(
            tuple(
                Fault(str(path), fault.place, fault.wrong, fault.expected) for fault in error.faults
            )
        ) from error


def write_dossier_of_file(
    path: Path, version: Version, target: Path, date: dt.date | None
) -> dossier.Written:
    """Write a dossier from a claim file; photos and papers are found beside it."""
    claim = read_claim_file(path)
    return dossier.write(
        claim,
        FolderOriginals(claim, path.parent),
        version,
        target,
        date or dt.datetime.now().astimezone().date(),
        reckoning=_reckoned(claim, path),
    )


def write_bundle_of_file(path: Path, target: Path) -> Path:
    """Write claim, originals and the insurer's dossier as one bundle; return its path."""
    claim = read_claim_file(path)
    write_bundle(claim, FolderOriginals(claim, path.parent), target)
    return target


def verify_bundle_file(path: Path) -> tuple[str, ...]:
    """Return a sentence for every file of a bundle that differs from what was written."""
    return verify_bundle(path)
