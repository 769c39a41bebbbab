"""The same input gives the same working, character for character, from one version to the next.

The texts are written by ``python -m tests.reckoning.worked_claims``.
"""

from __future__ import annotations

import pytest

from tests.reckoning.worked_claims import FOLDER, file_text, worked_claims


@pytest.mark.parametrize("name", sorted(worked_claims()))
def test_workings_are_as_they_were(name: str) -> None:
    kept = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    assert file_text(worked_claims()[name]) == kept
