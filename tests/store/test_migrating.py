"""From one shape of the database to the next: backed up, complete, or not at all."""

import dataclasses
import shutil
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from ldapp.claim.changes import difference
from ldapp.errors import MachineError
from ldapp.store import kinds, migrating
from ldapp.store.base import Base
from ldapp.store.claim_library import Library
from ldapp.store.protection import missing_protection, protect
from tests.store.made_claims import made_claim, summary_of
from tests.store.old_libraries.make import claim_of_old_libraries

OLD = Path(__file__).parent / "old_libraries"

SO_FAR = migrating.REVISIONS
NEXT = f"{int(SO_FAR[-1]) + 1:04d}"
"""The step that the tests make up behind those that there are."""

STEP = """
import sqlalchemy as sa
from alembic import op

revision = "{revision}"
down_revision = "{before}"


def upgrade():
    {steps}
"""

REBUILT = """with op.batch_alter_table("claim") as batch:
        batch.add_column(sa.Column("colour", sa.Text(), nullable=True))
        batch.alter_column("title", existing_type=sa.Text(), nullable=True)
    with op.batch_alter_table("count") as batch:
        batch.alter_column("place", existing_type=sa.Text(), nullable=True)
    with op.batch_alter_table("journal_entry") as batch:
        batch.alter_column("who", existing_type=sa.Text(), nullable=True)
"""


def _shape(file):
    """The tables, indexes and triggers of a database, each as its parts in no order."""
    with closing(sqlite3.connect(file)) as connection:
        rows = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'alembic%' "
            "AND name NOT LIKE 'sqlite_%'"
        ).fetchall()
    return {name: sorted(_parts(sql)) for name, sql in rows}


def _parts(sql):
    """Split a statement at the commas of its list of columns, and not inside brackets of these."""
    depth, part = 0, ""
    for char in " ".join(sql.split()):
        depth += (char == "(") - (char == ")")
        if depth == 1 and char in "(,":
            yield part.strip()
            part = ""
        elif depth or char != ")":
            part += char
    yield part.strip()


@pytest.fixture
def next_step(tmp_path, monkeypatch):
    """Make a second step out of Python lines and let the program know it."""

    def make(steps):
        scripts = tmp_path / "scripts"
        shutil.copytree(Path(migrating.__file__).parent / "migrations", scripts)
        text = STEP.format(steps=steps, revision=NEXT, before=SO_FAR[-1])
        (scripts / "versions" / f"{NEXT}_next.py").write_text(text)
        monkeypatch.setattr(migrating, "SCRIPTS", str(scripts))
        monkeypatch.setattr(migrating, "REVISIONS", (*SO_FAR, NEXT))

    return make


def _filled(folder, seed=2):
    library = Library.open(folder)
    claim = made_claim(seed)
    library.create(claim, who="Ada", label="Create", summary=summary_of(claim))
    library.close()
    return claim


def test_the_program_knows_exactly_the_steps_that_there_are():
    config = Config()
    config.set_main_option("script_location", migrating.SCRIPTS)
    steps = ScriptDirectory.from_config(config).walk_revisions()
    assert tuple(reversed([step.revision for step in steps])) == migrating.REVISIONS


def test_the_steps_lead_to_the_models(library, tmp_path):
    engine = create_engine(f"sqlite:///{tmp_path / 'made.sqlite'}")
    with engine.begin() as connection:
        Base.metadata.create_all(connection)
        protect(connection)
    engine.dispose()
    assert _shape(library.folder / "claims.sqlite") == _shape(tmp_path / "made.sqlite")
    with library._database.reading() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, Base.metadata) == []
        assert missing_protection(connection) == ()


def test_every_table_can_be_made_on_the_offices_database():
    for table in Base.metadata.sorted_tables:
        assert "CREATE TABLE" in str(CreateTable(table).compile(dialect=postgresql.dialect()))
    assert {kind.table.name for kind in kinds.KINDS.values()} < set(Base.metadata.tables)


def test_every_constraint_has_a_name_by_which_it_can_be_dropped(library):
    for table in Base.metadata.sorted_tables:
        for constraint in table.constraints:
            assert constraint.name, table.name


@pytest.mark.parametrize("version", sorted(one.name for one in OLD.iterdir() if one.is_dir()
                                           and one.name.isdigit()))  # fmt: skip
def test_every_old_library_opens_with_all_it_holds(version, folder):
    folder.mkdir()
    shutil.copy(OLD / version / "claims.sqlite", folder)
    library = Library.open(folder)
    try:
        claim = claim_of_old_libraries()
        assert [one.claim for one in library.summaries()] == [claim.id]
        loaded, number = library.load(claim.id)
        assert (loaded.kit[0].description, number) == (claim.kit[0].description, 2)
        assert len(loaded.counts[0].entries) == len(claim.counts[0].entries)
        assert library.check_journal(claim.id) == ()
        assert library.check_database() == ()
    finally:
        library.close()
    assert _shape(folder / "claims.sqlite").keys() >= set(Base.metadata.tables)
    copies = [one for one in folder.iterdir() if ".before-" in one.name]
    assert len(copies) == (version != migrating.REVISIONS[-1])
    for copy in copies:
        with closing(sqlite3.connect(copy)) as connection:
            assert connection.execute("SELECT version_num FROM alembic_version").fetchone() == (
                version,
            )
            assert connection.execute("SELECT id FROM claim").fetchall() == [(claim.id,)]


def test_the_steps_so_far_each_have_an_old_library():
    assert {one.name for one in OLD.iterdir() if one.name.isdigit()} == set(migrating.REVISIONS)


def test_a_new_library_needs_no_backup(library, folder):
    assert sorted(one.name for one in folder.iterdir() if "before" in one.name) == []


def test_an_older_library_is_copied_and_keeps_every_row(folder, next_step):
    claim = _filled(folder)
    # The newest commits stand in the log beside the file; the copy must hold them too.
    writer = Library.open(folder)
    new = dataclasses.replace(claim, note="the latest word")
    writer.save(
        new, expected_version=1, changes=difference(claim, new), who="Ada", label="Note",
        undoes=None, summary=summary_of(new),
    )  # fmt: skip
    next_step(REBUILT)
    library = Library.open(folder)
    try:
        assert library.load(claim.id) == (new, 2)
        assert library.check_journal(claim.id) == ()
        with library._database.reading() as connection:
            assert missing_protection(connection) == ()
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
            assert connection.exec_driver_sql("SELECT colour FROM claim").all() == [(None,)]
    finally:
        library.close()
        writer.close()
    backup = folder / f"claims.before-{NEXT}.sqlite"
    with closing(sqlite3.connect(backup)) as connection:
        stamp = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        note = connection.execute("SELECT note FROM claim").fetchone()
    assert (stamp, note) == ((SO_FAR[-1],), ("the latest word",))


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ('op.execute("DELETE FROM kit_line")', "lost rows of kit_line"),
        ('op.execute("UPDATE party SET claim = 77")', "a row of party belongs to nothing"),
    ],
)
def test_a_step_that_would_lose_rows_is_taken_back(folder, next_step, steps, words):
    claim = _filled(folder)
    next_step(steps)
    with pytest.raises(MachineError, match=words):
        Library.open(folder)
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchone() == (
            SO_FAR[-1],
        )
        lines = connection.execute("SELECT count(*) FROM kit_line WHERE claim = 1").fetchone()
    assert lines == (len(claim.kit),)


def test_a_step_that_fails_changes_nothing_and_works_when_mended(folder, next_step, tmp_path):
    claim = _filled(folder)
    next_step('op.add_column("party", sa.Column("x", sa.Text())); raise RuntimeError("power cut")')
    with pytest.raises(RuntimeError, match="power cut"):
        Library.open(folder)
    assert "x TEXT" not in " ".join(_shape(folder / "claims.sqlite")["party"])
    shutil.rmtree(tmp_path / "scripts")
    next_step(REBUILT)
    library = Library.open(folder)
    assert library.load(claim.id)[0] == claim
    library.close()


KILLED = """
import sys
from pathlib import Path
from ldapp.store import migrating
from ldapp.store.claim_library import Library
migrating.SCRIPTS, migrating.REVISIONS = sys.argv[2], tuple(sys.argv[3:])
print("start", flush=True)
Library.open(Path(sys.argv[1])).close()
"""


@pytest.mark.parametrize("milliseconds", [5, 60, 110, 150, 190, 230])
def test_killed_while_migrating_the_next_start_finishes_it(
    folder, next_step, tmp_path, milliseconds
):
    claim = _filled(folder)
    next_step(REBUILT)
    process = subprocess.Popen(
        [sys.executable, "-c", KILLED, str(folder), str(tmp_path / "scripts"), *SO_FAR, NEXT],
        stdout=subprocess.PIPE,
    )
    assert process.stdout is not None
    process.stdout.readline()
    time.sleep(milliseconds / 1000)
    process.kill()
    process.stdout.close()
    process.wait()
    library = Library.open(folder)
    try:
        assert library.load(claim.id) == (claim, 1)
        assert library.check_journal(claim.id) == ()
        assert library.check_database() == ()
    finally:
        library.close()


def test_a_library_of_a_newer_program_is_refused_and_left_alone(folder):
    _filled(folder)
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(MachineError, match=r"newer version of this program \(its shape is 9999"):
        Library.open(folder)
    assert not list(folder.glob("*before*"))


def test_another_programs_database_is_refused_and_left_alone(folder):
    folder.mkdir()
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection, connection:
        connection.execute("CREATE TABLE songs (title)")
    with pytest.raises(MachineError, match="no library of this program"):
        Library.open(folder)
    assert set(_shape(folder / "claims.sqlite")) == {"songs"}
