"""Attached documents: stamped, clickable, harmless, and a sentence where they cannot be shown."""

from __future__ import annotations

import dataclasses
import io
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Document
from ldapp.dossier.book import exhibit_letter
from tests.dossier.conftest import Write, text_of, words_of
from tests.dossier.small_claim import FolderOfOriginals, paper_bytes, picture_bytes


def text_by_pdfium(path: Path) -> str:
    """Return all text as a reader finds it that follows turned lines."""
    document = pypdfium2.PdfDocument(path)
    try:
        return "\n".join(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()


def attach(claim: Claim, originals: FolderOfOriginals, data: bytes, title: str = "Odd") -> Claim:
    document = Document(
        id="odd",
        title=title,
        kind="other",
        name="odd.pdf",
        sha256=originals.put(data),
        bytes=len(data),
    )
    return dataclasses.replace(claim, documents=(document,))


def _content(stream: pikepdf.Stream) -> bytes:
    coded = stream.get("/Subtype") == "/Image"
    return stream.read_raw_bytes() if coded else stream.read_bytes()


def changed(data: bytes, how: object, **save: object) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(data)) as pdf:
        how(pdf)  # type: ignore[operator]
        pdf.save(out, **save)  # type: ignore[arg-type]
    return out.getvalue()


def test_pages_are_carried_stamped_and_counted(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    text = words_of(result.path)
    assert "Exhibit A – Rental agreement R-771 (3 pages)" in text
    for page in (1, 2, 3):
        assert f"Exhibit A, page {page} of 3" in text
        assert f"Page {page}, row 7: as written." in text
    for sha in (one.sha256 for one in claim.documents if not one.private):
        assert sha in text


def test_an_exhibit_can_be_reached_from_where_it_is_named(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    pages = pages_of_text(result.path)
    with pikepdf.open(result.path) as pdf:
        place = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
        leads_to = {
            number: {
                place[note.Dest[0].objgen]
                for note in page.obj.get("/Annots", [])
                if "/Dest" in note
            }
            for number, page in enumerate(pdf.pages)
        }
        with pdf.open_outline() as outline:
            titles = [one.title for one in outline.root]
    answers = next(n for n, text in enumerate(pages) if "2. Fresnel head, repair" in text)
    for words in (
        "Exhibit A – Rental agreement",
        "Exhibit D – Repair estimate",
        "Charge 2: Fresnel head, repair",
        "Count 1: pickup",
        "Line 20 · Fresnel head 1 kW",
    ):
        assert next(n for n, text in enumerate(pages) if words in text) in leads_to[answers]
    assert leads_to[0] >= {n for n, text in enumerate(pages) if text.startswith("Summary")}
    assert titles[0] == "Summary"
    assert titles[-1] == "Record"


def pages_of_text(path: Path) -> list[str]:
    return [" ".join(page.split()) for page in text_of(path).split("\f")]


@pytest.mark.parametrize("size", [(200, 900), (1191, 842), (300, 300)])
@pytest.mark.parametrize("rotation", [0, 90, 270])
def test_odd_sizes_and_rotations_fit_the_page(
    write: Write,
    claim: Claim,
    originals: FolderOfOriginals,
    size: tuple[int, int],
    rotation: int,
) -> None:
    def turn(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].rotate(rotation, relative=False)

    data = changed(paper_bytes("Odd paper", size=size), turn)
    result, _ = write(attach(claim, originals, data), "dispute")
    assert "Odd paper" in text_by_pdfium(result.path)
    with pikepdf.open(result.path) as pdf:
        assert {tuple(float(one) for one in page.mediabox) for page in pdf.pages} == {
            tuple(float(one) for one in pdf.pages[0].mediabox)
        }


def test_scripts_actions_and_embedded_files_stay_behind_and_that_is_said(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    def arm(pdf: pikepdf.Pdf) -> None:
        action = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert('evil-script')")
        pdf.Root.OpenAction = action
        launch = pikepdf.Dictionary(S=pikepdf.Name.Launch, F="evil-launch.exe")
        pdf.pages[0].obj.Annots = pikepdf.Array(
            [
                pikepdf.Dictionary(
                    Type=pikepdf.Name.Annot,
                    Subtype=pikepdf.Name.Link,
                    Rect=[0, 0, 100, 100],
                    A=launch,
                )
            ]
        )
        pdf.attachments["evil-file.txt"] = pikepdf.AttachedFileSpec(pdf, b"evil-content")

    data = changed(paper_bytes("Armed"), arm)
    result, _ = write(attach(claim, originals, data), "dispute")
    (said,) = result.fell_short
    assert "scripts and actions" in said
    assert "embedded files" in said
    with pikepdf.open(result.path) as pdf:
        everything = "".join(
            str(_content(one)) if isinstance(one, pikepdf.Stream) else str(one.unparse())
            for one in pdf.objects
            if isinstance(one, (pikepdf.Stream, pikepdf.Dictionary))
        )
    for evil in ("evil-script", "evil-launch", "evil-content", "evil-file", "/Launch"):
        assert evil not in everything
    assert "Left out of the attached PDF" in words_of(result.path)


def test_a_locked_a_damaged_and_a_foreign_file_become_sentences(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    def nothing(pdf: pikepdf.Pdf) -> None:
        return

    locked = changed(
        paper_bytes("Locked"), nothing, encryption=pikepdf.Encryption(owner="a", user="b")
    )
    damaged = b"%PDF-1.7\n" + b"rubbish " * 200
    for data, says in (
        (locked, "asks for a password"),
        (damaged, "is damaged"),
        (b"From: a message", "neither a PDF nor a picture"),
    ):
        result, _ = write(attach(claim, originals, data), "dispute")
        (said,) = result.fell_short
        assert says in said
        assert says in words_of(result.path)


def test_a_missing_document_becomes_a_sentence(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    data = paper_bytes("Gone")
    with_it = attach(claim, originals, data)
    originals.path_of(with_it.documents[0].sha256).unlink()
    result, _ = write(with_it, "dispute")
    assert any("not where it was kept" in one for one in result.fell_short)


def test_a_very_long_document_is_carried_in_part(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    result, _ = write(attach(claim, originals, paper_bytes("Long", 130)), "dispute")
    (said,) = result.fell_short
    assert "130 pages; the first 120 are shown" in said
    assert "Exhibit A, page 120 of 120" in words_of(result.path)


def test_a_photographed_paper_is_an_exhibit(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    result, _ = write(attach(claim, originals, picture_bytes(3), "Ticket"), "dispute")
    assert result.fell_short == ()
    assert "Exhibit A – Ticket (1 page)" in words_of(result.path)


def test_the_hash_list_is_attached_for_any_checking_tool(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    with pikepdf.open(result.path) as pdf:
        listing = pdf.attachments["hashes.sha256"].get_file().read_bytes().decode()
    rows = dict(reversed(line.split("  ", 1)) for line in listing.splitlines())
    assert rows["agreement.pdf"] == claim.documents[0].sha256
    assert len(rows) == len(claim.photos) + len(claim.documents)


def test_letters_go_on_after_z() -> None:
    assert [exhibit_letter(index) for index in (0, 25, 26, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]
