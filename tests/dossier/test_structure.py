"""What readers hear that do not see the page: checked by others than the ones who wrote it."""

from __future__ import annotations

import dataclasses
import subprocess
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from tests.dossier.conftest import Write, words_of
from tests.dossier.independent_checks import failed_rules
from tests.dossier.small_claim import FolderOfOriginals

NOT_CLAIMED = {"PDFUA1-ID-PART-001", "PDFUA1-ID-SCHEMA-001"}
"""That a file is PDF/UA is never said: what a machine cannot check, nobody has checked."""


def heard(path: Path) -> str:
    """Return the structure with its text as an independent reader finds it."""
    done = subprocess.run(
        ["pdfinfo", "-struct-text", str(path)], check=True, capture_output=True, text=True
    )
    assert "rror" not in done.stderr, done.stderr
    return done.stdout


def elements(path: Path, kind: str) -> list[Any]:
    found = []
    with pikepdf.open(path) as pdf:
        rest = [pdf.Root.StructTreeRoot.K[0]]
        while rest:
            one = rest.pop()
            if kind == one.S:
                found.append({key: _plain(value) for key, value in one.items()})
            kids = one.get("/K", [])
            rest.extend(kid for kid in kids if isinstance(kid, pikepdf.Dictionary) and "/S" in kid)
    return found[::-1]


def _plain(value: Any) -> str:
    return str(value) if isinstance(value, (pikepdf.String, pikepdf.Name)) else repr(value)


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_a_checker_finds_nothing_but_that_it_is_not_claimed(
    write: Write, claim: Claim, version: str
) -> None:
    result, _ = write(dataclasses.replace(claim, documents=()), version)
    assert failed_rules(result.path, "ua1") == NOT_CLAIMED


def test_attached_pages_change_nothing_but_what_they_bring_along(
    write: Write, claim: Claim
) -> None:
    result, _ = write(claim, "dispute")
    assert failed_rules(result.path, "ua1") <= NOT_CLAIMED | {"PDFUA1-FONT-EMBEDDING-001"}
    alts = [one["/Alt"] for one in elements(result.path, "/Figure")]
    assert "Exhibit A, page 2 of 3: Rental agreement R-771" in alts


def test_every_amount_is_heard_in_the_order_of_the_pages(write: Write, claim: Claim) -> None:
    result, _ = write(dataclasses.replace(claim, documents=()), "insurer")
    text = heard(result.path)
    plain = " ".join(
        line.strip()[1:-1] for line in text.splitlines() if line.strip().startswith('"')
    )
    assert plain.index("Dear Sir or Madam,") < plain.index("Yours faithfully,")
    seen = {word for word in words_of(result.path).split() if word[0].isdigit() and "." in word}
    missing = {word for word in seen if word not in plain}
    assert len(seen) > 40
    assert missing == set()
    assert "Page 2 of" not in plain, "header and footer are not read out on every page"


def test_headings_and_tables_are_what_they_are(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    with pikepdf.open(result.path) as pdf, pdf.open_outline() as outline:
        sections = len(outline.root)
    assert len(elements(result.path, "/H1")) == sections
    assert elements(result.path, "/H2")
    scopes = {one["/A"] for one in elements(result.path, "/TH")}
    assert any("/Column" in one for one in scopes)
    assert any("/Row" in one for one in scopes)


def test_a_table_over_several_pages_is_one_with_one_head(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    lines = tuple(
        KitLine(id=f"l{n}", number=str(n), agreement="a1", description=f"Stand {n}", quantity=1)
        for n in range(100, 260)
    )
    long = dataclasses.replace(claim, kit=(*claim.kit, *lines), documents=())
    result, _ = write(long, "counts")
    assert result.pages > 4
    assert len(elements(result.path, "/Table")) == 2, "what is filled in, and the list"
    assert heard(result.path).count('"Counted"') == 1
    assert words_of(result.path).count("Counted ") >= result.pages
    assert failed_rules(result.path, "ua1") == NOT_CLAIMED


def test_figures_have_words(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    alts = [one["/Alt"] for one in elements(result.path, "/Figure")]
    assert all(alts)
    assert any(one.replace("\xa0", " ").startswith("Our custody from 2 March 2026") for one in alts)
    assert any(one.startswith("Photo 1, ") and "line " in one for one in alts)


def test_a_paragraph_of_several_lines_is_heard_with_blanks_between(
    write: Write, claim: Claim
) -> None:
    result, _ = write(claim, "insurer")
    assert "send you the statement of loss with the records that it rests on." in heard(result.path)
