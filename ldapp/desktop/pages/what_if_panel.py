"""What the reckoning would be under another deductible, basis or life; the claim stays as it is."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple, cast

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework.reckoning import what_if
from ldapp.claim.terms import ValueBasis
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.paper_parts.words import BASES
from ldapp.desktop.pages.record_form import RecordForm, number_field
from ldapp.desktop.pages.said import money_or_not_yet
from ldapp.desktop.pages.wide_side import WideSide
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField, money_field, whole_field
from ldapp.desktop.widgets.pieces import Label, icon_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import marked, said
from ldapp.reckoning.result import Reckoning

# A share would need its figure too, and a replacement in kind is worth its replacement cost.
_NOT_TRIED: frozenset[ValueBasis] = frozenset({"share_of_replacement", "in_kind"})


class WhatIfRow(NamedTuple):
    """One total as it is and as it would be."""

    name: str
    now: Decimal | None
    then: Decimal | None
    currency: str


def _bases_to_try() -> list[tuple[ValueBasis | None, str]]:
    return [
        (None, said("as in the agreement")),
        *((basis, said(name)) for basis, name in BASES if basis not in _NOT_TRIED),
    ]


def _difference(row: WhatIfRow) -> str:
    if row.now is None or row.then is None:
        return ""
    by = row.then - row.now
    return ("+" if by > 0 else "") + amount_text(by, row.currency) if by else said("the same")


COLUMNS: tuple[Column[WhatIfRow], ...] = (
    Column(name="name", title=marked("Total"), text=lambda row: row.name, width=16),
    Column(
        name="now",
        title=marked("As it is"),
        text=lambda row: money_or_not_yet(row.now, row.currency),
        right=True,
        width=10,
    ),
    Column(
        name="then",
        title=marked("As it might be"),
        text=lambda row: money_or_not_yet(row.then, row.currency),
        right=True,
        width=11,
    ),
    Column(name="by", title=marked("Difference"), text=_difference, right=True, width=9),
)


def compared(now: Reckoning, then: Reckoning) -> list[WhatIfRow]:
    """Return the totals of both reckonings beside each other."""
    before, after = now.totals, then.totals
    return [
        WhatIfRow(name, getattr(before, one), getattr(after, one), now.currency)
        for name, one in (
            (said("Owed"), "loss"),
            (said("Disputed"), "disputed"),
            (said("Damage waiver pays"), "waiver"),
            (said("Policy pays"), "policy"),
            (said("Held back"), "held_back"),
            (said("Left to bear"), "renter"),
        )
    ]


class WhatIfPanel(WideSide):
    """Enter another term and see each total beside what it is now."""

    closed = Signal()

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._asked = 0
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        column.setSpacing(GRID)
        top = QHBoxLayout()
        top.addWidget(Label(said("What if"), TypeSize.LARGE, bold=True), 1)
        close = icon_button("close", said("Close what if"))
        close.clicked.connect(self._close)
        top.addWidget(close)
        column.addLayout(top)
        column.addWidget(Label(said("Nothing here changes the claim."), muted=True, wrap=True))
        self.form = RecordForm()
        self.form.add_field(
            "deductible",
            said("&Deductible"),
            money_field(lambda: context.claim.currency),
            said("Per occurrence, flat."),
        )
        self.form.add_field("basis", said("&Basis of value"), ChoiceField(_bases_to_try()))
        self.form.add_field(
            "life", said("Life in &months"), whole_field(least=1), said("Straight line.")
        )
        self.form.add_field(
            "residual",
            said("Residual, &percent"),
            number_field(),
            said("Used with a life."),
        )
        self.form.fields["basis"].set_value(None)
        cast("ChoiceField", self.form.fields["basis"]).setCurrentIndex(0)
        self.form.committed.connect(self._on_committed)
        self.form.refused.connect(context.message)
        column.addWidget(self.form)
        self.model: RowsModel[WhatIfRow] = RowsModel(COLUMNS, lambda row: row.name, parent=self)
        self.table = TableView(said("What the totals would be"))
        self.table.setModel(self.model)
        self.table.setFixedHeight(30 * 7 + 24)
        column.addWidget(self.table)
        self.clear = QPushButton(said("C&lear"))
        self.clear.clicked.connect(self._on_clear)
        column.addWidget(self.clear)
        column.addStretch(1)

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        del name, value
        self.refresh()

    @Slot()
    def _on_clear(self) -> None:
        self.form.show_values({"deductible": None, "life": None, "residual": None})
        cast("ChoiceField", self.form.fields["basis"]).setCurrentIndex(0)
        self.refresh()

    @Slot()
    def _close(self) -> None:
        self.hide()
        self.closed.emit()

    def refresh(self) -> None:
        """Reckon with what was entered."""
        now = self._context.reckoning
        if now is None:
            return
        fields = self.form.fields
        deductible = cast("Decimal | None", fields["deductible"].value())
        basis = cast("ValueBasis | None", fields["basis"].value())
        life = cast("int | None", fields["life"].value())
        residual = cast("Decimal | None", fields["residual"].value())
        claim = self._context.claim
        self._asked += 1
        asked = self._asked

        def reckon(progress: Progress) -> tuple[int, list[WhatIfRow]]:
            del progress
            then = what_if(
                claim,
                deductible=deductible,
                basis=basis,
                life_months=life,
                residual_percent=residual,
                as_of=now.as_of,
            )
            return asked, compared(now, then)

        job = self._context.jobs.run("What if", reckon, self._on_reckoned)
        job.failed.connect(self._context.failed)

    @Slot(object)
    def _on_reckoned(self, outcome: tuple[int, list[WhatIfRow]]) -> None:
        asked, rows = outcome
        if asked == self._asked:
            self.model.set_rows(rows)
