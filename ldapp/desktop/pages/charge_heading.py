"""The columns that say which charge a row is about."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from ldapp.claim.charges import Charge
from ldapp.desktop.widgets.table_model import Column
from ldapp.language import marked, marked_in

RowT = TypeVar("RowT")


def charge_heading(
    charge: Callable[[RowT], Charge], *, width: int, editable: bool = False
) -> tuple[Column[RowT], Column[RowT]]:
    """Return number and description; ``width`` is the description's, in average characters."""

    def number(row: RowT) -> tuple[int, str]:
        # The ninth comes before the tenth.
        return len(charge(row).number), charge(row).number

    return (
        Column(
            name="number",
            title=marked("No."),
            text=lambda row: charge(row).number,
            key=number,
            editable=editable,
            width=4,
        ),
        Column(
            name="description",
            title=marked_in("heading of what is charged", "Charged"),
            text=lambda row: charge(row).description,
            tip=lambda row: charge(row).description,
            editable=editable,
            width=width,
        ),
    )
