"""Two people on one claim and a connection that is lost, in the window."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from ldapp.casework import kit
from ldapp.casework.record_changes import changed_fields
from ldapp.casework.register import Register
from ldapp.desktop import question
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.conflict_dialog import ConflictDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.record_dialog import RecordDialog
from ldapp.desktop.widgets.table_model import CellEdit
from ldapp.errors import MachineError


def edit_by_ben(register: Register, view: ClaimView) -> None:
    ben = Register(register._library, "Ben").open(view.context.claim.id)
    kit.put_line(ben, dataclasses.replace(ben.claim.kit[0], description="Ben's words"))


def edit_by_ada(view: ClaimView) -> None:
    """Change the same line and the title at once."""

    def make(claim: Any) -> Any:
        first = dataclasses.replace(claim.kit[0], description="Ada's words")
        return dataclasses.replace(claim, title="Ada's title", kit=(first, *claim.kit[1:]))

    view.context.attempt(lambda: view.context.desk.change("Ada's change", make))


def settled(window: MainWindow) -> ConflictDialog:
    window.strip._action.click()
    dialog = window.findChild(ConflictDialog)
    assert dialog is not None
    return dialog


def test_a_conflict_shows_both_versions_and_loses_neither(
    window: MainWindow, view: ClaimView, register: Register, idle: Callable[[], None]
) -> None:
    edit_by_ben(register, view)
    edit_by_ada(view)
    assert "is not saved yet" in window.strip.text()
    assert "changed this claim since you opened it" in window.strip.text()
    dialog = settled(window)
    shown = {
        (line.record.key[0], line.field.name): (line.field.theirs, line.field.mine, line.choice)
        for line in dialog.model.rows
    }
    assert shown["kit_line", "description"] == ("Ben's words", "Ada's words", "theirs")
    assert shown["claim", "title"][1:] == ("Ada's title", "mine")
    line = next(one for one in dialog.model.rows if one.record.key[0] == "kit_line")
    assert dialog.model.write([CellEdit(line, "choice", "mine")])
    dialog.save_button.click()
    idle()
    claim = view.context.claim
    assert (claim.title, claim.kit[0].description) == ("Ada's title", "Ada's words")
    whole = register.with_journal(claim)
    assert [one.who for one in whole.journal][-2:] == ["Ben", "Ada"]
    assert "Both versions stand in the record" in window.strip.text()


def test_theirs_can_be_taken_for_all_and_the_page_shows_it(
    window: MainWindow, view: ClaimView, register: Register, idle: Callable[[], None]
) -> None:
    edit_by_ben(register, view)
    edit_by_ada(view)
    dialog = settled(window)
    dialog._all_theirs()
    dialog.save_button.click()
    idle()
    assert view.context.claim.kit[0].description == "Ben's words"
    assert view.context.claim.title != "Ada's title"
    assert register.open(view.context.claim.id).version == view.context.desk.version


def test_somebody_may_save_again_while_both_versions_are_looked_at(
    window: MainWindow, view: ClaimView, register: Register, idle: Callable[[], None]
) -> None:
    edit_by_ben(register, view)
    edit_by_ada(view)
    dialog = settled(window)
    dialog._all_mine()
    ben = Register(register._library, "Ben").open(view.context.claim.id)
    kit.put_line(ben, dataclasses.replace(ben.claim.kit[1], description="Ben again"))
    dialog._all_mine()
    dialog.save_button.click()
    idle()
    descriptions = [one.description for one in view.context.claim.kit[:2]]
    assert descriptions == ["Ada's words", "Ben again"]


def lose_connection(register: Register, monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    library = register._library
    save = library.save

    def lost(*_: Any, **__: Any) -> Any:
        raise MachineError("The office's database cannot be reached. Nothing was changed.")

    monkeypatch.setattr(library, "save", lost)
    return lambda: monkeypatch.setattr(library, "save", save)


def test_a_lost_connection_offers_to_try_again(
    window: MainWindow,
    view: ClaimView,
    register: Register,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    connect = lose_connection(register, monkeypatch)
    edit_by_ada(view)
    assert "“Ada's change” is not saved yet" in window.strip.text()
    window.strip._action.click()
    idle()
    assert "cannot be reached" in window.strip.text()
    connect()
    window.strip._action.click()
    idle()
    assert window.strip.text() == "Saved."
    assert view.context.claim.title == "Ada's title"
    assert window.actions_of_window.undo.text() == "Undo: Ada's change"


def test_leaving_with_an_unsaved_change_asks_first(
    window: MainWindow,
    view: ClaimView,
    register: Register,
    monkeypatch: pytest.MonkeyPatch,
    idle: Callable[[], None],
) -> None:
    connect = lose_connection(register, monkeypatch)
    edit_by_ada(view)
    monkeypatch.setattr(question, "ask", lambda *_: False)
    window.back_to_register()
    assert window.claim_view is view
    window.show_overview("policies")
    assert window.claim_view is view
    assert not window.close()
    connect()
    window.save_again()
    idle()
    window.back_to_register()
    assert window.claim_view is None


def test_the_record_says_who_changed_what(
    window: MainWindow, view: ClaimView, register: Register, qtbot: QtBot
) -> None:
    edit_by_ada(view)
    window.actions_of_window.record.trigger()
    dialog = window.findChild(RecordDialog)
    assert dialog is not None
    first = dialog.entries_model.rows[0]
    assert (first.who, first.label) == ("Ada", "Ada's change")
    changes = {(one.record, one.field): (one.before, one.after) for one in dialog.fields_model.rows}
    assert changes["The claim itself", "title"][1] == "Ada's title"
    assert any(
        record.startswith("Kit line") and after == "Ada's words"
        for (record, field), (_, after) in changes.items()
        if field == "description"
    )
    qtbot.keyClicks(dialog.search, "new claim")
    assert [one.number for one in dialog.entries_model.rows] == [1]
    dialog.entries.selectRow(0)
    assert len(dialog.fields_model.rows) > 50
    fields = changed_fields(view.context.desk, 1)
    assert all(one.before == "–" for one in fields)
    dialog.close()
