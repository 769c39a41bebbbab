"""The shipped tables and rules can be read, are valid terms, and name their sources."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import Terms
from ldapp.errors import InputError
from ldapp.exchange.reference_data import (
    depreciation_tables,
    public_time_rules,
    read_depreciation_tables,
    read_time_rules,
)
from ldapp.reckoning.check import check_terms
from tests.reckoning.claims import claim


def test_every_table_is_a_valid_term_with_its_source() -> None:
    assert len({table.code for table in depreciation_tables()}) == len(depreciation_tables()) > 5
    for table in depreciation_tables():
        assert table.rule.source
        assert check_terms(claim(terms=Terms(depreciation=table.rule))) == ()


def test_the_five_year_table_as_printed() -> None:
    # IRS Publication 946, table A-1, 5-year property, half-year; seen.
    (table,) = [t for t in depreciation_tables() if t.code == "irs-5-half-year"]
    percents = ["20", "32", "19.2", "11.52", "11.52", "5.76"]
    assert list(table.rule.by_year) == [Fraction(p) / 100 for p in percents]
    assert sum(table.rule.by_year) == 1


def test_every_rule_is_a_valid_term_with_its_source() -> None:
    rules = tuple(each.rule for each in public_time_rules())
    assert len({rule.code for rule in rules}) == len(rules) > 10
    assert all(rule.source and rule.needs for rule in rules)
    assert check_terms(claim(policy=PolicyTerms(deadlines=rules))) == ()


@pytest.mark.parametrize("read", [read_depreciation_tables, read_time_rules])
def test_a_file_that_is_no_reference_data_is_refused(read: object, tmp_path: Path) -> None:
    path = tmp_path / "mine.json"
    path.write_text('{"about": "x", "surprise": 1}')
    with pytest.raises(InputError, match=r"mine\.json, surprise"):
        read(path)  # type: ignore[operator]
