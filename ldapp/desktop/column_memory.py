"""Columns keep the widths, places and order of rows that a person gave them."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QSettings

from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import SOURCE_LANGUAGE, language


class ColumnMemory:
    """Restores a table's header from the settings and saves it there.

    The names of the columns are part of the key: a header that was saved for other
    columns is not restored.
    """

    def __init__(self, table: TableView, settings: QSettings, name: str) -> None:
        self._table = table
        self._settings = settings
        self._name = name
        saved = settings.value(self._key())
        if isinstance(saved, QByteArray) and not saved.isEmpty():
            table.horizontalHeader().restoreState(saved)
        table.horizontalHeader().setStretchLastSection(True)

    def _key(self) -> str:
        names = "-".join(column.name for column in self._table.rows_model().columns)
        key = f"columns/{self._name}/{names}"
        # Headings are of other lengths in other languages.
        spoken = language()
        return key if spoken == SOURCE_LANGUAGE else f"{key}/{spoken}"

    def save(self) -> None:
        """Write widths, places and the sorted column."""
        self._settings.setValue(self._key(), self._table.horizontalHeader().saveState())
