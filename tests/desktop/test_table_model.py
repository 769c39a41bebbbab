from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import QItemSelectionModel, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.desktop.theme import apply_theme
from ldapp.desktop.widgets.table_model import ROW_ROLE, CellEdit, Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView


@dataclass(frozen=True)
class Item:
    key: int
    name: str
    amount: Decimal | None = None
    day: dt.date | None = None


COLUMNS: tuple[Column[Item], ...] = (
    Column(name="name", title="Name", text=lambda one: one.name, editable=True),
    Column(
        name="amount",
        title="Amount",
        text=lambda one: "" if one.amount is None else str(one.amount),
        key=lambda one: one.amount,
        right=True,
    ),
    Column(name="day", title="Day", text=lambda one: str(one.day or ""), key=lambda one: one.day),
)


@pytest.fixture
def written() -> list[CellEdit]:
    return []


@pytest.fixture
def model(qapp: QApplication, written: list[CellEdit]) -> RowsModel[Item]:
    apply_theme(qapp)

    def write(edits: Sequence[CellEdit]) -> bool:
        written.extend(edits)
        return True

    model: RowsModel[Item] = RowsModel(COLUMNS, lambda one: one.key, writer=write)
    model.set_rows(items(12))
    return model


def items(number: int) -> list[Item]:
    return [
        Item(
            key,
            f"item {key}",
            None if key % 5 == 0 else Decimal(5_000_000_000 if key % 3 else key),
            dt.date(2026, 1, 1 + key % 9),
        )
        for key in range(number)
    ]


def names(model: RowsModel[Item]) -> list[str]:
    return [row.name for row in model.rows]


def test_it_holds_to_qts_rules(model: RowsModel[Item], qtmodeltester: Any) -> None:
    qtmodeltester.check(model)
    model.set_rows(items(12)[3:9])
    qtmodeltester.check(model)
    model.set_rows([*items(3), Item(99, "new"), *items(12)[3:]])
    qtmodeltester.check(model)
    model.sort(1, Qt.SortOrder.DescendingOrder)
    qtmodeltester.check(model)
    model.search("item 1")
    qtmodeltester.check(model)


def test_decimals_above_two_to_the_31_and_days_are_ordered_rightly(
    model: RowsModel[Item],
) -> None:
    model.sort(1)
    amounts = [row.amount for row in model.rows]
    present = [one for one in amounts if one is not None]
    assert present == sorted(present)
    assert amounts[-3:] == [None, None, None]
    model.sort(2, Qt.SortOrder.DescendingOrder)
    days = [row.day for row in model.rows]
    assert days == sorted(days, reverse=True)


def test_rows_that_stay_keep_their_persistent_indexes(model: RowsModel[Item]) -> None:
    kept = QPersistentModelIndex(model.index(4, 0))
    gone = QPersistentModelIndex(model.index(2, 0))
    model.set_rows([one for one in items(12) if one.key != 2])
    assert kept.data(ROW_ROLE).key == 4
    assert not gone.isValid()
    model.sort(0, Qt.SortOrder.DescendingOrder)
    assert kept.data(ROW_ROLE).key == 4


def test_only_what_changed_is_announced(model: RowsModel[Item], qtbot: QtBot) -> None:
    rows = items(12)
    rows[5] = replace(rows[5], name="other")
    resets: list[int] = []
    model.modelReset.connect(lambda: resets.append(1))
    with qtbot.waitSignal(model.dataChanged, timeout=1000) as blocker:
        model.set_rows(rows)
    first, last = blocker.args[0], blocker.args[1]
    assert (first.row(), last.row()) == (5, 5)
    assert resets == []


def test_search_finds_every_word_in_any_column(model: RowsModel[Item]) -> None:
    model.search("item 2026-01-03")
    assert names(model) == ["item 2", "item 11"]
    model.search("")
    assert len(names(model)) == 12


def test_a_paste_writes_only_editable_cells(
    qtbot: QtBot, model: RowsModel[Item], written: list[CellEdit]
) -> None:
    table = TableView("Items")
    qtbot.addWidget(table)
    table.setModel(model)
    table.setCurrentIndex(model.index(10, 0))
    below: list[Any] = []
    table.pasted_below.connect(below.append)
    table.paste_text("one\t1\ntwo\t2\nthree\t3\n")
    assert [(one.row.key, one.column, one.text) for one in written] == [
        (10, "name", "one"),
        (11, "name", "two"),
    ]
    assert below == [[["three", "3"]]]


def test_one_value_fills_the_whole_selection(
    qtbot: QtBot, model: RowsModel[Item], written: list[CellEdit]
) -> None:
    table = TableView("Items")
    qtbot.addWidget(table)
    table.setModel(model)
    for row in (1, 3, 4):
        table.selectionModel().select(model.index(row, 0), QItemSelectionModel.SelectionFlag.Select)
    table.paste_text("same")
    assert {one.row.key for one in written} == {1, 3, 4}
    assert {one.text for one in written} == {"same"}


def test_copied_cells_are_a_table_of_text(model: RowsModel[Item]) -> None:
    text = model.copied([model.index(1, 0), model.index(1, 1), model.index(2, 0)])
    assert text == "item 1\t5000000000\nitem 2\t"


def test_a_cell_says_its_column_to_a_screen_reader(model: RowsModel[Item]) -> None:
    said = model.index(0, 1).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said == "Amount: empty"
