"""The same library on an office's database: a real PostgreSQL, started for these tests."""

import dataclasses
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine
from sqlalchemy.exc import DBAPIError

from ldapp.claim.changes import apply_changes, difference, inverse
from ldapp.errors import ConflictError, LdappError, MachineError
from ldapp.store import migrating
from ldapp.store.claim_library import Library
from ldapp.store.shape import REVISIONS
from tests.store.made_claims import made_claim, summary_of

pytest.importorskip("psycopg", reason="needs the package psycopg (extra 'office')")


def _create(library, claim):
    library.create(claim, who="Ada", label="Create", summary=summary_of(claim))


def _save(library, old, new, version, who="Ada"):
    return library.save(
        new, expected_version=version, changes=difference(old, new), who=who, label="Change",
        undoes=None, summary=summary_of(new, owed=Decimal("1.23")),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(6))
def test_a_claim_with_every_field_filled_comes_back_equal(office, seed):
    claim = made_claim(seed)
    _create(office, claim)
    new = dataclasses.replace(made_claim(seed + 100), id=claim.id)
    _, entry = _save(office, claim, new, 1)
    assert office.load(claim.id) == (new, 2)
    undone = apply_changes(new, inverse(entry.changes))
    _save(office, new, undone, 2)
    assert office.load(claim.id) == (claim, 3)
    assert office.check_journal(claim.id) == ()
    assert office.summaries()[0].owed == Decimal("1.23")
    office.remove(claim.id)
    assert office.summaries() == ()


def test_it_opens_again_and_remembers(office, address, folder):
    office.remember("columns", "1")
    office.remember("columns", "2")
    again = Library.open(folder, database_url=address)
    assert again.remembered("columns") == "2"
    again.close()


def test_two_starts_at_once_make_one_library(address, tmp_path):
    def start(number):
        Library.open(tmp_path / str(number), database_url=address).close()

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(start, range(4)))


def test_colleagues_share_the_originals(office, address, tmp_path):
    stored = office.originals.put_bytes(b"picture")
    other = Library.open(
        tmp_path / "other", database_url=address, originals=office.originals.folder
    )
    assert other.originals.has(stored.sha256)
    other.close()


def test_the_record_is_append_only_there_too(office):
    _create(office, made_claim(1))
    for statement, words in (
        ("UPDATE journal_entry SET who = 'Eve'", "never changed"),
        ("DELETE FROM journal_entry", "never deleted"),
    ):
        with pytest.raises(DBAPIError, match=words), office._database.writing() as connection:
            connection.exec_driver_sql(statement)


def test_people_who_change_one_claim_at_once_lose_no_change(office, address, tmp_path):
    claim = made_claim(2)
    _create(office, dataclasses.replace(claim, title=""))
    libraries = [Library.open(tmp_path / f"{n}", database_url=address) for n in range(4)]

    def letters(library, who):
        conflicts = 0
        for _ in range(10):
            while True:
                old, version = library.load(claim.id)
                try:
                    _save(library, old, dataclasses.replace(old, title=old.title + who), version)
                except ConflictError:
                    conflicts += 1
                else:
                    break
        return conflicts

    with ThreadPoolExecutor(4) as pool:
        conflicts = list(pool.map(letters, libraries, "abcd"))
    for library in libraries:
        library.close()
    title = office.load(claim.id)[0].title
    assert sorted(title) == sorted("abcd" * 10)
    assert sum(conflicts) > 0
    assert office.check_journal(claim.id) == ()


def test_a_local_claim_moves_to_the_office_and_back_with_its_record(
    office, library, tmp_path, clock
):
    claim = made_claim(4)
    _create(library, claim)
    whole = dataclasses.replace(claim, journal=library.journal(claim.id))
    office.import_with_journal(whole, summary=summary_of(claim))
    assert (office.load(claim.id)[0], office.journal(claim.id)) == (claim, whole.journal)
    assert office.check_journal(claim.id) == ()


def test_a_server_that_is_not_there_gets_a_sentence(folder):
    with pytest.raises(MachineError, match="cannot be reached"):
        Library.open(folder, database_url="postgresql+psycopg://ldapp@127.0.0.1:1/claims")


def test_a_newer_office_is_refused(office, address, folder):
    with office._database.writing() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(LdappError, match="newer version of this program"):
        Library.open(folder, database_url=address)


@pytest.mark.parametrize("shape", REVISIONS[:-1])
def test_an_office_of_every_earlier_shape_is_brought_up_to_date(address, folder, shape):
    engine = create_engine(address)
    with engine.begin() as connection:
        config = Config()
        config.set_main_option("script_location", migrating.SCRIPTS)
        config.attributes["connection"] = connection
        command.upgrade(config, shape)
        connection.exec_driver_sql(
            "INSERT INTO claim (id, version, reference, title, currency, zone, place, stage, "
            "invented, note) VALUES ('c', 1, 'R', 'T', 'USD', 'UTC', '', 'preparing', true, '')"
        )
        connection.exec_driver_sql(
            "INSERT INTO claim_summary (claim, reference, title, currency, stage, "
            "rental_companies, next_deadline_title, open_points, invented, reckoning_version) "
            "SELECT key, 'R', 'T', 'USD', 'preparing', '[]', '', 0, true, '1' FROM claim"
        )
    engine.dispose()
    library = Library.open(folder, database_url=address)
    claim, version = library.load("c")
    assert (claim.reference, version) == ("R", 1)
    (row,) = library.summaries_with_figures()
    assert (row.policy, row.people, row.figures) == ("", (), None)
    if shape < "0003":  # rows from before there were figures are reckoned anew
        assert row.reckoning_version == ""
    library.close()


def test_a_database_that_may_only_be_read_gets_a_sentence_and_loses_nothing(
    office, address, folder
):
    claim = made_claim(1)
    _create(office, claim)
    engine = create_engine(address)
    with engine.connect() as admin:
        name = admin.exec_driver_sql("SELECT current_database()").scalar()
        admin.exec_driver_sql(f"ALTER DATABASE {name} SET default_transaction_read_only = on")
        admin.commit()
    engine.dispose()
    office._database.engine.dispose()
    new = dataclasses.replace(claim, title="Not to be written")
    with pytest.raises(MachineError, match="does not let you do this") as caught:
        _save(office, claim, new, 1)
    assert "\n" not in str(caught.value)
    assert office.load(claim.id) == (claim, 1)


@pytest.mark.parametrize(
    ("state", "says"),
    [
        ("53100", "The disk that holds the office's database is full."),
        ("40P01", "Another program is writing to the office's database"),
        ("57P01", "The office's database cannot be reached."),
    ],
)
def test_what_the_server_says_is_told_by_its_state_in_one_line(office, state, says):
    with pytest.raises(MachineError) as caught, office._database.writing() as connection:
        connection.exec_driver_sql(
            f"DO $$ BEGIN RAISE 'so it is' USING ERRCODE = '{state}'; END $$"
        )
    assert str(caught.value).startswith(says)
    assert "CONTEXT" not in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.fixture
def two_users(address):
    """Addresses of two users of one database that belongs to their common role (see the guide)."""
    engine = create_engine(address, isolation_level="AUTOCOMMIT")
    with engine.connect() as admin:
        name = admin.exec_driver_sql("SELECT current_database()").scalar()
        users = [f"{name}_{one}" for one in ("ada", "ben")]
        admin.exec_driver_sql(f"CREATE ROLE {name}_office")
        admin.exec_driver_sql(f"ALTER DATABASE {name} OWNER TO {name}_office")
        for user in users:
            admin.exec_driver_sql(f"CREATE ROLE {user} LOGIN IN ROLE {name}_office")
            admin.exec_driver_sql(f"ALTER ROLE {user} SET role = {name}_office")
    engine.dispose()
    return [address.replace("ldapp@", f"{user}@") for user in users]


def test_two_users_without_special_rights_work_on_what_either_made(two_users, tmp_path):
    ada, ben = (
        Library.open(tmp_path / str(number), database_url=one, originals=tmp_path / "originals")
        for number, one in enumerate(two_users)
    )
    claim = made_claim(1)
    _create(ada, claim)
    new = dataclasses.replace(claim, title="By Ben")
    _save(ben, claim, new, 1, who="Ben")
    assert ada.load(claim.id) == (new, 2)
    assert ada.check_journal(claim.id) == ()
    ada.close()
    ben.close()


def test_a_user_without_rights_gets_a_sentence(office, address, tmp_path):
    engine = create_engine(address, isolation_level="AUTOCOMMIT")
    with engine.connect() as admin:
        name = admin.exec_driver_sql("SELECT current_database()").scalar()
        admin.exec_driver_sql(f"CREATE ROLE {name}_cyd LOGIN")
    engine.dispose()
    with pytest.raises(MachineError, match="does not let you do this"):
        Library.open(tmp_path / "c", database_url=address.replace("ldapp@", f"{name}_cyd@"))
