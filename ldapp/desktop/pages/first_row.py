"""Chooses the first row of a table where nothing is chosen yet: what is beside it is not empty."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, QObject, QTimer, Slot

from ldapp.desktop.widgets.table_view import TableView

_AFTER_MS = 20


class FirstRow(QObject):
    """Waits until what is seen has been painted: the form of a row takes a while to make.

    The keys stay where they are.
    """

    def __init__(
        self,
        table: TableView,
        is_empty: Callable[[], bool],
        show: Callable[[QModelIndex, QModelIndex], None],
    ) -> None:
        """``is_empty`` tells whether nothing is shown beside the table; ``show`` shows a row."""
        super().__init__(table)
        self._table = table
        self._is_empty = is_empty
        self._show = show
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_AFTER_MS)
        self._soon.timeout.connect(self._choose)

    def choose_soon(self) -> None:
        """Choose the first row, or show the chosen one, if nothing is shown by then."""
        self._soon.start()

    def stop(self) -> None:
        """Choose nothing more."""
        self._soon.stop()

    @Slot()
    def _choose(self) -> None:
        model = self._table.rows_model()
        if not self._is_empty() or not model.rowCount():
            return
        chosen = self._table.currentIndex()
        if chosen.isValid():
            self._show(chosen, QModelIndex())
        else:
            self._table.setCurrentIndex(model.index(0, 0))
