"""What is usually asked for, and how its remark counts."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from ldapp.casework.completeness import completeness_of
from ldapp.exchange.claim_file import read_claim_file

CLAIM = Path(__file__).parents[2] / "resources" / "examples" / "worked_example.json"


@pytest.mark.parametrize(
    ("lines", "remark"),
    [
        (1, "1 damaged line is shown by no photo."),
        (2, "2 damaged lines are shown by no photo."),
    ],
)
def test_damaged_lines_without_a_photo_are_counted_in_words(lines: int, remark: str) -> None:
    claim = read_claim_file(CLAIM)
    damaged = next(one for one in claim.findings if one.kind == "damaged")
    findings = tuple(
        dataclasses.replace(damaged, id=f"d{line.id}", line=line.id) for line in claim.kit[:lines]
    )
    asked = completeness_of(dataclasses.replace(claim, findings=findings))
    assert remark in {one.says for one in asked}
