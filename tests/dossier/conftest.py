from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from ldapp.claim.claim import Claim
from ldapp.dossier.request import DossierRequest, DossierResult
from ldapp.dossier.write import write_dossier
from tests.dossier.small_claim import FolderOfOriginals, request, small_claim

Write = Callable[..., tuple[DossierResult, DossierRequest]]


@pytest.fixture
def originals(tmp_path: Path) -> FolderOfOriginals:
    return FolderOfOriginals(tmp_path / "originals")


@pytest.fixture
def claim(originals: FolderOfOriginals) -> Claim:
    return small_claim(originals)


@pytest.fixture
def write(tmp_path: Path, originals: FolderOfOriginals) -> Write:
    """Write one version of a claim and return the result beside the request."""

    def make(claim: Claim, version: str, **more: object) -> tuple[DossierResult, DossierRequest]:
        wanted = request(claim, originals, version, **more)
        return write_dossier(wanted, tmp_path / f"{version}.pdf"), wanted

    return make


def text_of(path: Path, *options: str) -> str:
    """Return a PDF's text as an independent reader sees it."""
    done = subprocess.run(
        ["pdftotext", *options, "-enc", "UTF-8", str(path), "-"],
        check=True,
        capture_output=True,
        text=True,
    )
    return done.stdout


def words_of(path: Path) -> str:
    """Return the text with all white space as single blanks, for searching."""
    return " ".join(text_of(path).replace("\u00a0", " ").split())
