"""Bundles: the claim, its originals and the dossier in one file that can be verified."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Callable
from pathlib import Path

from ldapp.casework import dossier
from ldapp.casework.originals import Originals
from ldapp.claim.claim import Claim
from ldapp.exchange.bundle import write_bundle

Progress = Callable[[int, int, str], None]


def write_claim_bundle(
    claim: Claim,
    originals: Originals,
    target: Path,
    progress: Progress = lambda done, total, text: None,
    *,
    version: dossier.Version = "insurer",
    date: dt.date | None = None,
) -> Path:
    """Write a bundle of the claim with its untouched originals and a dossier; return its path.

    ``claim`` carries its journal where the bundle shall hold it.  A bundle holds the whole
    claim: it is for one's own archive and for the insurer, not for the rental company.

    Raises:
        LdappError: an original is missing or changed.
        MachineError: the file cannot be written; nothing half-written is left.
    """
    day = date or dt.datetime.now().astimezone().date()
    with tempfile.TemporaryDirectory(prefix="ldapp-bundle-") as folder:
        paper = Path(folder) / dossier.file_name(claim, version, day)
        written = dossier.write(claim, originals, version, paper, day, progress=progress)
        return write_bundle(claim, originals, target, written.paths[0], progress)
