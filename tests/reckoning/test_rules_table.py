"""The table of rules names modules and tests that are there."""

from __future__ import annotations

import re
from pathlib import Path

HERE = Path(__file__).parent
MODULES = HERE.parents[1] / "ldapp" / "reckoning"


def test_every_rule_names_its_module_and_its_test() -> None:
    rows = re.findall(
        r"^\| (?!rule |---)([^|]+) \| ([^|]+) \| ([^|]+) \|$",
        (HERE / "README.md").read_text(encoding="utf-8"),
        re.MULTILINE,
    )
    assert len(rows) > 60
    for rule, modules, tests in rows:
        for module in modules.split(", "):
            assert (MODULES / f"{module}.py").exists(), (rule, module)
        for part in tests.split("; "):
            if part == "tests/published":
                continue
            name, _, functions = part.partition(": ")
            text = (HERE / f"{name}.py").read_text(encoding="utf-8")
            for function in functions.split(", "):
                assert f"def {function}(" in text, (rule, function)
