"""A library copied into the office's database and back: nothing lost, stopped and gone on."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from ldapp.casework.check_of_library import check_library
from ldapp.casework.moving import compare_libraries, copy_library
from ldapp.casework.office import LibraryPlace, try_place
from ldapp.claim.changes import difference
from ldapp.claim.shared import SharedRecord
from ldapp.errors import Cancelled
from ldapp.store.claim_library import Library
from tests.store.made_claims import made_claim, summary_of


def _fill(library: Library, number: int = 5) -> None:
    for seed in range(number):
        claim = made_claim(seed)
        stored = library.originals.put_bytes(f"picture {seed}".encode())
        photos = tuple(
            dataclasses.replace(one, facts=dataclasses.replace(one.facts, sha256=stored.sha256))
            for one in claim.photos
        )
        documents = tuple(dataclasses.replace(one, sha256="") for one in claim.documents)
        claim = dataclasses.replace(claim, id=f"claim {seed}", photos=photos, documents=documents)
        library.create(
            claim, who="Ada", label="Create", summary=summary_of(claim, papers_missing=1)
        )
        changed = dataclasses.replace(claim, note=f"note {seed}")
        library.save(
            changed, expected_version=1, changes=difference(claim, changed), who="Ben",
            label="Note", undoes=None, summary=summary_of(changed),
        )  # fmt: skip
    library.put_shared(SharedRecord("policy", "p", 0, "P", "{}"), who="Ada")
    library.remember("terms/x", '{"a":1}')


@pytest.fixture
def local(tmp_path: Path) -> Library:
    library = Library.open(tmp_path / "local")
    _fill(library)
    return library


def test_into_the_office_and_back_nothing_is_lost(
    local: Library, either: Library, tmp_path: Path
) -> None:
    result = copy_library(local, either, who="Ada")
    assert (result.claims, result.claims_there, result.records) == (5, 0, 2)
    assert result.left_out == ()
    assert compare_libraries(local, either) == ()
    back = Library.open(tmp_path / "back")
    assert copy_library(either, back, who="Ada").claims == 5
    assert compare_libraries(local, back) == () == compare_libraries(back, local)
    assert back.remembered("terms/x") == '{"a":1}'
    assert [one.name for one in back.shared("policy")] == ["P"]
    checked = check_library(back)
    assert (checked.claims, checked.wrong) == (5, ())
    back.close()
    local.close()


def test_a_copy_that_was_stopped_goes_on_where_it_was(local: Library, either: Library) -> None:
    def stop(done: int, total: int, text: str) -> None:
        del total
        if text.startswith(local.summaries()[2].reference) and done:
            raise Cancelled

    with pytest.raises(Cancelled):
        copy_library(local, either, who="Ada", progress=stop)
    assert 0 < len(either.summaries()) < 5
    result = copy_library(local, either, who="Ada")
    assert result.claims + result.claims_there == 5
    assert result.claims_there > 0
    assert compare_libraries(local, either) == ()
    local.close()


def _change(library: Library, key: str, title: str) -> None:
    claim, version = library.load(key)
    new = dataclasses.replace(claim, title=title)
    library.save(
        new, expected_version=version, changes=difference(claim, new), who="Cyd", label="Title",
        undoes=None, summary=summary_of(new),
    )  # fmt: skip


def test_what_is_newer_replaces_what_is_older_and_never_the_other_way(
    local: Library, either: Library
) -> None:
    copy_library(local, either, who="Ada")
    _change(either, "claim 1", "From the office")
    assert copy_library(local, either, who="Ada").claims == 0
    assert either.load("claim 1")[0].title == "From the office"
    back = copy_library(either, local, who="Ada")
    assert (back.claims, back.claims_there) == (1, 4)
    assert local.load("claim 1") == either.load("claim 1")
    assert local.check_journal("claim 1") == ()
    local.close()


def test_a_claim_changed_in_both_is_left_out_and_named(local: Library, either: Library) -> None:
    copy_library(local, either, who="Ada")
    _change(local, "claim 1", "Here")
    _change(either, "claim 1", "There")
    result = copy_library(local, either, who="Ada")
    reference = local.load("claim 1")[0].reference
    (sentence,) = result.left_out
    assert sentence.startswith(f"{reference} was changed in both libraries since it was copied.")
    assert (local.load("claim 1")[0].title, either.load("claim 1")[0].title) == ("Here", "There")
    local.close()


def test_a_changed_original_is_not_copied_and_said(local: Library, either: Library) -> None:
    sha256 = local.original_hashes()[0]
    path = local.originals.path_of(sha256)
    path.chmod(0o600)
    path.write_bytes(b"other bytes")
    result = copy_library(local, either, who="Ada")
    assert any("other bytes" in one for one in result.left_out)
    assert not either.originals.has(sha256)
    assert any("is missing" in one for one in compare_libraries(local, either))
    assert any(sha256[:8] in one or "changed" in one for one in check_library(local).wrong)
    local.close()


def test_what_differs_is_named(local: Library, either: Library) -> None:
    copy_library(local, either, who="Ada")
    _change(local, "claim 2", "Newer")
    either.remove("claim 3")
    says = " ".join(compare_libraries(local, either))
    assert "is not the same" in says
    assert "is missing" in says
    local.close()


def test_the_office_can_be_tried_before(address: str, tmp_path: Path) -> None:
    (tmp_path / "originals").mkdir()
    place = LibraryPlace(folder=tmp_path / "l", address=address, originals=tmp_path / "originals")
    assert "is empty" in try_place(place)
    Library.open(tmp_path / "l", database_url=address).close()
    assert "holds 0 claims" in try_place(place)


def test_the_check_hears_of_a_record_changed_by_hand_and_of_a_clock_set_back(
    local: Library,
) -> None:
    with local._database.writing() as connection:
        connection.exec_driver_sql("DROP TRIGGER journal_entry_stays_as_it_is")
        connection.exec_driver_sql(
            "UPDATE journal_entry SET at = '2001-01-01 00:00:00.000000' WHERE number = 2"
        )
    result = check_library(local)
    assert len(result.wrong) == 5
    assert "was changed after it was written" in result.wrong[0]
    assert "clock had been set back" in result.remarks[0]
    local.close()
