"""A table's column of amounts, in the currency of each row."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Protocol, TypeVar

from ldapp.desktop.widgets.table_model import Column
from ldapp.desktop.widgets.values import amount_text, plain_number
from ldapp.language import said


class InCurrency(Protocol):
    """A row whose amounts are in one currency."""

    @property
    def currency(self) -> str:
        """The currency's code."""
        ...


RowT = TypeVar("RowT", bound=InCurrency)


def amount_column(
    name: str,
    title: str,
    amount: Callable[[RowT], Decimal | None],
    *,
    width: int,
    tip: str = "",
    editable: bool = False,
) -> Column[RowT]:
    """Return a column that shows an amount, nothing where there is none, in order of size.

    Title and tip may be ``marked`` in a constant: they are said when they are shown.
    """

    def text(row: RowT) -> str:
        shown = amount(row)
        return "" if shown is None else amount_text(shown, row.currency)

    def edit_text(row: RowT) -> str:
        shown = amount(row)
        return "" if shown is None else plain_number(shown)

    return Column(
        name=name,
        title=title,
        text=text,
        key=amount,
        edit_text=edit_text,
        tip=lambda row: said(tip),
        editable=editable,
        right=True,
        width=width,
    )
