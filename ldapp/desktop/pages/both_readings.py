"""The rental company's reading of each charge and ours, side by side, from the same facts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from PySide6.QtCore import QModelIndex, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QAbstractItemView, QSplitter, QVBoxLayout, QWidget

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.desktop.pages.charge_heading import charge_heading
from ldapp.desktop.pages.said import NOT_YET
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import marked, said
from ldapp.local_forms import local_number
from ldapp.reckoning.figures import number_text
from ldapp.reckoning.money import minor_digits, round_half_up
from ldapp.reckoning.result import ChargeResult, LossOfUseReading, Reckoning

_LACKING = marked("Lacking")


class ReadingRow(NamedTuple):
    """One charge as both sides read it; amounts in the claim's currency."""

    charge: Charge
    result: ChargeResult
    currency: str


class ElementRow(NamedTuple):
    """One element of a loss of use as both sides read it."""

    name: str
    theirs: str
    ours: str

    @property
    def differs(self) -> bool:
        """Whether the two sides read it differently."""
        return self.theirs != self.ours


def _money(row: ReadingRow, amount: Decimal | None) -> str:
    return said(NOT_YET) if amount is None else amount_text(amount, row.currency)


def _column(name: str, title: str, tip: str, width: int = 10) -> Column[ReadingRow]:
    def amount(row: ReadingRow) -> Decimal | None:
        result = row.result
        amounts = {
            "billed": result.billed,
            "ours": result.our_reading,
            "owed": result.owed,
            "strong": result.strong.owed,
            "between": result.disputed,
        }
        return amounts[name]

    return Column(
        name=name,
        title=title,
        text=lambda row: "–" if amount(row) is None else _money(row, amount(row)),
        key=amount,
        tip=lambda row: f"{said(tip)}: {said(NOT_YET)}" if amount(row) is None else said(tip),
        right=True,
        width=width,
    )


READING_COLUMNS: tuple[Column[ReadingRow], ...] = (
    *charge_heading(lambda row: row.charge, width=22),
    _column("billed", marked("Theirs"), marked("As billed")),
    _column(
        "ours", marked("Ours"), marked("What facts and terms come to, whichever grounds are on")
    ),
    _column("owed", marked("Owed, all"), marked("With all grounds that are switched on")),
    _column("strong", marked("Owed, strong"), marked("With the strong grounds alone"), 11),
    _column("between", marked("Disputed"), marked("Theirs less what is owed with all grounds")),
)
ELEMENT_COLUMNS: tuple[Column[ElementRow], ...] = (
    Column(
        name="name",
        title=marked("Loss of use"),
        text=lambda row: f"{row.name}  ≠" if row.differs else row.name,
        tip=lambda row: said("The two sides differ here") if row.differs else "",
        width=30,
    ),
    Column(name="theirs", title=marked("Theirs, as billed"), text=lambda row: row.theirs, width=24),
    Column(name="ours", title=marked("Ours, by the terms"), text=lambda row: row.ours, width=24),
)


def reading_rows(claim: Claim, reckoning: Reckoning) -> list[ReadingRow]:
    """Return every charge that is reckoned, in the order of the invoices."""
    charges = {
        (invoice.id, charge.id): charge for invoice in claim.invoices for charge in invoice.charges
    }
    return [
        ReadingRow(charges[one.invoice, one.charge], one, claim.currency)
        for one in reckoning.charges
        if (one.invoice, one.charge) in charges
    ]


def element_rows(row: ReadingRow) -> list[ElementRow]:
    """Return days, rate and caps of a loss of use as both sides read them."""
    readings = row.result.loss_of_use
    if readings is None:
        return []
    pairs = zip(_elements(row, readings.lessor), _elements(row, readings.renter), strict=True)
    rows = [ElementRow(name, theirs, ours) for (name, theirs), (_, ours) in pairs]
    lacking = readings.lessor.lacking or readings.renter.lacking
    return rows if lacking else [one for one in rows if one.name != said(_LACKING)]


def _elements(row: ReadingRow, one: LossOfUseReading) -> Iterator[tuple[str, str]]:
    digits = minor_digits(row.currency)
    rate = None if one.rate is None else round_half_up(one.rate, digits)
    yield said("Days out of service"), _number(one.days)
    yield said("Days charged of these"), _number(one.billed_days)
    yield said("Rate for one unit and day"), _money(row, rate)
    yield said("At most, in days"), _number(one.cap_days, said("no cap"))
    yield said("At most, in money"), said("no cap") if one.cap is None else _money(row, one.cap)
    yield said("Amount"), _money(row, one.amount)
    yield said(_LACKING), "; ".join(one.lacking) or said("nothing")


def _number(number: Fraction | None, none: str = "") -> str:
    return none or said(NOT_YET) if number is None else local_number(number_text(number))


def totals_text(rows: Sequence[ReadingRow], currency: str) -> str:
    """Say both totals beside what is billed."""

    def total(amounts: Iterator[Decimal]) -> str:
        return amount_text(sum(amounts, Decimal(0)), currency)

    return said(
        "Theirs {billed}   ·   owed with all grounds {owed}, with the strong "
        "ones alone {strong} {currency}",
        billed=total(row.result.billed for row in rows),
        owed=total(row.result.owed for row in rows),
        strong=total(row.result.strong.owed for row in rows),
        currency=currency,
    )


class BothReadings(QWidget):
    """Charges above; days, rate and caps of a loss of use below."""

    working_asked = Signal(str)
    """The id of a charge whose working is wanted."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: RowsModel[ReadingRow] = RowsModel(
            READING_COLUMNS, lambda row: (row.result.invoice, row.result.charge), parent=self
        )
        self.table = TableView(said("Both readings, charge by charge"))
        self.table.setModel(self.rows)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSortingEnabled(True)
        self.elements: RowsModel[ElementRow] = RowsModel(
            ELEMENT_COLUMNS, lambda row: row.name, parent=self
        )
        self.element_table = TableView(said("Both readings of the chosen loss of use"))
        self.element_table.setModel(self.elements)
        self.element_table.setMinimumHeight(GRID * 28)
        self.totals = Label("", bold=True, wrap=True)
        self.hint = Label("", muted=True, wrap=True)
        split = QSplitter(Qt.Orientation.Vertical)
        split.setChildrenCollapsible(False)
        split.addWidget(self.table)
        split.addWidget(self.element_table)
        split.setStretchFactor(0, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, 0, GRID * 2, GRID)
        column.setSpacing(GRID)
        column.addWidget(self.totals)
        column.addWidget(split, 1)
        column.addWidget(self.hint)
        self.table.selectionModel().currentRowChanged.connect(self._on_row)
        self.table.opened.connect(self._on_opened)

    def show_readings(self, claim: Claim, rows: Sequence[ReadingRow]) -> None:
        """Show charges as both sides read them."""
        self.rows.set_rows(rows)
        self.totals.setText(totals_text(rows, claim.currency) if rows else "")
        self._show_elements(self.table.currentIndex())

    @Slot(QModelIndex, QModelIndex)
    def _on_row(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        self._show_elements(current)

    def _show_elements(self, index: QModelIndex) -> None:
        row = self.rows.row_at(index)
        elements = element_rows(row) if row is not None else []
        self.elements.set_rows(elements)
        self.element_table.setVisible(bool(elements))
        if elements:
            # The table has just become lower: what was chosen stays in sight.
            QTimer.singleShot(0, self._keep_in_sight)
        several = any(one.result.loss_of_use is not None for one in self.rows.all_rows)
        if not self.rows.rowCount():
            self.hint.setText(said("No charge has been entered yet."))
        elif elements:
            self.hint.setText(
                said("≠ marks where the two sides differ. Enter goes to the working.")
            )
        elif several:
            self.hint.setText(
                said(
                    "Choose a loss of use to see its days, rate and caps as both sides read "
                    "them. Enter goes to the working of a charge."
                )
            )
        else:
            self.hint.setText(said("Enter goes to the working of a charge."))

    @Slot()
    def _keep_in_sight(self) -> None:
        self.table.scrollTo(self.table.currentIndex())

    @Slot(object)
    def _on_opened(self, row: ReadingRow | None) -> None:
        if row is not None:
            self.working_asked.emit(row.result.charge)
