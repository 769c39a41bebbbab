"""The counter view: full window, big type, one line at a time, for standing at a counter."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from PySide6.QtCore import QEvent, QObject, Qt, Signal, Slot
from PySide6.QtGui import QCloseEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import counts
from ldapp.casework.count_sheet import Cell, SheetRow, count_sheet, progress_of
from ldapp.casework.edit import find
from ldapp.claim.counts import Count
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.counter_head import CounterHead
from ldapp.desktop.pages.count_parts.counter_end import CounterEnd
from ldapp.desktop.pages.count_parts.counter_line import CounterLine
from ldapp.desktop.pages.count_parts.damage_dialog import DamageDialog, SerialsDialog
from ldapp.desktop.pages.count_parts.sheet import cell_remark, count_title
from ldapp.desktop.pages.count_parts.signed_change import change_count
from ldapp.desktop.pages.counter_code_window import show_counter_code
from ldapp.desktop.widgets.pieces import MessageStrip, Separator
from ldapp.language import said

_AT_THE_COUNT = dt.timedelta(hours=24)
"""A number typed longer after the count's own time was not counted at that moment."""
_OF_BUTTONS = {
    Qt.Key.Key_Return,
    Qt.Key.Key_Enter,
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
}
"""Keys that are pressed on a button, or go from one to the next."""


class CounterView(QWidget):
    """Counts one count, line after line; everything is saved as it is entered."""

    closed = Signal()

    def __init__(self, context: ClaimContext, count: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setWindowModality(Qt.WindowModality.ApplicationModal)
        self.context = context
        self.count_id = count
        self._rows: tuple[SheetRow, ...] = ()
        self._at = 0
        self.setWindowTitle(said("Counter view"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.head = CounterHead()
        self.head.code_wanted.connect(self.show_code)
        self.head.end_wanted.connect(self.show_end)
        self.head.close_wanted.connect(self.close)
        column.addWidget(self.head)
        column.addWidget(Separator())
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.stack = QStackedWidget()
        column.addWidget(self.stack, 1)
        self.line = CounterLine(context)
        self.number, self.photos = self.line.number, self.line.photos
        self.number.installEventFilter(self)
        self.photos.watch_button.clicked.connect(self.number.setFocus)
        self.stack.addWidget(self.line)
        self.end = CounterEnd(context, count)
        self.end.line_wanted.connect(self.go_to_line)
        self.end.code_wanted.connect(self.show_code)
        self.end.closed.connect(self.close)
        self.stack.addWidget(self.end)
        context.claim_changed.connect(self._on_changed)
        context.failed.connect(self._on_failed)
        context.message.connect(self.strip.say)

    # --- shown ----------------------------------------------------------------------------

    def begin(self, line: str | None = None) -> None:
        """Open the view at a line, or at the first one that has not been counted."""
        self._load()
        numbers = [number for number, row in enumerate(self._rows) if row.line.id == line]
        cell = self._cell(numbers[0]) if numbers else None
        if numbers and cell is not None and cell.quantity is None:
            self._at = numbers[0]
        else:
            self._at = self._next_open(0)
        self._show_line()
        self.showMaximized()
        self.number.setFocus()

    def count(self) -> Count | None:
        """Return the count as it is in the claim now."""
        return find(self.context.claim.counts, self.count_id)

    @property
    def row(self) -> SheetRow | None:
        """The line in sight."""
        return self._rows[self._at] if 0 <= self._at < len(self._rows) else None

    def _load(self) -> None:
        self._rows = tuple(
            row for row in count_sheet(self.context.claim) if self.count_id in row.cells
        )

    def _cell(self, number: int) -> Cell | None:
        if 0 <= number < len(self._rows):
            return self._rows[number].cells[self.count_id]
        return None

    def _next_open(self, start: int) -> int:
        order: list[int] = [*range(start, len(self._rows)), *range(min(start, len(self._rows)))]
        for number in order:
            cell = self._cell(number)
            if cell is not None and cell.quantity is None:
                return number
        return 0 if self._rows else -1

    @Slot(object)
    def _on_changed(self, kinds: frozenset[str]) -> None:
        if kinds & {"count", "count_entry", "movement", "kit_line", "photo", "claim"}:
            if self.count() is None:
                self.close()
                return
            self._load()
            self._at = min(self._at, len(self._rows) - 1)
            self._show_progress()
            if self.stack.currentWidget() is self.end:
                self.end.refresh(self._rows)
            else:
                self._show_facts()

    @Slot(object)
    def _on_failed(self, error: BaseException) -> None:
        self.strip.refuse(str(error))

    def _show_progress(self) -> None:
        count = self.count()
        if count is None:
            return
        self.head.show_progress(count_title(count), progress_of(self._rows, self.count_id))

    def _show_line(self) -> None:
        self.stack.setCurrentIndex(0)
        self._show_progress()
        cell = self._cell(self._at)
        self.number.setText("" if cell is None or cell.quantity is None else str(cell.quantity))
        self.number.selectAll()
        self._show_facts()
        self.number.setFocus()

    def _show_facts(self) -> None:
        row = self.row
        if row is not None:
            self.line.show_row(row, self._rows, self.count_id)

    # --- keys -----------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Turn keys in the number's field into commands."""
        if (
            watched is self.number
            and event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and self._command(event)
        ):
            return True
        return super().eventFilter(watched, event)

    def _command(self, event: QKeyEvent) -> bool:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            if event.key() == Qt.Key.Key_Z:
                self.undo()
                return True
            return False
        by_key = {
            Qt.Key.Key_Return: self.enter,
            Qt.Key.Key_Enter: self.enter,
            Qt.Key.Key_Left: self.back,
            Qt.Key.Key_Right: self.skip,
            Qt.Key.Key_Plus: self.one_more,
            Qt.Key.Key_D: self.damage,
            Qt.Key.Key_S: self.serials,
            Qt.Key.Key_R: self.rest_as_expected,
            Qt.Key.Key_P: self.photos.pair_new,
        }
        command = by_key.get(Qt.Key(event.key()))
        if command is None:
            return False
        command()
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape leaves, everything is saved already; a key of the count goes to the number."""
        if event.key() == Qt.Key.Key_Escape:
            self.close()
            return
        if event.matches(QKeySequence.StandardKey.Undo):
            self.undo()
            return
        if self.stack.currentWidget() is self.line and event.key() not in _OF_BUTTONS:
            # After a click on a button the keys of the count work on.
            self.number.setFocus()
            if event.text().isdigit():
                self.number.insert(event.text())
                return
            if self._command(event):
                return
        super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop watching and tell that the view is gone."""
        self.photos.shut_down()
        super().closeEvent(event)
        self.closed.emit()

    # --- what can be done -------------------------------------------------------------------

    def _now(self) -> dt.datetime | None:
        """Return the present moment, where the count is going on now."""
        count = self.count()
        now = dt.datetime.now(ZoneInfo(self.context.claim.zone)).replace(microsecond=0)
        if count is None or count.at is None or abs(now - count.at) > _AT_THE_COUNT:
            return None
        return now.replace(tzinfo=dt.timezone(now.utcoffset() or dt.timedelta()))

    def _save(self, quantity: int) -> bool:
        row = self.row
        if row is None:
            return False
        done = change_count(
            self.context,
            self,
            counts.enter_quantity,
            self.count_id,
            row.line.id,
            quantity,
            self._now(),
        )
        return done is not None

    @Slot()
    def show_code(self) -> None:
        """Show the code that the cameras at this count photograph."""
        show_counter_code(self.context, self)

    @Slot()
    def enter(self) -> None:
        """Save the number and go to the next line."""
        text, row = self.number.text(), self.row
        if row is None:
            return
        if not text:
            self.strip.say(
                said("Type the number that is there (0 for none), or → to skip the line.")
            )
            return
        if self._save(int(text)):
            self.strip.hide()
            cell = self._cell(self._at)
            remark = cell_remark(cell) if cell is not None else ""
            self.line.before.setText(
                said(
                    "Line {number}, {description}: {counted}, {remark}",
                    number=row.line.number,
                    description=row.line.description,
                    counted=text,
                    remark=remark or said("as expected"),
                )
            )
            self._go_on()

    def _go_on(self) -> None:
        done = progress_of(self._rows, self.count_id)
        if done.counted == done.lines or self._at + 1 >= len(self._rows):
            self.show_end()
            return
        self._at += 1
        self._show_line()

    @Slot()
    def one_more(self) -> None:
        """Add one to the number of this line and stay."""
        cell = self._cell(self._at)
        text = self.number.text()
        counted = cell.quantity if cell is not None else None
        present = int(text) if text else counted or 0
        if self._save(present + 1):
            self.number.setText(str(present + 1))
            self.number.selectAll()

    @Slot()
    def back(self) -> None:
        """Go to the line before."""
        if self._at > 0:
            self._at -= 1
            self._show_line()

    @Slot()
    def skip(self) -> None:
        """Leave the line as it is (not counted) and go on."""
        if self._at + 1 < len(self._rows):
            self._at += 1
            self._show_line()
        else:
            self.show_end()

    @Slot()
    def rest_as_expected(self) -> None:
        """Enter what is expected for the rest of the lines at this place."""
        row = self.row
        if row is None:
            return
        place = row.line.location
        here = {
            one.line.id: one.cells[self.count_id].expected
            for one in self._rows[self._at :]
            if one.line.location == place
        }
        done = change_count(
            self.context, self, counts.rest_as_expected, self.count_id, list(here), here
        )
        if done:
            self.strip.hide()
            self.line.before.setText(
                said("The rest of {place}: as expected.", place=place or said("this place"))
            )
            after = [
                number
                for number, one in enumerate(self._rows)
                if number > self._at and one.line.location != place
            ]
            if after:
                self._at = after[0]
                self._show_line()
            else:
                self.show_end()

    @Slot()
    def damage(self) -> None:
        """Enter damage of this line, with the cautions for its kind."""
        count, row = self.count(), self.row
        if count is None or row is None:
            return
        seen = DamageDialog.ask(row.line, counts.entry_of(count, row.line.id), self)
        if seen is not None:
            change_count(
                self.context,
                self,
                counts.enter_condition,
                self.count_id,
                row.line.id,
                seen.condition,
                seen.note,
            )
        self.number.setFocus()

    @Slot()
    def serials(self) -> None:
        """Enter the serial numbers seen of this line."""
        count, row = self.count(), self.row
        if count is None or row is None:
            return
        seen = SerialsDialog.ask(row.line, counts.entry_of(count, row.line.id), self)
        if seen is not None:
            change_count(
                self.context, self, counts.enter_serials_seen, self.count_id, row.line.id, seen
            )
            self.strip.hide()
            self._show_line()
        self.number.setFocus()

    @Slot()
    def undo(self) -> None:
        """Take back the last change, and go to the first line that it changed."""
        before = {row.line.id: row.cells[self.count_id] for row in self._rows}
        name = self.context.attempt(self.context.desk.undo)
        if name:
            self.line.before.setText("")
            changed = [
                number
                for number, row in enumerate(self._rows)
                if row.cells[self.count_id] != before.get(row.line.id)
            ]
            if changed:
                self._at = changed[0]
            if changed or self.stack.currentWidget() is self.line:
                self._show_line()
            self.strip.say(said("Taken back: {name}", name=name))

    @Slot(str)
    def go_to_line(self, line: str) -> None:
        """Go to a line of the count."""
        for number, row in enumerate(self._rows):
            if row.line.id == line:
                self._at = number
                self._show_line()
                return

    @Slot()
    def show_end(self) -> None:
        """Show what is open, and sign."""
        self.end.refresh(self._rows)
        self.end.begin()
        self.end.refresh(self._rows)
        self.stack.setCurrentWidget(self.end)
        self.end.take_focus()
        self._show_progress()
