"""Compare: two photos locked together, markings kept beside the original and undoable."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from pytestqt.qtbot import QtBot

from ldapp.casework.photos import set_markings, turn
from ldapp.claim.photos import Marking
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.compare import CompareView
from ldapp.desktop.pages.marking_items import points_for_drag
from ldapp.desktop.pages.photos import PhotosPage

from .conftest import page_claim

Prepare = Callable[[ClaimContext], None]


@pytest.fixture
def compare(
    qtbot: QtBot, show_page: Callable[..., PhotosPage], with_photos: Prepare
) -> CompareView:
    page = show_page(PhotosPage, page_claim(), with_photos)
    page.compare.show_photos(tuple(photo.id for photo in page.context.claim.photos[:2]))
    page._stack.setCurrentWidget(page.compare)
    view = page.compare
    qtbot.waitUntil(lambda: view.left.view.has_image and view.right.view.has_image, timeout=10000)
    return view


def test_zoom_and_movement_are_locked_together_until_unlocked(
    qtbot: QtBot, compare: CompareView
) -> None:
    left, right = compare.left.view, compare.right.view
    qtbot.keyClick(left, Qt.Key.Key_Plus)
    qtbot.keyClick(left, Qt.Key.Key_Right)
    assert left.port.zoom > 1
    assert right.port == left.port
    compare.lock.trigger()
    qtbot.keyClick(right, Qt.Key.Key_Plus)
    assert right.port.zoom > left.port.zoom
    compare.lock.trigger()
    assert right.port == left.port
    qtbot.keyClick(left, Qt.Key.Key_0)
    assert (left.port.zoom, right.port.zoom) == (1.0, 1.0)


def test_what_lies_under_the_pointer_stays_there_when_zooming(compare: CompareView) -> None:
    view = compare.left.view
    at = QPoint(view.viewport().width() // 4, view.viewport().height() // 2)
    before = view.mapToScene(at)
    view.zoom_by(2.0, at)
    after = view.mapToScene(at)
    assert abs(before.x() - after.x()) < 3
    assert abs(before.y() - after.y()) < 3


def drag(qtbot: QtBot, compare: CompareView, tool: str) -> None:
    action = next(one for one in compare.tools.actions() if one.data() == tool)
    action.trigger()
    port = compare.left.view.viewport()
    begin = QPoint(port.width() // 3, port.height() // 2 - 30)
    end = QPoint(port.width() // 2, port.height() // 2 + 30)
    qtbot.mousePress(port, Qt.MouseButton.LeftButton, pos=begin)
    qtbot.mouseMove(port, end)
    qtbot.mouseRelease(port, Qt.MouseButton.LeftButton, pos=end)


def markings(compare: CompareView) -> tuple[Marking, ...]:
    key = compare.photo_ids[0]
    return next(p.markings for p in compare._context.claim.photos if p.id == key)


@pytest.mark.parametrize("tool", ["ring", "box", "arrow", "redaction"])
def test_a_drag_draws_a_marking_beside_the_original_and_undo_takes_it_back(
    qtbot: QtBot, compare: CompareView, tool: str
) -> None:
    sha = compare.left.photo.facts.sha256 if compare.left.photo else ""
    drag(qtbot, compare, tool)
    (marking,) = markings(compare)
    assert marking.kind == tool
    assert all(0 <= part <= 1 for point in marking.points for part in point)
    assert compare._context.claim.photos[0].facts.sha256 == sha
    compare._context.desk.undo()
    assert markings(compare) == ()


def test_a_note_needs_its_words_and_a_measure_carries_them(
    qtbot: QtBot, compare: CompareView
) -> None:
    with qtbot.waitSignal(compare._context.message) as said:
        drag(qtbot, compare, "note")
    assert "text" in said.args[0]
    assert markings(compare) == ()
    qtbot.keyClicks(compare.text, "12 cm")
    drag(qtbot, compare, "measure")
    assert markings(compare)[0].text == "12 cm"


def test_markings_are_made_moved_and_removed_without_a_mouse(
    qtbot: QtBot, compare: CompareView
) -> None:
    next(one for one in compare.tools.actions() if one.data() == "ring").trigger()
    view = compare.left.view
    qtbot.keyClick(view, Qt.Key.Key_Return)
    (first,) = markings(compare)
    qtbot.waitUntil(lambda: len(view._markings) == 1)
    view.choose_marking(0)
    qtbot.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    (moved,) = markings(compare)
    assert moved.points[0][0] > first.points[0][0]
    view.choose_marking(0)
    qtbot.keyClick(view, Qt.Key.Key_Delete)
    assert markings(compare) == ()


def test_a_marking_turns_with_its_picture(compare: CompareView) -> None:
    desk, key = compare._context.desk, compare.photo_ids[0]
    set_markings(desk, key, (Marking(kind="arrow", points=((0.1, 0.2), (0.4, 0.2))),))
    turn(desk, (key,), 1)
    points = markings(compare)[0].points
    assert points == ((0.8, 0.1), (0.8, 0.4))
    turn(desk, (key,), 3)
    assert [round(part, 6) for point in markings(compare)[0].points for part in point] == [
        0.1, 0.2, 0.4, 0.2,
    ]  # fmt: skip


def test_a_click_without_a_drag_still_draws_something_to_see() -> None:
    at = QPointF(0.97, 0.5)
    (left, top), (right, bottom) = points_for_drag("ring", at, at)
    assert right > left
    assert bottom > top
    assert right <= 1


def test_page_down_shows_the_next_photo(qtbot: QtBot, compare: CompareView) -> None:
    before = compare.photo_ids
    qtbot.keyClick(compare.left.view, Qt.Key.Key_PageDown)
    assert compare.photo_ids[0] != before[0]
    assert compare.photo_ids[1] == before[1]
