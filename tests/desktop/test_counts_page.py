from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QFocusEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QTableView
from pytestqt.qtbot import QtBot

from ldapp.casework import counts
from ldapp.casework.cautions import cautions_for_damage
from ldapp.casework.count_sheet import Cell, count_sheet, difference_words
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Movement, Signature
from ldapp.claim.kit import Part
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.count_parts import signed_change
from ldapp.desktop.pages.count_parts.damage_dialog import Damage, DamageDialog, SerialsDialog
from ldapp.desktop.pages.count_parts.new_count_dialog import NewCount, NewCountDialog
from ldapp.desktop.pages.count_parts.signature_pad import SignatureFields, SignaturePad
from ldapp.desktop.pages.counts import CountsPage
from ldapp.desktop.widgets.pieces import Label
from tests.desktop.desk_claims import PICKUP, RETURN, desk_claim


@pytest.fixture
def page(view: ClaimView) -> CountsPage:
    view.show_page("counts")
    page = view.page("counts")
    assert isinstance(page, CountsPage)
    return page


def put_cursor(page: CountsPage, row: int, count: str) -> None:
    page.table.setFocus()
    page.table.setCurrentIndex(page.model.index(row, page.model.column_number(count)))


def entry(page: CountsPage, count: str, line: str) -> Any:
    one = next(one for one in page.context.claim.counts if one.id == count)
    return counts.entry_of(one, line)


def cell(page: CountsPage, row: int, count: str) -> Cell:
    return page.model.rows[row].cells[count]


# --- the sheet --------------------------------------------------------------------------


def test_number_enter_next(qtbot: QtBot, page: CountsPage) -> None:
    put_cursor(page, 0, "c2")
    for digits in ("24", "6", "39"):
        for digit in digits[:1]:
            qtbot.keyClicks(page.table, digit)
        editor = next(one for one in page.table.findChildren(QLineEdit) if one.isVisible())
        qtbot.keyClicks(editor, digits[1:])
        row = page.table.currentIndex().row()
        qtbot.keyClick(editor, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda row=row: page.table.currentIndex().row() == row + 1, timeout=1000)
    assert [entry(page, "c2", f"line-{n}").quantity for n in (1, 2, 3)] == [24, 6, 39]
    assert cell(page, 2, "c2").difference == -1


def test_a_difference_has_a_sign_and_a_word(page: CountsPage) -> None:
    index = page.model.index(0, page.model.column_number("c2"))
    assert index.data() == "21  −3 short"
    assert index.data(Qt.ItemDataRole.AccessibleTextRole).endswith("21, 24 expected, −3 short")
    assert difference_words(2) == "+2 over"
    assert difference_words(0) == difference_words(None) == ""


def test_an_emptied_cell_is_not_counted_and_never_nought(qtbot: QtBot, page: CountsPage) -> None:
    put_cursor(page, 1, "c2")
    qtbot.keyClick(page.table, Qt.Key.Key_Delete)
    assert entry(page, "c2", "line-2").quantity is None
    index = page.model.index(1, page.model.column_number("c2"))
    assert "not counted" in index.data(Qt.ItemDataRole.AccessibleTextRole)


def test_letters_do_not_begin_to_edit(qtbot: QtBot, page: CountsPage) -> None:
    put_cursor(page, 1, "c2")
    qtbot.keyClick(page.table, Qt.Key.Key_X)
    assert page.table.findChild(QLineEdit) is None


def test_a_pasted_column_of_numbers_is_one_change(qtbot: QtBot, page: CountsPage) -> None:
    put_cursor(page, 0, "c2")
    page.table.paste_text("20\n5\n38")
    assert [entry(page, "c2", f"line-{n}").quantity for n in (1, 2, 3)] == [20, 5, 38]
    assert page.context.desk.undo_label == "Enter 3 counts"
    page.context.desk.undo()
    assert entry(page, "c2", "line-1").quantity == 21


def test_what_is_no_number_is_refused(page: CountsPage, window: MainWindow) -> None:
    index = page.model.index(0, page.model.column_number("c2"))
    assert not page.model.setData(index, "many")
    assert "no whole number" in window.strip.text()
    assert entry(page, "c2", "line-1").quantity == 21


def test_expected_follows_the_pickup_and_the_movements() -> None:
    claim = desk_claim()
    movement = Movement(
        id="m1",
        kind="returned_early",
        line="line-5",
        quantity=2,
        at=PICKUP + dt.timedelta(days=2),
    )
    before = Movement(
        id="m2", kind="added", line="line-5", quantity=9, at=PICKUP - dt.timedelta(days=1)
    )
    claim = dataclasses.replace(claim, movements=(movement, before))
    row = next(one for one in count_sheet(claim) if one.line.id == "line-5")
    assert row.cells["c1"].expected == 8, "the list, at pickup"
    assert row.cells["c2"].expected == 5, "7 received, 2 returned early"


def test_a_line_of_another_agreement_is_not_in_the_count() -> None:
    claim = desk_claim()
    first = dataclasses.replace(claim.counts[0], agreements=("other",))
    claim = dataclasses.replace(claim, counts=(first, *claim.counts[1:]))
    assert all("c1" not in row.cells for row in count_sheet(claim))


def test_counting_goes_in_the_order_of_the_places(page: CountsPage) -> None:
    places = [row.line.location for row in page.model.rows]
    assert places == sorted(places, key=places.index)
    page.location_filter.set_value("Truck, cart B")
    page.location_filter.committed.emit("Truck, cart B")
    assert {row.line.location for row in page.model.rows} == {"Truck, cart B"}


def test_differences_only(page: CountsPage) -> None:
    page.differences.setChecked(True)
    shown = {row.line.number for row in page.model.rows}
    assert shown == {"1", "5", "6", "8", "11"}


def test_the_cursor_shows_what_is_said_of_the_count(qtbot: QtBot, page: CountsPage) -> None:
    put_cursor(page, 0, "c1")
    witness = page.details.fields["witness"]
    assert witness.value() == "Counter person"
    put_cursor(page, 0, "c3")
    assert witness.value() is None
    acknowledgement = page.details.fields["acknowledgement"]
    acknowledgement.set_value("emailed_same_day")
    acknowledgement.activated.emit(acknowledgement.currentIndex())  # type: ignore[union-attr]
    assert page.context.claim.counts[2].acknowledgement == "emailed_same_day"


def test_the_model_holds_to_qts_rules(page: CountsPage, qtmodeltester: Any) -> None:
    qtmodeltester.check(page.model)
    counts.add_count(page.context.desk, "during")
    qtmodeltester.check(page.model)
    qtmodeltester.check(page.movements.model)


# --- counts -----------------------------------------------------------------------------


def test_a_count_is_begun(page: CountsPage, monkeypatch: pytest.MonkeyPatch) -> None:
    entered = NewCount("during", RETURN - dt.timedelta(days=3), "Stage 4", "Ada", "Bo", True)
    monkeypatch.setattr(NewCountDialog, "ask", classmethod(lambda *_: entered))
    page.add_count()
    made = page.context.claim.counts[-1]
    assert (made.stage, made.place, made.witness, made.blind) == ("during", "Stage 4", "Bo", True)
    assert page.table.current_count() == made.id
    columns = [one.name for one in page.model.columns]
    assert columns.index("c1") < columns.index(made.id) < columns.index("c2"), "in time"


def test_a_claim_without_counts_offers_one(open_claim: Callable[[Claim], ClaimView]) -> None:
    view = open_claim(dataclasses.replace(desk_claim(), counts=(), findings=()))
    view.show_page("counts")
    page = view.page("counts")
    assert isinstance(page, CountsPage)
    assert page._no_counts.isVisible()


def test_a_claim_without_kit_sends_to_the_kit(
    open_claim: Callable[[Claim], ClaimView],
) -> None:
    view = open_claim(desk_claim(0))
    view.show_page("counts")
    page = view.page("counts")
    assert isinstance(page, CountsPage)
    page._no_kit.button.click()
    assert view.current_page == "kit"


# --- damage, serial numbers, parts --------------------------------------------------------


def test_d_opens_the_damage_with_the_cautions_of_its_kind(
    qtbot: QtBot, page: CountsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Any] = []

    def ask(cls: type, line: Any, present: Any, parent: Any) -> Damage:
        asked.append(line)
        return Damage("not_working", "No light, breaker trips")

    monkeypatch.setattr(DamageDialog, "ask", classmethod(ask))
    put_cursor(page, 9, "c2")
    qtbot.keyClick(page.table, Qt.Key.Key_D)
    line = page.model.rows[9].line
    assert asked == [line]
    assert entry(page, "c2", line.id).condition == "not_working"
    assert entry(page, "c2", line.id).note == "No light, breaker trips"
    assert cell(page, 9, "c2").condition == "not_working"


@pytest.mark.parametrize("kind", ["discharge_lighting", "battery", "rigging"])
def test_the_cautions_stand_in_the_dialog(qtbot: QtBot, page: CountsPage, kind: Any) -> None:
    line = dataclasses.replace(page.model.rows[0].line, kind=kind)
    dialog = DamageDialog(line, counts.entry_of(page.context.claim.counts[1], line.id))
    qtbot.addWidget(dialog)
    shown = [one.text() for one in dialog.findChildren(Label)]
    for caution in cautions_for_damage(kind):
        assert caution in shown


def test_serial_numbers_seen_name_what_is_missing(
    qtbot: QtBot, page: CountsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        SerialsDialog, "ask", classmethod(lambda *_: ("PX-0007-1", "PX-0007-2", "ZZ-9"))
    )
    put_cursor(page, 7, "c2")
    qtbot.keyClick(page.table, Qt.Key.Key_S)
    assert entry(page, "c2", "line-8").serials_seen == ("PX-0007-1", "PX-0007-2", "ZZ-9")
    page.below.setCurrentWidget(page.entry)
    said = page.entry._serials.text()
    assert "Not seen: PX-0007-3, PX-0007-4" in said
    assert "Not on the list: ZZ-9" in said


def test_parts_are_counted(qtbot: QtBot, open_claim: Callable[[Claim], ClaimView]) -> None:
    claim = desk_claim()
    arm = Part(id="arm", description="Grip arm", per_unit=1)
    first = dataclasses.replace(claim.kit[0], parts=(arm,))
    view = open_claim(dataclasses.replace(claim, kit=(first, *claim.kit[1:])))
    view.show_page("counts")
    page = view.page("counts")
    assert isinstance(page, CountsPage)
    put_cursor(page, 0, "c2")
    page.below.setCurrentWidget(page.entry)
    field = page.entry._part_fields["arm"]
    field.setFocus()
    qtbot.keyClicks(field, "20")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert [(one.part, one.quantity) for one in entry(page, "c2", "line-1").parts] == [("arm", 20)]


def test_equals_enters_what_is_expected_but_not_in_a_blind_count(
    qtbot: QtBot, page: CountsPage, window: MainWindow
) -> None:
    open_count = counts.add_count(page.context.desk, "return", RETURN + dt.timedelta(hours=1))
    put_cursor(page, 4, open_count.id)
    qtbot.keyClick(page.table, Qt.Key.Key_Equal)
    assert entry(page, open_count.id, "line-5").quantity == 7
    blind = counts.add_count(
        page.context.desk, "return", RETURN + dt.timedelta(hours=2), blind=True
    )
    put_cursor(page, 4, blind.id)
    qtbot.keyClick(page.table, Qt.Key.Key_Equal)
    assert entry(page, blind.id, "line-5").quantity is None
    assert "blind count" in window.strip.text()


def test_a_blind_count_under_way_hides_what_is_known_of_a_line_until_it_is_entered(
    qtbot: QtBot, page: CountsPage
) -> None:
    desk = page.context.desk
    blind = counts.add_count(desk, "return", RETURN + dt.timedelta(hours=2), blind=True)

    def shown(row: int) -> list[str]:
        columns = [page.model.column_number(name) for name in ("listed", "c1", "c2", blind.id)]
        return [str(page.model.index(row, column).data() or "") for column in columns]

    before = [one.text(page.model.rows[0]) for one in page.model.columns[-3:]]
    assert shown(0) == shown(1) == ["hidden", "hidden", "hidden", ""]
    tip = page.model.index(0, page.model.column_number("c1")).data(Qt.ItemDataRole.ToolTipRole)
    assert tip == "A blind count is under way: enter this line there first."
    put_cursor(page, 0, blind.id)
    qtbot.keyClicks(page.table, "2")
    editor = next(one for one in page.table.findChildren(QLineEdit) if one.isVisible())
    qtbot.keyClicks(editor, "1")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: entry(page, blind.id, "line-1").quantity == 21)
    assert shown(0) == ["24", "24", "21  −3 short", "21  −3 short"]
    assert [one.text(page.model.rows[0]) for one in page.model.columns[-3:]] != before
    assert shown(1)[0] == "hidden"
    now = next(one for one in page.context.claim.counts if one.id == blind.id)
    counts.put_count(desk, dataclasses.replace(now, acknowledgement="refused_to_sign"))
    assert shown(1)[0] == "6", "whoever is done with the blind count sees everything again"


# --- movements ----------------------------------------------------------------------------


def test_a_movement_changes_what_is_expected(page: CountsPage) -> None:
    put_cursor(page, 2, "c2")
    page.movements.add_button.click()
    model = page.movements.model
    assert model.setData(model.index(0, model.column_number("quantity")), "3")
    assert model.setData(model.index(0, model.column_number("at")), "2026-03-05 10:00")
    assert model.setData(model.index(0, model.column_number("ticket")), "T-88")
    movement = page.context.claim.movements[0]
    assert (movement.line, movement.quantity, movement.ticket) == ("line-3", 3, "T-88")
    assert cell(page, 2, "c2").expected == 37
    assert cell(page, 2, "c2").difference == 3


# --- signatures -----------------------------------------------------------------------------


def draw(pad: SignaturePad, points: list[tuple[float, float]]) -> None:
    kinds = [QEvent.Type.MouseButtonPress, *[QEvent.Type.MouseMove] * (len(points) - 2)]
    kinds.append(QEvent.Type.MouseButtonRelease)
    for kind, (x, y) in zip(kinds, points, strict=True):
        at = QPointF(x * pad.width(), y * pad.height())
        QApplication.sendEvent(
            pad,
            QMouseEvent(
                kind,
                at,
                pad.mapToGlobal(at),
                Qt.MouseButton.LeftButton,
                Qt.MouseButton.LeftButton,
                Qt.KeyboardModifier.NoModifier,
            ),
        )


def test_a_signature_is_a_name_and_strokes(qtbot: QtBot, page: CountsPage) -> None:
    fields = SignatureFields()
    qtbot.addWidget(fields)
    fields.resize(700, 300)
    fields.show()
    draw(fields.pads["ours"], [(0.1, 0.5), (0.3, 0.2), (0.5, 0.9)])
    assert fields.signatures("America/Denver") == (), "no name, no signature"
    fields.names["ours"].setText("Ada")
    fields.names["theirs"].setText("Bo")
    made = fields.signatures("America/Denver")
    assert [one.name for one in made] == ["Ada"], "a name without strokes is no signature"
    assert made[0].strokes[0][0] == (0.1, 0.5)
    assert all(0 <= x <= 1 and 0 <= y <= 1 for stroke in made[0].strokes for x, y in stroke)
    fields.pads["ours"].clear()
    assert fields.signatures("America/Denver") == ()


# --- after signing --------------------------------------------------------------------------


@pytest.fixture
def signed(page: CountsPage) -> CountsPage:
    """The return count, signed by both as it is."""
    stroke = (((0.1, 0.5), (0.4, 0.2)),)
    counts.sign(
        page.context.desk,
        "c2",
        (
            Signature(name="Ada", side="ours", at=RETURN, strokes=stroke),
            Signature(name="Bo", side="theirs", at=RETURN, strokes=stroke),
        ),
    )
    return page


class Answers:
    """Answers every question and keeps it."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *, yes: bool) -> None:
        self.asked: list[str] = []
        self._yes = yes
        monkeypatch.setattr(signed_change, "ask", self._answer)

    def _answer(self, *asked: Any, careful: bool) -> bool:
        _parent, _title, question, details, _yes = asked
        assert careful, "Enter alone changes nothing"
        self.asked.append(f"{question} {details}")
        return self._yes


def test_the_first_change_after_signing_is_asked_about(
    signed: CountsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = Answers(monkeypatch, yes=True)
    put_cursor(signed, 0, "c2")
    assert signed.details.changed.isHidden()
    column = signed.model.column_number("c2")
    assert signed.model.setData(signed.model.index(0, column), "20")
    assert answers.asked == [
        (
            "Both have signed this count. Change it all the same? The signatures will be said to "
            "be of another state."
        )
    ]
    assert signed.model.setData(signed.model.index(1, column), "5")
    assert len(answers.asked) == 1, "once is enough"
    assert signed.details.changed.text() == "! Changed after signing: lines 1, 2."
    assert not signed.details.changed.isHidden()
    signed.context.desk.undo()
    signed.context.desk.undo()
    assert signed.details.changed.isHidden()


def test_a_change_that_is_given_up_leaves_the_count_and_the_fields_as_signed(
    qtbot: QtBot, signed: CountsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = Answers(monkeypatch, yes=False)
    put_cursor(signed, 0, "c2")
    before = signed.context.claim
    assert not signed.model.setData(signed.model.index(0, signed.model.column_number("c2")), "20")
    condition = signed.entry.condition
    was = condition.value()
    condition.setCurrentIndex((condition.currentIndex() + 1) % condition.count())
    condition.activated.emit(condition.currentIndex())
    assert condition.value() == was
    note = signed.entry.note
    signed.below.setCurrentWidget(signed.entry)
    note.setPlainText("one leg bent")
    QApplication.sendEvent(note, QFocusEvent(QEvent.Type.FocusOut))
    assert note.toPlainText() == ""
    until = signed.details.fields["until"]
    assert isinstance(until, QLineEdit)
    signed.below.setCurrentWidget(signed.details)
    until.setFocus()
    text = until.text()
    until.selectAll()
    qtbot.keyClicks(until, "2026-03-09 21:15")
    qtbot.keyClick(until, Qt.Key.Key_Return)
    assert until.text() == text
    monkeypatch.setattr(
        DamageDialog, "ask", classmethod(lambda *_: Damage("damaged", "one leg bent"))
    )
    signed.enter_damage()
    assert len(answers.asked) == 5
    assert signed.context.claim is before


def test_a_place_or_a_note_of_a_signed_count_is_not_asked_about(
    signed: CountsPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = Answers(monkeypatch, yes=False)
    put_cursor(signed, 0, "c2")
    signed.details.fields["place"].committed.emit("Dock 9")
    assert answers.asked == []
    one = next(one for one in signed.context.claim.counts if one.id == "c2")
    assert one.place == "Dock 9"


def test_who_counts_and_who_signs_is_said_by_a_person(qtbot: QtBot, page: CountsPage) -> None:
    dialog = NewCountDialog(page.context.claim, "ada-login")
    fields = SignatureFields("ada-login")
    for widget in (dialog, fields):
        qtbot.addWidget(widget)
    assert dialog.entered().counted_by == ""
    for name in (dialog.counted_by, fields.names["ours"]):
        assert name.text() == ""
        assert name.placeholderText() == "Name, for example ada-login"
        assert name.completer().model().index(0, 0).data() == "ada-login"
    assert fields.names["theirs"].placeholderText() == "Name"
    draw(fields.pads["ours"], [(0.1, 0.5), (0.3, 0.2), (0.5, 0.9)])
    assert fields.signatures("America/Denver") == ()


def test_the_count_stays_below_while_the_cursor_is_on_a_line(page: CountsPage) -> None:
    put_cursor(page, 1, "c1")
    put_cursor(page, 2, "description")
    assert page.details.isEnabled()
    shown = page.details.count()
    assert shown is not None
    assert shown.id == "c1"
    assert page.below.tabText(0).startswith("Pickup")
    assert page.below.tabText(1) == "Line 3"


def test_the_columns_that_stay_are_sized_and_sorted_like_the_others(page: CountsPage) -> None:
    frozen = page.table.findChild(QTableView)
    assert frozen is not None
    frozen.horizontalHeader().resizeSection(1, 311)
    assert page.table.columnWidth(1) == 311
    assert frozen.width() == page.table.columnWidth(0) + 311
    page.table.sortByColumn(1, Qt.SortOrder.DescendingOrder)
    head = frozen.horizontalHeader()
    assert head.isSortIndicatorShown()
    assert head.sortIndicatorSection() == 1
    assert head.sortIndicatorOrder() == Qt.SortOrder.DescendingOrder
