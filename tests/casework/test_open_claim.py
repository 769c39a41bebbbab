"""Changing, undoing and making again, through the real store."""

from __future__ import annotations

import dataclasses

import pytest

from ldapp.casework import kit, papers
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.errors import ConflictError, LdappError


def test_a_change_is_there_after_opening_again(register: Register, desk: OpenClaim) -> None:
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    again = register.open(desk.claim.id)
    assert again.claim == desk.claim
    assert again.version == desk.version


def test_undo_and_redo_carry_the_name_of_the_change(desk: OpenClaim) -> None:
    before = desk.claim
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    after = desk.claim
    assert desk.undo_label == "Add kit line"
    assert desk.undo() == "Add kit line"
    assert desk.claim == before
    assert desk.redo_label == "Add kit line"
    desk.redo()
    assert desk.claim == after
    assert desk.redo_label is None
    desk.undo()
    assert desk.claim == before


def test_undo_reaches_back_over_several_changes(desk: OpenClaim) -> None:
    agreement = desk.claim.agreements[0].id
    states = [desk.claim]
    for _ in range(3):
        kit.add_empty_line(desk, agreement)
        states.append(desk.claim)
    for state in reversed(states[:-1]):
        desk.undo()
        assert desk.claim == state
    for state in states[1:]:
        desk.redo()
        assert desk.claim == state


def test_a_new_change_ends_redo(desk: OpenClaim) -> None:
    agreement = desk.claim.agreements[0].id
    kit.add_empty_line(desk, agreement)
    desk.undo()
    kit.add_empty_line(desk, agreement)
    assert desk.redo_label is None
    with pytest.raises(LdappError, match="no undone change"):
        desk.redo()


def test_undo_works_after_closing_and_opening(register: Register, desk: OpenClaim) -> None:
    before = desk.claim
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    again = register.open(desk.claim.id)
    again.undo()
    assert again.claim == before


def test_another_persons_change_is_not_undone(register: Register, desk: OpenClaim) -> None:
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    other = register.open(desk.claim.id)
    other.who = "Ben"
    assert other.undo_label is None
    with pytest.raises(LdappError, match="no change of yours"):
        other.undo()


def test_undo_is_refused_once_the_value_was_changed_by_another(
    register: Register, desk: OpenClaim
) -> None:
    line = kit.add_empty_line(desk, desk.claim.agreements[0].id)
    kit.put_line(desk, dataclasses.replace(line, quantity=5))
    other = register.open(desk.claim.id)
    other.who = "Ben"
    kit.put_line(other, dataclasses.replace(line, quantity=7))
    mine = register.open(desk.claim.id)
    with pytest.raises(ConflictError, match="changed since"):
        mine.undo()
    assert mine.claim == other.claim


def test_two_desks_on_one_claim_lose_nothing(register: Register, desk: OpenClaim) -> None:
    other = register.open(desk.claim.id)
    agreement = desk.claim.agreements[0].id
    kit.add_empty_line(desk, agreement)
    present = other.claim
    with pytest.raises(ConflictError):
        kit.add_empty_line(other, agreement)
    assert other.claim == present
    assert len(register.open(desk.claim.id).claim.kit) == 1


def test_a_change_that_changes_nothing_is_no_entry(desk: OpenClaim) -> None:
    entries = len(desk.outline())
    assert not papers.change_facts(desk, title="Harbour Lights")
    assert len(desk.outline()) == entries


def test_listeners_hear_which_kinds_changed(desk: OpenClaim) -> None:
    heard: list[frozenset[str]] = []
    desk.listen(heard.append)
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    desk.stop_listening(heard.append)
    assert heard == [frozenset({"kit_line"})]


def test_the_journal_chain_holds_over_undo(register: Register, desk: OpenClaim) -> None:
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    desk.undo()
    desk.redo()
    assert register.check().wrong == ()
