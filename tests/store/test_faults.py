"""What the machine may lack gets one sentence, and nothing is lost by it."""

import dataclasses
import os
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.errors import LdappError, MachineError
from ldapp.store.claim_library import Library
from tests.store.made_claims import made_claim, summary_of


def _create(library, claim):
    library.create(claim, who="Ada", label="Create", summary=summary_of(claim))


def test_a_folder_below_a_file_gets_a_sentence(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(MachineError, match="cannot be written to"):
        Library.open(tmp_path / "file" / "library")


def test_a_file_in_place_of_the_folder_gets_a_sentence(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(MachineError, match="cannot be written to"):
        Library.open(tmp_path / "file")


@pytest.mark.skipif(
    not os.path.isdir("/proc/self"),  # noqa: PTH112 - a place, not a file of ours
    reason="needs a folder that not even the administrator may write to",
)
def test_a_folder_that_may_not_be_written_to_gets_a_sentence():
    from pathlib import Path

    with pytest.raises(MachineError, match="/proc/self"):
        Library.open(Path("/proc/self"))


def test_a_locked_database_gets_a_sentence_and_works_again_after(library, folder):
    claim = made_claim(1)
    with closing(sqlite3.connect(folder / "claims.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(MachineError, match="Another program is writing"):
            _create(library, claim)
        assert library.summaries() == ()
        other.execute("ROLLBACK")
    _create(library, claim)


def test_a_new_library_that_another_program_holds_gets_a_sentence(folder):
    folder.mkdir()
    with closing(sqlite3.connect(folder / "claims.sqlite", isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode=WAL")
        other.execute("BEGIN IMMEDIATE")
        other.execute("CREATE TABLE x (y)")
        with pytest.raises(MachineError, match="Another program is writing"):
            Library.open(folder, patience_s=0.1)
        other.execute("ROLLBACK")
    Library.open(folder).close()


def test_reading_goes_on_while_another_program_writes(library, folder):
    claim = made_claim(1)
    _create(library, claim)
    with closing(sqlite3.connect(folder / "claims.sqlite", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE claim SET title = 'half done'")
        assert library.load(claim.id)[0] == claim
        other.execute("ROLLBACK")


def test_a_full_disk_gets_a_sentence_and_loses_nothing(library):
    claim = Claim(id="c", reference="R-1", currency="USD", zone="UTC")
    _create(library, claim)
    library.close()  # so that every connection is made anew with the limit
    from sqlalchemy import event

    def small(connection, _):
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count={pages}")

    engine = library._database.engine
    event.listen(engine, "connect", small)
    kit = tuple(
        KitLine(id=str(n), number=str(n), agreement="a", description="stand" * 50, quantity=1)
        for n in range(2000)
    )
    new = dataclasses.replace(claim, kit=kit)

    def save():
        library.save(
            new, expected_version=1, changes=difference(claim, new), who="Ada", label="Import",
            undoes=None, summary=summary_of(new),
        )  # fmt: skip

    with pytest.raises(MachineError, match=r"The disk that holds .* is full"):
        save()
    assert library.load("c") == (claim, 1)
    event.remove(engine, "connect", small)
    engine.dispose()
    save()
    assert library.load("c") == (new, 2)
    assert library.check_database() == ()


def test_a_file_that_is_no_database_gets_a_sentence_and_is_kept(folder):
    folder.mkdir()
    (folder / "claims.sqlite").write_bytes(b"not a database, but long enough to be one" * 100)
    with pytest.raises(MachineError, match="is damaged"):
        Library.open(folder)
    assert (folder / "claims.sqlite").read_bytes().startswith(b"not a database")


def test_a_damaged_page_is_told_in_a_sentence(library, folder):
    claim = made_claim(2)
    _create(library, claim)
    library.close()
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection:
        (page,) = connection.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'claim'"
        ).fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    with (folder / "claims.sqlite").open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xff" * size)
    other = Library.open(folder)
    try:
        with pytest.raises(MachineError, match="is damaged"):
            other.load(claim.id)
        assert any("is damaged" in one for one in other.check_database())
    finally:
        other.close()


def test_a_value_that_the_program_never_writes_is_told_in_a_sentence(library, folder):
    claim = made_claim(2)
    _create(library, claim)
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection, connection:
        connection.execute("UPDATE claim_summary SET stage = 'gone'")
    with pytest.raises(MachineError, match="field stage of a claim summary holds 'gone'"):
        library.summaries()


@pytest.mark.parametrize("address", ["nonsense", "mysql://server/claims", "sqlite:///x.sqlite"])
def test_an_address_that_is_none_gets_a_sentence(folder, address):
    with pytest.raises(LdappError, match="Expected: postgresql"):
        Library.open(folder, database_url=address)


def test_a_sound_library_finds_nothing_wrong(library):
    _create(library, made_claim(6))
    assert library.check_database() == ()
    assert library.exports.is_dir()


def test_importing_the_package_loads_nothing_heavy():
    # The window is painted before the store is needed.
    code = "import sys, ldapp.store; sys.exit('sqlalchemy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_opening_an_up_to_date_library_does_without_the_migrations(folder):
    Library.open(folder).close()
    code = (
        "import sys; from pathlib import Path; from ldapp.store.claim_library import Library; "
        f"Library.open(Path({str(folder)!r})).close(); sys.exit('alembic' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
