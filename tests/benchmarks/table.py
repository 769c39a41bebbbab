"""Rows of measurements and the table that shows them."""

from __future__ import annotations

import shutil
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One measurement: ours and the reference's, in seconds or MB, and the ratio to reach."""

    what: str
    seconds: float
    reference: str
    reference_seconds: float
    ratio_wanted: float
    unit: str = "s"

    @property
    def ratio(self) -> float:
        """Ours divided by the reference's."""
        return self.seconds / self.reference_seconds


def as_table(rows: Sequence[Row]) -> str:
    """Return the rows as a Markdown table."""
    lines = [
        "| what | measured | reference | the same there | ratio | at most | |",
        "|---|---:|---|---:|---:|---:|---|",
    ]
    lines += [
        f"| {row.what} | {row.seconds:.2f} {row.unit} | {row.reference} "
        f"| {row.reference_seconds:.2f} {row.unit} "
        f"| {row.ratio:.2f} | {row.ratio_wanted:.2f} "
        f"| {'reached' if row.ratio <= row.ratio_wanted else 'missed'} |"
        for row in rows
    ]
    return "\n".join(lines)


def missing(*programs: str) -> list[str]:
    """Name the reference tools that are not installed, so that a row can be left out."""
    gone = [program for program in programs if shutil.which(program) is None]
    for program in gone:
        print(f"{program} is not installed; the rows that are measured against it are left out.")
    return gone


def pairs(
    times: int,
    ours: Callable[[], object],
    reference: Callable[[], object],
    before: Callable[[], object] = lambda: None,
) -> tuple[float, float]:
    """Run both in turn; return the seconds of the pair whose ratio is the median.

    ``before`` makes the place ready for each of them and is not measured.
    """
    found = []
    for _ in range(times):
        before()
        one = best_of(1, ours)
        before()
        other = best_of(1, reference)
        found.append((one / other, (one, other)))
    return sorted(found)[len(found) // 2][1]


def best_of(times: int, work: Callable[[], object]) -> float:
    """Return the shortest of several runs in seconds."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return min(found)


def command(*words: str) -> Callable[[], object]:
    """Return work that runs a command and throws its output away."""

    def run() -> object:
        return subprocess.run(
            words, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )

    return run
