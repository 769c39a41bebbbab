"""Damaged files of one kind, read in a process with limits; the limits are part of the check."""

from __future__ import annotations

import json
import os
import selectors
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tests.endurance.readings import READINGS, REPOSITORY

STANDSTILL_S = 60
"""So long a file may keep the process waiting without using the processor."""


@dataclass
class Outcome:
    """What became of all files of a run."""

    kind: str
    seed: int
    tally: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    say: Callable[[str], None] = lambda text: None
    slowest_s: float = 0
    megabytes: int = 0
    last: int = -1
    """The number of the last file that was read to its end."""

    def fault(self, number: int, what: str) -> None:
        """Keep a fault with what it takes to make it again, and say it at once."""
        self.faults.append(f"{self.kind}, seed {self.seed}, number {number}: {what}")
        self.say(self.faults[-1])

    def sentence(self) -> str:
        """Return the run in one line."""
        parts = ", ".join(f"{count} {word}" for word, count in sorted(self.tally.items()))
        return (
            f"{self.kind}, seed {self.seed}: {sum(self.tally.values())} files ({parts}), "
            f"slowest {self.slowest_s:.2f} s of processor time, at most {self.megabytes} MB, "
            f"{len(self.faults)} faults"
        )


def read_damaged(
    kind: str,
    count: int,
    seed: int,
    folder: Path,
    first: int = 0,
    say: Callable[[str], None] = lambda text: None,
) -> Outcome:
    """Read ``count`` damaged files from number ``first`` on; every fault names its number."""
    outcome = Outcome(kind, seed, say=say)
    number, last = first, first + count
    while number < last:
        number = _one_process(outcome, number, last, folder)
    if kind == "photos" and outcome.megabytes > 300:
        outcome.faults.append(f"{kind}: {outcome.megabytes} MB were taken, 300 MB are allowed")
    return outcome


def _one_process(outcome: Outcome, first: int, last: int, folder: Path) -> int:
    """Return the number to go on with."""
    command = [sys.executable, "-m", "tests.endurance.worker", outcome.kind]
    command += [str(outcome.seed), str(first), str(last), str(folder)]
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        cwd=REPOSITORY,
        # One arena: otherwise each thread of a decoder reserves 64 MB that it never touches,
        # and the limit of memory would count them.
        env={**os.environ, "PYTHONPATH": str(REPOSITORY), "MALLOC_ARENA_MAX": "1"},
    )
    assert process.stdout is not None
    at = first - 1
    with selectors.DefaultSelector() as waiting, process.stdout as said:
        waiting.register(said, selectors.EVENT_READ)
        while waiting.select(STANDSTILL_S):
            raw = said.readline()
            if not raw:
                break
            line = json.loads(raw)
            if "begins" in line:
                at = line["begins"]
                continue
            _note(outcome, line)
            if (line["number"] + 1) % 500 == 0:
                outcome.say(outcome.sentence())
        process.kill()
    code = process.wait()
    if at < first:
        raise AssertionError(f"the worker for {outcome.kind} did not start (exit {code})")
    if outcome.last != at:
        limit = READINGS[outcome.kind].seconds
        why = f"more than {limit} s" if code == -27 else f"the process ended with {code}"
        outcome.tally["ended"] += 1
        outcome.fault(at, why)
    return at + 1


def _note(outcome: Outcome, line: dict[str, object]) -> None:
    outcome.last = int(str(line["number"]))
    outcome.slowest_s = max(outcome.slowest_s, float(str(line["seconds"])))
    outcome.megabytes = max(outcome.megabytes, int(str(line["megabytes"])))
    if line["fault"]:
        outcome.tally["fault"] += 1
        outcome.fault(outcome.last, str(line["fault"]))
    else:
        outcome.tally[str(line["outcome"])] += 1
