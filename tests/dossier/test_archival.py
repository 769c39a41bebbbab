"""PDF/A-3b: said only where it holds, and an independent checker agrees."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from lxml import etree
from pikepdf import Array, Dictionary, Name

from ldapp.claim.claim import Claim
from ldapp.dossier.archival import archival_faults
from ldapp.dossier.write import write_dossier
from tests.dossier.conftest import Write
from tests.dossier.independent_checks import failed_rules
from tests.dossier.small_claim import FolderOfOriginals, request, small_claim

SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "xmp": "http://ns.adobe.com/xap/1.0/",
}


def without_papers(claim: Claim) -> Claim:
    return dataclasses.replace(claim, documents=())


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dossier that is only read, so that it is written once."""
    folder = tmp_path_factory.mktemp("written")
    originals = FolderOfOriginals(folder / "originals")
    wanted = request(without_papers(small_claim(originals)), originals, "insurer")
    return write_dossier(wanted, folder / "insurer.pdf").path


def said_in_xmp(pdf: pikepdf.Pdf, path: str) -> list[str]:
    tree = etree.fromstring(pdf.Root.Metadata.read_bytes())
    return [one.text for one in tree.findall(f".//{path}", SPACES)]


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_without_foreign_pages_it_is_pdf_a(write: Write, claim: Claim, version: str) -> None:
    result, _ = write(without_papers(claim), version)
    assert failed_rules(result.path, "3b") == set()
    with pikepdf.open(result.path) as pdf:
        assert archival_faults(pdf) == ()
        assert said_in_xmp(pdf, "pdfaid:part") == ["3"]
        assert said_in_xmp(pdf, "pdfaid:conformance") == ["B"]
        assert len(pdf.trailer.ID) == 2


def test_with_pages_of_a_foreign_pdf_it_says_nothing_of_the_kind(
    write: Write, claim: Claim
) -> None:
    result, _ = write(claim, "insurer")
    with pikepdf.open(result.path) as pdf:
        assert said_in_xmp(pdf, "pdfaid:part") == []
        assert said_in_xmp(pdf, "dc:title//rdf:li")
    assert "PDFA3B-ID-SCHEMA-001" in failed_rules(result.path, "3b")


def test_both_kinds_of_metadata_say_the_same(write: Write, claim: Claim) -> None:
    odd = dataclasses.replace(without_papers(claim), title='Ahoy <&> "Ünïcode" \x07 مرفأ')
    result, wanted = write(odd, "dispute")
    with pikepdf.open(result.path) as pdf:
        said = {key: str(value) for key, value in pdf.docinfo.items()}
        assert said_in_xmp(pdf, "dc:title//rdf:li") == [said["/Title"]]
        assert said_in_xmp(pdf, "dc:creator//rdf:li") == [said["/Author"]]
        assert said_in_xmp(pdf, "dc:description//rdf:li") == [said["/Subject"]]
        assert said_in_xmp(pdf, "pdf:Producer") == [said["/Producer"]]
        assert said_in_xmp(pdf, "xmp:CreatorTool") == [said["/Creator"]]
        assert said_in_xmp(pdf, "xmp:CreateDate") == [f"{wanted.date:%Y-%m-%d}T00:00:00Z"]
        assert said["/CreationDate"] == f"D:{wanted.date:%Y%m%d}000000Z"
        assert said_in_xmp(pdf, "dc:language//rdf:li") == ["en"] == [str(pdf.Root.Lang)]
        assert '<&> "Ünïcode"' in said["/Title"]
        assert "\x07" not in said["/Title"]
    assert failed_rules(result.path, "3b") == set()


def test_attachments_say_what_they_are(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    with pikepdf.open(result.path) as pdf:
        assert {name: spec.obj.EF.F.Subtype for name, spec in pdf.attachments.items()} == {
            "claim.json": Name("/application/json"),
            "hashes.sha256": Name("/text/plain"),
        }
        for spec in pdf.attachments.values():
            assert spec.obj.AFRelationship == Name.Data
            assert str(spec.obj.EF.F.Params.ModDate) == "D:20260320000000Z"
        assert len(pdf.Root.AF) == 2


def _page(pdf: pikepdf.Pdf) -> Any:
    return pdf.pages[0].obj


def _script(pdf: pikepdf.Pdf) -> None:
    pdf.Root.Names.JavaScript = Dictionary(Names=Array())


def _no_profile(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.OutputIntents


def _no_metadata(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.Metadata


def _acts(pdf: pikepdf.Pdf) -> None:
    _page(pdf).AA = Dictionary(O=Dictionary(S=Name.JavaScript, JS="1"))


def _acts_when_opened(pdf: pikepdf.Pdf) -> None:
    pdf.Root.AA = Dictionary()


def _launches(pdf: pikepdf.Pdf) -> None:
    link = pdf.pages[0].obj.Annots[0]
    link.A = Dictionary(Type=Name.Action, S=Name.Launch, F="x")


def _hidden_link(pdf: pikepdf.Pdf) -> None:
    _page(pdf).Annots[0].F = 2


def _other_note(pdf: pikepdf.Pdf) -> None:
    movie = Dictionary(Type=Name.Annot, Subtype=Name.Movie, F=4, Rect=[0, 0, 1, 1])
    _page(pdf).Annots.append(pdf.make_indirect(movie))


def _font_elsewhere(pdf: pikepdf.Pdf) -> None:
    for one in pdf.objects:
        if isinstance(one, Dictionary) and "/FontFile2" in one:
            del one["/FontFile2"]


def _see_through(pdf: pikepdf.Pdf) -> None:
    state = pdf.make_indirect(Dictionary(Type=Name.ExtGState, ca=0.5))
    _page(pdf).Resources.ExtGState = Dictionary(G=state)


def _layers(pdf: pikepdf.Pdf) -> None:
    pdf.Root.OCProperties = Dictionary()


def _form(pdf: pikepdf.Pdf) -> None:
    pdf.Root.AcroForm = Dictionary(Fields=Array())


def _loose_attachment(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.AF


def _attachment_without_kind(pdf: pikepdf.Pdf) -> None:
    del pdf.attachments["claim.json"].obj.EF.F["/Subtype"]


def _stream_elsewhere(pdf: pikepdf.Pdf) -> None:
    stream = pdf.make_stream(b"x")
    stream.stream_dict.F = "elsewhere.bin"
    _page(pdf).Other = stream


def _old_coding(pdf: pikepdf.Pdf) -> None:
    stream = pdf.make_stream(b"x")
    stream.write(b"\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01", filter=Name.LZWDecode)
    _page(pdf).Other = stream


def _ink(pdf: pikepdf.Pdf) -> None:
    picture = pdf.make_stream(
        bytes(4), Type=Name.XObject, Subtype=Name.Image, Width=1, Height=1,
        BitsPerComponent=8, ColorSpace=Name.DeviceCMYK,
    )  # fmt: skip
    _page(pdf).Other = picture


def _smoothed(pdf: pikepdf.Pdf) -> None:
    for one in pdf.objects:
        if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == Name.Image:
            one.stream_dict.Interpolate = True


def _drawing_from_elsewhere(pdf: pikepdf.Pdf) -> None:
    form = pdf.make_stream(b"", Type=Name.XObject, Subtype=Name.Form, Ref=Dictionary())
    _page(pdf).Other = form


def _endless_text(pdf: pikepdf.Pdf) -> None:
    pdf.Root.StructTreeRoot.Long = "x" * 40_000


@pytest.mark.parametrize(
    ("break_it", "clause"),
    [
        (_script, "6.5.1"),
        (_launches, "6.5.1"),
        (_acts, "6.5.2"),
        (_acts_when_opened, "6.5.2"),
        (_no_profile, "6.2.3"),
        (_no_metadata, "6.6.2"),
        (_hidden_link, "6.3.2"),
        (_other_note, "6.3.1"),
        (_font_elsewhere, "6.2.11.4"),
        (_see_through, "6.2.10"),
        (_layers, "6.9"),
        (_form, "6.4"),
        (_loose_attachment, "6.8"),
        (_attachment_without_kind, "6.8"),
        (_stream_elsewhere, "6.1.7.1"),
        (_old_coding, "6.1.7.2"),
        (_ink, "6.2.4.3"),
        (_smoothed, "6.2.8"),
        (_drawing_from_elsewhere, "6.2.9"),
        (_endless_text, "6.1.13"),
    ],
)
def test_each_rule_is_looked_at(
    written: Path, break_it: Callable[[pikepdf.Pdf], None], clause: str
) -> None:
    with pikepdf.open(written) as pdf:
        assert archival_faults(pdf) == ()
        break_it(pdf)
        faults = archival_faults(pdf)
    assert any(clause in fault for fault in faults), faults


def test_a_locked_file_is_none(write: Write, claim: Claim, tmp_path: Path) -> None:
    result, _ = write(without_papers(claim), "photos")
    with pikepdf.open(result.path) as pdf:
        pdf.save(tmp_path / "locked.pdf", encryption=pikepdf.Encryption(owner="o", user=""))
    with pikepdf.open(tmp_path / "locked.pdf") as pdf:
        assert any("6.1.3" in fault for fault in archival_faults(pdf))
