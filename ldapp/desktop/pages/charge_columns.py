"""The columns of the charges: what is asked first stays in sight, however narrow the page is."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QEvent, QObject, QSettings, Slot

from ldapp.desktop.column_memory import ColumnMemory
from ldapp.desktop.widgets.table_view import TableView

FIRST: Final = ("number", "description", "amount", "owed", "disputed", "answer")
"""Number, what is charged, billed, owed, disputed and answer stand before all else."""
_ROOM = 20
"""Beside the text of a cell, in pixels: the delegate's padding and the style's own."""
_READABLE_DESCRIPTION = 144
"""The answer gives up its width for this much of the description."""
_LEAST_DESCRIPTION = 88
_LEAST_ANSWER = 100
_MOST_DESCRIPTION = 420


class ChargeColumns(QObject):
    """Fits the first columns into what is in sight until a person sets widths of his own.

    Amounts are as wide as the longest of them, the description takes the room that is left,
    and where that is little the answer is shortened; its tip has it whole. What a person
    sets is kept in the settings and never fitted.
    """

    def __init__(self, table: TableView, settings: QSettings) -> None:
        super().__init__(table)
        self._table = table
        self._head = table.horizontalHeader()
        self._model = table.rows_model()
        before = self._head.saveState()
        self._memory = ColumnMemory(table, settings, "charges")
        self._own = self._head.saveState() != before
        self._fitting = False
        self._head.sectionResized.connect(self._on_resized)
        self._head.sectionMoved.connect(self._on_moved)
        self._model.modelReset.connect(self.fit)
        self._model.dataChanged.connect(self.fit)
        table.viewport().installEventFilter(self)

    @property
    def set_by_hand(self) -> bool:
        """Whether a person gave the columns widths or places of his own."""
        return self._own

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fit anew when the table gets wider or narrower."""
        if event.type() == QEvent.Type.Resize:
            self.fit()
        return super().eventFilter(watched, event)

    @Slot()
    def fit(self) -> None:
        """Give the first columns the width in sight."""
        if self._own or self._fitting:
            return
        widths = {name: self._wanted(name) for name in FIRST}
        room = self._table.viewport().width() - sum(widths.values()) + widths["description"]
        given = min(_READABLE_DESCRIPTION - room, widths["answer"] - _LEAST_ANSWER)
        if given > 0:
            room += given
            widths["answer"] -= given
        widths["description"] = min(max(room, _LEAST_DESCRIPTION), _MOST_DESCRIPTION)
        self._fitting = True
        try:
            for name, width in widths.items():
                self._table.setColumnWidth(self._model.column_number(name), width)
        finally:
            self._fitting = False

    def _wanted(self, name: str) -> int:
        """Return the width of a column's heading or longest text, in pixels."""
        number = self._model.column_number(name)
        column = self._model.columns[number]
        longest = max((column.text(row) for row in self._model.rows), key=len, default="")
        text = self._table.fontMetrics().horizontalAdvance(longest) + _ROOM
        return max(text, self._head.sectionSizeHint(number))

    @Slot(int, int, int)
    def _on_resized(self, section: int, old: int, new: int) -> None:
        del old, new
        # The last section grows and shrinks by itself with the table.
        last = self._head.visualIndex(section) == self._head.count() - 1
        if not self._fitting and not last:
            self._keep()

    @Slot(int, int, int)
    def _on_moved(self, section: int, old: int, new: int) -> None:
        del section, old, new
        self._keep()

    def _keep(self) -> None:
        self._own = True
        self._memory.save()
