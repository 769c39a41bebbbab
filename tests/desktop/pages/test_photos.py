"""The Photos page: files dropped, pairs made, suggestions accepted, clocks corrected."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QToolButton, QWidget
from pytestqt.qtbot import QtBot

from ldapp.casework.photos import set_count
from ldapp.claim.counts import CountEntry
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.photo_model import photo_ids_as_mime
from ldapp.desktop.pages.photos import PhotosPage
from ldapp.desktop.pages.record_chooser import RecordChooser

from .conftest import PICKUP, draw_photo, draw_photos, page_claim

Prepare = Callable[[ClaimContext], None]
Show = Callable[..., PhotosPage]

ACTIONS = Qt.DropAction.CopyAction
LEFT = Qt.MouseButton.LeftButton
PLAIN = Qt.KeyboardModifier.NoModifier


def drop(target: QWidget, data: QMimeData, at: QPoint) -> None:
    """Drag data over a widget and let it go there, as a person does."""
    enter = QDragEnterEvent(at, ACTIONS, data, LEFT, PLAIN)
    target.dragEnterEvent(enter)
    move = QDragMoveEvent(at, ACTIONS, data, LEFT, PLAIN)
    target.dragMoveEvent(move)
    target.dropEvent(QDropEvent(QPointF(at), ACTIONS, data, LEFT, PLAIN))


def files(paths: list[Path]) -> QMimeData:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return data


def settled(qtbot: QtBot, page: PhotosPage) -> None:
    qtbot.waitUntil(lambda: page.context.up_to_date, timeout=10000)


def test_dropped_files_come_in_and_what_is_no_photo_is_refused_with_a_sentence(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    assert page.empty.isVisible()
    paths = draw_photos(tmp_path / "a card é", 3)
    no_photo = tmp_path / "notes.jpg"
    no_photo.write_text("these are only words")
    with qtbot.waitSignal(page.context.message, timeout=10000) as said:
        drop(page, files([*paths, no_photo]), QPoint(10, 10))
    assert "3 photos taken in" in said.args[0]
    assert "1 refused" in said.args[0]
    qtbot.waitUntil(lambda: page.model.rowCount() == 3)
    assert page.refused.isVisible()
    assert "notes.jpg" in page.refused.model.rows[0].says
    assert len(page.context.claim.photos) == 3


def test_an_invoice_dropped_here_is_left_for_the_window_to_ask_about(
    show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    paper = tmp_path / "invoice.pdf"
    paper.write_bytes(b"%PDF-1.7")
    data = files([paper])
    enter = QDragEnterEvent(QPoint(5, 5), ACTIONS, data, LEFT, PLAIN)
    enter.accept()
    page.dragEnterEvent(enter)
    assert not enter.isAccepted()


def test_a_folder_that_is_taken_in_twice_adds_nothing_the_second_time(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    draw_photos(tmp_path / "card", 3)
    for expected in ("3 photos taken in", "3 already there"):
        with qtbot.waitSignal(page.context.message, timeout=10000) as said:
            page.take_files([tmp_path / "card"])
        assert expected in said.args[0]
    assert len(page.context.claim.photos) == 3


def test_dragging_photos_on_a_line_pairs_them_and_undo_takes_it_back(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    ids = tuple(photo.id for photo in page.context.claim.photos[:2])
    row = page.shelf.model.row_number("line-3")
    box = page.shelf.list.visualRect(page.shelf.model.index(row, 0))
    drop(page.shelf.list, photo_ids_as_mime(ids), box.center())
    paired = [photo for photo in page.context.claim.photos if photo.pairings]
    assert {photo.id for photo in paired} == set(ids)
    assert {one.line for photo in paired for one in photo.pairings} == {"line-3"}
    assert page.shelf.photos_of("line-3") == ids
    page.context.desk.undo()
    assert not any(photo.pairings for photo in page.context.claim.photos)


def test_photos_cannot_be_dropped_on_all_photos_or_on_none(
    show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    data = photo_ids_as_mime([page.context.claim.photos[0].id])
    for row in (0, 1):
        at = page.shelf.list.visualRect(page.shelf.model.index(row, 0)).center()
        move = QDragMoveEvent(at, ACTIONS, data, LEFT, PLAIN)
        page.shelf.list.dragMoveEvent(move)
        assert not move.isAccepted()


def test_dragging_on_a_count_says_where_they_were_taken(
    show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    page.shelf.set_grouping("count")
    page.shelf.grouping_changed.emit("count")
    row = page.shelf.model.row_number("c2")
    box = page.shelf.list.visualRect(page.shelf.model.index(row, 0))
    photo = page.context.claim.photos[1].id
    drop(page.shelf.list, photo_ids_as_mime([photo]), box.center())
    assert next(p for p in page.context.claim.photos if p.id == photo).count == "c2"


def test_the_key_p_pairs_with_a_line_found_by_typing(
    qtbot: QtBot, show_page: Show, with_photos: Prepare, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    photo = page.context.claim.photos[0].id
    page.grid.choose((photo,))

    def choose(cls: type[RecordChooser], title: str, choices: Any, parent: QWidget) -> str | None:
        chooser = RecordChooser(title, choices, parent)
        qtbot.addWidget(chooser)
        qtbot.keyClicks(chooser.search, "flag")
        return chooser.key

    monkeypatch.setattr(RecordChooser, "ask", classmethod(choose))
    qtbot.waitUntil(page.do.pair_with.isEnabled)
    page.grid.setFocus()
    qtbot.keyClick(page.grid, Qt.Key.Key_P)
    qtbot.waitUntil(lambda: bool(page.context.claim.photos[0].pairings))
    assert page.context.claim.photos[0].pairings[0].line == "line-3"
    page.grid.choose((photo,))
    page.do.unpair.trigger()
    assert not page.context.claim.photos[0].pairings


def test_suggestions_say_why_and_pair_nothing_until_they_are_accepted(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    claim = page_claim()
    entry = CountEntry(line="line-4", quantity=4, at=PICKUP + dt.timedelta(minutes=2, seconds=10))
    pickup = claim.counts[0]
    others = tuple(one for one in pickup.entries if one.line != "line-4")
    pickup = dataclasses.replace(pickup, entries=(*others, entry))
    claim = dataclasses.replace(claim, counts=(pickup, claim.counts[1]))
    page = show_page(PhotosPage, claim, with_photos)
    page.do.suggest.trigger()
    qtbot.waitUntil(lambda: page.suggestions.model.rowCount() > 0, timeout=5000)
    row = page.suggestions.model.rows[0]
    assert "from the counting of this line" in row.suggestion.pairing.reason
    assert not any(photo.pairings for photo in page.context.claim.photos)
    qtbot.mouseClick(page.suggestions.accept_all, LEFT)
    paired = [photo for photo in page.context.claim.photos if photo.pairings]
    assert paired
    assert {photo.pairings[0].line for photo in paired} == {"line-4"}
    qtbot.waitUntil(lambda: page.suggestions.model.rowCount() == 0, timeout=5000)


def test_the_facts_of_a_photo_are_read_with_their_reasons(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    verdicts = page.context.verdicts
    photo = next(p for p in page.context.claim.photos if verdicts[p.id].reasons)
    verdict = verdicts[photo.id]
    page.grid.choose((photo.id,))
    qtbot.waitUntil(lambda: page.facts.photos == (photo,))
    text = page.facts._text.toPlainText()
    assert verdict.summary in text
    assert photo.facts.sha256 in text
    for reason in verdict.reasons:
        assert reason.says in text


def test_a_file_name_with_markup_is_shown_as_it_is(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    name = "<b>bold<img src=x> & %s.jpg"
    page.take_files([draw_photo(tmp_path / name, PICKUP, "x")])
    qtbot.waitUntil(lambda: page.model.rowCount() == 1, timeout=10000)
    page.grid.choose((page.context.claim.photos[0].id,))
    qtbot.waitUntil(lambda: name in page.facts._text.toPlainText())


def test_what_people_say_of_several_photos_is_entered_once(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    ids = tuple(photo.id for photo in page.context.claim.photos[:3])
    page.grid.choose(ids)
    qtbot.waitUntil(lambda: len(page.facts.photos) == 3)
    withhold = page.facts._form.fields["withhold_position"]
    assert withhold.value() is True
    qtbot.mouseClick(withhold, LEFT, pos=QPoint(8, withhold.height() // 2))
    changed = [photo for photo in page.context.claim.photos if not photo.withhold_position]
    assert {photo.id for photo in changed} == set(ids)
    by = page.facts._form.fields["confirmed_by"]
    by.setFocus()
    qtbot.keyClicks(by, "Counter person")
    qtbot.keyClick(by, Qt.Key.Key_Return)
    confirmed = [p for p in page.context.claim.photos if p.confirmed_by == "Counter person"]
    assert len(confirmed) == 3


def test_a_trusted_clock_shows_what_it_changes_before_it_counts(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    photo = page.context.claim.photos[0]
    page.grid.choose((photo.id,))
    qtbot.waitUntil(page.do.trusted_clock.isEnabled)
    page.do.trusted_clock.trigger()
    field = page.clock.form.fields["reference_time"]
    field.setFocus()
    qtbot.keyClicks(field, "2026-03-02 07:35")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(page.clock.accept.isEnabled, timeout=5000)
    assert page.clock.model.rowCount() >= 1
    assert page.context.claim.clock_corrections == ()
    qtbot.mouseClick(page.clock.accept, LEFT)
    (correction,) = page.context.claim.clock_corrections
    assert correction.photo == photo.id
    settled(qtbot, page)
    assert page.context.verdicts[photo.id].standing == "corrected"


def test_left_out_and_turned_and_removed_photos_can_be_brought_back(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    photo = page.context.claim.photos[0].id
    page.grid.choose((photo,))
    qtbot.waitUntil(page.do.leave_out.isEnabled)
    page.do.leave_out.trigger()
    assert page.context.claim.photos[0].left_out
    page.do.turn_right.trigger()
    assert page.context.claim.photos[0].quarter_turns == 1
    page.do.remove.trigger()
    assert len(page.context.claim.photos) == 7
    for _ in range(3):
        page.context.desk.undo()
    assert not page.context.claim.photos[0].left_out
    assert len(page.context.claim.photos) == 8


def test_two_photos_of_one_line_are_compared_across_counts(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    first, second = (photo.id for photo in page.context.claim.photos[:2])
    page.pairing.pair((first, second), "line-4")
    set_count(page.context.desk, [first], "c1")
    set_count(page.context.desk, [second], "c2")
    page.grid.choose((first,))
    qtbot.waitUntil(page.do.side_by_side.isEnabled)
    page.do.side_by_side.trigger()
    assert page.compare.isVisible()
    assert page.compare.photo_ids == (first, second)
    qtbot.waitUntil(lambda: page.compare.right.view.has_image, timeout=10000)
    qtbot.keyClick(page.compare, Qt.Key.Key_Escape)
    assert page.grid.isVisible()


def test_an_unreadable_claim_keeper_is_said_and_nothing_breaks(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    page.context.register = None
    with qtbot.waitSignal(page.context.message) as said:
        page.take_files(draw_photos(tmp_path / "card", 1))
    assert "reading only" in said.args[0]


def test_a_place_on_the_page_is_gone_to(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    from ldapp.casework.places import Place

    page = show_page(PhotosPage, page_claim(), with_photos)
    photo = page.context.claim.photos[5].id
    page.shelf.choose("line-1")
    page.show_place(Place("photos", "photo", photo))
    assert page.grid.chosen() == (photo,)


def test_the_bar_says_in_words_what_fits(show_page: Show) -> None:
    page = show_page(PhotosPage, page_claim())

    def worded() -> list[str]:
        return [
            button.text()
            for action in page.bar.actions()
            if isinstance(button := page.bar.widgetForAction(action), QToolButton)
            and button.toolButtonStyle() == Qt.ToolButtonStyle.ToolButtonTextBesideIcon
        ]

    def fits() -> bool:
        return page.bar.sizeHint().width() <= page.bar.width()

    page.do.show_facts.setChecked(False)
    page.bar.resize(1100, page.bar.height())
    assert worded() == ["Add", "Suggestions", "Pair", "Count", "Look", "Compare", "More"]
    page.bar.resize(560, page.bar.height())
    assert "Suggestions" in worded()
    assert "Compare" not in worded()
    assert fits()
    page.bar.resize(440, page.bar.height())
    assert worded() == ["Add", "More"]
    assert fits(), "nothing is hidden behind an arrow"
