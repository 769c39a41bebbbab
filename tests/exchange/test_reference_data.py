"""The shipped tables and rules can be read, are valid terms, and name their sources."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import Terms
from ldapp.errors import InputError
from ldapp.exchange.holiday_rules import public_holidays, read_holidays
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


@pytest.mark.parametrize("read", [read_depreciation_tables, read_time_rules, read_holidays])
def test_a_file_that_is_no_reference_data_is_refused(read: object, tmp_path: Path) -> None:
    path = tmp_path / "mine.json"
    path.write_text('{"about": "x", "surprise": 1}')
    with pytest.raises(InputError, match=r"mine\.json, surprise"):
        read(path)  # type: ignore[operator]


def days(code: str, first: int, last: int) -> dict[str, str]:
    (place,) = [one for one in public_holidays() if one.code == code]
    return {one.day.isoformat(): one.name for one in place.calendar(first, last).days}


def test_holidays_of_the_united_states_as_published() -> None:
    # U.S. Office of Personnel Management, federal holidays 2023 and 2008; seen.
    assert list(days("us-federal", 2023, 2023)) == [
        "2023-01-02", "2023-01-16", "2023-02-20", "2023-05-29", "2023-06-19", "2023-07-04",
        "2023-09-04", "2023-10-09", "2023-11-10", "2023-11-23", "2023-12-25",
    ]  # fmt: skip
    of_2008 = days("us-federal", 2008, 2008)
    assert of_2008.keys() >= {"2008-01-21", "2008-02-18", "2008-05-26", "2008-11-27"}


def test_a_holiday_kept_in_the_year_before_is_a_day_of_that_year() -> None:
    # 1 January 2028 is a Saturday: kept on Friday, 31 December 2027 (5 U.S.C. 6103(b)(1)).
    assert days("us-federal", 2027, 2027)["2027-12-31"].startswith("New Year's Day (in lieu of")
    assert "2028-01-01" not in days("us-federal", 2028, 2028)


def test_days_in_lieu_never_fall_on_another_holiday() -> None:
    # Schedule 1 of the 1971 act: 27 December where 25 or 26 December is a Sunday; seen.
    of_2022 = days("gb-england-wales", 2022, 2022)
    assert {"2022-12-26", "2022-12-27"} <= of_2022.keys()
    assert "2022-12-25" not in of_2022
    of_2021 = days("gb-england-wales", 2021, 2021)
    assert {"2021-12-27", "2021-12-28", "2021-04-02", "2021-04-05"} <= of_2021.keys()


def test_victoria_day_is_the_last_monday_before_25_may() -> None:
    assert "2026-05-18" in days("ca-federal", 2026, 2026)
    assert "2027-05-24" in days("ca-federal", 2027, 2027)
