"""The import of a kit list: columns matched by the person, and what each row will become."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import papers
from ldapp.casework.kit_import import (
    FIELD_LABELS,
    KIT_FIELDS,
    ColumnField,
    KitListReading,
    KitRow,
    ListSource,
    import_lines,
    match_from_choices,
    match_to_remember,
    match_with_headings_in,
    read_list,
    read_with_remembered,
    with_styles,
)
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.kit_parts.import_columns import import_columns
from ldapp.desktop.pages.paper_parts.name_dialog import NameDialog
from ldapp.desktop.theme import GRID, Role, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label, Separator, primary_button
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import said, said_of

_NEW_AGREEMENT = "new"
_ALWAYS_SHOWN = frozenset({"place", "number", "description", "quantity"})


class KitImport(QWidget):
    """Shows a list before it is added: nothing is added until the person says so."""

    done = Signal(int)
    """How many lines were imported; 0 where it was cancelled."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._source: ListSource | None = None
        self.reading: KitListReading | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        self._title = Label("", TypeSize.LARGE, bold=True)
        column.addWidget(self._title)
        column.addLayout(self._choices_row())
        column.addWidget(Separator())
        column.addWidget(Label(said("Which column holds what"), bold=True))
        self._match = QWidget()
        self._match_grid = QGridLayout(self._match)
        self._match_grid.setContentsMargins(0, 0, 0, 0)
        self._match_grid.setHorizontalSpacing(GRID * 2)
        self._match_grid.setVerticalSpacing(4)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setWidget(self._match)
        area.setFixedHeight(GRID * 19)
        area.setAccessibleName(said("Which column holds what"))
        column.addWidget(area)
        self.fields: dict[ColumnField, ChoiceField] = {}
        self._make_fields()
        self._summary = Label("", wrap=True)
        column.addWidget(self._summary)
        self.model = RowsModel(
            import_columns(lambda: context.claim.currency), lambda row: row.place, parent=self
        )
        self.table = TableView(said("What each row will become"))
        self.table.setModel(self.model)
        column.addWidget(self.table, 1)
        column.addLayout(self._foot())

    def _choices_row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(GRID)
        self.agreement = ChoiceField()
        self.agreement.setMinimumContentsLength(12)
        self.header = ChoiceField(
            [
                (None, said("as found")),
                (0, said("none")),
                *((row, said("row {number}", number=row)) for row in range(1, 31)),
            ]
        )
        self.numbers = ChoiceField(
            [(None, said("as found")), ("point", "1,234.50"), ("comma", "1.234,50")]
        )
        self.dates = ChoiceField(
            [(None, said("as found")), ("day_first", "31.12.2026"), ("month_first", "12/31/2026")]
        )
        for text, field in (
            (said("&Under the agreement"), self.agreement),
            (said("Headings"), self.header),
            (said("Numbers like"), self.numbers),
            (said("Days like"), self.dates),
        ):
            label = QLabel(text)
            label.setBuddy(field)
            field.setAccessibleName(text.replace("&", ""))
            row.addWidget(label)
            row.addWidget(field)
            row.addSpacing(GRID)
        row.addStretch(1)
        self.agreement.committed.connect(self._on_agreement)
        self.header.committed.connect(self._on_header)
        self.numbers.committed.connect(self._on_match)
        self.dates.committed.connect(self._on_match)
        return row

    def _make_fields(self) -> None:
        across = 4
        for number, field in enumerate(KIT_FIELDS):
            choice = ChoiceField([(None, said("(none)"))])
            label = QLabel(said(FIELD_LABELS[field]))
            label.setProperty("muted", True)
            label.setBuddy(choice)
            choice.setAccessibleName(said("Column with: {field}", field=said(FIELD_LABELS[field])))
            choice.committed.connect(self._on_match)
            choice.setMaximumWidth(GRID * 22)
            self._match_grid.addWidget(label, number // across * 2, number % across)
            self._match_grid.addWidget(choice, number // across * 2 + 1, number % across)
            self.fields[field] = choice

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(GRID)
        self.looked_at = QCheckBox("")
        self.looked_at.toggled.connect(self._show_state)
        row.addWidget(self.looked_at)
        row.addStretch(1)
        self.cancel_button = QPushButton(said("Cancel"))
        self.cancel_button.clicked.connect(self._on_cancel)
        self.import_button = primary_button(said("Import"))
        self.import_button.clicked.connect(self._on_import)
        row.addWidget(self.cancel_button)
        row.addWidget(self.import_button)
        return row

    # --- reading ----------------------------------------------------------------------------

    def begin(self, source: ListSource) -> None:
        """Show what a list would become."""
        self._source = source
        self.reading = None
        self.looked_at.setChecked(False)
        for choice in (self.header, self.numbers, self.dates):
            choice.set_value(None)
        self._show_rows(())
        self._title.setText(said("Import {file}", file=source.name))
        self._show_agreements()
        kept = self.context.remembered(self._memory_key())

        def work(progress: Progress) -> KitListReading:
            del progress
            return read_with_remembered(source, kept)

        self.context.run(said("Looking at the list"), work, self._on_read)
        self._show_state()

    def _show_rows(self, rows: Sequence[KitRow]) -> None:
        """Show rows; a column of which the list says nothing is left out."""
        self.model.set_rows(rows)
        for number, column in enumerate(self.model.columns):
            empty = not any(column.text(row) for row in rows)
            self.table.setColumnHidden(number, empty and column.name not in _ALWAYS_SHOWN)

    def _memory_key(self) -> str:
        claim = self.context.claim
        chosen = next((one for one in claim.agreements if one.id == self.agreement.value()), None)
        name = papers.party_name(claim, chosen.lessor) if chosen else ""
        return f"kit_columns/{name.casefold()}"

    def _show_agreements(self) -> None:
        claim = self.context.claim
        self.agreement.set_choices(
            [
                *(
                    (
                        one.id,
                        papers.party_name(claim, one.lessor) or one.reference or said("Agreement"),
                    )
                    for one in claim.agreements
                ),
                (_NEW_AGREEMENT, said("New agreement…")),
            ]
        )
        if self.agreement.value() is None and claim.agreements:
            self.agreement.set_value(claim.agreements[0].id)

    @Slot(object)
    def _on_read(self, reading: KitListReading) -> None:
        self.reading = reading
        headings: list[tuple[Any, str]] = [(None, said("(none)"))]
        headings += [(heading, heading) for heading in dict.fromkeys(reading.headings)]
        for field, choice in self.fields.items():
            present = reading.columns.get(field)
            first = present[0] if isinstance(present, tuple) else present
            offered = list(headings)
            if first is not None and first not in reading.headings:
                # Two columns of one heading are told apart by their letter.
                offered.append((first, said("column {letter}", letter=first)))
            choice.set_choices(offered)
            choice.set_value(first)
        self._show_rows(reading.rows)
        self.looked_at.setChecked(False)
        self._show_state()
        if self.import_button.isEnabled():
            # Enter takes what is shown, without a way through every choice.
            self.import_button.setFocus()

    @Slot(object)
    def _on_match(self, value: object) -> None:
        del value
        source, reading = self._source, self.reading
        if source is None or reading is None:
            return
        choices = {field: choice.value() for field, choice in self.fields.items()}
        match = with_styles(
            match_from_choices(reading, choices, self.header.value()),
            self.numbers.value(),
            self.dates.value(),
        )

        def work(progress: Progress) -> KitListReading:
            del progress
            return read_list(source, match)

        self.context.run(said("Looking at the list"), work, self._on_read)

    @Slot(object)
    def _on_header(self, row: int | None) -> None:
        source = self._source
        if source is None:
            return
        match = match_with_headings_in(row)

        def work(progress: Progress) -> KitListReading:
            del progress
            return read_list(source, match)

        self.context.run(said("Looking at the list"), work, self._on_read)

    @Slot(object)
    def _on_agreement(self, value: object) -> None:
        if value == _NEW_AGREEMENT:
            claim = self.context.claim
            known = [one.name for one in claim.parties if one.role == "rental_company"]
            name = NameDialog.ask(said("New agreement"), said("&Rental company"), known, self)
            made = None
            if name:
                made = self.context.attempt(partial(papers.add_agreement, self.context.desk, name))
            self._show_agreements()
            agreements = self.context.claim.agreements
            self.agreement.set_value(made.id if made else agreements[0].id if agreements else None)
        self._show_state()

    # --- state -------------------------------------------------------------------------------

    def _has_agreement(self) -> bool:
        return self.agreement.value() in {one.id for one in self.context.claim.agreements}

    @Slot()
    def _show_state(self) -> None:
        reading = self.reading
        faults: Sequence[Any] = reading.faults if reading else ()
        of_rows = sum(len(row.faults) for row in reading.rows) if reading else 0
        general = [fault.sentence() for fault in faults[: len(faults) - of_rows]]
        confirm = sum(len(row.to_confirm) for row in reading.rows) if reading else 0
        number = len(reading.rows) if reading else 0
        role: Role | None = None
        if reading is None:
            text = said("Reading…")
        elif faults:
            says = "  ".join(general[:3])
            rows = sum(bool(row.faults) for row in reading.rows)
            if rows:
                of_rows_said = said_of(
                    rows, "{count} row cannot be taken.", "{count} rows cannot be taken."
                )
                says = f"{of_rows_said} {says}"
            text = said("! Nothing is imported while anything is wrong. {faults}", faults=says)
            role = "red"
        elif not self.context.claim.agreements:
            role = "amber"
            text = said(
                "! These lines need an agreement: choose “New agreement…” above and name the "
                "rental company."
            )
        elif not self._has_agreement():
            text, role = said("! Choose the agreement under which these lines stand."), "amber"
        else:
            text = said_of(number, "{count} line will be added.", "{count} lines will be added.")
        self._summary.setText(text)
        self._summary.set_tone(role)
        self.looked_at.setVisible(bool(confirm))
        self.looked_at.setText(
            said_of(
                confirm,
                "I have looked at the {count} point marked with “?”",
                "I have looked at the {count} points marked with “?”",
            )
        )
        ready = bool(
            reading
            and not faults
            and number
            and self._has_agreement()
            and (not confirm or self.looked_at.isChecked())
        )
        self.import_button.setText(
            said_of(number, "Import {count} line", "Import {count} lines")
            if number
            else said("Import")
        )
        self.import_button.setEnabled(ready)

    @Slot()
    def _on_cancel(self) -> None:
        self._source = self.reading = None
        self.done.emit(0)

    @Slot()
    def _on_import(self) -> None:
        reading = self.reading
        if reading is None:
            return
        agreement = self.agreement.value()
        done = self.context.attempt(partial(import_lines, self.context.desk, reading, agreement))
        if done is not None:
            # What matched is offered for this company's next list.
            self.context.remember(self._memory_key(), match_to_remember(reading.match))
            self._source = self.reading = None
            self.done.emit(done)
