"""A short form of every long run; ``python -m tests.endurance`` is the long one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.endurance.acts import ACTS
from tests.endurance.damage import chance
from tests.endurance.inputs import read_damaged
from tests.endurance.kills import kill_at_random
from tests.endurance.office import work_together
from tests.endurance.readings import READINGS
from tests.store.office_server import new_database, running_server

SEED = 20_261_125


@pytest.mark.parametrize(
    ("kind", "count"),
    [("photos", 150), ("claims", 150), ("lists", 200), ("papers", 8), ("bundles", 150)],
)
def test_damaged_files_get_a_verdict_or_a_sentence(kind: str, count: int, tmp_path: Path) -> None:
    outcome = read_damaged(kind, count, SEED, tmp_path)
    assert outcome.faults == [], outcome.sentence()
    assert outcome.tally.total() == count
    assert len(outcome.tally) > 1


@pytest.mark.parametrize("act", sorted(ACTS))
def test_killed_at_any_moment_nothing_that_was_reported_is_missing(
    act: str, tmp_path: Path
) -> None:
    assert kill_at_random([act], 1, SEED, tmp_path) == []


def test_four_processes_at_one_library_lose_no_change(tmp_path: Path) -> None:
    assert work_together(tmp_path, 1, SEED) == []


def test_four_processes_at_one_office_lose_no_change(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    servers = running_server(tmp_path_factory.mktemp("server"))
    try:
        address = new_database(next(servers))
        assert work_together(tmp_path, 1, SEED, address) == []
    finally:
        servers.close()


def test_a_seed_and_a_number_make_the_same_file_again() -> None:
    whole = READINGS["claims"].sound()
    made = [READINGS["claims"].damage(chance(SEED, number), whole) for number in (3, 4, 3)]
    assert made[0] == made[2]
    assert made[0] != made[1]
