from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from ldapp.casework.places import Place
from ldapp.claim.claim import Claim
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages import kit as kit_module
from ldapp.desktop.pages.kit import KitPage
from tests.desktop.desk_claims import desk_claim

LIST = """Line,Item,Qty,Serial,Replacement,Owner,Truck
1,Muslin 12x12,3,,450.00,,Cart C
2,Cart four-wheel,2,,"1,120.00",,Cart C
3,Head cable 50 ft,4,A1;A2;A3;A4,99.50,Other House,Cart D
"""


@pytest.fixture
def page(view: ClaimView) -> KitPage:
    view.show_page("kit")
    page = view.page("kit")
    assert isinstance(page, KitPage)
    return page


def set_cell(page: KitPage, row: int, column: str, text: str) -> bool:
    return page.model.setData(page.model.index(row, page.model.column_number(column)), text)


# --- editing ----------------------------------------------------------------------------


def test_a_cell_is_typed_and_enter_goes_to_the_next_row(qtbot: QtBot, page: KitPage) -> None:
    column = page.model.column_number("quantity")
    page.table.setFocus()
    page.table.setCurrentIndex(page.model.index(0, column))
    qtbot.keyClick(page.table, Qt.Key.Key_3)
    editor = page.table.findChild(QLineEdit)
    assert editor is not None
    editor.setText("31")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.context.claim.kit[0].quantity == 31, timeout=1000)
    assert page.table.currentIndex().row() == 1
    assert page.table.currentIndex().column() == column


@pytest.mark.parametrize(
    ("column", "text", "attribute", "value"),
    [
        ("replacement_cost", "1,234.50", "replacement_cost", Decimal("1234.50")),
        ("replacement_cost", "", "replacement_cost", None),
        ("kind", "Rigging", "kind", "rigging"),
        ("serials", "A1, A2; A3", "serials", ("A1", "A2", "A3")),
        ("acquired", "2024-02-29", "acquired", __import__("datetime").date(2024, 2, 29)),
        ("owner", "Invented Grip & Light", "owner", "p1"),
        ("location", "Cart Z", "location", "Cart Z"),
    ],
)
def test_every_kind_of_cell(
    page: KitPage, column: str, text: str, attribute: str, value: Any
) -> None:
    assert set_cell(page, 1, column, text)
    assert getattr(page.context.claim.kit[1], attribute) == value


@pytest.mark.parametrize(
    ("column", "text", "says"),
    [
        ("quantity", "x", "no whole number"),
        ("quantity", "-1", "no whole number"),
        ("replacement_cost", "-5", "too little"),
        ("acquired", "3/4/24", "no day"),
        ("kind", "spaceship", "not a kind of equipment"),
        ("number", "2", "already on this agreement's list"),
        ("description", "", "needs a description"),
        ("note", "4111 1111 1111 1111", "payment card number"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    page: KitPage, window: MainWindow, column: str, text: str, says: str
) -> None:
    before = page.context.claim.kit
    assert not set_cell(page, 0, column, text)
    assert page.context.claim.kit == before
    assert says in window.strip.text()


def test_a_serial_number_like_a_card_number_is_asked_once(
    page: KitPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []

    def ask(parent: Any) -> bool:
        asked.append(1)
        return True

    monkeypatch.setattr(kit_module, "confirm_serials", ask)
    assert set_cell(page, 0, "serials", "4111111111111111")
    assert set_cell(page, 1, "serials", "5500005555555559")
    assert len(asked) == 1
    assert page.context.claim.kit[0].serials == ("4111111111111111",)


def test_a_paste_from_a_spreadsheet_is_one_change_and_undo_takes_it_back(
    qtbot: QtBot, page: KitPage
) -> None:
    before = page.context.claim.kit
    QApplication.clipboard().setText("Stand A\t5\nStand B\t6\nStand C\t7")
    page.table.setFocus()
    page.table.setCurrentIndex(page.model.index(0, 1))
    qtbot.keyClick(page.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    kit = page.context.claim.kit
    assert [(one.description, one.quantity) for one in kit[:3]] == [
        ("Stand A", 5),
        ("Stand B", 6),
        ("Stand C", 7),
    ]
    assert page.context.desk.undo_label == "Change 3 kit lines"
    page.context.desk.undo()
    assert page.context.claim.kit == before


def test_a_paste_with_one_wrong_cell_changes_nothing(
    qtbot: QtBot, page: KitPage, window: MainWindow
) -> None:
    before = page.context.claim.kit
    page.table.setCurrentIndex(page.model.index(0, 1))
    page.table.paste_text("Stand A\t5\nStand B\tsix")
    assert page.context.claim.kit == before
    assert "Line 2" in window.strip.text()


def test_rows_pasted_below_the_list_become_lines(page: KitPage) -> None:
    page.table.setCurrentIndex(page.model.index(14, 1))
    page.table.paste_text("Camera body, large format\t1\nTripod\t2\nFluid head\t2")
    kit = page.context.claim.kit
    assert [(one.number, one.description, one.quantity) for one in kit[15:]] == [
        ("16", "Tripod", 2),
        ("17", "Fluid head", 2),
    ]


def test_cells_are_copied_as_a_table(qtbot: QtBot, page: KitPage) -> None:
    page.table.setFocus()
    page.table.selectionModel().select(
        page.model.index(0, 0), page.table.selectionModel().SelectionFlag.Select
    )
    page.table.selectionModel().select(
        page.model.index(0, 1), page.table.selectionModel().SelectionFlag.Select
    )
    qtbot.keyClick(page.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.clipboard().text() == "1\tC-stand 40 in with grip head and arm"


def test_a_line_in_use_is_not_removed(page: KitPage, window: MainWindow) -> None:
    page.remove_lines([page.context.claim.kit[0]])
    assert len(page.context.claim.kit) == 15
    assert "named by a count" in window.strip.text()


def test_a_line_is_added_and_removed_by_key(qtbot: QtBot, page: KitPage) -> None:
    page.add_button.click()
    assert page.context.claim.kit[-1].number == "16"
    editor = page.table.findChild(QLineEdit)
    assert editor is not None, "the new line's description is edited at once"
    editor.setText("Apple box")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.context.claim.kit[-1].description == "Apple box", timeout=1000)
    page.table.setFocus()
    page.table.go_to_row(page.context.claim.kit[-1].id, 1)
    qtbot.keyClick(page.table, Qt.Key.Key_Delete, Qt.KeyboardModifier.ControlModifier)
    assert len(page.context.claim.kit) == 15


def test_the_filter_and_the_faults(page: KitPage) -> None:
    page.search.setText("TRUCK safety")
    assert [line.description for line in page.model.rows] == ["Safety cable 30 in"]
    page.search.clear()
    set_cell(page, 7, "quantity", "5")
    assert page.faulty.text() == "! 1 to look at"
    page.faulty.setChecked(True)
    assert [line.number for line in page.model.rows] == ["8"]
    index = page.model.index(0, page.model.column_number("faults"))
    assert index.data() == "! 4 serial numbers for 5 units"


def test_line_numbers_sort_as_numbers(page: KitPage) -> None:
    page.table.sortByColumn(0, Qt.SortOrder.DescendingOrder)
    assert [line.number for line in page.model.rows[:3]] == ["15", "14", "13"]


def test_jumping_to_a_line_that_is_filtered_out_shows_it(page: KitPage, view: ClaimView) -> None:
    page.search.setText("sandbag")
    view.show_place(Place("kit", "kit_line", "line-8", "replacement_cost"))
    assert page.table.current_row().id == "line-8"
    assert page.search.text() == ""


def test_parts_of_a_set(qtbot: QtBot, page: KitPage) -> None:
    page.table.setCurrentIndex(page.model.index(0, 1))
    parts = page.details.parts
    qtbot.mouseClick(parts.add_button, Qt.MouseButton.LeftButton)
    assert parts.model.setData(parts.model.index(0, 0), "Grip arm")
    assert parts.model.setData(parts.model.index(0, 1), "2")
    assert not parts.model.setData(parts.model.index(0, 1), "0")
    part = page.context.claim.kit[0].parts[0]
    assert (part.description, part.per_unit) == ("Grip arm", 2)


def test_the_model_holds_to_qts_rules(page: KitPage, qtmodeltester: Any) -> None:
    qtmodeltester.check(page.model)
    qtmodeltester.check(page.details.parts.model)


# --- import -----------------------------------------------------------------------------


def begin_import(qtbot: QtBot, page: KitPage, file: Path, text: str) -> None:
    file.write_text(text, encoding="utf-8")
    page.take_files([file])
    qtbot.waitUntil(lambda: page.importer.reading is not None, timeout=5000)


@pytest.fixture
def empty_page(open_claim: Callable[[Claim], ClaimView]) -> KitPage:
    view = open_claim(desk_claim(0))
    view.show_page("kit")
    page = view.page("kit")
    assert isinstance(page, KitPage)
    return page


def test_an_empty_kit_says_what_belongs_there(empty_page: KitPage) -> None:
    assert empty_page._empty.isVisible()


def test_a_list_without_an_agreement_says_how_to_begin_one(
    qtbot: QtBot, open_claim: Callable[[Claim], ClaimView], tmp_path: Path
) -> None:
    view = open_claim(with_fields(desk_claim(0), agreements=()))
    view.show_page("kit")
    page = view.page("kit")
    assert isinstance(page, KitPage)
    begin_import(qtbot, page, tmp_path / "list.csv", LIST)
    qtbot.waitUntil(lambda: "New agreement" in page.importer._summary.text(), timeout=5000)
    assert not page.importer.import_button.isEnabled()


def test_a_list_is_imported(qtbot: QtBot, empty_page: KitPage, tmp_path: Path) -> None:
    page = empty_page
    begin_import(qtbot, page, tmp_path / "list.csv", LIST)
    assert page.importer.model.rowCount() == 3
    assert page.importer.import_button.text() == "Import 3 lines"
    assert page.importer.focusWidget() is page.importer.import_button
    assert not page.context.claim.kit, "nothing is added before the person says so"
    shown = [
        column.name
        for number, column in enumerate(page.importer.model.columns)
        if not page.importer.table.isColumnHidden(number)
    ]
    assert {"serials", "owner", "location", "replacement_cost"} <= set(shown)
    assert not {"says", "parts", "day_rate", "acquired", "note"} & set(shown), (
        "a column of which the list says nothing takes no room"
    )
    qtbot.mouseClick(page.importer.import_button, Qt.MouseButton.LeftButton)
    kit = page.context.claim.kit
    assert [(one.number, one.description, one.quantity) for one in kit] == [
        ("1", "Muslin 12x12", 3),
        ("2", "Cart four-wheel", 2),
        ("3", "Head cable 50 ft", 4),
    ]
    assert kit[1].replacement_cost == Decimal("1120.00")
    assert kit[2].serials == ("A1", "A2", "A3", "A4")
    owner = next(one for one in page.context.claim.parties if one.id == kit[2].owner)
    assert (owner.name, owner.role) == ("Other House", "owner")
    assert page.table.isVisible()
    page.context.desk.undo()
    assert page.context.claim.kit == ()


def test_a_faulty_row_keeps_the_whole_list_out_and_says_why(
    qtbot: QtBot, empty_page: KitPage, tmp_path: Path
) -> None:
    page = empty_page
    begin_import(qtbot, page, tmp_path / "list.csv", LIST.replace("Cart four-wheel,2", "Cart,two"))
    assert not page.importer.import_button.isEnabled()
    column = page.importer.model.column_number("says")
    says = [str(page.importer.model.index(row, column).data()) for row in range(3)]
    assert says[1].startswith("!")
    assert "two" in says[1]
    assert says[0] == says[2] == ""


def test_the_columns_are_matched_by_the_person_and_kept(
    qtbot: QtBot, empty_page: KitPage, tmp_path: Path, idle: Callable[[], None]
) -> None:
    page = empty_page
    text = "Nr,Was,Wieviel,Lager\n1,Stativ,3,Wagen\n2,Sandsack,9,Wagen\n"
    begin_import(qtbot, page, tmp_path / "liste.csv", text)
    page.importer.header.set_value(1)
    page.importer.header.activated.emit(2)
    idle()
    for field, heading in (
        ("line", "Nr"),
        ("description", "Was"),
        ("quantity", "Wieviel"),
        ("location", "Lager"),
    ):
        choice = page.importer.fields[field]  # type: ignore[index]
        choice.set_value(heading)
        choice.activated.emit(choice.currentIndex())
        idle()
    assert page.importer.import_button.isEnabled(), page.importer._summary.text()
    qtbot.mouseClick(page.importer.import_button, Qt.MouseButton.LeftButton)
    assert [(one.description, one.location) for one in page.context.claim.kit] == [
        ("Stativ", "Wagen"),
        ("Sandsack", "Wagen"),
    ]
    begin_import(qtbot, page, tmp_path / "liste2.csv", text.replace("Stativ", "Klemme"))
    idle()
    assert page.importer.fields["location"].value() == "Lager"
    assert page.importer.fields["quantity"].value() == "Wieviel"


def test_kept_columns_that_a_list_does_not_have_are_left_aside(
    qtbot: QtBot, empty_page: KitPage, tmp_path: Path, idle: Callable[[], None]
) -> None:
    page = empty_page
    begin_import(qtbot, page, tmp_path / "one.csv", "Line,Item,Qty\n1,Apple box,3\n")
    qtbot.mouseClick(page.importer.import_button, Qt.MouseButton.LeftButton)
    begin_import(qtbot, page, tmp_path / "two.csv", "No.,Description,Quantity\n2,Wedge,9\n")
    idle()
    assert page.importer.fields["description"].value() == "Description"
    assert page.importer.import_button.isEnabled()


def test_the_same_list_twice_is_refused(
    qtbot: QtBot, empty_page: KitPage, tmp_path: Path, window: MainWindow
) -> None:
    page = empty_page
    for _ in range(2):
        begin_import(qtbot, page, tmp_path / "list.csv", LIST)
        qtbot.mouseClick(page.importer.import_button, Qt.MouseButton.LeftButton)
    assert len(page.context.claim.kit) == 3
    assert "Was the list imported before?" in window.strip.text()
    qtbot.mouseClick(page.importer.cancel_button, Qt.MouseButton.LeftButton)
    assert page.table.isVisible()


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("empty.csv", b"", "empty"),
        ("noise.xlsx", b"PK\x03\x04 not a workbook", "noise.xlsx"),
    ],
)
def test_a_file_that_is_no_list_is_refused_in_a_sentence(
    qtbot: QtBot,
    empty_page: KitPage,
    window: MainWindow,
    tmp_path: Path,
    name: str,
    content: bytes,
    says: str,
) -> None:
    file = tmp_path / name
    file.write_bytes(content)
    empty_page.take_files([file])
    qtbot.waitUntil(lambda: bool(window.strip.text()), timeout=5000)
    assert says in window.strip.text()
    assert not empty_page.importer.isVisible()


def test_a_table_on_the_clipboard_is_imported(
    qtbot: QtBot, empty_page: KitPage, idle: Callable[[], None]
) -> None:
    QApplication.clipboard().setText("Item\tQty\nApple box\t4\nWedge\t20")
    empty_page.import_clipboard()
    qtbot.waitUntil(lambda: empty_page.importer.reading is not None, timeout=5000)
    qtbot.mouseClick(empty_page.importer.import_button, Qt.MouseButton.LeftButton)
    assert [one.quantity for one in empty_page.context.claim.kit] == [4, 20]
