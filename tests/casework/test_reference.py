"""Reference tables and rules: shipped with their sources, own ones beside them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from ldapp.casework import reference
from ldapp.casework.register import Register
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.terms import DepreciationTable
from ldapp.errors import LdappError

OURS = DepreciationTable(
    shows="percent_good",
    by_year=(Fraction(9, 10), Fraction(1, 2)),
    source="Appraisal of the school, 2026",
    clause=Clause(reference="7.2"),
)


def test_every_shipped_table_and_rule_names_its_source() -> None:
    assert reference.tables(None)
    assert reference.rules(None)
    assert all(one.rule.source for one in reference.tables(None))
    assert all(one.rule.source for one in reference.rules(None))


def test_an_own_table_is_kept_without_the_clause_of_one_agreement(register: Register) -> None:
    reference.keep_table(register, "Our gear", OURS)
    (own,) = [one for one in reference.tables(register) if one.status == reference.OWN]
    assert own.title == "Our gear"
    assert own.rule.by_year == OURS.by_year
    assert own.rule.source == OURS.source
    assert own.rule.clause is None
    reference.keep_table(register, "Our gear", OURS)
    assert len(reference.tables(register)) == len(reference.tables(None)) + 1
    reference.forget_own_table(register, own.code)
    assert reference.tables(register) == reference.tables(None)


def test_an_own_rule_is_kept_and_taken_off(register: Register) -> None:
    rule = DeadlineRule(code="x", title="Tell the broker", starts="loss", length=2)
    kept = reference.keep_rule(register, rule)
    assert kept in reference.rules(register)
    reference.forget_own_rule(register, kept.rule.code)
    assert reference.rules(register) == reference.rules(None)


def test_a_table_without_a_title_or_with_a_shipped_one_is_refused(register: Register) -> None:
    with pytest.raises(LdappError, match="title first"):
        reference.keep_table(register, " ", OURS)
    with pytest.raises(LdappError, match="the program ships"):
        reference.keep_table(register, reference.tables(None)[0].title, OURS)
    assert reference.tables(register) == reference.tables(None)


def test_what_a_newer_program_kept_is_a_sentence(register: Register) -> None:
    register.remember("reference/depreciation tables", [{"shape": "another"}])
    with pytest.raises(LdappError, match="newer version"):
        reference.tables(register)


def test_a_rule_is_added_once() -> None:
    rule = reference.rules(None)[0].rule
    once = reference.with_rule((), rule)
    assert once == (rule,)
    assert reference.with_rule(once, rule) is once
