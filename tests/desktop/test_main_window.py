from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPointF, QSettings, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.casework import counts, papers
from ldapp.casework.places import Place
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.desktop import question
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.dropped_files import DroppedFilesDialog, likely_kinds
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.jump import JumpDialog, matching, targets_in
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.new_claim import NewClaim, NewClaimDialog
from ldapp.desktop.theme import theme
from ldapp.desktop.weak_points_panel import WeakPointsModel
from ldapp.errors import MachineError
from tests.desktop.desk_claims import desk_claim


def drop(window: MainWindow, paths: list[Path]) -> bool:
    """Drop files on the window as a file manager does; return whether it took them."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    enter = QDragEnterEvent(
        QPointF(200, 200).toPoint(),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter.ignore()
    QApplication.sendEvent(window, enter)
    if not enter.isAccepted():
        return False
    event = QDropEvent(
        QPointF(200, 200),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(window, event)
    return True


# --- first start ------------------------------------------------------------------------


def test_the_cautions_are_shown_once(
    qtbot: QtBot, register: Register, jobs: JobRunner, tmp_path: Path
) -> None:
    settings = QSettings(str(tmp_path / "fresh.ini"), QSettings.Format.IniFormat)
    window = MainWindow(jobs, settings)
    qtbot.addWidget(window)
    window.show()
    window.open_library(lambda: register)
    qtbot.waitUntil(lambda: window.register is not None, timeout=5000)
    assert window.first_start is not None
    assert window.stack.currentWidget() is window.first_start
    qtbot.waitUntil(window.first_start.button.hasFocus, timeout=5000)
    qtbot.keyClick(window.first_start.button, Qt.Key.Key_Return)
    assert window.stack.currentWidget() is window.register_page
    assert "weak point" in window.strip.text()
    again = MainWindow(jobs, settings)
    qtbot.addWidget(again)
    assert again.first_start is None
    window.close()
    again.close()


def test_a_demo_at_the_first_start_waits_behind_the_cautions(
    qtbot: QtBot, register: Register, jobs: JobRunner, tmp_path: Path
) -> None:
    settings = QSettings(str(tmp_path / "fresh.ini"), QSettings.Format.IniFormat)
    window = MainWindow(jobs, settings)
    qtbot.addWidget(window)
    window.show()
    window.open_library(lambda: register, demo="")
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=20_000)
    assert window.first_start is not None
    assert window.stack.currentWidget() is window.first_start
    assert not window.actions_of_window.toolbar.isVisible()
    qtbot.mouseClick(window.first_start.button, Qt.MouseButton.LeftButton)
    assert window.stack.currentWidget() is window.claim_view
    assert window.actions_of_window.toolbar.isVisible()
    assert "invented claim" in window.strip.text()
    window.close()


def test_a_library_that_cannot_be_opened_is_one_sentence(
    qtbot: QtBot, jobs: JobRunner, settings: QSettings
) -> None:
    def fail() -> Register:
        raise MachineError("The folder /nowhere cannot be written. Choose another with --library.")

    window = MainWindow(jobs, settings)
    qtbot.addWidget(window)
    window.show()
    window.open_library(fail)
    qtbot.waitUntil(lambda: bool(window.strip.text()), timeout=5000)
    assert window.strip.text().startswith("The folder /nowhere cannot be written.")
    window.close()


# --- claims -----------------------------------------------------------------------------


def test_a_new_claim_is_made_and_opened(
    qtbot: QtBot, window: MainWindow, register: Register, monkeypatch: pytest.MonkeyPatch
) -> None:
    entered = NewClaim("2026-001", "Harbour Lights", "Invented Rentals", "USD", "America/Denver")
    monkeypatch.setattr(NewClaimDialog, "ask", classmethod(lambda *_: entered))
    window.new_claim("empty")
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=5000)
    assert window.claim_view is not None
    claim = window.claim_view.context.claim
    assert (claim.reference, claim.currency) == ("2026-001", "USD")
    assert papers.party_name(claim, claim.agreements[0].lessor) == "Invented Rentals"
    assert "2026-001" in window.windowTitle()


def test_the_dialog_refuses_what_is_no_currency(qtbot: QtBot, window: MainWindow) -> None:
    dialog = NewClaimDialog("2026-001", window)
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.currency.setCurrentText("QQQ")
    dialog._on_accept()
    assert dialog.isVisible()
    assert "QQQ is no currency" in dialog._refusal.text()
    dialog.currency.setCurrentText("EUR")
    dialog._on_accept()
    assert not dialog.isVisible()


def test_back_to_the_register_shows_what_changed(
    qtbot: QtBot, window: MainWindow, view: ClaimView, idle: Callable[[], None]
) -> None:
    papers.change_facts(view.context.desk, title="Another Title")
    qtbot.keyClick(window, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert window.claim_view is None
    idle()
    assert [row.title for row in window.register_page.shown()] == ["Another Title"]
    assert [row.claim for row in window.register_page.selected()] == [view_claim_id()]


def view_claim_id() -> str:
    return desk_claim().id


def test_undo_and_redo_name_the_change(qtbot: QtBot, window: MainWindow, view: ClaimView) -> None:
    desk = view.context.desk
    actions = window.actions_of_window
    assert not actions.undo.isEnabled()
    counts.enter_quantity(desk, "c2", "line-1", 24)
    qtbot.waitUntil(actions.undo.isEnabled, timeout=1000)
    assert actions.undo.text() == "Undo: Count line 1: 24"
    actions.undo.trigger()
    assert counts.entry_of(desk.claim.counts[1], "line-1").quantity == 21
    assert actions.redo.text() == "Redo: Count line 1: 24"
    actions.redo.trigger()
    assert counts.entry_of(desk.claim.counts[1], "line-1").quantity == 24


def test_the_pages_are_reached_by_key(qtbot: QtBot, window: MainWindow, view: ClaimView) -> None:
    qtbot.keyClick(window, Qt.Key.Key_3, Qt.KeyboardModifier.ControlModifier)
    assert view.current_page == "counts"
    qtbot.keyClick(window, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
    assert view.current_page == "kit"
    qtbot.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    focused = QApplication.focusWidget()
    assert focused is not None
    assert focused.objectName() == "search"


def test_the_guide_opens_at_the_page(window: MainWindow, view: ClaimView) -> None:
    view.show_page("counts")
    window.show_guide()
    assert window._guide is not None
    assert "Counts" in window._guide.text.toPlainText()[:40]
    window._guide.close()


def test_light_and_dark_are_remembered(window: MainWindow, settings: QSettings) -> None:
    dark = next(one for one in window.actions_of_window.schemes.actions() if one.data() == "dark")
    dark.trigger()
    assert theme().dark
    assert settings.value("look/scheme") == "dark"
    window.choose_scheme("system")
    assert not theme().dark


# --- weak points ------------------------------------------------------------------------


def test_weak_points_are_live(qtbot: QtBot, view: ClaimView, idle: Callable[[], None]) -> None:
    def codes() -> set[str]:
        return {point.code for point in view.context.weak_points}

    assert "count_not_acknowledged" in codes()
    counts.acknowledge(view.context.desk, "c2", "signed_by_both", "Counter person")
    qtbot.waitUntil(lambda: "count_not_acknowledged" not in codes(), timeout=5000)
    assert not any(
        "acknowledged the return" in str(view.panel.model.index(row, 0).data())
        for row in range(view.panel.model.rowCount())
    )


def test_a_click_goes_to_the_spot(qtbot: QtBot, view: ClaimView) -> None:
    model = view.panel.model
    row = next(
        number
        for number in range(model.rowCount())
        if "acknowledged the return count" in str(model.index(number, 0).data())
    )
    index = model.index(row, 0)
    view.panel.list.scrollTo(index)
    rect = view.panel.list.visualRect(index)
    qtbot.mouseClick(view.panel.list.viewport(), Qt.MouseButton.LeftButton, pos=rect.center())
    assert view.current_page == "counts"
    focused = QApplication.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "Acknowledged"


def test_many_points_of_one_kind_are_folded(view: ClaimView, qtmodeltester: Any) -> None:
    point = view.context.weak_points[0]
    points = [point._replace(place=Place("photos", "photo", str(n))) for n in range(500)]
    model = WeakPointsModel()
    model.set_points(points)
    assert model.rowCount() == 5
    assert model.index(4, 0).data() == "496 more like these"
    model.unfold(point.code)
    assert model.rowCount() == 500
    qtmodeltester.check(model)


def test_the_panel_folds_and_stays_folded(
    window: MainWindow, view: ClaimView, settings: QSettings
) -> None:
    window.actions_of_window.points.trigger()
    assert view.panel.isHidden()
    assert settings.value("claim/weak_points_folded", type=bool) is True
    window.actions_of_window.points.trigger()
    assert not view.panel.isHidden()


# --- jump -------------------------------------------------------------------------------


def test_jump_finds_lines_pages_and_actions(
    qtbot: QtBot, window: MainWindow, view: ClaimView
) -> None:
    qtbot.keyClick(window, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    dialog = window.findChild(JumpDialog)
    assert dialog is not None
    qtbot.keyClicks(dialog.line, "sandbag")
    assert [target.kind for target in dialog.shown] == ["Kit line"]
    qtbot.keyClick(dialog.line, Qt.Key.Key_Return)
    assert view.current_page == "kit"
    row = view.page("kit").table.current_row()  # type: ignore[attr-defined]
    assert row.description == "Sandbag 25 lb"


def test_jump_ranks_what_begins_with_the_words_first() -> None:
    targets = targets_in(desk_claim())
    assert matching(targets, "counts")[0].text == "Counts"
    assert matching(targets, "PX-0007-2")[0].kind == "Kit line"
    assert matching(targets, "no such thing") == []


# --- dropped files ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("names", "first"),
    [
        (["a b ü.jpg", "c.HEIC"], "photos"),
        (["list.xlsx"], "kit_list"),
        (["agreement.pdf"], "documents"),
        (["claim.json"], "claim_file"),
        (["a.zip", "b.zip", "claim.json"], "claim_file"),
        (["a.jpg", "b.pdf"], "documents"),
    ],
)
def test_what_files_may_be_is_told_by_their_names(names: list[str], first: str) -> None:
    assert likely_kinds([Path(name) for name in names])[0] == first


def test_a_dropped_paper_is_taken_in(
    qtbot: QtBot,
    window: MainWindow,
    view: ClaimView,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    idle: Callable[[], None],
) -> None:
    paper = tmp_path / "signed agreement ü.pdf"
    paper.write_bytes(b"%PDF-1.4 invented")
    asked: list[Any] = []

    def ask(cls: type, paths: Any, kinds: Any, parent: Any) -> str:
        asked.append((paths, kinds))
        return "documents"

    monkeypatch.setattr(DroppedFilesDialog, "ask", classmethod(ask))
    assert drop(window, [paper])
    qtbot.waitUntil(lambda: len(view.context.claim.documents) == 1, timeout=5000)
    idle()
    assert asked[0][0] == [paper]
    assert view.current_page == "papers"
    document = view.context.claim.documents[0]
    assert document.title == "signed agreement ü"
    assert document.kind == "agreement"


def test_a_list_that_cannot_be_read_is_said_before_a_claim_is_asked_for(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    file = tmp_path / "list.xlsx"
    file.write_bytes(b"no spreadsheet at all")
    asked: list[object] = []
    monkeypatch.setattr(NewClaimDialog, "ask", classmethod(lambda *_: asked.append(1)))
    window.take_files("kit_list", [file])
    qtbot.waitUntil(lambda: "list.xlsx" in window.strip.text(), timeout=10000)
    assert not asked


def test_a_dropped_kit_list_opens_the_import(
    qtbot: QtBot,
    window: MainWindow,
    view: ClaimView,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    idle: Callable[[], None],
) -> None:
    file = tmp_path / "list.csv"
    file.write_text("Item,Qty\nMuslin 12x12,3\n", encoding="utf-8")
    monkeypatch.setattr(DroppedFilesDialog, "ask", classmethod(lambda *_: "kit_list"))
    assert drop(window, [file])
    page = view.page("kit")
    qtbot.waitUntil(lambda: page.importer.reading is not None, timeout=5000)  # type: ignore[attr-defined]
    assert page.importer.isVisible()  # type: ignore[attr-defined]
    assert len(view.context.claim.kit) == 15


def test_photos_dropped_on_the_register_say_what_to_do(window: MainWindow, tmp_path: Path) -> None:
    assert drop(window, [tmp_path / "a.jpg"])
    assert "Open a claim first" in window.strip.text()


def test_a_claim_file_that_is_none_is_named_with_its_fault(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    file = tmp_path / "claim.json"
    file.write_text('{"format": "ldapp-claim/1", "colour": "red"}', encoding="utf-8")
    window.take_files("claim_file", [file])
    qtbot.waitUntil(lambda: bool(window.strip.text()), timeout=5000)
    assert "claim.json" in window.strip.text()
    assert "colour" in window.strip.text()


def test_text_in_a_drag_is_never_a_path(window: MainWindow) -> None:
    mime = QMimeData()
    mime.setText("/etc/passwd")
    event = QDragEnterEvent(
        QPointF(9, 9).toPoint(),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    event.ignore()
    QApplication.sendEvent(window, event)
    assert not event.isAccepted()


def test_removing_asks_and_then_removes_for_good(
    qtbot: QtBot,
    window: MainWindow,
    view: ClaimView,
    register: Register,
    monkeypatch: pytest.MonkeyPatch,
    idle: Callable[[], None],
) -> None:
    window.back_to_register()
    idle()
    rows = list(window.register_page.shown())
    monkeypatch.setattr(question, "ask_to_remove", lambda *_: False)
    window.remove_claims(rows)
    idle()
    assert len(register.summaries()) == 1
    monkeypatch.setattr(question, "ask_to_remove", lambda *_: True)
    window.remove_claims(rows)
    qtbot.waitUntil(lambda: register.summaries() == (), timeout=5000)
    idle()
    assert not window.register_page.shown()


def test_text_that_tries_to_be_markup_shows_as_itself(
    qtbot: QtBot, open_claim: Callable[[Claim], ClaimView], window: MainWindow
) -> None:
    import dataclasses

    claim = dataclasses.replace(
        desk_claim(), title="<b>bold</b> & %s {0}", reference="<script>1</script>"
    )
    view = open_claim(claim)
    assert view._title.text() == "<b>bold</b> & %s {0}"
    assert view._title.textFormat() == Qt.TextFormat.PlainText
    counts.enter_quantity(view.context.desk, "c2", "line-1", 2)
    papers.change_facts(view.context.desk, title="a & b")
    assert window.actions_of_window.undo.text() == "Undo: Change title"
