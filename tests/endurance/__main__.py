"""Long runs: damaged files by the thousand, kills, people at work at once.

    python -m tests.endurance                     everything, with the counts of the design
    python -m tests.endurance photos --count 500  a part of it
    python -m tests.endurance photos --seed 7 --first 311 --count 1    one file again

Prints the seed and, for every fault, the number with which it can be made again; ends with 1
where there was any.  A short form of each is in the normal tests.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from tests.endurance.acts import ACTS
from tests.endurance.inputs import read_damaged
from tests.endurance.kills import kill_at_random
from tests.endurance.office import work_together
from tests.endurance.readings import READINGS

COUNTS = {"photos": 10_000, "claims": 5_000, "lists": 5_000, "papers": 500, "bundles": 2_000}
KILLS = 100
TOGETHER_S = 60


def say(text: str) -> None:
    """Print at once."""
    print(text, flush=True)


def main() -> int:
    """Run what was named; return 1 where anything was found."""
    names = [*READINGS, "kills", "office"]
    parser = argparse.ArgumentParser(prog="python -m tests.endurance")
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(names)}")
    parser.add_argument("--count", type=int, help="files, kills, or seconds of work at once")
    parser.add_argument("--seed", type=int, default=20_261_125)
    parser.add_argument("--first", type=int, default=0, help="the number to begin with")
    options = parser.parse_args()
    if unknown := set(options.names) - set(names):
        parser.error(f"not known: {', '.join(sorted(unknown))}")
    faults: list[str] = []
    with tempfile.TemporaryDirectory(prefix="ldapp-endurance-") as made:
        folder = Path(made)
        for name in options.names or names:
            (folder / name).mkdir()
            faults += _run(name, options, folder / name)
    for fault in faults:
        say(fault)
    say(f"seed {options.seed}: {len(faults)} faults")
    return 1 if faults else 0


def _run(name: str, options: argparse.Namespace, folder: Path) -> list[str]:
    seed: int = options.seed
    if name == "kills":
        count = options.count or KILLS
        faults = kill_at_random(ACTS, count, seed, folder, options.first, say)
        say(f"kills, seed {seed}: {count} kills, {len(faults)} faults")
        return faults
    if name == "office":
        seconds = options.count or TOGETHER_S
        faults = work_together(folder / "file", seconds, seed, say=say)
        with _server(folder) as address:
            return faults + work_together(folder / "server", seconds, seed, address, say)
    count = options.count or COUNTS[name]
    outcome = read_damaged(name, count, seed, folder, options.first, say)
    say(outcome.sentence())
    return outcome.faults


@contextmanager
def _server(folder: Path) -> Iterator[str]:
    from tests.store.office_server import new_database, running_server

    place = folder / "postgresql"
    place.mkdir()
    with ExitStack() as ending:
        servers = running_server(place)
        ending.callback(servers.close)
        yield new_database(next(servers))


if __name__ == "__main__":
    sys.exit(main())
