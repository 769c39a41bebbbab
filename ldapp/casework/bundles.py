"""Bundles: the claim, its originals and the dossier in one file that can be verified."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ldapp.casework.originals import Originals
from ldapp.claim.claim import Claim

Progress = Callable[[int, int, str], None]


def write_claim_bundle(
    claim: Claim,
    originals: Originals,
    target: Path,
    progress: Progress = lambda done, total, text: None,
) -> Path:
    """Write a bundle of the claim with its untouched originals; return its path.

    ``claim`` carries its journal where the bundle shall hold it.

    Raises:
        LdappError: an original is missing.
        MachineError: the file cannot be written; nothing half-written is left.
    """
    from ldapp.exchange.bundle import write_bundle  # noqa: PLC0415 - loads the archive library

    progress(0, 1, target.name)
    write_bundle(claim, originals, target)
    progress(1, 1, target.name)
    return target
