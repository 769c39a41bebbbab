"""The first half of the whole path: a claim is made, its kit is imported and counted twice."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QToolBar, QWidget
from pytestqt.qtbot import QtBot

from ldapp.casework import counts as count_work
from ldapp.casework.cautions import cautions_for_damage
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.counter_view import CounterView
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.new_claim import NewClaimDialog
from ldapp.desktop.pages.count_parts.damage_dialog import DamageDialog, SerialsDialog
from ldapp.desktop.pages.count_parts.new_count_dialog import NewCountDialog
from ldapp.desktop.pages.counts import CountsPage
from ldapp.desktop.pages.kit import KitPage
from ldapp.desktop.widgets.pieces import Label
from ldapp.reckoning.result import Totals
from tests.desktop.person import Person
from tests.exchange.lists import write_xlsx

WEST = dt.timezone(dt.timedelta(hours=-7))
PICKUP = dt.datetime(2026, 3, 2, 7, 40, tzinfo=WEST)
RETURN = dt.datetime(2026, 3, 9, 19, 5, tzinfo=WEST)
POLICY_NUMBER = "INV-POL-77881"

KIT = (
    ("Pos", "Was", "Wieviel", "Neupreis", "Seit", "Wo"),
    (1, "C-stand with arm", 10, 185.00, "2023-03-01", "Cart A"),
    (2, "Sandbag, heavy", 20, 38.00, "2024-03-01", "Cart A"),
    (3, "LED panel, wide", 4, 4250.00, "2025-03-01", "Cart B"),
    (4, "Discharge head with ballast", 2, 7600.00, "2022-03-01", "Cart B"),
)
MORE_KIT = """Line,Item,Qty,Replacement,Purchased,Location
5,"Battery, brick",6,365.00,2024-09-01,Cart C
6,"Cable, 50 ft",12,48.00,2023-09-01,Cart C
"""


class Walk:
    """The person, the window, and what the steps of the path need of both."""

    def __init__(self, qtbot: QtBot, window: MainWindow, folder: Path) -> None:
        self.qtbot, self.window, self.folder = qtbot, window, folder
        self.person = Person(qtbot)

    @property
    def view(self) -> ClaimView:
        assert self.window.claim_view is not None
        return self.window.claim_view

    @property
    def claim(self) -> Claim:
        return self.view.context.claim

    def settle(self) -> None:
        """Wait until nothing runs and everything about the claim is computed."""
        self.qtbot.waitUntil(lambda: self.view.context.up_to_date, timeout=20_000)
        self.qtbot.waitUntil(lambda: not self.window.jobs.busy, timeout=30_000)

    def weak(self) -> set[str]:
        self.settle()
        return {point.code for point in self.view.context.weak_points}

    def go(self, number: int) -> QWidget:
        """Click a page, counted from one, in the list at the left."""
        pages = self.view.pages_list
        box = pages.visualItemRect(pages.item(number - 1))
        self.qtbot.mouseClick(pages.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
        self.settle()
        return self.view.page(self.view.current_page)

    def line_number(self, line: str) -> str:
        return next((one.number for one in self.claim.kit if one.id == line), "")

    def totals(self) -> Totals:
        reckoning = self.view.context.reckoning
        assert reckoning is not None
        return reckoning.totals

    def undo(self) -> None:
        self._press(self.window.actions_of_window.undo)

    def redo(self) -> None:
        self._press(self.window.actions_of_window.redo)

    def _press(self, action: QAction) -> None:
        """Click an action where it stands in the toolbar."""
        bar = self.window.findChild(QToolBar, "tools")
        assert bar is not None
        self.person.click(bar.widgetForAction(action))


def make_claim(walk: Walk) -> None:
    person = walk.person

    def answer(dialog: NewClaimDialog) -> None:
        person.qtbot.keyClicks(dialog.title, "Harbour by Night (invented)")
        person.qtbot.keyClicks(dialog.rental_company, "Invented Grip & Light")
        person.choose_text(dialog.currency, "USD")
        person.choose_text(dialog.zone, "America/Denver")
        person.accept(dialog)

    with person.answering(NewClaimDialog, answer):
        person.click(walk.window.register_page._empty.button)
    walk.qtbot.waitUntil(lambda: walk.window.claim_view is not None, timeout=10_000)
    walk.settle()
    assert walk.claim.title == "Harbour by Night (invented)"


def import_kit(walk: Walk) -> None:
    """A spreadsheet with words of its own, matched by the person; then one understood."""
    person = walk.person
    file = write_xlsx(walk.folder / "Liste März.xlsx", {"Kit": KIT})

    def dropped(dialog: DroppedFilesDialog) -> None:
        person.click(dialog.buttons["kit_list"])

    with person.answering(DroppedFilesDialog, dropped):
        person.drop_files(walk.window, [file])
    page = walk.view.page("kit")
    assert isinstance(page, KitPage)
    walk.qtbot.waitUntil(lambda: page.importer.reading is not None, timeout=10_000)
    walk.settle()
    for field, heading in (
        ("line", "Pos"),
        ("description", "Was"),
        ("quantity", "Wieviel"),
        ("replacement_cost", "Neupreis"),
        ("acquired", "Seit"),
        ("location", "Wo"),
    ):
        choice = page.importer.fields[field]  # type: ignore[index]
        if choice.value() != heading:
            if heading not in choice._values:
                person.choose(page.importer.header, 1)
                walk.settle()
            person.choose(choice, heading)
            walk.settle()
    assert page.importer.model.rowCount() == 4
    if page.importer.looked_at.isVisible():
        person.click(page.importer.looked_at)
    assert page.importer.import_button.isEnabled(), page.importer._summary.text()
    person.click(page.importer.import_button)
    assert len(walk.claim.kit) == 4

    more = walk.folder / "more.csv"
    more.write_text(MORE_KIT, encoding="utf-8")
    with person.answering(QFileDialog, person.names_file(more)):
        person.click(page.import_button)
    walk.qtbot.waitUntil(lambda: page.importer.reading is not None, timeout=10_000)
    walk.settle()
    assert page.importer.import_button.isEnabled(), page.importer._summary.text()
    person.click(page.importer.import_button)
    assert [(line.number, line.quantity, line.location) for line in walk.claim.kit] == [
        ("1", 10, "Cart A"),
        ("2", 20, "Cart A"),
        ("3", 4, "Cart B"),
        ("4", 2, "Cart B"),
        ("5", 6, "Cart C"),
        ("6", 12, "Cart C"),
    ]
    assert walk.claim.kit[0].replacement_cost == Decimal("185.00")
    assert walk.claim.kit[0].acquired == dt.date(2023, 3, 1)
    walk.undo()
    assert len(walk.claim.kit) == 4
    walk.redo()
    assert len(walk.claim.kit) == 6
    # The panel's serial numbers are typed into the list.
    column = page.model.column_number("serials")
    person.type_cell(page.table, 2, column, "P-1, P-2, P-3, P-4")
    assert walk.claim.kit[2].serials == ("P-1", "P-2", "P-3", "P-4")


def begin_count(walk: Walk, button: QWidget, stage: str, at: str, witness: str) -> None:
    person = walk.person

    def answer(dialog: NewCountDialog) -> None:
        if dialog.stage.value() != stage:
            person.choose(dialog.stage, stage)
        for field, text in (
            (dialog.at, at),
            (dialog.place, "Dock 2"),
            (dialog.witness, witness),
        ):
            field.setFocus()
            field.selectAll()
            walk.qtbot.keyClicks(field, text)
        person.accept(dialog)

    with person.answering(NewCountDialog, answer):
        person.click(button)


def count_at_pickup(walk: Walk) -> None:
    page = walk.go(3)
    assert isinstance(page, CountsPage)
    begin_count(walk, page._no_counts.button, "pickup", "2026-03-02 07:40", "Counter person")
    column = page.model.column_number(walk.claim.counts[0].id)
    walk.person.click_cell(page.table, 0, column)
    page.table.setFocus()
    for row, number in enumerate(("10", "20", "4", "2", "6", "11")):
        assert page.table.currentIndex().row() == row, "Enter goes to the next line"
        walk.person.type_here(page.table, number)
    pickup = walk.claim.counts[0]
    assert [entry.quantity for entry in pickup.entries] == [10, 20, 4, 2, 6, 11]
    assert "count_not_acknowledged" in walk.weak()
    walk.person.click_cell(page.table, 0, column)
    page.below.setCurrentWidget(page.details)
    walk.person.choose(page.details.fields["acknowledgement"], "signed_by_both")
    assert walk.claim.counts[0].acknowledgement == "signed_by_both"
    walk.undo()
    assert walk.claim.counts[0].acknowledgement != "signed_by_both"
    walk.redo()
    assert walk.claim.counts[0].acknowledgement == "signed_by_both"
    assert "count_not_acknowledged" not in walk.weak()


def sign(walk: Walk, pad: QWidget) -> None:
    """Draw a stroke with the mouse."""
    bot, left = walk.qtbot, Qt.MouseButton.LeftButton
    bot.mousePress(pad, left, pos=QPoint(20, 30))
    for x in range(30, 120, 15):
        bot.mouseMove(pad, QPoint(x, 30 + x % 20))
    bot.mouseRelease(pad, left, pos=QPoint(130, 40))


def count_at_return(walk: Walk) -> None:
    """The crew member's way: standing at the counter, one line at a time, by keys alone."""
    page = walk.go(3)
    assert isinstance(page, CountsPage)
    person, bot = walk.person, walk.qtbot
    begin_count(walk, page.add_button, "return", "2026-03-09 19:05", "Counter person")
    person.click(page.counter_button)
    counter = page.counter_view
    assert isinstance(counter, CounterView)
    made = counter.count_id

    def press(*keys: Qt.Key) -> None:
        for key in keys:
            bot.keyClick(counter.number, key)

    def quantity(line: int) -> int | None:
        count = counter.count()
        assert count is not None
        return count_work.entry_of(count, walk.claim.kit[line - 1].id).quantity

    def line() -> str:
        assert counter.row is not None
        return counter.row.line.number

    assert line() == "1"
    bot.keyClicks(counter.number, "7")
    press(Qt.Key.Key_Return)
    assert (quantity(1), line()) == (7, "2")
    press(Qt.Key.Key_Left)
    assert line() == "1"
    press(Qt.Key.Key_Right, Qt.Key.Key_Right)
    assert (line(), quantity(2)) == ("3", None), "a skipped line stays not counted"
    press(Qt.Key.Key_Left)
    bot.keyClicks(counter.number, "19")
    press(Qt.Key.Key_Plus)
    assert (quantity(2), line()) == (20, "2")
    press(Qt.Key.Key_Return)

    def damage(dialog: DamageDialog) -> None:
        shown = [one.text() for one in dialog.findChildren(Label)]
        for caution in cautions_for_damage(walk.claim.kit[2].kind):
            assert caution in shown
        person.choose(dialog.condition, "damaged")
        bot.keyClicks(dialog.note, "One of four: frame bent, two rows dark")
        person.accept(dialog)

    with person.answering(DamageDialog, damage):
        press(Qt.Key.Key_D)

    def serials(dialog: SerialsDialog) -> None:
        for number in ("P-1", "P-2", "P-3", "P-4"):
            bot.keyClicks(dialog.serials, number)
            bot.keyClick(dialog.serials, Qt.Key.Key_Return)
        person.accept(dialog)

    with person.answering(SerialsDialog, serials):
        press(Qt.Key.Key_S)
    bot.keyClicks(counter.number, "4")
    press(Qt.Key.Key_Return)
    assert line() == "4"
    press(Qt.Key.Key_R)
    assert (quantity(4), line()) == (2, "5"), "the rest of this cart"
    press(Qt.Key.Key_R)
    assert (quantity(5), quantity(6)) == (6, 11)
    end = counter.end
    bot.waitUntil(end.isVisible)
    assert "6 of 6 lines counted" in end._says.text()
    assert not end.sign_button.isEnabled()
    person.write(end.signatures.names["ours"], "Ada")
    sign(walk, end.signatures.pads["ours"])
    person.write(end.signatures.names["theirs"], "Counter person")
    sign(walk, end.signatures.pads["theirs"])
    assert end.sign_button.text() == "Sign for both"
    person.click(end.sign_button)
    person.click(end.close_button)
    bot.waitUntil(lambda: page.counter_view is None)
    count = next(one for one in walk.claim.counts if one.id == made)
    assert count.acknowledgement == "signed_by_both"
    assert {one.side for one in count.signatures} == {"ours", "theirs"}
    panel = count_work.entry_of(count, walk.claim.kit[2].id)
    assert (panel.condition, panel.serials_seen) == ("damaged", ("P-1", "P-2", "P-3", "P-4"))
