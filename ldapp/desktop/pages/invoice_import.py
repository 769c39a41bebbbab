"""An invoice from a file, looked at before it is added: columns, lines, what is wrong."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

from ldapp.casework import invoice_import as work
from ldapp.casework.edit import find
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.charge_rows import KIND_NAMES
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.pages.wide_side import WideSide
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField, SwitchField, date_field, text_field
from ldapp.desktop.widgets.pieces import Label, primary_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text, plain_number
from ldapp.language import marked, said, said_in, said_of
from ldapp.local_forms import grouped

_MANY = 3


class LineRow(NamedTuple):
    """One line as it would become a charge."""

    line: work.BilledLine
    currency: str


def _price(row: LineRow) -> str:
    return "" if row.line.unit_price is None else amount_text(row.line.unit_price, row.currency)


COLUMNS: tuple[Column[LineRow], ...] = (
    Column(name="number", title=marked("No."), text=lambda row: row.line.number, width=4),
    Column(
        name="description",
        title=marked("Charged"),
        text=lambda row: row.line.description,
        tip=lambda row: row.line.description,
        width=34,
    ),
    Column(
        name="quantity",
        title=marked("Units"),
        text=lambda row: plain_number(row.line.quantity),
        right=True,
        width=6,
    ),
    Column(name="price", title=marked("Price"), text=_price, right=True, width=10),
    Column(
        name="amount",
        title=marked("Amount"),
        text=lambda row: amount_text(row.line.amount, row.currency),
        right=True,
        width=11,
    ),
    Column(
        name="kind",
        title=marked("Kind"),
        text=lambda row: said(KIND_NAMES[row.line.kind]),
        width=13,
    ),
    Column(name="place", title=marked("Where"), text=lambda row: row.line.place, width=14),
)


def _printed(reading: work.InvoiceReading, currency: str) -> str:
    """Return the sums that the invoice prints."""
    found = []
    if reading.net is not None:
        found.append(said("net {amount}", amount=amount_text(reading.net, currency)))
    if reading.tax is not None:
        found.append(said("tax {amount}", amount=amount_text(reading.tax, currency)))
    if reading.gross is not None:
        found.append(said("total {amount}", amount=amount_text(reading.gross, currency)))
    if not found:
        return said("no sum is printed")
    if reading.tax_included:
        found.append(said("the tax within the lines"))
    return said("printed: {sums}", sums=", ".join(found))


def alike_together(sentences: Sequence[str]) -> list[str]:
    """Write sentences that say the same of many places once, with the first place.

    Up to two alike are left as they are.
    """
    page, line, row = (
        re.escape(word)
        for word in (
            said_in("place in a file", "page"),
            said_in("place in a file", "line"),
            said_in("place in a file", "row"),
        )
    )
    place = re.compile(rf"{page} \d+, [^:]*:|(?:{line}|{row}) \d+[^:]*:")
    alike: dict[str, list[str]] = {}
    for one in sentences:
        alike.setdefault(place.sub("", one), []).append(one)
    together: list[str] = []
    for same in alike.values():
        if len(same) < _MANY:
            together.extend(same)
        else:
            together.append(
                said(
                    "{sentence}; the same in {number} more places",
                    sentence=same[0].rstrip("."),
                    number=grouped(len(same) - 1),
                )
            )
    return together


class InvoiceImport(WideSide):
    """Columns at the left, the lines as they would be charges at the right."""

    closed = Signal(str)
    """The id of the invoice that was added, or nothing."""
    scanned = Signal(object, str)
    """The file that holds pictures alone, and the agreement it was meant for."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._source: work.InvoiceSource | None = None
        self._reading: work.InvoiceReading | None = None
        self._agreement = ""
        self._path = Path()
        self._title = Label("", TypeSize.LARGE, bold=True, wrap=True)
        self.facts = RecordForm()
        self.facts.add_field("number", said("Invoice &number"), text_field(characters=16))
        self.facts.add_field("dated", said("&Dated"), date_field())
        self.facts.add_field("received", said("&Received"), date_field())
        keep = SwitchField(said("&Keep it among the papers"))
        keep.set_value(True)
        self.facts.add_field("keep", said("The file"), keep)
        self.facts.refused.connect(context.message)
        self.columns = RecordForm()
        for field, label in work.OFFERED_FIELDS.items():
            self.columns.add_field(field, said(label), ChoiceField())
        self.columns.committed.connect(self._on_column)
        self.model: RowsModel[LineRow] = RowsModel(
            COLUMNS, lambda row: (row.line.place, row.line.number), parent=self
        )
        self.table = TableView(said("Lines of the invoice"))
        self.table.setModel(self.model)
        self._says = Label("", wrap=True)
        self.faults = Label("", wrap=True)
        self.faults.set_tone("amber")
        self.faults.setAccessibleName(said("What is wrong with the file"))
        self.add = primary_button(said("&Add the invoice"))
        self.cancel = QPushButton(said("&Cancel"))
        self.add.clicked.connect(self._on_add)
        self.cancel.clicked.connect(self._on_cancel)
        self._lay_out()

    def _lay_out(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(GRID * 2, 0, GRID * 2, 0)
        column.addWidget(self.facts)
        column.addWidget(Label(said("Which column holds what"), bold=True))
        column.addWidget(self.columns)
        column.addStretch(1)
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(GRID, 0, GRID * 2, 0)
        column.addWidget(self._says)
        column.addWidget(self.faults)
        column.addWidget(self.table, 1)
        split = QSplitter()
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(right)
        split.setStretchFactor(1, 1)
        split.setSizes([340, 700])
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.cancel)
        buttons.addWidget(self.add)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GRID, 0, GRID)
        column.setSpacing(GRID * 2)
        self._title.setContentsMargins(GRID * 2, 0, GRID * 2, 0)
        column.addWidget(self._title)
        column.addWidget(split, 1)
        buttons.setContentsMargins(GRID * 2, 0, GRID * 2, 0)
        column.addLayout(buttons)

    def open(self, path: Path, agreement: str) -> None:
        """Read a file, in a worker, and show what would become of it."""
        self._agreement, self._path = agreement, path
        self._source = self._reading = None
        self._title.setText(said("{name}: being read", name=path.name))
        self.model.set_rows(())
        self.add.setEnabled(False)
        kept = self._context.remembered(self._memory())

        def read(progress: Progress) -> tuple[work.InvoiceSource, work.InvoiceReading]:
            progress(0, 0, path.name)
            source = work.open_invoice_file(path)
            reading = work.read_invoice_source(source)
            match = work.remembered_invoice_match(kept, reading.headings)
            return source, work.read_invoice_source(source, match) if match else reading

        self._context.run(
            said("Reading {file}", file=path.name), read, self._on_read, self._on_not_read
        )

    def _memory(self) -> str:
        agreement = find(self._context.claim.agreements, self._agreement)
        party = find(self._context.claim.parties, agreement.lessor if agreement else None)
        return f"invoice columns of {party.name if party else ''}"

    @Slot(object)
    def _on_read(self, outcome: tuple[work.InvoiceSource, work.InvoiceReading]) -> None:
        self._source, reading = outcome
        self._title.setText(self._source.path.name)
        self.facts.show_values({"number": reading.number or None, "dated": reading.dated})
        self._show(reading)

    @Slot(object)
    def _on_not_read(self, error: BaseException) -> None:
        self.closed.emit("")
        if isinstance(error, work.NoTextError):
            self.scanned.emit(self._path, self._agreement)

    def _show(self, reading: work.InvoiceReading) -> None:
        self._reading = reading
        headings = [(None, said("in no column")), *((one, one) for one in reading.headings)]
        for field in work.OFFERED_FIELDS:
            choice = self.columns.fields[field]
            assert isinstance(choice, ChoiceField)
            choice.set_choices(headings)
            name = reading.columns.get(field)
            choice.set_value(name[0] if isinstance(name, tuple) else name)
        currency = self._context.claim.currency
        self.model.set_rows(LineRow(one, currency) for one in reading.lines)
        total = sum((one.amount for one in reading.lines), Decimal(0))
        self._says.setText(
            said_of(
                len(reading.lines),
                "{count} line, together {amount} {currency}; {printed}",
                "{count} lines, together {amount} {currency}; {printed}",
                amount=amount_text(total, currency) if reading.lines else "0",
                currency=reading.currency or currency,
                printed=_printed(reading, currency),
            )
        )
        foreign = work.foreign_currency(self._context.claim, reading.currency, reading.number)
        faults = [foreign] if foreign else []
        faults += [fault.sentence() for fault in (*reading.faults, *reading.wrong_sums)]
        faults += [said("To look at: {point}", point=one) for one in reading.to_confirm]
        faults = alike_together(faults)
        shown = [f"⚠ {one}" for one in faults[:8]]
        if len(faults) > 8:
            shown.append(said("… and {number} more", number=grouped(len(faults) - 8)))
        self.faults.setText("\n".join(shown))
        self.faults.setVisible(bool(faults))
        self.add.setEnabled(bool(reading.lines) and not reading.faults and not foreign)

    @Slot(str, object)
    def _on_column(self, name: str, value: object) -> None:
        del name, value
        source, reading = self._source, self._reading
        if source is None or reading is None:
            return
        match = self._match(reading)

        def read(progress: Progress) -> work.InvoiceReading:
            del progress
            return work.read_invoice_source(source, match)

        job = self._context.jobs.run(said("Reading the columns"), read, self._on_read_again)
        job.failed.connect(self._context.failed)

    def _match(self, reading: work.InvoiceReading) -> work.ColumnMatch:
        choices: dict[work.ColumnField, str | None] = {}
        for field in work.OFFERED_FIELDS:
            chosen = self.columns.fields[field].value()
            choices[field] = chosen if isinstance(chosen, str) else None
        return work.match_from_choices(reading, choices)

    @Slot(object)
    def _on_read_again(self, reading: work.InvoiceReading) -> None:
        self._show(reading)

    @Slot()
    def _on_add(self) -> None:
        reading, source = self._reading, self._source
        if reading is None or source is None:
            return
        number = str(self.facts.fields["number"].value() or "")
        dated, received = self.facts.fields["dated"].value(), self.facts.fields["received"].value()
        self._context.remember(self._memory(), work.match_as_kept(self._match(reading)))
        desk, agreement = self._context.desk, self._agreement
        keeper = self._context.keeper if self.facts.fields["keep"].value() else None

        def add(progress: Progress) -> str:
            progress(0, 0, source.path.name)
            invoice = work.add_read_invoice(
                desk,
                reading,
                agreement,
                number=number,
                dated=dated if isinstance(dated, dt.date) else None,
                received=received if isinstance(received, dt.date) else None,
                paper=(keeper, source.path) if keeper is not None else None,
            )
            return invoice.id

        self.add.setEnabled(False)
        self._context.run(said("Adding the invoice"), add, self._on_added, self._on_not_added)

    @Slot(object)
    def _on_added(self, invoice: str) -> None:
        self.closed.emit(invoice)

    @Slot(object)
    def _on_not_added(self, error: BaseException) -> None:
        del error
        self.add.setEnabled(True)

    @Slot()
    def _on_cancel(self) -> None:
        self.closed.emit("")
