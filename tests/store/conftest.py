import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from ldapp.store.claim_library import Library


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
