"""Rows of measurements and the table that shows them."""

from __future__ import annotations

import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One measurement: ours and the reference's seconds, and the ratio to reach."""

    what: str
    seconds: float
    reference: str
    reference_seconds: float
    ratio_wanted: float

    @property
    def ratio(self) -> float:
        """Ours divided by the reference's."""
        return self.seconds / self.reference_seconds


def as_table(rows: Sequence[Row]) -> str:
    """Return the rows as a table in plain text."""
    lines = [("what", "seconds", "reference", "seconds", "ratio", "at most", "")]
    lines += [
        (
            row.what,
            f"{row.seconds:.2f}",
            row.reference,
            f"{row.reference_seconds:.2f}",
            f"{row.ratio:.2f}",
            f"{row.ratio_wanted:.2f}",
            "reached" if row.ratio <= row.ratio_wanted else "missed",
        )
        for row in rows
    ]
    widths = [max(len(line[column]) for line in lines) for column in range(7)]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )


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
