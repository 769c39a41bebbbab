"""Every ground has the likely answer and ours, and nothing else is in the file."""

from __future__ import annotations

import tomllib

from ldapp.casework.ground_answers import likely_answers
from ldapp.claim.grounds import GROUND_CODES
from ldapp.resources import resource


def test_every_ground_has_both_answers() -> None:
    answers = likely_answers()
    assert set(answers) == set(GROUND_CODES)
    assert all(len(one.theirs) > 15 and len(one.ours) > 15 for one in answers.values())
    texts = [text for one in answers.values() for text in one]
    assert len(set(texts)) == len(texts)
    path = resource("wording", "ground_answers.toml")
    assert set(tomllib.loads(path.read_text(encoding="utf-8"))) == set(GROUND_CODES)
