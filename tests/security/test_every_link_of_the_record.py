"""The record of changes is followed entry by entry: on demand, and where a bundle is opened.

A bundle can be made anew around a changed claim, with fitting hashes of every file.  What
does not fit then is the record in it, and the first broken entry is named.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import pytest

from ldapp.casework.bundles import write_claim_bundle
from ldapp.casework.claim_file_outputs import verify_bundle_file
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.claim.journal import JournalEntry
from ldapp.cli import main
from ldapp.errors import LdappError
from ldapp.store.claim_library import Library
from tests.dossier.small_claim import FolderOfOriginals
from tests.store.made_claims import summary_of


@pytest.fixture
def recorded(claim: Claim, register: Register) -> Claim:
    """The claim with a record of four entries, as a library wrote it."""
    register._library.create(claim, who="Ada", label="New claim", summary=summary_of(claim))
    desk = register.open(claim.id)
    for number in range(3):
        desk.change(
            f"Step {number}",
            lambda old, n=number: dataclasses.replace(old, title=f"{claim.title} {n}"),
        )
    return register.with_journal(desk.claim)


def _changed(journal: tuple[JournalEntry, ...], number: int) -> tuple[JournalEntry, ...]:
    return tuple(
        dataclasses.replace(one, who="Somebody else") if one.number == number else one
        for one in journal
    )


Write = Callable[[tuple[JournalEntry, ...]], Path]


@pytest.fixture
def bundle_with(recorded: Claim, originals: FolderOfOriginals, tmp_path: Path) -> Write:
    def write(journal: tuple[JournalEntry, ...]) -> Path:
        forged = dataclasses.replace(recorded, journal=journal)
        return write_claim_bundle(forged, originals, tmp_path / "b.zip", version="photos")

    return write


@pytest.fixture
def elsewhere(tmp_path: Path) -> Register:
    return Register(Library.open(tmp_path / "elsewhere"), "Bea")


def test_a_whole_record_verifies_and_comes_in(
    recorded: Claim, bundle_with: Write, elsewhere: Register, capsys: pytest.CaptureFixture[str]
) -> None:
    bundle = bundle_with(recorded.journal)
    assert len(recorded.journal) == 4
    assert verify_bundle_file(bundle) == ()
    assert main(["verify", str(bundle)]) == 0
    elsewhere.take_in_bundle(bundle)
    assert elsewhere.check().wrong == ()
    elsewhere.close()


@pytest.mark.parametrize("number", [1, 2, 4])
def test_the_first_entry_that_was_changed_is_named_and_nothing_comes_in(
    recorded: Claim, bundle_with: Write, elsewhere: Register, number: int
) -> None:
    bundle = bundle_with(_changed(recorded.journal, number))
    sentence, *_ = verify_bundle_file(bundle)
    assert sentence.startswith(f"Entry {number} of the record")
    assert main(["verify", str(bundle)]) != 0
    with pytest.raises(LdappError, match=f"Entry {number} of the record"):
        elsewhere.take_in_bundle(bundle)
    assert elsewhere.summaries() == ()
    elsewhere.close()


def test_an_entry_that_was_cut_out_is_named(
    recorded: Claim, bundle_with: Write, elsewhere: Register
) -> None:
    one, _, *rest = recorded.journal
    bundle = bundle_with((one, *rest))
    assert verify_bundle_file(bundle) == ("In the record of changes, entry 2 is missing.",)
    with pytest.raises(LdappError, match="entry 2 is missing"):
        elsewhere.take_in_bundle(bundle)
    elsewhere.close()


def test_a_claim_that_does_not_follow_from_its_record_is_found_on_demand(
    recorded: Claim, bundle_with: Write, elsewhere: Register, originals: FolderOfOriginals,
    tmp_path: Path,
) -> None:  # fmt: skip
    forged = dataclasses.replace(recorded, title="Another title")
    bundle = write_claim_bundle(forged, originals, tmp_path / "b.zip", version="photos")
    elsewhere.take_in_bundle(bundle)
    (sentence,) = elsewhere.check().wrong
    assert "The claim is not as the record of changes left it." in sentence
    elsewhere.close()
