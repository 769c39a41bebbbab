"""Attached documents: stamped, clickable, harmless, and a sentence where they cannot be shown."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import random
import subprocess
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from PIL import Image

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Document
from ldapp.dossier.attached_pdf import open_attached_pdf, pages_that_name, without_metadata
from ldapp.dossier.attached_text import read_text_paper
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
    # An answer may go on over the next page.
    from_the_answer = leads_to[answers] | leads_to[answers + 1]
    for words in (
        "Exhibit A – Rental agreement",
        "Exhibit D – Repair estimate",
        "Charge 2: Fresnel head, repair",
        "Count 1: pickup",
        "Line 20 · Fresnel head 1 kW",
    ):
        assert next(n for n, text in enumerate(pages) if words in text) in from_the_answer
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
    record = words_of(result.path).partition("Attached papers that are not as they came in")[2]
    assert "A Left out of the attached PDF: scripts and actions, embedded files." in record


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
        (b"PK\x03\x04\0\0 a spreadsheet", "neither a PDF nor a picture nor text"),
    ):
        result, _ = write(attach(claim, originals, data), "dispute")
        (said,) = result.fell_short
        assert says in said
        assert says in words_of(result.path)


def test_a_pdf_whose_own_order_is_damaged_is_mended_and_that_is_said(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    whole = paper_bytes("Mended")
    damaged = whole[: whole.rindex(b"startxref")] + b"startxref\n7\n%%EOF"
    result, _ = write(attach(claim, originals, damaged), "dispute")
    (said,) = [one for one in result.fell_short if "damaged" in one]
    assert "what can be read of it is shown" in said
    assert "Mended" in text_by_pdfium(result.path)
    done = subprocess.run(["qpdf", "--check", str(result.path)], check=False, capture_output=True)
    assert done.returncode == 0


def test_2000_damaged_papers_give_a_sentence_each(tmp_path: Path) -> None:
    chance = random.Random(11)
    paper, mail, scan = paper_bytes("Paper", 2), MAIL, picture_bytes(4, (80, 60))
    path = tmp_path / "damaged.pdf"
    shown = 0
    for number in range(2000):
        if number % 4 == 0:
            path.write_bytes(_damaged(paper, chance))
            opened = open_attached_pdf(path)
            assert opened.pdf is not None or opened.says
            if opened.pdf is not None:
                shown += 1
                pages_that_name(path, ("Pupilworth",), opened.pages)
        else:
            read_text_paper(_damaged(mail, chance), "a.eml")
            without_metadata(_damaged(scan, chance))
    assert shown > 20


def _damaged(data: bytes, chance: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        place = chance.randrange(len(changed))
        if chance.random() < 0.6:
            changed[place] = chance.randrange(256)
        else:
            del changed[place : place + chance.randint(1, 30)]
    return bytes(changed)


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


def test_a_very_long_document_of_400_pages_is_no_burden(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    result, _ = write(attach(claim, originals, paper_bytes("Long", 400)), "insurer")
    (said,) = result.fell_short
    assert "It has 400 pages; the first 120 are shown, its hash covers all." in said
    assert "Exhibit A, page 120 of 120" in words_of(result.path)


def test_films_and_scripts_in_fields_are_told(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    def arm(pdf: pikepdf.Pdf) -> None:
        field = pikepdf.Dictionary(
            Type=pikepdf.Name.Annot,
            Subtype=pikepdf.Name.Widget,
            FT=pikepdf.Name.Tx,
            T="sum",
            Rect=[0, 0, 50, 20],
            AA=pikepdf.Dictionary(
                K=pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="evil-keystroke")
            ),
        )
        film = pikepdf.Dictionary(
            Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.RichMedia, Rect=[0, 0, 9, 9]
        )
        pdf.pages[0].obj.Annots = pikepdf.Array([pdf.make_indirect(field), film])
        pdf.Root.AcroForm = pikepdf.Dictionary(Fields=[pdf.pages[0].obj.Annots[0]])

    result, _ = write(attach(claim, originals, changed(paper_bytes("Form"), arm)), "insurer")
    (said,) = result.fell_short
    assert "scripts and actions, films and sounds" in said
    assert b"evil-keystroke" not in everything_raw(result.path)


def test_layers_are_all_shown_and_that_is_said(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    def hide(pdf: pikepdf.Pdf) -> None:
        layer = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name="draft"))
        pdf.Root.OCProperties = pikepdf.Dictionary(
            OCGs=[layer], D=pikepdf.Dictionary(OFF=[layer], Order=[layer])
        )
        pdf.pages[0].obj.Resources.Properties = pikepdf.Dictionary(L=layer)
        pdf.pages[0].contents_add(b"/OC /L BDC\n", prepend=True)
        pdf.pages[0].contents_add(b"\nEMC")

    result, _ = write(attach(claim, originals, changed(paper_bytes("Layered"), hide)), "insurer")
    (said,) = result.fell_short
    assert "here all of them are shown" in said
    assert "Layered" in text_by_pdfium(result.path)


def everything_raw(path: Path) -> bytes:
    with pikepdf.open(path) as pdf:
        return b"".join(
            _content(one) if isinstance(one, pikepdf.Stream) else one.unparse()
            for one in pdf.objects
            if isinstance(one, (pikepdf.Stream, pikepdf.Dictionary))
        )


def test_where_a_phone_scanned_a_page_does_not_travel(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    scan = picture_bytes(5)
    assert b"Exif" in scan

    def scanned(pdf: pikepdf.Pdf) -> None:
        picture = pdf.make_stream(
            scan,
            Type=pikepdf.Name.XObject,
            Subtype=pikepdf.Name.Image,
            Width=1200,
            Height=900,
            BitsPerComponent=8,
            ColorSpace=pikepdf.Name.DeviceRGB,
            Filter=pikepdf.Name.DCTDecode,
            Metadata=pdf.make_stream(b"<x>scanner-position</x>"),
        )
        pdf.pages[0].obj.Resources.XObject = pikepdf.Dictionary(Scan=picture)
        pdf.pages[0].contents_add(b"q 300 0 0 200 50 50 cm /Scan Do Q")

    result, _ = write(attach(claim, originals, changed(paper_bytes("Scan"), scanned)), "insurer")
    raw = everything_raw(result.path)
    assert b"Exif" not in raw
    assert b"scanner-position" not in raw
    with pikepdf.open(result.path) as pdf:
        pictures = [
            one.read_raw_bytes()
            for one in pdf.objects
            if isinstance(one, pikepdf.Stream) and one.get("/Width") == 1200
        ]
    plain = without_metadata(scan)
    assert plain in pictures
    with Image.open(io.BytesIO(scan)) as before, Image.open(io.BytesIO(plain)) as after:
        assert before.tobytes() == after.tobytes()


def named(claim: Claim, originals: FolderOfOriginals, data: bytes, **more: object) -> Claim:
    settings: dict[str, object] = {"kind": "message", "name": "paper.pdf", "title": "Report"}
    document = Document(
        id="odd",
        sha256=originals.put(data),
        bytes=len(data),
        **{**settings, **more},  # type: ignore[arg-type]
    )
    return dataclasses.replace(claim, documents=(document,))


def test_a_paper_that_names_a_student_is_not_enclosed_for_the_rental_company(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    told = paper_bytes("Seen by Sam Pupilworth")
    secret = named(claim, originals, told)
    result, _ = write(secret, "dispute")
    assert "pupilworth" not in text_by_pdfium(result.path).casefold()
    assert "Exhibit A (Report): Its pages are not enclosed" in result.fell_short[0]
    assert "Its pages are not enclosed: the text names what is not" in words_of(result.path)
    assert secret.documents[0].sha256 in words_of(result.path)
    result, _ = write(secret, "insurer")
    assert "Pupilworth" in text_by_pdfium(result.path)
    assert result.fell_short == ()


@pytest.mark.parametrize(
    "known", [{"kind": "invoice"}, {"signed_by_other_side": True}, {"party": "house"}]
)
def test_what_the_rental_company_has_already_is_enclosed(
    write: Write, claim: Claim, originals: FolderOfOriginals, known: dict[str, object]
) -> None:
    told = paper_bytes("Received by Sam Pupilworth")
    result, _ = write(named(claim, originals, told, **known), "dispute")
    assert "Pupilworth" in text_by_pdfium(result.path)


def test_a_scan_that_nobody_can_search_is_said_once(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    def emptied(pdf: pikepdf.Pdf) -> None:
        pdf.pages[0].obj.Contents = pdf.make_stream(b"0 0 m 9 9 l S")

    scan = named(claim, originals, changed(paper_bytes("x"), emptied))
    result, _ = write(scan, "dispute")
    (said,) = result.fell_short
    assert "has pages without text" in said
    assert write(scan, "insurer")[0].fell_short == ()


MAIL = b"""From: Ada Example <ada@lantern-lane.example>
To: desk@rental.example
Date: Thu, 12 Mar 2026 17:20:00 -0600
Subject: =?utf-8?q?R=C3=BCckgabe?= count
MIME-Version: 1.0
Content-Type: multipart/mixed; boundary="b"

--b
Content-Type: text/html; charset=utf-8

<html><head><title>no</title><style>p{}</style></head><body><p>We counted <b>11</b> stands.</p>
<script>evil()</script><p>Sam Pupilworth was there. &lt;b&gt;</p></body></html>
--b
Content-Type: application/pdf; name="list.pdf"
Content-Disposition: attachment; filename="list.pdf"
Content-Transfer-Encoding: base64

JVBERi0=
--b--
"""


def test_an_email_is_shown_as_text_with_what_was_attached_to_it(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    mail = named(claim, originals, MAIL, name="answer.eml")
    result, _ = write(mail, "insurer")
    text = words_of(result.path)
    for told in (
        "From: Ada Example <ada@lantern-lane.example>",
        "Subject: Rückgabe count",
        "We counted 11 stands.",
        "Sam Pupilworth was there. <b>",
        "Attachment: list.pdf, application/pdf",
        hashlib.sha256(b"%PDF-").hexdigest(),
        "Exhibit A, page 1 of 1",
    ):
        assert told in text
    assert "evil()" not in text
    assert result.fell_short == ()
    result, _ = write(mail, "dispute")
    text = words_of(result.path)
    assert "[withheld] was there." in text
    assert "Pupilworth" not in text
    assert "Words that are not for this recipient are masked" in text


def test_plain_text_goes_on_over_pages_and_prints_as_itself(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    rows = "".join(f"row {n};=SUM(A1);<b>x</b>;50 %\r\n" for n in range(160))
    result, _ = write(named(claim, originals, rows.encode(), name="list.csv"), "insurer")
    text = words_of(result.path)
    assert "Exhibit A – Report (3 pages)" in text
    assert "Exhibit A, page 3 of 3" in text
    for n in (0, 80, 159):
        assert f"row {n};=SUM(A1);<b>x</b>;50 %" in text
    assert text.count("=SUM(A1)") == 160


def test_a_film_is_listed(write: Write, claim: Claim, originals: FolderOfOriginals) -> None:
    film = b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom" + b"\0\0\0\x08mdat" + bytes(200)
    result, _ = write(named(claim, originals, film, name="walk.mp4"), "insurer")
    (said,) = result.fell_short
    assert "A film or a sound" in said


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
