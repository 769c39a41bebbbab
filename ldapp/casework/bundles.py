"""Bundles: the claim with what it rests on, and the dossier, in one file that can be verified."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Literal, TypeAlias

from ldapp.casework import dossier
from ldapp.casework.originals import Originals
from ldapp.claim.claim import Claim
from ldapp.errors import LdappError
from ldapp.exchange.bundle_writing import write_complete_bundle, write_shared_bundle
from ldapp.language import marked, said

Progress = Callable[[int, int, str], None]

BundleProfile: TypeAlias = Literal["complete", "shared"]

PROFILE_NAMES: dict[BundleProfile, str] = {
    "complete": marked("Everything, with the untouched originals"),
    "shared": marked("What may be passed on, without originals"),
}
PROFILE_SAYS: dict[BundleProfile, str] = {
    "complete": marked(
        "For your own archive and the insurer: the whole claim with its journal and every "
        "original, with the positions and serial numbers that cameras wrote into them. "
        "Never for the rental company."
    ),
    "shared": marked(
        "Only what the chosen dossier tells: its pages, the same part of the claim, and "
        "pictures without position or serial number, what is covered gone from them. "
        "Originals stay with you; their hashes are listed."
    ),
}


def write_claim_bundle(
    claim: Claim,
    originals: Originals,
    target: Path,
    progress: Progress = lambda done, total, text: None,
    *,
    profile: BundleProfile = "complete",
    version: dossier.Version = "insurer",
    agreement: str | None = None,
    date: dt.date | None = None,
) -> Path:
    """Write a bundle of the claim and one version of its dossier; return its path.

    ``claim`` carries its journal where a complete bundle shall hold it; a shared one holds
    what the recipient of ``version`` may have, and no journal.

    Raises:
        LdappError: an original is missing or changed, or what is shared is meant for nobody.
        MachineError: the file cannot be written; nothing half-written is left.
    """
    if profile == "shared" and version not in ("insurer", "dispute"):
        raise LdappError(
            said(
                "A shared bundle goes to somebody: choose the statement of loss, to the "
                "insurer, or the answer to the charges, to the rental company."
            )
        )
    day = date or dt.datetime.now().astimezone().date()
    with tempfile.TemporaryDirectory(prefix="ldapp-bundle-") as name:
        folder = Path(name)
        paper = folder / dossier.file_name(claim, version, day)
        choices = dossier.Choices(version, day, agreement)
        written = dossier.write(claim, originals, choices, paper, progress=progress)
        if profile == "complete":
            return write_complete_bundle(claim, originals, target, written.paths, progress)
        material = dossier.shared_material(claim, originals, choices, folder, progress)
        return write_shared_bundle(
            material.claim,
            material.pictures,
            material.not_enclosed,
            target,
            written.paths,
            progress,
        )
