from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from ldapp.casework import counts
from ldapp.casework.photo_intake import take_in_photos
from ldapp.claim.counts import Signature, Stage
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.counter_view import CounterView
from ldapp.desktop.pages.count_parts import signed_change
from ldapp.desktop.pages.count_parts.damage_dialog import Damage, DamageDialog, SerialsDialog
from ldapp.desktop.pages.counter_code_window import CounterCodeWindow
from ldapp.desktop.pages.counts import CountsPage
from tests.desktop.desk_claims import RETURN


class Counter:
    """A counter view over a new count, and the keys a person presses."""

    def __init__(self, qtbot: QtBot, view: ClaimView, *, blind: bool, stage: Stage) -> None:
        self._qtbot = qtbot
        self.desk = view.context.desk
        self.made = counts.add_count(
            self.desk, stage, RETURN + dt.timedelta(hours=1), blind=blind, counted_by="Ada"
        )
        view.show_page("counts")
        page = view.page("counts")
        assert isinstance(page, CountsPage)
        page.open_counter_view(self.made.id)
        assert page.counter_view is not None
        self.page = page
        self.view: CounterView = page.counter_view
        self.view.go_to_line("line-1")

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            self._qtbot.keyClick(self.view.number, key)

    def type(self, text: str) -> None:
        self._qtbot.keyClicks(self.view.number, text)

    def quantity(self, line: str) -> int | None:
        count = self.view.count()
        assert count is not None
        return counts.entry_of(count, line).quantity

    @property
    def line(self) -> str:
        assert self.view.row is not None
        return self.view.row.line.id


@pytest.fixture
def make(qtbot: QtBot, view: ClaimView) -> Iterator[Callable[..., Counter]]:
    made: list[Counter] = []

    def make_counter(*, blind: bool = False, stage: Stage = "return") -> Counter:
        made.append(Counter(qtbot, view, blind=blind, stage=stage))
        return made[-1]

    yield make_counter
    for one in made:
        if one.page.counter_view is not None:
            one.view.close()


def test_type_the_number_and_enter(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    assert counter.quantity("line-1") == 21
    assert counter.line == "line-2"
    assert "−3 short" in counter.view.line.before.text()
    counter.type("6")
    counter.press(Qt.Key.Key_Enter)
    assert counter.quantity("line-2") == 6
    assert "as expected" in counter.view.line.before.text()


def test_enter_without_a_number_counts_nothing(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.press(Qt.Key.Key_Return)
    assert counter.line == "line-1"
    assert counter.quantity("line-1") is None
    assert "Type the number" in counter.view.strip.text()


def test_plus_is_one_more_and_stays(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.press(Qt.Key.Key_Plus, Qt.Key.Key_Plus, Qt.Key.Key_Plus)
    assert counter.quantity("line-1") == 3
    assert counter.line == "line-1"
    counter.press(Qt.Key.Key_Return)
    assert counter.quantity("line-1") == 3
    assert counter.line == "line-2"


def test_back_and_skip(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.press(Qt.Key.Key_Right, Qt.Key.Key_Right)
    assert counter.line == "line-3"
    assert counter.quantity("line-1") is None, "a line that is skipped stays not counted"
    counter.press(Qt.Key.Key_Left)
    assert counter.line == "line-2"


def test_the_rest_of_the_place_in_one_key(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.type("22")
    counter.press(Qt.Key.Key_Return, Qt.Key.Key_R)
    assert [counter.quantity(f"line-{n}") for n in (1, 2, 3, 4)] == [22, 6, 40, None]
    assert counter.line == "line-4"


def test_a_blind_count_hides_what_is_expected_until_the_line_is_entered(
    make: Callable[..., Counter],
) -> None:
    counter = make(blind=True)
    assert "24" not in counter.view.line.expected.text()
    counter.press(Qt.Key.Key_R)
    assert counter.quantity("line-2") is None
    assert "blind count" in counter.view.strip.text()
    counter.type("20")
    counter.press(Qt.Key.Key_Return, Qt.Key.Key_Left)
    assert counter.view.line.expected.text() == "Expected: 24"
    assert counter.view.line.difference.text() == "−4 short"


def test_d_enters_damage_and_the_pictures_wanted_change(
    make: Callable[..., Counter], monkeypatch: pytest.MonkeyPatch
) -> None:
    counter = make()
    assert "all units of this line" in counter.view.photos.wanted.text()
    monkeypatch.setattr(DamageDialog, "ask", classmethod(lambda *_: Damage("damaged", "Leg bent")))
    counter.press(Qt.Key.Key_D)
    count = counter.view.count()
    assert count is not None
    assert counts.entry_of(count, "line-1").condition == "damaged"
    assert "close up" in counter.view.photos.wanted.text()


def test_letters_never_get_into_the_number(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.type("2x1-")
    assert counter.view.number.text() == "21"


def test_undo_takes_the_last_number_back(qtbot: QtBot, make: Callable[..., Counter]) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    qtbot.keyClick(counter.view.number, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert counter.quantity("line-1") is None
    assert counter.line == "line-1"
    assert counter.view.line.before.text() == ""
    assert counter.view.strip.text() == "Taken back: Count line 1: 21"


def test_the_keys_of_the_count_work_on_after_a_button(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, make: Callable[..., Counter]
) -> None:
    counter = make()
    monkeypatch.setattr(
        "ldapp.desktop.pages.count_parts.photo_strip.QFileDialog.getExistingDirectory",
        lambda *_: "",
    )
    counter.view.head.code_button.setFocus()
    qtbot.keyClick(counter.view.head.code_button, Qt.Key.Key_2)
    qtbot.keyClick(counter.view.head.code_button, Qt.Key.Key_1)
    assert counter.view.number.text() == "21"
    qtbot.mouseClick(counter.view.photos.watch_button, Qt.MouseButton.LeftButton)
    assert counter.view.focusWidget() is counter.view.number


def test_serial_numbers_seen_leave_their_quantity_in_the_field(
    monkeypatch: pytest.MonkeyPatch, make: Callable[..., Counter]
) -> None:
    counter = make()
    monkeypatch.setattr(SerialsDialog, "ask", lambda *_: ("A-1", "A-2"))
    counter.press(Qt.Key.Key_S)
    assert counter.view.number.text() == "2"


def test_undo_at_the_end_of_the_count_goes_back_to_the_line(
    qtbot: QtBot, make: Callable[..., Counter]
) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    counter.view.show_end()
    qtbot.keyClick(counter.view.end.lines, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert counter.quantity("line-1") is None
    assert counter.view.stack.currentWidget() is counter.view.line
    assert counter.line == "line-1"


def test_damage_stands_beside_a_line_that_is_not_counted_yet(
    monkeypatch: pytest.MonkeyPatch, make: Callable[..., Counter]
) -> None:
    counter = make()
    seen = Damage(condition="damaged", note="A leg is bent")
    monkeypatch.setattr(DamageDialog, "ask", lambda *_: seen)
    counter.press(Qt.Key.Key_D)
    assert counter.view.line.difference.text() == "not counted, damaged"


def test_a_number_typed_long_after_the_count_has_no_time_of_its_own(
    make: Callable[..., Counter],
) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    count = counter.view.count()
    assert count is not None
    assert counts.entry_of(count, "line-1").at is None, "the count was held months ago"


def test_a_number_typed_at_the_count_has_the_moment(
    qtbot: QtBot, view: ClaimView, make: Callable[..., Counter]
) -> None:
    counter = make()
    now = counts.add_count(view.context.desk, "during")
    counter.view.close()
    counter.page.open_counter_view(now.id)
    counter.view = counter.page.counter_view  # type: ignore[assignment]
    counter.view.go_to_line("line-1")
    counter.type("24")
    counter.press(Qt.Key.Key_Return)
    count = counter.view.count()
    assert count is not None
    at = counts.entry_of(count, "line-1").at
    assert at is not None
    assert abs(dt.datetime.now(dt.UTC) - at) < dt.timedelta(minutes=1)


def test_the_end_names_what_is_open_and_both_sign(
    qtbot: QtBot, make: Callable[..., Counter]
) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    for _ in range(14):
        counter.press(Qt.Key.Key_Right)
    end = counter.view.end
    assert counter.view.stack.currentWidget() is end
    texts = [end.lines.item(n).text() for n in range(end.lines.count())]
    assert texts[0].endswith("−3 short")
    assert sum(text.endswith("not counted") for text in texts) == 14
    assert not end.sign_button.isEnabled()
    assert end.state.text() == "14 lines are not counted."
    assert end.signatures.names["ours"].text() == "Ada"
    end.signatures.names["theirs"].setText("Bo")
    stroke = (((0.1, 0.5), (0.4, 0.2)),)
    for side in ("ours", "theirs"):
        end.signatures.pads[side].show_strokes(stroke)
        end.signatures.pads[side].changed.emit()
    assert end.sign_button.text() == "Sign for both"
    qtbot.mouseClick(end.sign_button, Qt.MouseButton.LeftButton)
    count = counter.view.count()
    assert count is not None
    assert count.acknowledgement == "signed_by_both"
    assert [(one.side, one.name) for one in count.signatures] == [("ours", "Ada"), ("theirs", "Bo")]
    assert not end.sign_button.isEnabled(), "the same strokes are not signed twice"
    assert end.refused_button.isHidden(), "who has signed is not asked to refuse"
    assert end.state.text() == "Signed by both. 14 lines are not counted."
    counts.enter_quantity(counter.desk, count.id, "line-1", 20, although_signed=True)
    assert end.state.text() == (
        "! Signed by both. Changed after signing: line 1. 14 lines are not counted."
    )
    counter.desk.undo()
    end.signatures.pads["ours"].show_strokes((((0.2, 0.5), (0.9, 0.1)),))
    end.signatures.pads["ours"].changed.emit()
    assert end.sign_button.isEnabled()


@pytest.mark.parametrize("yes", [False, True])
def test_a_signed_count_is_not_changed_unasked(
    make: Callable[..., Counter], monkeypatch: pytest.MonkeyPatch, yes: bool
) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    stroke = (((0.1, 0.5), (0.4, 0.2)),)
    counts.sign(
        counter.desk,
        counter.made.id,
        (
            Signature(name="Ada", side="ours", at=RETURN, strokes=stroke),
            Signature(name="Bo", side="theirs", at=RETURN, strokes=stroke),
        ),
    )
    asked: list[str] = []

    def answer(
        parent: Any, title: str, question: str, details: str, button: str, **how: bool
    ) -> bool:
        assert how == {"careful": True}, "Enter alone changes nothing"
        asked.append(question)
        return yes

    monkeypatch.setattr(signed_change, "ask", answer)
    counter.type("6")
    counter.press(Qt.Key.Key_Return)
    assert asked == ["Both have signed this count. Change it all the same?"]
    assert counter.quantity("line-2") == (6 if yes else None)
    assert counter.line == ("line-3" if yes else "line-2")


def test_a_refusal_is_recorded_with_name_and_time(
    qtbot: QtBot, make: Callable[..., Counter]
) -> None:
    counter = make()
    counter.view.show_end()
    end = counter.view.end
    assert not end.refused_button.isEnabled(), "a refusal needs the name of who refuses"
    end.signatures.names["theirs"].setText("Bo")
    qtbot.mouseClick(end.refused_button, Qt.MouseButton.LeftButton)
    count = counter.view.count()
    assert count is not None
    assert count.acknowledgement == "refused_to_sign"
    assert count.acknowledged_by == "Bo"
    assert count.refused_at is not None
    assert count.refused_at.tzinfo is not None
    assert end.refused_button.isHidden(), "a refusal is recorded once"
    assert end.state.text().startswith("Bo refused to sign.")
    counter.desk.undo()
    assert end.refused_button.isVisible()


def test_the_count_is_written_as_a_pdf(
    qtbot: QtBot,
    make: Callable[..., Counter],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    counter = make()
    counter.view.show_end()
    target = tmp_path / "count.pdf"
    monkeypatch.setattr(
        "ldapp.desktop.pages.count_parts.counter_end.QFileDialog.getSaveFileName",
        lambda *_: (str(target), ""),
    )
    qtbot.mouseClick(counter.view.end.pdf_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Written" in counter.view.end.state.text(), timeout=20_000)
    assert target.read_bytes().startswith(b"%PDF-")


def test_the_companys_check_in_is_not_ours_to_write(
    qtbot: QtBot, view: ClaimView, make: Callable[..., Counter]
) -> None:
    counter = make(stage="check_in")
    counter.view.show_end()
    assert not counter.view.end.pdf_button.isEnabled()


def test_a_click_at_the_end_goes_back_to_the_line(make: Callable[..., Counter]) -> None:
    counter = make()
    counter.view.show_end()
    counter.view.end.lines.itemClicked.emit(counter.view.end.lines.item(3))
    assert counter.line == "line-4"
    assert counter.view.number.hasFocus() or counter.view.stack.currentIndex() == 0


def test_escape_leaves_and_everything_stays(qtbot: QtBot, make: Callable[..., Counter]) -> None:
    counter = make()
    counter.type("21")
    counter.press(Qt.Key.Key_Return)
    qtbot.keyClick(counter.view, Qt.Key.Key_Escape)
    assert counter.page.counter_view is None
    count = next(one for one in counter.desk.claim.counts if one.id == counter.made.id)
    assert counts.entry_of(count, "line-1").quantity == 21


def test_photos_of_the_watched_folder_come_in_and_are_paired_only_by_the_person(
    qtbot: QtBot, make: Callable[..., Counter], tmp_path: Path
) -> None:
    counter = make()
    folder = tmp_path / "from the phone"
    folder.mkdir()
    Image.new("RGB", (64, 48), "grey").save(folder / "old.jpg")
    counter.view.photos.watch(folder)
    qtbot.waitUntil(lambda: counter.view.photos.watched.ready, timeout=5000)
    Image.new("RGB", (64, 48), "olive").save(folder / "IMG_0002.jpg")
    qtbot.waitUntil(lambda: len(counter.desk.claim.photos) == 1, timeout=10_000)
    photo: Any = counter.desk.claim.photos[0]
    assert (photo.name, photo.source, photo.count) == (
        "IMG_0002.jpg",
        "watched_folder",
        counter.made.id,
    )
    assert photo.pairings == ()
    qtbot.waitUntil(counter.view.photos.pair_button.isEnabled, timeout=5000)
    assert [tile.mark.text() for tile in counter.view.photos.tiles] == ["○ new, not paired"]
    counter.press(Qt.Key.Key_P)
    photo = counter.desk.claim.photos[0]
    assert [(one.line, one.count) for one in photo.pairings] == [("line-1", counter.made.id)]
    assert "are there" in counter.view.photos.wanted.text()
    assert [tile.mark.text() for tile in counter.view.photos.tiles] == ["✓ this line"]


def test_the_counters_code_is_shown_from_the_counter_view_and_journalled_once(
    qtbot: QtBot, make: Callable[..., Counter]
) -> None:
    counter = make()
    qtbot.mouseClick(counter.view.head.code_button, Qt.MouseButton.LeftButton)
    window = counter.view.findChild(CounterCodeWindow)
    assert window is not None
    assert window.isVisible()
    (showing,) = counter.desk.claim.issued_codes
    assert window.showing == showing
    assert showing.issued_by == counter.desk.who
    window.close()


def test_the_end_asks_for_the_cameras_that_have_not_taken_the_code(
    qtbot: QtBot, make: Callable[..., Counter], tmp_path: Path
) -> None:
    counter = make()
    counter.view.show_end()
    assert not counter.view.end.cameras.isVisible()
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented", "Demo One"
    Image.new("RGB", (64, 48), "olive").save(tmp_path / "a.jpg", exif=exif)
    keeper = counter.view.context.keeper
    assert keeper is not None
    take_in_photos(counter.desk, keeper, [tmp_path / "a.jpg"], count=counter.made.id)
    qtbot.waitUntil(counter.view.end.cameras.isVisible, timeout=5000)
    assert counter.view.end.cameras.text() == (
        "No picture of the counter's code was taken by Invented Demo One (1 photo)."
    )
    assert not counter.view.end.code_button.isVisible()
    now = dt.datetime.now(dt.UTC)
    counts.put_count(counter.desk, dataclasses.replace(counter.made, at=now))
    qtbot.waitUntil(counter.view.end.code_button.isVisible, timeout=5000)
    assert counter.view.end.cameras.text() == (
        "Did every camera take the counter's code today? Not yet: Invented Demo One (1 photo)."
    )
    qtbot.mouseClick(counter.view.end.code_button, Qt.MouseButton.LeftButton)
    window = counter.view.findChild(CounterCodeWindow)
    assert window is not None
    assert window.isVisible()
    window.close()
