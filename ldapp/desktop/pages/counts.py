"""The Counts page: kit lines down, counts across."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import ClassVar

from PySide6.QtCore import Qt, QTimer, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import counts
from ldapp.casework.count_sheet import SheetRow, count_sheet, counts_in_order
from ldapp.casework.edit import find
from ldapp.casework.places import Page, Place
from ldapp.claim.counts import Count
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.counter_view import CounterView
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.count_parts.count_details import CountDetails
from ldapp.desktop.pages.count_parts.damage_dialog import DamageDialog, SerialsDialog
from ldapp.desktop.pages.count_parts.line_entry import LineEntry
from ldapp.desktop.pages.count_parts.movements import Movements
from ldapp.desktop.pages.count_parts.new_count_dialog import NewCountDialog
from ldapp.desktop.pages.count_parts.sheet import SheetView, count_title, sheet_columns
from ldapp.desktop.pages.count_parts.signed_change import change_count
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import EmptyState, Separator
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel
from ldapp.desktop.widgets.values import parse_whole
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of
from ldapp.local_forms import grouped

_KINDS = frozenset({"count", "count_entry", "movement", "kit_line", "document", "claim"})


class CountsPage(ClaimPage):
    """The sheet, with what is said of the count and the line under the cursor below it."""

    name: ClassVar[Page] = "counts"
    title: ClassVar[str] = marked("Counts")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._rows: tuple[SheetRow, ...] = ()
        self._counts: tuple[Count, ...] = ()
        self._last_count: str | None = None
        """Whose column had the cursor last: it stays below while the cursor is on a line."""
        self._location: str | None = None
        self._differences_only = False
        self.counter_view: CounterView | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._head())
        column.addWidget(Separator())
        self._stack = QStackedWidget()
        column.addWidget(self._stack, 1)
        self.model = RowsModel(
            sheet_columns(()), lambda row: row.line.id, writer=self.write_cells, parent=self
        )
        self.table = SheetView()
        self.table.setModel(self.model)
        self.table.setSortingEnabled(True)
        self.table.damage_wanted.connect(self.enter_damage)
        self.table.serials_wanted.connect(self.enter_serials)
        self.table.as_expected_wanted.connect(self.enter_as_expected)
        self.table.selectionModel().currentChanged.connect(self._show_below)
        self.below = QTabWidget()
        self.below.setDocumentMode(True)
        self.below.setAccessibleName(said("Details of the count and the line"))
        self.below.tabBar().setAccessibleName(said("Details"))
        self.details = CountDetails(context)
        self.details.counter_wanted.connect(self.open_counter_view)
        self.details.sign_wanted.connect(self.sign_count)
        self.entry = LineEntry(context)
        self.entry.damage_wanted.connect(self.enter_damage)
        self.entry.serials_wanted.connect(self.enter_serials)
        self.movements = Movements(context)
        below: tuple[tuple[QWidget, str], ...] = (
            (self.details, said("This count")),
            (self.entry, said("This line")),
            (self.movements, said("Movements")),
        )
        for widget, title in below:
            self.below.addTab(widget, title)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.table)
        split.addWidget(self.below)
        split.setStretchFactor(0, 1)
        split.setHandleWidth(1)
        split.setSizes([GRID * 52, GRID * 34])
        self._no_counts = EmptyState(
            said(
                "No counts yet. The pickup count decides what was received: without it "
                "the list stands as written."
            ),
            said("Begin a count…"),
        )
        self._no_counts.acted.connect(self.add_count)
        self._no_kit = EmptyState(
            said("There is nothing to count yet: the kit list comes first."), said("Go to the kit")
        )
        self._no_kit.acted.connect(self._go_to_kit)
        for shown in (split, self._no_counts, self._no_kit):
            self._stack.addWidget(shown)
        self._make_actions()

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        row.setSpacing(GRID)
        self.search = QLineEdit()
        self.search.setObjectName("search")
        self.search.setPlaceholderText(said("Filter"))
        self.search.setAccessibleName(said("Filter the count sheet"))
        self.search.setClearButtonEnabled(True)
        self.search.setMaximumWidth(GRID * 28)
        self.search.textChanged.connect(self._on_search)
        row.addWidget(self.search, 1)
        self.location_filter = ChoiceField()
        self.location_filter.setAccessibleName(said("Show only this place"))
        self.location_filter.setMaximumWidth(GRID * 30)
        self.location_filter.committed.connect(self._on_location)
        row.addWidget(self.location_filter)
        self.differences = QPushButton(said("Differences only"))
        self.differences.setCheckable(True)
        self.differences.toggled.connect(self._on_differences)
        row.addWidget(self.differences)
        row.addStretch(1)
        self.counter_button = QPushButton(said("Counter view"))
        keep_icon(self.counter_button, "counter")
        self.counter_button.clicked.connect(self._on_counter)
        row.addWidget(self.counter_button)
        self.add_button = QPushButton(said("Begin a count…"))
        keep_icon(self.add_button, "add")
        self.add_button.clicked.connect(self.add_count)
        row.addWidget(self.add_button)
        return row

    def _make_actions(self) -> None:
        for text, slot in (
            (said("Begin a count…"), self.add_count),
            (said("Counter view of this count"), self._on_counter),
            (said("Enter damage for this line (D)"), self.enter_damage),
            (said("Enter serial numbers seen (S)"), self.enter_serials),
            (said("Enter as expected (=)"), self.enter_as_expected),
        ):
            action = QAction(text, self)
            action.triggered.connect(slot)
            self.addAction(action)
            self.table.addAction(action)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    # --- shown ----------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show the sheet as it is."""
        if not kinds & (EVERYTHING | _KINDS):
            return
        claim = self.context.claim
        self._rows = count_sheet(claim)
        self._counts = counts_in_order(claim)
        self._show_columns()
        self._show_locations()
        self.model.set_rows(self._rows)
        self.movements.refresh()
        self.below.setTabText(
            2,
            said("Movements ({number})", number=grouped(len(claim.movements)))
            if claim.movements
            else said("Movements"),
        )
        self._stack.setCurrentIndex(2 if not claim.kit else 1 if not claim.counts else 0)
        self.counter_button.setEnabled(bool(claim.kit and claim.counts))
        self.add_button.setEnabled(bool(claim.kit))
        if self.table.current_count() is None and self._counts and self._rows:
            self._go_to_last_count()
        self._show_below()

    def _show_columns(self) -> None:
        wanted = sheet_columns(self._counts)
        shown = [(one.name, one.heading) for one in self.model.columns]
        if shown == [(one.name, one.heading) for one in wanted]:
            return
        at = self.table.current_row()
        count = self.table.current_count()
        self.model.set_columns(wanted)
        self.table.fit_columns()
        if at is not None and count in [one.name for one in wanted]:
            self.table.go_to_row(at.line.id, self.model.column_number(str(count)))

    def _go_to_last_count(self) -> None:
        own = [count.id for count in self._counts if count.stage != "check_in"]
        name = own[-1] if own else self._counts[-1].id
        index = self.model.index(0, self.model.column_number(name))
        if index.isValid():
            self.table.setCurrentIndex(index)
            # Widths are known only once the sheet has been laid out.
            QTimer.singleShot(0, self._scroll_to_cursor)

    @Slot()
    def _scroll_to_cursor(self) -> None:
        self.table.scrollTo(self.table.currentIndex())

    def _show_locations(self) -> None:
        places: dict[str, list[int]] = {}
        for row in self._rows:
            places.setdefault(row.line.location, []).append(row.line.quantity)
        choices: list[tuple[str | None, str]] = [(None, said("Everywhere"))]
        for place, quantities in places.items():
            lines = said_of(len(quantities), "{count} line", "{count} lines")
            units = said_of(sum(quantities), "{count} unit", "{count} units")
            named = place or said("(no place)")
            choices.append((place, f"{named}: {lines}, {units}"))
        self.location_filter.set_choices(choices)
        self.location_filter.setVisible(len(places) > 1)

    @Slot()
    def _show_below(self) -> None:
        counted = find(self.context.claim.counts, self.table.current_count())
        row: SheetRow | None = self.table.current_row()
        line = row.line if row is not None else None
        self.entry.show_entry(counted, line)
        self.movements.show_line(line)
        count = counted or find(self.context.claim.counts, self._last_count)
        self._last_count = count.id if count else None
        self.details.show_count(count, self._rows)
        self.below.setTabText(0, count_title(count) if count else said("This count"))
        self.below.setTabText(
            1, said("Line {number}", number=line.number) if line else said("This line")
        )

    def show_place(self, place: Place) -> None:
        """Put the cursor on a count or a line of one."""
        names = [one.name for one in self.model.columns]
        if place.kind == "movement":
            self.below.setCurrentWidget(self.movements)
            self.movements.table.go_to_row(place.key)
            return
        if place.kind == "kit_line":
            self.table.go_to_row(place.key, len(names) - 1)
            self.table.setFocus()
            return
        if place.key in names:
            self.table.setCurrentIndex(self.model.index(0, names.index(place.key)))
            self.table.setFocus()
            if place.field:
                self.below.setCurrentWidget(self.details)
                self.details.focus_field(place.field)

    @Slot(str)
    def _on_search(self, text: str) -> None:
        self.model.search(text)

    @Slot(object)
    def _on_location(self, location: str | None) -> None:
        self._location = location
        self._filter()

    @Slot(bool)
    def _on_differences(self, differences_only: bool) -> None:
        self._differences_only = differences_only
        self._filter()

    def _filter(self) -> None:
        narrowed = self._location is not None or self._differences_only
        self.model.keep(self._is_wanted if narrowed else None)

    def _is_wanted(self, row: SheetRow) -> bool:
        if self._location is not None and row.line.location != self._location:
            return False
        return not self._differences_only or any(
            cell.difference or cell.condition in ("damaged", "not_working", "damaged_before")
            for cell in row.cells.values()
            if not cell.hidden
        )

    # --- entered --------------------------------------------------------------------------

    def write_cells(self, edits: Sequence[CellEdit]) -> bool:
        """Enter numbers; each count's numbers are one change."""
        by_count: dict[str, dict[str, int | None]] = {}
        try:
            for row, count, text in edits:
                if count not in row.cells:
                    raise LdappError(
                        said(
                            "Line {number} stands under an agreement that this count "
                            "does not cover.",
                            number=row.line.number,
                        )
                    )
                first = text.split()[0] if text.split() else ""
                by_count.setdefault(count, {})[row.line.id] = (
                    parse_whole(first) if first and first != "–" else None
                )
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        for count, quantities in by_count.items():
            if len(quantities) == 1:
                done = change_count(
                    self.context, self, counts.enter_quantity, count, *quantities.popitem()
                )
            else:
                done = change_count(self.context, self, counts.enter_quantities, count, quantities)
            if done is None:
                return False
        return True

    def _cell(self) -> tuple[Count, SheetRow] | None:
        count = find(self.context.claim.counts, self.table.current_count())
        row: SheetRow | None = self.table.current_row()
        return None if count is None or row is None else (count, row)

    @Slot()
    def enter_damage(self) -> None:
        """Enter the condition of the line under the cursor, with the cautions for its kind."""
        at = self._cell()
        if at is None:
            return
        count, row = at
        seen = DamageDialog.ask(row.line, counts.entry_of(count, row.line.id), self)
        if seen is not None:
            change_count(
                self.context,
                self,
                counts.enter_condition,
                count.id,
                row.line.id,
                seen.condition,
                seen.note,
            )

    @Slot()
    def enter_serials(self) -> None:
        """Enter which serial numbers of the line under the cursor were there."""
        at = self._cell()
        if at is None:
            return
        count, row = at
        seen = SerialsDialog.ask(row.line, counts.entry_of(count, row.line.id), self)
        if seen is not None:
            change_count(self.context, self, counts.enter_serials_seen, count.id, row.line.id, seen)

    @Slot()
    def enter_as_expected(self) -> None:
        """Enter the expected number for the selected lines that are not counted yet."""
        count = self.table.current_count()
        if count is None:
            return
        rows = [row for row in self.table.selected_rows() if count in row.cells]
        expected = {row.line.id: row.cells[count].expected for row in rows}
        change_count(self.context, self, counts.rest_as_expected, count, list(expected), expected)

    @Slot()
    def add_count(self) -> None:
        """Ask how a count begins and add it."""
        desk = self.context.desk
        entered = NewCountDialog.ask(self.context.claim, desk.who, self)
        if entered is None:
            return
        made = self.context.attempt(
            partial(
                counts.add_count,
                desk,
                entered.stage,
                entered.at,
                blind=entered.blind,
                counted_by=entered.counted_by,
                place=entered.place,
                witness=entered.witness,
            )
        )
        if made is not None:
            self.refresh_if_stale()
            self.table.setCurrentIndex(self.model.index(0, self.model.column_number(made.id)))
            self.table.setFocus()

    # --- counter view -----------------------------------------------------------------------

    @Slot()
    def _on_counter(self) -> None:
        count = self.table.current_count() or self._last_count
        if count is None and self._counts:
            count = self._counts[-1].id
        if count is not None:
            self.open_counter_view(count)

    @Slot(str)
    def open_counter_view(self, count: str) -> None:
        """Open the counter view of a count, in the whole window."""
        row: SheetRow | None = self.table.current_row()
        view = CounterView(self.context, count, self.window())
        view.closed.connect(self._on_counter_closed)
        self.counter_view = view
        view.begin(row.line.id if row is not None else None)

    @Slot(str)
    def sign_count(self, count: str) -> None:
        """Open the end page of a count's counter view: both names and signatures."""
        self.open_counter_view(count)
        if self.counter_view is not None:
            self.counter_view.show_end()

    @Slot()
    def _on_counter_closed(self) -> None:
        view, self.counter_view = self.counter_view, None
        if view is not None:
            view.deleteLater()
        self.table.setFocus()

    @Slot()
    def _go_to_kit(self) -> None:
        self.context.go_to.emit(Place("kit"))
