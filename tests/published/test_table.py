"""The table of the published checks says what is there."""

from __future__ import annotations

import json
import re
from pathlib import Path

HERE = Path(__file__).parent
SHARED = HERE.parents[2] / "shared" / "checks" / "published_checks.json"


def _rows() -> tuple[list[str], list[str]]:
    """The ids of the checks that run, and of those that are said not to apply."""
    run, _, left_out = (
        (HERE / "README.md").read_text(encoding="utf-8").partition("## Not applicable")
    )
    return (
        re.findall(r"^\| ([A-Z]{3}-\d+) ", run, re.MULTILINE),
        re.findall(r"^\| ([A-Z]{3}-\d+) ", left_out, re.MULTILINE),
    )


def _tests() -> str:
    return "".join(
        path.read_text(encoding="utf-8").lower() for path in sorted(HERE.glob("test_*_checks.py"))
    )


def test_every_row_runs_and_none_is_listed_twice() -> None:
    run, left_out = _rows()
    assert len(set(run) | set(left_out)) == len(run) + len(left_out)
    text = _tests()
    assert [one for one in run if not _named(one, text)] == []
    assert [one for one in left_out if _named(one, text)] == []


def _named(check: str, text: str) -> bool:
    return check.lower() in text or check.lower().replace("-", "_") in text


def test_no_check_of_the_collection_is_passed_over() -> None:
    # The collection lies beside the repository where the program is written, and nowhere else.
    run, left_out = _rows()
    if SHARED.exists():
        known = [one["id"] for one in json.loads(SHARED.read_text(encoding="utf-8"))]
        assert sorted(known) == sorted(run + left_out)
    assert len(run) + len(left_out) == 75
