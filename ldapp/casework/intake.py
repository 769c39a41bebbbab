"""Claim files and bundles taken in, one or many: each whole or not at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ldapp.casework.register import Progress, Register
from ldapp.errors import LdappError
from ldapp.language import said


class Intake(NamedTuple):
    """What came in: the claims' ids, a sentence for each file refused, and what to look at."""

    claims: tuple[str, ...]
    refused: tuple[str, ...]
    remarks: tuple[str, ...]


def take_in_files(
    register: Register,
    paths: Sequence[Path],
    progress: Progress = lambda done, total, text: None,
) -> Intake:
    """Verify claim files and bundles and take their claims in; one that is refused stops none.

    Students number their claims by themselves: two of one reference are said.

    Raises:
        LdappError: there is one file alone, and it is refused.
    """
    taken: list[str] = []
    refused: list[str] = []
    for number, path in enumerate(paths):
        if len(paths) > 1:
            progress(number, len(paths), path.name)
        is_file = path.suffix.lower() == ".json"
        take_in = register.take_in_claim_file if is_file else register.take_in_bundle
        try:
            taken.append(take_in(path, progress) if len(paths) == 1 else take_in(path))
        except LdappError as error:
            if len(paths) == 1:
                raise
            refused.append(f"{path.name}: {error}")
    return Intake(tuple(taken), tuple(refused), _same_references(register, taken))


def _same_references(register: Register, taken: Sequence[str]) -> tuple[str, ...]:
    rows = register.summaries()
    numbers = Counter(row.reference for row in rows)
    twice = sorted({row.reference for row in rows if row.claim in taken and row.reference})
    return tuple(
        said(
            "{number} claims have the reference {reference} now. Give one another "
            "reference under Papers, so that what is sent can be told apart.",
            number=numbers[reference],
            reference=reference,
        )
        for reference in twice
        if numbers[reference] > 1
    )
