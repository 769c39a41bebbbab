import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from ldapp.store.claim_library import Library
from tests.store.office_server import new_database, running_server


class SteppingClock:
    """A clock that goes on by one second each time it is read."""

    def __init__(self) -> None:
        self.now = dt.datetime(2026, 3, 2, 12, 0, tzinfo=dt.UTC)

    def __call__(self) -> dt.datetime:
        self.now += dt.timedelta(seconds=1)
        return self.now


@pytest.fixture
def clock() -> SteppingClock:
    return SteppingClock()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "library"


@pytest.fixture
def library(folder: Path, clock: SteppingClock) -> Iterator[Library]:
    library = Library.open(folder, clock=clock, patience_s=0.2)
    yield library
    library.close()


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a server with its own data folder, on a free port of this computer."""
    yield from running_server(tmp_path_factory.mktemp("server"))


@pytest.fixture
def address(server: str) -> str:
    """The address of a new, empty database of an office."""
    return new_database(server)


@pytest.fixture
def office(address: str, folder: Path) -> Iterator[Library]:
    library = Library.open(folder, database_url=address)
    yield library
    library.close()


@pytest.fixture(params=["file", "server"])
def database_url(request: pytest.FixtureRequest) -> str | None:
    """None for a library in a file, the address of a new database for an office's."""
    if request.param == "file":
        return None
    address: str = request.getfixturevalue("address")
    return address


@pytest.fixture
def either(folder: Path, database_url: str | None, clock: SteppingClock) -> Iterator[Library]:
    """A library in a file, then the same on an office's database."""
    library = Library.open(folder, database_url=database_url, clock=clock)
    yield library
    library.close()
