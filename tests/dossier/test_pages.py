"""Pages as a picky reader sees them: nothing alone, nothing empty, everything reachable."""

from __future__ import annotations

import datetime as dt
import io
from pathlib import Path

import pikepdf
import pytest
from PIL import Image
from reportlab.platypus import Spacer

from ldapp.claim.claim import Claim
from ldapp.dossier.fonts import Typesetter
from ldapp.dossier.frame import INVENTED
from ldapp.dossier.grid import Grid, GridLook, GridRow
from ldapp.dossier.preview import page_count, render_preview_page
from ldapp.dossier.request import DossierRequest
from ldapp.dossier.style import CELL
from ldapp.dossier.text import Text
from ldapp.dossier.write import write_dossier
from ldapp.errors import InputError, MachineError
from ldapp.exchange.claim_file import read_claim_file
from ldapp.reckoning.engine import reckon
from tests.dossier.conftest import Write, text_of, words_of
from tests.dossier.small_claim import FolderOfOriginals, request

DEMO = Path(__file__).parents[2] / "demo_claims"
EXAMPLES_FOLDER = Path(__file__).parents[2] / "resources" / "examples"
EXAMPLES = sorted(path.stem for path in EXAMPLES_FOLDER.glob("*.json"))
DEMO_CLAIMS = sorted(path.parent.name for path in DEMO.glob("*/claim.json"))


class BesideTheClaimFile:
    def __init__(self, claim: Claim, folder: Path) -> None:
        self._paths = {one.facts.sha256: folder / one.path for one in claim.photos}
        self._paths |= {one.sha256: folder / one.path for one in claim.documents}

    def path_of(self, sha256: str) -> Path:
        return self._paths[sha256]


def lines_of_pages(path: Path) -> list[list[str]]:
    pages = text_of(path, "-layout").split("\f")[:-1]
    return [[line.strip() for line in page.splitlines() if line.strip()] for page in pages]


def titles_of(path: Path) -> set[str]:
    found = set()
    with pikepdf.open(path) as pdf, pdf.open_outline() as outline:
        todo = list(outline.root)
        while todo:
            one = todo.pop()
            found.add(" ".join(one.title.split()))
            todo.extend(one.children)
    return found


def assert_well_set(path: Path, title: str) -> None:
    titles = titles_of(path)
    for number, lines in enumerate(lines_of_pages(path), 1):
        footer = next(i for i, line in enumerate(lines) if f"Page {number} of" in line)
        body = [line for line in lines[:footer] if line not in (INVENTED, title[:60])]
        assert len(body) >= 1, f"page {number} is empty"
        last = " ".join(body[-1].split())
        is_exhibit = last.startswith("Exhibit ")
        assert last not in titles or is_exhibit, f"page {number} ends with the heading {last!r}"


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_no_heading_stands_alone_and_no_page_is_empty(
    write: Write, claim: Claim, version: str
) -> None:
    result, _ = write(claim, version)
    assert_well_set(result.path, claim.title)


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
@pytest.mark.parametrize("name", DEMO_CLAIMS)
def test_the_demo_claims_make_complete_and_well_set_dossiers(
    tmp_path: Path, name: str, version: str
) -> None:
    claim = read_claim_file(DEMO / name / "claim.json")
    wanted = DossierRequest(
        claim=claim,
        reckoning=reckon(claim),
        version=version,  # type: ignore[arg-type]
        date=dt.date(2026, 11, 25),
        originals=BesideTheClaimFile(claim, DEMO / name),
    )
    result = write_dossier(wanted, tmp_path / "demo.pdf")
    assert_well_set(result.path, claim.title)
    expected = ("Nobody is recorded", "the text names what is not for this recipient")
    assert [one for one in result.fell_short if not any(part in one for part in expected)] == []
    assert result.photo_resolution == "as taken"


@pytest.mark.parametrize("version", ["insurer", "dispute"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_make_no_empty_page(
    tmp_path: Path, originals: FolderOfOriginals, name: str, version: str
) -> None:
    claim = read_claim_file(EXAMPLES_FOLDER / f"{name}.json")
    wanted = DossierRequest(
        claim=claim,
        reckoning=reckon(claim),
        version=version,  # type: ignore[arg-type]
        date=dt.date(2026, 11, 25),
        originals=originals,
    )
    assert_well_set(write_dossier(wanted, tmp_path / "example.pdf").path, claim.title)


def test_an_empty_claim_names_no_agreement_in_its_letter(write: Write) -> None:
    empty = Claim(id="e", reference="E-1", currency="USD", zone="UTC")
    result, _ = write(empty, "dispute")
    words = words_of(result.path)
    assert "Rented equipment: loss and damage" in words
    assert "Rental :" not in words


def test_a_preview_is_a_picture_of_the_page(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "photos")
    assert page_count(result.path) == result.pages
    picture = Image.open(io.BytesIO(render_preview_page(result.path, 0, 1.0)))
    assert picture.size == (596, 842)
    assert len(picture.convert("RGB").getcolors(1_000_000) or []) > 100


def test_a_page_that_is_not_there_and_a_file_that_is_none_are_named(
    write: Write, claim: Claim, tmp_path: Path
) -> None:
    result, _ = write(claim, "counts")
    with pytest.raises(InputError, match="there is no such page"):
        render_preview_page(result.path, 99, 1.0)
    other = tmp_path / "other.pdf"
    other.write_bytes(b"no PDF")
    with pytest.raises(InputError, match="cannot be opened"):
        page_count(other)


def test_a_folder_that_cannot_be_written_gives_one_sentence(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    with pytest.raises(MachineError, match="could not be written"):
        write_dossier(request(claim, originals, "counts"), in_the_way / "d.pdf")


def text(words: str) -> Text:
    return Text(words, CELL, Typesetter())


def grid(*heights: int, keep: tuple[int, ...] = ()) -> Grid:
    rows = [
        GridRow([text("\n".join("x" * height))], keep_with_next=index in keep)
        for index, height in enumerate(heights)
    ]
    return Grid([200.0], rows, GridLook(left=(0.0,)), head=GridRow([text("head")], "head"))


def heights_of(parts: list[object]) -> list[int]:
    return [len(part._rows) for part in parts if isinstance(part, Grid)]


def test_a_low_row_moves_as_a_whole() -> None:
    one = grid(1, 1, 1, 5, 1)
    one.wrap(200, 1000)
    parts = one.split(200, 17.4 * 4 + 30)
    assert heights_of(parts) == [3, 2]


def test_a_tall_row_is_split_and_nothing_of_it_is_lost() -> None:
    one = grid(1, 60)
    _, whole = one.wrap(200, 1000)
    parts = [part for part in one.split(200, 400) if isinstance(part, Grid)]
    assert heights_of(list(parts)) == [2, 1]
    lines = sum(
        len(row.cells[0].lines_for(200))  # type: ignore[attr-defined]
        for part in parts
        for row in part._rows
    )
    assert lines == 61
    assert whole > 400


def test_a_band_never_ends_a_page_and_a_total_is_never_alone() -> None:
    one = grid(1, 1, 1, 1, 1, 1, keep=(2,))
    one.wrap(200, 1000)
    assert heights_of(one.split(200, 17.4 * 4 + 4)) == [2, 4]
    total = grid(1, 1, 1, 1, 1)
    total.wrap(200, 1000)
    assert heights_of(total.split(200, 17.4 * 5 + 4)) == [3, 2]


def test_where_nothing_fits_the_whole_table_moves() -> None:
    one = grid(3, 3)
    one.wrap(200, 1000)
    assert one.split(200, 30) == []


def test_a_row_of_things_that_cannot_be_split_moves() -> None:
    row = GridRow([Spacer(10, 300)])
    one = Grid([200.0], [GridRow([text("x")]), row], GridLook(left=(0.0,)))
    one.wrap(200, 1000)
    assert heights_of(one.split(200, 200)) == [1, 1]
