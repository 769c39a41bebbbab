"""The same claim, version and date give the same bytes, wherever and whenever they are written."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest

from ldapp.claim.claim import Claim
from ldapp.dossier.write import write_dossier
from tests.dossier.conftest import Write, words_of
from tests.dossier.small_claim import FolderOfOriginals

ROOT = Path(__file__).parents[2]

IN_ANOTHER_PLACE = """
import sys
from pathlib import Path
from ldapp.dossier.write import write_dossier
from tests.dossier.small_claim import FolderOfOriginals, request, small_claim
folder = Path(sys.argv[1])
originals = FolderOfOriginals(folder / "o")
write_dossier(request(small_claim(originals), originals, sys.argv[2]), folder / "x.pdf")
"""


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_twice_in_one_process_and_in_another_zone_language_and_folder(
    write: Write, claim: Claim, originals: FolderOfOriginals, tmp_path: Path, version: str
) -> None:
    result, wanted = write(claim, version)
    again = write_dossier(wanted, tmp_path / "elsewhere" / "other name.pdf")
    assert digest(result.path) == digest(again.path)
    environment = {
        **os.environ,
        "TZ": "Pacific/Kiritimati",
        "LC_ALL": "de_DE.UTF-8",
        "PYTHONHASHSEED": "77",
        "HOME": str(tmp_path),
    }
    subprocess.run(
        [sys.executable, "-c", IN_ANOTHER_PLACE, str(tmp_path / "third"), version],
        check=True,
        cwd=ROOT,
        env=environment,
    )
    assert digest(result.path) == digest(tmp_path / "third" / "x.pdf")


def test_another_date_gives_other_bytes_and_is_the_only_date_of_writing(
    write: Write, claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    result, _ = write(claim, "dispute")
    with pikepdf.open(result.path) as pdf:
        assert str(pdf.docinfo["/CreationDate"]) == "D:20260320000000Z"
        assert str(pdf.docinfo["/ModDate"]) == "D:20260320000000Z"
    assert str(tmp_path) not in words_of(result.path)
    assert str(tmp_path).encode() not in result.path.read_bytes()


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_the_syntax_checker_finds_nothing(write: Write, claim: Claim, version: str) -> None:
    result, _ = write(claim, version)
    done = subprocess.run(
        ["qpdf", "--check", str(result.path)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "WARNING" not in done.stdout + done.stderr


def test_title_language_and_size_are_told(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    with pikepdf.open(result.path) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert str(pdf.docinfo["/Title"]) == "Statement of loss · 2026-014 · The Quiet Harbour"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert len(pdf.pages) == result.pages
    assert result.path.stat().st_size == result.bytes
    assert words_of(result.path).count(f"of {result.pages}") >= result.pages


def test_the_letter_size_of_north_america_can_be_chosen(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute", paper="letter")
    with pikepdf.open(result.path) as pdf:
        assert [float(one) for one in pdf.pages[0].mediabox] == [0, 0, 612, 792]


def test_an_invented_claim_says_so_on_every_page(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    assert words_of(result.path).count("Invented demonstration claim") == result.pages


def test_all_fonts_are_embedded(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "photos")
    done = subprocess.run(
        ["pdffonts", str(result.path)], capture_output=True, text=True, check=True
    )
    rows = [line.split() for line in done.stdout.splitlines()[2:]]
    assert rows
    assert all(row[-5] == "yes" for row in rows)
