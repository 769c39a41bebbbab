"""The Kit page: the equipment list as an editable table, and its import."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import kit
from ldapp.casework.kit_checks import faults_by_line
from ldapp.casework.kit_import import ListSource, open_list, open_pasted_list
from ldapp.casework.open_claim import new_id
from ldapp.casework.places import Page, Place
from ldapp.claim.kit import KitLine
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.column_memory import ColumnMemory
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.kit_import import KitImport
from ldapp.desktop.pages.kit_parts.columns import KitColumns, card_like
from ldapp.desktop.pages.kit_parts.line_details import LineDetails
from ldapp.desktop.pages.kit_parts.serial_question import confirm_serials
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import EmptyState, Label, Separator
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of


class KitPage(ClaimPage):
    """Edit, paste, undo; import with the columns matched by the person."""

    name: ClassVar[Page] = "kit"
    title: ClassVar[str] = marked("Kit")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._columns = KitColumns(context)
        self._confirmed_serials = False
        self._agreement: str | None = None
        self._faulty_only = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._stack = QStackedWidget()
        column.addWidget(self._stack)
        self._list = QWidget()
        inner = QVBoxLayout(self._list)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(0)
        inner.addLayout(self._head())
        inner.addWidget(Separator())
        self.model = RowsModel(
            self._columns.all(), lambda line: line.id, writer=self.write_cells, parent=self
        )
        self.table = TableView(said("Kit list"))
        self.table.setModel(self.model)
        self.table.setSortingEnabled(True)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.table.remove_wanted.connect(self.remove_lines)
        self.table.pasted_below.connect(self.add_pasted)
        self.table.selectionModel().currentRowChanged.connect(self._show_details)
        self._memory = ColumnMemory(self.table, context.settings, "kit")
        self.table.horizontalHeader().sectionResized.connect(self._on_columns)
        self.table.horizontalHeader().sectionMoved.connect(self._on_columns)
        self.table.horizontalHeader().sortIndicatorChanged.connect(self._on_columns)
        self.details = LineDetails(context)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.table)
        split.addWidget(self.details)
        split.setStretchFactor(0, 1)
        split.setHandleWidth(1)
        split.setSizes([GRID * 60, GRID * 20])
        inner.addWidget(split, 1)
        self._empty = EmptyState(
            said(
                "No kit list yet. It comes from the rental company as a spreadsheet or "
                "PDF; import it, or drop it here."
            ),
            said("Import a list…"),
            said("Add a line"),
        )
        self._empty.acted.connect(self.choose_file)
        self._empty.second_acted.connect(self.add_line)
        self.importer = KitImport(context)
        self.importer.done.connect(self._on_imported)
        for widget in (self._list, self._empty, self.importer):
            self._stack.addWidget(widget)
        self._make_actions()

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        row.setSpacing(GRID)
        self.search = QLineEdit()
        self.search.setObjectName("search")
        self.search.setPlaceholderText(said("Filter"))
        self.search.setAccessibleName(said("Filter the kit list"))
        self.search.setClearButtonEnabled(True)
        self.search.setMaximumWidth(GRID * 32)
        self.search.textChanged.connect(self._on_search)
        row.addWidget(self.search, 1)
        self.agreement_filter = ChoiceField()
        self.agreement_filter.setAccessibleName(said("Show only this agreement"))
        self.agreement_filter.committed.connect(self._on_agreement)
        row.addWidget(self.agreement_filter)
        self.faulty = QPushButton("")
        self.faulty.setCheckable(True)
        self.faulty.toggled.connect(self._on_faulty)
        row.addWidget(self.faulty)
        self._sum = Label("", TypeSize.SMALL, muted=True)
        row.addWidget(self._sum)
        row.addStretch(1)
        self.add_button = QPushButton(said("Add line"))
        keep_icon(self.add_button, "add")
        self.add_button.clicked.connect(self.add_line)
        self.import_button = QPushButton(said("Import a list…"))
        keep_icon(self.import_button, "import")
        self.import_button.clicked.connect(self.choose_file)
        row.addWidget(self.add_button)
        row.addWidget(self.import_button)
        return row

    def _make_actions(self) -> None:
        for text, slot, keys in (
            (said("Add a kit line"), self.add_line, "Ctrl+Return"),
            (said("Remove the selected lines"), self._remove_selected, "Ctrl+Delete"),
            (said("Import a kit list…"), self.choose_file, ""),
            (said("Import a kit list from the clipboard"), self.import_clipboard, "Ctrl+Shift+V"),
        ):
            action = QAction(text, self)
            if keys:
                action.setShortcut(keys)
                action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            action.triggered.connect(slot)
            self.addAction(action)
            self.table.addAction(action)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    # --- shown ----------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show the list as it is."""
        if not kinds & (EVERYTHING | {"kit_line", "agreement", "party", "claim"}):
            return
        claim = self.context.claim
        self._columns.take_up(claim, faults_by_line(claim))
        self.agreement_filter.set_choices(
            [(None, said("All agreements")), *self._columns.agreement_names().items()]
        )
        self.agreement_filter.setVisible(len(claim.agreements) > 1)
        if self._agreement not in {one.id for one in claim.agreements}:
            self._agreement = None
        self._show_filter()
        self.model.set_rows(claim.kit)
        if not kinds <= {"kit_line"}:
            self.model.update_all()
        if self.table.current_row() is None and self.model.rows:
            self.table.setCurrentIndex(self.model.index(0, 1))
        self._show_state()
        self._show_details()

    def _show_state(self) -> None:
        faulty = len(self._columns.faults)
        self.faulty.setText(said_of(faulty, "! {count} to look at", "! {count} to look at"))
        self.faulty.setVisible(bool(faulty) or self.faulty.isChecked())
        self.table.setColumnHidden(self.model.column_number("faults"), not faulty)
        rows = self.model.rows
        units = sum(line.quantity for line in rows)
        value = sum(
            (line.replacement_cost * line.quantity for line in rows if line.replacement_cost),
            Decimal(0),
        )
        currency = self.context.claim.currency
        counted = said(
            "{lines}, {units}",
            lines=said_of(len(rows), "{count} line", "{count} lines"),
            units=said_of(units, "{count} unit", "{count} units"),
        )
        if value:
            counted = said(
                "{lines_and_units}, {amount} {currency} new",
                lines_and_units=counted,
                amount=amount_text(value, currency),
                currency=currency,
            )
        self._sum.setText(counted)
        if self._stack.currentWidget() is not self.importer:
            self._stack.setCurrentWidget(self._list if self.context.claim.kit else self._empty)

    def show_place(self, place: Place) -> None:
        """Put the cursor on a line."""
        if place.key and self.model.row_number(place.key) < 0:
            self.search.clear()
            self.faulty.setChecked(False)
            self._on_agreement(None)
        names = [one.name for one in self.model.columns]
        column = names.index(place.field) if place.field in names else 1
        if self.table.go_to_row(place.key, column):
            self.table.setFocus()

    @Slot(str)
    def _on_search(self, text: str) -> None:
        self.model.search(text)
        self._show_state()

    @Slot(object)
    def _on_agreement(self, agreement: str | None) -> None:
        self._agreement = agreement
        self.agreement_filter.set_value(agreement)
        self._show_filter()
        self._show_state()

    @Slot(bool)
    def _on_faulty(self, faulty_only: bool) -> None:
        self._faulty_only = faulty_only
        self._show_filter()
        self._show_state()

    def _show_filter(self) -> None:
        narrowed = self._agreement is not None or self._faulty_only
        self.model.keep(self._is_wanted if narrowed else None)

    def _is_wanted(self, line: KitLine) -> bool:
        return (self._agreement is None or line.agreement == self._agreement) and (
            not self._faulty_only or line.id in self._columns.faults
        )

    @Slot()
    def _show_details(self) -> None:
        self.details.show_line(self.table.current_row())

    @Slot()
    def _on_columns(self) -> None:
        self._memory.save()

    # --- changed --------------------------------------------------------------------------

    def write_cells(self, edits: Sequence[CellEdit]) -> bool:
        """Write cells as one change; where one is refused, none is written."""
        if not self._serials_confirmed([(edit.column, edit.text) for edit in edits]):
            return False
        changed: dict[str, KitLine] = {}
        try:
            for row, column, text in edits:
                changed[row.id] = self._columns.with_text(changed.get(row.id, row), column, text)
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        lines = tuple(changed.values())
        desk = self.context.desk
        if len(lines) == 1:
            return self.context.attempt(partial(kit.put_line, desk, lines[0])) is not None
        label = said_of(len(lines), "Change {count} kit line", "Change {count} kit lines")
        return self.context.attempt(partial(kit.put_lines, desk, lines, label)) is not None

    def _serials_confirmed(self, cells: Sequence[tuple[str, str]]) -> bool:
        """Ask once whether a long serial number that could be a card number is none."""
        if self._confirmed_serials or not any(card_like(name, text) for name, text in cells):
            return True
        self._confirmed_serials = confirm_serials(self)
        return self._confirmed_serials

    @Slot()
    def add_line(self) -> None:
        """Add a line to be filled in, under the agreement that is shown."""
        agreement = self._agreement_for_new()
        if agreement is None:
            return
        made = self.context.attempt(partial(kit.add_empty_line, self.context.desk, agreement))
        if made is not None and self.table.go_to_row(made.id, 1):
            self.table.setFocus()
            self.table.edit(self.table.currentIndex())

    def _agreement_for_new(self) -> str | None:
        claim = self.context.claim
        current = self.table.current_row()
        if self._agreement is not None:
            return self._agreement
        if current is not None:
            return str(current.agreement)
        if claim.agreements:
            return claim.agreements[0].id
        self.context.refuse(
            said(
                "There is no rental agreement yet. Add one on the Papers page: every "
                "line stands under one."
            )
        )
        return None

    @Slot(object)
    def add_pasted(self, table: list[list[str]]) -> None:
        """Add the rows of a paste that lie below the list as new lines, as one change."""
        agreement = self._agreement_for_new()
        if agreement is None:
            return
        at = self.table.currentIndex()
        first = max(at.column(), 0)
        names = [one.name for one in self.model.columns]
        cells = [
            (names[first + n], text)
            for row in table
            for n, text in enumerate(row)
            if first + n < len(names)
        ]
        if not self._serials_confirmed(cells):
            return
        number = int(kit.next_number(self.context.claim, agreement))
        lines = []
        try:
            for offset, row in enumerate(table):
                line = KitLine(
                    id=new_id(),
                    number=str(number + offset),
                    agreement=agreement,
                    description=said("New line"),
                    quantity=1,
                )
                for across, text in enumerate(row):
                    if first + across < len(self.model.columns):
                        column = self.model.columns[first + across]
                        if column.editable and text.strip():
                            line = self._columns.with_text(line, column.name, text)
                lines.append(line)
        except LdappError as error:
            self.context.failed.emit(error)
            return
        label = said_of(len(lines), "Paste {count} kit line", "Paste {count} kit lines")
        self.context.attempt(partial(kit.add_lines, self.context.desk, lines, label))

    @Slot()
    def _remove_selected(self) -> None:
        self.remove_lines(self.table.selected_rows())

    @Slot(object)
    def remove_lines(self, lines: Sequence[KitLine]) -> None:
        """Remove lines that nothing refers to; undo brings them back."""
        if lines:
            ids = [line.id for line in lines]
            self.context.attempt(partial(kit.remove_lines, self.context.desk, ids))

    # --- import ---------------------------------------------------------------------------

    @Slot()
    def choose_file(self) -> None:
        """Choose a list to import."""
        path, _ = QFileDialog.getOpenFileName(
            self,
            said("Kit list"),
            "",
            said(
                "Spreadsheets, tables and PDFs (*.xlsx *.xls *.ods *.csv *.tsv *.txt "
                "*.pdf);;All files (*)"
            ),
        )
        if path:
            self.take_files([Path(path)])

    def take_files(self, paths: list[Path]) -> None:
        """Open a list and show what it would become."""
        path = paths[0]

        def work(progress: Progress) -> ListSource:
            del progress
            return open_list(path)

        self.context.run(said("Reading {file}", file=path.name), work, self._on_list)

    @Slot()
    def import_clipboard(self) -> None:
        """Show what the table on the clipboard would become."""
        text = QGuiApplication.clipboard().text()

        def work(progress: Progress) -> ListSource:
            del progress
            return open_pasted_list(text)

        self.context.run(said("Reading the clipboard"), work, self._on_list)

    @Slot(object)
    def _on_list(self, source: ListSource) -> None:
        self.importer.begin(source)
        self._stack.setCurrentWidget(self.importer)

    @Slot(int)
    def _on_imported(self, number: int) -> None:
        self._stack.setCurrentWidget(self._list)
        self._show_state()
        if number:
            self.context.message.emit(
                said_of(number, "{count} kit line imported.", "{count} kit lines imported.")
            )
