from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from ldapp.desktop.widgets.amount_column import amount_column
from ldapp.desktop.widgets.table_model import Column, RowsModel


class Owed(NamedTuple):
    amount: Decimal | None
    currency: str


AMOUNT: Column[Owed] = amount_column("owed", "Owed", lambda row: row.amount, width=9)


def test_an_amount_is_shown_in_the_rows_currency_and_edited_as_a_plain_number() -> None:
    assert AMOUNT.edit_text is not None
    dollars, yen = Owed(Decimal("1200.5"), "USD"), Owed(Decimal(1200), "JPY")
    assert (AMOUNT.text(dollars), AMOUNT.text(yen)) == ("1,200.50", "1,200")
    assert AMOUNT.edit_text(dollars) == "1200.5"


def test_nothing_is_shown_where_there_is_no_amount() -> None:
    assert AMOUNT.edit_text is not None
    none = Owed(None, "USD")
    assert (AMOUNT.text(none), AMOUNT.edit_text(none)) == ("", "")


def test_amounts_are_in_order_of_size_and_not_of_their_digits(qapp: object) -> None:
    del qapp
    model: RowsModel[Owed] = RowsModel((AMOUNT,), lambda row: row.amount)
    amounts = [Decimal(1000), None, Decimal(90), Decimal(-5)]
    model.set_rows([Owed(one, "USD") for one in amounts])
    model.sort(0)
    assert [row.amount for row in model.rows] == [Decimal(-5), Decimal(90), Decimal(1000), None]
