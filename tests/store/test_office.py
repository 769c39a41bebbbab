"""The same library on an office's database: a real PostgreSQL, started for these tests."""

import dataclasses
import getpass
import shutil
import signal
import socket
import subprocess
import time
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from ldapp.claim.changes import apply_changes, difference, inverse
from ldapp.errors import ConflictError, LdappError, MachineError
from ldapp.store.claim_library import Library
from tests.store.made_claims import made_claim, summary_of

pytest.importorskip("psycopg", reason="needs the package psycopg (extra 'office')")


def _program(name):
    found = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
    return str(found[-1]) if found else shutil.which(name)


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """The address of a server with its own data folder, on a free port of this computer."""
    if _program("initdb") is None or _program("postgres") is None:
        pytest.fail("PostgreSQL's server programs are missing: install the package postgresql")
    folder = tmp_path_factory.mktemp("server")
    as_whom = {}
    if getpass.getuser() == "root":
        # The server refuses to run as the administrator.
        for one in (folder, *folder.parents[:2]):
            one.chmod(0o755)
        shutil.chown(folder, "nobody")
        as_whom = {"user": "nobody", "group": "nogroup", "extra_groups": []}
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    subprocess.run(
        [_program("initdb"), "-D", folder / "data", "-A", "trust", "-U", "ldapp", "-N"],
        check=True, cwd=folder, **as_whom, **quiet,
    )  # fmt: skip
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [_program("postgres"), "-D", folder / "data", "-h", "127.0.0.1", "-p", str(port),
         "-k", folder, "-F"],
        cwd=folder, **as_whom, **quiet,
    )  # fmt: skip
    address = f"postgresql+psycopg://ldapp@127.0.0.1:{port}/"
    try:
        _wait(port)
        yield address
    finally:
        process.send_signal(signal.SIGINT)  # ends open connections too
        process.wait()


def _wait(port):
    import psycopg

    for _ in range(100):
        try:
            psycopg.connect(
                f"host=127.0.0.1 port={port} user=ldapp dbname=postgres"
            ).close()  # fmt: skip
        except psycopg.OperationalError:
            time.sleep(0.1)
        else:
            return
    raise AssertionError("the server did not start")


@pytest.fixture
def address(server):
    """The address of a new, empty database."""
    import psycopg

    name = f"claims_{time.monotonic_ns()}"
    plain = server.replace("+psycopg", "") + "postgres"
    with psycopg.connect(plain, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return server + name


@pytest.fixture
def office(address, folder):
    library = Library.open(folder, database_url=address)
    yield library
    library.close()


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
