"""A dossier that is larger than wanted: numbered volumes, each whole by itself."""

from __future__ import annotations

import os
import re
import time
from pathlib import Path
from typing import NamedTuple

import pikepdf
import pytest

from ldapp.dossier.request import DossierRequest, DossierResult
from ldapp.dossier.write import volume_path, write_dossier
from tests.dossier.conftest import Write, text_of, words_of
from tests.dossier.monster_claim import monster_claim, monster_request
from tests.dossier.small_claim import FolderOfOriginals

BUDGET = 1_500_000


class Made(NamedTuple):
    result: DossierResult
    request: DossierRequest
    texts: list[str]


@pytest.fixture(scope="module", params=["insurer", "dispute", "photos"])
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Write one version of a small monster that does not fit into its size."""
    folder = tmp_path_factory.mktemp(request.param)
    originals = FolderOfOriginals(folder / "originals")
    claim = monster_claim(originals, findings=20, photos=60, exhibits=12, characters=600)
    wanted = monster_request(claim, originals, request.param, size_budget=BUDGET)
    result = write_dossier(wanted, folder / "claim.pdf")
    return Made(result, wanted, [words_of(path) for path in result.paths])


def test_every_volume_keeps_to_the_size_at_the_lowest_resolution(made: Made) -> None:
    result = made.result
    assert len(result.paths) >= 2
    assert [path.name for path in result.paths] == [
        "claim.pdf",
        *(f"claim volume {number}.pdf" for number in range(2, len(result.paths) + 1)),
    ]
    sizes = [path.stat().st_size for path in result.paths]
    assert max(sizes) <= BUDGET
    assert sum(sizes) == result.bytes
    assert result.photo_resolution == "150 dots per inch at printed size"
    assert not any("more than the" in says for says in result.fell_short)
    assert "150 dots per inch" in " ".join(made.texts)


def test_pages_are_counted_within_each_numbered_volume(made: Made) -> None:
    volumes = len(made.result.paths)
    total = 0
    for number, (path, text) in enumerate(zip(made.result.paths, made.texts, strict=True), 1):
        with pikepdf.open(path) as pdf:
            pages = len(pdf.pages)
        total += pages
        for page in range(1, pages + 1):
            assert f"Volume {number} of {volumes} · page {page} of {pages}" in text
    assert total == made.result.pages


def test_the_first_volume_holds_what_is_read_first_and_names_the_others(made: Made) -> None:
    first = made.texts[0]
    if made.request.version != "photos":
        outline = outline_of(made.result.paths[0])
        for title in ("Summary", "What happened", "Reckoning", "Record"):
            assert title in outline
        if made.request.version == "dispute":
            assert "Answer to the charges" in outline
        assert re.search(r"vol\. \d, p\. \d", first)
    for number in range(1, len(made.texts) + 1):
        assert f"Volume {number}" in first
    for number, text in enumerate(made.texts[1:], 2):
        assert f"Volume {number} (this one)" in text


def outline_of(path: Path) -> list[str]:
    with pikepdf.open(path) as pdf, pdf.open_outline() as outline:
        return [one.title for one in outline.root]


def test_nothing_is_lost_and_every_photo_is_in_the_volume_that_is_named(made: Made) -> None:
    everything = " ".join(made.texts)
    for photo in made.request.claim.photos:
        assert photo.facts.sha256 in everything
    if made.request.version == "photos":
        return
    captioned = [
        {number for number in range(1, 61) if re.search(rf"Photo {number} (pickup|return)", text)}
        for text in made.texts
    ]
    assert set.union(*captioned) == set(range(1, 61))
    index = next(n for n, text in enumerate(made.texts) if "printed in volume" in text)
    for number, photos in enumerate(captioned):
        named = made.texts[index].count(f"printed in volume {number + 1}")
        first_there = photos.difference(*captioned[:number], captioned[index])
        assert named == (0 if number == index else len(first_there))
    for number, text in enumerate(made.texts, 1):
        for photo in re.findall(r"Photo (\d+) \(volume (\d)\)", text):
            assert int(photo[1]) != number
            assert f"Photo {photo[0]} " in made.texts[int(photo[1]) - 1]


def test_no_link_leads_nowhere_and_references_to_other_volumes_are_words(made: Made) -> None:
    for path in made.result.paths:
        with pikepdf.open(path) as pdf:
            known = set(pdf.Root.Dests.keys()) if "/Dests" in pdf.Root else set()
            for page in pdf.pages:
                for note in page.obj.get("/Annots", []):
                    goal = note.get("/Dest")
                    if isinstance(goal, pikepdf.Name):
                        assert str(goal) in known
    if made.request.version != "photos":
        assert re.search(r"Exhibit [A-Z] \(volume \d\)", " ".join(made.texts))


def test_only_the_first_volume_carries_the_claim(made: Made) -> None:
    if made.request.version == "photos":
        return
    for number, path in enumerate(made.result.paths, 1):
        with pikepdf.open(path) as pdf:
            names = sorted(pdf.attachments)
        assert names == (["claim.json", "hashes.sha256"] if number == 1 else [])


def test_the_same_bytes_whatever_the_files_are_called(made: Made, tmp_path: Path) -> None:
    again = write_dossier(made.request, tmp_path / "another name.pdf")
    for one, other in zip(made.result.paths, again.paths, strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_a_volume_of_an_earlier_writing_is_named_and_left_alone(
    write: Write, claim: object, tmp_path: Path
) -> None:
    older = volume_path(tmp_path / "insurer.pdf", 2)
    older.write_bytes(b"sent last week")
    result, _ = write(claim, "insurer")
    assert result.paths == (tmp_path / "insurer.pdf",)
    assert any("insurer volume 2.pdf of an earlier writing" in one for one in result.fell_short)
    assert older.read_bytes() == b"sent last week"
    assert "Volume" not in text_of(result.path)


def test_what_a_killed_writing_left_is_cleared_away_a_day_later(
    write: Write, claim: object, tmp_path: Path
) -> None:
    for name, age in ((".writing-old", 90_000), (".writing-now", 60)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "pictures").write_bytes(b"half")
        os.utime(tmp_path / name, (time.time() - age,) * 2)
    write(claim, "counts")
    assert [one.name for one in tmp_path.glob(".writing-*")] == [".writing-now"]
