"""Files built to cost more than they are: each limit is met by one sentence, at once.

What limits photos have stands in ``tests/evidence`` (pixels, metadata, segments), what limits
archives in ``tests/exchange/test_bundle.py`` and ``test_tables.py``.
"""

from __future__ import annotations

import dataclasses
import time
import zipfile
from pathlib import Path

import pikepdf
import pytest

from ldapp.casework.originals import FolderOriginals
from ldapp.errors import InputError, LdappError
from ldapp.evidence.read import read_photo
from ldapp.exchange import bundle_archive
from ldapp.exchange.bundle import verify_bundle
from ldapp.exchange.claim_file import claim_from_json, read_claim_file
from ldapp.exchange.tables import read_tables, table_from_text
from tests.evidence.conftest import Build
from tests.rich_claim import rich_claim


def sparse(path: Path, size: int, head: bytes = b"") -> Path:
    """Make a file that states a size and takes no room."""
    with path.open("wb") as file:
        file.write(head)
        file.truncate(size)
    return path


def test_a_list_of_more_than_64_megabytes(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="at most 64 MB"):
        read_tables(sparse(tmp_path / "list.csv", (64 << 20) + 1, b"Qty,Description\n"))


def test_a_claim_file_of_more_than_256_megabytes(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="at most 256 MB"):
        read_claim_file(sparse(tmp_path / "claim.json", (256 << 20) + 1, b"{"))


def test_a_list_of_more_than_a_hundred_thousand_rows() -> None:
    rows = "1,stand\n" * 100_001
    with pytest.raises(InputError, match="at most 100000 rows"):
        table_from_text(rows)
    (table,) = table_from_text("1,stand\n" * 100_000).tables
    assert len(table.rows) == 100_000


def test_a_row_of_thousands_of_cells_and_a_long_cell_are_cut() -> None:
    (table,) = table_from_text("a," * 5000 + "b\n" + "x" * 100_000 + ",y\n").tables
    assert len(table.rows[0].cells) == 400
    assert len(table.rows[1].cells[0].text) == 32_767


def test_a_cell_of_a_megabyte_is_refused() -> None:
    with pytest.raises(InputError, match="cells cannot be told apart"):
        table_from_text("a,b\n" + "x" * 1_000_000 + ",y\n")


def test_a_pdf_of_more_than_three_hundred_pages(tmp_path: Path) -> None:
    path = tmp_path / "thick.pdf"
    with pikepdf.new() as pdf:
        for _ in range(301):
            pdf.add_blank_page()
        pdf.save(path)
    began = time.process_time()
    with pytest.raises(InputError, match="301 pages"):
        read_tables(path)
    assert time.process_time() - began < 10


def test_a_bundle_of_too_many_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bundle_archive, "MOST_ENTRIES", 3)
    path = tmp_path / "many.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for number in range(4):
            archive.writestr(f"b/{number}.txt", b"")
    with pytest.raises(InputError, match="it holds 4 files"):
        verify_bundle(path)


def test_a_name_in_an_archive_that_is_no_text(tmp_path: Path) -> None:
    path = tmp_path / "odd.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("b/ä.txt", b"x")
    path.write_bytes(path.read_bytes().replace("ä".encode(), b"\xc7z"))
    with pytest.raises(InputError, match="no bundle"):
        verify_bundle(path)
    with pytest.raises(InputError, match="no spreadsheet"):
        read_tables(path)


@pytest.mark.parametrize("depth", [1_000, 100_000])
def test_json_as_deep_as_a_well(depth: int) -> None:
    text = '{"format": "ldapp-claim/1", "kit": ' + "[" * depth + "]" * depth + "}"
    with pytest.raises(InputError):
        claim_from_json(text, "claim.json")


def test_an_endless_number_and_a_thousand_wrong_keys_cost_no_time() -> None:
    began = time.process_time()
    with pytest.raises(InputError):
        claim_from_json('{"format": "ldapp-claim/1", "kit": ' + "9" * 100_000 + "}", "claim.json")
    twice = ",".join(f'"k{n}":1,"k{n}":2' for n in range(20_000))
    with pytest.raises(InputError, match="stands twice"):
        claim_from_json(f'{{"format": "ldapp-claim/1", "kit": [{{{twice}}}]}}', "claim.json")
    assert time.process_time() - began < 20


def test_names_within_names_are_not_written_out_in_a_photo(tmp_path: Path) -> None:
    names = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "x" * 100}">' for n in range(12))
    packet = (
        f"<!DOCTYPE x [{names}]><x:xmpmeta xmlns:x='adobe:ns:meta/'>"
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
        "<rdf:Description xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmp:CreatorTool='&e11;'/>"
        "</rdf:RDF></x:xmpmeta>"
    )
    build = Build()
    path = tmp_path / "a.jpg"
    head = b"http://ns.adobe.com/xap/1.0/\0"
    path.write_bytes(build.jpeg(before=build.segment(0xE1, head + packet.encode())))
    began = time.process_time()
    facts = read_photo(path)
    assert time.process_time() - began < 2
    assert facts.xmp is None or len(facts.xmp.creator_tool or "") < 1000


def test_a_reference_to_a_file_in_a_photo_is_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("told-by-nobody")
    packet = (
        f"<!DOCTYPE x [<!ENTITY e SYSTEM '{secret.as_uri()}'>]>"
        "<x:xmpmeta xmlns:x='adobe:ns:meta/'>"
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
        "<rdf:Description xmlns:xmp='http://ns.adobe.com/xap/1.0/'>"
        "<xmp:CreatorTool>&e;</xmp:CreatorTool></rdf:Description></rdf:RDF></x:xmpmeta>"
    )
    build = Build()
    path = tmp_path / "a.jpg"
    head = b"http://ns.adobe.com/xap/1.0/\0"
    path.write_bytes(build.jpeg(before=build.segment(0xE1, head + packet.encode())))
    assert "told-by-nobody" not in str(read_photo(path))


def test_a_claim_file_reaches_no_file_outside_its_folder(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("outside")
    (tmp_path / "claim").mkdir()
    claim = dataclasses.replace(rich_claim(), documents=())
    for named in ("../secret.txt", str(tmp_path / "secret.txt"), "a/../../secret.txt"):
        photos = tuple(dataclasses.replace(one, path=named) for one in claim.photos)
        originals = FolderOriginals(dataclasses.replace(claim, photos=photos), tmp_path / "claim")
        with pytest.raises(LdappError, match="outside the claim's folder"):
            originals.path_of(photos[0].facts.sha256)
